//! Finds edits, gaps and changed order among the records.

use super::seal::{Seal, owns};
use crate::domain::season::{RecordId, RecordsHead, Season};
use std::collections::BTreeSet;

/// Something wrong with the records.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Flaw {
    /// A record without a seal: written by hand.
    Unsealed(RecordId),
    /// A seal that is none.
    OddSeal(RecordId),
    /// What the record says is not what was sealed.
    Edited(RecordId),
    /// The record before this one is gone.
    Gap {
        /// The record after the gap.
        before: RecordId,
    },
    /// The record does not stand where it was written.
    Moved(RecordId),
    /// Two records have the same id.
    Twice(RecordId),
    /// It corrects a record that is not there.
    CorrectsNothing {
        /// The correction.
        id: RecordId,
        /// What it names.
        named: RecordId,
    },
    /// Two records correct the same one, so that both would count.
    CorrectedTwice(RecordId),
    /// Records that were there are gone from the end.
    Lost {
        /// How many there were.
        then: u32,
        /// How many there are.
        now: u32,
    },
    /// There are sealed records, but nothing says how many there should be.
    NoHead,
}

impl Flaw {
    /// What is wrong and what to do, in plain words.
    pub fn words(&self) -> String {
        match self {
            Self::Unsealed(id) => format!(
                "record {id} has no seal: it was written by hand; if it is the last one it can be sealed as it stands"
            ),
            Self::OddSeal(id) => format!("the seal of record {id} cannot be read; put the old one back"),
            Self::Edited(id) => format!(
                "record {id} was changed after it was made; put it back as it was and add a correction"
            ),
            Self::Gap { before } => format!(
                "a record before {before} was taken out; put it back from a backup"
            ),
            Self::Moved(id) => format!("record {id} does not stand where it was written; put the records back in order"),
            Self::Twice(id) => format!("there are two records {id}; take the copy out"),
            Self::CorrectsNothing { id, named } => {
                format!("record {id} corrects {named}, which is not there")
            }
            Self::CorrectedTwice(id) => format!(
                "record {id} is corrected by two others; only the latest correction should name it"
            ),
            Self::Lost { then, now } => format!(
                "there were {then} sealed records and now there are {now}, or the last ones are others; put them back from a backup"
            ),
            Self::NoHead => {
                "the count of records (records_head) is gone, so records cut from the end would not be missed".to_owned()
            }
        }
    }
}

/// Everything wrong with the records of a season.
///
/// `noted` are counts and seals kept elsewhere (a journal, a printed report):
/// each must still be found at its place.
pub fn integrity(season: &Season, noted: &[RecordsHead]) -> Vec<Flaw> {
    let mut flaws = Vec::new();
    let owns = owns(season);
    let mut seen = BTreeSet::new();
    let mut corrected = BTreeSet::new();
    let mut before: Option<String> = None;
    for record in &season.records {
        let id = record.id.clone();
        let named = record.corrects.clone();
        if let Some(named) = named {
            if !seen.contains(&named) {
                flaws.push(Flaw::CorrectsNothing {
                    id: id.clone(),
                    named,
                });
            } else if !corrected.insert(named.clone()) {
                flaws.push(Flaw::CorrectedTwice(named));
            }
        }
        if !seen.insert(id.clone()) {
            flaws.push(Flaw::Twice(id.clone()));
        }
        let Some(text) = record.seal.as_deref() else {
            flaws.push(Flaw::Unsealed(id));
            continue;
        };
        let Some(seal) = Seal::parse(text) else {
            flaws.push(Flaw::OddSeal(id));
            continue;
        };
        if Seal::of(record, seal.after.as_deref()).own != seal.own {
            flaws.push(Flaw::Edited(id.clone()));
        }
        if seal.after != before {
            flaws.push(match &seal.after {
                Some(other) if !owns.contains(other) => Flaw::Gap { before: id },
                _ => Flaw::Moved(id),
            });
        }
        before = Some(seal.own);
    }
    flaws.extend(lost(&owns, season.records_head.as_ref(), noted));
    flaws
}

fn lost(owns: &[String], own_head: Option<&RecordsHead>, noted: &[RecordsHead]) -> Vec<Flaw> {
    let now = u32::try_from(owns.len()).unwrap_or(u32::MAX);
    let mut flaws = Vec::new();
    match own_head {
        None if !owns.is_empty() => flaws.push(Flaw::NoHead),
        Some(head) if head.count != now || owns.last() != Some(&head.seal) => {
            flaws.push(Flaw::Lost {
                then: head.count,
                now,
            });
        }
        _ => {}
    }
    for head in noted {
        let place = usize::try_from(head.count)
            .unwrap_or(usize::MAX)
            .wrapping_sub(1);
        let flaw = Flaw::Lost {
            then: head.count,
            now,
        };
        // A short review notes the beginning of a seal; that many digits are no chance.
        let is_it = owns.get(place).is_some_and(|own| {
            *own == head.seal
                || (head.seal.len() >= super::head::SHORT_SEAL && own.starts_with(&head.seal))
        });
        if !is_it && !flaws.contains(&flaw) {
            flaws.push(flaw);
        }
    }
    flaws
}
