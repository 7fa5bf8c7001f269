//! The run sheet: which sprayer, which hours, which blocks; taken over with one key.

use super::page;
use crate::domain::chance::{Chance, JobChance};
use crate::domain::outlook::touched;
use crate::domain::run_sheet::{self, Ask, RunSheet};
use crate::domain::season::TaskId;
use crate::report::{self, changes::still};
use crate::tui::action::{Command, Effect};
use crate::tui::details::Row;
use crate::tui::model::Model;
use crate::tui::overlay::Overlay;

/// The sheet as it was last made, and what it was made for.
#[derive(Debug, Clone, Default)]
pub struct RunPage {
    ask: Ask,
    made: Option<Made>,
    /// The chances as they were last worked out, and for which revision.
    chances: Option<(u64, Vec<JobChance>)>,
}

#[derive(Debug, Clone)]
struct Made {
    revision: u64,
    ask: Ask,
    sheet: Option<RunSheet>,
    text: String,
    consequences: Vec<String>,
}

impl RunPage {
    /// The sheet as it was last made.
    pub fn sheet(&self) -> Option<&RunSheet> {
        self.made.as_ref()?.sheet.as_ref()
    }

    /// The chances of what is on the sheet, where past winters were replayed since the last change.
    pub fn chances(&self, revision: u64) -> Option<&[JobChance]> {
        let (of, chances) = self.chances.as_ref()?;
        (*of == revision).then_some(chances.as_slice())
    }

    /// The worst chance of a task's blocks.
    pub fn chance_of(&self, task: &TaskId, revision: u64) -> Option<&Chance> {
        let sheet = self.sheet()?;
        let is_its = |c: &&JobChance| sheet.jobs.get(c.job).is_some_and(|j| &j.task == task);
        let own = self.chances(revision)?.iter().filter(is_its);
        own.map(|c| &c.chance).min_by_key(|c| c.done)
    }

    /// What is asked of the sheet beside the plan.
    pub fn ask(&self) -> &Ask {
        &self.ask
    }
}

/// Past winters were replayed.
pub fn take_chances(model: &mut Model, chances: Vec<JobChance>) {
    let words = if chances.is_empty() {
        "The chance to finish is not known: no hours of past winters are on file."
    } else {
        "The chance to finish stands below the sheet, and on the cards of the board."
    };
    model.run.chances = Some((model.revision, chances));
    model.say(words);
}

/// Makes the sheet anew where anything it hangs on has changed.
pub fn refresh(model: &mut Model) {
    let ask = model.run.ask.clone();
    let is_fresh = |m: &Made| m.revision == model.revision && m.ask == ask;
    if model.run.made.as_ref().is_some_and(is_fresh) {
        return;
    }
    let season = &model.season;
    let sheet = model
        .estimates
        .as_ref()
        .zip(model.fits.as_ref())
        .and_then(|(e, f)| run_sheet::run_sheet(season, e, f, model.today, &ask));
    let mut consequences = Vec::new();
    let text = match (&sheet, &model.estimates, &model.fits) {
        (Some(sheet), Some(estimates), Some(fits)) => {
            let helps = run_sheet::helps(season, estimates, fits, model.today, (&ask, sheet));
            consequences = consequences_of(model, sheet);
            report::run_sheet::text(season, sheet, &helps)
        }
        _ => "No hours of weather reach from now on: a forecast is needed.".to_owned(),
    };
    model.run.made = Some(Made {
        revision: model.revision,
        ask,
        sheet,
        text,
        consequences,
    });
}

