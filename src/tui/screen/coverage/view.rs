//! Draws the coverage screen.
//!
//! ```text
//! head        gaps, proposals
//! closing     windows that are closing with nothing to cover the target
//! list        block, target, a cell a lane | proposals
//! reasons     of the cell or proposal chosen
//! ```

use super::words::brief;
use super::{Coverage, Item, sightings};
use crate::domain::coverage::{CLOSING_DAYS, Cover, GridRow, Proposal};
use crate::domain::rules::Level;
use crate::domain::season::{Lane, Season};
use crate::tui::action::Spot;
use crate::tui::canvas::{Canvas, top_of_list};
use crate::tui::details::{Row, tone};
use crate::tui::model::Model;
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::view::lists_rows;
use crate::tui::words;
use ratatui::layout::Rect;

/// Draws the coverage screen.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let coverage = &model.spray.coverage;
    if model.estimates.is_none() {
        canvas.put(
            area.x,
            area.y,
            area.width,
            "the swell estimate is being made; the grid follows..",
            Tone::Plain,
        );
        return;
    }
    if model.season.blocks.is_empty() {
        let words = "There are no blocks yet. A block is trees of one kind looked after together; the season file names them.";
        lists_rows(canvas, area, &[Row::text(words)], 0);
        return;
    }
    head(coverage, canvas, Rect { height: 1, ..area });
    closing(model, canvas, Rect::new(area.x, area.y + 1, area.width, 1));
    let rest = Rect::new(
        area.x,
        area.y + 2,
        area.width,
        area.height.saturating_sub(2),
    );
    // The reasons get what the list leaves, but never less than two fifths.
    let lines = if coverage.in_proposals {
        coverage.proposals.len()
    } else {
        lines(model).len() + 1
    };
    let lines = u16::try_from(lines).unwrap_or(u16::MAX);
    let list = lines.min(rest.height.saturating_sub(rest.height * 2 / 5));
    let upper = Rect {
        height: list,
        ..rest
    };
    let below = rest.y + list + 1;
    let lower = Rect::new(
        rest.x,
        below,
        rest.width,
        rest.bottom().saturating_sub(below + 1),
    );
    if coverage.in_proposals {
        draw_proposals(model, canvas, upper);
    } else {
        draw_grid(model, canvas, upper);
    }
    lists_rows(canvas, lower, &brief(model), 0);
}

fn head(coverage: &Coverage, canvas: &mut Canvas<'_>, row: Rect) {
    let gaps = coverage.grid.gaps().len();
    let sign = if gaps > 0 { "! " } else { "" };
    let words = format!(
        "Coverage: {}, {}",
        match gaps {
            0 => "no gap".to_owned(),
            n => text::count(n as i64, "gap", "gaps"),
        },
        match coverage.proposals.len() {
            0 => "nothing proposed".to_owned(),
            n => text::count(n as i64, "proposal", "proposals"),
        }
    );
    canvas.pieces(
        row.x,
        row.y,
        row.width,
        &[(sign, Tone::Caution), (&words, Tone::Head)],
    );
    let part = if coverage.in_proposals {
        "tab: grid | [PROPOSALS]"
    } else {
        "tab: [GRID] | proposals"
    };
    if usize::from(row.width) > text::width(&words) + text::width(part) + 4 {
        canvas.put_right(row, part, Tone::Plain);
    }
}

/// Windows that are closing, each with its day and the range of swell.
fn closing(model: &Model, canvas: &mut Canvas<'_>, row: Rect) {
    let each: Vec<String> = model
        .spray
        .coverage
        .grid
        .closing()
        .filter_map(|c| {
            let day = c.last_safe?;
            let swell = model.estimates.as_ref()?.of(&c.block)?;
            Some(format!(
                "{} on {}: last safe {}, swell {}",
                c.target_name,
                c.block_name,
                words::day(day),
                words::range(&swell.swell)
            ))
        })
        .collect();
    if each.is_empty() {
        let words = format!("no uncovered window closes within {CLOSING_DAYS} days");
        canvas.put(row.x, row.y, row.width, &words, Tone::Plain);
        return;
    }
    canvas.pieces(
        row.x,
        row.y,
        row.width,
        &[
            ("! closing: ", Tone::Caution),
            (&each.join("; "), Tone::Plain),
        ],
    );
}

/// A line of the grid.
enum Line {
    /// The heading of a block.
    Block(usize),
    /// An item, by its place.
    Item(usize),
}

