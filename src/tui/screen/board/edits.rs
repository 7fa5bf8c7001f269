//! What one does to the chosen card.

use super::{chosen, lane_at, place_of};
use crate::domain::hours::washoff;
use crate::domain::outlook::Estimates;
use crate::domain::records;
use crate::domain::season::{Season, Task, TaskKind, TaskState, edit};
use crate::tui::action::{Command, Effect};
use crate::tui::form::Form;
use crate::tui::model::Model;
use crate::tui::overlay::{Overlay, delay::DelayView};
use crate::tui::words;
use chrono::{TimeDelta, Timelike as _};

/// Answers a command that changes something; `None` where it is not for the board.
pub fn update(model: &mut Model, command: Command) -> Option<Vec<Effect>> {
    if command == Command::Add {
        model.overlay = Some(Overlay::Form(Form::add(model)));
        return Some(Vec::new());
    }
    let is_mine = matches!(
        command,
        Command::Delay
            | Command::Later
            | Command::Earlier
            | Command::WeekLater
            | Command::WeekEarlier
            | Command::MoveTo
            | Command::LaneLeft
            | Command::LaneRight
            | Command::Finish
            | Command::Reopen
            | Command::Edit
            | Command::Copy
            | Command::Delete
            | Command::Notes
            | Command::Quieten
            | Command::LabelRead
            | Command::Repeat
            | Command::IntoFit
            | Command::Skip
            | Command::LastSafe
    );
    if !is_mine {
        return None;
    }
    let Some(task) = chosen(model).cloned() else {
        let key = model.keymap.first(Command::Add);
        model.say(format!("Mark a task first, or press {key} to add one."));
        return Some(Vec::new());
    };
    let count = i64::from(model.take_count());
    let effects = match command {
        Command::Later => shift(model, count),
        Command::Earlier => shift(model, -count),
        Command::WeekLater => shift(model, 7 * count),
        Command::WeekEarlier => shift(model, -7 * count),
        Command::LaneLeft => change_lane(model, -1),
        Command::LaneRight => change_lane(model, 1),
        Command::Reopen => {
            if task.state.is_open() {
                model.say(format!(
                    "'{}' is still to do; there is nothing to reopen.",
                    task.title
                ));
                return Some(Vec::new());
            }
            let after = records::reopen(&model.season, &task.id, model.today);
            model.try_edit(after, &format!("opened again: {}", task.title))
        }
        Command::Copy => match edit::copy_task(&model.season, &task.id) {
            Ok((after, id)) => {
                let effects = model.edit(after, &format!("copied: {}", task.title));
                model.board.choose(&model.season, &id);
                effects
            }
            Err(fault) => {
                model.alert(fault.to_string());
                Vec::new()
            }
        },
        Command::Delete => {
            let after = edit::delete_task(&model.season, &task.id);
            let undo = model.keymap.first(Command::Undo);
            let words = format!("deleted: {}", task.title);
            let effects = model.try_edit(after, &words);
            model.say_change(&format!("Deleted. {undo} undoes it."));
            effects
        }
        Command::Repeat => repeat(model, &task),
        Command::IntoFit => into_fit(model, &task),
        Command::Skip => skip(model, &task),
        Command::LastSafe => last_safe(model, &task),
        Command::Delay if !task.state.is_open() => {
            model.alert(format!(
                "'{}' is {}; open it again first",
                task.title,
                words::state(&task.state)
            ));
            Vec::new()
        }
        Command::Delay => {
            model.overlay = Some(Overlay::Delay(Box::new(DelayView::new(
                model,
                task.id.clone(),
            ))));
            Vec::new()
        }
        _ => {
            let form = match command {
                Command::MoveTo => Form::move_to(model, &task),
                Command::Finish => Form::finish(model, &task),
                Command::Notes => Form::notes(&task),
                Command::Quieten => Form::quieten(model, &task),
                Command::LabelRead => Form::label_read(model, &task),
                _ => Some(Form::edit(model, &task)),
            };
            match form {
                Some(form) => {
                    let wishes = form.wants_air(model);
                    model.overlay = Some(Overlay::Form(form));
                    return Some(wishes);
                }
                None if model.notice.is_none() => model.say("There is nothing to do here."),
                None => {}
            }
            Vec::new()
        }
    };
    Some(effects)
}

/// Moves the chosen card by so many days.
pub fn shift(model: &mut Model, days: i64) -> Vec<Effect> {
    let Some(task) = chosen(model) else {
        return Vec::new();
    };
    let to = TimeDelta::try_days(days).and_then(|d| task.date.checked_add_signed(d));
    let Some(to) = to else {
        model.alert("That day is outside the calendar.");
        return Vec::new();
    };
    let task = task.clone();
    let words = format!("moved to {}: {}", words::full_day(to), task.title);
    let said = format!(
        "Moved to {}, {}.",
        words::weekday_day(to),
        words::away_long(to, model.today)
    );
    let after = edit::move_task(&model.season, &task.id, to, model.today, "");
    moved(model, &task, after, (&words, &said))
}

