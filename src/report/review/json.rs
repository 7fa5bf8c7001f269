//! The review as JSON. Keys are stable.

use crate::domain::outlook::DueTask;
use crate::domain::review::{Cause, Range, Review};
use crate::domain::rules::{Level, Warning};
use crate::domain::season::{BlockId, RecordId, Season, TaskId};
use serde_json::{Value, json};

/// The review as JSON.
pub fn json(season: &Season, review: &Review) -> serde_json::Result<String> {
    let r = review;
    serde_json::to_string_pretty(&json!({
        "orchard": season.orchard.name,
        "season": season.season,
        "on": r.today.to_string(),
        "since": r.since.to_string(),
        "first": r.first,
        "quiet": r.is_quiet(),
        "finished": list(&r.finished, |t| json!({
            "task": t.task.as_str(), "title": t.title, "date": t.date.to_string(), "skipped": t.skipped, "why": t.why,
        })),
        "moved": list(&r.moved, |t| json!({
            "task": t.task.as_str(), "title": t.title, "from": t.from.to_string(), "to": t.to.to_string(),
            "times": t.times, "times_in_all": t.times_in_all, "why": t.why,
        })),
        "overdue": list(&r.overdue, due),
        "next": list(&r.next, due),
        "risks": list(&r.risks, |x| json!({ "new": x.is_new, "warning": warning(&x.warning) })),
        "cleared": list(&r.cleared, warning),
        "readings": r.readings,
        "swell": list(&r.swell, |s| json!({
            "block": s.block.as_str(), "species": s.species, "then": s.then.map(range), "now": range(s.now),
            "days": s.days(), "last_safe": s.last_safe.to_string(), "causes": list(&s.causes, cause),
        })),
        "weather": r.around.ground.lines(),
        "windows": r.around.windows.as_ref().map(|w| list(w, |w| json!({
            "from": w.from.to_string(), "to": w.to.to_string(), "words": w.words,
        }))),
        "closing": list(&r.closing, |c| json!({
            "target": c.target.as_str(), "name": c.name, "block": c.block.as_str(),
            "last_safe": c.last_safe.to_string(), "days_left": c.days_left,
            "planned": c.planned.map(|d| d.to_string()), "source": c.source.line(),
        })),
        "reentry": list(&r.reentry, |s| json!({
            "record": s.record.as_str(), "blocks": ids(&s.blocks), "words": s.standing.words(),
        })),
        "short": list(&r.around.short, |s| json!({ "material": s.material.as_str(), "words": s.words })),
        "incomplete": list(&r.incomplete, |i| json!({
            "record": i.record.as_ref().map(RecordId::as_str),
            "task": i.task.as_ref().map(TaskId::as_str), "words": i.words,
        })),
        "flaws": list(&r.flaws, |f| json!(f.words())),
        "look": list(&r.look, |l| json!({ "what": l.what, "how": l.how, "source": l.source.line() })),
    }))
}

fn list<T>(items: &[T], row: impl Fn(&T) -> Value) -> Vec<Value> {
    items.iter().map(row).collect()
}

fn ids(blocks: &[BlockId]) -> Vec<&str> {
    blocks.iter().map(BlockId::as_str).collect()
}

fn due(task: &DueTask) -> Value {
    json!({
        "task": task.task.as_str(), "title": task.title, "lane": task.lane.key(),
        "date": task.date.to_string(), "blocks": ids(&task.blocks),
        "worst": task.worst.map(Level::words),
    })
}

fn range(range: Range) -> Value {
    json!({ "p10": range.p10.to_string(), "p50": range.p50.to_string(), "p90": range.p90.to_string() })
}

fn cause(cause: &Cause) -> Value {
    json!({ "cause": cause.words(), "days": cause.days() })
}

fn warning(w: &Warning) -> Value {
    json!({
        "rule": w.rule, "level": w.level.words(),
        "task": w.task.as_ref().map(TaskId::as_str),
        "block": w.block.as_ref().map(BlockId::as_str),
        "message": w.message, "why": w.why, "todo": w.todo, "source": w.source.line(),
    })
}
