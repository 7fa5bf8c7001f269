//! `review` and `history`: the week, and the seasons side by side.

use super::args::{HistoryArgs, ReviewArgs};
use super::season_at::{At, Opened};
use super::{Exit, Failure};
use crate::domain::chance;
use crate::domain::climate::weather::Weather;
use crate::domain::history;
use crate::domain::hours::fits::Fits;
use crate::domain::mix::buy;
use crate::domain::outlook::{Estimates, climatology};
use crate::domain::review::{self, Review, Short, Surroundings};
use crate::domain::run_sheet;
use crate::domain::season::Season;
use crate::report::{self, schemas};
use crate::store::disk::RealDisk;
use crate::store::neighbours::{self, Neighbours};
use crate::store::numbered::Numbered;
use crate::store::places::Places;
use crate::store::season_weather;
use crate::store::session::{Mode, Session};
use chrono::{NaiveDate, NaiveDateTime};
use std::io::Write;
use std::path::PathBuf;
use std::sync::Arc;

/// The review of a season at a moment, from its weather and estimates.
pub fn review_of(
    season: &Season,
    weather: &Weather,
    estimates: &Estimates,
    fits: Option<&Fits>,
    now: NaiveDateTime,
) -> Review {
    let short = buy::list(season, now.date())
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
    let ahead = fits.filter(|f| f.reach_ahead());
    let around = Surroundings {
        windows: ahead.map(|fits| review::windows(season, estimates, fits, now.date())),
        short,
        ground: estimates.ground.clone(),
        ..Surroundings::default()
    };
    let estimate = |season: &Season, day: NaiveDate| {
        // What came after that day was not known on it.
        let daily = weather.daily.as_ref().map(|d| d.slice(d.first(), day));
        let weather = Weather {
            daily,
            typical: weather.typical.clone(),
            ..Weather::default()
        };
        Estimates::compute(season, &weather, day)
    };
    review::since(season, estimates, fits, now, around, estimate)
}

/// Prints the week's review; `--done` marks it.
pub fn run(at: &At, args: &ReviewArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = if args.done { at.change()? } else { at.look()? };
    let review = review_of(
        &opened.season,
        &opened.weather,
        &opened.estimates,
        opened.fits.as_ref(),
        opened.now(),
    );
    if args.numbered {
        write!(out, "{}", numbered(&opened, &review)?)?;
    } else if args.output.json {
        schemas::REVIEW.write(&report::review::json(&opened.season, &review)?, out)?;
    } else if args.markdown {
        write!(out, "{}", report::review::markdown(&opened.season, &review))?;
    } else if args.all {
        write!(out, "{}", report::review::text(&opened.season, &review))?;
    } else {
        let sheet = opened.fits.as_ref().and_then(|fits| {
            let ask = run_sheet::Ask::default();
            run_sheet::run_sheet(&opened.season, &opened.estimates, fits, opened.today, &ask)
        });
        let chances = sheet.as_ref().map_or_else(Vec::new, |sheet| {
            let (season, estimates) = (&opened.season, &opened.estimates);
            chance::chances_of(season, estimates, &opened.weather, sheet, opened.today)
        });
        let page = report::review::brief(&opened.season, &review, sheet.as_ref(), &chances);
        write!(out, "{page}")?;
    }
    if args.done {
        let after = review::mark(&opened.season, &opened.estimates, opened.today);
        opened.save(after)?;
        writeln!(out, "Marked as reviewed on {}.", opened.today)?;
    }
    Ok(Exit::Fine)
}

/// The review as a numbered list; which task stands behind which number is kept for the answer.
fn numbered(opened: &Opened, review: &Review) -> Result<String, Failure> {
    let outlook = opened.outlook();
    let ids = report::review::numbered(&opened.season, review, &outlook);
    let names: Vec<String> = ids.iter().map(ToString::to_string).collect();
    let code = match (&opened.session, Places::find()) {
        (Some(session), Some(places)) => Numbered::of(&places, session.path())
            .keep(&review.today.to_string(), &names)
            .map_err(|e| {
                Failure::Disk(format!("The list could not be kept for the answer: {e}"))
            })?,
        // Practice leaves no trace, and takes no answer.
        _ => "practice".to_owned(),
    };
    Ok(report::review::numbered_text(
        &opened.season,
        review,
        &outlook,
        &ids,
        &code,
    ))
}

/// Prints seasons side by side: the files named, else those in the season's own folder.
pub fn history(at: &At, args: &HistoryArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let (seasons, weather) = if args.files.is_empty() {
        let opened = at.look()?;
        let found = match &opened.session {
            Some(session) => neighbours::beside(&RealDisk, session.path(), &opened.season),
            None => Neighbours {
                seasons: vec![opened.season],
                ..Neighbours::default()
            },
        };
        for left_out in &found.left_out {
            writeln!(super::told(), "left out: {left_out}")?;
        }
        (found.seasons, opened.weather)
    } else {
        named(&args.files)?
    };
    let own = seasons.last().map_or_else(Vec::new, |latest| {
        history::own_dates(&climatology(latest, &weather), latest)
    });
    let rows = history::table(&seasons);
    if args.output.json {
        schemas::HISTORY.write(&report::history::json(&rows, &own)?, out)?;
    } else {
        write!(out, "{}", report::history::text(&rows, &own))?;
    }
    Ok(Exit::Fine)
}

/// The seasons of some files, and the weather of the last one.
fn named(files: &[PathBuf]) -> Result<(Vec<Season>, Weather), Failure> {
    let mut seasons = Vec::new();
    let mut weather = Weather::default();
    for path in files {
        let session = Session::open(Arc::new(RealDisk), None, path, Mode::ReadOnly)
            .map_err(|e| Failure::from_open(&e))?;
        weather = season_weather::load(session.season(), &session.folder(), None);
        seasons.push(session.season().clone());
    }
    Ok((seasons, weather))
}
