//! The season on paper: one self-contained HTML page, made to be printed.
//!
//! No script, no outside file: the page's own policy forbids both. Every
//! text of the grower is escaped.

mod curve;
mod record_tables;
mod ribbon;
mod scale;
mod tables;

pub use curve::{HeatAhead, HeatCurve};

use crate::domain::outlook::{Estimates, Outlook};
use crate::domain::season::Season;
use chrono::NaiveDateTime;
use std::fmt::Write;

/// What the page shows.
#[derive(Clone, Copy)]
pub struct SeasonPage<'a> {
    /// The season.
    pub season: &'a Season,
    /// The stage dates of its blocks.
    pub estimates: &'a Estimates,
    /// Everything derived for the day.
    pub outlook: &'a Outlook,
    /// Heat so far and to come, a curve for each kind of tree wanted.
    pub heat: &'a [HeatCurve],
    /// The moment it is made, local time.
    pub now: NaiveDateTime,
}

const STYLE: &str = include_str!("season_page/style.css");

/// The page.
pub fn html(page: &SeasonPage<'_>) -> String {
    let season = page.season;
    let title = format!(
        "{}, dormant season {}",
        season.orchard.name.trim(),
        season.season
    );
    let mut out =
        String::from("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
    out.push_str("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n");
    out.push_str("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    let _ = writeln!(out, "<title>{}</title>", escaped(&title));
    let _ = writeln!(out, "<style>\n{STYLE}</style>\n</head>\n<body>");
    let _ = writeln!(out, "<h1>{}</h1>", escaped(&title));
    let practice = if season.practice {
        " This is the practice season: everything in it is invented."
    } else {
        ""
    };
    let _ = writeln!(
        out,
        "<p class=\"lead\">As of {}.{practice} Plan only: the product label decides crop, rate, dates, gear and re-entry. Local rules and licensed practice come before this page.</p>",
        page.now.format("%Y-%m-%d %H:%M")
    );
    out.push_str("<h2>The year</h2>\n");
    out.push_str(&ribbon::svg(page));
    out.push_str("<h2>When buds swell</h2>\n");
    out.push_str(&tables::swell(page));
    for line in page.outlook.ground.lines() {
        let _ = writeln!(out, "<p class=\"note\">{}</p>", escaped(&line));
    }
    if !page.heat.is_empty() {
        out.push_str("<h2>Heat so far and to come</h2>\n");
        for (number, curve) in page.heat.iter().enumerate() {
            out.push_str(&curve::svg(curve, page.now.date(), number + 1));
        }
    }
    out.push_str("<h2>Looks at the buds</h2>\n");
    out.push_str(&tables::looks(page));
    out.push_str("<h2>Work</h2>\n");
    out.push_str(&tables::tasks(page));
    out.push_str("<h2>Warnings</h2>\n");
    out.push_str(&tables::warnings(page));
    out.push_str("<h2>Application records</h2>\n");
    out.push_str(&record_tables::records(page));
    if let Some(head) = crate::domain::records::head_of(season) {
        let _ = writeln!(
            out,
            "<p>Head of the records: {head}. <code>barewood check --records --against {head}</code> tells whether they are still those of this page.</p>"
        );
    }
    out.push_str("<h2>What was used</h2>\n");
    out.push_str(&record_tables::totals(page));
    out.push_str("<h2>Lessons</h2>\n");
    out.push_str(&tables::lessons(page));
    out.push_str("</body>\n</html>\n");
    out
}

/// A foreign text as it may stand in HTML and SVG, in text and attributes.
fn escaped(text: &str) -> String {
    let clean: String = text
        .chars()
        .map(|c| {
            if crate::domain::harmless::steers(c) {
                ' '
            } else {
                c
            }
        })
        .collect();
    html_escape::encode_quoted_attribute(&clean).into_owned()
}
