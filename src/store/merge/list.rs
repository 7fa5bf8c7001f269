//! Joins two edits of a list of items.

use super::super::tree::{self, Node, Table};
use super::{Kept, Merge};

/// One item of the joined list, and where it came from.
struct Joined {
    node: Node,
    ours: Option<usize>,
    theirs: Option<usize>,
}

impl Merge {
    pub(super) fn list(
        &mut self,
        owner: &str,
        key: &str,
        base: &[Node],
        ours: &[Node],
        theirs: &[Node],
    ) -> Vec<Node> {
        let from_ours = backwards(&tree::align(base, ours), base.len());
        let from_theirs = backwards(&tree::align(base, theirs), base.len());
        let mut joined = Vec::with_capacity(ours.len());
        for (b, node) in base.iter().enumerate() {
            let i = from_ours.get(b).copied().flatten();
            let j = from_theirs.get(b).copied().flatten();
            let three = (
                node,
                i.and_then(|i| ours.get(i)),
                j.and_then(|j| theirs.get(j)),
            );
            for (node, is_ours, is_theirs) in self.item(owner, key, three) {
                joined.push(Joined {
                    node,
                    ours: i.filter(|_| is_ours),
                    theirs: j.filter(|_| is_theirs),
                });
            }
        }
        let known = |list: &[Option<usize>], i: usize| list.contains(&Some(i));
        for (i, node) in ours.iter().enumerate() {
            if !known(&from_ours, i) {
                joined.push(Joined {
                    node: node.clone(),
                    ours: Some(i),
                    theirs: None,
                });
            }
        }
        for (j, node) in theirs.iter().enumerate() {
            if known(&from_theirs, j) {
                continue;
            }
            // Added on both sides: alike counts once, the same thing told
            // differently is one thing with a collision.
            let twin = joined.iter_mut().find(|o| {
                o.theirs.is_none()
                    && o.ours.is_some_and(|i| !known(&from_ours, i))
                    && (&o.node == node || same_new(key, &o.node, node))
            });
            if let Some(twin) = twin {
                twin.theirs = Some(j);
                // What was noted first of one day stands.
                if &twin.node != node && key != "estimate_noted" {
                    let name = name_of(owner, key, node);
                    let ours = twin.node.clone();
                    if let Some(node) = self.choose(&name, "", Some(&ours), Some(node)) {
                        twin.node = node;
                    }
                }
                continue;
            }
            joined.push(Joined {
                node: node.clone(),
                ours: None,
                theirs: Some(j),
            });
        }
        restore_twins(&mut joined, base, ours, theirs);
        in_order(joined, is_order_kept(&from_ours))
    }

    /// One item of the base: with what it became on either side.
    fn item(
        &mut self,
        owner: &str,
        key: &str,
        (base, ours, theirs): (&Node, Option<&Node>, Option<&Node>),
    ) -> Vec<(Node, bool, bool)> {
        let name = name_of(owner, key, base);
        match (ours, theirs) {
            (None, None) => Vec::new(),
            // A record is only ever added; what one side took out comes back.
            (Some(kept), None) if kept == base && key != "record" => Vec::new(),
            (None, Some(kept)) if kept == base && key != "record" => Vec::new(),
            (Some(kept), None) => {
                self.collide(&name, "", ours, None, Kept::Ours);
                vec![(kept.clone(), true, false)]
            }
            (None, Some(kept)) => {
                self.collide(&name, "", None, theirs, Kept::Theirs);
                vec![(kept.clone(), false, true)]
            }
            (Some(ours), Some(theirs)) => {
                if ours == theirs || theirs == base {
                    return vec![(ours.clone(), true, true)];
                }
                if ours == base {
                    return vec![(theirs.clone(), true, true)];
                }
                match (base, ours, theirs) {
                    // A reading is what somebody saw: two stay two.
                    _ if key == "reading" => {
                        self.collide(&name, "", Some(ours), Some(theirs), Kept::Both);
                        vec![(ours.clone(), true, false), (theirs.clone(), false, true)]
                    }
                    // A record is sealed as a whole.
                    (Node::Table(b), Node::Table(o), Node::Table(t))
                        if !self.whole_items && key != "record" =>
                    {
                        vec![(Node::Table(self.table(&name, b, o, t)), true, true)]
                    }
                    _ => {
                        let node = self.choose(&name, "", Some(ours), Some(theirs));
                        vec![(node.unwrap_or_else(|| ours.clone()), true, true)]
                    }
                }
            }
        }
    }
}

