//! Two records that put one sprayer or one person into two places at one time.

use super::current;
use crate::domain::season::{Record, Season};

/// Every such pair that holds, in words, in file order.
pub fn clashes(season: &Season) -> Vec<String> {
    let held: Vec<&Record> = current(season).collect();
    let mut found = Vec::new();
    for (i, later) in held.iter().enumerate() {
        for earlier in held.iter().take(i) {
            found.extend(clash(season, earlier, later));
        }
    }
    found
}

/// What two records have at one time, in words.
pub(super) fn clash(season: &Season, a: &Record, b: &Record) -> Option<String> {
    let (from_a, to_a) = (a.started?, a.ended?);
    let (from_b, to_b) = (b.started?, b.ended?);
    if from_a >= to_b || from_b >= to_a {
        return None;
    }
    let same_sprayer = a
        .sprayer
        .as_ref()
        .filter(|s| b.sprayer.as_ref() == Some(*s));
    let sprayer = same_sprayer.map(|id| {
        season
            .sprayer(id)
            .map_or_else(|| id.to_string(), |s| s.name.clone())
    });
    let name = |r: &Record| r.who.as_ref().map(|w| w.trim().to_lowercase());
    let who = a.who.clone().filter(|_| name(a) == name(b));
    let what = [sprayer, who]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(" and ");
    (!what.is_empty()).then(|| {
        format!(
            "records {} and {}: {what} on both, {} to {} and {} to {}; correct the hours, or make one record of both",
            a.id,
            b.id,
            from_a.format("%Y-%m-%d %H:%M"),
            to_a.format("%H:%M"),
            from_b.format("%H:%M"),
            to_b.format("%H:%M")
        )
    })
}
