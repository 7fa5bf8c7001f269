//! Writes answers and scores.

use std::collections::BTreeMap;
use std::io::{self, Write};

use serde::Serialize;

use super::{IssueDay, OutputForm};
use crate::domain::phenology::hindcast::{Answer, Observation, Scored, Scores, Wanted};

/// One answered row.
#[derive(Debug, Serialize)]
struct Row<'a> {
    species: &'a str,
    cultivar: &'a str,
    site: &'a str,
    stage: &'a str,
    year: i32,
    issue_on: Option<String>,
    p10: Option<String>,
    p50: Option<String>,
    p90: Option<String>,
    mean: Option<String>,
    model: String,
}

impl<'a> Row<'a> {
    fn new(want: &'a Wanted, answer: Option<&Answer>) -> Self {
        let text = |date: chrono::NaiveDate| date.to_string();
        Self {
            species: &want.series.species,
            cultivar: &want.series.cultivar,
            site: &want.series.site,
            stage: &want.series.stage,
            year: want.year,
            issue_on: want.issue_on.map(text),
            p10: answer.map(|a| text(a.date.p10())),
            p50: answer.map(|a| text(a.date.p50())),
            p90: answer.map(|a| text(a.date.p90())),
            mean: answer.map(|a| text(a.mean_date())),
            model: answer.map_or_else(
                || "none: no record of this species and stage, or no temperatures".to_owned(),
                |a| a.model.clone(),
            ),
        }
    }
}

/// Writes the answers to wanted dates, in their order.
pub(super) fn rows(
    wanted: &[Wanted],
    answers: &[Option<Answer>],
    form: OutputForm,
    out: &mut dyn Write,
) -> io::Result<()> {
    let rows: Vec<Row<'_>> = wanted
        .iter()
        .zip(answers)
        .map(|(w, a)| Row::new(w, a.as_ref()))
        .collect();
    match form {
        OutputForm::Json => json(out, &serde_json::json!({ "rows": rows })),
        OutputForm::Csv => csv_rows(out, &rows),
        OutputForm::Text => {
            for row in &rows {
                let part = |p: &Option<String>| p.clone().unwrap_or_else(|| "-".to_owned());
                writeln!(
                    out,
                    "{} {} {} {} {}{}: {} to {}, middle {}  ({})",
                    row.species,
                    row.cultivar,
                    row.site,
                    row.stage,
                    row.year,
                    row.issue_on
                        .as_ref()
                        .map_or_else(String::new, |d| format!(" as of {d}")),
                    part(&row.p10),
                    part(&row.p90),
                    part(&row.p50),
                    row.model
                )?;
            }
            Ok(())
        }
    }
}

fn json(out: &mut dyn Write, value: &serde_json::Value) -> io::Result<()> {
    serde_json::to_writer(&mut *out, value)?;
    writeln!(out)
}

fn csv_rows<T: Serialize>(out: &mut dyn Write, rows: &[T]) -> io::Result<()> {
    let mut writer = csv::Writer::from_writer(out);
    for row in rows {
        writer.serialize(row).map_err(io::Error::other)?;
    }
    writer.flush()
}

/// One line of scores.
#[derive(Debug, Serialize)]
struct ScoreRow {
    issue: String,
    species: String,
    stage: String,
    site: String,
    cultivar: String,
    n: usize,
    rmse: f64,
    mae: f64,
    bias: f64,
    crps: f64,
    coverage: f64,
    width: f64,
    calendar_rmse: f64,
    calendar_mae: f64,
    calendar_bias: f64,
    calendar_crps: f64,
    calendar_coverage: f64,
    too_late: f64,
    given_away: f64,
}

/// What a line of scores is over: empty parts are pooled.
type Over = (IssueDay, [String; 4]);

fn tidy(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0
}

