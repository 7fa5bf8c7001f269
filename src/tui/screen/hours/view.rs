//! Draws the hours screen.
//!
//! ```text
//! spray       its title, how long it takes, which of how many
//! source      where the hours come from and how old they are; the next window
//! grid        a row a day, a letter an hour: o fit, ? doubtful, x unfit, . not known
//! strip       temperature, wind and rain of the day under the cursor
//! reasons     why the hour under the cursor is what it is
//! ```

use super::{fit, hour, next_stretch, sprays, stretches, task};
use crate::domain::climate::hourly_series::Provenance;
use crate::domain::hours::air::Air;
use crate::domain::hours::compass;
use crate::domain::hours::drying::LOOK_FIRST;
use crate::domain::hours::fits::TaskFit;
use crate::domain::hours::verdict::{Fit, rain, temperature, wind};
use crate::domain::season::{Task, UnitSystem};
use crate::tui::action::{Command, Spot};
use crate::tui::canvas::{Canvas, top_of_list};
use crate::tui::details::Row;
use crate::tui::model::Model;
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::view::lists_rows;
use crate::tui::words;
use chrono::{NaiveDate, Timelike};
use ratatui::layout::Rect;

/// Columns of a day's name before its hours.
const NAME: u16 = 13;
/// From this height on every window and what is asked of an hour stand below the grid.
const ROOMY: u16 = 24;
/// Hours of a day, as columns want them.
const DAY_H: u16 = 24;

/// Draws the hours screen.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let Some(task) = task(model) else {
        let key = model.keymap.first(Command::ShowBoard);
        let words = format!("No spray is open. {key} goes to the board, where a adds one.");
        lists_rows(canvas, area, &[Row::text(words)], 0);
        return;
    };
    let (Some(fit), Some(fits)) = (fit(model, task), model.fits.as_ref()) else {
        lists_rows(canvas, area, &no_hours(model, task), 0);
        return;
    };
    let air = fits.air();
    let at = hour(model, task, fit);
    let mut rest = area;
    let mut take = |rows: u16| {
        let rows = rows.min(rest.height);
        let part = Rect {
            height: rows,
            ..rest
        };
        rest = Rect::new(rest.x, rest.y + rows, rest.width, rest.height - rows);
        part
    };
    head(model, canvas, take(1), task);
    source(model, canvas, take(1), task, air);
    let days = fit.grid.dates(air);
    let strip_rows = if area.height >= 18 { 4 } else { 0 };
    let wanted = u16::try_from(days.len())
        .unwrap_or(u16::MAX)
        .saturating_add(1);
    let spare = area.height.saturating_sub(2 + strip_rows + 5);
    let grid = take(wanted.min(spare.max(3)));
    draw_grid(model, canvas, grid, (task, fit, air), &days, at);
    if strip_rows > 0 {
        strip(model, canvas, take(strip_rows), air, at);
    }
    let below = take(u16::MAX);
    // Where there is room, everything that could be asked is told at once.
    let rows = if below.height >= ROOMY {
        why(model)
    } else {
        reasons(model, fit, air, at)
    };
    lists_rows(canvas, below, &rows, 0);
}

/// What to say where nothing can be judged.
fn no_hours(model: &Model, task: &Task) -> Vec<Row> {
    let key = model.keymap.first(Command::Fetch);
    vec![
        Row::head(task.title.as_str()),
        Row::gap(),
        Row::text("There are no hours of weather from today on, so no hour can be judged."),
        Row::text(format!(
            "{key} fetches the forecast, once the settings name a service; or bring in a file: barewood weather add FORECAST.csv (or .json)."
        )),
    ]
}

