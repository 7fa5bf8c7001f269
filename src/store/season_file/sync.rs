//! Puts the difference between two seasons into the text of a file and leaves
//! everything else of that text alone.

use super::super::tree::{self, Node, Table as Tree};
use super::fresh;
use toml_edit::{Array, ArrayOfTables, DocumentMut, Item, RawString, Table, TableLike, Value};

/// Changes a document from one season's tree to another's.
///
/// With `explicit`, values are written even where leaving them out commonly
/// means the same.
pub(super) fn sync(document: &mut DocumentMut, old: &Tree, new: &Tree, explicit: bool) {
    let mut sync = Sync {
        explicit,
        homeless: String::new(),
    };
    sync.table(document.as_table_mut(), old, new, Level::Root);
    if !sync.homeless.is_empty() {
        let before = document.trailing().as_str().unwrap_or_default();
        let text = format!("{before}{}", sync.homeless);
        document.set_trailing(text);
    }
}

/// Where a table stands: decides how new parts are written.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Level {
    Root,
    Inner,
    /// In braces: only values may be put here.
    Inline,
}

struct Sync {
    explicit: bool,
    /// Comments whose place is gone; they go to the end of the file.
    homeless: String,
}

impl Sync {
    fn table(&mut self, table: &mut dyn TableLike, old: &Tree, new: &Tree, level: Level) {
        for (key, value) in &new.0 {
            let before = old.get(key);
            if before == Some(value) {
                continue;
            }
            if let Some(item) = table.get_mut(key) {
                if matches!((&*item, value), (Item::ArrayOfTables(_), Node::List(l)) if l.is_empty())
                {
                    self.remove(table, key);
                } else {
                    self.item(item, before, value);
                    // The program began this list, and ends it where all is taken back.
                    if key == "moved" && value.is_default(key) {
                        self.remove(table, key);
                    }
                }
            } else if self.explicit || !value.is_default(key) {
                let item = match level {
                    Level::Root => fresh::root_item(key, value),
                    Level::Inner => fresh::item(key, value),
                    Level::Inline => Item::Value(fresh::value(value)),
                };
                table.insert(key, item);
            }
        }
        for (key, _) in &old.0 {
            if new.get(key).is_none() {
                self.remove(table, key);
            }
        }
    }

    /// Takes a key out; comments that stood above it move on to the next key.
    fn remove(&mut self, table: &mut dyn TableLike, key: &str) {
        let above = table
            .key(key)
            .and_then(|k| k.leaf_decor().prefix())
            .and_then(RawString::as_str)
            .map(comments_of)
            .unwrap_or_default();
        let mut kept = above;
        let next: Option<String> = table
            .iter()
            .skip_while(|(k, _)| *k != key)
            .skip(1)
            .find(|(_, item)| item.is_value())
            .map(|(k, _)| k.to_owned());
        match table.remove(key) {
            None => return,
            Some(Item::Table(gone)) => kept.push_str(&comments_above(&gone)),
            Some(Item::ArrayOfTables(gone)) => {
                for table in &gone {
                    kept.push_str(&comments_far_above(table));
                }
            }
            Some(Item::Value(gone)) => {
                kept.push_str(&comments_of(text_of(gone.decor().suffix())));
            }
            Some(Item::None) => {}
        }
        if kept.is_empty() {
            return;
        }
        if let Some(mut name) = next.as_deref().and_then(|k| table.key_mut(k)) {
            let prefix = text_of(name.leaf_decor().prefix()).to_owned();
            name.leaf_decor_mut().set_prefix(format!("{kept}{prefix}"));
        } else {
            self.homeless.push_str(&kept);
        }
    }

    fn item(&mut self, item: &mut Item, old: Option<&Node>, new: &Node) {
        match (&mut *item, old, new) {
            (Item::Table(table), Some(Node::Table(old)), Node::Table(new)) => {
                self.table(table, old, new, Level::Inner);
            }
            (Item::ArrayOfTables(list), Some(Node::List(old)), Node::List(new)) => {
                self.list(list, old, new);
            }
            (Item::Value(value), _, _) => self.value(value, old, new),
            _ => *item = fresh::item("", new),
        }
    }

    fn value(&mut self, value: &mut Value, old: Option<&Node>, new: &Node) {
        match (&mut *value, old, new) {
            (Value::InlineTable(table), Some(Node::Table(old)), Node::Table(new)) => {
                self.table(table, old, new, Level::Inline);
            }
            (Value::Array(array), Some(Node::List(old)), Node::List(new))
                if array.len() == old.len() =>
            {
                self.array(array, old, new);
            }
            _ => {
                let decor = value.decor().clone();
                *value = fresh::value(new);
                *value.decor_mut() = decor;
            }
        }
    }

