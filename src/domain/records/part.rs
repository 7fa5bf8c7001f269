//! A part of a spray: some of its blocks, done on their own.

use crate::domain::mix::volume;
use crate::domain::season::{Block, BlockId, Season, Task};
use crate::domain::units::{Volume, VolumeUnit};
use thiserror::Error;

/// Why some blocks cannot be a part of a task.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PartError {
    /// The task is not for this block.
    #[error("'{task}' is not for {block}; its blocks are: {planned}")]
    NotOfTask {
        /// The task's title.
        task: String,
        /// The block's name.
        block: String,
        /// What the task is for.
        planned: String,
    },
    /// It was done there before.
    #[error("{block} is done already in '{task}'; still to do: {left}")]
    DoneBefore {
        /// The task's title.
        task: String,
        /// The block's name.
        block: String,
        /// What is left.
        left: String,
    },
}

/// The task as if it were for these blocks alone, with their share of a volume that was set for
/// the whole. No block named means all that are still to do.
///
/// # Errors
/// Where it is not for one of them, or was done there before.
pub fn part(season: &Season, task: &Task, blocks: &[BlockId]) -> Result<Task, PartError> {
    let open: Vec<&Block> = season.blocks_of(task).collect();
    let names = |blocks: &[&Block]| {
        let names: Vec<&str> = blocks.iter().map(|b| b.name.as_str()).collect();
        if names.is_empty() {
            "nothing".to_owned()
        } else {
            names.join(", ")
        }
    };
    let planned: Vec<&Block> = season.planned_blocks(task).collect();
    for id in blocks {
        if open.iter().any(|b| &b.id == id) {
            continue;
        }
        let block = season
            .block(id)
            .map_or_else(|| id.to_string(), |b| b.name.clone());
        let task = task.title.clone();
        return Err(if planned.iter().any(|b| &b.id == id) {
            let left = names(&open);
            PartError::DoneBefore { task, block, left }
        } else {
            let planned = names(&planned);
            PartError::NotOfTask {
                task,
                block,
                planned,
            }
        });
    }
    let chosen: Vec<&Block> = open
        .into_iter()
        .filter(|b| blocks.is_empty() || blocks.contains(&b.id))
        .collect();
    let mut part = task.clone();
    if chosen.len() == planned.len() {
        return Ok(part);
    }
    let sprayer = task.sprayer.as_ref().and_then(|id| season.sprayer(id));
    let litres = volume::of_part(season, &chosen, task, sprayer).total_l;
    part.volume = task
        .volume
        .zip(litres)
        .map(|(set, l)| Volume::new(l, VolumeUnit::L).to(set.unit));
    part.blocks = chosen.iter().map(|b| b.id.clone()).collect();
    Ok(part)
}
