//! What the own dates do for the estimate, as sentences.

use super::{full_day, off, range};
use crate::domain::history::{ASKED_DAYS_BEFORE, HindcastError, OwnDates, errors};
use crate::domain::units::count;

/// The error before and after the own dates were used, over all and date by date.
pub fn own_lines(own: &[OwnDates]) -> Vec<String> {
    let mut lines = Vec::new();
    if own.is_empty() {
        return vec![
            "No dates of past springs are on the blocks yet. Note when buds swell and when flowers open: two springs draw the estimate to your own place.".to_owned(),
        ];
    }
    if let Some((before, after)) = errors(own) {
        let dates: usize = own.iter().map(|o| o.judged.len()).sum();
        lines.push(format!(
            "{} seen on your blocks, each asked for again as of {ASKED_DAYS_BEFORE} days before it, with the temperatures known by then and no date of its own spring.",
            count(dates, "date", "dates")
        ));
        lines.push(format!(
            "Before, without your dates: {}.",
            said(before, dates)
        ));
        lines.push(format!(
            "After, with those of the other springs: {}.",
            said(after, dates)
        ));
        if dates < 5 {
            lines.push(
                "That is too few dates to call it better or worse; each spring adds to it."
                    .to_owned(),
            );
        }
    }
    for block in own {
        for judged in &block.judged {
            let one = |r| {
                let inside = if judged.is_inside(r) {
                    ""
                } else {
                    ", OUTSIDE its range"
                };
                format!("{}, {}{inside}", range(r), off(judged.error_days(r)))
            };
            lines.push(format!(
                "{}, {} {}: before {}; after {}",
                block.name,
                judged.stage,
                full_day(judged.seen),
                one(judged.before),
                one(judged.after)
            ));
        }
        if block.springs == 1 && block.without_weather.is_empty() {
            lines.push(format!(
                "{}: one spring only; it takes a second to judge by",
                block.name
            ));
        }
        for date in &block.without_weather {
            lines.push(format!(
                "{}, {}: that spring's temperatures are not on file",
                block.name,
                full_day(*date)
            ));
        }
    }
    lines
}

fn said(error: HindcastError, dates: usize) -> String {
    let bias = match error.bias_days.round() as i64 {
        0 => "neither early nor late on the whole".to_owned(),
        d if d > 0 => format!("{d} d late on the whole"),
        d => format!("{} d early on the whole", -d),
    };
    format!(
        "off by {:.1} days (root mean square), {bias}; {} of {dates} within a range of {:.0} days",
        error.rmse_days, error.inside, error.width_days
    )
}
