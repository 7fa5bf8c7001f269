//! What the rules look at.

use super::Warning;
use crate::domain::outlook::{BlockEstimate, Estimates};
use crate::domain::season::{Block, Material, Season, Task, TaskKind, TaskState};
use chrono::NaiveDate;

/// The season, the estimates and the day.
pub struct Facts<'a> {
    /// The plan.
    pub season: &'a Season,
    /// The stage dates of its blocks.
    pub estimates: &'a Estimates,
    /// The day.
    pub today: NaiveDate,
}

/// One use of a material on a block: planned or done.
#[derive(Clone, Copy)]
pub struct Use<'a> {
    /// The task.
    pub task: &'a Task,
    /// The block.
    pub block: &'a Block,
    /// The material.
    pub material: &'a Material,
}

impl<'a> Facts<'a> {
    /// Gathers the facts.
    pub fn new(season: &'a Season, estimates: &'a Estimates, today: NaiveDate) -> Self {
        Self {
            season,
            estimates,
            today,
        }
    }

    /// Every spray that counts: planned or done, not skipped.
    pub fn sprays(&self) -> impl Iterator<Item = &'a Task> {
        self.season
            .tasks
            .iter()
            .filter(|t| t.kind == TaskKind::Spray && !matches!(t.state, TaskState::Skipped(_)))
    }

    /// Sprays still to do.
    pub fn open_sprays(&self) -> impl Iterator<Item = &'a Task> {
        self.sprays().filter(|t| t.state.is_open())
    }

    /// The materials of a task's mix.
    pub fn materials_of(&self, task: &'a Task) -> impl Iterator<Item = &'a Material> {
        let season = self.season;
        task.mix
            .iter()
            .filter_map(move |part| season.material(&part.material))
    }

    /// Every use of every material on every block that counts.
    pub fn uses(&self) -> Vec<Use<'a>> {
        let mut uses = Vec::new();
        for task in self.sprays() {
            for block in self.season.blocks_of(task) {
                for material in self.materials_of(task) {
                    uses.push(Use {
                        task,
                        block,
                        material,
                    });
                }
            }
        }
        uses
    }

    /// The stage dates of a block.
    pub fn estimate(&self, block: &Block) -> Option<&'a BlockEstimate> {
        self.estimates.of(&block.id)
    }

    /// The guard days of a block.
    pub fn guard_days(&self, block: &Block) -> u32 {
        block.guard_days.unwrap_or(self.season.orchard.guard_days)
    }

    /// How likely a too-late spray may be at most, as a fraction.
    pub fn tolerance(&self) -> f64 {
        self.season.orchard.tolerance.fraction()
    }

    /// Has the grower quietened this rule for this task?
    pub fn is_quiet(&self, warning: &Warning) -> bool {
        warning
            .task
            .as_ref()
            .and_then(|id| self.season.task(id))
            .is_some_and(|task| task.quiet.iter().any(|q| q.rule == warning.rule))
    }
}
