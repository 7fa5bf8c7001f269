//! The board: three lanes of cards, one of them chosen.
//!
//! This file holds its state and how one moves about in it; `edits` holds
//! what one does to the chosen card; `view` draws.

mod edits;
pub mod view;

pub use edits::shift;

use crate::domain::outlook::Outlook;
use crate::domain::season::{Lane, Season, Task, TaskId};
use crate::tui::action::{Command, Effect};
use crate::tui::form::Form;
use crate::tui::model::Model;
use crate::tui::overlay::Overlay;
use crate::tui::words;
use std::cmp::Reverse;

/// What is chosen on the board.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Board {
    /// The chosen card.
    pub chosen: Option<TaskId>,
    /// The lane one is in, 0 to 2.
    pub lane: usize,
    /// The row one is in, kept for when the card goes away.
    row: usize,
}

/// The cards of a lane, in date order.
pub fn cards(season: &Season, lane: Lane) -> Vec<&Task> {
    let mut tasks: Vec<&Task> = season.tasks.iter().filter(|t| t.lane == lane).collect();
    tasks.sort_by(|a, b| a.day().cmp(&b.day()).then_with(|| a.id.cmp(&b.id)));
    tasks
}

/// The lane at a place, left to right.
pub fn lane_at(place: usize) -> Lane {
    Lane::ALL.get(place).copied().unwrap_or(Lane::BeforeSwell)
}

fn place_of(lane: Lane) -> usize {
    Lane::ALL.iter().position(|l| *l == lane).unwrap_or(0)
}

impl Board {
    /// Opens on what is due first, else on the next open card, else on any.
    pub fn opening(season: &Season, outlook: &Outlook) -> Self {
        let due = &outlook.due;
        let first = due
            .overdue
            .iter()
            .chain(&due.today)
            .chain(&due.next)
            .next()
            .map(|d| d.task.clone());
        let next = || {
            season
                .tasks
                .iter()
                .filter(|t| t.state.is_open())
                .min_by_key(|t| (t.date, t.id.clone()))
                .or_else(|| season.tasks.first())
                .map(|t| t.id.clone())
        };
        let mut board = Self::default();
        if let Some(id) = first.or_else(next) {
            board.choose(season, &id);
        }
        board
    }

    /// Chooses a card.
    pub fn choose(&mut self, season: &Season, id: &TaskId) {
        if let Some(task) = season.task(id) {
            self.lane = place_of(task.lane);
            self.chosen = Some(id.clone());
            self.remember_row(season);
        }
    }

    fn remember_row(&mut self, season: &Season) {
        let lane = cards(season, lane_at(self.lane));
        if let Some(row) = lane
            .iter()
            .position(|t| Some(&t.id) == self.chosen.as_ref())
        {
            self.row = row;
        }
    }

    /// Puts the choice back onto a card that exists, near where it was.
    pub fn settle(&mut self, season: &Season) {
        match self.chosen.clone() {
            Some(id) if season.task(&id).is_some() => self.choose(season, &id),
            _ => self.take_row(season, self.row),
        }
    }

    fn take_row(&mut self, season: &Season, row: usize) {
        let lane = cards(season, lane_at(self.lane));
        let row = row.min(lane.len().saturating_sub(1));
        self.chosen = lane.get(row).map(|t| t.id.clone());
        self.row = row;
    }

    fn go_down(&mut self, season: &Season, rows: i64) {
        let row = (self.row as i64).saturating_add(rows).max(0);
        self.take_row(season, usize::try_from(row).unwrap_or(0));
    }

    fn go_right(&mut self, season: &Season, lanes: i64) {
        let lane = (self.lane as i64 + lanes).clamp(0, 2);
        self.lane = usize::try_from(lane).unwrap_or(0);
        // The nearest row of the lane; the row itself is kept for the way back.
        let row = self.row;
        self.take_row(season, row);
    }

    /// Chooses the next card after the chosen one that passes, round about.
    fn next_where(&mut self, season: &Season, back: bool, pass: impl Fn(&Task) -> bool) -> bool {
        let mut order: Vec<&Task> = Lane::ALL
            .iter()
            .flat_map(|lane| cards(season, *lane))
            .collect();
        if back {
            order.reverse();
        }
        let here = order
            .iter()
            .position(|t| Some(&t.id) == self.chosen.as_ref())
            .map_or(0, |i| i + 1);
        let found = order
            .iter()
            .cycle()
            .skip(here)
            .take(order.len())
            .find(|t| pass(t))
            .map(|t| t.id.clone());
        let Some(id) = found else {
            return false;
        };
        self.choose(season, &id);
        true
    }
}

