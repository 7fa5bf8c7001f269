//! Screens that are a page of text: scrolled, searched, drawn.

use super::spray_work::next_holding;
use super::{Screen, ledger, review, run_sheet, years};
use crate::tui::action::Command;
use crate::tui::canvas::Canvas;
use crate::tui::details::{Row, wrapped};
use crate::tui::model::Model;
use crate::tui::view::{body_rows, lists_rows};
use ratatui::layout::Rect;

/// The lines of the page in view, as they fall at this width.
fn lines(model: &Model) -> Vec<Row> {
    let columns = model.size.0;
    wrapped(&rows(model, columns), usize::from(columns))
}

/// The page in view, as rows laid out for so many columns.
pub fn rows(model: &Model, columns: u16) -> Vec<Row> {
    match model.screen {
        Screen::Review => review::rows(model),
        Screen::RunSheet => run_sheet::rows(model),
        Screen::Years => years::rows(model, columns),
        Screen::Ledger => ledger::rows(model),
        _ => Vec::new(),
    }
}

/// Moves about in the page; says whether the command was one for it.
pub fn scroll(model: &mut Model, command: Command) -> bool {
    let count = model.count.unwrap_or(1) as usize;
    let page = model.page();
    let high = usize::from(body_rows(model.screen, model.size.1));
    let end = || lines(model).len().saturating_sub(high);
    let top = match command {
        Command::Up | Command::Left => model.top.saturating_sub(count),
        Command::Down | Command::Right => (model.top + count).min(end()),
        Command::PageUp => model.top.saturating_sub(page),
        Command::PageDown => (model.top + page).min(end()),
        Command::First => 0,
        Command::Last => end(),
        _ => return false,
    };
    model.top = top;
    model.found = None;
    true
}

/// To the next line that holds the words looked for, or the one before, round about.
pub fn find(model: &mut Model, back: bool) {
    let lines: Vec<String> = lines(model).into_iter().map(|l| l.sign + &l.text).collect();
    // From the line found last, which need not be the first in view.
    let at = model.found.unwrap_or(model.top);
    match next_holding(&lines, at, &model.find, back) {
        Some(place) if !model.find.is_empty() => {
            let high = usize::from(body_rows(model.screen, model.size.1));
            model.found = Some(place);
            model.top = place.min(lines.len().saturating_sub(high));
            let line = lines.get(place).map(|l| l.trim().to_owned());
            model.say(line.unwrap_or_default());
        }
        _ => {
            let text = format!("nothing found for '{}'", model.find);
            model.say(text);
        }
    }
}

/// Draws a page.
pub fn draw(model: &Model, rows: &[Row], canvas: &mut Canvas<'_>, area: Rect) {
    lists_rows(canvas, area, rows, model.top);
    canvas.cursor = Some((area.x, area.y));
}
