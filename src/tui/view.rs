//! Draws the model. Decides nothing: it borrows what is known and lays it out.
//!
//! ```text
//! top line      orchard, season, date, saved or not
//! the screen    board, swell, …
//! notice        one line for the user, blank else
//! footer        the most useful keys here
//! ```

mod lists;
pub use lists::rows as lists_rows;
mod overlays;
pub mod plot;

use super::action::{Command, Spot};
use super::canvas::Canvas;
use super::keymap::{KEYMAP, Scope, names};
use super::model::{Model, Saved};
use super::overlay::Overlay;
use super::screen::{self, Screen};
use super::text::width as text_width;
use super::theme::{Theme, Tone};
use super::words;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

/// What was drawn besides the cells.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Drawn {
    /// Where the cursor stands.
    pub cursor: Option<(u16, u16)>,
    /// What lies where, later ones above earlier ones.
    pub spots: Vec<(Rect, Spot)>,
}

/// The smallest screen that shows more than a request for room.
const LEAST: (u16, u16) = (24, 6);

/// A low window has no line to spare for notices: they take the footer's place.
fn is_low(rows: u16) -> bool {
    rows < 20
}

/// The board speaks in the footer's place unless the window is high.
fn speaks_in_footer(screen: Screen, rows: u16) -> bool {
    is_low(rows) || (screen == Screen::Board && rows < 30)
}

/// Rows between the top line and what stands below.
pub fn body_rows(screen: Screen, rows: u16) -> u16 {
    let below = if speaks_in_footer(screen, rows) { 2 } else { 3 };
    rows.saturating_sub(below)
}

/// Draws everything.
pub fn view(model: &Model, theme: Theme, buffer: &mut Buffer) -> Drawn {
    let mut canvas = Canvas::new(buffer, theme);
    let area = canvas.area();
    if area.width < LEAST.0 || area.height < LEAST.1 {
        let text = format!("window too small, need {}x{}", LEAST.0, LEAST.1);
        for (y, line) in
            (area.y..area.bottom()).zip(super::text::wrap(&text, usize::from(area.width.max(1))))
        {
            canvas.put(area.x, y, area.width, &line, Tone::Plain);
        }
        return Drawn::default();
    }
    top_line(model, &mut canvas, Rect { height: 1, ..area });
    let low = speaks_in_footer(model.screen, area.height);
    let rows = body_rows(model.screen, area.height);
    let body = Rect::new(area.x, area.y + 1, area.width, rows);
    match model.screen {
        Screen::Board => screen::board::view::draw(model, &mut canvas, body),
        Screen::Swell => screen::swell::view::draw(model, &mut canvas, body),
        Screen::Hours => screen::hours::view::draw(model, &mut canvas, body),
        Screen::Review => {
            screen::page::draw(model, &screen::review::rows(model), &mut canvas, body);
        }
        Screen::RunSheet => {
            screen::page::draw(model, &screen::run_sheet::rows(model), &mut canvas, body);
        }
        Screen::Ledger => {
            screen::page::draw(model, &screen::ledger::rows(model), &mut canvas, body);
        }
        Screen::Records => screen::records::view::draw(model, &mut canvas, body),
        Screen::Years => screen::page::draw(
            model,
            &screen::years::rows(model, body.width),
            &mut canvas,
            body,
        ),
        Screen::Coverage => screen::coverage::view::draw(model, &mut canvas, body),
        Screen::Mix => screen::mix::view::draw(model, &mut canvas, body),
        Screen::Materials => screen::materials::view::draw(model, &mut canvas, body),
        Screen::Buy => screen::buy::view::draw(model, &mut canvas, body),
        Screen::Sprayers => screen::sprayers::view::draw(model, &mut canvas, body),
    }
    // Where nothing can be chosen, a screen reader begins at the top.
    canvas.cursor.get_or_insert((body.x, body.y));
    let last = Rect::new(area.x, area.bottom() - 1, area.width, 1);
    let notice_row = if low {
        last
    } else {
        Rect {
            y: last.y - 1,
            ..last
        }
    };
    if !(low && model.notice.is_some()) {
        footer(model, &mut canvas, last);
    }
    if let Some(overlay) = &model.overlay {
        canvas.spots.clear();
        // The screen below may have said there how much more it holds.
        if !low {
            canvas.blank(notice_row);
        }
        overlays::draw(model, overlay, &mut canvas, body);
    }
    if model.notice.is_none()
        && let Some(tour) = model.tour
    {
        canvas.blank(notice_row);
        canvas.put(
            notice_row.x,
            notice_row.y,
            notice_row.width,
            &tour.words(model),
            Tone::Head,
        );
    }
    if let Some(notice) = &model.notice {
        canvas.blank(notice_row);
        let tone = if notice.alert {
            Tone::Stop
        } else {
            Tone::Plain
        };
        let sign = if notice.alert { "X " } else { "" };
        canvas.pieces(
            notice_row.x,
            notice_row.y,
            notice_row.width,
            &[(sign, tone), (&notice.text, Tone::Head)],
        );
    }
    Drawn {
        // What a narrow window has no room for has no cursor either.
        cursor: canvas
            .cursor
            .map(|(x, y)| (x.min(area.right() - 1), y.min(area.bottom() - 1))),
        spots: canvas.spots,
    }
}

