//! Read, in force, of this crop, of this rate.

use super::fixture::*;
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::Level;

#[test]
fn read_since_the_season_began() {
    // Common practice, no source. The season counts from 91 days before leaf drop.
    for (read, level) in [
        (Some("2026-08-21"), None),
        (Some("2026-08-22"), None),
        (Some("2026-08-20"), Some(Level::Caution)),
        (None, Some(Level::Caution)),
    ] {
        let mut s = season();
        s.materials[0].label.read_on = read.map(day);
        assert_eq!(
            levels(&s, "label-not-read"),
            level.into_iter().collect::<Vec<_>>(),
            "{read:?}"
        );
    }
}

#[test]
fn a_starting_point_is_not_a_label() {
    let mut s = season();
    s.materials[0].label.generic = true;
    assert_eq!(levels(&s, "label-is-generic"), [Level::Caution]);
}

#[test]
fn last_day_of_use() {
    // The label's or register's own date.
    for (expires, level) in [
        ("2027-02-01", None),
        ("2027-02-02", None),
        ("2027-01-31", Some(Level::Stop)),
    ] {
        let mut s = season();
        s.materials[0].label.expires = Some(day(expires));
        assert_eq!(
            levels(&s, "label-expired"),
            level.into_iter().collect::<Vec<_>>(),
            "{expires}"
        );
    }
}

#[test]
fn an_absent_limit_is_unknown_not_fine() {
    let mut s = season();
    let label = &mut s.materials[0].label;
    (label.crops, label.rate_max, label.reentry) = (Vec::new(), None, None);
    let w = only(&s, "label-incomplete");
    assert_eq!(w.level, Level::Note);
    assert!(
        w.message.contains("crops, highest rate, re-entry"),
        "{}",
        w.message
    );
    assert!(levels(&s, "crop-not-on-label").is_empty());
}

#[test]
fn crop_on_the_label_or_not() {
    // The label is the law: common practice, no source.
    for (crops, species, level) in [
        (&["peach"][..], Species::Peach, None),
        (&["peach"], Species::Nectarine, Some(Level::Stop)),
        (&["stone fruit"], Species::Nectarine, None),
        (&["apple", "pear"], Species::Peach, Some(Level::Stop)),
        (&[], Species::Peach, None),
    ] {
        let mut s = season();
        s.blocks[0].species = species;
        s.materials[0].label.crops = crops.iter().map(|c| (*c).to_owned()).collect();
        assert_eq!(
            levels(&s, "crop-not-on-label"),
            level.into_iter().collect::<Vec<_>>(),
            "{crops:?} {species:?}"
        );
    }
}

#[test]
fn rate_between_the_labels_lowest_and_highest() {
    // The label's own figures: 2 to 8 lb/acre; one acre, 100 gal of spray.
    for (rate, level) in [
        ("8 lb/acre", None),
        ("8.01 lb/acre", Some(Level::Stop)),
        ("7.99 lb/acre", None),
        ("2 lb/acre", None),
        ("1.99 lb/acre", Some(Level::Caution)),
        ("8 lb/100 gal", None),
        ("8.01 lb/100 gal", Some(Level::Stop)),
        ("1.99 lb/100 gal", Some(Level::Caution)),
        ("128 oz/acre", None),
        ("0.08 lb/tree", None),
        ("0.0801 lb/tree", Some(Level::Stop)),
        ("3 % v/v", Some(Level::Note)), // a volume against a mass, no density
    ] {
        let mut s = season();
        s.tasks[0].mix[0].rate = Some(of(rate));
        assert_eq!(
            levels(&s, "rate-off-label"),
            level.into_iter().collect::<Vec<_>>(),
            "{rate}"
        );
    }
}

#[test]
fn a_rate_must_be_known() {
    let mut s = season();
    s.materials[0].label.rate = None;
    assert_eq!(levels(&s, "rate-off-label"), [Level::Caution]);
    s.tasks[0].mix[0].rate = Some(of("3 lb/acre"));
    assert!(levels(&s, "rate-off-label").is_empty());
}