/// Of items told twice in the same words each side may have taken out another
/// one: what both still hold stays, as often as both hold it.
fn restore_twins(joined: &mut Vec<Joined>, base: &[Node], ours: &[Node], theirs: &[Node]) {
    for (i, node) in ours.iter().enumerate() {
        let count = |list: &[Node]| list.iter().filter(|n| *n == node).count();
        let both = count(base).min(count(ours)).min(count(theirs));
        if both > joined.iter().filter(|j| j.node == *node).count() {
            joined.push(Joined {
                node: node.clone(),
                ours: Some(i),
                theirs: None,
            });
        }
    }
}

/// For every item of the base, its place in the new list.
fn backwards(from: &[Option<usize>], length: usize) -> Vec<Option<usize>> {
    let mut back = vec![None; length];
    for (j, i) in from.iter().enumerate() {
        if let Some(slot) = i.and_then(|i| back.get_mut(i)) {
            *slot = Some(j);
        }
    }
    back
}

fn is_order_kept(places: &[Option<usize>]) -> bool {
    places.iter().flatten().is_sorted()
}

/// Two new items that cannot both stand.
fn same_new(key: &str, a: &Node, b: &Node) -> bool {
    let (Some(a), Some(b)) = (a.as_table(), b.as_table()) else {
        return false;
    };
    match key {
        "mix" => a.get("material") == b.get("material"),
        "quiet" => a.get("rule") == b.get("rule") && a.get("target") == b.get("target"),
        "estimate_noted" => ["date", "block", "stage"]
            .iter()
            .all(|k| a.get(k) == b.get(k)),
        // Ids taken twice by tasks and records were made two before.
        _ => a.id().is_some() && a.id() == b.id(),
    }
}

pub(in crate::store) fn name_of(owner: &str, key: &str, node: &Node) -> String {
    let table = node.as_table();
    let word = table
        .and_then(Table::id)
        .map(str::to_owned)
        .or_else(|| {
            ["material", "target", "rule", "date", "on"]
                .iter()
                .find_map(|k| table.and_then(|t| t.get(k)))
                .map(|n| super::said(Some(n)))
        })
        .unwrap_or_default();
    format!("{owner} {key} {word}").trim().to_owned()
}

/// The order of one side, with the other side's new items behind their
/// neighbours: theirs where ours only kept the old order.
fn in_order(joined: Vec<Joined>, ours_kept: bool) -> Vec<Node> {
    let lead = |j: &Joined| if ours_kept { j.theirs } else { j.ours };
    let other = |j: &Joined| if ours_kept { j.ours } else { j.theirs };
    let mut places: Vec<(usize, usize)> = Vec::with_capacity(joined.len());
    let mut by_other: Vec<(usize, usize)> = joined
        .iter()
        .filter_map(|j| Some((other(j)?, lead(j)?)))
        .collect();
    by_other.sort_unstable();
    for item in &joined {
        let place = match (lead(item), other(item)) {
            (Some(place), _) => (place + 1, 0),
            (None, Some(at)) => {
                // Behind the nearest earlier neighbour that the lead side has.
                let before = by_other.partition_point(|(o, _)| *o < at);
                let neighbour = before.checked_sub(1).and_then(|k| by_other.get(k));
                (neighbour.map_or(0, |(_, l)| l + 1), at + 1)
            }
            (None, None) => (usize::MAX, 0),
        };
        places.push(place);
    }
    let mut all: Vec<((usize, usize), Node)> = places
        .into_iter()
        .zip(joined.into_iter().map(|j| j.node))
        .collect();
    all.sort_by_key(|(place, _)| *place);
    all.into_iter().map(|(_, node)| node).collect()
}
