//! The card of the marked task: what is wrong, Do, Time, Hours. In that order, and the first two
//! are never cut.

use super::list::word_tone;
use super::skyline;
use crate::domain::hours::drying::Drying;
use crate::domain::hours::windows;
use crate::domain::rules::{Level, Warning, short};
use crate::domain::season::{Task, TaskKind, TaskState};
use crate::tui::action::Command;
use crate::tui::canvas::Canvas;
use crate::tui::details;
use crate::tui::model::Model;
use crate::tui::screen::board::standing::{Mark, Standing, State, gravest};
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::words;
use chrono::Timelike as _;
use ratatui::layout::Rect;

/// Rules on the weather of the planned hours: fit hours are their cure.
const WEATHER: [&str; 5] = [
    "temperature-out-of-range",
    "frost-before-or-after",
    "rain-before-dry",
    "wind-or-layered-air",
    "wet-or-frozen-trees",
];
/// Rules on the end of the window: an earlier day is their cure.
pub(super) const WINDOW: [&str; 2] = ["too-close-to-swell", "past-stage-limit"];

/// One line of the card.
struct Line {
    label: &'static str,
    tone: Tone,
    text: String,
}

/// Rows the card takes, its rule apart, of so many rows of window.
pub fn rows(height: u16) -> u16 {
    match height {
        0..12 => 0,
        12..18 => 2,
        18..20 => 3,
        20..30 => 5,
        30..40 => 7,
        _ => 10,
    }
}

/// Draws the card below its rule.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let task = model.board.carded(model);
    let right = task.map_or_else(String::new, |t| {
        let blocks = words::blocks_within(&model.season, t, usize::from(area.width / 2));
        format!("{}: {blocks}", super::lane_name(t.lane))
    });
    canvas.rule(Rect { height: 1, ..area }, "Marked", &right);
    let Some(task) = task else { return };
    let labels = 9.min(area.width / 4);
    let room = usize::from(area.width.saturating_sub(labels));
    let below = area.height.saturating_sub(1);
    let sky = match below {
        0..5 => 0,
        5..10 => 2,
        _ => 3,
    };
    let gap = u16::from(below >= 9);
    let lines = lines(model, task, room);
    let told = usize::from(below.saturating_sub(sky + gap));
    for (y, line) in (area.y + 1..area.bottom()).zip(lines.iter().take(told)) {
        canvas.put(area.x + 1, y, labels, line.label, line.tone);
        canvas.put(
            area.x + labels,
            y,
            area.width - labels,
            &line.text,
            Tone::Plain,
        );
    }
    if sky > 0 {
        let y = area.bottom() - sky;
        let room = Rect::new(area.x, y, area.width, sky);
        skyline::draw(model, canvas, room, labels, Some(task));
    }
}

fn lines(model: &Model, task: &Task, room: usize) -> Vec<Line> {
    let standing = model.standings.get(&task.id);
    let mark = Mark::of(task, standing);
    let line = |label, text| Line {
        label,
        tone: Tone::Head,
        text,
    };
    let mut lines = vec![
        Line {
            label: label(mark),
            tone: match word_tone(mark) {
                Tone::Plain => Tone::Head,
                tone => tone,
            },
            text: wrong(model, task, mark, room),
        },
        line("Do", cure(model, task, mark, room)),
        line("Time", time(model, task, standing, room)),
    ];
    if let Some(chance) = model.run.chance_of(&task.id, model.revision) {
        let begin = match chance.begin_by {
            Some(d) => format!("begin by {} for 9 in 10", words::weekday_day(d)),
            None => "not 9 in 10 even if begun today".to_owned(),
        };
        let said = format!("In time in {}; {begin}.", chance.words());
        lines.push(line("Chance", text::cut(&said, room).into_owned()));
    }
    if let Some(tank) = tank(model, task) {
        lines.push(line("Tank", text::cut(&tank, room).into_owned()));
    }
    let aims = details::targets_of(&model.season, task).join(", ");
    if !aims.is_empty() {
        lines.push(line("For", text::cut(&aims, room).into_owned()));
    }
    if let Some(notes) = &task.notes {
        let first = notes.as_str().lines().next().unwrap_or("");
        lines.push(line("Notes", text::cut(first, room).into_owned()));
    }
    lines
}

fn label(mark: Mark) -> &'static str {
    match mark {
        Mark::Open => "open",
        other => other.words(),
    }
}

