//! TOML made new: whole files for `start`, and single items put into an
//! existing file.

use super::super::tree::{self, Node, Table as Tree};
use crate::domain::season::Season;
use std::collections::BTreeMap;
use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item, Table, Value};

/// Longest list that stays on one line, in characters.
const LINE: usize = 76;

/// What a new file says to the person who opens it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Comments {
    /// The first lines of the file.
    pub head: String,
    /// Comments above a key or table of the top level, by its name (`orchard`,
    /// `task`, …), or above one item of a list (`task second-copper`). What is
    /// said of an empty list still appears, in its place.
    pub before: BTreeMap<String, String>,
}

fn commented(text: &str) -> String {
    text.lines()
        .map(|line| match line.trim_end() {
            "" => "#\n".to_owned(),
            line => format!("# {line}\n"),
        })
        .collect()
}

/// The text of a new season file, with comments, in the order of the plan.
///
/// # Errors
/// Only if a value cannot be told in TOML, which no season value is.
pub fn fresh(season: &Season, comments: &Comments) -> Result<String, serde_json::Error> {
    let mut document = DocumentMut::new();
    let mut waiting = String::new();
    if !comments.head.is_empty() {
        waiting = commented(&comments.head);
    }
    for (key, node) in tree::of(season)?.0 {
        let stands_apart = matches!(&node, Node::Table(_) | Node::List(_));
        if let Some(own) = comments.before.get(&key) {
            if stands_apart || !waiting.is_empty() {
                waiting.push('\n');
            }
            waiting.push_str(&commented(own));
        }
        if node.is_default(&key) {
            continue;
        }
        if stands_apart && !waiting.starts_with('\n') {
            waiting.insert(0, '\n');
        }
        let mut item = root_item(&key, &node);
        match &mut item {
            Item::Table(table) => table.decor_mut().set_prefix(std::mem::take(&mut waiting)),
            Item::ArrayOfTables(list) => {
                for table in list.iter_mut() {
                    let id = table.get("id").and_then(Item::as_str).unwrap_or_default();
                    let about = comments.before.get(&format!("{key} {id}"));
                    let mut prefix = std::mem::take(&mut waiting);
                    if prefix.is_empty() {
                        prefix.push('\n');
                    }
                    prefix.push_str(&about.map(|c| commented(c)).unwrap_or_default());
                    table.decor_mut().set_prefix(prefix);
                }
            }
            _ => {}
        }
        document.insert(&key, item);
        if !waiting.is_empty()
            && let Some(mut name) = document.key_mut(&key)
        {
            name.leaf_decor_mut()
                .set_prefix(std::mem::take(&mut waiting));
        }
    }
    document.set_trailing(
        waiting.trim_end_matches('\n').to_owned()
            + if waiting.trim().is_empty() { "" } else { "\n" },
    );
    Ok(document.to_string())
}

/// A key of the top level: lists of tables as `[[key]]`.
pub(super) fn root_item(key: &str, node: &Node) -> Item {
    match node {
        Node::List(items) if items.iter().any(|i| i.as_table().is_some()) => {
            let mut list = ArrayOfTables::new();
            for table in items.iter().filter_map(Node::as_table) {
                list.push(whole_table(table));
            }
            Item::ArrayOfTables(list)
        }
        _ => item(key, node),
    }
}

/// A key of any table but the root: tables as `[a.b]`, lists in brackets.
pub(super) fn item(key: &str, node: &Node) -> Item {
    match node {
        Node::Table(table) if key != "last_stage_by_crop" => Item::Table(whole_table(table)),
        _ => Item::Value(value(node)),
    }
}

/// A new table; what reads back the same when absent is left out.
pub(super) fn whole_table(tree: &Tree) -> Table {
    let mut table = Table::new();
    for (key, node) in tree.0.iter().filter(|(k, n)| !n.is_default(k)) {
        table.insert(key, item(key, node));
    }
    table
}

/// A value on one line, or a list over several lines where it is long.
pub(super) fn value(node: &Node) -> Value {
    match node {
        Node::Text(text) => Value::from(text.as_str()),
        Node::Whole(n) => Value::from(*n),
        Node::Number(n) => Value::from(*n),
        Node::Flag(flag) => Value::from(*flag),
        Node::Moment(moment) => Value::from(*moment),
        Node::List(items) => {
            let mut array: Array = items.iter().map(value).collect();
            if array.to_string().chars().count() > LINE {
                spread(&mut array);
            }
            Value::Array(array)
        }
        Node::Table(tree) => {
            let mut table = InlineTable::new();
            for (key, node) in tree.0.iter().filter(|(k, n)| !n.is_default(k)) {
                table.insert(key, value(node));
            }
            Value::InlineTable(table)
        }
    }
}

/// One item a line.
fn spread(array: &mut Array) {
    for item in array.iter_mut() {
        item.decor_mut().set_prefix("\n  ");
    }
    array.set_trailing("\n");
    array.set_trailing_comma(true);
}