fn head(model: &Model, canvas: &mut Canvas<'_>, row: Rect, task: &Task) {
    let open = sprays(&model.season);
    let place = open.iter().position(|t| t.id == task.id).unwrap_or(0);
    let which = format!("spray {} of {}  [ ]", place + 1, open.len());
    let room = row.width.saturating_sub(which.len() as u16 + 2);
    let planned = match task.hour {
        Some(hour) => format!("{} {hour:02}h", words::weekday_day(task.date)),
        None => words::weekday_day(task.date),
    };
    // The day is never cut: the title gives way.
    let day = format!(", planned {planned}");
    let left = usize::from(room).saturating_sub(day.len());
    let title = text::cut(&task.title, left);
    canvas.pieces(
        row.x,
        row.y,
        room,
        &[(&title, Tone::Head), (&day, Tone::Plain)],
    );
    canvas.put_right(row, &which, Tone::Plain);
}

/// Where the hours come from, and the next window.
fn source(model: &Model, canvas: &mut Canvas<'_>, row: Rect, task: &Task, air: &Air) {
    let age = model.fetched.as_ref().map_or_else(String::new, |f| {
        format!("; forecast {} ({})", f.age_words(model.moment()), f.credit)
    });
    let inside = next_stretch(model, &task.id);
    let next = inside.map_or_else(
        || {
            let standing = model.outlook.standing(&task.id);
            standing.map_or_else(String::new, |s| s.hours.words(air))
        },
        |w| format!("next {}: {}", w.grade.words(), w.words(air)),
    );
    // Where it would be cut, what one must know is said shorter.
    let brief = inside.map(|w| {
        let clock = |hour: usize| format!("{:02}:00", air.local(hour).hour());
        format!(
            "next {}: {} {} to {}, best begun {}",
            w.grade.words(),
            words::weekday_day(air.local(w.hours.start).date()),
            clock(w.hours.start),
            clock(w.hours.end),
            clock(w.start)
        )
    });
    let next = match brief {
        Some(brief) if text::width(&next) + 2 > usize::from(row.width) => brief,
        _ => next,
    };
    let (sign, tone) = match inside.map(|w| w.grade) {
        Some(Fit::Fit) => ("o ", Tone::Good),
        Some(_) => ("? ", Tone::Caution),
        None => ("x ", Tone::Stop),
    };
    canvas.pieces(
        row.x,
        row.y,
        row.width,
        &[(sign, tone), (&format!("{next}{age}"), Tone::Plain)],
    );
}

fn tone_of(fit: Option<Fit>) -> Tone {
    match fit {
        Some(Fit::Fit) => Tone::Good,
        Some(Fit::Doubtful) => Tone::Caution,
        Some(Fit::Unfit) | None => Tone::Plain,
    }
}

/// Columns an hour takes: two where there is room.
fn columns_of(width: u16) -> u16 {
    if width >= NAME + 2 * DAY_H + 14 { 2 } else { 1 }
}

fn draw_grid(
    model: &Model,
    canvas: &mut Canvas<'_>,
    area: Rect,
    (task, fit, air): (&Task, &TaskFit, &Air),
    days: &[NaiveDate],
    at: usize,
) {
    let wide = columns_of(area.width);
    let x = area.x + NAME;
    for clock in [0_u16, 6, 12, 18] {
        let text = format!("{clock:02}");
        canvas.put(x + clock * wide, area.y, 4, &text, Tone::Head);
    }
    let margin = x + DAY_H * wide + 1;
    let room = area.right().saturating_sub(margin);
    let legends = [
        "o fit ? doubtful x unfit . not known",
        "o fit ? doubt x unfit",
        "o fit ? doubt x no",
    ];
    let fits = |legend: &&&str| legend.len() <= usize::from(room);
    let legend = legends.iter().find(fits).copied().unwrap_or_default();
    canvas.put(margin, area.y, room, legend, Tone::Plain);
    let here = air.local(at).date();
    let chosen = days.iter().position(|d| *d == here).unwrap_or(0);
    let rows = usize::from(area.height.saturating_sub(1));
    let top = top_of_list(chosen, days.len(), rows);
    for (y, date) in (area.y + 1..area.bottom()).zip(days.iter().skip(top)) {
        let mark = if *date == here { ">" } else { " " };
        let planned = if *date == task.date { "*" } else { " " };
        canvas.pieces(
            area.x,
            y,
            NAME,
            &[
                (mark, Tone::Key),
                (&words::weekday_day(*date), Tone::Plain),
                (planned, Tone::Key),
            ],
        );
        for (place, cell) in (0_u16..).zip(fit.grid.day(air, *date)) {
            let verdict = cell.and_then(|h| fit.grid.fit(h));
            let letter = verdict.map_or('.', Fit::letter).to_string();
            let under = cell == Some(at);
            let tone = if under {
                Tone::Chosen
            } else {
                tone_of(verdict)
            };
            canvas.put(x + place * wide, y, 1, &letter, tone);
            if let Some(hour) = cell {
                let spot = Rect::new(x + place * wide, y, wide, 1);
                canvas.spots.push((spot, Spot::Hour(hour)));
            }
            if under {
                canvas.cursor = Some((x + place * wide, y));
            }
        }
        let room = area.right().saturating_sub(margin);
        canvas.put(margin, y, room, &tags(model, fit, air, *date), Tone::Plain);
    }
}

