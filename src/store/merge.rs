//! Joins two edits of one season: what one side changed is taken, what both
//! changed alike is taken once, and where they collide both are told and ours
//! stands.
//!
//! Nothing is lost: an item that one side removed and the other changed stays;
//! a record is never removed; two readings for one stay two; a new task that
//! took the same id on both sides becomes two tasks; what is still used
//! elsewhere is not removed.

mod list;
mod uses;

use super::season_file;
use super::tree::{self, Node, Table};
use crate::domain::records;
use crate::domain::season::{Record, RecordId, Season};
use std::fmt;

/// A place where two edits disagree.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Collision {
    /// The item, for instance `task second-copper`, or `orchard`.
    pub item: String,
    /// The field, for instance `date`; empty where it is the item as a whole.
    pub field: String,
    /// What our side has, as a file would say it.
    pub ours: String,
    /// What the other side has.
    pub theirs: String,
    /// What was done about it.
    pub kept: Kept,
}

/// What a merge did about a collision.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kept {
    /// Our value stands.
    Ours,
    /// The other side's value stands: ours was removed, theirs changed.
    Theirs,
    /// Both stand.
    Both,
}

impl fmt::Display for Collision {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let dot = if self.field.is_empty() { "" } else { " " };
        let kept = match self.kept {
            Kept::Ours => "ours stands",
            Kept::Theirs => "theirs stands",
            Kept::Both => "both are kept",
        };
        write!(
            f,
            "{}{dot}{}: here {}, there {}; {kept}",
            self.item, self.field, self.ours, self.theirs
        )
    }
}

/// Two edits joined.
#[derive(Debug, Clone, PartialEq)]
pub struct Merged {
    /// The season with both edits.
    pub season: Season,
    /// Where they disagreed.
    pub collisions: Vec<Collision>,
}

/// Joins two edits of the season `base`.
pub fn merge(base: &Season, ours: &Season, theirs: &Season) -> Merged {
    let (base_season, our_season) = (base, ours);
    if ours == theirs || theirs == base {
        return Merged {
            season: ours.clone(),
            collisions: Vec::new(),
        };
    }
    if ours == base {
        return Merged {
            season: theirs.clone(),
            collisions: Vec::new(),
        };
    }
    let trees = (tree::of(base), tree::of(ours), tree::of(theirs));
    if let (Ok(base), Ok(ours), Ok(theirs)) = trees {
        // Field by field; where two fields that were changed apart do not go
        // together, item by item.
        for whole_items in [false, true] {
            let mut merge = Merge {
                collisions: Vec::new(),
                whole_items,
            };
            let merged = merge.root(&base, &ours, &theirs);
            if let Ok(season) = season_file::season_of(&merged, &our_season.shared_targets) {
                return Merged {
                    season: records::settled(sealed(base_season, our_season, season)),
                    collisions: merge.collisions,
                };
            }
        }
    }
    Merged {
        season: ours.clone(),
        collisions: vec![Collision {
            item: "season".to_owned(),
            field: String::new(),
            ours: "our edit".to_owned(),
            theirs: "an edit that cannot be joined with it".to_owned(),
            kept: Kept::Ours,
        }],
    }
}

/// Where both sides added records to the sealed ones, theirs now follow ours:
/// their seals are made anew on what they say.
fn sealed(base: &Season, ours: &Season, mut merged: Season) -> Season {
    let has = |s: &Season, id: &RecordId| s.records.iter().any(|r| &r.id == id);
    let ours_added = ours.records.iter().any(|r| !has(base, &r.id));
    let theirs_added = |r: &Record| !has(base, &r.id) && !has(ours, &r.id);
    if ours.records_head.is_none() || !ours_added || !merged.records.iter().any(theirs_added) {
        return merged;
    }
    for record in &mut merged.records {
        if theirs_added(record) {
            record.seal = None;
        }
    }
    records::adopt(&merged)
}

struct Merge {
    collisions: Vec<Collision>,
    whole_items: bool,
}

/// A value as a file would say it, in one short line.
fn said(node: Option<&Node>) -> String {
    node.map_or_else(
        || "nothing".to_owned(),
        |n| {
            let text = season_file::value_text(n);
            let line: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
            let short: String = line.chars().take(60).collect();
            if short == line { line } else { short + "…" }
        },
    )
}

impl Merge {
    fn collide(
        &mut self,
        item: &str,
        field: &str,
        ours: Option<&Node>,
        theirs: Option<&Node>,
        kept: Kept,
    ) {
        self.collisions.push(Collision {
            item: item.to_owned(),
            field: field.to_owned(),
            ours: said(ours),
            theirs: said(theirs),
            kept,
        });
    }

    fn root(&mut self, base: &Table, ours: &Table, theirs: &Table) -> Table {
        let theirs = uses::apart(base, ours, theirs, self);
        let mut merged = Table::default();
        for key in keys(base, ours, &theirs) {
            let three = (base.get(key), ours.get(key), theirs.get(key));
            if let Some(node) = self.field("", key, three) {
                merged.0.push((key.to_owned(), node));
            }
        }
        uses::restore(base, &mut merged, self);
        merged
    }

    fn table(&mut self, item: &str, base: &Table, ours: &Table, theirs: &Table) -> Table {
        let mut merged = Table::default();
        for key in keys(base, ours, theirs) {
            let three = (base.get(key), ours.get(key), theirs.get(key));
            if let Some(node) = self.field(item, key, three) {
                merged.0.push((key.to_owned(), node));
            }
        }
        merged
    }

    fn field(
        &mut self,
        item: &str,
        key: &str,
        (base, ours, theirs): (Option<&Node>, Option<&Node>, Option<&Node>),
    ) -> Option<Node> {
        if ours == theirs || base == theirs {
            return ours.cloned();
        }
        if base == ours {
            return theirs.cloned();
        }
        if item.is_empty() && key == "records_head" {
            // Told by the records themselves; see `sealed`.
            return ours.or(theirs).cloned();
        }
        let name = if item.is_empty() { key } else { item };
        match (base, ours, theirs) {
            (Some(Node::Table(base)), Some(Node::Table(ours)), Some(Node::Table(theirs)))
                if !self.whole_items =>
            {
                Some(Node::Table(self.table(name, base, ours, theirs)))
            }
            (Some(Node::List(base)), Some(Node::List(ours)), Some(Node::List(theirs)))
                if (item.is_empty() || !self.whole_items)
                    && [base, ours, theirs]
                        .into_iter()
                        .flatten()
                        .all(|n| n.as_table().is_some()) =>
            {
                Some(Node::List(self.list(item, key, base, ours, theirs)))
            }
            (_, Some(Node::List(ours)), Some(Node::List(theirs))) if key == "reviewed" => {
                let mut all = ours.clone();
                all.extend(theirs.iter().filter(|n| !ours.contains(n)).cloned());
                Some(Node::List(all))
            }
            _ => {
                let field = if item.is_empty() { "" } else { key };
                self.collide(name, field, ours, theirs, Kept::Ours);
                ours.cloned()
            }
        }
    }
}

/// Every key of three tables, in the order of ours.
fn keys<'k>(base: &'k Table, ours: &'k Table, theirs: &'k Table) -> Vec<&'k str> {
    let mut keys: Vec<&str> = Vec::new();
    for table in [ours, theirs, base] {
        for (key, _) in &table.0 {
            if !keys.contains(&key.as_str()) {
                keys.push(key);
            }
        }
    }
    keys
}
