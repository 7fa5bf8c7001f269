//! The week's review: what changed, what is due, at risk, short, and what to look at.

use super::page;
use crate::domain::review;
use crate::report;
use crate::report::review::sections;
use crate::tui::action::{Command, Effect};
use crate::tui::details::Row;
use crate::tui::model::Model;
use crate::tui::overlay::Overlay;
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::words;

/// From so many blocks on the review begins with one page.
const MANY: usize = 10;
/// Names of sections get this many columns.
const NAME: usize = 10;

/// Answers a command on the review; `None` where it is not for it.
pub fn update(model: &mut Model, command: Command) -> Option<Vec<Effect>> {
    if page::scroll(model, command) {
        return Some(Vec::new());
    }
    match command {
        Command::MarkReviewed => return Some(mark(model)),
        Command::Find => model.overlay = Some(Overlay::find()),
        Command::FindNext => page::find(model, false),
        Command::FindPrevious => page::find(model, true),
        _ => return None,
    }
    Some(Vec::new())
}

/// Marks the week as reviewed, and notes the estimates of the day.
fn mark(model: &mut Model) -> Vec<Effect> {
    let Some(estimates) = &model.estimates else {
        model.say("the swell estimate is still being made; try again in a moment");
        return Vec::new();
    };
    let after = review::mark(&model.season, estimates, model.today);
    let day = words::full_day(model.today);
    if after == model.season {
        model.say(format!("reviewed on {day} already"));
        return Vec::new();
    }
    model.top = 0;
    model.edit(
        after,
        &format!("reviewed {day}; the swell estimates of the day are noted"),
    )
}

/// The review as rows.
pub fn rows(model: &Model) -> Vec<Row> {
    let Some(review) = &model.review else {
        return vec![Row::text("The review is being made..")];
    };
    let key = model.keymap.first(Command::MarkReviewed);
    let days = (review.today - review.since).num_days();
    let head = if review.first {
        format!(
            "Review of the season so far, since {}: the first one.",
            words::full_day(review.since)
        )
    } else if days == 0 {
        "Review: marked as reviewed today.".to_owned()
    } else {
        format!(
            "Review since {}, {}.",
            words::full_day(review.since),
            text::count(days, "day", "days")
        )
    };
    let mut rows = Vec::new();
    if model.season.blocks.len() >= MANY {
        // One page first; everything stands behind it.
        let chances = model.run.chances(model.revision).unwrap_or_default();
        let page = report::review::brief(&model.season, review, model.run.sheet(), chances);
        let lines: Vec<&str> = page.lines().collect();
        // Its last line tells the command.
        for line in lines.iter().take(lines.len().saturating_sub(1)) {
            rows.push(if line.starts_with(' ') {
                Row::verbatim(*line)
            } else {
                Row::head(*line)
            });
        }
        rows.push(Row::gap());
    }
    rows.push(Row::head(head));
    let mut empty = Vec::new();
    for section in sections(&model.season, review) {
        if section.items.is_empty() {
            empty.push(section.name.to_lowercase());
            continue;
        }
        for (i, item) in section.items.iter().enumerate() {
            let name = if i == 0 { section.name } else { "" };
            rows.push(Row::signed(
                &format!("{name:<NAME$}"),
                Tone::Head,
                item.as_str(),
            ));
        }
    }
    if !empty.is_empty() {
        rows.push(Row::signed(
            &format!("{:<NAME$}", "Nothing"),
            Tone::Head,
            format!("under {}", empty.join(", ")),
        ));
    }
    rows.push(Row::signed(
        &format!("{:<NAME$}", "Then"),
        Tone::Head,
        format!("{key} marks it reviewed. The label decides; this is a plan only."),
    ));
    rows
}
