//! Days, spans and states in the words of the board.

use crate::domain::phenology::distribution::StageDate;
use crate::domain::records::Standing;
use crate::domain::rules::Level;
use crate::domain::season::{Season, Task, TaskState};
pub use crate::report::shed::output;
use crate::tui::text;
use chrono::{Datelike, NaiveDate, NaiveDateTime};

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];
const WEEKDAYS: [&str; 7] = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];

/// The short name of a month.
pub fn month(date: NaiveDate) -> &'static str {
    MONTHS.get(date.month0() as usize).copied().unwrap_or("")
}

fn weekday(date: NaiveDate) -> &'static str {
    let index = date.weekday().num_days_from_monday() as usize;
    WEEKDAYS.get(index).copied().unwrap_or("")
}

/// `14 Feb`.
pub fn day(date: NaiveDate) -> String {
    format!("{} {}", date.day(), month(date))
}

/// `Sat 14 Feb`.
pub fn weekday_day(date: NaiveDate) -> String {
    format!("{} {}", weekday(date), day(date))
}

/// `Sat 14 Feb 2027`.
pub fn full_day(date: NaiveDate) -> String {
    format!("{} {}", weekday_day(date), date.year())
}

/// `today`, `in 3 d`, `3 d ago`.
pub fn away(date: NaiveDate, today: NaiveDate) -> String {
    match (date - today).num_days() {
        0 => "today".to_owned(),
        n if n > 0 => format!("in {n} d"),
        n => format!("{} d ago", -n),
    }
}

/// `today`, `+3d`, `-3d`: for where every column counts.
pub fn away_short(date: NaiveDate, today: NaiveDate) -> String {
    match (date - today).num_days() {
        0 => "today".to_owned(),
        n => format!("{n:+}d"),
    }
}

/// `today`, `in 3 days`, `3 days ago`.
pub fn away_long(date: NaiveDate, today: NaiveDate) -> String {
    match (date - today).num_days() {
        0 => "today".to_owned(),
        n if n > 0 => format!("in {}", text::count(n, "day", "days")),
        n => format!("{} ago", text::count(-n, "day", "days")),
    }
}

/// `25 Feb (14 Feb-9 Mar)`: a date never stands without its range.
pub fn range(date: &StageDate) -> String {
    days_range([date.p10(), date.p50(), date.p90()])
}

/// The same from its dates: 1 in 10, even, 9 in 10.
pub fn days_range([early, even, late]: [NaiveDate; 3]) -> String {
    format!("{} ({}-{})", day(even), day(early), day(late))
}

/// The sign in front of a task.
pub fn state_sign(state: &TaskState) -> &'static str {
    match state {
        TaskState::Planned => "o",
        TaskState::Done(_) => "▌",
        TaskState::Skipped(_) => "-",
    }
}

/// How far a task is, in words.
pub fn state(state: &TaskState) -> String {
    match state {
        TaskState::Planned => "to do".to_owned(),
        TaskState::Done(on) => format!("done {}", weekday_day(*on)),
        TaskState::Skipped(on) => format!("skipped {}", weekday_day(*on)),
    }
}

/// The line with the date on a card: `Sat 14 Feb, in 81 d`, or shorter `Sat 14 Feb +81d`.
pub fn card_day(task: &Task, today: NaiveDate, short: bool) -> String {
    match task.state {
        TaskState::Planned if short => {
            format!(
                "{} {}",
                weekday_day(task.date),
                away_short(task.date, today)
            )
        }
        TaskState::Planned => {
            format!("{}, {}", weekday_day(task.date), away(task.date, today))
        }
        TaskState::Done(_) | TaskState::Skipped(_) => state(&task.state),
    }
}

/// The sign of a warning level.
pub fn level_sign(level: Level) -> &'static str {
    match level {
        Level::Stop => "X",
        Level::Caution => "!",
        Level::Note => ".",
    }
}

/// The word of a warning level as a badge shows it.
pub fn level_word(level: Level) -> &'static str {
    match level {
        Level::Stop => "STOP",
        Level::Caution => "caution",
        Level::Note => "note",
    }
}

/// Sign and word of a warning level.
pub fn level(level: Level) -> String {
    format!("{} {}", level_sign(level), level_word(level))
}

/// The blocks of a task by name: `all blocks`, or their names.
pub fn blocks(season: &Season, task: &Task) -> String {
    blocks_within(season, task, usize::MAX)
}

/// The same where only so many columns of it will be seen: hundreds of cards ask for them with
/// every frame.
pub fn blocks_within(season: &Season, task: &Task, columns: usize) -> String {
    if task.blocks.is_empty() && season.records_of(task).next().is_none() {
        return "all blocks".to_owned();
    }
    let blocks = season.blocks_of(task);
    text::joined(blocks.map(|block| block.name.as_str()), ", ", columns)
}

/// `Mon 8 Mar 14:30`; the day is left out where it is today.
pub fn moment(at: NaiveDateTime, today: NaiveDate) -> String {
    let clock = at.format("%H:%M");
    if at.date() == today {
        clock.to_string()
    } else {
        format!("{} {clock}", weekday_day(at.date()))
    }
}

/// How re-entry stands, counting down.
pub fn standing(standing: &Standing, today: NaiveDate) -> String {
    match standing {
        Standing::Runs {
            until,
            minutes_left,
            then_until_dry,
        } => {
            let left = match (minutes_left / 60, minutes_left % 60) {
                (0, m) => format!("{m} min left"),
                (h, m) => format!("{h} h {m:02} min left"),
            };
            let dry = if *then_until_dry {
                " and until seen dry"
            } else {
                ""
            };
            format!("until {}, {left}{dry}", moment(*until, today))
        }
        Standing::WaitsForDry => "until somebody has seen that it is dry".to_owned(),
        Standing::Ended { at, seen_by } => {
            format!("ended {}, dry, seen by {seen_by}", moment(*at, today))
        }
        Standing::Over { since } => format!("over since {}", moment(*since, today)),
    }
}

/// The same where every column counts: until when, not how long that is.
pub fn standing_short(state: &Standing, today: NaiveDate) -> String {
    match state {
        Standing::Runs {
            until,
            then_until_dry,
            ..
        } => {
            let dry = if *then_until_dry { " and seen dry" } else { "" };
            format!("until {}{dry}", moment(*until, today))
        }
        Standing::WaitsForDry => "until seen dry".to_owned(),
        ended => standing(ended, today),
    }
}

/// Whole percent, never a false 0 or 100.
pub fn percent(chance: f64) -> String {
    match (chance * 100.0).round() {
        p if p < 1.0 && chance > 0.0 => "under 1 %".to_owned(),
        p if p > 99.0 && chance < 1.0 => "over 99 %".to_owned(),
        p => format!("{p} %"),
    }
}

/// The same sentence with a capital first letter.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
