//! What one does to the chosen card.

use super::{chosen, lane_at, place_of};
use crate::domain::hours::washoff;
use crate::domain::outlook::Estimates;
use crate::domain::records;
use crate::domain::season::{Task, edit};
use crate::tui::action::{Command, Effect};
use crate::tui::form::Form;
use crate::tui::model::Model;
use crate::tui::overlay::{Overlay, delay::DelayView};
use crate::tui::words;
use chrono::TimeDelta;

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
    );
    if !is_mine {
        return None;
    }
    let Some(task) = chosen(model).cloned() else {
        model.say("choose a task first, or press a to add one");
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
                model.say(format!("'{}' is open already", task.title));
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
            model.say(format!("{words}; {undo} brings it back"));
            effects
        }
        Command::Repeat => repeat(model, &task),
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
                None if model.notice.is_none() => model.say("nothing to do here"),
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
        model.alert("that day is outside the calendar");
        return Vec::new();
    };
    let words = format!(
        "moved to {} ({}): {}",
        words::full_day(to),
        words::away_long(to, model.today),
        task.title
    );
    let after = edit::move_task(&model.season, &task.id, to, model.today, "");
    model.try_edit(after, &words)
}

fn change_lane(model: &mut Model, step: i64) -> Vec<Effect> {
    let Some(task) = chosen(model) else {
        return Vec::new();
    };
    let place = place_of(task.lane) as i64 + step;
    let Some(place) = usize::try_from(place).ok().filter(|p| *p < 3) else {
        model.say("there is no lane further that way");
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