impl ScoreRow {
    fn new((issue, [species, stage, site, cultivar]): &Over, s: &Scores) -> Self {
        Self {
            issue: issue.words(),
            species: species.clone(),
            stage: stage.clone(),
            site: site.clone(),
            cultivar: cultivar.clone(),
            n: s.count(),
            rmse: tidy(s.rmse_days()),
            mae: tidy(s.mae_days()),
            bias: tidy(s.bias_days()),
            crps: tidy(s.crps_days()),
            coverage: tidy(s.coverage()),
            width: tidy(s.width_days()),
            calendar_rmse: tidy(s.calendar_rmse_days()),
            calendar_mae: tidy(s.calendar_mae_days()),
            calendar_bias: tidy(s.calendar_bias_days()),
            calendar_crps: tidy(s.calendar_crps_days()),
            calendar_coverage: tidy(s.calendar_coverage()),
            too_late: tidy(s.too_late()),
            given_away: tidy(s.given_away_days()),
        }
    }
}

/// Writes the scores: per series, per species and stage, and pooled, on every issue day.
pub(super) fn scores(
    scored: &[(IssueDay, &Observation, Scored)],
    unanswered: usize,
    form: OutputForm,
    out: &mut dyn Write,
) -> io::Result<()> {
    let mut sums: BTreeMap<Over, Scores> = BTreeMap::new();
    for (issue, seen, one) in scored {
        let s = &seen.series;
        let (species, stage) = (s.species.to_lowercase(), s.stage.to_lowercase());
        let series = [
            species.clone(),
            stage.clone(),
            s.site.clone(),
            s.cultivar.clone(),
        ];
        let none = String::new;
        for over in [
            series,
            [species, stage.clone(), none(), none()],
            [none(), stage, none(), none()],
            [none(), none(), none(), none()],
        ] {
            sums.entry((*issue, over)).or_default().add(one);
        }
    }
    // A series without a cultivar at the only place would else coincide with nothing; order keeps
    // pooled lines before their parts.
    let rows: Vec<ScoreRow> = sums
        .iter()
        .map(|(over, s)| ScoreRow::new(over, s))
        .collect();
    match form {
        OutputForm::Json => json(
            out,
            &serde_json::json!({ "scores": rows, "unanswered": unanswered }),
        ),
        OutputForm::Csv => csv_rows(out, &rows),
        OutputForm::Text => table(&rows, unanswered, out),
    }
}

fn table(rows: &[ScoreRow], unanswered: usize, out: &mut dyn Write) -> io::Result<()> {
    writeln!(
        out,
        "{:<13}{:<58}{:>6}{:>7}{:>7}{:>7}{:>7}{:>7}{:>8}{:>8}{:>8}{:>7}{:>7}",
        "issued",
        "over",
        "n",
        "rmse",
        "mae",
        "bias",
        "crps",
        "held",
        "cal.rms",
        "cal.crp",
        "cal.hld",
        "late",
        "given"
    )?;
    for r in rows {
        let parts: Vec<&str> = [&r.species, &r.stage, &r.site, &r.cultivar]
            .into_iter()
            .map(String::as_str)
            .filter(|p| !p.is_empty())
            .collect();
        let over = if parts.is_empty() {
            "all".to_owned()
        } else {
            parts.join(" / ")
        };
        writeln!(
            out,
            "{:<13}{over:<58}{:>6}{:>7.2}{:>7.2}{:>7.2}{:>7.2}{:>6.0}%{:>8.2}{:>8.2}{:>7.0}%{:>6.0}%{:>7.1}",
            r.issue,
            r.n,
            r.rmse,
            r.mae,
            r.bias,
            r.crps,
            r.coverage * 100.0,
            r.calendar_rmse,
            r.calendar_crps,
            r.calendar_coverage * 100.0,
            r.too_late * 100.0,
            r.given_away
        )?;
    }
    if unanswered > 0 {
        writeln!(
            out,
            "{unanswered} could not be answered: nothing else is known of them."
        )?;
    }
    writeln!(
        out,
        "Days. held: share within P10-P90; late: last safe day (tolerance 10 %) too late; given: days given away; cal: the mean date of the other years."
    )
}
