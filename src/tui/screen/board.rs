//! The board: the year, the work, and the card of the task that is marked.
//!
//! This file holds its state and how one moves about in it; `edits` holds
//! what one does to the marked task; `standing` says how each task stands;
//! `view` draws.

mod edits;
pub mod farm;
pub mod marks;
pub mod moving;
pub mod standing;
pub mod view;

pub use edits::shift;

use crate::domain::outlook::Outlook;
use crate::domain::season::{BlockId, Lane, Season, Task, TaskId};
use crate::tui::action::{Command, Effect};
use crate::tui::form::Form;
use crate::tui::model::Model;
use crate::tui::overlay::Overlay;
use crate::tui::words;
use standing::Urgency;
use std::cmp::Reverse;

/// In which order the work is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum BoardView {
    /// What presses first.
    #[default]
    Urgency,
    /// Three lanes side by side.
    Lanes,
    /// Block by block.
    Blocks,
    /// The farm in one table, a row a block.
    Farm,
}

impl BoardView {
    /// Every view, in the order of its keys.
    pub const ALL: [Self; 4] = [Self::Urgency, Self::Lanes, Self::Blocks, Self::Farm];

    /// Its name.
    pub fn words(self) -> &'static str {
        match self {
            Self::Urgency => "urgency",
            Self::Lanes => "lanes",
            Self::Blocks => "blocks",
            Self::Farm => "farm",
        }
    }

    /// The command that shows it.
    pub fn command(self) -> Command {
        match self {
            Self::Urgency => Command::ByUrgency,
            Self::Lanes => Command::ByLanes,
            Self::Blocks => Command::ByBlocks,
            Self::Farm => Command::Farm,
        }
    }
}

/// How much of the year stands on top.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Zoom {
    /// All of it.
    #[default]
    Year,
    /// Some weeks, two cells a day.
    Month,
    /// Some days, a cell for each hour of work.
    Week,
}

impl Zoom {
    /// The next closer one, then the year again.
    fn next(self) -> Self {
        match self {
            Self::Year => Self::Month,
            Self::Month => Self::Week,
            Self::Week => Self::Year,
        }
    }
}

/// What is chosen on the board.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Board {
    /// The chosen card.
    pub chosen: Option<TaskId>,
    /// The lane one is in, 0 to 2.
    pub lane: usize,
    /// The row one is in, kept for when the card goes away.
    row: usize,
    /// In which order the work is shown.
    pub view: BoardView,
    /// What is done stands in the list too.
    pub unfolded: bool,
    /// The marked row of the farm's table.
    pub farm_row: usize,
    /// The farm's table as it was last made.
    pub table: farm::Table,
    /// In which order its rows stand.
    pub order_by: farm::Group,
    /// The words that narrow table and lists; empty shows everything.
    pub words: String,
    /// Tasks, or blocks of them, that the next act is for.
    pub marks: Vec<marks::Marked>,
    /// How much of the year stands on top.
    pub zoom: Zoom,
    /// The marked card on its way along its track.
    pub moving: Option<moving::Moving>,
    /// The task whose card is shown: it follows the mark when no key waits.
    pub card: Option<TaskId>,
}

/// The tasks of the list, in the order of [`standing::Standings::in_order`].
pub fn order(model: &Model) -> Vec<(Urgency, TaskId)> {
    let marked = model.board.chosen.as_ref();
    let done = model.board.unfolded || chosen(model).is_some_and(|t| !t.state.is_open());
    let only = model.board.table.only.as_ref();
    let mut all: Vec<(Urgency, TaskId)> = model
        .standings
        .in_order()
        .iter()
        .filter(|(urgency, id)| *urgency != Urgency::Done || done || Some(id) == marked)
        .filter(|(_, id)| only.is_none_or(|only| only.contains(id)))
        .cloned()
        .collect();
    if model.board.view == BoardView::Urgency && !model.board.unfolded {
        fold(model, &mut all);
    }
    if model.board.view == BoardView::Blocks {
        // The most pressing block first, its tasks by urgency; each task once.
        let blocks = farm::by_danger(model);
        let place = |id: &TaskId| {
            let task = model.season.task(id);
            let of = |(block, _): &(BlockId, String)| {
                task.is_some_and(|t| !t.blocks.is_empty() && t.blocks.contains(block))
            };
            blocks.iter().position(of).unwrap_or(blocks.len())
        };
        all.sort_by_cached_key(|(_, id)| place(id));
    }
    all
}

