//! The head of the chain of records in one word, to be noted elsewhere: how many there are, and the
//! last one's seal. Years later it tells whether the records up to it are those of that day.

use crate::domain::season::{RecordsHead, Season};

/// The head in one word, for instance `12-9f3ab1..`; `None` while there are no records, and of
/// practice, whose records prove nothing.
pub fn head_of(season: &Season) -> Option<String> {
    let head = season.records_head.as_ref().filter(|_| !season.practice)?;
    Some(format!("{}-{}", head.count, head.seal))
}

/// So many digits of a seal stand for it where a line is short.
pub const SHORT_SEAL: usize = 16;

/// The same, with no more of the seal than a short line holds.
pub fn short_head_of(season: &Season) -> Option<String> {
    let head = head_of(season)?;
    let dash = head.find('-')?;
    Some(head.chars().take(dash + 1 + SHORT_SEAL).collect())
}

/// Reads such a word.
pub fn read_head(text: &str) -> Option<RecordsHead> {
    let (count, seal) = text.trim().split_once('-')?;
    let is_seal = !seal.is_empty() && seal.chars().all(|c| c.is_ascii_hexdigit());
    is_seal.then_some(RecordsHead {
        count: count.parse().ok()?,
        seal: seal.to_ascii_lowercase(),
    })
}
