//! What a spray is against, and what nothing is done about.

use super::fixture::*;
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::Level;
use barewood::domain::season::{Lane, TargetId, TargetRow};
use barewood::domain::targets::{self, Control};

#[test]
fn an_active_that_does_not_work_on_the_target() {
    for (active, target, level) in [
        ("copper hydroxide", "leaf-curl", None), // UC IPM
        ("horticultural oil", "leaf-curl", Some(Level::Caution)),
        ("horticultural oil", "scale", None), // UC IPM, Georgia
        ("lime sulfur", "scale", None),       // Georgia
        ("copper hydroxide", "scale", Some(Level::Caution)),
        ("urea", "apple-scab", None), // NIAB
        ("horticultural oil", "twig-borer", Some(Level::Caution)), // UC IPM: oil alone is weak
    ] {
        let mut s = season();
        s.materials[0] = material("cu", active);
        s.tasks[0].targets = vec![TargetId::from(target)];
        assert_eq!(
            levels(&s, "wrong-active"),
            level.into_iter().collect::<Vec<_>>(),
            "{active} {target}"
        );
    }
}

#[test]
fn what_no_dormant_spray_controls() {
    // Utah State 24 March 2025; UC IPM plum table (brown rot: dormant 0).
    for target in [
        "brown-rot",
        "codling-moth",
        "summer-mites",
        "borers",
        "cherry-fruit-fly",
        "powdery-mildew",
        "woolly-aphid",
    ] {
        let mut s = season();
        s.tasks[0].targets = vec![TargetId::from(target)];
        assert_eq!(levels(&s, "not-controllable"), [Level::Caution], "{target}");
        // Not even a row of the grower's own turns it into something covered.
        s.targets.push(TargetRow {
            id: TargetId::from(target),
            name: "mine".to_owned(),
            hosts: Vec::new(),
            actives: vec!["copper".to_owned()],
            lanes: vec![Lane::BeforeSwell],
            last_stage: None,
            note: None,
        });
        let view = targets::find(&s, &TargetId::from(target)).unwrap();
        assert_eq!(view.control(), Control::None);
        assert_eq!(levels(&s, "not-controllable"), [Level::Caution]);
    }
}

#[test]
fn a_target_seen_and_left_alone() {
    // Leaf curl can only be stopped before swell (Oklahoma State 2022): last safe day 16 February.
    let mut s = season();
    s.blocks[0].seen = vec![seen("leaf-curl", "2025-26", None)];
    assert!(
        levels(&s, "target-uncovered").is_empty(),
        "copper is planned in time"
    );
    s.tasks[0].date = day("2027-02-16"); // the last safe day
    assert!(levels(&s, "target-uncovered").is_empty());
    s.tasks[0].date = day("2027-02-17"); // its window is closed: it covers nothing
    assert_eq!(
        levels_on(&s, "target-uncovered", "2027-02-16"),
        [Level::Caution]
    );
    assert_eq!(
        levels_on(&s, "target-uncovered", "2027-02-17"),
        [Level::Note]
    );
    let w = only(&s, "target-uncovered");
    assert!(
        w.message.contains("can only be stopped before swell"),
        "{}",
        w.message
    );
    let closing = check_on(&s, "2027-01-26");
    let closing = closing
        .iter()
        .find(|w| w.rule == "target-uncovered")
        .unwrap();
    assert!(
        closing
            .why
            .contains("closing: last safe day 2027-02-16, in 21 days"),
        "{}",
        closing.why
    );
    let open = check_on(&s, "2027-01-25");
    let open = open.iter().find(|w| w.rule == "target-uncovered").unwrap();
    assert!(!open.why.contains("closing"), "{}", open.why);
}

#[test]
fn lane_and_active_both_count() {
    let mut s = season();
    s.blocks = vec![block("p", Species::Apple)];
    s.blocks[0].seen = vec![seen("scale", "2025-26", None)];
    assert_eq!(
        levels(&s, "target-uncovered"),
        [Level::Caution],
        "copper does not work on scale"
    );
    s.materials[0] = material("cu", "horticultural oil");
    assert!(levels(&s, "target-uncovered").is_empty());
    s.tasks[0].lane = Lane::AfterLeafDrop;
    assert_eq!(
        levels(&s, "target-uncovered"),
        [Level::Caution],
        "too early a lane for scale"
    );
}

#[test]
fn counts_decide_where_a_threshold_is_published() {
    // UC IPM dormant spur sample: 0 of 20 none, 1-3 look again, 4 treat.
    for (count, level) in [
        (0.0, None),
        (1.0, Some(Level::Note)),
        (3.0, Some(Level::Note)),
        (4.0, Some(Level::Caution)),
    ] {
        let mut s = season();
        s.blocks[0].seen = vec![seen("scale", "2026-27", Some((count, 20.0)))];
        assert_eq!(
            levels(&s, "target-uncovered"),
            level.into_iter().collect::<Vec<_>>(),
            "{count}"
        );
    }
    // Last year's count says nothing of this year's: it was seen, and that is all.
    let mut s = season();
    s.blocks[0].seen = vec![seen("scale", "2025-26", Some((0.0, 20.0)))];
    assert_eq!(levels(&s, "target-uncovered"), [Level::Caution]);
}

#[test]
fn a_target_on_trees_it_does_not_live_on_is_no_gap() {
    // UC MG: apricot is not a leaf-curl host.
    let mut s = season();
    s.blocks[0].species = Species::Apricot;
    s.blocks[0].seen = vec![seen("leaf-curl", "2025-26", None)];
    assert!(levels(&s, "target-uncovered").is_empty());
}
