//! The rain delay: dates before and after, and every warning that appears or clears.

use crate::domain::hours::delay::{Plan, Proposal, Request, propose};
use crate::domain::outlook::Estimates;
use crate::domain::rules::Warning;
use crate::domain::season::edit::{Delay, DelayScope, EditError, Shift, delay_shifts, shift_tasks};
use crate::domain::season::{Season, TaskId};
use crate::tui::action::Command;
use crate::tui::form::Outcome;
use crate::tui::host::Draft;
use crate::tui::key::{Code, Key};
use crate::tui::keymap::Scope;
use crate::tui::model::Model;
use crate::tui::text;
use crate::tui::words;
use std::cmp::Reverse;

/// A rain delay being thought over.
#[derive(Debug, Clone)]
pub struct DelayView {
    /// The task that cannot be done as planned.
    pub task: TaskId,
    /// By how many days.
    pub days: i64,
    /// How far it reaches.
    pub scope: DelayScope,
    /// Lines scrolled by.
    pub top: usize,
    /// Into fit hours instead of by days: what is proposed, and which of it is in view.
    pub fit: Option<FitChoice>,
    /// Digits typed so far.
    typed: String,
    /// Is it shown while the mouse draws the card?
    pub dragged: bool,
    /// What it would do.
    pub preview: Result<Preview, String>,
}

/// Fit hours proposed for the tasks that move.
#[derive(Debug, Clone)]
pub struct FitChoice {
    proposal: Proposal,
    /// Which plan is in view, from 0.
    pub pick: usize,
}

impl FitChoice {
    /// The plans: the one that gives on nothing, or else those that give on least.
    pub fn plans(&self) -> Vec<&Plan> {
        self.proposal
            .best
            .iter()
            .chain(&self.proposal.choices)
            .collect()
    }

    /// The plan in view.
    pub fn plan(&self) -> Option<&Plan> {
        self.plans().get(self.pick).copied()
    }
}

/// What a delay would do.
#[derive(Debug, Clone, PartialEq)]
pub struct Preview {
    /// Each task's date before and after.
    pub shifts: Vec<Shift>,
    /// Warnings that would appear.
    pub appear: Vec<Warning>,
    /// Warnings that would clear.
    pub clear: Vec<Warning>,
    /// Warnings on these tasks that would stay, gravest first.
    pub stay: Vec<Warning>,
    season: Season,
}

/// The purpose of its draft.
pub const DRAFT: &str = "delay";
/// The longest delay that can be typed.
const MOST_DAYS: i64 = 200;
/// How many days ahead fit hours are looked for; beyond the forecast a day can only be named.
const FIT_DAYS: u32 = 28;

impl DelayView {
    /// A delay of one day for a task, others untouched.
    pub fn new(model: &Model, task: TaskId) -> Self {
        let mut view = Self {
            task,
            days: 1,
            scope: DelayScope::One,
            top: 0,
            fit: None,
            typed: String::new(),
            dragged: false,
            preview: Err(String::new()),
        };
        view.work_out(model);
        view
    }

    /// The same while the mouse draws the card along its dates.
    pub fn dragged(model: &Model, task: TaskId) -> Self {
        Self {
            dragged: true,
            ..Self::new(model, task)
        }
    }

    /// The delay in words that outlive the program.
    pub fn draft(&self, model: &Model) -> Draft {
        let scope = match self.scope {
            DelayScope::One => "one",
            DelayScope::AllThatFollow => "all",
        };
        let fields = [("days", self.days.to_string()), ("scope", scope.to_owned())];
        Draft {
            purpose: DRAFT.to_owned(),
            subject: self.task.to_string(),
            title: String::new(),
            fields: fields.map(|(k, v)| (k.to_owned(), v)).into(),
            focus: 0,
            ..Draft::here(model)
        }
    }

