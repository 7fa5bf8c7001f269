//! What growers met in whole seasons, each told once with the source that decides it.

use super::fixture::*;
use barewood::domain::coverage::{self, Cover};
use barewood::domain::outlook::{Estimates, outlook};
use barewood::domain::phenology::estimate::BudReading;
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::{self, Facts, Level};
use barewood::domain::season::starter::{Answers, Swell, laid_out, new_season};
use barewood::domain::season::{
    BlockId, Lane, NewBlock, Reentry, Season, TargetId, TaskId, TaskKind, UnitSystem,
};
use barewood::domain::window::WindowState;

/// Oklahoma State 2022, Washington State 2011: copper against leaf curl before swell, useless
/// after. Planned long ago and never done, it is judged where the grower stands.
#[test]
fn a_last_copper_never_done_becomes_a_stop_and_says_what_now() {
    let mut s = season();
    s.tasks[0].date = day("2027-01-13");
    s.tasks[0].targets = vec![TargetId::from("leaf-curl")];
    let told = |today: &str| {
        let all = outlook(&s, &estimates(&s), day(today));
        let id = TaskId::from("late");
        let standing = all.standing(&id).unwrap().clone();
        (
            standing.state.unwrap(),
            standing.level,
            all.reason_of(&id).unwrap().clone(),
        )
    };
    let (state, level, reason) = told("2027-02-10");
    assert_eq!((state, level), (WindowState::Closing, Some(Level::Caution)));
    assert_eq!(reason.rule, "overdue");
    let (state, level, reason) = told("2027-02-17");
    assert_eq!((state, level), (WindowState::Closed, Some(Level::Stop)));
    assert_eq!(reason.rule, "too-close-to-swell");
    assert!(
        reason.todo.starts_with("Skip it and say why"),
        "{}",
        reason.todo
    );
}

fn with_look(s: &Season, date: &str, bbch: u8) -> Estimates {
    let look = BudReading {
        date: day(date),
        bbch,
        few: false,
    };
    let mut all = estimates(s);
    for block in &mut all.blocks {
        *block = block.clone().with_looks(&[look]);
    }
    all
}

/// BBCH scale (Meier 2018): 53, 54 and 59 are stages of their own; through a stage includes it.
#[test]
fn what_was_seen_is_a_fact_and_every_stage_is_itself() {
    let mut s = season();
    s.blocks = vec![block("a", Species::Apple)];
    s.materials = vec![material("oil", "horticultural oil")];
    s.tasks = vec![spray("oil", "2027-03-12", &["a"], &["oil"])];
    for (last_stage, seen, closed) in [
        (54, 53, false), // the recommended time can be used
        (54, 54, false),
        (54, 55, true),
        (59, 53, false),
        (59, 59, false),
        (59, 60, true),
        (53, 54, true),
    ] {
        s.materials[0].label.last_stage = Some(last_stage);
        let e = with_look(&s, "2027-03-12", seen);
        assert!(e.blocks[0].at_bbch(seen).chance_by(day("2027-03-12")) > 0.999);
        let facts = Facts::new(&s, &e, day("2027-03-12"));
        let found = facts.windows().of(&TaskId::from("oil")).unwrap();
        let found = found.standing(day("2027-03-12")) == WindowState::Closed;
        assert_eq!(found, closed, "limit {last_stage}, seen {seen}");
        let stop = rules::check(&facts)
            .iter()
            .any(|w| w.rule == "past-stage-limit" && w.level == Level::Stop);
        assert_eq!(stop, closed, "limit {last_stage}, seen {seen}");
    }
}

