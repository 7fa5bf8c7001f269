//! The run sheet taken over into the plan: tasks moved, split where their blocks go at different
//! times or with different sprayers.

use super::sheet::{RunSheet, Stint, hour_of};
use crate::domain::season::edit::{EditError, PartPlan, plan_part};
use crate::domain::season::{BlockId, Season, TaskId};
use chrono::NaiveDate;

/// The season with its open sprays as the sheet has them, and the tasks that were moved. Blocks
/// that are not on the sheet stay where they are. Nothing is lost: it is an edit like any other.
pub fn take_over(
    season: &Season,
    sheet: &RunSheet,
    on: NaiveDate,
) -> Result<(Season, Vec<TaskId>), EditError> {
    let mut after = season.clone();
    let mut moved = Vec::new();
    let mut tasks: Vec<&TaskId> = sheet.jobs.iter().map(|j| &j.task).collect();
    tasks.dedup();
    for task in tasks {
        for (first, blocks) in goes(sheet, task) {
            let plan = PartPlan {
                day: first.from.date(),
                hour: Some(hour_of(first.from)),
                sprayer: sheet.crews.get(first.crew).and_then(|c| c.sprayer.clone()),
            };
            let (next, part) = plan_part(&after, task, &blocks, &plan, (on, "run sheet"))?;
            after = next;
            moved.push(part);
        }
    }
    Ok((after, moved))
}

/// The goes a task is done in: one for each day and sprayer, with the blocks that begin in it,
/// the last first, so that what is split off goes before what stays.
fn goes<'a>(sheet: &'a RunSheet, task: &TaskId) -> Vec<(&'a Stint, Vec<BlockId>)> {
    let mut goes: Vec<(&Stint, Vec<BlockId>)> = Vec::new();
    for (ix, job) in sheet
        .jobs
        .iter()
        .enumerate()
        .filter(|(_, j)| &j.task == task)
    {
        let Some(first) = sheet.of(ix).min_by_key(|s| s.from) else {
            continue;
        };
        let key = |s: &Stint| (s.from.date(), s.crew);
        match goes.iter_mut().find(|(s, _)| key(s) == key(first)) {
            Some((earliest, blocks)) => {
                if first.from < earliest.from {
                    *earliest = first;
                }
                blocks.push(job.block.clone());
            }
            None => goes.push((first, vec![job.block.clone()])),
        }
    }
    goes.sort_by_key(|(s, _)| std::cmp::Reverse(s.from));
    goes
}
