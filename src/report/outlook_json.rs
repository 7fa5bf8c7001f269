//! The whole outlook as JSON, with a JSON Schema beside it.

use crate::domain::outlook::{DueTask, Estimates, Outlook};
use crate::domain::phenology::{distribution::StageDate, stage::Stage};
use crate::domain::records::{self, ReentryState, Standing};
use crate::domain::review::stage_date;
use crate::domain::rules::Level;
use crate::domain::season::{
    Block, BlockId, MaterialId, Season, TargetId, Task, TaskId, TaskState,
};
use chrono::NaiveDateTime;
use serde_json::{Value, json};

/// The schema that [`json()`] keeps to (JSON Schema, draft 2020-12).
pub const SCHEMA: &str = include_str!("outlook_json/outlook.schema.json");

/// The format number of the answer; it rises when a key goes or changes its meaning.
const FORMAT: u32 = 1;

/// Everything derived for a moment: blocks with their stage dates, tasks,
/// what is due, every warning, re-entry, copper, the state of the records.
pub fn json(
    season: &Season,
    estimates: &Estimates,
    outlook: &Outlook,
    now: NaiveDateTime,
) -> serde_json::Result<String> {
    let reentries = records::reentries(season, now);
    serde_json::to_string_pretty(&json!({
        "format": FORMAT,
        "on": outlook.today.to_string(),
        "orchard": season.orchard.name,
        "season": season.season,
        "practice": season.practice,
        "weather": outlook.ground.lines(),
        "blocks": season.blocks.iter().map(|b| block(season, estimates, outlook, b)).collect::<Vec<_>>(),
        "tasks": season.tasks.iter().map(|t| task(season, outlook, t)).collect::<Vec<_>>(),
        "due": {
            "overdue": due(&outlook.due.overdue),
            "today": due(&outlook.due.today),
            "next": due(&outlook.due.next),
        },
        "warnings": outlook.warnings.iter().map(|w| json!({
            "rule": w.rule,
            "level": w.level.words(),
            "task": w.task.as_ref().map(TaskId::as_str),
            "block": w.block.as_ref().map(BlockId::as_str),
            "material": w.material.as_ref().map(MaterialId::as_str),
            "message": w.message,
            "why": w.why,
            "todo": w.todo,
            "source": w.source.line(),
        })).collect::<Vec<_>>(),
        "reentry": reentries.iter().filter(|s| s.standing.is_open()).map(reentry).collect::<Vec<_>>(),
        "copper": records::copper(season).iter().map(|c| json!({
            "block": c.block.as_str(),
            "season_kg_per_ha": rounded(c.season_kg_per_ha),
            "unknown_uses": c.unknown_uses,
            "past_years": c.past_years,
            "seven_years_kg_per_ha": rounded(c.seven_years_kg_per_ha),
            "limit_kg_per_ha": c.limit_kg_per_ha.map(|(kg, _)| kg),
        })).collect::<Vec<_>>(),
        "records": {
            "hold": records::current(season).count(),
            "seal": season.records_head.as_ref().map(|h| h.seal.as_str()),
            "flaws": records::integrity(season, &[]).iter().map(records::Flaw::words).collect::<Vec<_>>(),
            "done_without_record": records::done_without_record(season).map(|t| t.id.as_str()).collect::<Vec<_>>(),
        },
    }))
}

fn rounded(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}

fn block(season: &Season, estimates: &Estimates, outlook: &Outlook, block: &Block) -> Value {
    let guard = block.guard_days.unwrap_or(season.orchard.guard_days);
    let tolerance = season.orchard.tolerance.fraction();
    let at = |stage| {
        stage_date(estimates, &block.id, stage).map(|date: &StageDate| {
            json!({
                "bbch": stage.bbch(),
                "p10": date.p10().to_string(),
                "p50": date.p50().to_string(),
                "p90": date.p90().to_string(),
                "chance_by_today": rounded(date.chance_by(outlook.today)),
            })
        })
    };
    json!({
        "id": block.id.as_str(),
        "name": block.name,
        "species": block.species.words(),
        "cultivar": block.cultivar,
        "trees": block.trees,
        "area_ha": block.area.map(|a| rounded(a.ha())),
        "swell": at(Stage::Swell),
        "burst": at(Stage::Burst),
        "bloom": at(Stage::FirstBloom),
        "last_safe": stage_date(estimates, &block.id, Stage::Swell)
            .map(|d| d.last_safe(tolerance, guard).to_string()),
    })
}

fn task(season: &Season, outlook: &Outlook, task: &Task) -> Value {
    let (state, on) = match task.state {
        TaskState::Planned => ("planned", None),
        TaskState::Done(day) => ("done", Some(day)),
        TaskState::Skipped(day) => ("skipped", Some(day)),
    };
    json!({
        "id": task.id.as_str(),
        "title": task.title,
        "lane": task.lane.key(),
        "kind": task.kind.key(),
        "date": task.date.to_string(),
        "state": state,
        "state_on": on.map(|d| d.to_string()),
        "why": task.why,
        "blocks": season.blocks_of(task).map(|b| b.id.as_str()).collect::<Vec<_>>(),
        "targets": task.targets.iter().map(TargetId::as_str).collect::<Vec<_>>(),
        "materials": task.mix.iter().map(|m| m.material.as_str()).collect::<Vec<_>>(),
        "moves": task.moved.len(),
        "worst": outlook.worst_of(&task.id).map(Level::words),
    })
}

fn due(tasks: &[DueTask]) -> Vec<&str> {
    tasks.iter().map(|t| t.task.as_str()).collect()
}

fn reentry(state: &ReentryState) -> Value {
    let (until, minutes) = match state.standing {
        Standing::Runs {
            until,
            minutes_left,
            ..
        } => (
            Some(until.format("%Y-%m-%dT%H:%M:%S").to_string()),
            Some(minutes_left),
        ),
        _ => (None, None),
    };
    json!({
        "record": state.record.as_str(),
        "blocks": state.blocks.iter().map(BlockId::as_str).collect::<Vec<_>>(),
        "until": until,
        "minutes_left": minutes,
        "words": state.standing.words(),
    })
}
