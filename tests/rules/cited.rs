//! Where rules, targets and actives come from: a walk over all of them.

use barewood::domain::materials::{ACTIVE_NAMES, STARTERS};
use barewood::domain::records::Law;
use barewood::domain::rules::RULES;
use barewood::domain::sources::{self, Seen, Source};
use barewood::domain::targets;
use std::collections::BTreeSet;

/// What no published text was found for, as of November 2026. A citation leaves this list when
/// its text is read, and none may come into it while a text is known.
const STILL_FROM_MEMORY: &[&str] = &[
    "frozen-wood",
    "taphrina-mume",
    "same-day",
    "signs-48",
    "record-us-workers",
    "record-gb",
    "record-au",
    "record-nz",
    "record-ca",
];

/// Whatever is cited anywhere, with what cites it.
fn cited() -> Vec<(String, &'static Source)> {
    let rules = RULES.iter().map(|r| (format!("rule {}", r.id), r.source));
    let rows = targets::built_in().map(|t| (format!("target {}", t.id), t.source));
    let counts = targets::built_in()
        .filter_map(|t| Some((format!("threshold of {}", t.id), t.threshold?.source())));
    let actives = ACTIVE_NAMES
        .iter()
        .map(|a| (format!("active {}", a.name), a.source));
    let starters = STARTERS
        .iter()
        .map(|s| (format!("starting point {}", s.id), s.source));
    let laws = Law::ALL
        .into_iter()
        .map(|l| (format!("law {}", l.words()), l.source()));
    rules
        .chain(rows)
        .chain(counts)
        .chain(actives)
        .chain(starters)
        .chain(laws)
        .collect()
}

#[test]
fn nothing_is_from_memory_where_a_source_is_known() {
    for (what, source) in cited() {
        assert!(!source.cite.is_empty(), "{what} cites nothing");
        assert!(
            source.seen != Seen::Memory || STILL_FROM_MEMORY.contains(&source.id),
            "{what} is from memory: {}",
            source.cite
        );
    }
    for source in sources::ALL {
        assert!(
            source.seen != Seen::Memory || STILL_FROM_MEMORY.contains(&source.id),
            "{} is from memory",
            source.id
        );
    }
}

#[test]
fn every_rule_has_a_source_or_says_that_it_is_common_practice() {
    for (what, source) in cited() {
        match source.seen {
            // A text that was read can be found again: who wrote it, or which law it is.
            Seen::Read => assert!(
                source.cite.len() > 20 && source.cite.contains(|c: char| c.is_uppercase()),
                "{what}: {}",
                source.cite
            ),
            Seen::Practice => assert!(source.line().contains("common practice, no source")),
            Seen::Derived => assert!(source.line().contains("derived")),
            Seen::Memory => assert!(source.line().contains("from memory, not confirmed")),
        }
    }
}

#[test]
fn ids_are_unique_and_the_list_of_the_unread_has_nothing_stale() {
    let mut ids = BTreeSet::new();
    for source in sources::ALL {
        assert!(ids.insert(source.id), "{} twice", source.id);
    }
    for id in STILL_FROM_MEMORY {
        let source = sources::ALL.iter().find(|s| s.id == *id);
        assert_eq!(source.map(|s| s.seen), Some(Seen::Memory), "{id}");
    }
}
