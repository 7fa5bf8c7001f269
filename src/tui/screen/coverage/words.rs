//! The reasons of the cell or proposal in view, as lines.

use super::{block, sightings};
use crate::domain::coverage::{GridRow, Proposal};
use crate::domain::rules::{self, Warning};
use crate::domain::season::{Block, TargetSeen};
use crate::domain::targets::{self, BBCH_NOTE, Control, TargetView};
use crate::domain::units::plain_number;
use crate::tui::details::{Row, tone};
use crate::tui::model::Model;
use crate::tui::words;

/// The cell or proposal in view in a few lines.
pub(super) fn brief(model: &Model) -> Vec<Row> {
    let coverage = &model.spray.coverage;
    if coverage.in_proposals {
        return coverage
            .chosen_proposal()
            .map(|p| proposal(model, p))
            .unwrap_or_default();
    }
    match (coverage.cell(), block(model)) {
        (Some(cell), Some(block)) => cell_rows(model, block, cell),
        (None, Some(block)) => vec![
            Row::head(block.name.as_str()),
            Row::text("Nothing was seen here and no spray names a target: a ticks what was seen."),
        ],
        _ => Vec::new(),
    }
}

/// Everything about it.
pub fn about(model: &Model) -> Vec<Row> {
    let mut rows = brief(model);
    let coverage = &model.spray.coverage;
    if coverage.in_proposals {
        return rows;
    }
    if let Some(block) = block(model) {
        on_block(model, block, &mut rows);
    }
    let target = coverage.cell().map(|c| c.target.clone());
    if let Some(view) = target.and_then(|id| targets::find(&model.season, &id)) {
        facts(&view, &mut rows);
    }
    rows
}

fn cell_rows(model: &Model, block: &Block, cell: &GridRow) -> Vec<Row> {
    let mut rows = vec![Row::head(format!(
        "{} on {}, {}: {}",
        cell.target_name,
        cell.block_name,
        cell.lane.words().to_lowercase(),
        cell.state.words()
    ))];
    if let Some(left) = cell.closing_in_days {
        rows.push(Row::signed(
            "! ",
            crate::tui::theme::Tone::Caution,
            format!("the window is closing, {left} d left"),
        ));
    }
    rows.extend(cell.reasons.iter().map(|r| Row::text(r.as_str())));
    if let Some(day) = cell.last_safe {
        rows.push(Row::text(last_safe(model, block, day)));
    }
    for seen in sightings(&model.season, block, &cell.target) {
        rows.push(Row::text(seen_words(seen)));
    }
    rows
}

/// `last safe day against it Tue 2 Mar, in 22 d; swell 29 Mar (8 Mar-8 Apr), 8 times in 10`.
fn last_safe(model: &Model, block: &Block, day: chrono::NaiveDate) -> String {
    let swell = model
        .estimates
        .as_ref()
        .and_then(|e| e.of(&block.id))
        .map_or_else(String::new, |e| {
            format!("; swell {}, 8 times in 10", words::range(&e.swell))
        });
    format!(
        "Last safe day against it {}, {}{swell}.",
        words::weekday_day(day),
        words::away(day, model.today)
    )
}

/// `Seen 2026-27: 6 of 20 (red eggs)`.
pub(super) fn seen_words(seen: &TargetSeen) -> String {
    let count = match (seen.count, seen.of) {
        (Some(n), Some(of)) => format!(": {} of {}", plain_number(n), plain_number(of)),
        (Some(n), None) => format!(": {}", plain_number(n)),
        _ => String::new(),
    };
    let note = seen
        .note
        .as_ref()
        .map_or_else(String::new, |n| format!(" ({n})"));
    format!("Seen {}{count}{note}.", seen.season)
}

fn warning(w: &Warning, rows: &mut Vec<Row>) {
    rows.push(Row::signed(
        &format!("{} ", words::level_sign(w.level)),
        tone(w.level),
        format!("{}: {}", w.level.words(), w.message),
    ));
    let plain = crate::tui::theme::Tone::Plain;
    rows.push(Row::signed("   why  ", plain, w.why.as_str()));
    rows.push(Row::signed("   do   ", plain, w.todo.as_str()));
    rows.push(Row::signed("   from ", plain, w.source.line()));
}