fn change_lane(model: &mut Model, step: i64) -> Vec<Effect> {
    let Some(task) = chosen(model) else {
        return Vec::new();
    };
    let place = place_of(task.lane) as i64 + step;
    let Some(place) = usize::try_from(place).ok().filter(|p| *p < 3) else {
        model.say("There is no lane further that way.");
        return Vec::new();
    };
    let lane = lane_at(place);
    let words = format!("moved to lane '{}': {}", lane.words(), task.title);
    let after = edit::set_lane(&model.season, &task.id, lane);
    model.try_edit(after, &words)
}

/// Plans a done spray once more, in the next fit hours that its labels and last safe day allow.
fn repeat(model: &mut Model, task: &Task) -> Vec<Effect> {
    let none = Estimates::default();
    let estimates = model.estimates.as_ref().unwrap_or(&none);
    let fits = model.fits.as_ref();
    match washoff::plan_repeat(&model.season, estimates, fits, &task.id, model.today) {
        Ok((after, id, words)) => {
            let effects = model.edit(after, &words);
            model.board.choose(&model.season, &id);
            effects
        }
        Err(why) => {
            model.alert(why.to_string());
            Vec::new()
        }
    }
}

/// Asks why an open task is skipped; plans a skipped one after all.
fn skip(model: &mut Model, task: &Task) -> Vec<Effect> {
    match task.state {
        TaskState::Planned => {
            let form = Form::skip(model, &task.title, vec![(task.id.clone(), Vec::new())]);
            model.overlay = Some(Overlay::Form(form));
            Vec::new()
        }
        TaskState::Skipped(_) => {
            let undo = model.keymap.first(Command::Undo);
            let after = edit::set_state(&model.season, &task.id, TaskState::Planned);
            let effects = model.try_edit(after, &format!("Planned after all: {}", task.title));
            model.say_change(&format!("Planned after all; {undo} undoes it."));
            effects
        }
        TaskState::Done(_) => {
            model.say("This task is done; there is nothing to skip.");
            Vec::new()
        }
    }
}

/// Puts an open spray into its next fit hours; where it stands there already, into those after.
fn into_fit(model: &mut Model, task: &Task) -> Vec<Effect> {
    let open_spray = task.kind == TaskKind::Spray && task.state.is_open();
    let Some((fits, standing)) = model
        .fits
        .as_ref()
        .filter(|_| open_spray)
        .and_then(|fits| Some((fits, model.outlook.standing(&task.id)?)))
    else {
        model.say(if open_spray {
            "There are no hours of weather yet, so no hours can be fit."
        } else {
            "Only a spray that is open has fit hours."
        });
        return Vec::new();
    };
    let air = fits.air();
    let mut windows: Vec<_> = standing.stretches.iter().collect();
    windows.sort_by_key(|w| (std::cmp::Reverse(w.grade), w.start));
    let begins = |hour: usize| air.local(hour);
    let here = windows.iter().position(|w| {
        let at = begins(w.start);
        at.date() == task.date && task.hour == Some(at.hour())
    });
    let next = match here {
        Some(place) => windows.get((place + 1) % windows.len().max(1)),
        None => windows.first(),
    };
    let Some(window) = next else {
        let key = model.keymap.first(Command::Delay);
        model.say(format!(
            "No fit hours inside its window in the forecast. {key} shows what else can be done."
        ));
        return Vec::new();
    };
    let at = begins(window.start);
    let grade = window.grade.words();
    let (day, hour) = (at.date(), at.hour());
    let after = edit::plan_task(
        &model.season,
        &task.id,
        day,
        Some(hour),
        model.today,
        "fit hours",
    );
    let said = format!("Put on {} {hour:02}:00, {grade}.", words::weekday_day(day));
    let words = format!(
        "put on {} {hour:02}:00: {}",
        words::full_day(day),
        task.title
    );
    moved(model, task, after, (&words, &said))
}

/// Puts an open spray on its last safe day.
fn last_safe(model: &mut Model, task: &Task) -> Vec<Effect> {
    let safe = model.standings.get(&task.id).and_then(|s| s.last_safe);
    match safe.filter(|_| task.state.is_open()) {
        Some(day) if day >= model.today => {
            let after = edit::move_task(&model.season, &task.id, day, model.today, "last safe day");
            let said = format!("Put on {}, its last safe day.", words::weekday_day(day));
            let words = format!("put on {}: {}", words::full_day(day), task.title);
            moved(model, task, after, (&words, &said))
        }
        Some(day) => {
            model.alert(format!(
                "The last safe day, {}, has passed: look at the buds first.",
                words::weekday_day(day)
            ));
            Vec::new()
        }
        None => {
            model.say("Only an open spray has a last safe day.");
            Vec::new()
        }
    }
}

/// Takes a moved task over and says what that does to its warnings.
fn moved<E: std::fmt::Display>(
    model: &mut Model,
    task: &Task,
    after: Result<Season, E>,
    (words, said): (&str, &str),
) -> Vec<Effect> {
    let effects = model.try_edit(after, words);
    if model.notice.as_ref().is_some_and(|n| !n.alert) && model.season.task(&task.id) != Some(task)
    {
        model.say_change(said);
    }
    effects
}
