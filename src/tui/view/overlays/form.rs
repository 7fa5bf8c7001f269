//! Draws a form: labels, entries, what is written in full words, what is wrong.

use crate::domain::materials::label_fields;
use crate::tui::action::Spot;
use crate::tui::canvas::{Canvas, centred};
use crate::tui::form::{Field, Form, Kind};
use crate::tui::line::Line;
use crate::tui::model::Model;
use crate::tui::text;
use crate::tui::theme::Tone;
use ratatui::layout::Rect;

const LABELS: u16 = 14;

/// Draws a line being typed with its cursor, the end in view, and what the
/// completion would add.
pub fn entry(canvas: &mut Canvas<'_>, row: Rect, line: &Line, rest: Option<&str>) {
    let head = line.head();
    let room = usize::from(row.width.saturating_sub(1));
    let wide = text::width(&head);
    let whole = line.text();
    // A text longer than the row is shown from where its cursor is still seen.
    let hidden = wide.saturating_sub(room);
    let mut skipped = 0;
    let shown: String = whole
        .chars()
        .skip_while(|c| {
            let more = skipped < hidden;
            if more {
                skipped += unicode_width::UnicodeWidthChar::width(*c).unwrap_or(0);
            }
            more
        })
        .collect();
    let x = canvas.put(row.x, row.y, row.width, &shown, Tone::Plain);
    if let Some(rest) = rest {
        canvas.put(x, row.y, row.right().saturating_sub(x), rest, Tone::Faint);
    }
    let at = u16::try_from(wide - skipped.min(wide)).unwrap_or(0);
    canvas.cursor = Some((row.x + at.min(row.width.saturating_sub(1)), row.y));
}

/// Draws a form.
pub fn draw(model: &Model, form: &Form, canvas: &mut Canvas<'_>, area: Rect) {
    let shown: Vec<(usize, &Field)> = form
        .fields
        .iter()
        .enumerate()
        .filter(|(_, f)| f.is_shown)
        .collect();
    let many = shown.iter().any(|(_, f)| f.kind == Kind::Notes);
    let columns = area.width.min(76);
    let rows = if many {
        area.height
    } else {
        u16::try_from(shown.len() + form.about.len()).unwrap_or(1) + 7
    };
    // Said here as well: news may take the place of the notice at any moment.
    let title = if form.came_back {
        format!("From last time: {}", form.title)
    } else {
        form.title.clone()
    };
    let inside = canvas.window(centred(area, columns, rows), &title);
    if inside.height == 0 || inside.width < 8 {
        return;
    }
    // Below the fields: one line "keep", one blank, two of help.
    let foot = 4.min(inside.height.saturating_sub(1));
    // What it is about gives way to the fields where there is no room for both.
    let wanted = u16::try_from(form.about.len()).unwrap_or(u16::MAX);
    let fields = u16::try_from(shown.len()).unwrap_or(u16::MAX);
    let head = wanted.min((inside.height - foot).saturating_sub(fields));
    for (y, line) in (inside.y..inside.y + head).zip(&form.about) {
        canvas.put(inside.x, y, inside.width, line, Tone::Plain);
    }
    let list = Rect::new(
        inside.x,
        inside.y + head,
        inside.width,
        inside.height - foot - head,
    );
    // Room for the longest name, and for what is written beside it.
    let longest = shown.iter().map(|(_, f)| text::width(&f.label) + 3).max();
    let labels = u16::try_from(longest.unwrap_or(0))
        .unwrap_or(LABELS)
        .max(LABELS)
        .min(inside.width / 2);
    let focus = shown
        .iter()
        .position(|(place, _)| *place == form.focus)
        .unwrap_or(shown.len());
    let top = crate::tui::canvas::top_of_list(
        focus.min(shown.len().saturating_sub(1)),
        shown.len(),
        usize::from(list.height),
    );
    for (y, (place, field)) in (list.y..list.bottom()).zip(shown.iter().skip(top)) {
        let focused = *place == form.focus;
        let mark = if focused { "> " } else { "  " };
        let tone = if focused { Tone::Head } else { Tone::Plain };
        canvas.pieces(
            list.x,
            y,
            labels,
            &[(mark, Tone::Key), (&field.label, tone)],
        );
        let x = list.x + labels;
        let room = Rect::new(x, y, list.right().saturating_sub(x), 1);
        canvas
            .spots
            .push((Rect::new(list.x, y, list.width, 1), Spot::Row(*place)));
        if field.kind == Kind::Notes {
            notes(
                canvas,
                Rect {
                    height: list.bottom() - y,
                    ..room
                },
                field,
                focused,
            );
            break;
        }
        let meaning = form.check(*place, model);
        draw_field(model, canvas, room, field, (focused, meaning));
    }
    let keep = list.bottom();
    if keep < inside.bottom() {
        let focused = form.focus >= form.fields.len();
        let tone = if focused { Tone::Chosen } else { Tone::Plain };
        let mark = if focused { "> " } else { "  " };
        let asked = form
            .missing(model)
            .map(|m| m.iter().filter(|m| m.is_law()).count());
        let lacking = match asked {
            None | Some(0) => String::new(),
            Some(n) => format!("; {n} of what laws ask for not filled in"),
        };
        let preview = form
            .preview(model)
            .map_or_else(String::new, |p| format!("  = {p}"));
        canvas.pieces(
            inside.x,
            keep,
            inside.width,
            &[
                (mark, Tone::Key),
                ("[ keep ]", tone),
                ("  esc drops", Tone::Plain),
                (&lacking, Tone::Plain),
                (&preview, Tone::Good),
            ],
        );
        if focused {
            canvas.cursor = Some((inside.x + 2, keep));
        }
    }
    help(
        model,
        form,
        canvas,
        Rect::new(
            inside.x,
            keep + 1,
            inside.width,
            inside.bottom().saturating_sub(keep + 1),
        ),
        list.width.saturating_sub(labels),
    );
}

