//! Splitting a task over days or sprayers, and putting it together again.

use super::{EditError, move_task};
use crate::domain::season::{BlockId, Season, SprayerId, Task, TaskId};
use crate::domain::units::{Volume, VolumeUnit};
use chrono::NaiveDate;

/// When and with what a part goes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartPlan {
    /// The day.
    pub day: NaiveDate,
    /// The hour it begins.
    pub hour: Option<u32>,
    /// The sprayer, where it changes.
    pub sprayer: Option<SprayerId>,
}

/// Makes a task of its own of some blocks that are still to do in another; returns its id. Where
/// all that is left is named there is nothing to split, and the task itself is meant.
///
/// A volume set for the whole is shared by trees.
pub fn split_off(
    season: &Season,
    id: &TaskId,
    blocks: &[BlockId],
) -> Result<(Season, TaskId), EditError> {
    let task = season
        .task(id)
        .ok_or_else(|| EditError::NoTask(id.to_string()))?;
    if !task.state.is_open() {
        return Err(EditError::NotOpen(task.title.clone()));
    }
    let open: Vec<BlockId> = season
        .open_blocks(task)
        .iter()
        .map(|b| b.id.clone())
        .collect();
    if let Some(strange) = blocks.iter().find(|b| !open.contains(b)) {
        return Err(EditError::NotToDo(task.title.clone(), strange.to_string()));
    }
    let goes = |b: &BlockId| blocks.contains(b);
    if blocks.is_empty() || open.iter().all(goes) {
        return Ok((season.clone(), id.clone()));
    }
    let planned: Vec<BlockId> = season.planned_blocks(task).map(|b| b.id.clone()).collect();
    let trees = |of: &dyn Fn(&BlockId) -> bool| -> f64 {
        let each = season.planned_blocks(task).filter(|b| of(&b.id));
        each.map(|b| f64::from(b.trees)).sum()
    };
    let share = trees(&goes) / trees(&|_| true).max(1.0);
    let of_volume = |share: f64| -> Option<Volume> {
        let set = task.volume?;
        Some(Volume::new(set.l() * share, VolumeUnit::L).to(set.unit))
    };
    let part = Task {
        id: season.free_task_id(&task.title),
        blocks: planned.iter().filter(|b| goes(b)).cloned().collect(),
        volume: of_volume(share),
        part_of: Some(root(season, task)),
        ..task.clone()
    };
    let new_id = part.id.clone();
    let (kept, rest) = (
        planned.iter().filter(|b| !goes(b)).cloned().collect(),
        of_volume(1.0 - share),
    );
    let mut after = season.clone();
    let place = after.tasks.iter().position(|t| &t.id == id);
    for task in after.tasks.iter_mut().filter(|t| &t.id == id) {
        task.blocks.clone_from(&kept);
        task.volume = rest;
    }
    after.tasks.insert(place.map_or(0, |p| p + 1), part);
    Ok((after, new_id))
}

/// The task a part belongs to, itself where it is none.
fn root(season: &Season, task: &Task) -> TaskId {
    let first = task.part_of.as_ref().filter(|id| season.task(id).is_some());
    first.cloned().unwrap_or_else(|| task.id.clone())
}

/// Puts some blocks of a task on a day, an hour and a sprayer, splitting it where need be.
pub fn plan_part(
    season: &Season,
    id: &TaskId,
    blocks: &[BlockId],
    plan: &PartPlan,
    (on, why): (NaiveDate, &str),
) -> Result<(Season, TaskId), EditError> {
    let (after, part) = split_off(season, id, blocks)?;
    let mut after = move_task(&after, &part, plan.day, on, why)?;
    for task in after.tasks.iter_mut().filter(|t| t.id == part) {
        task.hour = plan.hour;
        if plan.sprayer.is_some() {
            task.sprayer.clone_from(&plan.sprayer);
        }
    }
    Ok((after, part))
}

/// Puts the open parts of a task together again on its own day.
pub fn join_parts(season: &Season, id: &TaskId) -> Result<Season, EditError> {
    let chosen = season
        .task(id)
        .ok_or_else(|| EditError::NoTask(id.to_string()))?;
    let first = root(season, chosen);
    let target = season
        .task(&first)
        .filter(|t| t.state.is_open())
        .map_or_else(|| id.clone(), |t| t.id.clone());
    let is_part = |t: &Task| {
        t.id != target
            && t.state.is_open()
            && season.records_of(t).next().is_none()
            && (t.part_of.as_ref() == Some(&first) || t.id == first)
            && t.mix == chosen.mix
    };
    let parts: Vec<Task> = season
        .tasks
        .iter()
        .filter(|t| is_part(t))
        .cloned()
        .collect();
    let mut after = season.clone();
    after.tasks.retain(|t| !parts.iter().any(|p| p.id == t.id));
    for task in after.tasks.iter_mut().filter(|t| t.id == target) {
        for part in &parts {
            task.blocks.extend(part.blocks.iter().cloned());
            task.volume = match (task.volume, part.volume) {
                (Some(a), Some(b)) => Some(Volume::new(a.l() + b.l(), VolumeUnit::L).to(a.unit)),
                _ => None,
            };
        }
    }
    Ok(after)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::hours::testing::{block, copper, season_with, spray};

    fn three() -> Season {
        let mut season = season_with(vec![copper("cu")]);
        season.blocks = ["a", "b", "c"].map(block).to_vec();
        let mut task = spray("t", &["cu"]);
        task.volume = Some(Volume::new(300.0, VolumeUnit::L));
        season.tasks = vec![task];
        season
    }

    fn ids(season: &Season, task: &str) -> Vec<String> {
        let task = season.task(&TaskId::from(task)).unwrap();
        season
            .open_blocks(task)
            .iter()
            .map(|b| b.id.to_string())
            .collect()
    }

    #[test]
    fn a_part_is_a_task_of_its_own_and_comes_back() {
        let season = three();
        let day: NaiveDate = "2026-02-12".parse().unwrap();
        let plan = PartPlan {
            day,
            hour: Some(9),
            sprayer: None,
        };
        let id = TaskId::from("t");
        let (after, part) =
            plan_part(&season, &id, &[BlockId::from("b")], &plan, (day, "rain")).unwrap();
        assert_eq!(ids(&after, "t"), ["a", "c"]);
        assert_eq!(ids(&after, part.as_str()), ["b"]);
        let made = after.task(&part).unwrap();
        assert_eq!((made.date, made.hour), (day, Some(9)));
        assert_eq!(made.part_of, Some(id.clone()));
        let litres = |id: &TaskId| after.task(id).unwrap().volume.unwrap().l();
        assert!((litres(&part) - 100.0).abs() < 1e-9 && (litres(&id) - 200.0).abs() < 1e-9);
        let again = join_parts(&after, &part).unwrap();
        assert_eq!(again.tasks.len(), 1);
        assert_eq!(ids(&again, "t").len(), 3);
        assert!((again.tasks[0].volume.unwrap().l() - 300.0).abs() < 1e-9);
    }

    #[test]
    fn all_that_is_left_is_no_part_and_what_is_not_to_do_is_refused() {
        let season = three();
        let id = TaskId::from("t");
        let all: Vec<BlockId> = season.blocks.iter().map(|b| b.id.clone()).collect();
        assert_eq!(
            split_off(&season, &id, &all).unwrap(),
            (season.clone(), id.clone())
        );
        assert!(split_off(&season, &id, &[BlockId::from("z")]).is_err());
    }
}