    /// Opens it again; `None` where its task is gone or done.
    pub fn from_draft(model: &Model, draft: &Draft) -> Option<Self> {
        let id = TaskId::from(draft.subject.as_str());
        model.season.task(&id).filter(|t| t.state.is_open())?;
        let field = |key: &str| draft.fields.iter().find(|(k, _)| k == key);
        let days = field("days").and_then(|(_, v)| v.parse().ok())?;
        let mut view = Self::new(model, id);
        view.days = i64::clamp(days, -MOST_DAYS, MOST_DAYS);
        if field("scope").is_some_and(|(_, v)| v == "all") {
            view.scope = DelayScope::AllThatFollow;
        }
        view.work_out(model);
        Some(view)
    }

    fn work_out(&mut self, model: &Model) {
        self.preview = self.preview(model).map_err(|fault| fault.to_string());
    }

    /// The dates and the season after, by days or into fit hours.
    fn moved(&self, model: &Model) -> Result<(Vec<Shift>, Season), EditError> {
        if let Some(plan) = self.fit.as_ref().and_then(FitChoice::plan) {
            let season = plan.apply(&model.season, model.today, "rain delay, into fit hours")?;
            let shifts = plan.places.iter().filter_map(|p| {
                p.to.map(|to| Shift {
                    task: p.task.clone(),
                    from: p.from,
                    to,
                })
            });
            return Ok((shifts.collect(), season));
        }
        let delay = Delay {
            task: self.task.clone(),
            days: self.days,
            scope: self.scope,
        };
        let shifts = delay_shifts(&model.season, &delay)?;
        let season = shift_tasks(&model.season, &shifts, model.today, "rain delay")?;
        Ok((shifts, season))
    }

    /// Proposes fit hours, shows the next proposal, or goes back to counting days.
    fn next_fit(&mut self, model: &mut Model) {
        if let Some(fit) = &mut self.fit {
            fit.pick += 1;
            if fit.plan().is_none() {
                self.fit = None;
            }
        } else {
            self.propose(model);
        }
        self.work_out(model);
    }

    fn propose(&mut self, model: &mut Model) {
        let Some(fits) = model.fits.as_ref().filter(|f| f.reach_ahead()) else {
            let key = model.keymap.first(Command::Fetch);
            model.alert(format!(
                "no hours of weather ahead: {key} fetches the forecast; days can be counted"
            ));
            return;
        };
        let none = Estimates::default();
        let estimates = model.estimates.as_ref().unwrap_or(&none);
        let request = Request {
            task: self.task.clone(),
            scope: self.scope,
            from: model.moment(),
            days: FIT_DAYS,
        };
        match propose(&model.season, estimates, fits.air(), &request) {
            Ok(proposal) => {
                let fit = FitChoice { proposal, pick: 0 };
                if fit.plan().is_none() {
                    model.alert("no day of the coming weeks holds it, whatever is given on");
                } else {
                    self.fit = Some(fit);
                }
            }
            Err(fault) => model.alert(fault.to_string()),
        }
    }

    fn preview(&self, model: &Model) -> Result<Preview, EditError> {
        let (shifts, season) = self.moved(model)?;
        let after = model.outlook_of(&season);
        // A warning is the same one if rule, task, block, material and level are.
        let key = |w: &Warning| {
            (
                w.rule,
                w.level,
                w.task.clone(),
                w.block.clone(),
                w.material.clone(),
            )
        };
        let missing_in = |list: &[Warning], w: &Warning| !list.iter().any(|o| key(o) == key(w));
        let before = &model.outlook.warnings;
        let pick = |from: &[Warning], other: &[Warning]| -> Vec<Warning> {
            from.iter()
                .filter(|w| missing_in(other, w))
                .cloned()
                .collect()
        };
        let moved = |w: &&Warning| {
            w.task
                .as_ref()
                .is_some_and(|id| shifts.iter().any(|s| s.task == *id))
        };
        let mut stay: Vec<Warning> = after
            .warnings
            .iter()
            .filter(moved)
            .filter(|w| !missing_in(before, w))
            .cloned()
            .collect();
        stay.sort_by_key(|w| Reverse(w.level));
        Ok(Preview {
            appear: pick(&after.warnings, before),
            clear: pick(before, &after.warnings),
            stay,
            shifts,
            season,
        })
    }