/// The chosen card.
pub fn chosen(model: &Model) -> Option<&Task> {
    model
        .board
        .chosen
        .as_ref()
        .and_then(|id| model.season.task(id))
}

/// Answers a command on the board; `None` where it is not for the board.
pub fn update(model: &mut Model, command: Command) -> Option<Vec<Effect>> {
    let page = model.page() as i64 / 2;
    let Model {
        season,
        board,
        count,
        ..
    } = &mut *model;
    match command {
        Command::Up | Command::Down => {
            let rows = i64::from(count.take().unwrap_or(1));
            board.go_down(season, if command == Command::Up { -rows } else { rows });
        }
        Command::Left | Command::PreviousPart => board.go_right(season, -1),
        Command::Right => board.go_right(season, 1),
        Command::NextPart => {
            let step = if board.lane == 2 { -2 } else { 1 };
            board.go_right(season, step);
        }
        Command::First => board.take_row(season, 0),
        Command::Last => board.take_row(season, usize::MAX),
        Command::PageUp => board.go_down(season, -page.max(1)),
        Command::PageDown => board.go_down(season, page.max(1)),
        Command::Open => match board.chosen {
            Some(_) => model.overlay = Some(Overlay::Details(0)),
            None => model.overlay = Some(Overlay::Form(Form::add(model))),
        },
        Command::NextDue => next_due(model),
        Command::NextWarning => next_warning(model),
        Command::Find => model.overlay = Some(Overlay::find()),
        Command::FindNext => find(model, false),
        Command::FindPrevious => find(model, true),
        _ => return edits::update(model, command),
    }
    Some(Vec::new())
}

fn next_due(model: &mut Model) {
    let due = &model.outlook.due;
    let ids: Vec<TaskId> = due
        .overdue
        .iter()
        .chain(&due.today)
        .chain(&due.next)
        .map(|d| d.task.clone())
        .collect();
    let here = ids
        .iter()
        .position(|id| Some(id) == model.board.chosen.as_ref());
    match ids.get(here.map_or(0, |i| (i + 1) % ids.len().max(1))) {
        Some(id) => model.board.choose(&model.season, id),
        None => model.say("nothing is due in the next seven days"),
    }
}

/// To the next card with a warning: worst first, then by day.
fn next_warning(model: &mut Model) {
    let season = &model.season;
    let mut ids: Vec<&TaskId> = Vec::new();
    for warning in &model.outlook.warnings {
        if let Some(id) = &warning.task
            && !ids.contains(&id)
        {
            ids.push(id);
        }
    }
    ids.sort_by_key(|id| {
        let worst = model.outlook.worst_of(id);
        (Reverse(worst), season.task(id).map(|t| t.date))
    });
    let here = ids
        .iter()
        .position(|id| Some(*id) == model.board.chosen.as_ref());
    let next = ids
        .get(here.map_or(0, |i| (i + 1) % ids.len().max(1)))
        .map(|id| (*id).clone());
    let Some(id) = next else {
        model.say("no task has a warning");
        return;
    };
    model.board.choose(&model.season, &id);
    let first = model.outlook.warnings_of(&id).next();
    if let Some(warning) = first {
        let text = format!("{}: {}", words::level(warning.level), warning.message);
        model.say(text);
    }
}

/// To the next card that holds the words looked for.
pub fn find(model: &mut Model, back: bool) {
    let wanted = model.find.to_lowercase();
    if wanted.is_empty() {
        model.say("nothing to find yet; / asks for words");
        return;
    }
    let Model { season, board, .. } = &mut *model;
    let holds = |task: &Task| {
        let materials = task
            .mix
            .iter()
            .filter_map(|part| season.material(&part.material));
        let mut texts = vec![task.title.clone(), words::blocks(season, task)];
        texts.extend(task.notes.clone());
        texts.extend(materials.map(|m| m.name.clone()));
        texts.extend(task.targets.iter().map(ToString::to_string));
        texts.iter().any(|t| t.to_lowercase().contains(&wanted))
    };
    if !board.next_where(season, back, holds) {
        let text = format!("nothing found for '{}'", model.find);
        model.say(text);
    }
}