/// What speaks against a day's daylight hours, commonest first.
fn tags(model: &Model, fit: &TaskFit, air: &Air, date: NaiveDate) -> String {
    let now = model.fits.as_ref().map_or(0, |f| f.now());
    let hours: Vec<usize> = fit
        .grid
        .day(air, date)
        .into_iter()
        .flatten()
        .filter(|h| *h >= now && air.sun_deg(*h).is_some_and(|sun| sun > 0.0))
        .filter(|h| fit.grid.limits.own_time.holds(air.local(*h)))
        .collect();
    fit.grid
        .commonest(air, &hours)
        .iter()
        .take(3)
        .map(|(tag, _)| *tag)
        .collect::<Vec<_>>()
        .join(", ")
}

/// Temperature, wind and rain of the day under the cursor, hour by hour.
fn strip(model: &Model, canvas: &mut Canvas<'_>, area: Rect, air: &Air, at: usize) {
    let units = model.season.orchard.units;
    let wide = columns_of(area.width);
    let day = air.day(air.local(at).date());
    let (temp_unit, wind_unit, rain_unit) = match units {
        UnitSystem::Us => ("air F", "wind mph", "rain .01in"),
        UnitSystem::Metric => ("air C", "wind m/s", "rain mm"),
    };
    let hundredth_or_mm = |mm: f64| match units {
        UnitSystem::Us => mm / 25.4 * 100.0,
        UnitSystem::Metric => mm,
    };
    let temp = |c: f64| match units {
        UnitSystem::Us => c.mul_add(1.8, 32.0),
        UnitSystem::Metric => c,
    };
    let speed = |ms: f64| match units {
        UnitSystem::Us => ms / 0.447_04,
        UnitSystem::Metric => ms,
    };
    // Three columns hold a number: every second hour where hours are two columns wide, else
    // every third.
    let step = if wide == 2 { 2 } else { 3 };
    let lines: [(&str, &dyn Fn(usize) -> f64); 3] = [
        (temp_unit, &|h| temp(air.hour(h).temp_c)),
        (wind_unit, &|h| speed(air.hour(h).wind_ms)),
        (rain_unit, &|h| hundredth_or_mm(air.hour(h).rain_mm)),
    ];
    for (y, (name, value)) in (area.y + 1..area.bottom()).zip(&lines) {
        canvas.put(area.x, y, NAME, name, Tone::Plain);
        for h in day.clone() {
            let clock = air.local(h).hour();
            if !clock.is_multiple_of(step) {
                continue;
            }
            let x = area.x + NAME + clock as u16 * wide;
            let v = value(h);
            let text = if v.is_finite() {
                format!("{v:.0}")
            } else {
                ".".to_owned()
            };
            let tone = if h == at { Tone::Chosen } else { Tone::Plain };
            canvas.put(x, y, 3, &text, tone);
        }
    }
}