    /// Moves by another number of days.
    pub fn set_days(&mut self, model: &Model, days: i64) {
        self.days = days.clamp(-MOST_DAYS, MOST_DAYS);
        self.work_out(model);
    }

    /// Shows another proposal where there are several.
    fn step_fit(&mut self, model: &Model, forward: bool) {
        if let Some(fit) = &mut self.fit {
            let last = fit.plans().len().saturating_sub(1);
            fit.pick = if forward {
                (fit.pick + 1).min(last)
            } else {
                fit.pick.saturating_sub(1)
            };
        }
        self.work_out(model);
    }

    /// Takes a key.
    pub fn key(&mut self, model: &mut Model, key: Key) -> Outcome {
        if key.typed().is_some_and(|c| c.is_ascii_digit()) {
            self.fit = None;
        }
        if let Some(c) = key.typed().filter(char::is_ascii_digit) {
            self.typed.push(c);
            let days = self.typed.parse().unwrap_or(MOST_DAYS);
            self.set_days(model, days);
            return Outcome::Open;
        }
        if key.code == Code::Backspace {
            self.typed.pop();
            let days = self.typed.parse().unwrap_or(1);
            self.set_days(model, days);
            return Outcome::Open;
        }
        self.typed.clear();
        match model.keymap.command(&[Scope::Delay], key) {
            Some(Command::FitHours) => self.next_fit(model),
            Some(Command::Later) if self.fit.is_some() => self.step_fit(model, true),
            Some(Command::Earlier) if self.fit.is_some() => self.step_fit(model, false),
            Some(Command::Later) => self.set_days(model, self.days + 1),
            Some(Command::Earlier) => self.set_days(model, self.days - 1),
            Some(Command::NextPart) => {
                self.scope = match self.scope {
                    DelayScope::One => DelayScope::AllThatFollow,
                    DelayScope::AllThatFollow => DelayScope::One,
                };
                if self.fit.take().is_some() {
                    self.propose(model);
                }
                self.work_out(model);
            }
            Some(Command::Up) => self.top = self.top.saturating_sub(1),
            Some(Command::Down) => self.top += 1,
            Some(Command::Back) => return Outcome::Drop,
            Some(Command::Accept) => return self.accept(model),
            _ if key == Key::ctrl('c') => return Outcome::Drop,
            _ => model.alert("arrows change the days, tab the reach; enter accepts, esc drops"),
        }
        Outcome::Open
    }

    fn accept(&self, model: &mut Model) -> Outcome {
        match &self.preview {
            Ok(preview) => {
                let how = if self.fit.is_some() {
                    "into fit hours".to_owned()
                } else {
                    format!("of {}", text::count(self.days, "day", "days"))
                };
                let words = format!(
                    "rain delay {how}: {} moved",
                    text::count(preview.shifts.len() as i64, "task", "tasks")
                );
                Outcome::Done(model.edit(preview.season.clone(), &words))
            }
            Err(fault) => {
                model.alert(fault.clone());
                Outcome::Open
            }
        }
    }

    /// The question in words, for the title.
    pub fn words(&self) -> String {
        let reach = match self.scope {
            DelayScope::One => "this task alone",
            DelayScope::AllThatFollow => "this task and all that follow on its blocks",
        };
        if self.fit.is_some() {
            return format!("into fit hours: {reach}");
        }
        format!("{} later: {reach}", text::count(self.days, "day", "days"))
    }
}

/// One line for a warning: sign, word, message and the task it is on.
pub fn warning_line(season: &Season, warning: &Warning) -> String {
    let task = warning
        .task
        .as_ref()
        .and_then(|id| season.task(id))
        .map(|t| format!("{}: ", t.title))
        .unwrap_or_default();
    format!("{} {task}{}", words::level(warning.level), warning.message)
}
