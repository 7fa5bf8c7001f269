//! Intervals, season maxima, days between actives.

use super::fixture::*;
use barewood::domain::rules::Level;
use barewood::domain::season::{KeepApart, TaskState};

#[test]
fn interval_at_inside_and_outside() {
    // US copper label, stone fruit, dormant: 7 days.
    for (date, level) in [
        ("2027-01-24", None),
        ("2027-01-25", None),
        ("2027-01-26", Some(Level::Stop)),
        ("2027-02-01", Some(Level::Stop)),
    ] {
        let mut s = season();
        s.materials[0].label.interval = Some(of("7 d"));
        s.tasks.push(spray("b-first", date, &["p"], &["cu"]));
        assert_eq!(
            levels(&s, "interval-too-short"),
            level.into_iter().collect::<Vec<_>>(),
            "{date}"
        );
    }
}

#[test]
fn the_interval_is_of_the_metal_whatever_the_product() {
    // US copper label tables give the interval for copper: 7 days, stone fruit, dormant.
    for (gap, level) in [(8, None), (7, None), (6, Some(Level::Stop))] {
        for (one, two) in [
            (Some("7 d"), None),
            (None, Some("7 d")),
            (Some("3 d"), Some("7 d")),
        ] {
            let mut s = two_actives("copper hydroxide", "copper oxychloride", gap);
            s.materials[0].label.interval = one.map(of);
            s.materials[1].label.interval = two.map(of);
            assert_eq!(
                levels(&s, "interval-too-short"),
                level.into_iter().collect::<Vec<_>>(),
                "{gap} {one:?} {two:?}"
            );
        }
    }
    // Two products of another active keep their own intervals only.
    let mut s = two_actives("captan", "captan", 1);
    s.materials[0].label.interval = Some(of("7 d"));
    assert!(levels(&s, "interval-too-short").is_empty());
    // The day named is the first one allowed.
    let mut s = two_actives("copper hydroxide", "cuprous oxide", 3);
    s.materials[0].label.interval = Some(of("7 d"));
    assert!(only(&s, "interval-too-short").todo.contains("2026-12-08"));
}

#[test]
fn interval_points_at_the_open_task_and_counts_records() {
    let mut s = season();
    s.materials[0].label.interval = Some(of("100 h")); // rounded up: 5 days
    s.tasks[0].date = day("2026-11-29");
    s.records
        .push(record("r1", "2026-11-25", &["p"], "cu", "copper hydroxide"));
    assert_eq!(levels(&s, "interval-too-short"), [Level::Stop]);
    s.tasks[0].date = day("2026-11-30");
    assert!(levels(&s, "interval-too-short").is_empty());
    // Done tasks are past mending.
    let mut s = season();
    s.materials[0].label.interval = Some(of("7 d"));
    s.tasks.push(spray("b", "2027-02-03", &["p"], &["cu"]));
    s.tasks[0].state = TaskState::Done(day("2027-02-01"));
    assert_eq!(only(&s, "interval-too-short").task.unwrap().as_str(), "b");
    s.tasks[1].state = TaskState::Done(day("2027-02-03"));
    assert!(levels(&s, "interval-too-short").is_empty());
}

#[test]
fn most_uses_counts_done_planned_and_recorded() {
    // The label's own figure.
    let mut s = season();
    s.materials[0].label.max_uses = Some(2);
    s.tasks.push(spray("a", "2026-12-01", &["p"], &["cu"]));
    assert!(levels(&s, "too-many-uses").is_empty());
    s.tasks.push(spray("b", "2027-01-01", &["p"], &["cu"]));
    assert_eq!(only(&s, "too-many-uses").task.unwrap().as_str(), "late");
    s.tasks.pop();
    s.records
        .push(record("r", "2026-11-22", &["p"], "cu", "copper hydroxide"));
    assert_eq!(levels(&s, "too-many-uses"), [Level::Stop]);
    // Before the season's start, a quarter of a year before leaf drop, it does not count.
    s.records[0].date = day("2026-08-20");
    assert!(levels(&s, "too-many-uses").is_empty());
    s.records[0].date = day("2026-08-21");
    assert_eq!(levels(&s, "too-many-uses"), [Level::Stop]);
}