fn draw_field(
    model: &Model,
    canvas: &mut Canvas<'_>,
    room: Rect,
    field: &Field,
    (focused, meaning): (bool, Result<String, String>),
) {
    if let Kind::Choice(options) = &field.kind {
        let shown = field.shown();
        let arrows = if focused && options.len() > 1 {
            ("< ", " >")
        } else {
            ("", "")
        };
        canvas.pieces(
            room.x,
            room.y,
            room.width,
            &[
                (arrows.0, Tone::Key),
                (&shown, if focused { Tone::Head } else { Tone::Plain }),
                (arrows.1, Tone::Key),
            ],
        );
        if focused {
            canvas.cursor = Some((room.x, room.y));
        }
        return;
    }
    // What it means stands behind the text where both fit.
    let text = field.text();
    if focused {
        let rest = field.completion(model);
        entry(canvas, room, &field.line, rest.as_deref());
        if rest.is_some() {
            return;
        }
    } else {
        canvas.put(room.x, room.y, room.width, &text, Tone::Plain);
    }
    let taken = u16::try_from(text::width(&text)).unwrap_or(room.width) + 2;
    let left = room.width.saturating_sub(taken);
    if left < 6 || (text.is_empty() && meaning.is_err()) {
        return;
    }
    match meaning {
        Ok(words) if words.is_empty() || words.eq_ignore_ascii_case(text.trim()) => {}
        Ok(words) => {
            let words = format!("= {words}");
            canvas.put(room.x + taken, room.y, left, &words, Tone::Good);
        }
        Err(_) => {
            canvas.pieces(
                room.x + taken,
                room.y,
                left,
                &[("!! ", Tone::Stop), ("not yet right", Tone::Plain)],
            );
        }
    }
}

fn notes(canvas: &mut Canvas<'_>, room: Rect, field: &Field, focused: bool) {
    let wide = usize::from(room.width.saturating_sub(1)).max(1);
    let lines = text::wrap(&field.text(), wide);
    // The cursor stands where the text before it ends.
    let before = text::wrap(&field.line.head(), wide);
    let row = before.len().saturating_sub(1);
    let rows = usize::from(room.height);
    let top = row.saturating_sub(rows.saturating_sub(1));
    for (y, line) in (room.y..room.bottom()).zip(lines.iter().skip(top)) {
        canvas.put(room.x, y, room.width, line, Tone::Plain);
    }
    if focused {
        let column = before.last().map_or(0, |l| text::width(l));
        let blank = field.line.head().ends_with(' ') && column < wide;
        let x = room.x + u16::try_from(column + usize::from(blank)).unwrap_or(0);
        let y = room.y + u16::try_from(row - top).unwrap_or(0);
        canvas.cursor = Some((
            x.min(room.right().saturating_sub(1)),
            y.min(room.bottom().saturating_sub(1)),
        ));
    }
}

/// What to write in a field; a label's field with a text that would do.
fn meaning_of(field: &Field) -> String {
    match field.kind {
        Kind::Label(place) => label_fields().get(place).map_or_else(
            || field.help.to_string(),
            |label| format!("{} For instance: {}", label.meaning, label.example),
        ),
        _ => field.help.to_string(),
    }
}

/// What a text means, where there is no room for it behind the text.
fn cut_short(model: &Model, field: &Field, room: u16) -> Option<String> {
    let text = field.text();
    let meaning = field.check(model).ok()?;
    let taken = text::width(&text) + "  = ".len() + text::width(&meaning);
    let differs = !meaning.is_empty() && !meaning.eq_ignore_ascii_case(text.trim());
    (differs && taken > usize::from(room)).then_some(meaning)
}

/// What to write in the focused field, what it means where the field has no room for that, or
/// what is wrong with it.
fn help(model: &Model, form: &Form, canvas: &mut Canvas<'_>, area: Rect, room: u16) {
    let field = form.fields.get(form.focus);
    let (sign, words) = match (&form.fault, field) {
        (Some(fault), _) => ("!! ", fault.clone()),
        (None, Some(field)) => match cut_short(model, field, room) {
            Some(meaning) => ("= ", meaning),
            None => ("", meaning_of(field)),
        },
        (None, None) => (
            "",
            form.lacks(model)
                .unwrap_or_else(|| "enter keeps what is written above".to_owned()),
        ),
    };
    let indent = u16::try_from(sign.len()).unwrap_or(0);
    let lines = text::wrap(
        &words,
        usize::from(area.width.saturating_sub(indent)).max(8),
    );
    let from = if area.height > 2 { area.y + 1 } else { area.y };
    let tone = if sign == "= " { Tone::Good } else { Tone::Stop };
    canvas.put(area.x, from, area.width, sign, tone);
    for (y, line) in (from..area.bottom()).zip(lines) {
        canvas.put(
            area.x + indent,
            y,
            area.width.saturating_sub(indent),
            &line,
            Tone::Plain,
        );
    }
}
