//! One spray that two people put on record: both records stay, and it is counted once.

use super::{blocks_of, current};
use crate::domain::season::{Record, Season};

/// Records of a spray that an earlier one of the same task tells already, each with that one.
///
/// A task is one spray: what is sprayed again is a task of its own, and one that is opened again
/// has its record taken back. Two records of one task for the same trees therefore tell the same
/// spray, unless they name other blocks (common practice, no source).
pub fn doubles(season: &Season) -> Vec<(&Record, &Record)> {
    let holding: Vec<&Record> = current(season).collect();
    let same = |a: &Record, b: &Record| {
        let blocks = blocks_of(season, b);
        a.task.is_some()
            && a.task == b.task
            && blocks_of(season, a)
                .iter()
                .any(|block| blocks.iter().any(|other| other.id == block.id))
    };
    let mut found: Vec<(&Record, &Record)> = Vec::new();
    for (i, record) in holding.iter().enumerate() {
        let earlier = holding.iter().take(i);
        if let Some(first) = earlier.into_iter().find(|first| same(first, record)) {
            found.push((record, first));
        }
    }
    found
}

/// The records that count: each spray once.
pub fn counted(season: &Season) -> impl Iterator<Item = &Record> {
    let doubled: Vec<&Record> = doubles(season)
        .into_iter()
        .map(|(record, _)| record)
        .collect();
    current(season).filter(move |record| !doubled.iter().any(|d| std::ptr::eq(*d, *record)))
}
