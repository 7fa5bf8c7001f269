//! Names between items: new ids taken on both sides, and removed things that
//! are still used.

use super::super::tree::{Node, Table};
use super::{Kept, Merge};
use crate::domain::targets;
use std::collections::{BTreeMap, BTreeSet};

fn items<'t>(tree: &'t Table, key: &str) -> &'t [Node] {
    match tree.get(key) {
        Some(Node::List(items)) => items,
        _ => &[],
    }
}

pub(super) fn ids(tree: &Table, key: &str) -> BTreeSet<String> {
    items(tree, key)
        .iter()
        .filter_map(|n| n.as_table()?.id().map(str::to_owned))
        .collect()
}

fn find<'t>(tree: &'t Table, key: &str, id: &str) -> Option<&'t Node> {
    items(tree, key)
        .iter()
        .find(|n| n.as_table().and_then(Table::id) == Some(id))
}

/// Their tree with new ids for new tasks and records whose ids we gave to
/// something else meanwhile.
pub(super) fn apart(base: &Table, ours: &Table, theirs: &Table, merge: &mut Merge) -> Table {
    let mut theirs = theirs.clone();
    for key in ["task", "record"] {
        let old = ids(base, key);
        let mut taken: BTreeSet<String> = &ids(ours, key) | &ids(&theirs, key);
        taken.extend(old.iter().cloned());
        let mut renamed = BTreeMap::new();
        for id in ids(&theirs, key) {
            let (mine, other) = (find(ours, key, &id), find(&theirs, key, &id));
            if old.contains(&id) {
                continue;
            }
            // A record that is there already under another number: joined once before.
            if key == "record"
                && let Some(same) = other.and_then(|other| again(ours, &old, other))
            {
                renamed.insert(id, same);
                continue;
            }
            if mine.is_none() || mine == other {
                continue;
            }
            merge.collide(&format!("{key} {id}"), "", mine, other, Kept::Both);
            let free = (2..taken.len() + 3)
                .map(|n| format!("{id}-{n}"))
                .find(|new| !taken.contains(new))
                .unwrap_or_default();
            taken.insert(free.clone());
            renamed.insert(id, free);
        }
        rename(&mut theirs, key, &renamed, &old);
    }
    as_ours(base, ours, &mut theirs);
    theirs
}

/// What a record says, without its number and its seal.
fn said(node: &Node) -> Option<Table> {
    let mut table = node.as_table()?.clone();
    table.0.retain(|(key, _)| key != "id" && key != "seal");
    Some(table)
}

/// The number of a new record of ours that says the same.
fn again(ours: &Table, old: &BTreeSet<String>, other: &Node) -> Option<String> {
    let other = said(other)?;
    items(ours, "record")
        .iter()
        .filter(|mine| said(mine).as_ref() == Some(&other))
        .filter_map(|mine| mine.as_table()?.id())
        .find(|id| !old.contains(*id))
        .map(str::to_owned)
}

/// New records of theirs that say what new ones of ours say are those: taken once.
fn as_ours(base: &Table, ours: &Table, theirs: &mut Table) {
    let old = ids(base, "record");
    let Some(Node::List(list)) = theirs.get_mut("record") else {
        return;
    };
    for item in list {
        let id = item
            .as_table()
            .and_then(Table::id)
            .unwrap_or_default()
            .to_owned();
        if old.contains(&id) {
            continue;
        }
        if let Some(mine) = find(ours, "record", &id)
            && said(mine) == said(item)
        {
            *item = mine.clone();
        }
    }
}

fn rename(tree: &mut Table, key: &str, renamed: &BTreeMap<String, String>, old: &BTreeSet<String>) {
    let change = |node: Option<&mut Node>| {
        if let Some(Node::Text(text)) = node
            && let Some(new) = renamed.get(text.as_str())
            && !old.contains(text.as_str())
        {
            text.clone_from(new);
        }
    };
    if renamed.is_empty() {
        return;
    }
    for (name, node) in &mut tree.0 {
        let Node::List(list) = node else { continue };
        for item in list {
            let Node::Table(table) = item else { continue };
            if name == key {
                change(table.get_mut("id"));
            }
            if name == "record" {
                change(table.get_mut(if key == "task" { "task" } else { "corrects" }));
            }
        }
    }
}

/// Puts back what one side removed and the other still uses.
pub(super) fn restore(base: &Table, merged: &mut Table, merge: &mut Merge) {
    // Targets last: a block that comes back may name one.
    for key in ["block", "material", "sprayer", "target"] {
        let there = ids(merged, key);
        let wanted = used(merged, key);
        for id in wanted {
            if there.contains(&id)
                || (key == "target" && targets::built_in().any(|t| t.id == id.as_str()))
            {
                continue;
            }
            let Some(node) = find(base, key, &id) else {
                continue;
            };
            merge.collide(
                &format!("{key} {id}"),
                "",
                None,
                Some(&Node::Text("still used".to_owned())),
                Kept::Theirs,
            );
            let node = node.clone();
            match merged.get_mut(key) {
                Some(Node::List(list)) => list.push(node),
                _ => merged.0.push((key.to_owned(), Node::List(vec![node]))),
            }
        }
    }
}

/// The ids of one kind that tasks, readings and blocks name.
fn used(tree: &Table, kind: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut take = |node: Option<&Node>| match node {
        Some(Node::Text(id)) => {
            found.insert(id.clone());
        }
        Some(Node::List(list)) => found.extend(list.iter().filter_map(|n| match n {
            Node::Text(id) => Some(id.clone()),
            _ => None,
        })),
        _ => {}
    };
    let tables = |key: &str| items(tree, key).iter().filter_map(Node::as_table);
    for task in tables("task") {
        match kind {
            "block" => take(task.get("blocks")),
            "target" => take(task.get("targets")),
            "sprayer" => take(task.get("sprayer")),
            _ => {
                for part in items(task, "mix").iter().filter_map(Node::as_table) {
                    take(part.get("material"));
                }
            }
        }
    }
    if kind == "block" {
        for reading in tables("reading") {
            take(reading.get("blocks"));
        }
    }
    if kind == "target" {
        for block in tables("block") {
            let named = items(block, "seen").iter().chain(items(block, "quiet"));
            for item in named.filter_map(Node::as_table) {
                take(item.get("target"));
            }
        }
    }
    found
}
