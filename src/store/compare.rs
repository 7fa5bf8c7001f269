//! What differs between two versions of a season, item by item.

use super::merge::{name_of, said};
use super::tree::{self, Node, Table};
use crate::domain::season::Season;
use std::fmt;

/// One thing that differs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Difference {
    /// The item, for instance `task second-copper`, or `orchard`.
    pub item: String,
    /// The field; empty where it is the item as a whole.
    pub field: String,
    /// What the first version has; `None` where it has nothing.
    pub before: Option<String>,
    /// What the second version has.
    pub after: Option<String>,
}

impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.item)?;
        if !self.field.is_empty() {
            write!(f, " {}", self.field)?;
        }
        match (&self.before, &self.after) {
            // Of a whole item its name says enough.
            (None, Some(_)) if self.field.is_empty() => f.write_str(": added"),
            (Some(_), None) if self.field.is_empty() => f.write_str(": taken out"),
            (before, after) => {
                let words =
                    |side: &Option<String>| side.clone().unwrap_or_else(|| "nothing".to_owned());
                write!(f, ": {} -> {}", words(before), words(after))
            }
        }
    }
}

/// What changed from one version to another.
pub fn differences(before: &Season, after: &Season) -> Vec<Difference> {
    let mut found = Vec::new();
    if let (Ok(before), Ok(after)) = (tree::of(before), tree::of(after)) {
        tables("", &before, &after, &mut found);
    }
    found
}

/// What changed, in one line: the first things, and how many more.
pub fn in_short(differences: &[Difference], most: usize) -> String {
    let mut parts: Vec<String> = differences
        .iter()
        .take(most)
        .map(ToString::to_string)
        .collect();
    if let Some(more) = differences.len().checked_sub(most).filter(|n| *n > 0) {
        parts.push(format!("{more} more"));
    }
    parts.join("; ")
}

fn tables(item: &str, before: &Table, after: &Table, found: &mut Vec<Difference>) {
    let mut keys: Vec<&str> = after.0.iter().map(|(k, _)| k.as_str()).collect();
    for (key, _) in &before.0 {
        if !keys.contains(&key.as_str()) {
            keys.push(key);
        }
    }
    for key in keys {
        // The records say it themselves.
        if item.is_empty() && key == "records_head" {
            continue;
        }
        let filled = |node: Option<&'_ Node>| node.is_some_and(|n| !n.is_default(key));
        let (a, b) = (before.get(key), after.get(key));
        if a == b || (!filled(a) && !filled(b)) {
            continue;
        }
        nodes(item, key, a, b, found);
    }
}

fn items(node: Option<&Node>) -> &[Node] {
    match node {
        Some(Node::List(items)) => items,
        _ => &[],
    }
}

fn nodes(
    item: &str,
    key: &str,
    before: Option<&Node>,
    after: Option<&Node>,
    found: &mut Vec<Difference>,
) {
    let name = if item.is_empty() { key } else { item };
    let list = |node: Option<&'_ Node>| match node {
        Some(Node::List(items)) => items.iter().all(|n| n.as_table().is_some()),
        other => other.is_none(),
    };
    match (before, after) {
        (Some(Node::Table(before)), Some(Node::Table(after))) => {
            tables(name, before, after, found);
        }
        (before, after) if list(before) && list(after) => {
            lists(item, key, items(before), items(after), found);
        }
        (before, after) => found.push(Difference {
            item: name.to_owned(),
            field: if item.is_empty() { "" } else { key }.to_owned(),
            before: before.map(|n| said(Some(n))),
            after: after.map(|n| said(Some(n))),
        }),
    }
}

fn lists(item: &str, key: &str, before: &[Node], after: &[Node], found: &mut Vec<Difference>) {
    let whole = |node: &Node, is_new: bool| {
        let text = Some(said(Some(node)));
        let (before, after) = if is_new { (None, text) } else { (text, None) };
        Difference {
            item: name_of(item, key, node),
            field: String::new(),
            before,
            after,
        }
    };
    let from = tree::align(before, after);
    for (j, node) in after.iter().enumerate() {
        match from.get(j).copied().flatten().and_then(|i| before.get(i)) {
            Some(old) if old == node => {}
            Some(Node::Table(old)) => {
                if let Node::Table(new) = node {
                    tables(&name_of(item, key, node), old, new, found);
                }
            }
            _ => found.push(whole(node, true)),
        }
    }
    for (i, node) in before.iter().enumerate() {
        if !from.contains(&Some(i)) {
            found.push(whole(node, false));
        }
    }
}
