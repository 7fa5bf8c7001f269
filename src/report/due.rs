//! What is due and where to keep out, as text and JSON, and thing by thing for who is told.

use crate::domain::outlook::{DueTask, Ground, Outlook};
use crate::domain::records::{self, ReentryState, Standing};
use crate::domain::rules::Level;
use crate::domain::season::{BlockId, Season};
use chrono::NaiveDateTime;
use serde_json::{Value, json};

/// Parts of the answer, in the order they are said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// Where people must stay out.
    KeepOut,
    /// To do since a day that has passed.
    Overdue,
    /// To do today.
    Today,
    /// To do within seven days.
    Next,
}

impl Part {
    /// Its heading.
    pub fn words(self) -> &'static str {
        match self {
            Self::KeepOut => "KEEP OUT",
            Self::Overdue => "OVERDUE",
            Self::Today => "TODAY",
            Self::Next => "NEXT 7 DAYS",
        }
    }

    /// Its key in a stable answer.
    pub fn key(self) -> &'static str {
        match self {
            Self::KeepOut => "keep-out",
            Self::Overdue => "overdue",
            Self::Today => "today",
            Self::Next => "next",
        }
    }
}

/// One thing somebody should know.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Thing {
    /// Which part it belongs to.
    pub part: Part,
    /// What it is about: a task's or a record's id.
    pub id: String,
    /// Its gravest warning, by its word.
    pub level: Option<&'static str>,
    /// The same as a line.
    pub words: String,
    /// What stands against it, what to do, and how long its window is open: a line each.
    pub more: Vec<String>,
    /// Changes when there is something new to say of it.
    pub news: String,
}

/// Everything to be said, in order.
pub fn things(season: &Season, outlook: &Outlook, now: NaiveDateTime) -> Vec<Thing> {
    let due = &outlook.due;
    let closed = closed(season, now);
    let mut all: Vec<Thing> = closed.iter().map(|s| keep_out(season, s)).collect();
    for (part, tasks) in [
        (Part::Overdue, &due.overdue),
        (Part::Today, &due.today),
        (Part::Next, &due.next),
    ] {
        all.extend(tasks.iter().map(|task| to_do(season, outlook, part, task)));
    }
    all
}

fn closed(season: &Season, now: NaiveDateTime) -> Vec<ReentryState> {
    records::reentries(season, now)
        .into_iter()
        .filter(|s| s.standing.is_open())
        .collect()
}

fn keep_out(season: &Season, state: &ReentryState) -> Thing {
    let standing = match state.standing {
        Standing::Runs { .. } => "runs",
        _ => "waits-for-dry",
    };
    Thing {
        part: Part::KeepOut,
        id: state.record.as_str().to_owned(),
        level: None,
        words: format!(
            "{} - {} ({})",
            names(season, &state.blocks),
            state.standing.words(),
            state.record
        ),
        more: Vec::new(),
        news: format!("keep-out {} {standing}", state.record),
    }
}

fn to_do(season: &Season, outlook: &Outlook, part: Part, task: &DueTask) -> Thing {
    let level = task.worst.map(|l| l.words());
    let worst = level.map_or_else(String::new, |l| format!(" [{l}]"));
    Thing {
        part,
        id: task.task.as_str().to_owned(),
        level,
        words: format!(
            "{} {}{worst} - {} ({})",
            task.date.format("%a %Y-%m-%d"),
            task.title,
            names(season, &task.blocks),
            task.task
        ),
        more: more(outlook, task),
        // Another day, another part of the week or a graver warning is news; another title is not.
        news: format!(
            "{} {} {} {}",
            part.key(),
            task.task,
            task.date,
            level.unwrap_or("fine")
        ),
    }
}

fn more(outlook: &Outlook, task: &DueTask) -> Vec<String> {
    let mut lines = Vec::new();
    let reason = outlook.reason_of(&task.task);
    if let Some(reason) = reason.filter(|w| w.level > Level::Note) {
        lines.push(reason.message.clone());
        lines.push(format!("do: {}", reason.todo));
    }
    let window = outlook
        .standing(&task.task)
        .map_or_else(String::new, |s| super::standing::window(s, outlook.today));
    if !window.is_empty() {
        lines.push(format!("window: {window}"));
    }
    lines
}

fn names(season: &Season, blocks: &[BlockId]) -> String {
    if blocks.len() == season.blocks.len() {
        return "all blocks".to_owned();
    }
    let names: Vec<&str> = blocks
        .iter()
        .filter_map(|id| season.block(id))
        .map(|b| b.name.as_str())
        .collect();
    names.join(", ")
}

/// `{"on","overdue","today","next","keep_out","weather"}`, each but the first a list. Stable.
pub fn json(season: &Season, outlook: &Outlook, now: NaiveDateTime) -> Value {
    let list = |tasks: &[DueTask]| tasks.iter().map(|t| row(outlook, t)).collect::<Vec<_>>();
    json!({
        "on": outlook.today.to_string(),
        "overdue": list(&outlook.due.overdue),
        "today": list(&outlook.due.today),
        "next": list(&outlook.due.next),
        "keep_out": closed(season, now).iter().map(closed_row).collect::<Vec<_>>(),
        "weather": outlook.ground.lines(),
    })
}

fn row(outlook: &Outlook, task: &DueTask) -> Value {
    json!({
        "task": task.task.as_str(),
        "title": task.title,
        "lane": task.lane.key(),
        "date": task.date.to_string(),
        "blocks": ids(&task.blocks),
        "worst": task.worst.map(|l| l.words()),
        "standing": super::standing::json(outlook, &task.task),
    })
}

fn closed_row(state: &ReentryState) -> Value {
    let (until, dry) = match &state.standing {
        Standing::Runs {
            until,
            then_until_dry,
            ..
        } => (Some(until), *then_until_dry),
        _ => (None, true),
    };
    json!({
        "record": state.record.as_str(),
        "blocks": ids(&state.blocks),
        "until": until.map(|t| t.format("%Y-%m-%dT%H:%M").to_string()),
        "until_dry": dry,
    })
}

fn ids(blocks: &[BlockId]) -> Vec<&str> {
    blocks.iter().map(BlockId::as_str).collect()
}

/// Things as text, under the headings of their parts; empty where there is none.
pub fn text(things: &[Thing], ground: &Ground) -> String {
    let mut out = String::new();
    let mut part = None;
    for thing in things {
        if part.replace(thing.part) != Some(thing.part) {
            out.push_str(thing.part.words());
            out.push('\n');
        }
        out.push_str(&super::wrap::wrapped(&thing.words, 2));
        for line in &thing.more {
            out.push_str(&super::wrap::wrapped(line, 6));
        }
    }
    if !out.is_empty() {
        out.push_str(&super::ground::text(ground));
    }
    out
}
