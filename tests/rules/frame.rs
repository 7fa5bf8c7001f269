//! The frame: ids, order, quietening, silence on a sound plan.

use super::fixture::*;
use barewood::domain::rules::{self, Level, RULES};
use barewood::domain::season::Quiet;
use std::collections::BTreeSet;

#[test]
fn a_sound_plan_is_left_in_peace() {
    let found = check(&season());
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn every_rule_has_its_own_id_and_says_what_it_looks_at() {
    let mut ids = BTreeSet::new();
    for rule in RULES {
        assert!(ids.insert(rule.id), "{} twice", rule.id);
        assert!(
            !rule.title.is_empty() && rule.about.ends_with('.'),
            "{}",
            rule.id
        );
        assert!(!rule.source.cite.is_empty(), "{}", rule.id);
    }
    for id in [
        "too-close-to-swell",
        "past-stage-limit",
        "before-leaf-drop",
        "interval-too-short",
        "overdue",
        "label-not-read",
        "critical-lane-empty",
    ] {
        assert!(
            ids.contains(id),
            "{id} must stay: it stands in season files"
        );
    }
}

#[test]
fn worst_first_then_by_day() {
    let mut s = season();
    s.materials[0].label.read_on = None;
    s.tasks.push(spray("early", "2026-12-01", &["p"], &["cu"]));
    s.tasks
        .push(spray("too-late", "2027-03-05", &["p"], &["cu"]));
    let found = check(&s);
    assert!(
        found.windows(2).all(|w| w[0].level >= w[1].level),
        "{found:#?}"
    );
    assert_eq!(found[0].level, Level::Stop);
    let cautions: Vec<&str> = found
        .iter()
        .filter(|w| w.rule == "label-not-read")
        .map(|w| w.task.as_ref().unwrap().as_str())
        .collect();
    assert_eq!(cautions, ["early", "late", "too-late"]);
}

#[test]
fn a_rule_is_quiet_for_one_task_only() {
    let mut s = season();
    s.materials[0].label.read_on = None;
    s.tasks.push(spray("other", "2026-12-20", &["p"], &["cu"]));
    s.tasks[0].quiet.push(Quiet {
        rule: "label-not-read".to_owned(),
        why: "read, forgot to note it".to_owned(),
        on: day("2026-11-24"),
    });
    let w = only(&s, "label-not-read");
    assert_eq!(w.task.unwrap().as_str(), "other");
}

#[test]
fn why_gives_rule_numbers_advice_and_source() {
    let mut s = season();
    s.tasks[0].date = day("2027-03-05");
    let w = only(&s, "too-close-to-swell");
    let told = rules::explain(&w);
    let keys: Vec<&str> = told.iter().map(|l| l.0).collect();
    assert_eq!(
        keys,
        ["rule", "looks at", "found", "numbers", "to do", "source"]
    );
    let numbers = &told[3].1;
    for piece in ["Mon 1 Mar", "Sun 21 Feb", "you accept 10 %", "5 guard days"] {
        assert!(numbers.contains(piece), "{piece} not in {numbers}");
    }
}

#[test]
fn overdue_begins_the_day_after() {
    // Common practice, no source.
    let s = season();
    assert!(levels_on(&s, "overdue", "2027-02-01").is_empty());
    assert_eq!(levels_on(&s, "overdue", "2027-02-02"), [Level::Caution]);
}

#[test]
fn an_empty_critical_lane_is_named_while_there_is_time() {
    // Common practice, no source. Swell passes 10 % on 22 February (15 %); with five
    // guard days the last safe day is 16 February.
    let mut s = season();
    s.tasks.clear();
    assert_eq!(
        levels_on(&s, "critical-lane-empty", "2027-02-16"),
        [Level::Caution]
    );
    assert_eq!(
        levels_on(&s, "critical-lane-empty", "2027-02-17"),
        [Level::Note]
    );
    s.tasks.push(spray("late", "2027-02-01", &[], &["cu"]));
    assert!(levels(&s, "critical-lane-empty").is_empty());
}

#[test]
fn a_spray_without_material_is_noted() {
    let mut s = season();
    s.tasks[0].mix.clear();
    assert_eq!(levels(&s, "spray-without-material"), [Level::Note]);
}
