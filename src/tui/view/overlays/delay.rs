//! Draws the rain delay: before and after, what appears, what clears.

use crate::domain::season::edit::DelayScope;
use crate::tui::canvas::{Canvas, centred};
use crate::tui::details::{Row, tone};
use crate::tui::model::Model;
use crate::tui::overlay::delay::{DelayView, warning_line};
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::view::lists;
use crate::tui::words;
use ratatui::layout::Rect;

/// Draws a rain delay being thought over.
pub fn draw(model: &Model, view: &DelayView, canvas: &mut Canvas<'_>, area: Rect) {
    let title = model
        .season
        .task(&view.task)
        .map_or_else(String::new, |t| format!("Rain delay: {}", t.title));
    let inside = canvas.window(centred(area, 92, area.height), &title);
    if inside.height < 3 {
        return;
    }
    let days = format!("< {} >", text::count(view.days, "day", "days"));
    let (one, all) = match view.scope {
        DelayScope::One => ("(x)", "( )"),
        DelayScope::AllThatFollow => ("( )", "(x)"),
    };
    let y = inside.y;
    let x = canvas.pieces(
        inside.x,
        y,
        inside.width,
        &[("later by ", Tone::Plain), (&days, Tone::Chosen)],
    );
    canvas.cursor = Some((inside.x + 9, y));
    let room = inside.right().saturating_sub(x + 2);
    let reach = if room > 48 {
        format!("{one} this task alone  {all} all that follow on its blocks")
    } else {
        format!("{one} one  {all} all that follow")
    };
    canvas.put(x + 2, y, room, &reach, Tone::Plain);
    let below = Rect::new(inside.x, y + 2, inside.width, inside.height - 2);
    lists::rows(
        canvas,
        below,
        &rows(model, view, usize::from(inside.width)),
        view.top,
    );
}

fn rows(model: &Model, view: &DelayView, columns: usize) -> Vec<Row> {
    let preview = match &view.preview {
        Ok(preview) => preview,
        Err(fault) => return vec![Row::signed("!! ", Tone::Stop, fault.as_str())],
    };
    let season = &model.season;
    let mut rows = Vec::new();
    let dates = |day| format!("{:<11}", words::weekday_day(day));
    for shift in &preview.shifts {
        let title = season.task(&shift.task).map_or("", |t| t.title.as_str());
        let room = columns.saturating_sub(28);
        rows.push(Row::text(format!(
            "{}-> {} {}",
            dates(shift.from),
            dates(shift.to),
            text::cut(title, room)
        )));
    }
    rows.push(Row::gap());
    for warning in &preview.appear {
        rows.push(Row::signed(
            "+ ",
            tone(warning.level),
            warning_line(season, warning),
        ));
    }
    for warning in &preview.clear {
        rows.push(Row::signed(
            "- ",
            Tone::Good,
            format!("clears: {}", warning_line(season, warning)),
        ));
    }
    if preview.appear.is_empty() && preview.clear.is_empty() {
        rows.push(Row::text("No warning appears and none clears."));
    }
    if preview.stay > 0 {
        let n = text::count(preview.stay as i64, "warning", "warnings");
        rows.push(Row::text(format!("{n} on these tasks stay as they are.")));
    }
    if !preview.appear.is_empty() {
        rows.push(Row::text("+ appears, - clears."));
    }
    rows
}