#[test]
fn most_product_in_a_season() {
    // The label's own figure: 4 lb/acre a use.
    for (most, level) in [
        ("8 lb/acre", None),
        ("7.99 lb/acre", Some(Level::Stop)),
        ("8.01 lb/acre", None),
    ] {
        let mut s = season();
        s.materials[0].label.max_per_season = Some(of(most));
        s.tasks.push(spray("a", "2026-12-01", &["p"], &["cu"]));
        assert_eq!(
            levels(&s, "too-much-product"),
            level.into_iter().collect::<Vec<_>>(),
            "{most}"
        );
    }
}

#[test]
fn product_of_records_outside_the_plan_counts_as_recorded() {
    // The label's own figure: 20 lb/acre; three uses of 8 lb/acre are 24.
    let mut s = season();
    s.materials[0].label.max_per_season = Some(of("20 lb/acre"));
    s.materials[0].label.rate = Some(of("8 lb/acre"));
    s.tasks.push(spray("a", "2026-12-01", &["p"], &["cu"]));
    assert!(levels(&s, "too-much-product").is_empty(), "16 of 20");
    let mut r = record("r", "2026-11-22", &["p"], "cu", "copper hydroxide");
    r.materials[0].rate = Some(of("8 lb/acre"));
    s.records.push(r);
    let w = only(&s, "too-much-product");
    assert_eq!((w.level, w.task.unwrap().as_str()), (Level::Stop, "late"));
    assert!(w.message.contains("120 %"), "{}", w.message);
    // The amount used goes before the rate: 4 lb on the acre of the block make 20 in all.
    s.records[0].materials[0].total = Some(of("4 lb"));
    assert!(levels(&s, "too-much-product").is_empty(), "at the limit");
    s.records[0].materials[0].total = Some(of("4.01 lb"));
    assert_eq!(levels(&s, "too-much-product"), [Level::Stop], "outside");
    // On two acres it is half as much an acre.
    s.records[0].area = Some(of("2 acre"));
    assert!(levels(&s, "too-much-product").is_empty());
    // Before the season's start it does not count.
    s.records[0].area = None;
    s.records[0].date = day("2026-08-20");
    assert!(levels(&s, "too-much-product").is_empty());
    s.records[0].date = day("2026-08-21");
    assert_eq!(levels(&s, "too-much-product"), [Level::Stop]);
    // Taken back, it does not count either.
    let mut back = record("r2", "2026-08-21", &["p"], "cu", "copper hydroxide");
    (back.corrects, back.taken_back) = (Some("r".into()), true);
    s.records.push(back);
    assert!(levels(&s, "too-much-product").is_empty());
}

#[test]
fn done_work_counts_as_recorded_not_as_planned() {
    let mut s = season();
    s.materials[0].label.max_per_season = Some(of("10 lb/acre"));
    let mut done = spray("a", "2026-12-01", &["p"], &["cu"]);
    done.state = TaskState::Done(day("2026-12-01"));
    s.tasks.push(done);
    assert!(levels(&s, "too-much-product").is_empty(), "4 + 4 of 10");
    let mut r = record("r", "2026-12-01", &["p"], "cu", "copper hydroxide");
    r.task = Some("a".into());
    r.materials[0].total = Some(of("6 lb"));
    s.records.push(r);
    assert!(
        levels(&s, "too-much-product").is_empty(),
        "6 + 4: at the limit"
    );
    s.records[0].materials[0].total = Some(of("6.1 lb"));
    assert_eq!(levels(&s, "too-much-product"), [Level::Stop]);
}