/// What is wrong: the gravest in full, the others by their tags.
fn wrong(model: &Model, task: &Task, mark: Mark, room: usize) -> String {
    let standing = model.standings.get(&task.id);
    let safe = standing.and_then(|s| s.last_safe);
    let late = standing.map_or(0, |s| s.late);
    match (mark, gravest(&model.outlook, &task.id)) {
        (Mark::Done | Mark::Skipped, _) => match task.state {
            TaskState::Done(day) | TaskState::Skipped(day) => {
                let said = task.why.as_ref().unwrap_or(&task.title);
                format!("{}: {said}", words::weekday_day(day))
            }
            TaskState::Planned => task.title.clone(),
        },
        (Mark::Stop | Mark::Caution, Some(warning)) => {
            let first = short::wrong(warning, &model.season, safe, room);
            with_others(model, task, warning, first, room)
        }
        (Mark::Closing, _) => match safe {
            Some(day) if day < model.today => {
                format!("Closed: the last safe day was {}.", words::weekday_day(day))
            }
            Some(day) => format!(
                "The last safe day is {}, {}.",
                words::weekday_day(day),
                words::away_long(day, model.today)
            ),
            None => task.title.clone(),
        },
        (Mark::Late(_), _) => format!(
            "{} late: it was planned for {}.",
            text::count(late, "day", "days"),
            words::weekday_day(task.date)
        ),
        (_, Some(note)) => format!(
            "Note: {}",
            short::wrong(note, &model.season, safe, room.saturating_sub(6))
        ),
        (_, None) => "No warnings.".to_owned(),
    }
}

/// Adds what else is wrong, by tag, as far as there is room.
fn with_others(model: &Model, task: &Task, first: &Warning, said: String, room: usize) -> String {
    let mut tags: Vec<&str> = Vec::new();
    let own = short::tag(first);
    for warning in model.outlook.warnings_of(&task.id) {
        let tag = short::tag(warning);
        if warning.level > Level::Note && tag != own && !tags.contains(&tag) {
            tags.push(tag);
        }
    }
    let mut out = said;
    let mut left = tags.len();
    for (i, tag) in tags.iter().enumerate() {
        let add = if i == 0 {
            format!(" Also {tag}")
        } else {
            format!(", {tag}")
        };
        left -= 1;
        let more = if left > 0 { 4 } else { 1 };
        if text::width(&out) + text::width(&add) + more > room {
            left += 1;
            let more = format!(" +{left}");
            if text::width(&out) + more.len() <= room {
                out.push_str(&more);
            }
            return out;
        }
        out.push_str(&add);
    }
    if !tags.is_empty() {
        out.push('.');
    }
    out
}

/// What to do, with its key.
fn cure(model: &Model, task: &Task, mark: Mark, room: usize) -> String {
    let key = |c| model.keymap.first(c);
    let warning = gravest(&model.outlook, &task.id);
    let standing = model.standings.get(&task.id);
    let into = fit_words(model, task);
    match (mark, warning) {
        (Mark::Done, _) => format!(
            "{} opens it again; {} shows what was written.",
            key(Command::Reopen),
            key(Command::Open)
        ),
        (Mark::Skipped, _) => format!("{} plans it after all.", key(Command::Skip)),
        (Mark::Stop | Mark::Caution, Some(w)) if WEATHER.contains(&w.rule) => {
            into.map_or_else(|| short::cure(w).to_owned(), |ways| fitting(&ways, room))
        }
        (Mark::Stop | Mark::Caution, Some(w)) if WINDOW.contains(&w.rule) => {
            match standing.and_then(|s| s.last_safe) {
                Some(day) if day >= model.today => format!(
                    "{} puts it on {}, the last safe day.",
                    key(Command::LastSafe),
                    words::weekday_day(day)
                ),
                Some(_) => format!(
                    "{} skips it. Buds still tight? {} then {} adds that look.",
                    key(Command::Skip),
                    key(Command::ShowSwell),
                    key(Command::AddBuds)
                ),
                None => short::cure(w).to_owned(),
            }
        }
        (Mark::Stop | Mark::Caution, Some(w)) => short::cure(w).to_owned(),
        _ => match into {
            Some(ways) => fitting(&ways, room),
            None => format!(
                "{} finishes it; {} puts it a day later.",
                key(Command::Finish),
                key(Command::Later)
            ),
        },
    }
}

fn fitting(ways: &[String], room: usize) -> String {
    ways.iter()
        .find(|w| text::width(w) <= room)
        .or(ways.last())
        .cloned()
        .unwrap_or_default()
}

