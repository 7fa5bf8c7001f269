//! What a change did to the warnings: said once it is known, and never as an all-clear.

use super::Model;
use crate::domain::outlook::{Outlook, touched};
use crate::domain::season::{Season, Task, TaskId};
use crate::report::changes;

/// What the last change did to the warnings.
#[derive(Debug, Clone, Default)]
pub struct Told {
    /// In one line; empty where the change was none that warnings hang on.
    pub line: String,
    /// The tasks that were changed, and the notice to go on from, until the estimates are in.
    awaited: Option<(Vec<TaskId>, String)>,
}

impl Model {
    /// Says behind the notice what a change did to the warnings.
    pub(super) fn tell(&mut self, before: &Season, was: &Outlook) {
        self.told = Told::default();
        if !matters(before, &self.season) {
            return;
        }
        let touched = touched(before, &self.season);
        self.told.line = changes::line(was, &self.outlook, &touched);
        self.add_told();
    }

    /// Keeps in mind that a change waits for new estimates.
    pub(super) fn await_estimates(&mut self, before: &Season) {
        let notice = self.notice.as_ref().filter(|n| !n.alert);
        let text = notice.map(|n| n.text.clone()).unwrap_or_default();
        self.told = Told {
            line: String::new(),
            awaited: Some((touched(before, &self.season), text)),
        };
    }

    /// The estimates are in: the change that waited for them is told.
    pub(super) fn tell_awaited(&mut self, was: &Outlook) {
        let Some((touched, text)) = self.told.awaited.take() else {
            return;
        };
        self.told.line = changes::line(was, &self.outlook, &touched);
        // Another key was pressed since: its own notice stays.
        if self.notice.as_ref().is_some_and(|n| n.text == text) {
            self.add_told();
        }
    }

    fn add_told(&mut self) {
        if let Some(notice) = self.notice.as_mut().filter(|n| !n.alert) {
            let text = notice.text.trim_end_matches(['.', ';']);
            notice.text = format!("{text}. {}", self.told.line);
        }
    }

    /// Says what was done, and behind it what that did to the warnings.
    pub fn say_change(&mut self, text: &str) {
        self.say(text);
        if !self.told.line.is_empty() {
            self.add_told();
        }
    }
}

/// Did a change touch what warnings hang on, apart from words?
fn matters(before: &Season, after: &Season) -> bool {
    let bare = |task: &Task| Task {
        title: String::new(),
        notes: None,
        moved: Vec::new(),
        ..task.clone()
    };
    let same = before.tasks.len() == after.tasks.len()
        && before
            .tasks
            .iter()
            .zip(&after.tasks)
            .all(|(a, b)| a == b || bare(a) == bare(b));
    !same
        || before.records.len() != after.records.len()
        || before.materials != after.materials
        || before.blocks != after.blocks
}