#[test]
fn a_sum_that_cannot_be_worked_out_is_said() {
    let mut s = season();
    s.materials[0].label.max_per_season = Some(of("10 lb/acre"));
    s.records
        .push(record("r", "2026-11-22", &["p"], "cu", "copper hydroxide"));
    assert_eq!(levels(&s, "too-much-product"), [Level::Note]);
    // What is known may be too much already.
    s.materials[0].label.max_per_season = Some(of("3.9 lb/acre"));
    assert_eq!(levels(&s, "too-much-product"), [Level::Stop]);
}

fn two_actives(first: &str, second: &str, gap: u64) -> barewood::domain::season::Season {
    let mut s = season();
    s.materials = vec![material("one", first), material("two", second)];
    s.tasks = vec![
        spray("a", "2026-12-01", &["p"], &["one"]),
        spray("b", "2026-12-01", &["p"], &["two"]),
    ];
    s.tasks[1].date = plus("2026-12-01", gap);
    s
}

#[test]
fn days_between_actives_either_way() {
    for (first, second, days) in [
        ("horticultural oil", "sulfur", 14),         // Georgia 2024
        ("horticultural oil", "lime sulfur", 14),    // Georgia 2024, dormant
        ("horticultural oil", "captan", 14), // 4, 10 and 10-12 d printed; the safe reading is ours
        ("horticultural oil", "chlorothalonil", 12), // OMAFRA 2006: 10-12
        ("copper hydroxide", "sulfur", 14),  // Oregon State
    ] {
        for (a, b) in [(first, second), (second, first)] {
            assert!(
                levels(&two_actives(a, b, days), "keep-apart").is_empty(),
                "{a} {b}"
            );
            assert!(
                levels(&two_actives(a, b, days + 1), "keep-apart").is_empty(),
                "{a} {b}"
            );
            assert_eq!(
                levels(&two_actives(a, b, days - 1), "keep-apart"),
                [Level::Caution],
                "{a} {b}"
            );
        }
    }
    assert!(
        levels(
            &two_actives("copper hydroxide", "horticultural oil", 1),
            "keep-apart"
        )
        .is_empty()
    );
}

#[test]
fn oil_and_sulfur_thirty_days_in_the_west_and_where_the_place_is_not_known() {
    // UC IPM 2017: 30 days either side; Univ. of Georgia 2024: 14.
    for (zone, east, days) in [
        ("America/Chicago", -93.0, 14),
        ("America/Chicago", -104.9, 14),
        ("America/Denver", -105.1, 30),
        ("America/Los_Angeles", -121.7, 30),
        ("America/Vancouver", -119.6, 30),
        ("Europe/Berlin", 7.0, 30),
        ("UTC", 0.0, 30),
    ] {
        for sulfur in ["sulfur", "lime sulfur"] {
            let at = |gap: u64| {
                let mut s = two_actives("horticultural oil", sulfur, gap);
                s.orchard.time_zone = of(zone);
                s.orchard.longitude = east;
                levels(&s, "keep-apart")
            };
            assert!(at(days).is_empty(), "at: {zone} {sulfur}");
            assert!(at(days + 1).is_empty(), "outside: {zone} {sulfur}");
            assert_eq!(at(days - 1), [Level::Caution], "inside: {zone} {sulfur}");
        }
    }
    let mut s = two_actives("horticultural oil", "sulfur", 20);
    s.orchard.time_zone = of("America/Los_Angeles");
    s.orchard.longitude = -121.7;
    let w = only(&s, "keep-apart");
    assert!(
        w.why.contains("30 days") && w.why.contains("14"),
        "{}",
        w.why
    );
    assert_eq!(w.source.id, "oil-sulfur-west");
}

#[test]
fn on_one_day_in_two_tasks_is_as_in_one_tank() {
    // Captan label: not with, just before or just after oil.
    for (gap, level) in [(0, Level::Stop), (1, Level::Caution)] {
        let s = two_actives("horticultural oil", "captan", gap);
        assert_eq!(levels(&s, "keep-apart"), [level], "{gap}");
    }
    let s = two_actives("horticultural oil", "lime sulfur", 0);
    assert_eq!(
        levels(&s, "keep-apart"),
        [Level::Caution],
        "mixed where both labels allow"
    );
}