fn lines(model: &Model) -> Vec<Line> {
    let items = &model.spray.coverage.items;
    let mut out = Vec::new();
    for (place, block) in model.season.blocks.iter().enumerate() {
        out.push(Line::Block(place));
        for (n, item) in items.iter().enumerate() {
            if item.block == block.id {
                out.push(Line::Item(n));
            }
        }
    }
    out
}

/// The columns of names and of one lane.
fn columns(width: u16) -> (u16, u16) {
    let names = if width >= 78 { 26 } else { 16 };
    let lane = (width.saturating_sub(names) / 3).min(27);
    (width.saturating_sub(3 * lane).min(MOST_NAMES), lane)
}

/// The most columns for names: beyond, the eye would lose the row.
const MOST_NAMES: u16 = 48;
/// Columns for the last safe day, where there is room behind the lanes.
const SAFE: u16 = 24;

fn draw_grid(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let coverage = &model.spray.coverage;
    if area.height < 2 {
        return;
    }
    let (names, lane) = columns(area.width);
    canvas.put(area.x, area.y, names, "block, target", Tone::Head);
    let heads = if lane >= 18 {
        ["After leaf drop", "Mid-winter", "Before swell"]
    } else {
        ["Leaf drop", "Mid-winter", "Pre-swell"]
    };
    for (n, words) in heads.into_iter().enumerate() {
        let x = area.x + names + lane * u16::try_from(n).unwrap_or(0);
        canvas.put(x + 1, area.y, lane.saturating_sub(2), words, Tone::Head);
    }
    let behind = area.x + names + 3 * lane + 2;
    if behind + SAFE <= area.right() {
        canvas.put(behind, area.y, SAFE, "last safe day", Tone::Head);
    }
    let lines = lines(model);
    let chosen = lines
        .iter()
        .position(|l| matches!(l, Line::Item(n) if *n == coverage.at))
        .unwrap_or(0);
    let rows = usize::from(area.height - 1);
    let top = top_of_list(chosen, lines.len(), rows);
    for (y, line) in (area.y + 1..area.bottom()).zip(lines.iter().skip(top)) {
        match line {
            Line::Block(place) => {
                block_line(model, canvas, Rect::new(area.x, y, area.width, 1), *place);
            }
            Line::Item(n) => {
                if let Some(item) = coverage.items.get(*n) {
                    let row = Rect::new(area.x, y, area.width, 1);
                    item_line(model, canvas, row, (*n, item));
                }
            }
        }
    }
    let left = lines.len().saturating_sub(top + rows);
    if left > 0 {
        let edge = Rect::new(area.x, area.bottom(), area.width, 1);
        canvas.put_right(edge, &format!(" {left} more below "), Tone::Head);
    }
}

fn block_line(model: &Model, canvas: &mut Canvas<'_>, row: Rect, place: usize) {
    let Some(block) = model.season.blocks.get(place) else {
        return;
    };
    let swell = model
        .estimates
        .as_ref()
        .and_then(|e| e.of(&block.id))
        .map_or_else(String::new, |e| {
            format!("swells {}", words::range(&e.swell))
        });
    let worst = model
        .outlook
        .warnings
        .iter()
        .filter(|w| w.task.is_none() && w.block.as_ref() == Some(&block.id))
        .map(|w| w.level)
        .max();
    let sign = worst.map_or(String::new(), |l| format!("{} ", words::level_sign(l)));
    canvas.pieces(
        row.x,
        row.y,
        row.width,
        &[
            (&sign, tone(worst.unwrap_or(Level::Note))),
            (&block.name, Tone::Head),
            ("  ", Tone::Plain),
            (&swell, Tone::Plain),
        ],
    );
}

/// `[x]` seen this season, `[.]` in an earlier one, `[ ]` named by a spray alone.
fn seen_sign(season: &Season, cell: &GridRow) -> &'static str {
    let block = season.block(&cell.block);
    let seen = block.map_or_else(Vec::new, |b| sightings(season, b, &cell.target));
    match seen.first() {
        Some(seen) if seen.season == season.season => "[x]",
        Some(_) => "[.]",
        None => "[ ]",
    }
}

