//! The mouse: a click chooses, the wheel moves, a card drawn along its dates
//! moves once the button is let go. Nothing here that no key can do.

use super::action::{Command, Effect, Spot};
use super::model::Model;
use super::overlay::{Overlay, delay::DelayView};
use super::screen::{Screen, board, hours};
use super::update::run;

/// Days a row is worth; a column is worth one.
const ROW_DAYS: i64 = 7;

/// How far the mouse was drawn from one cell to another, in days.
pub fn days((from_x, from_y): (u16, u16), (x, y): (u16, u16)) -> i64 {
    i64::from(x) - i64::from(from_x) + ROW_DAYS * (i64::from(y) - i64::from(from_y))
}

/// Chooses what was clicked.
pub fn click(model: &mut Model, spot: Spot) -> Vec<Effect> {
    model.grabbed = None;
    match (&mut model.overlay, spot) {
        (Some(Overlay::Form(form)), Spot::Row(row)) => form.go_to(row),
        (Some(Overlay::Finder(finder)), Spot::Row(row)) => finder.chosen = row,
        (None, Spot::Card(place)) => {
            if let Some(task) = model.season.tasks.get(place) {
                let (id, open) = (task.id.clone(), task.state.is_open());
                model.board.choose(&model.season, &id);
                model.grabbed = open.then_some(id);
            }
        }
        (None, Spot::Line(place)) => choose_line(model, place),
        (None, Spot::Cell(line, lane)) => {
            model.spray.coverage.go_to(line);
            model.spray.coverage.lane = lane;
        }
        (None, Spot::Hour(hour)) => hours::go_to(model, hour),
        _ => {}
    }
    Vec::new()
}

fn choose_line(model: &mut Model, place: usize) {
    match model.screen {
        Screen::Board => board::to_farm_row(model, place),
        Screen::Swell => model.swell.reading = place,
        Screen::Records => model.records.chosen = place,
        Screen::Coverage => model.spray.coverage.go_to(place),
        Screen::Materials => model.spray.materials.at = place,
        Screen::Buy => model.spray.buy.at = place,
        Screen::Sprayers => model.spray.sprayers.at = place,
        _ => {}
    }
}

/// Shows what the card under the button would do on another day.
pub fn drag(model: &mut Model, days: i64) {
    let Some(id) = model.grabbed.clone() else {
        return;
    };
    let mut view = match model.overlay.take() {
        None if days == 0 => return,
        None => Box::new(DelayView::dragged(model, id)),
        Some(Overlay::Delay(view)) => view,
        other => {
            model.overlay = other;
            return;
        }
    };
    view.set_days(model, days);
    model.overlay = Some(Overlay::Delay(view));
}

/// Moves the card to the day shown.
pub fn release(model: &mut Model) -> Vec<Effect> {
    let Some(id) = model.grabbed.take() else {
        return Vec::new();
    };
    match model.overlay.take() {
        Some(Overlay::Delay(view)) if view.dragged && view.task == id => {
            if view.days == 0 {
                model.say("nothing moved");
                return Vec::new();
            }
            board::shift(model, view.days)
        }
        other => {
            model.overlay = other;
            Vec::new()
        }
    }
}

/// Moves or scrolls.
pub fn wheel(model: &mut Model, step: i16) -> Vec<Effect> {
    let scroll = |top: usize| {
        if step < 0 {
            top.saturating_sub(3)
        } else {
            top + 3
        }
    };
    match &mut model.overlay {
        Some(Overlay::Help(top) | Overlay::Details(top) | Overlay::Why(top)) => *top = scroll(*top),
        Some(_) => {}
        None => return run(model, if step < 0 { Command::Up } else { Command::Down }),
    }
    Vec::new()
}
