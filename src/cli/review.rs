//! `review` and `history`: the week, and the seasons side by side.

use super::args::{HistoryArgs, ReviewArgs};
use super::season_at::{At, Opened};
use super::{Exit, Failure};
use crate::domain::climate::weather::Weather;
use crate::domain::history;
use crate::domain::mix::buy;
use crate::domain::outlook::Estimates;
use crate::domain::review::{self, Review, Short, Surroundings};
use crate::domain::season::Season;
use crate::report;
use crate::store::disk::RealDisk;
use crate::store::session::{Mode, Session};
use chrono::NaiveDate;
use std::io::Write;
use std::sync::Arc;

/// The review of an opened season at a moment.
pub fn review_of(opened: &Opened) -> Review {
    let short = buy::list(&opened.season, opened.today)
        .rows
        .into_iter()
        .filter_map(|row| {
            let short = row.short?;
            let stock = row
                .stock
                .map_or_else(|| "none counted".to_owned(), |s| s.to_string());
            Some(Short {
                material: row.material,
                words: format!("{}: {} short, {stock} in the shed", row.name, short.amount),
            })
        })
        .collect();
    let ahead = opened.fits.as_ref().filter(|f| f.reach_ahead());
    let around = Surroundings {
        windows: ahead.map(|fits| review::windows(&opened.season, fits)),
        short,
        ..Surroundings::default()
    };
    let estimate = |season: &Season, day: NaiveDate| {
        // What came after that day was not known on it.
        let daily = opened
            .weather
            .daily
            .as_ref()
            .map(|d| d.slice(d.first(), day));
        let weather = Weather {
            daily,
            ..Weather::default()
        };
        Estimates::compute(season, &weather, day)
    };
    review::since(
        &opened.season,
        &opened.estimates,
        opened.now(),
        around,
        estimate,
    )
}

/// Prints the week's review; `--done` marks it.
pub fn run(at: &At, args: &ReviewArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = if args.done { at.change()? } else { at.look()? };
    let review = review_of(&opened);
    if args.output.json {
        writeln!(out, "{}", report::review::json(&opened.season, &review)?)?;
    } else if args.markdown {
        write!(out, "{}", report::review::markdown(&opened.season, &review))?;
    } else {
        write!(out, "{}", report::review::text(&opened.season, &review))?;
    }
    if args.done {
        let after = review::mark(&opened.season, &opened.estimates, opened.today);
        opened.save(after)?;
        writeln!(out, "Marked as reviewed on {}.", opened.today)?;
    }
    Ok(Exit::Fine)
}

/// Prints seasons side by side: the files named, else the season's own.
pub fn history(at: &At, args: &HistoryArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut seasons = Vec::new();
    for path in &args.files {
        let session = Session::open(Arc::new(RealDisk), None, path, Mode::ReadOnly)
            .map_err(|e| Failure::from_open(&e))?;
        seasons.push(session.season().clone());
    }
    if seasons.is_empty() {
        seasons.push(at.look()?.season);
    }
    let rows = history::table(&seasons);
    if args.output.json {
        writeln!(out, "{}", report::history::json(&rows)?)?;
    } else {
        write!(out, "{}", report::history::text(&rows))?;
    }
    Ok(Exit::Fine)
}
