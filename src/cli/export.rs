//! `export`: calendar, tables, a printable page, everything as JSON.

use super::args::{ExportArgs, ExportForm};
use super::put_file::{Replace, put_file};
use super::season_at::At;
use super::{Exit, Failure};
use crate::domain::phenology::stage::Stage;
use crate::report::season_page::{self, HeatAhead, HeatCurve, SeasonPage};
use crate::report::{csv_export, outlook_json, schemas};
use std::io::Write;

/// Writes what was asked for, to a file or to standard output.
pub fn run(at: &At, args: &ExportArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let opened = at.look()?;
    let table =
        |text: csv::Result<String>| text.map_err(|e| Failure::Write(std::io::Error::other(e)));
    let text = match args.form {
        ExportForm::Ics => opened.calendar(args.to.as_deref()),
        ExportForm::Csv => table(csv_export::records(&opened.season))?,
        ExportForm::Materials => table(csv_export::materials_used(&opened.season))?,
        ExportForm::Json => schemas::OUTLOOK.named(&outlook_json::json(
            &opened.season,
            &opened.estimates,
            &opened.outlook(),
            opened.now(),
        )?)?,
        ExportForm::Html => {
            let heat = heat(&opened);
            season_page::html(&SeasonPage {
                season: &opened.season,
                estimates: &opened.estimates,
                outlook: &opened.outlook(),
                heat: &heat,
                now: opened.now(),
            })
        }
    };
    let text = if args.bom {
        if !matches!(args.form, ExportForm::Csv | ExportForm::Materials) {
            return Err(Failure::Input(
                "--bom is for tables only: export csv, export materials".to_owned(),
            ));
        }
        format!("\u{feff}{text}")
    } else {
        text
    };
    match &args.to {
        Some(path) if args.force => {
            put_file(path, &text, Replace::Anything).map_err(Failure::Disk)?;
        }
        Some(path) => put_file(path, &text, Replace::OwnCalendar).map_err(|why| {
            Failure::Disk(format!("{why}; --force replaces any file but a season"))
        })?,
        None => out.write_all(text.as_bytes())?,
    }
    Ok(Exit::Fine)
}

/// A heat curve for each kind of tree, from its first block.
fn heat(opened: &super::season_at::Opened) -> Vec<HeatCurve> {
    let mut kinds = Vec::new();
    let mut curves = Vec::new();
    for block in &opened.season.blocks {
        if kinds.contains(&block.species) {
            continue;
        }
        kinds.push(block.species);
        let Some(answer) = opened.estimates.answer(&block.id, Stage::Swell) else {
            continue;
        };
        let heat = &answer.heat;
        let known = heat.known_days.min(heat.median.len());
        let day = |i: usize| heat.first + chrono::TimeDelta::days(i as i64);
        let wide = |v: &f32| f64::from(*v);
        curves.push(HeatCurve {
            name: block.species.words().to_owned(),
            unit: heat.unit.to_owned(),
            seen: heat
                .median
                .iter()
                .take(known)
                .enumerate()
                .map(|(i, v)| (day(i), wide(v)))
                .collect(),
            ahead: heat
                .p10
                .iter()
                .zip(heat.median.iter())
                .zip(heat.p90.iter())
                .enumerate()
                .skip(known)
                .map(|(i, ((low, middle), high))| HeatAhead {
                    date: day(i),
                    low: wide(low),
                    middle: wide(middle),
                    high: wide(high),
                })
                .collect(),
            need: Some([heat.requirement.0, heat.requirement.1, heat.requirement.2].map(f64::from)),
        });
    }
    curves
}
