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

pub(super) use list::name_of;

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

impl Collision {
    /// Is it for the owner to say which of two values stands? A removal that is not carried out,
    /// or two things of which both stay, are only told.
    pub fn asks(&self) -> bool {
        self.kept == Kept::Ours && (!self.field.is_empty() || self.theirs != NOTHING)
    }

    /// The same, told from the other side.
    fn turned(self) -> Self {
        Self {
            ours: self.theirs,
            theirs: self.ours,
            kept: match self.kept {
                Kept::Ours => Kept::Theirs,
                Kept::Theirs => Kept::Ours,
                Kept::Both => Kept::Both,
            },
            ..self
        }
    }
}

/// Which side's value stands where both changed one thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// That of this session.
    Ours,
    /// That on the disk.
    Theirs,
}

/// Two edits joined.
#[derive(Debug, Clone, PartialEq)]
pub struct Merged {
    /// The season with both edits.
    pub season: Season,
    /// Where they disagreed.
    pub collisions: Vec<Collision>,
}

/// Joins our edit onto what is on the disk. What stands there keeps its ids and seals: our new
/// records follow it.
pub fn onto(base: &Season, disk: &Season, ours: &Season, stands: Side) -> Merged {
    let alone = |season: &Season| Merged {
        season: season.clone(),
        collisions: Vec::new(),
    };
    if ours == disk || disk == base {
        return alone(ours);
    }
    if ours == base {
        return alone(disk);
    }
    onto_tree(&tree::of(base).unwrap_or_default(), disk, ours, stands)
}

/// What is on the disk, by the owner's word, without our edit: records are only ever added, and
/// ours follow those there.
pub fn disk_alone(base: &Season, disk: &Season, ours: &Season) -> Merged {
    let records = Season {
        records: ours.records.clone(),
        records_head: ours.records_head.clone(),
        ..base.clone()
    };
    onto(base, disk, &records, Side::Theirs)
}

/// Joins two edits of the season `base`; where they collide ours stands.
pub fn merge(base: &Season, ours: &Season, theirs: &Season) -> Merged {
    if ours == theirs || theirs == base || ours == base {
        let season = if ours == base { theirs } else { ours };
        return Merged {
            season: season.clone(),
            collisions: Vec::new(),
        };
    }
    merge_with(
        &tree::of(base).unwrap_or_default(),
        ours,
        theirs,
        Side::Ours,
    )
}

/// Joins two versions of which nobody knows what they were made from: what both have alike counts
/// as old, everything else as added by its side.
pub fn without_base(ours: &Season, theirs: &Season, stands: Side) -> Merged {
    let base = match (tree::of(ours), tree::of(theirs)) {
        (Ok(ours), Ok(theirs)) => common(&ours, &theirs),
        _ => Table::default(),
    };
    onto_tree(&base, ours, theirs, stands)
}

fn onto_tree(base: &Table, disk: &Season, ours: &Season, stands: Side) -> Merged {
    let side = match stands {
        Side::Ours => Side::Theirs,
        Side::Theirs => Side::Ours,
    };
    let merged = merge_with(base, disk, ours, side);
    Merged {
        season: merged.season,
        collisions: merged
            .collisions
            .into_iter()
            .map(Collision::turned)
            .collect(),
    }
}

fn named(items: &[Node]) -> bool {
    items
        .iter()
        .all(|node| node.as_table().and_then(Table::id).is_some())
}

/// What two trees have alike.
fn common(a: &Table, b: &Table) -> Table {
    let mut both = Table::default();
    for (key, node) in &a.0 {
        let Some(other) = b.get(key) else { continue };
        let shared = match (node, other) {
            (Node::Table(a), Node::Table(b)) => Some(Node::Table(common(a, b))),
            // A record is sealed as a whole, a reading has no name: alike or not.
            (Node::List(a), Node::List(b)) if key == "record" || !named(a) || !named(b) => {
                let alike = a.iter().filter(|node| b.contains(node)).cloned();
                Some(Node::List(alike.collect()))
            }
            (Node::List(a), Node::List(b)) => {
                let from = tree::align(a, b);
                let alike =
                    from.iter()
                        .zip(b)
                        .filter_map(|(i, node)| match (a.get((*i)?)?, node) {
                            (Node::Table(a), Node::Table(b)) => Some(Node::Table(common(a, b))),
                            _ => None,
                        });
                Some(Node::List(alike.collect()))
            }
            (a, b) => (a == b).then(|| a.clone()),
        };
        both.0.extend(shared.map(|node| (key.clone(), node)));
    }
    both
}

fn merge_with(base: &Table, ours: &Season, theirs: &Season, stands: Side) -> Merged {
    if let (Ok(our_tree), Ok(their_tree)) = (tree::of(ours), tree::of(theirs)) {
        // Field by field; where two fields that were changed apart do not go
        // together, item by item.
        for whole_items in [false, true] {
            let mut merge = Merge {
                collisions: Vec::new(),
                whole_items,
                stands,
            };
            let merged = merge.root(base, &our_tree, &their_tree);
            if let Ok(season) = season_file::season_of(&merged, &ours.shared_targets) {
                return Merged {
                    season: records::settled(sealed(base, ours, season), [ours, theirs]),
                    collisions: merge.collisions,
                };
            }
        }
    }
    let (season, kept) = match stands {
        Side::Ours => (ours, Kept::Ours),
        Side::Theirs => (theirs, Kept::Theirs),
    };
    Merged {
        season: season.clone(),
        collisions: vec![Collision {
            item: "season".to_owned(),
            field: String::new(),
            ours: "an edit".to_owned(),
            theirs: "an edit that cannot be joined with it".to_owned(),
            kept,
        }],
    }
}

/// Where both sides added records to the sealed ones, theirs now follow ours:
/// their seals are made anew on what they say.
fn sealed(base: &Table, ours: &Season, mut merged: Season) -> Season {
    let old = uses::ids(base, "record");
    let in_base = |id: &RecordId| old.contains(id.as_str());
    let in_ours = |id: &RecordId| ours.records.iter().any(|r| &r.id == id);
    let ours_added = ours.records.iter().any(|r| !in_base(&r.id));
    let theirs_added = |r: &Record| !in_base(&r.id) && !in_ours(&r.id);
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
    stands: Side,
}

/// How a value that is absent is told.
const NOTHING: &str = "nothing";

/// A value as a file would say it, in one short line.
pub(super) fn said(node: Option<&Node>) -> String {
    node.map_or_else(
        || NOTHING.to_owned(),
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
                self.choose(name, field, ours, theirs)
            }
        }
    }

    /// Both changed one thing: the side that is to stand does, and it is told.
    fn choose(
        &mut self,
        name: &str,
        field: &str,
        ours: Option<&Node>,
        theirs: Option<&Node>,
    ) -> Option<Node> {
        let (kept, node) = match self.stands {
            Side::Ours => (Kept::Ours, ours),
            Side::Theirs => (Kept::Theirs, theirs),
        };
        self.collide(name, field, ours, theirs, kept);
        node.cloned()
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