/// The same spray planned block by block is one line: the most pressing of it stands for all.
fn fold(model: &Model, all: &mut Vec<(Urgency, TaskId)>) {
    let marked = model.board.chosen.as_ref();
    let mut seen: Vec<usize> = Vec::new();
    all.retain(|(_, id)| {
        let Some(place) = model.folds.place(id) else {
            return true;
        };
        let is_first = !seen.contains(&place);
        if is_first {
            seen.push(place);
        }
        is_first || Some(id) == marked
    });
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
        if self.chosen.as_ref() != Some(id) {
            self.moving = None;
        }
        if let Some(task) = season.task(id) {
            self.lane = place_of(task.lane);
            self.chosen = Some(id.clone());
            self.remember_row(season);
        }
    }

    /// The cards of a lane that are shown, in date order.
    pub fn cards<'a>(&self, season: &'a Season, lane: Lane) -> Vec<&'a Task> {
        let mut all = cards(season, lane);
        if let Some(only) = &self.table.only {
            all.retain(|t| only.contains(&t.id));
        }
        all
    }

    fn remember_row(&mut self, season: &Season) {
        let lane = self.cards(season, lane_at(self.lane));
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
        let lane = self.cards(season, lane_at(self.lane));
        let row = row.min(lane.len().saturating_sub(1));
        self.chosen = lane.get(row).map(|t| t.id.clone());
        self.row = row;
    }

    fn go_right(&mut self, season: &Season, lanes: i64) {
        let lane = (self.lane as i64 + lanes).clamp(0, 2);
        self.lane = usize::try_from(lane).unwrap_or(0);
        // The nearest row of the lane; the row itself is kept for the way back.
        let row = self.row;
        self.take_row(season, row);
    }

    /// The task whose card is shown.
    pub fn carded<'a>(&self, model: &'a Model) -> Option<&'a Task> {
        let id = self.card.as_ref().or(self.chosen.as_ref())?;
        model.season.task(id).or_else(|| chosen(model))
    }

    /// Does the card show another task than the marked one?
    pub fn is_card_behind(&self) -> bool {
        self.card.is_some() && self.card != self.chosen
    }

    /// The card follows the mark.
    pub fn rest(&mut self) {
        self.card.clone_from(&self.chosen);
    }

    /// Chooses the next card after the chosen one that passes, round about.
    fn next_where(&mut self, season: &Season, back: bool, pass: impl Fn(&Task) -> bool) -> bool {
        let mut order: Vec<&Task> = Lane::ALL
            .iter()
            .flat_map(|lane| self.cards(season, *lane))
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
    if let Some(effects) = marks::update(model, command) {
        return Some(effects);
    }
    match command {
        Command::Up
        | Command::Down
        | Command::First
        | Command::Last
        | Command::PageUp
        | Command::PageDown => step(model, command),
        Command::NextPart if model.board.view == BoardView::Urgency => {
            model.board.unfolded = !model.board.unfolded;
        }
        Command::Zoom => {
            model.board.zoom = model.board.zoom.next();
            model.board.moving = None;
        }
        Command::Left | Command::Right if model.board.zoom != Zoom::Year => {
            let count = i64::from(model.take_count());
            let days = if command == Command::Left {
                -count
            } else {
                count
            };
            moving::step(model, days);
        }
        Command::Open if model.board.moving.is_some() => return Some(moving::keep(model)),
        Command::Back if model.board.moving.is_some() => {
            model.board.moving = None;
            model.say("Put back where it was.");
        }
        Command::Left | Command::PreviousPart => model.board.go_right(&model.season, -1),
        Command::Right => model.board.go_right(&model.season, 1),
        Command::NextPart => {
            let step = if model.board.lane == 2 { -2 } else { 1 };
            model.board.go_right(&model.season, step);
        }
        Command::ByUrgency => model.board.view = BoardView::Urgency,
        Command::ByLanes => model.board.view = BoardView::Lanes,
        Command::ByBlocks => model.board.view = BoardView::Blocks,
        Command::Farm => {
            model.board.view = BoardView::Farm;
            farm::refresh(model);
            let board = &model.board;
            let task = |r: &farm::FarmRow| r.purposes.first().map(|p| p.task.clone());
            let mut rows = board.table.rows.iter();
            let place = rows.position(|r| board.chosen.is_some() && task(r) == board.chosen);
            to_farm_row(model, place.unwrap_or(0));
        }
        Command::Tick => marks::toggle(model),
        Command::TickAll => marks::toggle_all(model),
        Command::Narrow => model.overlay = Some(Overlay::Form(Form::narrow(model))),
        Command::OrderBy => order_by(model),
        Command::Open => match model.board.chosen {
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

/// Moves the mark up or down by rows.
fn step(model: &mut Model, command: Command) {
    let page = (model.page() as i64 / 2).max(1);
    let count = i64::from(model.take_count());
    let rows = match command {
        Command::Up => -count,
        Command::Down => count,
        Command::PageUp => -page,
        Command::PageDown => page,
        Command::First => -1_000_000,
        _ => 1_000_000,
    };
    if model.board.view == BoardView::Lanes {
        let row = (model.board.row as i64 + rows).max(0);
        let row = usize::try_from(row).unwrap_or(0);
        model.board.take_row(&model.season, row);
        return;
    }
    if model.board.view == BoardView::Farm {
        let last = model.board.table.rows.len().saturating_sub(1) as i64;
        let to = (model.board.farm_row as i64 + rows).clamp(0, last);
        to_farm_row(model, usize::try_from(to).unwrap_or(0));
        return;
    }
    let all = order(model);
    let here = all
        .iter()
        .position(|(_, id)| Some(id) == model.board.chosen.as_ref());
    let last = all.len().saturating_sub(1) as i64;
    let to = here.map_or(0, |h| h as i64 + rows).clamp(0, last);
    if let Some((_, id)) = usize::try_from(to).ok().and_then(|i| all.get(i)) {
        model.board.choose(&model.season, id);
    }
}

/// The mark goes onto something that is shown, where the words left out what it was on.
pub fn to_shown(model: &mut Model) {
    if model.board.view == BoardView::Farm {
        to_farm_row(model, model.board.farm_row);
        return;
    }
    let all = order(model);
    let is_shown = |id: &TaskId| all.iter().any(|(_, shown)| shown == id);
    if !model.board.chosen.as_ref().is_some_and(is_shown)
        && let Some((_, first)) = all.first()
    {
        model.board.choose(&model.season, first);
    }
}

/// The next order of the farm's table.
fn order_by(model: &mut Model) {
    model.board.order_by = model.board.order_by.next();
    farm::refresh(model);
    let words = model.board.order_by.words();
    model.say(format!("The farm's table by {words}."));
}

/// Chooses a row of the farm's table, and the spray that presses most there.
pub fn to_farm_row(model: &mut Model, row: usize) {
    model.board.farm_row = row;
    let row = model.board.table.rows.get(row);
    let id = row.and_then(|r| r.purposes.first().map(|p| p.task.clone()));
    if let Some(id) = id {
        model.board.choose(&model.season, &id);
    }
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
        None => model.say("Nothing is due in the next seven days."),
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
        model.say("No task has a warning.");
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
        model.say("Nothing to find yet: type what to look for first.");
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
        let text = format!("'{}' was not found.", model.find);
        model.say(text);
    }
}
