//! The hours screen: which hours of the coming days are fit for one spray, and why.

pub mod view;

use super::spray_work::next_holding;
use crate::domain::fit_hours::NextHours;
use crate::domain::hours::fits::TaskFit;
use crate::domain::hours::windows::Window;
use crate::domain::season::{Season, Task, TaskId, TaskKind, edit};
use crate::tui::action::{Command, Effect};
use crate::tui::model::Model;
use crate::tui::overlay::Overlay;
use crate::tui::words;
use chrono::{TimeDelta, Timelike};

/// What is chosen on the hours screen.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Hours {
    /// The spray in view, while it is open; else the next one is.
    pub task: Option<TaskId>,
    /// The hour under the cursor, as a place in the air; without it the next window's beginning.
    hour: Option<usize>,
}

/// The open sprays, in the order of their dates.
fn sprays(season: &Season) -> Vec<&Task> {
    let mut open: Vec<&Task> = season
        .tasks
        .iter()
        .filter(|t| t.kind == TaskKind::Spray && t.state.is_open())
        .collect();
    open.sort_by(|a, b| a.date.cmp(&b.date).then_with(|| a.id.cmp(&b.id)));
    open
}

/// The spray in view: the one asked for, else the next one planned for today or later, else
/// the first.
pub fn task(model: &Model) -> Option<&Task> {
    let open = sprays(&model.season);
    let asked = open
        .iter()
        .find(|t| Some(&t.id) == model.hours.task.as_ref());
    asked
        .or_else(|| open.iter().find(|t| t.date >= model.today))
        .or(open.first())
        .copied()
}

/// The verdicts for the spray in view.
pub fn fit<'a>(model: &'a Model, task: &Task) -> Option<&'a TaskFit> {
    model
        .fits
        .as_ref()?
        .of(&task.id)
        .filter(|fit| !fit.grid.hours().is_empty())
}

/// The hour under the cursor.
pub fn hour(model: &Model, task: &Task, fit: &TaskFit) -> usize {
    let all = fit.grid.hours();
    let last = all.end.saturating_sub(1);
    let own = || {
        let air = model.fits.as_ref()?.air();
        let day = air.day(task.date);
        let clock = task.hour?;
        day.into_iter().find(|h| air.local(*h).hour() == clock)
    };
    model
        .hours
        .hour
        .or_else(own)
        .or_else(|| next_stretch(model, &task.id).map(|w| w.start))
        .or_else(|| model.fits.as_ref().map(|f| f.now()))
        .unwrap_or(all.start)
        .clamp(all.start, last)
}

/// The windows in the order of time.
fn in_time(windows: &[Window]) -> Vec<&Window> {
    let mut windows: Vec<&Window> = windows.iter().collect();
    windows.sort_by_key(|w| w.start);
    windows
}

/// The stretches of fit hours of a spray inside its window, best first.
pub fn stretches<'a>(model: &'a Model, task: &TaskId) -> &'a [Window] {
    model
        .outlook
        .standing(task)
        .map_or(&[], |s| s.stretches.as_slice())
}

/// The next of them.
pub fn next_stretch<'a>(model: &'a Model, task: &TaskId) -> Option<&'a Window> {
    model.outlook.standing(task)?.hours.inside()
}

/// Goes to the screen for a task of the board, if that is an open spray.
pub fn show_for(model: &mut Model, task: Option<TaskId>) {
    if task != model.hours.task {
        model.hours = Hours { task, hour: None };
    }
}

/// Puts the cursor on an hour.
pub fn go_to(model: &mut Model, hour: usize) {
    model.hours.hour = Some(hour);
}

