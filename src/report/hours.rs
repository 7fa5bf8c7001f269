//! Fit hours as text and JSON: a grid of days by hours, its windows, and the reasons.

use super::wrap::{WIDTH, wrapped};
use crate::domain::fit_hours::NextHours;
use crate::domain::hours::air::Air;
use crate::domain::hours::drying::LOOK_FIRST;
use crate::domain::hours::job::Job;
use crate::domain::hours::verdict::{Fit, Grid, rain, temperature, wind};
use crate::domain::hours::windows::Window;
use crate::domain::season::{Task, UnitSystem};
use serde_json::{Value, json};
use std::fmt::Write;
use unicode_width::UnicodeWidthStr;

/// What is shown: one task's verdicts and the windows found in them.
pub struct HoursReport<'a> {
    /// The task.
    pub task: &'a Task,
    /// The hours.
    pub air: &'a Air,
    /// Its verdicts.
    pub grid: &'a Grid,
    /// How long it takes.
    pub job: &'a Job,
    /// The stretches of fit hours inside its window, best first.
    pub windows: &'a [Window],
    /// The next hours, or why there are none.
    pub next: &'a NextHours,
    /// The units shown.
    pub units: UnitSystem,
    /// What the grower's gauge showed since yesterday, where the weather on file says otherwise.
    pub gauge: Option<String>,
}

/// Windows named in the text.
const NAMED: usize = 5;

/// The grid as text: a row a day, a letter an hour (o fit, ? doubtful, x unfit, . not known),
/// then the windows, then why the hours are what they are.
pub fn text(report: &HoursReport<'_>) -> String {
    let mut out = String::new();
    let head = format!("{}: {}", report.task.title, report.job.words());
    out.push_str(&wrapped(&head, 0));
    let _ = writeln!(
        out,
        "                0     6     12    18     o fit  ? doubtful  x unfit  . not known"
    );
    for date in report.grid.dates(report.air) {
        let cells: String = report
            .grid
            .day(report.air, date)
            .iter()
            .map(|hour| {
                hour.and_then(|h| report.grid.fit(h))
                    .map_or('.', Fit::letter)
            })
            .collect();
        // The words stand beside the grid, and go on below themselves.
        let row = format!("{}  {cells}  ", date.format("%a %Y-%m-%d"));
        let indent = row.len();
        let mut line = row;
        for (i, part) in day_words(report, date).iter().enumerate() {
            if i > 0 {
                line.push(',');
            }
            // A number stays with its unit.
            if line.width() + 1 + part.width() >= WIDTH && i > 0 {
                let _ = writeln!(out, "{line}");
                line = " ".repeat(indent);
            } else if i > 0 {
                line.push(' ');
            }
            line.push_str(part);
        }
        let _ = writeln!(out, "{}", line.trim_end());
    }
    if let Some(gauge) = &report.gauge {
        let line = format!("{gauge}. The hours are judged by the file: look at the bark.");
        out.push_str(&wrapped(&line, 0));
    }
    if report.windows.is_empty() {
        let next = format!(
            "No fit hours in its window: {}.",
            report.next.words(report.air)
        );
        out.push_str(&wrapped(&next, 0));
    }
    for (i, window) in report.windows.iter().take(NAMED).enumerate() {
        let line = format!("{}: {}", window.grade.words(), window.words(report.air));
        let line = wrapped(&line, 3);
        let _ = write!(out, "{}. {}", i + 1, line.trim_start());
    }
    if report.windows.len() > NAMED {
        let _ = writeln!(out, "   and {} more", report.windows.len() - NAMED);
    }
    out.push_str(&wrapped(LOOK_FIRST, 0));
    out
}

/// A day's weather and what speaks most against it by day.
fn day_words(report: &HoursReport<'_>, date: chrono::NaiveDate) -> Vec<String> {
    let hours: Vec<usize> = report
        .grid
        .day(report.air, date)
        .into_iter()
        .flatten()
        .collect();
    let known = |value: fn(&Air, usize) -> f64| -> Vec<f64> {
        hours
            .iter()
            .map(|&h| value(report.air, h))
            .filter(|v| v.is_finite())
            .collect()
    };
    let temps = known(|air, h| air.hour(h).temp_c);
    let winds = known(|air, h| air.hour(h).wind_ms);
    let rains = known(|air, h| air.hour(h).rain_mm);
    let least = |v: &[f64]| v.iter().copied().min_by(f64::total_cmp);
    let most = |v: &[f64]| v.iter().copied().max_by(f64::total_cmp);
    let mut parts = Vec::new();
    if let (Some(low), Some(high)) = (least(&temps), most(&temps)) {
        parts.push(format!(
            "{} to {}",
            temperature(low, report.units),
            temperature(high, report.units)
        ));
    }
    if let Some(high) = most(&winds) {
        parts.push(format!("wind to {}", wind(high, report.units)));
    }
    let total: f64 = rains.iter().sum();
    if total > 0.0 {
        parts.push(format!("rain {}", rain(total, report.units)));
    }
    parts.extend(against(report, &hours));
    parts
}

/// The commonest reasons of the day's hours, darkness and own time apart.
fn against(report: &HoursReport<'_>, hours: &[usize]) -> Vec<String> {
    report
        .grid
        .commonest(report.air, hours)
        .iter()
        .take(3)
        .map(|(tag, n)| format!("{tag} {n} h"))
        .collect()
}

/// `{"task","job_h","job_assumed","hours":[{"utc","local","verdict","reasons"}],"windows":[…]}`.
/// Stable.
///
/// # Errors
/// Never in practice: everything in it can be written.
pub fn json(report: &HoursReport<'_>) -> serde_json::Result<String> {
    let hours: Vec<Value> = report
        .grid
        .hours()
        .map(|hour| {
            let reasons: Vec<Value> = report
                .grid
                .reasons(report.air, hour)
                .iter()
                .map(|r| {
                    json!({
                        "about": r.tag(),
                        "words": r.words(report.air, &report.grid.limits, report.units),
                    })
                })
                .collect();
            json!({
                "utc": report.air.at(hour).to_rfc3339(),
                "local": report.air.local(hour).format("%Y-%m-%dT%H:%M").to_string(),
                "verdict": report.grid.fit(hour).map(Fit::words),
                "reasons": reasons,
            })
        })
        .collect();
    let windows: Vec<Value> = report
        .windows
        .iter()
        .map(|w| {
            json!({
                "grade": w.grade.words(),
                "from": report.air.at(w.hours.start).to_rfc3339(),
                "to": report.air.at(w.hours.end).to_rfc3339(),
                "begin": report.air.at(w.start).to_rfc3339(),
                "doubtful_hours": w.doubtful_hours,
                "dry_soonest_h": w.drying.soonest_h,
                "dry_likely_h": w.drying.likely_h,
                "dry_latest_h": w.drying.latest_h,
                "words": w.words(report.air),
            })
        })
        .collect();
    serde_json::to_string_pretty(&json!({
        "task": report.task.id.as_str(),
        "job_h": report.job.hours,
        "job_assumed": report.job.is_assumed(),
        "hours": hours,
        "windows": windows,
        "gauge": report.gauge,
        "note": LOOK_FIRST,
    }))
}