/// Why the hour under the cursor is what it is.
fn reasons(model: &Model, fit: &TaskFit, air: &Air, at: usize) -> Vec<Row> {
    let units = model.season.orchard.units;
    let local = air.local(at);
    let verdict = fit.grid.fit(at);
    let mut rows = vec![Row::signed(
        &format!("{} ", verdict.map_or('.', Fit::letter)),
        match verdict {
            Some(Fit::Unfit) => Tone::Stop,
            other => tone_of(other),
        },
        format!(
            "{} {:02}:00 {}{}: {}",
            words::weekday_day(local.date()),
            local.hour(),
            verdict.map_or("not known", Fit::words),
            match air.provenance(at) {
                Some(Provenance::Observed) => " (measured)",
                Some(Provenance::Forecast) => " (forecast)",
                Some(Provenance::Typical) => " (a typical year, no forecast)",
                None => "",
            },
            weather(air, at, units)
        ),
    )];
    for reason in fit.grid.reasons(air, at) {
        let words = reason.words(air, &fit.grid.limits, units);
        let (sign, tone) = match reason.weight {
            crate::domain::hours::limits::Weight::Stop => ("x ", Tone::Stop),
            crate::domain::hours::limits::Weight::Doubt => ("? ", Tone::Caution),
            crate::domain::hours::limits::Weight::Advice => (". ", Tone::Note),
        };
        rows.push(Row::signed(sign, tone, words));
    }
    let done = at + fit.job.whole_hours();
    rows.push(Row::text(format!(
        "Begun here it ends by {:02}:00 ({}); {}. {LOOK_FIRST}",
        air.local(done).hour(),
        fit.job.words(),
        air.drying_from(done).words()
    )));
    rows
}

/// The weather of an hour in words.
fn weather(air: &Air, at: usize, units: UnitSystem) -> String {
    let hour = air.hour(at);
    let mut parts = Vec::new();
    let mut add = |value: f64, words: String| {
        if value.is_finite() {
            parts.push(words);
        }
    };
    add(hour.temp_c, temperature(hour.temp_c, units));
    let from = compass::words(hour.wind_from_deg);
    let gap = if from.is_empty() { "" } else { " " };
    add(
        hour.wind_ms,
        format!("wind {from}{gap}{}", wind(hour.wind_ms, units)),
    );
    add(hour.rh_pct, format!("humidity {:.0} %", hour.rh_pct));
    if hour.rain_mm > 0.0 {
        add(hour.rain_mm, format!("rain {}", rain(hour.rain_mm, units)));
    }
    add(
        hour.rain_chance_pct,
        format!("chance of rain {:.0} %", hour.rain_chance_pct),
    );
    parts.join(", ")
}

/// Everything about the hour under the cursor and every window, for the window of reasons.
pub fn why(model: &Model) -> Vec<Row> {
    let Some((task, fits)) = task(model).zip(model.fits.as_ref()) else {
        return Vec::new();
    };
    let Some(fit) = fit(model, task) else {
        return no_hours(model, task);
    };
    let air = fits.air();
    let mut rows = reasons(model, fit, air, hour(model, task, fit));
    rows.push(Row::gap());
    rows.push(Row::head("Fit hours in its window, best first"));
    let inside = stretches(model, &task.id);
    if let (true, Some(standing)) = (inside.is_empty(), model.outlook.standing(&task.id)) {
        rows.push(Row::text(standing.hours.words(air)));
    }
    for window in inside {
        let letter = format!("{} ", window.grade.letter());
        rows.push(Row::signed(
            &letter,
            tone_of(Some(window.grade)),
            window.words(air),
        ));
    }
    rows.push(Row::gap());
    rows.push(Row::head("What is asked of an hour"));
    for limit in &fit.grid.limits.all {
        rows.push(Row::text(format!(
            "{}: {}",
            limit.look.asks(model.season.orchard.units),
            fit.grid.limits.who(limit.from)
        )));
    }
    rows.push(Row::gap());
    rows.push(Row::text("The label is the law; a forecast is a guess. Wind at the trees is what counts: measure it before you begin."));
    rows
}