/// The next hours for a spray and the key that puts it there, the longest way first.
fn fit_words(model: &Model, task: &Task) -> Option<Vec<String>> {
    if task.kind != TaskKind::Spray || !task.state.is_open() {
        return None;
    }
    let fits = model.fits.as_ref()?;
    let window = windows::next(&model.outlook.standing(&task.id)?.stretches)?;
    let air = fits.air();
    let (start, end) = (air.local(window.hours.start), air.local(window.hours.end));
    let best = air.local(window.start);
    let day = words::weekday_day(best.date());
    let key = model.keymap.first(Command::IntoFit);
    let clock = |h: u32| format!("{h:02}:00");
    let grade = words::capital(window.grade.words());
    let hours = format!("{grade} {}-{}", clock(start.hour()), clock(end.hour()));
    let put = format!("{key} puts it on {day} {}.", clock(best.hour()));
    Some(vec![
        format!("{put} {hours}, {}.", dry_words(&window.drying)),
        format!("{put} {hours}."),
        put,
    ])
}

fn dry_words(drying: &Drying) -> String {
    match drying.latest_h {
        Some(hours) if hours < 1.0 => "dry in under 1 h".to_owned(),
        Some(hours) => format!("dry in {:.0} h", hours.ceil()),
        None => "drying not known".to_owned(),
    }
}

/// When: the window and the last safe day of a spray, the planned day of other work.
fn time(model: &Model, task: &Task, standing: Option<&Standing>, room: usize) -> String {
    let today = model.today;
    let Some((standing, safe)) = standing.and_then(|s| Some((s, s.last_safe?))) else {
        return format!(
            "Planned for {}, {}.",
            words::weekday_day(task.date),
            words::away_long(task.date, today)
        );
    };
    let opens = standing.opens.unwrap_or(today);
    let since = if opens <= today {
        format!("Open since {}", words::day(opens))
    } else {
        format!("Opens {}", words::weekday_day(opens))
    };
    let swell = standing.swell.map_or_else(String::new, |(first, last)| {
        format!(" Swell {}-{}.", words::day(first), words::day(last))
    });
    let day = words::weekday_day(safe);
    let away = words::away_long(safe, today);
    let told = model.outlook.standing(&task.id);
    if standing.state == Some(State::Closed) && safe >= today {
        let day = words::weekday_day(safe);
        if told.is_some_and(|s| s.no_day_left) {
            return format!("Closed: no day is left for it before {day}, the last safe day.");
        }
        let away = words::away_long(safe, today);
        return fitting(
            &[
                format!("Planned too late: last safe day {day}, {away}.{swell}"),
                format!("Planned too late: last safe day {day}."),
            ],
            room,
        );
    }
    if standing.state == Some(State::Closed) {
        return fitting(
            &[
                format!("Closed: the last safe day was {day}, {away}.{swell}"),
                format!("Closed: the last safe day was {day}."),
            ],
            room,
        );
    }
    if let Some(begin) = told.and_then(|s| s.start_by) {
        let by = words::weekday_day(begin.day);
        let days = begin.work_days;
        return fitting(
            &[
                format!("{days} days of work: begin by {by}, last safe day {day}.{swell}"),
                format!("{days} days of work: begin by {by}; last safe {day}."),
            ],
            room,
        );
    }
    let best = told
        .and_then(|s| s.best)
        .filter(|(_, to)| *to >= today)
        .map_or_else(String::new, |(from, to)| {
            format!(" Best {}-{}.", words::day(from.max(today)), words::day(to))
        });
    let with_best = format!("{since}.{best} Last safe day {day}, {away}.{swell}");
    let shorter = format!("{since}.{best} Last safe {day}.{swell}");
    if !best.is_empty() && text::width(&with_best) > room && text::width(&shorter) <= room {
        return shorter;
    }
    fitting(
        &[
            with_best,
            format!("{since}. Last safe day {day}, {away}.{swell}"),
            format!("{since}; last safe {day}, {away}.{swell}"),
            format!(
                "{since}; last safe {day} ({}).{swell}",
                words::away(safe, today)
            ),
            format!("Last safe {day} ({}).{swell}", words::away(safe, today)),
            format!("Last safe {day}."),
        ],
        room,
    )
}

/// What is in the tank.
fn tank(model: &Model, task: &Task) -> Option<String> {
    if task.mix.is_empty() {
        return None;
    }
    let mut parts = details::mix(&model.season, task, "");
    if let Some(volume) = task.volume {
        parts.push(volume.to_string());
    }
    let sprayer = task
        .sprayer
        .as_ref()
        .and_then(|id| model.season.sprayer(id));
    if let Some(sprayer) = sprayer {
        parts.push(sprayer.name.clone());
    }
    Some(parts.join("; "))
}