/// Answers a command on the hours screen; `None` where it is not for it.
pub fn update(model: &mut Model, command: Command) -> Option<Vec<Effect>> {
    let is_mine = matches!(
        command,
        Command::Left
            | Command::Right
            | Command::Up
            | Command::Down
            | Command::First
            | Command::Last
            | Command::PageUp
            | Command::PageDown
            | Command::NextPart
            | Command::PreviousPart
            | Command::NextWindow
            | Command::PreviousWindow
            | Command::TaskAfter
            | Command::TaskBefore
            | Command::PutHere
            | Command::Open
            | Command::Find
            | Command::FindNext
            | Command::FindPrevious
    );
    if !is_mine {
        return None;
    }
    match command {
        Command::Find => {
            model.overlay = Some(Overlay::find());
            return Some(Vec::new());
        }
        Command::FindNext | Command::FindPrevious => {
            find(model, command == Command::FindPrevious);
            return Some(Vec::new());
        }
        _ => {}
    }
    let count = i64::from(model.take_count());
    if let Command::TaskAfter | Command::TaskBefore = command {
        step_task(model, command == Command::TaskAfter);
        return Some(Vec::new());
    }
    let Some((id, at, last, first)) = task(model).and_then(|task| {
        let fit = fit(model, task)?;
        let all = fit.grid.hours();
        Some((
            task.id.clone(),
            hour(model, task, fit),
            all.end.saturating_sub(1),
            all.start,
        ))
    }) else {
        model.say("there are no hours here yet; the screen says what to do");
        return Some(Vec::new());
    };
    let go = |hours: i64| {
        let to = (at as i64 + hours).clamp(first as i64, last as i64);
        usize::try_from(to).unwrap_or(at)
    };
    let to = match command {
        Command::Left => go(-count),
        Command::Right => go(count),
        Command::Up => go(-24 * count),
        Command::Down => go(24 * count),
        Command::PageUp => go(-24 * 4),
        Command::PageDown => go(24 * 4),
        Command::First => first,
        Command::Last => last,
        Command::Open => {
            model.overlay = Some(Overlay::Why(0));
            return Some(Vec::new());
        }
        Command::PutHere => return Some(put(model, &id, at)),
        _ => {
            let forward = matches!(command, Command::NextWindow | Command::NextPart);
            match window_from(model, &id, at, forward) {
                Some(to) => to,
                None => {
                    let key = model.keymap.first(Command::Delay);
                    let said = format!(
                        "no fit hours are known that hold this spray; a delay ({key} on the board) shows what else can be done"
                    );
                    model.say(said);
                    return Some(Vec::new());
                }
            }
        }
    };
    model.hours.hour = Some(to);
    Some(Vec::new())
}

fn window_from(model: &Model, id: &TaskId, at: usize, forward: bool) -> Option<usize> {
    let windows = in_time(stretches(model, id));
    if forward {
        let next = windows.iter().find(|w| w.start > at);
        next.or(windows.first()).map(|w| w.start)
    } else {
        let before = windows.iter().rev().find(|w| w.start < at);
        before.or(windows.last()).map(|w| w.start)
    }
}

/// Goes to the next open spray, or the one before, whose title holds the words looked for.
pub fn find(model: &mut Model, back: bool) {
    let open = sprays(&model.season);
    let titles: Vec<String> = open.iter().map(|t| t.title.clone()).collect();
    let here = task(model).and_then(|t| open.iter().position(|o| o.id == t.id));
    match next_holding(&titles, here.unwrap_or(0), &model.find, back) {
        Some(place) => {
            let task = open.get(place).map(|t| t.id.clone());
            model.hours = Hours { task, hour: None };
        }
        None => {
            let text = format!("no open spray found for '{}'", model.find);
            model.say(text);
        }
    }
}

fn step_task(model: &mut Model, forward: bool) {
    let open = sprays(&model.season);
    let here = task(model).and_then(|t| open.iter().position(|o| o.id == t.id));
    let Some(here) = here else {
        model.say("there is no open spray");
        return;
    };
    let n = open.len();
    let to = if forward { here + 1 } else { here + n - 1 } % n;
    let id = open.get(to).map(|t| t.id.clone());
    model.hours = Hours {
        task: id,
        hour: None,
    };
}

/// Puts a spray on the day and hour of a place in the air.
fn put(model: &mut Model, id: &TaskId, hour: usize) -> Vec<Effect> {
    let Some(at) = model.fits.as_ref().map(|f| f.air().local(hour)) else {
        return Vec::new();
    };
    let title = model
        .season
        .task(id)
        .map_or_else(String::new, |t| t.title.clone());
    let clock = at.hour();
    let after = edit::plan_task(
        &model.season,
        id,
        at.date(),
        Some(clock),
        model.today,
        "fit hours",
    );
    let words = format!(
        "put on {} {clock:02}:00 ({}): {title}",
        words::full_day(at.date()),
        words::away_long(at.date(), model.today)
    );
    // The cursor stays where the user put it.
    model.hours.hour = Some(hour);
    model.try_edit(after, &words)
}

/// The next fit hours of a task in a few words: `fit Thu 11 Feb 09:00`, or that it is doubtful.
pub fn next_words(model: &Model, task: &TaskId) -> Option<String> {
    let fits = model.fits.as_ref()?;
    let next = &model.outlook.standing(task)?.hours;
    let begins = |place: usize| {
        let begin = fits.air().local(place);
        format!("{} {:02}h", words::weekday_day(begin.date()), begin.hour())
    };
    match next {
        NextHours::In(stretch) => Some(format!(
            "{} {}",
            stretch.grade.words(),
            begins(stretch.start)
        )),
        NextHours::AfterLastSafe { stretch, .. } => {
            Some(format!("too late {}", begins(stretch.start)))
        }
        _ => None,
    }
}

/// How far the hours reach: the last day with any.
pub fn reach(model: &Model) -> Option<chrono::NaiveDate> {
    let air = model.fits.as_ref()?.air();
    let last = air.len().checked_sub(1)?;
    Some((air.local(last) + TimeDelta::hours(1)).date() - TimeDelta::days(1))
}
