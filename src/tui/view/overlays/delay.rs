//! Draws the rain delay: before and after, what appears, what clears.

use crate::domain::hours::delay::Plan;
use crate::domain::hours::verdict::Fit;
use crate::domain::season::Season;
use crate::domain::season::edit::DelayScope;
use crate::tui::canvas::{Canvas, centred};
use crate::tui::details::{Row, tone};
use crate::tui::model::Model;
use crate::tui::overlay::delay::{DelayView, FitChoice, Preview, warning_line};
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::view::lists;
use crate::tui::words;
use ratatui::layout::Rect;

/// Draws a rain delay being thought over.
pub fn draw(model: &Model, view: &DelayView, canvas: &mut Canvas<'_>, area: Rect) {
    let title = model.season.task(&view.task).map_or_else(String::new, |t| {
        let what = if view.dragged { "Move" } else { "Rain delay" };
        format!("{what}: {}", t.title)
    });
    let inside = canvas.window(centred(area, 92, area.height), &title);
    if inside.height < 3 {
        return;
    }
    let plans = view.fit.as_ref().map(|f| (f.pick + 1, f.plans().len()));
    let (before, days) = match plans {
        Some((pick, n)) => ("into ", format!("< fit hours, choice {pick} of {n} >")),
        None => (
            "later by ",
            format!("< {} >", text::count(view.days, "day", "days")),
        ),
    };
    let (one, all) = match view.scope {
        DelayScope::One => ("(x)", "( )"),
        DelayScope::AllThatFollow => ("( )", "(x)"),
    };
    let y = inside.y;
    let x = canvas.pieces(
        inside.x,
        y,
        inside.width,
        &[(before, Tone::Plain), (&days, Tone::Chosen)],
    );
    canvas.cursor = Some((inside.x + before.len() as u16, y));
    let room = inside.right().saturating_sub(x + 2);
    let reach = if view.dragged && room > 48 {
        "a column is a day, a row a week; let go to move it".to_owned()
    } else if view.dragged {
        "let go to move it".to_owned()
    } else if room > 48 {
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
    if let Some(plan) = view.fit.as_ref().and_then(FitChoice::plan) {
        return fit_rows(model, view, plan, preview, columns);
    }
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
    changes(season, preview, &mut rows);
    rows
}

/// The places proposed: day and hour, what they give on and what that costs, then what changes.
fn fit_rows(
    model: &Model,
    view: &DelayView,
    plan: &Plan,
    preview: &Preview,
    columns: usize,
) -> Vec<Row> {
    let season = &model.season;
    let mut rows = Vec::new();
    let headline = plan.headline();
    if headline.is_empty() {
        rows.push(Row::signed(
            "o ",
            Tone::Good,
            "Every task fits, and nothing is given on.",
        ));
    } else {
        rows.push(Row::signed(
            "? ",
            Tone::Caution,
            format!("Nothing fits as it is. This choice: {headline}."),
        ));
    }
    for place in &plan.places {
        let title = season.task(&place.task).map_or("", |t| t.title.as_str());
        let to = match (place.to, place.hour) {
            (Some(day), Some(hour)) => format!(
                "{} {hour:02}h {}",
                words::weekday_day(day),
                place.fit.map_or("", Fit::words)
            ),
            (Some(day), None) => format!("{} no forecast", words::weekday_day(day)),
            (None, _) => "left out".to_owned(),
        };
        let line = format!("{:<11}-> {to:<24} ", words::weekday_day(place.from));
        let room = columns.saturating_sub(text::width(&line));
        rows.push(Row::text(format!("{line}{}", text::cut(title, room))));
        for (give, price) in &place.gives {
            rows.push(Row::signed(
                "   gives on: ",
                Tone::Caution,
                format!("{} ({price})", give.words()),
            ));
        }
        if let (Some(safe), true) = (place.last_safe, place.to.is_some()) {
            rows.push(Row::text(format!(
                "   last safe day {}",
                words::weekday_day(safe)
            )));
        }
    }
    if view.fit.as_ref().is_some_and(|f| f.plans().len() > 1) {
        rows.push(Row::text("Left and right show the other choices."));
    }
    rows.push(Row::gap());
    changes(season, preview, &mut rows);
    rows
}

/// What appears, what clears, what stays.
fn changes(season: &Season, preview: &Preview, rows: &mut Vec<Row>) {
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
        let n = text::count(preview.stay as i64, "warning stays", "warnings stay");
        rows.push(Row::text(format!("{n} as before on these tasks.")));
    }
    if !preview.appear.is_empty() {
        rows.push(Row::text("+ appears, - clears."));
    }
}
