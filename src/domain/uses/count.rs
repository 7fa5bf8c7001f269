//! How often a material was used in a season.

use super::{Event, Use, Uses};

/// Place of an open use among the season's uses of its material on its block, from one; done and
/// planned count, and a task that names a material twice uses it once.
pub(crate) fn nth_of_season(uses: &Uses<'_>, used: &Use<'_>) -> usize {
    let start = uses.season.starts();
    let events = uses.timeline(used.block_ix).iter();
    let of_material = |e: &&Event<'_>| e.day >= start && e.material == used.material.id.as_str();
    let mut count = 0;
    let mut last = None;
    for event in events.filter(of_material) {
        let task = event.used.map(|u| &u.task.id);
        if task.is_some() && task == last {
            continue;
        }
        count += 1;
        last = task;
        if event
            .used
            .is_some_and(|u| u.is_open() && u.task.id == used.task.id)
        {
            break;
        }
    }
    count
}