    /// A list in brackets: items that stay keep their layout and comments.
    fn array(&mut self, array: &mut Array, old: &[Node], new: &[Node]) {
        let from = tree::align(old, new);
        let many_lines = array
            .iter()
            .any(|v| text_of(v.decor().prefix()).contains('\n'));
        let indent = array
            .iter()
            .map(|v| text_of(v.decor().prefix()))
            .find(|p| p.contains('\n'))
            .and_then(|p| p.rsplit('\n').next())
            .unwrap_or("  ")
            .to_owned();
        let mut values: Vec<Option<Value>> = array.iter().cloned().map(Some).collect();
        let mut result = Vec::with_capacity(new.len());
        for (node, i) in new.iter().zip(&from) {
            let kept = i.and_then(|i| values.get_mut(i)).and_then(Option::take);
            let mut value = kept.unwrap_or_else(|| {
                let mut value = fresh::value(node);
                if many_lines {
                    value.decor_mut().set_prefix(format!("\n{indent}"));
                }
                value
            });
            let before = i.and_then(|i| old.get(i));
            if before.is_some() && before != Some(node) {
                self.value(&mut value, before, node);
            }
            result.push(value);
        }
        for gone in values.into_iter().flatten() {
            self.homeless
                .push_str(&comments_of(text_of(gone.decor().prefix())));
            self.homeless
                .push_str(&comments_of(text_of(gone.decor().suffix())));
        }
        if !many_lines {
            for (j, value) in result.iter_mut().enumerate() {
                value.decor_mut().set_prefix(if j == 0 { "" } else { " " });
                if text_of(value.decor().suffix()).trim().is_empty() {
                    value.decor_mut().set_suffix("");
                }
            }
        }
        array.clear();
        for value in result {
            array.push_formatted(value);
        }
        if array.is_empty() {
            array.set_trailing_comma(false);
        }
    }

    /// A list of `[[…]]` tables: items that stay keep their place in the file
    /// unless their order changed.
    fn list(&mut self, list: &mut ArrayOfTables, old: &[Node], new: &[Node]) {
        let from = if list.len() == old.len() {
            tree::align(old, new)
        } else {
            vec![None; new.len()]
        };
        let mut tables: Vec<Option<Table>> = std::mem::take(list).into_iter().map(Some).collect();
        let kept: Vec<usize> = from.iter().copied().flatten().collect();
        let reordered = !kept.is_sorted();
        let stays: std::collections::HashSet<usize> = kept.into_iter().collect();
        // Comments of a table that goes move to the next one that stays.
        let mut waiting = String::new();
        for (i, slot) in tables.iter_mut().enumerate() {
            let Some(table) = slot else { continue };
            if !stays.contains(&i) {
                waiting.push_str(&comments_far_above(table));
            } else if !waiting.is_empty() {
                let prefix = text_of(table.decor().prefix()).to_owned();
                let moved = std::mem::take(&mut waiting);
                table.decor_mut().set_prefix(format!("\n{moved}{prefix}"));
            }
        }
        self.homeless.push_str(&waiting);
        for (node, i) in new.iter().zip(&from) {
            let Some(tree) = node.as_table() else {
                continue;
            };
            let kept = i.and_then(|i| tables.get_mut(i)).and_then(Option::take);
            let table = match (kept, i.and_then(|i| old.get(i)).and_then(Node::as_table)) {
                (Some(mut table), Some(before)) => {
                    if before != tree {
                        self.table(&mut table, before, tree, Level::Inner);
                    }
                    if reordered {
                        forget_position(&mut table);
                    }
                    table
                }
                _ => fresh::whole_table(tree),
            };
            list.push(table);
        }
    }
}

fn forget_position(table: &mut Table) {
    table.set_position(None);
    for (_, item) in table.iter_mut() {
        match item {
            Item::Table(inner) => forget_position(inner),
            Item::ArrayOfTables(list) => list.iter_mut().for_each(forget_position),
            _ => {}
        }
    }
}

fn text_of(raw: Option<&RawString>) -> &str {
    raw.and_then(RawString::as_str).unwrap_or_default()
}

/// The comment lines of a piece of layout.
fn comments_of(layout: &str) -> String {
    layout
        .lines()
        .map(str::trim)
        .filter(|l| l.starts_with('#'))
        .fold(String::new(), |all, line| all + line + "\n")
}

fn comments_above(table: &Table) -> String {
    comments_of(text_of(table.decor().prefix()))
}

/// The comments above a table that a blank line sets apart from it: they speak
/// of more than this table.
fn comments_far_above(table: &Table) -> String {
    let prefix = text_of(table.decor().prefix());
    let lines: Vec<&str> = prefix.lines().collect();
    let Some(blank) = lines.iter().rposition(|l| l.trim().is_empty()) else {
        return String::new();
    };
    lines
        .iter()
        .take(blank)
        .filter(|l| l.trim().starts_with('#'))
        .fold(String::new(), |all, line| all + line.trim() + "\n")
}