/// What speaks on the block itself, and what was quietened there.
fn on_block(model: &Model, block: &Block, rows: &mut Vec<Row>) {
    let loud: Vec<&Warning> = model
        .outlook
        .warnings
        .iter()
        .filter(|w| w.task.is_none() && w.block.as_ref() == Some(&block.id))
        .collect();
    if loud.is_empty() && block.quiet.is_empty() {
        return;
    }
    rows.push(Row::gap());
    rows.push(Row::head(format!("On {}, whatever the task", block.name)));
    for w in loud {
        warning(w, rows);
    }
    for quiet in &block.quiet {
        let title = rules::rule(&quiet.rule).map_or(quiet.rule.as_str(), |r| r.title);
        let target = quiet
            .target
            .as_ref()
            .and_then(|id| targets::find(&model.season, id))
            .map_or_else(String::new, |v| format!(", {}", v.name()));
        rows.push(Row::text(format!(
            "Quietened {}: {title}{target}. Reason: {}",
            words::full_day(quiet.on),
            quiet.why
        )));
    }
}

/// What is known of a target.
fn facts(view: &TargetView<'_>, rows: &mut Vec<Row>) {
    rows.push(Row::gap());
    rows.push(Row::head(format!("About {}", view.name())));
    if !view.overwinters().is_empty() {
        rows.push(Row::text(format!("Overwinters: {}.", view.overwinters())));
    }
    rows.push(Row::text(match view.control() {
        Control::Good => "A dormant spray is what the trade relies on.",
        Control::Partial => "A dormant spray helps, but is never the only measure.",
        Control::None => "No dormant spray controls it.",
    }));
    for lane in crate::domain::season::Lane::ALL {
        if let Some(counts) = view.lane(lane) {
            let words = view.lane_words(lane);
            let gap = if words.is_empty() { "" } else { ": " };
            let counts = if counts { "counts" } else { "only helps" };
            rows.push(Row::text(format!("{} {counts}{gap}{words}.", lane.words())));
        }
    }
    if !view.actives().is_empty() {
        rows.push(Row::text(format!(
            "What works when dormant: {}.",
            view.actives().join(", ")
        )));
    }
    if let Some((stage, _)) = view.last_stage() {
        rows.push(Row::text(format!(
            "Too late from BBCH {stage}. {BBCH_NOTE}"
        )));
    }
    for chore in view.sanitation() {
        rows.push(Row::text(format!("Helps too: {}", chore.words)));
    }
    if let Some(threshold) = view.threshold() {
        rows.push(Row::text(format!(
            "Count: {}. {}",
            threshold.words(),
            threshold.source().line()
        )));
    }
    if !view.caveat().is_empty() {
        rows.push(Row::text(view.caveat()));
    }
    rows.push(Row::signed(
        "from ",
        crate::tui::theme::Tone::Plain,
        view.source().line(),
    ));
}

fn proposal(model: &Model, proposal: &Proposal) -> Vec<Row> {
    let task = &proposal.task;
    let mut rows = vec![
        Row::head(task.title.as_str()),
        Row::text(format!(
            "{}, {}; lane '{}'; on {}.",
            words::full_day(task.date),
            words::away(task.date, model.today),
            task.lane.words(),
            words::blocks(&model.season, task)
        )),
    ];
    rows.extend(
        proposal
            .reasons
            .iter()
            .map(|r| Row::signed("- ", crate::tui::theme::Tone::Plain, r.as_str())),
    );
    for block in model.season.blocks_of(task) {
        if let Some(e) = model.estimates.as_ref().and_then(|e| e.of(&block.id)) {
            rows.push(Row::text(format!(
                "{}: swell {}, 8 times in 10.",
                block.name,
                words::range(&e.swell)
            )));
        }
    }
    for w in &proposal.warnings {
        rows.push(Row::signed(
            &format!("{} ", words::level_sign(w.level)),
            tone(w.level),
            format!("{}: {}", w.level.words(), w.message),
        ));
    }
    rows
}