/// UC IPM and Washington State: oil kills aphid eggs from bud swell on; too early works poorly.
#[test]
fn oil_on_aphid_eggs_a_month_before_swell_is_too_early_and_covers_nothing() {
    let mut s = season();
    s.blocks = vec![block("a", Species::Apple)];
    s.blocks[0].seen = vec![seen("aphid-eggs", "2025-26", None)];
    s.materials = vec![material("oil", "horticultural oil")];
    s.materials[0].label.last_stage = Some(53);
    s.tasks = vec![spray("oil", "2027-01-20", &["a"], &["oil"])];
    s.tasks[0].targets = vec![TargetId::from("aphid-eggs")];
    assert_eq!(levels(&s, "too-early"), [Level::Caution]);
    let grid = |s: &Season| coverage::grid(s, &estimates(s), day(TODAY));
    let covered = |s: &Season| grid(s).rows.iter().any(|r| r.state == Cover::Covered);
    assert!(!covered(&s));
    s.tasks[0].date = day("2027-03-01");
    assert!(levels(&s, "too-early").is_empty());
    assert!(covered(&s));
}

/// Washington State Univ. Extension 2011: coppers three weeks apart; labels ask for a week.
#[test]
fn a_first_plan_hangs_on_each_kind_of_tree() {
    let plain = new_season(&Answers {
        name: "Invented".to_owned(),
        latitude: 37.0,
        longitude: -120.0,
        time_zone: "America/Los_Angeles".parse().unwrap(),
        units: UnitSystem::Us,
        leaf_drop: day("2026-11-25"),
        swell: day("2027-01-20"),
        blocks: [Species::Peach, Species::SweetCherry]
            .map(|species| NewBlock {
                species,
                cultivar: None,
                trees: 5,
            })
            .to_vec(),
    });
    // Peaches swell in mid-February, cherries three weeks later.
    let of = |shift: i64| {
        let at = |d: &str| day(d) + chrono::TimeDelta::days(shift);
        Swell {
            last_safe: at("2027-02-05"),
            likely: at("2027-02-08"),
            about: at("2027-02-15"),
            green: at("2027-02-25"),
        }
    };
    let s = laid_out(&plain, &[of(0), of(21)], day("2026-11-10"));
    let sprays_on = |species: Species, words: &str| {
        let block = s.blocks.iter().find(|b| b.species == species).unwrap();
        let mut days: Vec<_> = s
            .tasks
            .iter()
            .filter(|t| t.kind == TaskKind::Spray && t.blocks.contains(&block.id))
            .filter(|t| t.mix.iter().any(|m| m.material.as_str().contains(words)))
            .map(|t| t.date)
            .collect();
        days.sort();
        days
    };
    let coppers = sprays_on(Species::Peach, "copper");
    assert_eq!(coppers.len(), 3, "{coppers:?}");
    assert!(
        coppers.windows(2).all(|w| (w[1] - w[0]).num_days() >= 21),
        "{coppers:?}"
    );
    // The last one a week before the last safe day of its own trees, not of the other kind's.
    assert_eq!(coppers[2], day("2027-01-29"));
    let cherries = sprays_on(Species::SweetCherry, "copper");
    assert_eq!(cherries.last(), Some(&day("2027-02-19")), "{cherries:?}");
    let first_spray = s
        .tasks
        .iter()
        .filter(|t| t.kind == TaskKind::Spray)
        .map(|t| t.date)
        .min();
    for task in s.tasks.iter().filter(|t| t.id.as_str() == "calibrate") {
        assert!(
            Some(task.date) < first_spray,
            "{} on {}",
            task.id,
            task.date
        );
    }
}

/// UC IPM: shot hole at about half leaf fall, its key spray.
#[test]
fn a_spray_whose_time_is_half_leaf_fall_may_go_on_then() {
    let mut s = season();
    s.dates.leaf_drop_seen = None;
    s.tasks[0].lane = Lane::AfterLeafDrop;
    s.tasks[0].targets = vec![TargetId::from("shot-hole")];
    for (date, early) in [
        ("2026-11-09", true),
        ("2026-11-10", false),
        ("2026-11-19", false),
    ] {
        s.tasks[0].date = day(date);
        let found = !levels_on(&s, "before-leaf-drop", "2026-10-20").is_empty();
        assert_eq!(found, early, "{date}");
    }
}

