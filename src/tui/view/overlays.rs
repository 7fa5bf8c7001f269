//! Draws what is open above a screen.

mod delay;
mod form;

use super::lists;
use crate::tui::action::Spot;
use crate::tui::canvas::{Canvas, centred, top_of_list};
use crate::tui::details::{self, Row};
use crate::tui::keymap::{Scope, names};
use crate::tui::model::Model;
use crate::tui::overlay::{Overlay, finder::Finder};
use crate::tui::screen::{Screen, board, coverage, hours, materials, records, swell};
use crate::tui::text;
use crate::tui::theme::Tone;
use ratatui::layout::Rect;

/// Draws what is open.
pub fn draw(model: &Model, overlay: &Overlay, canvas: &mut Canvas<'_>, area: Rect) {
    match overlay {
        Overlay::Help(top) => {
            let title = format!("Keys: {}", model.screen.words());
            list(canvas, area, &title, &help(model), *top);
        }
        Overlay::Details(top) => {
            if let Some(task) = board::chosen(model) {
                let rows = details::full(model, task);
                list(canvas, area, &task.title, &rows, *top);
            }
        }
        Overlay::Why(top) => {
            let (title, rows) = why(model);
            list(canvas, area, &title, &rows, *top);
        }
        Overlay::Finder(finder) => draw_finder(model, finder, canvas, area),
        Overlay::Find(line) => {
            let row = Rect::new(area.x, area.bottom().saturating_sub(1), area.width, 1);
            canvas.blank(row);
            let x = canvas.pieces(row.x, row.y, row.width, &[("find: ", Tone::Key)]);
            form::entry(
                canvas,
                Rect::new(x, row.y, row.right().saturating_sub(x), 1),
                line,
                None,
            );
        }
        Overlay::Form(form) => form::draw(model, form, canvas, area),
        Overlay::Delay(view) => delay::draw(model, view, canvas, area),
    }
}

/// Everything about what is chosen on the screen in view.
fn why(model: &Model) -> (String, Vec<Row>) {
    let (title, rows) = match model.screen {
        Screen::Records => return records::view::whole(model),
        Screen::Coverage => ("Why", coverage::about(model)),
        Screen::Materials => (
            "The label, in the order it is read",
            materials::view::about(model),
        ),
        Screen::Hours => ("Why: this hour, and all fit hours", hours::view::why(model)),
        _ => (
            "Why: the estimate and what it rests on",
            swell::view::why(model),
        ),
    };
    (title.to_owned(), rows)
}

/// Wide enough to read, no wider.
const COLUMNS: u16 = 92;

fn list(canvas: &mut Canvas<'_>, area: Rect, title: &str, rows: &[Row], top: usize) {
    let columns = area.width.min(COLUMNS);
    let lines = details::wrapped(rows, usize::from(columns.saturating_sub(4))).len();
    let high = u16::try_from(lines + 2).unwrap_or(area.height);
    let inside = canvas.window(centred(area, columns, high), title);
    lists::rows(canvas, inside, rows, top);
    canvas.cursor = Some((inside.x, inside.y));
}

/// Every key that works on the screen in view, from the one table.
fn help(model: &Model) -> Vec<Row> {
    let mut rows = Vec::new();
    let mut places: Vec<Scope> = model.screen.scopes().to_vec();
    places.extend([Scope::Form, Scope::Delay]);
    for scope in places {
        rows.push(Row::head(scope.words()));
        for (binding, keys) in model
            .keymap
            .rows()
            .filter(|(b, keys)| b.scope == scope && !keys.is_empty())
        {
            let sign = format!("  {:<13} ", names(keys));
            rows.push(Row::signed(&sign, Tone::Key, binding.words));
        }
        rows.push(Row::gap());
    }
    rows.push(Row::text(
        "Signs: X stop, ! caution or closing, o open, . not yet or note, ▌ done, - skipped; ] last safe day. Rare actions have no key: the finder has them all by their words.",
    ));
    rows
}

fn draw_finder(model: &Model, finder: &Finder, canvas: &mut Canvas<'_>, area: Rect) {
    let window = centred(area, COLUMNS, area.height.min(22));
    let inside = canvas.window(window, "Find an action");
    let line = Rect {
        height: 1,
        ..inside
    };
    let matches = finder.matches(model);
    let rows = usize::from(inside.height.saturating_sub(1));
    let top = top_of_list(finder.chosen, matches.len(), rows);
    let shown = matches.iter().enumerate().skip(top).take(rows);
    for (y, (place, (binding, keys))) in (inside.y + 1..inside.bottom()).zip(shown) {
        let chosen = place == finder.chosen;
        let mark = if chosen { "> " } else { "  " };
        let tone = if chosen { Tone::Chosen } else { Tone::Plain };
        let key = text::cut(keys, 12);
        let x = inside.x + inside.width.saturating_sub(13);
        let room = inside.width.saturating_sub(15);
        canvas.pieces(
            inside.x,
            y,
            room,
            &[(mark, Tone::Key), (binding.words, tone)],
        );
        canvas.put(x, y, 12, &key, Tone::Key);
        let row = Rect::new(inside.x, y, inside.width, 1);
        canvas.spots.push((row, Spot::Row(place)));
    }
    if matches.is_empty() {
        canvas.put(
            inside.x,
            inside.y + 1,
            inside.width,
            "no action has these words",
            Tone::Plain,
        );
    }
    let x = canvas.put(line.x, line.y, line.width, "words: ", Tone::Key);
    form::entry(
        canvas,
        Rect::new(x, line.y, line.right().saturating_sub(x), 1),
        &finder.line,
        None,
    );
}
