//! The mix screen: the sheet of one spray, what speaks against it on top.

mod rows;
pub mod view;

pub use rows::rows;

use super::spray_work::{moved, next_holding};
use crate::domain::mix::{self, MixSheet};
use crate::domain::season::{Season, Task, TaskId, TaskKind};
use crate::tui::action::{Command, Effect};
use crate::tui::details::wrapped;
use crate::tui::form::Form;
use crate::tui::model::Model;
use crate::tui::overlay::Overlay;

/// What the mix screen shows.
#[derive(Debug, Clone, Default)]
pub struct Mix {
    /// The task whose sheet is in view.
    pub task: Option<TaskId>,
    /// Scrolled by so many lines.
    pub top: usize,
    /// Its sheet.
    pub sheet: Option<MixSheet>,
    made: Option<(u64, TaskId)>,
}

/// The sprays, in date order.
pub fn sprays(season: &Season) -> Vec<&Task> {
    let mut all: Vec<&Task> = season
        .tasks
        .iter()
        .filter(|t| t.kind == TaskKind::Spray)
        .collect();
    all.sort_by_key(|t| (t.day(), t.id.clone()));
    all
}

/// Takes the spray chosen on the board; where another card is chosen, the next
/// spray after it, and says so.
pub fn enter(model: &mut Model) {
    let season = &model.season;
    let chosen = model.board.chosen.as_ref().and_then(|id| season.task(id));
    let all = sprays(season);
    let next = |day| {
        all.iter()
            .find(|t| t.state.is_open() && Some(t.day()) >= day)
            .or_else(|| all.iter().rfind(|t| t.state.is_open()))
            .or_else(|| all.last())
            .copied()
    };
    let (task, words) = match chosen {
        Some(task) if task.kind == TaskKind::Spray => (Some(task), None),
        Some(task) => (
            next(Some(task.day())),
            Some(format!(
                "'{}' is no spray; this is the next one",
                task.title
            )),
        ),
        None => (next(None), None),
    };
    let task = task.map(|t| t.id.clone());
    if let Some(words) = words.filter(|_| task.is_some()) {
        model.say(words);
    }
    model.spray.mix.task = task;
    model.spray.mix.top = 0;
}

/// Works the sheet out anew, if something changed.
pub fn refresh(model: &mut Model) {
    let mix = &model.spray.mix;
    let task = mix.task.as_ref().and_then(|id| model.season.task(id));
    let key = task.map(|t| (model.revision, t.id.clone()));
    if key.is_some() && key == mix.made {
        return;
    }
    let sheet = task.map(|t| {
        mix::sheet_with(
            &model.season,
            t,
            model.estimates.as_ref(),
            model.fits.as_ref(),
            model.today,
        )
    });
    let mix = &mut model.spray.mix;
    mix.sheet = sheet;
    mix.made = key;
}

/// Answers a command on the mix screen; `None` where it is not for it.
pub fn update(model: &mut Model, command: Command) -> Option<Vec<Effect>> {
    let columns = usize::from(model.size.0);
    let lines = model
        .spray
        .mix
        .sheet
        .as_ref()
        .map_or(0, |sheet| wrapped(&rows(sheet, columns), columns).len());
    let most = lines.saturating_sub(view::height(model.size));
    let step = (model.count.unwrap_or(1) as usize, model.page());
    if let Some(to) = moved(model.spray.mix.top, most + 1, command, step) {
        model.spray.mix.top = to;
        return Some(Vec::new());
    }
    match command {
        Command::Left | Command::PreviousPart => other(model, false),
        Command::Right | Command::NextPart => other(model, true),
        Command::Find => model.overlay = Some(Overlay::find()),
        Command::FindNext => find(model, false),
        Command::FindPrevious => find(model, true),
        Command::WriteSheet => match Form::sheet(model) {
            Some(form) => model.overlay = Some(Overlay::Form(form)),
            None => model.say("there is no spray to write a sheet of"),
        },
        Command::Open => {
            if let Some(id) = model.spray.mix.task.clone() {
                model.board.choose(&model.season, &id);
                model.overlay = Some(Overlay::Details(0));
            }
        }
        _ => return None,
    }
    Some(Vec::new())
}

/// To the spray before or after.
/// Goes to the next spray, or the one before, whose title holds the words looked for.
pub fn find(model: &mut Model, back: bool) {
    let all = sprays(&model.season);
    let titles: Vec<String> = all.iter().map(|t| t.title.clone()).collect();
    let here = model.spray.mix.task.as_ref();
    let at = all.iter().position(|t| Some(&t.id) == here).unwrap_or(0);
    let found = next_holding(&titles, at, &model.find, back);
    let Some(id) = found.and_then(|place| all.get(place)).map(|t| t.id.clone()) else {
        let text = format!("no spray found for '{}'", model.find);
        model.say(text);
        return;
    };
    model.board.choose(&model.season, &id);
    model.spray.mix.task = Some(id);
    model.spray.mix.top = 0;
}

fn other(model: &mut Model, forward: bool) {
    let all = sprays(&model.season);
    let here = model.spray.mix.task.as_ref();
    let at = all.iter().position(|t| Some(&t.id) == here).unwrap_or(0);
    let to = if forward {
        (at + 1).min(all.len().saturating_sub(1))
    } else {
        at.saturating_sub(1)
    };
    let id = all.get(to).map(|t| t.id.clone());
    if id == model.spray.mix.task {
        model.say(if forward {
            "this is the last spray"
        } else {
            "this is the first spray"
        });
        return;
    }
    if let Some(id) = &id {
        model.board.choose(&model.season, id);
    }
    model.spray.mix.task = id;
    model.spray.mix.top = 0;
}
