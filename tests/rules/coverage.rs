//! The coverage grid and what it proposes.

use super::fixture::*;
use barewood::domain::coverage::{self, Cover, Grid};
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::{self, Facts};
use barewood::domain::season::{Lane, Organic, Season, TargetId, TargetRow, TaskKind, TaskState};

fn grid_on(s: &Season, today: &str) -> Grid {
    coverage::grid(s, &estimates(s), day(today))
}

/// The states of one target in the three lanes.
fn states(s: &Season, target: &str, today: &str) -> Vec<Cover> {
    grid_on(s, today)
        .rows
        .iter()
        .filter(|r| r.target.as_str() == target)
        .map(|r| r.state)
        .collect()
}

fn peach_with(target: &str) -> Season {
    let mut s = season();
    s.blocks[0].seen = vec![seen(target, "2025-26", None)];
    s
}

#[test]
fn covered_done_too_late_wrong_nothing() {
    use Cover::{Covered, Done, NothingPlanned, Passed, TooLate, WrongActive};
    let mut s = peach_with("leaf-curl");
    assert_eq!(
        states(&s, "leaf-curl", TODAY),
        [NothingPlanned, NothingPlanned, Covered]
    );
    assert!(
        grid_on(&s, TODAY).gaps().is_empty(),
        "one lane that counts will do"
    );
    s.tasks[0].state = TaskState::Done(day("2027-02-01"));
    assert_eq!(states(&s, "leaf-curl", "2027-02-10")[2], Done);
    // Leaf curl: useless after swell (Oklahoma State 2022); 15 % on 22 February.
    s.tasks[0].state = TaskState::Done(day("2027-02-22"));
    assert_eq!(
        states(&s, "leaf-curl", "2027-02-22"),
        [Passed, Passed, TooLate]
    );
    s.tasks[0].state = TaskState::Planned;
    s.materials[0] = material("cu", "horticultural oil");
    assert_eq!(states(&s, "leaf-curl", TODAY)[2], WrongActive);
    s.tasks.clear();
    assert_eq!(states(&s, "leaf-curl", TODAY), [NothingPlanned; 3]);
    assert_eq!(grid_on(&s, TODAY).gaps().len(), 1);
    assert_eq!(states(&s, "leaf-curl", "2027-03-01"), [Passed; 3]);
}

#[test]
fn what_no_dormant_spray_controls_is_never_covered() {
    // UC IPM plum table: brown rot, dormant 0. Utah State 2025: the rest.
    for target in [
        "brown-rot",
        "powdery-mildew",
        "codling-moth",
        "summer-mites",
        "borers",
        "cherry-fruit-fly",
    ] {
        let mut s = peach_with(target);
        s.blocks[0].species = Species::SweetCherry;
        for active in ["copper hydroxide", "horticultural oil", "lime sulfur"] {
            s.materials[0] = material("cu", active);
            s.tasks[0].targets = vec![TargetId::from(target)];
            assert_eq!(
                states(&s, target, TODAY),
                [Cover::NotControllable; 3],
                "{target} {active}"
            );
        }
        assert!(
            grid_on(&s, TODAY).gaps().is_empty(),
            "not a gap a spray could close"
        );
    }
}

#[test]
fn lanes_that_do_not_help_and_hosts_that_are_none() {
    let s = peach_with("scale");
    assert_eq!(
        states(&s, "scale", TODAY),
        [Cover::OtherLane, Cover::NothingPlanned, Cover::WrongActive]
    );
    let mut s = peach_with("leaf-curl");
    s.blocks[0].species = Species::Apricot; // UC MG: not a host
    assert_eq!(states(&s, "leaf-curl", TODAY), [Cover::NotAHost; 3]);
    let mut s = season();
    s.blocks[0].seen = vec![seen("scale", "2026-27", Some((0.0, 20.0)))];
    assert_eq!(states(&s, "scale", TODAY), [Cover::NotNeeded; 3]); // UC IPM spur sample
}

#[test]
fn a_closing_window_is_named() {
    let mut s = peach_with("leaf-curl");
    s.tasks.clear();
    // Last safe day 16 February; named from three weeks before.
    for (today, left) in [
        ("2027-01-25", None),
        ("2027-01-26", Some(21)),
        ("2027-02-16", Some(0)),
        ("2027-02-17", None),
    ] {
        let g = grid_on(&s, today);
        let closing: Vec<_> = g.closing().map(|r| (r.lane, r.closing_in_days)).collect();
        assert_eq!(
            closing,
            left.map(|n| (Lane::BeforeSwell, Some(n)))
                .into_iter()
                .collect::<Vec<_>>(),
            "{today}"
        );
    }
    // Covered: nothing to name.
    let s = peach_with("leaf-curl");
    assert_eq!(grid_on(&s, "2027-01-30").closing().count(), 0);
}

#[test]
fn the_growers_own_row_changes_a_built_in_one() {
    let mut s = peach_with("leaf-curl");
    s.targets.push(TargetRow {
        id: TargetId::from("leaf-curl"),
        name: "our curl".to_owned(),
        hosts: Vec::new(),
        actives: vec!["urea".to_owned()],
        lanes: vec![Lane::MidWinter],
        last_stage: None,
        note: None,
    });
    let g = grid_on(&s, TODAY);
    assert_eq!(g.rows[0].target_name, "our curl");
    assert_eq!(
        states(&s, "leaf-curl", TODAY),
        [Cover::OtherLane, Cover::NothingPlanned, Cover::OtherLane]
    );
}