/// The row of fire blight (its source stands there): copper from silver tip to green tip.
#[test]
fn copper_on_fire_blight_at_silver_tip_is_no_stop_where_the_label_is_silent() {
    let mut s = season();
    s.blocks = vec![block("a", Species::Apple)];
    s.materials[0].label.last_stage = None;
    s.tasks[0].blocks = vec![BlockId::from("a")];
    s.tasks[0].targets = vec![TargetId::from("fire-blight")];
    s.tasks[0].date = day("2027-03-05");
    let e = with_look(&s, "2027-03-05", 52);
    let facts = Facts::new(&s, &e, day("2027-03-05"));
    let window = facts.windows().of(&TaskId::from("late")).unwrap();
    assert!(window.standing(day("2027-03-05")).is_open());
    let late = rules::check(&facts)
        .into_iter()
        .find(|w| w.level == Level::Stop);
    assert!(late.is_none(), "{late:?}");
}

/// 40 CFR 170: re-entry runs from the end of the work.
#[test]
fn a_long_job_keeps_others_out_from_its_end() {
    let mut s = season();
    // 100 gallons at 10 L/min in four tanks of 90 minutes: 6.6 h from nine o'clock.
    s.sprayers[0].refill_minutes = Some(90.0);
    s.materials[0].label.reentry = Some(Reentry::After(of("4 h")));
    s.tasks[0].hour = Some(9);
    let mut prune = spray("prune", "2027-02-01", &["p"], &[]);
    prune.kind = TaskKind::Prune;
    s.tasks.push(prune);
    for (hour, clash) in [(13, true), (19, true), (20, false)] {
        s.tasks[1].hour = Some(hour);
        assert_eq!(!levels(&s, "reentry-clash").is_empty(), clash, "{hour}");
    }
}

/// Labels space the metal (see `copper-per-season`): two products are one copper.
#[test]
fn two_coppers_three_days_apart_are_too_close() {
    let mut s = season();
    s.materials[0].label.interval = Some(of("7 days"));
    s.materials.push(material("oxide", "cuprous oxide"));
    s.tasks
        .push(spray("other", "2027-02-04", &["p"], &["oxide"]));
    assert_eq!(levels(&s, "interval-too-short"), [Level::Stop]);
    s.tasks[1].date = day("2027-02-08");
    assert!(levels(&s, "interval-too-short").is_empty());
}

/// What was not done covers nothing: overdue beyond the window, or never reached by a part.
#[test]
fn coverage_counts_what_happened() {
    let mut s = season();
    s.blocks.push(block("q", Species::Peach));
    for block in &mut s.blocks {
        block.seen = vec![seen("leaf-curl", "2025-26", None)];
    }
    s.tasks[0].blocks.push(BlockId::from("q"));
    s.tasks[0].targets = vec![TargetId::from("leaf-curl")];
    let states = |s: &Season, today: &str| -> Vec<Cover> {
        let grid = coverage::grid(s, &estimates(s), day(today));
        grid.rows
            .iter()
            .filter(|r| r.lane == Lane::BeforeSwell)
            .map(|r| r.state)
            .collect()
    };
    assert_eq!(states(&s, TODAY), [Cover::Covered, Cover::Covered]);
    assert!(!states(&s, "2027-02-20").contains(&Cover::Covered));
    // Done on the first block alone.
    let mut part = record("r", "2027-02-01", &["p"], "cu", "copper hydroxide");
    part.task = Some(TaskId::from("late"));
    s.records = vec![part];
    assert_eq!(states(&s, "2027-02-01"), [Cover::Done, Cover::Covered]);
    let late = states(&s, "2027-02-20");
    assert_eq!(late[0], Cover::Done);
    assert_ne!(late[1], Cover::Done);
    assert_ne!(late[1], Cover::Covered);
}