fn item_line(model: &Model, canvas: &mut Canvas<'_>, row: Rect, (place, item): (usize, &Item)) {
    let coverage = &model.spray.coverage;
    let chosen = place == coverage.at;
    canvas.spots.push((row, Spot::Line(place)));
    let (names, lane) = columns(row.width);
    let cells = item
        .cells
        .and_then(|s| coverage.grid.rows.get(s..s + Lane::ALL.len()));
    let Some(cells) = cells else {
        let mark = if chosen { ">" } else { " " };
        let tone = if chosen { Tone::Chosen } else { Tone::Plain };
        canvas.pieces(
            row.x,
            row.y,
            row.width,
            &[(mark, Tone::Key), ("nothing seen, nothing aimed at", tone)],
        );
        if chosen {
            canvas.cursor = Some((row.x, row.y));
        }
        return;
    };
    if let Some(first) = cells.first() {
        let name = format!(" {} {}", seen_sign(&model.season, first), first.target_name);
        let tone = if chosen { Tone::Head } else { Tone::Plain };
        let name = text::cut(&name, usize::from(names.saturating_sub(1))).into_owned();
        canvas.put(row.x, row.y, names, &name, tone);
    }
    let behind = row.x + names + 3 * lane + 2;
    let safe = cells.iter().filter(|c| c.key).filter_map(|c| c.last_safe);
    if let Some(day) = safe.min().filter(|_| behind + SAFE <= row.right()) {
        let words = format!(
            "{}, {}",
            words::weekday_day(day),
            words::away(day, model.today)
        );
        canvas.put(behind, row.y, SAFE, &words, Tone::Plain);
    }
    for (n, cell) in cells.iter().enumerate() {
        let x = row.x + names + lane * u16::try_from(n).unwrap_or(0);
        let spot = Rect::new(x, row.y, lane, 1);
        canvas.spots.push((spot, Spot::Cell(place, n)));
        let here = chosen && n == coverage.lane;
        let mark = if here { ">" } else { " " };
        let sign = format!("{} ", cell.state.sign());
        let words = text::cut(word(cell.state, lane), usize::from(lane.saturating_sub(3)));
        let (sign_tone, word_tone) = if here {
            (Tone::Chosen, Tone::Chosen)
        } else {
            (look(cell), Tone::Plain)
        };
        canvas.pieces(
            x,
            row.y,
            lane,
            &[(mark, Tone::Key), (&sign, sign_tone), (&words, word_tone)],
        );
        if here {
            canvas.cursor = Some((x, row.y));
        }
    }
}

/// The state in words that fit a lane; the reasons below say it in full.
fn word(state: Cover, lane: u16) -> &'static str {
    match (state, lane) {
        (Cover::NotControllable, 27..) => state.words(),
        (Cover::NotControllable, 18..) => "no spray helps",
        (Cover::NotControllable, _) => "no spray",
        (Cover::NothingPlanned, ..19) => "nothing yet",
        (Cover::OtherLane, 18..) => "not this lane",
        (Cover::OtherLane, _) => "other lane",
        (Cover::WrongActive, ..18) => "wrong kind",
        (Cover::Passed, ..18) => "passed",
        _ => state.words(),
    }
}

fn look(cell: &GridRow) -> Tone {
    match cell.state {
        Cover::Done | Cover::Covered => Tone::Good,
        Cover::TooLate => Tone::Stop,
        Cover::WrongActive | Cover::NothingPlanned if cell.key => Tone::Caution,
        _ => Tone::Plain,
    }
}

fn worst(proposal: &Proposal) -> Option<Level> {
    proposal.warnings.iter().map(|w| w.level).max()
}

fn draw_proposals(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let coverage = &model.spray.coverage;
    let rows = usize::from(area.height);
    let top = top_of_list(coverage.proposal, coverage.proposals.len(), rows);
    let shown = coverage.proposals.iter().enumerate().skip(top);
    for (y, (n, proposal)) in (area.y..area.bottom()).zip(shown) {
        let chosen = n == coverage.proposal;
        let mark = if chosen { "> " } else { "  " };
        let level = worst(proposal);
        let sign = level.map_or_else(String::new, |l| format!("{} ", words::level_sign(l)));
        let text = format!(
            "{}: {}, {}",
            words::weekday_day(proposal.task.date),
            proposal.task.title,
            words::blocks(&model.season, &proposal.task)
        );
        let look = if chosen { Tone::Chosen } else { Tone::Plain };
        canvas.pieces(
            area.x,
            y,
            area.width,
            &[
                (mark, Tone::Key),
                (&sign, tone(level.unwrap_or(Level::Note))),
                (&text, look),
            ],
        );
        canvas
            .spots
            .push((Rect::new(area.x, y, area.width, 1), Spot::Line(n)));
        if chosen {
            canvas.cursor = Some((area.x, y));
        }
    }
}