/// Which warnings appear and which clear where the sheet is taken over.
fn consequences_of(model: &Model, sheet: &RunSheet) -> Vec<String> {
    let Ok((after, moved)) = run_sheet::take_over(&model.season, sheet, model.today) else {
        return Vec::new();
    };
    let there = model.outlook_of(&after);
    let changes = model.outlook.changes_to(&there);
    let mut lines = vec![format!(
        "Taking it over moves {} tasks and parts.",
        moved.len()
    )];
    for (sign, list) in [("appears", &changes.appeared), ("clears", &changes.cleared)] {
        let mut grouped: Vec<(String, usize)> = Vec::new();
        for warning in list {
            let words = format!("{}: {}", warning.level.words(), warning.message);
            match grouped.iter_mut().find(|g| g.0 == words) {
                Some(g) => g.1 += 1,
                None => grouped.push((words, 1)),
            }
        }
        lines.extend(grouped.into_iter().map(|(words, n)| {
            let times = if n > 1 {
                format!(" ({n} times)")
            } else {
                String::new()
            };
            format!("{sign} {words}{times}")
        }));
    }
    if changes.appeared.is_empty() {
        lines.push("No new warning.".to_owned());
    }
    let touched = touched(&model.season, &after);
    lines.extend(
        there
            .stays(&touched)
            .map(|left| format!("{}: {}", still(&left), left.first.message)),
    );
    lines
}

/// Answers a command on the run sheet; `None` where it is not for it.
pub fn update(model: &mut Model, command: Command) -> Option<Vec<Effect>> {
    if page::scroll(model, command) {
        return Some(Vec::new());
    }
    match command {
        Command::Plan | Command::Open => return Some(take(model)),
        Command::Chance => {
            model.say("Past winters are being replayed..");
            return Some(vec![Effect::Chances]);
        }
        Command::Tick => model.run.ask.doubtful = !model.run.ask.doubtful,
        Command::Add => model.run.ask.any_sprayer = !model.run.ask.any_sprayer,
        Command::Find => model.overlay = Some(Overlay::find()),
        Command::FindNext => page::find(model, false),
        Command::FindPrevious => page::find(model, true),
        _ => return None,
    }
    Some(Vec::new())
}

fn take(model: &mut Model) -> Vec<Effect> {
    let made = model.run.made.as_ref();
    let Some(sheet) = made.and_then(|m| m.sheet.clone()) else {
        model.say("there is no sheet to take over");
        return Vec::new();
    };
    match run_sheet::take_over(&model.season, &sheet, model.today) {
        Ok((_, moved)) if moved.is_empty() => {
            model.say("nothing on the sheet: nothing was changed");
            Vec::new()
        }
        Ok((after, moved)) => {
            let undo = model.keymap.first(Command::Undo);
            let words = format!(
                "run sheet taken over: {} tasks and parts moved; {undo} puts them back",
                moved.len()
            );
            model.edit(after, &words)
        }
        Err(fault) => {
            model.alert(fault.to_string());
            Vec::new()
        }
    }
}

/// The page as rows.
pub fn rows(model: &Model) -> Vec<Row> {
    let Some(made) = &model.run.made else {
        return vec![Row::text("The run sheet is being made..")];
    };
    let mut rows: Vec<Row> = Vec::new();
    let chances = made.sheet.as_ref().zip(model.run.chances(made.revision));
    let chances = chances.map_or_else(String::new, |(sheet, chances)| {
        report::run_sheet::chances(sheet, chances)
    });
    for (i, line) in made.text.lines().chain(chances.lines()).enumerate() {
        if line.is_empty() {
            rows.push(Row::gap());
        } else if i < 1 || !line.starts_with(' ') {
            rows.push(Row::head(line));
        } else {
            rows.push(Row::verbatim(line));
        }
    }
    let key = |command| model.keymap.first(command);
    rows.push(Row::gap());
    for line in &made.consequences {
        rows.push(Row::text(line.as_str()));
    }
    rows.push(Row::text(format!(
        "{} takes it over, {} {} doubtful hours, {} {} sprayer for any spray.",
        key(Command::Plan),
        key(Command::Tick),
        if made.ask.doubtful {
            "leaves out"
        } else {
            "takes"
        },
        key(Command::Add),
        if made.ask.any_sprayer {
            "keeps each to its own"
        } else {
            "any"
        },
    )));
    rows
}
