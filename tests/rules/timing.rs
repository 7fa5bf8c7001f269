//! Swell, stage limits, leaf drop.

use super::fixture::*;
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::Level;
use barewood::domain::season::TargetId;
use barewood::domain::units::Rate;

/// Swell is spread evenly over twenty days from 20 February: 5 % by that day,
/// 10 % by the 21st (at the tolerance), 15 % by the 22nd. Guard: five days. The last safe day is
/// the 16th; behind it the window is closed, which is a stop.
#[test]
fn too_close_to_swell_at_tolerance_and_guard() {
    // Oklahoma State 2022, Washington State 2011: before swell, useless after.
    for (date, level) in [
        ("2027-02-16", None),              // 10 % with guard: at the limit
        ("2027-02-17", Some(Level::Stop)), // 15 % with guard
        ("2027-02-22", Some(Level::Stop)), // 15 % that day
    ] {
        let mut s = season();
        s.tasks[0].date = day(date);
        assert_eq!(
            levels(&s, "too-close-to-swell"),
            level.into_iter().collect::<Vec<_>>(),
            "{date}"
        );
    }
}

#[test]
fn the_last_safe_day_is_the_day_the_rule_falls_silent() {
    let mut s = season();
    s.tasks[0].date = day("2027-03-01");
    let w = only(&s, "too-close-to-swell");
    assert!(w.why.contains("Last safe day Tue 16 Feb"), "{}", w.why);
}

/// Burst from 6 March, bloom from 20 March, each even over twenty days. Apple
/// oil, half-inch green (54), lies an eighth of the way: two days after burst.
#[test]
fn past_stage_limit_for_oil_on_apple() {
    // Utah State 2012 and 2016: oil on apple up to half-inch green.
    let mut s = season();
    s.blocks = vec![block("a", Species::Apple)];
    let mut oil = material("oil", "horticultural oil");
    oil.label.last_stage = None;
    oil.label.rate = Some("2 % v/v".parse::<Rate>().unwrap());
    (oil.label.rate_min, oil.label.rate_max) = (None, Some("3 % v/v".parse().unwrap()));
    s.materials = vec![oil];
    s.tasks = vec![spray("late", "2027-02-01", &["a"], &["oil"])];
    for (date, level) in [
        ("2027-03-04", None),
        ("2027-03-09", None), // 10 % that day: guard days are kept before swell
        ("2027-03-10", Some(Level::Stop)), // 15 % that day
    ] {
        s.tasks[0].date = day(date);
        assert_eq!(
            levels(&s, "past-stage-limit"),
            level.into_iter().collect::<Vec<_>>(),
            "{date}"
        );
        assert!(levels(&s, "too-close-to-swell").is_empty(), "{date}");
    }
}

#[test]
fn the_strictest_of_label_target_and_practice_rules() {
    let mut s = season();
    s.blocks = vec![block("a", Species::Peach)];
    let mut oil = material("oil", "horticultural oil");
    oil.label.last_stage = Some(57);
    s.materials = vec![oil];
    s.tasks = vec![spray("late", "2027-03-01", &["a"], &["oil"])];
    assert!(levels(&s, "too-close-to-swell").is_empty());
    // A label that allows more than common practice is followed.
    assert!(levels(&s, "past-stage-limit").is_empty());
    // A target that wants bare wood is stricter than the label.
    s.tasks[0].targets = vec![TargetId::from("leaf-curl")];
    let w = only(&s, "too-close-to-swell");
    assert_eq!(w.level, Level::Stop);
    assert!(w.why.contains("Peach leaf curl can only"), "{}", w.why);
    // By crop before for all crops.
    s.tasks[0].targets.clear();
    s.materials[0]
        .label
        .last_stage_by_crop
        .insert("peach".to_owned(), 51);
    assert_eq!(levels(&s, "too-close-to-swell"), [Level::Stop]);
}

#[test]
fn without_a_label_stage_bare_wood_is_the_limit() {
    // Common practice, no source.
    let mut s = season();
    s.materials[0].label.last_stage = None;
    s.tasks[0].date = day("2027-03-01");
    assert_eq!(levels(&s, "too-close-to-swell"), [Level::Stop]);
}

#[test]
fn oil_on_peach_and_its_kin_at_swell_is_a_caution_with_both_handbooks() {
    // Utah State 2012, 2016: from the swollen bud to before bloom; Kansas State: while dormant.
    // Swell from 20 February (last safe day the 16th), bloom from 20 March, each even over
    // twenty days; the last stage lies between.
    for species in [
        Species::Peach,
        Species::Nectarine,
        Species::Apricot,
        Species::JapanesePlum,
        Species::EuropeanPlum,
        Species::Almond,
    ] {
        let mut s = season();
        s.blocks[0].species = species;
        s.materials[0] = material("cu", "horticultural oil");
        s.materials[0].label.last_stage = None;
        for (date, level) in [
            ("2027-02-16", None),
            ("2027-02-17", Some(Level::Caution)),
            ("2027-03-05", Some(Level::Caution)),
            ("2027-03-24", Some(Level::Stop)),
        ] {
            s.tasks[0].date = day(date);
            assert_eq!(
                levels(&s, "past-stage-limit"),
                level.into_iter().collect::<Vec<_>>(),
                "{species:?} {date}"
            );
            assert!(levels(&s, "too-close-to-swell").is_empty(), "{date}");
        }
        s.tasks[0].date = day("2027-02-17");
        let w = only(&s, "past-stage-limit");
        assert!(w.message.contains("Handbooks differ"), "{}", w.message);
        assert!(
            w.why.contains("Utah State") && w.source.cite.contains("Kansas State"),
            "{}",
            w.why
        );
    }
}

#[test]
fn before_leaf_drop_seen_expected_and_allowed() {
    // UC IPM: after 90-100 % leaf fall. Leaf drop on 20 November.
    for (date, seen, first_stage, level) in [
        ("2026-11-20", true, None, None),
        ("2026-11-21", true, None, None),
        ("2026-11-19", true, None, Some(Level::Stop)),
        ("2026-11-19", false, None, Some(Level::Caution)),
        ("2026-11-19", true, Some(95), None),
        ("2026-11-10", true, Some(96), None), // half leaf fall is taken ten days before
        ("2026-11-09", true, Some(96), Some(Level::Caution)),
        ("2026-11-19", true, Some(97), Some(Level::Stop)),
        ("2026-11-19", true, Some(90), Some(Level::Stop)),
    ] {
        let mut s = season();
        s.tasks[0].date = day(date);
        s.dates.leaf_drop_seen = seen.then(|| day("2026-11-20"));
        s.materials[0].label.first_stage = first_stage;
        assert_eq!(
            levels_on(&s, "before-leaf-drop", "2026-10-01"),
            level.into_iter().collect::<Vec<_>>(),
            "{date} {seen} {first_stage:?}"
        );
    }
}
