//! A season as a plain tree of keys and values: what a file holds, without its
//! layout. Writing and merging compare these trees.

use crate::domain::season::Season;
use serde_json::{Map, Value};
use toml_edit::Datetime;

/// One value of the tree.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Node {
    Text(String),
    Whole(i64),
    Number(f64),
    Flag(bool),
    /// A civil day, or a local day and time.
    Moment(Datetime),
    List(Vec<Self>),
    Table(Table),
}

/// A table: keys in the order of the season's fields.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Table(pub(super) Vec<(String, Node)>);

/// Keys whose text is a day or a time, and is written as such.
const MOMENTS: [&str; 18] = [
    "date",
    "since",
    "read_on",
    "expires",
    "leaf_drop_expected",
    "leaf_drop_seen",
    "on",
    "to",
    "reviewed",
    "started",
    "ended",
    "reentry_until",
    "reentry_ended",
    "noted",
    "next_check",
    "p10",
    "p50",
    "p90",
];

/// Is the text under this key a day or a time? Two keys depend on the table.
fn is_moment(parent: &str, key: &str) -> bool {
    match key {
        "from" => parent == "moved",
        "done" => parent == "lesson",
        _ => MOMENTS.contains(&key),
    }
}

impl Table {
    pub(super) fn get(&self, key: &str) -> Option<&Node> {
        self.0.iter().find(|(k, _)| k == key).map(|(_, v)| v)
    }

    pub(super) fn get_mut(&mut self, key: &str) -> Option<&mut Node> {
        self.0.iter_mut().find(|(k, _)| k == key).map(|(_, v)| v)
    }

    pub(super) fn id(&self) -> Option<&str> {
        match self.get("id") {
            Some(Node::Text(id)) => Some(id),
            _ => None,
        }
    }

    fn of(name: &str, map: Map<String, Value>) -> Self {
        Self(
            map.into_iter()
                .filter_map(|(k, v)| Some((Node::of(name, &k, v)?, k)))
                .map(|(v, k)| (k, v))
                .collect(),
        )
    }
}

impl Node {
    /// `None` for what is absent (and for numbers that are none, which no file holds).
    fn of(parent: &str, key: &str, value: Value) -> Option<Self> {
        Some(match value {
            Value::Null => return None,
            Value::String(text) if is_moment(parent, key) => {
                text.parse().map_or(Self::Text(text), Self::Moment)
            }
            Value::String(text) => Self::Text(text),
            Value::Number(n) => match n.as_i64() {
                Some(whole) => Self::Whole(whole),
                None => Self::Number(n.as_f64()?),
            },
            Value::Bool(flag) => Self::Flag(flag),
            Value::Array(items) => Self::List(
                items
                    .into_iter()
                    .filter_map(|v| Self::of(parent, key, v))
                    .collect(),
            ),
            Value::Object(map) => Self::Table(Table::of(key, map)),
        })
    }

    pub(super) fn as_table(&self) -> Option<&Table> {
        match self {
            Self::Table(table) => Some(table),
            _ => None,
        }
    }

    /// Would leaving it out of a file read back as the same?
    pub(super) fn is_default(&self, key: &str) -> bool {
        match self {
            Self::List(items) => items.is_empty(),
            Self::Table(table) => {
                // Normals with nothing in them are still normals.
                key != "normals" && table.0.iter().all(|(k, v)| v.is_default(k))
            }
            Self::Flag(flag) => !flag,
            Self::Text(text) => matches!(
                (key, text.as_str()),
                ("canopy", "middling")
                    | ("organic", "unknown")
                    | ("state", "planned")
                    | ("copper_regime", "label")
            ),
            _ => false,
        }
    }
}

/// The tree of a season.
///
/// # Errors
/// Only if a value has no text form, which no season value lacks.
pub(super) fn of(season: &Season) -> Result<Table, serde_json::Error> {
    match serde_json::to_value(season)? {
        Value::Object(map) => Ok(Table::of("", map)),
        _ => Ok(Table::default()),
    }
}

/// For every new item the old one it came from: by id where all have one, else
/// by equality and then by what it is about.
pub(super) fn align(old: &[Node], new: &[Node]) -> Vec<Option<usize>> {
    if let (Some(old_ids), Some(new_ids)) = (ids(old), ids(new)) {
        let places: std::collections::HashMap<&str, usize> =
            old_ids.iter().enumerate().map(|(i, id)| (*id, i)).collect();
        if places.len() == old_ids.len() {
            let mut taken = vec![false; old.len()];
            return new_ids
                .iter()
                .map(|id| {
                    let i = *places.get(id)?;
                    let slot = taken.get_mut(i)?;
                    (!std::mem::replace(slot, true)).then_some(i)
                })
                .collect();
        }
    }
    let mut found = vec![None; new.len()];
    let mut taken = vec![false; old.len()];
    let front = old.iter().zip(new).take_while(|(a, b)| a == b).count();
    let back = old
        .iter()
        .rev()
        .zip(new.iter().rev())
        .take(old.len().min(new.len()) - front)
        .take_while(|(a, b)| a == b)
        .count();
    let mut pair = |i: usize, j: usize| {
        if let (Some(slot), Some(place)) = (taken.get_mut(i), found.get_mut(j))
            && !*slot
            && place.is_none()
        {
            *slot = true;
            *place = Some(i);
        }
    };
    for i in 0..front {
        pair(i, i);
    }
    for k in 1..=back {
        pair(old.len() - k, new.len() - k);
    }
    let same: [fn(&Node, &Node) -> bool; 2] = [|a, b| a == b, about_the_same];
    for like in same {
        for (j, b) in new.iter().enumerate().take(new.len() - back).skip(front) {
            for (i, a) in old.iter().enumerate().take(old.len() - back).skip(front) {
                if like(a, b) {
                    pair(i, j);
                }
            }
        }
    }
    found
}

fn ids(items: &[Node]) -> Option<Vec<&str>> {
    items
        .iter()
        .map(|n| n.as_table().and_then(Table::id))
        .collect()
}

/// Do two items without ids speak of the same thing?
fn about_the_same(a: &Node, b: &Node) -> bool {
    const ABOUT: [&str; 8] = [
        "kind", "date", "on", "material", "target", "rule", "stage", "active",
    ];
    match (a, b) {
        (Node::Table(a), Node::Table(b)) => ABOUT.iter().all(|k| a.get(k) == b.get(k)),
        _ => false,
    }
}