#[test]
fn lime_sulfur_and_captan_a_week() {
    // Captan label: alkali breaks captan. The week is common practice, no source.
    for (a, b) in [("lime sulfur", "captan"), ("captan", "lime sulfur")] {
        assert!(levels(&two_actives(a, b, 7), "keep-apart").is_empty());
        assert_eq!(
            levels(&two_actives(a, b, 6), "keep-apart"),
            [Level::Caution]
        );
        assert_eq!(levels(&two_actives(a, b, 0), "keep-apart"), [Level::Stop]);
    }
}

#[test]
fn thirty_days_between_oil_and_lime_sulfur_in_growth() {
    // Montreal Botanical Garden: 30 days in growth. Swell is at 15 % on 22 February.
    let mut s = two_actives("horticultural oil", "lime sulfur", 0);
    s.tasks[1].date = day("2027-02-22");
    for (first, level) in [("2027-01-23", None), ("2027-01-24", Some(Level::Caution))] {
        s.tasks[0].date = day(first);
        assert_eq!(
            levels(&s, "keep-apart"),
            level.into_iter().collect::<Vec<_>>(),
            "{first}"
        );
    }
    // At the tolerance (10 % on the 21st) the trees still count as dormant: 14 days.
    (s.tasks[0].date, s.tasks[1].date) = (day("2027-02-01"), day("2027-02-21"));
    assert!(levels(&s, "keep-apart").is_empty());
}

#[test]
fn urea_a_week_away_only_after_green_tip() {
    // Purdue 2018. Burst is at 10 % on 7 March, 15 % on 8 March.
    let mut s = two_actives("urea", "copper hydroxide", 0);
    for (first, second, level) in [
        ("2026-12-01", "2026-12-02", None),
        ("2027-03-06", "2027-03-07", None),
        ("2027-03-02", "2027-03-08", Some(Level::Caution)),
        ("2027-03-01", "2027-03-08", None),
    ] {
        (s.tasks[0].date, s.tasks[1].date) = (day(first), day(second));
        assert_eq!(
            levels(&s, "keep-apart"),
            level.into_iter().collect::<Vec<_>>(),
            "{second}"
        );
    }
}

#[test]
fn a_labels_own_days_take_the_place_of_the_common_ones() {
    // Common practice, no source: the label is the law, shorter or longer.
    for (days, gap, level) in [
        (4, 4, None),
        (4, 3, Some(Level::Stop)),
        (40, 39, Some(Level::Stop)),
        (40, 40, None),
    ] {
        let mut s = two_actives("captan", "horticultural oil", gap);
        s.materials[0].label.keep_apart = vec![KeepApart {
            active: "oil".to_owned(),
            days,
        }];
        assert_eq!(
            levels(&s, "keep-apart"),
            level.into_iter().collect::<Vec<_>>(),
            "{days} {gap}"
        );
    }
}

#[test]
fn sulfur_of_last_summer_keeps_an_oil_of_this_autumn_waiting() {
    let mut s = two_actives("horticultural oil", "copper hydroxide", 100);
    s.records.push(record(
        "r",
        "2026-11-18",
        &["p"],
        "sulfur",
        "wettable sulfur",
    ));
    assert_eq!(only(&s, "keep-apart").task.unwrap().as_str(), "a");
    s.records[0].date = day("2026-11-17");
    assert!(levels(&s, "keep-apart").is_empty());
    // A corrected record no longer counts.
    s.records[0].date = day("2026-11-18");
    let mut correction = record("r2", "2026-11-10", &["p"], "sulfur", "wettable sulfur");
    correction.corrects = Some("r".into());
    s.records.push(correction);
    assert!(levels(&s, "keep-apart").is_empty());
}
