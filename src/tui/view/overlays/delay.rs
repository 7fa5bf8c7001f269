//! Draws the rain delay: before and after, what appears, what clears.

use crate::domain::hours::delay::{Place, Plan};
use crate::domain::hours::verdict::Fit;
use crate::domain::rules::{Level, Warning, short};
use crate::domain::season::edit::DelayScope;
use crate::domain::season::{Season, TaskId};
use crate::tui::canvas::{Canvas, centred};
use crate::tui::details::{Row, tone};
use crate::tui::model::Model;
use crate::tui::overlay::delay::{DelayView, FitChoice, Preview, warning_line};
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::view::lists;
use crate::tui::words;
use chrono::NaiveDate;
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
        Err(fault) => return vec![Row::signed("X ", Tone::Stop, fault.as_str())],
    };
    let plan = view.fit.as_ref().and_then(FitChoice::plan);
    let mut rows = vec![verdict(preview)];
    if let Some(plan) = plan {
        rows.push(proposal(plan));
    }
    rows.push(Row::gap());
    rows.push(Row::head(line(
        columns,
        ["State", "Task", "Was", "Becomes", "Last safe"],
    )));
    match plan {
        Some(plan) => {
            for place in &plan.places {
                rows.push(placed(model, place, columns));
                for (give, price) in &place.gives {
                    rows.push(Row::signed(
                        "         costs: ",
                        Tone::Plain,
                        format!("{} ({price})", give.words()),
                    ));
                }
            }
            if view.fit.as_ref().is_some_and(|f| f.plans().len() > 1) {
                rows.push(Row::text("Left and right show the other choices."));
            }
        }
        None => {
            for shift in &preview.shifts {
                let becomes = words::weekday_day(shift.to);
                rows.push(moved(
                    model,
                    &shift.task,
                    shift.from,
                    &becomes,
                    columns,
                    preview,
                ));
            }
        }
    }
    rows.push(Row::gap());
    changes(&model.season, preview, &mut rows);
    rows
}

/// What accepting is decided on: what appears and what clears, worst first.
fn verdict(preview: &Preview) -> Row {
    let number =
        |warnings: &[Warning], level: Level| warnings.iter().filter(|w| w.level == level).count();
    let words = |warnings: &[Warning]| {
        let parts: Vec<String> = [Level::Stop, Level::Caution]
            .into_iter()
            .map(|level| (number(warnings, level), level))
            .filter(|(n, _)| *n > 0)
            .map(|(n, level)| format!("{n} {}", short::level(level)))
            .collect();
        parts.join(", ")
    };
    let (new, gone) = (words(&preview.appear), words(&preview.clear));
    let gone = if gone.is_empty() {
        "Nothing clears.".to_owned()
    } else {
        format!("{gone} cleared.")
    };
    let still = words(&preview.stay);
    let gone = if still.is_empty() {
        gone
    } else {
        format!("{gone} Still {still}.")
    };
    let worst = preview.appear.iter().map(|w| w.level).max();
    match worst {
        Some(level) if level > Level::Note => {
            Row::signed(&format!(" {new} "), tone(level), format!(" new. {gone}"))
        }
        _ => Row::head(format!("No new warning. {gone}")),
    }
}

fn proposal(plan: &Plan) -> Row {
    let headline = plan.headline();
    if headline.is_empty() {
        Row::signed("o ", Tone::Good, "Every task gets fit hours.")
    } else {
        Row::text(format!("Not everything fits. This choice: {headline}."))
    }
}

/// One line of the table: state, task, was, becomes, last safe day.
fn line(columns: usize, [state, task, was, becomes, safe]: [&str; 5]) -> String {
    let room = columns.saturating_sub(STATE + WAS + BECOMES + SAFE).max(8);
    let task = text::cut(task, room - 1);
    let gap = " ".repeat(room.saturating_sub(text::width(&task)));
    format!("{state:<STATE$}{task}{gap}{was:<WAS$}{becomes:<BECOMES$}{safe}")
}

/// Columns of the table.
const STATE: usize = 9;
const WAS: usize = 11;
const BECOMES: usize = 18;
const SAFE: usize = 10;

/// A task that moves: the state it would be in, its day before and after.
fn moved(
    model: &Model,
    id: &TaskId,
    from: NaiveDate,
    becomes: &str,
    columns: usize,
    preview: &Preview,
) -> Row {
    let title = model.season.task(id).map_or("", |t| t.title.as_str());
    let of = |list: &[Warning]| {
        let own = list.iter().filter(|w| w.task.as_ref() == Some(id));
        own.map(|w| w.level).max()
    };
    // What stays, unless it clears; what appears in any case.
    let before = model
        .outlook
        .warnings_of(id)
        .filter(|w| !preview.clear.contains(w))
        .map(|w| w.level)
        .max();
    let level = of(&preview.appear).max(before).filter(|l| *l > Level::Note);
    let state = level.map_or("open", short::level);
    let safe = model.standings.get(id).and_then(|s| s.last_safe);
    let safe = safe.map_or_else(String::new, words::weekday_day);
    let line = line(
        columns,
        [state, title, &words::weekday_day(from), becomes, &safe],
    );
    // The state's column stands on its ground, the rest is plain.
    let (state, rest) = line.split_at_checked(STATE).unwrap_or((&line, ""));
    Row::signed(state, level.map_or(Tone::Plain, tone), rest)
}

fn placed(model: &Model, place: &Place, columns: usize) -> Row {
    let becomes = match (place.to, place.hour) {
        (Some(day), Some(hour)) => format!("{} {hour:02}:00", words::weekday_day(day)),
        (Some(day), None) => format!("{} no hours", words::weekday_day(day)),
        (None, _) => "skipped".to_owned(),
    };
    let title = model
        .season
        .task(&place.task)
        .map_or("", |t| t.title.as_str());
    let state = place.fit.map_or("", Fit::words);
    let safe = place.last_safe.map_or_else(String::new, words::weekday_day);
    Row::verbatim(line(
        columns,
        [
            state,
            title,
            &words::weekday_day(place.from),
            &becomes,
            &safe,
        ],
    ))
}

/// What appears, what clears, what stays.
fn changes(season: &Season, preview: &Preview, rows: &mut Vec<Row>) {
    rows.push(Row::head("What this does"));
    let title = rows.len();
    for warning in &preview.appear {
        rows.push(Row::signed(
            "new     ",
            Tone::Plain,
            warning_line(season, warning),
        ));
    }
    for warning in &preview.clear {
        rows.push(Row::signed(
            "cleared ",
            Tone::Plain,
            warning_line(season, warning),
        ));
    }
    // The first line counts what stays; here stand the stops among it.
    let stops = preview.stay.iter().filter(|w| w.level == Level::Stop);
    for warning in stops {
        rows.push(Row::signed(
            "stays   ",
            Tone::Plain,
            warning_line(season, warning),
        ));
    }
    if rows.len() == title {
        rows.push(Row::text("No warning changes."));
    }
}
