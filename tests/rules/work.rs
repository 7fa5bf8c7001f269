//! Re-entry, stock, the sprayer.

use super::fixture::*;
use barewood::domain::rules::Level;
use barewood::domain::season::{Reentry, Season, SprayerId, TaskKind, TaskState};

fn pruning(date: &str, hour: Option<u32>) -> Season {
    let mut s = season();
    let mut prune = spray("prune", date, &["p"], &[]);
    prune.kind = TaskKind::Prune;
    prune.hour = hour;
    s.tasks.push(prune);
    s
}

#[test]
fn work_inside_the_re_entry_time() {
    // 40 CFR 170: the longest interval rules; the hours are the label's own.
    // The spray is on 1 February, 24 h of re-entry.
    for (date, hour, spray_hour, level) in [
        ("2027-01-31", None, None, None),
        ("2027-02-01", None, None, Some(Level::Caution)), // same day, order not known
        ("2027-02-02", None, None, Some(Level::Caution)), // may have ended at midnight
        ("2027-02-03", None, None, None),
        ("2027-02-01", Some(8), Some(9), None), // before the spray
        ("2027-02-01", Some(9), Some(9), Some(Level::Caution)),
        ("2027-02-02", Some(8), Some(9), Some(Level::Caution)), // 23 h
        // The job is taken to last two hours: re-entry counts from its end.
        ("2027-02-02", Some(10), Some(9), Some(Level::Caution)), // 23 h after the end
        ("2027-02-02", Some(11), Some(9), None),                 // 24 h
        ("2027-02-02", Some(12), Some(9), None),                 // 25 h
    ] {
        let mut s = pruning(date, hour);
        s.tasks[0].hour = spray_hour;
        assert_eq!(
            levels(&s, "reentry-clash"),
            level.into_iter().collect::<Vec<_>>(),
            "{date} {hour:?} {spray_hour:?}"
        );
    }
}

#[test]
fn until_dry_counts_the_day_and_orders_do_not() {
    let mut s = pruning("2027-02-01", None);
    s.materials[0].label.reentry = Some(Reentry::UntilDry);
    assert_eq!(levels(&s, "reentry-clash"), [Level::Note]);
    s.tasks[1].date = day("2027-02-02");
    assert!(levels(&s, "reentry-clash").is_empty());
    let mut s = pruning("2027-02-01", None);
    s.tasks[1].kind = TaskKind::Order;
    assert!(levels(&s, "reentry-clash").is_empty());
    let mut s = pruning("2027-02-01", None);
    s.tasks[1].state = TaskState::Done(day("2027-02-01"));
    assert!(levels(&s, "reentry-clash").is_empty());
}

#[test]
fn the_longest_re_entry_of_a_mix_rules() {
    let mut s = pruning("2027-02-04", None);
    s.materials.push(material("two", "urea"));
    s.materials[1].label.reentry = Some(Reentry::After(of("48 h")));
    s.tasks[0].mix.push(barewood::domain::season::MixPart {
        material: "two".into(),
        rate: None,
    });
    assert!(levels(&s, "reentry-clash").is_empty());
    s.tasks[1].date = day("2027-02-03");
    assert_eq!(levels(&s, "reentry-clash"), [Level::Caution]);
}

#[test]
fn stock_to_the_last_ounce() {
    // Arithmetic: two sprays of 4 lb on one acre.
    for (stock, task) in [
        ("8 lb", None),
        ("128 oz", None),
        ("7.99 lb", Some("late")),
        ("3.99 lb", Some("early")),
    ] {
        let mut s = season();
        s.tasks.push(spray("early", "2026-12-01", &["p"], &["cu"]));
        s.materials[0].stock = Some(of(stock));
        let found: Vec<String> = check(&s)
            .into_iter()
            .filter(|w| w.rule == "stock-short")
            .map(|w| w.task.unwrap().to_string())
            .collect();
        assert_eq!(found, task.into_iter().collect::<Vec<_>>(), "{stock}");
    }
}

#[test]
fn calibrated_since_the_season_began() {
    // New Hampshire (Hamilton): at least at the start of the season.
    for (date, level) in [
        ("2026-08-21", None),
        ("2026-08-22", None),
        ("2026-08-20", Some(Level::Caution)),
    ] {
        let mut s = season();
        s.sprayers[0].calibration[0].date = day(date);
        assert_eq!(
            levels(&s, "sprayer-not-calibrated"),
            level.into_iter().collect::<Vec<_>>(),
            "{date}"
        );
    }
    let mut s = season();
    s.sprayers[0].calibration.clear();
    assert_eq!(levels(&s, "sprayer-not-calibrated"), [Level::Caution]);
    s.tasks[0].sprayer = None;
    assert_eq!(levels(&s, "sprayer-not-calibrated"), [Level::Note]);
    s.tasks[0].sprayer = Some(SprayerId::from("gone"));
    assert_eq!(levels(&s, "sprayer-not-calibrated"), [Level::Note]);
}

#[test]
fn a_nozzle_more_than_a_tenth_off() {
    // Trade page: replace nozzles more than 10 % off nominal.
    for (off, level) in [
        (10.0, None),
        (9.9, None),
        (10.1, Some(Level::Caution)),
        (-10.1, Some(Level::Caution)),
        (-10.0, None),
    ] {
        let mut s = season();
        s.sprayers[0].calibration[0].worst_nozzle_percent = Some(off);
        assert_eq!(
            levels(&s, "nozzle-worn"),
            level.into_iter().collect::<Vec<_>>(),
            "{off}"
        );
    }
}

#[test]
fn two_sprays_on_one_sprayer_at_one_time() {
    // Common practice, no source: a sprayer is in one place. 10 L a minute; nothing to fill.
    for (litres, hour, is_clash) in [
        ("590 L", 9, false), // 59 minutes: the other begins within its own hour
        ("600 L", 9, true),  // 60 minutes
        ("610 L", 9, true),
        ("1190 L", 10, false), // till 10:59
        ("1200 L", 10, true),  // till 11:00
        ("1200 L", 11, false),
    ] {
        let mut s = season();
        let mut gun = sprayer("twin");
        gun.refill_minutes = Some(0.0);
        s.sprayers.push(gun);
        let other = spray("other", "2027-02-01", &["p"], &[]);
        s.tasks.push(other);
        for (task, litres, hour) in [(0, litres, 9), (1, litres, hour)] {
            let t = &mut s.tasks[task];
            t.sprayer = Some(SprayerId::from("twin"));
            t.date = day("2027-02-01");
            t.hour = Some(hour);
            t.volume = Some(of(litres));
        }
        let told = levels(&s, "sprayer-twice");
        assert_eq!(told.len(), usize::from(is_clash), "{litres} {hour}");
        // Another sprayer, another day: no clash.
        let mut apart = s.clone();
        apart.tasks[1].sprayer = Some(SprayerId::from("gun"));
        assert!(levels(&apart, "sprayer-twice").is_empty());
        let mut apart = s.clone();
        apart.tasks[1].date = day("2027-02-02");
        assert!(levels(&apart, "sprayer-twice").is_empty());
    }
}