/// Orchard, season, day, and whether it is saved.
fn top_line(model: &Model, canvas: &mut Canvas<'_>, row: Rect) {
    let (words, tone) = match &model.saved {
        Saved::Yes if model.read_only => ("read-only".to_owned(), Tone::Caution),
        Saved::Yes => ("saved".to_owned(), Tone::Good),
        Saved::Saving => ("saving".to_owned(), Tone::Plain),
        Saved::No(why) => (format!("NOT SAVED: {why}"), Tone::Stop),
        Saved::Practice if row.width >= 78 => (
            "PRACTICE: invented, nothing is written here".to_owned(),
            Tone::Plain,
        ),
        Saved::Practice => ("PRACTICE, invented".to_owned(), Tone::Plain),
    };
    let most = row.width / 2 + 4;
    let words = super::text::cut(&words, usize::from(most)).into_owned();
    let taken = u16::try_from(super::text::width(&words)).unwrap_or(0);
    canvas.put_right(row, &words, tone);
    let room = row.width.saturating_sub(taken + 2);
    let day = words::weekday_day(model.today);
    let day_columns = u16::try_from(day.len()).unwrap_or(0);
    let name = format!("{} {}", model.season.orchard.name, model.season.season);
    let x = canvas.put(
        row.x,
        row.y,
        room.saturating_sub(day_columns + 3),
        &name,
        Tone::Head,
    );
    canvas.put(
        x + 3,
        row.y,
        room.saturating_sub(x - row.x + 3),
        &day,
        Tone::Plain,
    );
}

/// The most useful keys here, and the count being typed.
fn footer(model: &Model, canvas: &mut Canvas<'_>, row: Rect) {
    let scopes: &[Scope] = match &model.overlay {
        None => model.screen.scopes(),
        Some(Overlay::Find(_) | Overlay::Finder(_) | Overlay::Help(_) | Overlay::Why(_)) => &[],
        Some(Overlay::Details(_)) => &[Scope::Board],
        Some(overlay) => overlay.scopes(),
    };
    let mut x = row.x;
    let room = |x: u16| row.right().saturating_sub(x);
    // However narrow it is, it says where all keys are told.
    let kept = if model.overlay.is_none() {
        let help = KEYMAP.iter().find(|b| b.command == Command::Help);
        let key = model.keymap.first(Command::Help);
        help.map_or(0, |b| text_width(&key) + text_width(b.short) + 3)
    } else {
        0
    };
    let mut told = false;
    for scope in scopes {
        for (binding, keys) in model
            .keymap
            .rows()
            .filter(|(b, _)| b.scope == *scope && !b.short.is_empty())
        {
            let key = names(keys.get(..1).unwrap_or_default());
            let wide = text_width(&key) + 1 + text_width(binding.short);
            let is_help = binding.command == Command::Help;
            told |= is_help;
            let kept = if told { 0 } else { kept };
            if usize::from(room(x)) < wide + kept
                || (binding.command == Command::Quit && model.overlay.is_some())
                || (binding.command == Command::Open && model.screen.is_page())
            {
                continue;
            }
            x = canvas.pieces(
                x,
                row.y,
                room(x),
                &[
                    (&key, Tone::Key),
                    (" ", Tone::Plain),
                    (binding.short, Tone::Plain),
                ],
            ) + 2;
        }
    }
    let hint = match &model.overlay {
        Some(Overlay::Help(_) | Overlay::Why(_)) => "arrows scroll, esc leaves",
        Some(Overlay::Find(_) | Overlay::Finder(_)) => "type words; enter goes, esc leaves",
        Some(Overlay::Details(_)) => "esc leaves",
        _ => "",
    };
    canvas.put(x, row.y, room(x), hint, Tone::Plain);
    if let Some(count) = model.count {
        canvas.put_right(row, &format!(" {count} times"), Tone::Head);
    }
}