#[test]
fn a_gap_is_proposed_and_closes_when_accepted() {
    let mut s = peach_with("leaf-curl");
    s.tasks.clear();
    let e = estimates(&s);
    let all = coverage::proposals(&s, &e, day(TODAY));
    let p = all.iter().find(|p| p.task.kind == TaskKind::Spray).unwrap();
    assert_eq!(p.task.lane, Lane::AfterLeafDrop);
    assert_eq!(
        p.task.date,
        day(TODAY),
        "the leaves are down: no need to wait"
    );
    assert!(p.new_material.is_none(), "the copper at hand works");
    assert!(
        p.reasons.iter().any(|r| r.contains("Last safe day")),
        "{:?}",
        p.reasons
    );
    s.tasks.push(p.task.clone());
    assert!(grid_on(&s, TODAY).gaps().is_empty());
    let again = coverage::proposals(&s, &e, day(TODAY));
    assert!(
        !again.iter().any(|p| p.task.kind == TaskKind::Spray),
        "{again:#?}"
    );
}

#[test]
fn later_in_winter_the_lane_before_swell_is_proposed() {
    let mut s = peach_with("leaf-curl");
    s.tasks.clear();
    let e = estimates(&s);
    // Six weeks after leaf drop the first lane gives way.
    for (today, lane) in [
        ("2027-01-01", Lane::AfterLeafDrop),
        ("2027-01-02", Lane::BeforeSwell),
    ] {
        let all = coverage::proposals(&s, &e, day(today));
        assert_eq!(all[0].task.lane, lane, "{today}");
    }
    let all = coverage::proposals(&s, &e, day("2027-01-02"));
    assert_eq!(
        all[0].task.date,
        day("2027-02-09"),
        "a week before the last safe day"
    );
    assert!(all[0].warnings.is_empty(), "{:?}", all[0].warnings);
    // Past the last safe day nothing is proposed: it would come too late.
    assert!(coverage::proposals(&s, &e, day("2027-02-17")).is_empty());
}

#[test]
fn nothing_at_hand_leads_to_a_starting_point_with_its_warning() {
    let mut s = peach_with("scale");
    s.tasks.clear();
    let all = coverage::proposals(&s, &estimates(&s), day(TODAY));
    let p = all.iter().find(|p| p.task.kind == TaskKind::Spray).unwrap();
    let new = p.new_material.as_ref().unwrap();
    assert_eq!(new.id.as_str(), "horticultural-oil");
    assert!(new.label.generic);
    assert!(p.warnings.iter().any(|w| w.rule == "label-is-generic"));
    // UC IPM 2017: the dormant season is the preferred time for oil on this scale: eight weeks
    // after leaf drop.
    assert_eq!(p.task.date, day("2027-01-15"));
    // Looking comes first, and is proposed too.
    assert!(all.iter().any(|p| p.task.kind == TaskKind::Scout));
}

#[test]
fn an_organic_block_is_offered_only_what_is_permitted() {
    let mut s = peach_with("leaf-curl");
    s.tasks.clear();
    s.blocks[0].organic = true;
    s.materials[0].label.organic = Organic::Not;
    let all = coverage::proposals(&s, &estimates(&s), day(TODAY));
    let p = all.iter().find(|p| p.task.kind == TaskKind::Spray).unwrap();
    let new = p.new_material.as_ref().unwrap();
    assert!(matches!(
        new.label.organic,
        Organic::Allowed | Organic::Restricted
    ));
    assert!(
        !p.warnings
            .iter()
            .any(|w| w.rule == "organic-block" && w.level == rules::Level::Stop)
    );
}

#[test]
fn blocks_whose_days_are_close_share_one_task() {
    let mut s = peach_with("leaf-curl");
    s.tasks.clear();
    s.blocks.push(block("q", Species::Nectarine));
    s.blocks[1].seen = vec![seen("leaf-curl", "2025-26", None)];
    s.materials[0].label.crops.push("nectarine".to_owned());
    let all = coverage::proposals(&s, &estimates(&s), day(TODAY));
    let sprays: Vec<_> = all
        .iter()
        .filter(|p| p.task.kind == TaskKind::Spray)
        .collect();
    assert_eq!(sprays.len(), 1);
    assert_eq!(sprays[0].task.blocks.len(), 2);
    // Ids are free, also among the proposals.
    let mut ids: Vec<_> = all.iter().map(|p| p.task.id.clone()).collect();
    ids.sort();
    ids.dedup();
    assert_eq!(ids.len(), all.len());
}

#[test]
fn grid_and_rule_agree() {
    // What the rule calls uncovered while the window is open is a gap of the grid.
    for target in ["leaf-curl", "scale", "shot-hole", "bacterial-canker"] {
        let s = peach_with(target);
        let e = estimates(&s);
        let facts = Facts::new(&s, &e, day(TODAY));
        let warned = rules::check(&facts)
            .iter()
            .any(|w| w.rule == "target-uncovered");
        assert_eq!(
            grid_on(&s, TODAY).gaps().len(),
            usize::from(warned),
            "{target}"
        );
    }
}
