//! Metallic copper: per use, per season, over seven years.

use super::fixture::*;
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::Level;
use barewood::domain::rules::copper::{KG_PER_HA_OF_LB_PER_ACRE, us_table};
use barewood::domain::season::{CopperRegime, PastCopper, Season, TaskState};

/// Copper of half metal, so that 2 lb of product carry 1 lb of copper.
fn copper(rate: &str) -> Season {
    let mut s = season();
    s.materials[0].metallic_copper = Some(percent(50.0));
    s.materials[0].label.rate_max = None;
    s.materials[0].label.rate = Some(of(rate));
    s
}

#[test]
fn per_use_by_label() {
    // US copper label, stone fruit: 8.0 lb/acre in one dormant use.
    for (rate, level) in [
        ("16 lb/acre", None),
        ("16.01 lb/acre", Some(Level::Stop)),
        ("15.99 lb/acre", None),
        ("16 lb/100 gal", None), // 100 gal on one acre
        ("16.01 lb/100 gal", Some(Level::Stop)),
        ("0.16 lb/tree", None),
        ("0.1601 lb/tree", Some(Level::Stop)),
    ] {
        let mut s = copper(rate);
        s.materials[0].label.max_copper_per_use = Some(of("8 lb/acre"));
        assert_eq!(
            levels(&s, "copper-per-use"),
            level.into_iter().collect::<Vec<_>>(),
            "{rate}"
        );
    }
}

#[test]
fn per_use_says_when_it_cannot_be_reckoned() {
    let mut s = copper("16 lb/acre");
    s.materials[0].label.max_copper_per_use = Some(of("8 lb/acre"));
    s.materials[0].metallic_copper = None;
    assert_eq!(levels(&s, "copper-per-use"), [Level::Note]);
    // A liquid cannot be weighed without its density.
    let mut s = copper("2 gal/acre");
    s.materials[0].label.max_copper_per_use = Some(of("8 lb/acre"));
    assert_eq!(levels(&s, "copper-per-use"), [Level::Note]);
    s.materials[0].density_kg_per_l = Some(1.2);
    assert_eq!(levels(&s, "copper-per-use"), [Level::Stop]);
}

#[test]
fn us_tables_stand_in_for_confirmed_crops_only() {
    // US copper labels: stone fruit without peach 8.0 and 18, apple 6.0 and 16, quince 8.0 and 16 lb/acre.
    for (species, per_use, per_year) in [
        (Species::Apricot, 8.0, 18.0),
        (Species::EuropeanPlum, 8.0, 18.0),
        (Species::Apple, 6.0, 16.0),
        (Species::Quince, 8.0, 16.0),
    ] {
        let row = us_table(species).unwrap();
        assert!((row.per_use_kg_per_ha / KG_PER_HA_OF_LB_PER_ACRE - per_use).abs() < 1e-9);
        assert!((row.per_year_kg_per_ha / KG_PER_HA_OF_LB_PER_ACRE - per_year).abs() < 1e-9);
    }
    for species in [
        Species::Peach,
        Species::Nectarine,
        Species::Pear,
        Species::Walnut,
    ] {
        assert!(us_table(species).is_none(), "{species:?} was not confirmed");
    }
    let mut s = copper("12.01 lb/acre");
    s.blocks[0].species = Species::Apple;
    s.orchard.copper_regime = CopperRegime::UsTables;
    assert_eq!(levels(&s, "copper-per-use"), [Level::Stop]);
    s.materials[0].label.rate = Some(of("12 lb/acre"));
    assert!(levels(&s, "copper-per-use").is_empty());
    // The label yields to nothing.
    s.materials[0].label.max_copper_per_use = Some(of("5 lb/acre"));
    assert_eq!(levels(&s, "copper-per-use"), [Level::Stop]);
    // A crop without a confirmed figure is named as such.
    s.blocks[0].species = Species::Peach;
    assert_eq!(levels(&s, "copper-per-season"), [Level::Note]);
}

#[test]
fn per_season_near_at_and_over() {
    // US copper label, stone fruit: 18 lb/acre a year; two uses of 8 lb, then one more.
    for (rate, level) in [
        ("8.1 lb/acre", None), // 4 × 4.05 = 16.2: exactly nine tenths
        ("8.2 lb/acre", Some(Level::Note)),
        ("9 lb/acre", Some(Level::Note)), // at the limit
        ("9.01 lb/acre", Some(Level::Stop)),
    ] {
        let mut s = copper(rate);
        s.materials[0].label.max_copper_per_season = Some(of("18 lb/acre"));
        for (id, date) in [
            ("a", "2026-12-01"),
            ("b", "2026-12-20"),
            ("c", "2027-01-10"),
        ] {
            s.tasks.push(spray(id, date, &["p"], &["cu"]));
        }
        assert_eq!(
            levels(&s, "copper-per-season"),
            level.into_iter().collect::<Vec<_>>(),
            "{rate}"
        );
    }
}

#[test]
fn per_season_takes_what_was_recorded_for_done_work() {
    let mut s = copper("16 lb/acre");
    s.materials[0].label.max_copper_per_season = Some(of("18 lb/acre"));
    let mut done = spray("a", "2026-12-01", &["p"], &["cu"]);
    done.state = TaskState::Done(day("2026-12-02"));
    s.tasks.push(done);
    assert!(levels(&s, "copper-per-season").is_empty()); // 8 + 8 = 16, under nine tenths of 18
    let mut r = record("r", "2026-12-02", &["p"], "cu", "copper hydroxide");
    r.task = Some("a".into());
    r.materials[0].copper_kg_per_ha = Some(10.1 * KG_PER_HA_OF_LB_PER_ACRE);
    s.records.push(r);
    assert_eq!(levels(&s, "copper-per-season"), [Level::Stop]); // 10.1 + 8
}

#[test]
fn seven_years_in_the_union() {
    // Regulation (EU) 2018/1981: 28 kg/ha over seven years.
    for (past, level) in [
        (vec![4.0; 5], None), // 20 + 4 = 24, one year not known, but no more than the mean
        (vec![4.0, 4.0, 4.0, 4.0, 4.0, 1.3], Some(Level::Note)), // 25.3 > 25.2
        (vec![4.0; 6], Some(Level::Note)), // 28: at the limit
        (vec![4.0, 4.0, 4.0, 4.0, 4.0, 4.01], Some(Level::Stop)),
        (vec![4.0, 4.0, 4.0, 4.0, 4.0, 0.0, 9.0], None), // the seventh past year falls out
    ] {
        let mut s = copper("8 kg/ha");
        s.orchard.copper_regime = CopperRegime::EuSevenYears;
        s.orchard.copper_past_kg_per_ha = past.clone();
        assert_eq!(
            levels(&s, "copper-seven-years"),
            level.into_iter().collect::<Vec<_>>(),
            "{past:?}"
        );
    }
    let mut s = copper("8 kg/ha");
    s.orchard.copper_past_kg_per_ha = vec![9.0; 6];
    assert!(
        levels(&s, "copper-seven-years").is_empty(),
        "only where that law holds"
    );
}

#[test]
fn seven_years_are_of_the_block() {
    // Regulation (EU) 2018/1981: 28 kg/ha over seven years. A limit per hectare holds for every
    // hectare: what one block got neither fills nor frees another.
    let known = |years: &[f64]| years.iter().map(|kg| PastCopper::KgPerHa(*kg)).collect();
    for (orchard, own, level) in [
        // The block's own years go before the orchard's.
        (vec![9.0; 6], known(&[2.0; 6]), None),
        (vec![2.0; 6], known(&[4.1; 6]), Some(Level::Stop)),
        (vec![2.0; 6], known(&[4.0; 6]), Some(Level::Note)),
        // A year without a number of its own takes the orchard's, if there is one.
        (vec![9.9; 1], known(&[]), Some(Level::Caution)),
        (
            vec![2.5; 6],
            vec![PastCopper::Unknown, PastCopper::KgPerHa(9.9)],
            Some(Level::Note),
        ),
        // Nobody knows of one year, and this year is over the mean.
        (vec![], known(&[1.0; 5]), Some(Level::Caution)),
        (
            vec![],
            [known(&[1.0; 5]), vec![PastCopper::Unknown]].concat(),
            Some(Level::Caution),
        ),
        (vec![], known(&[1.0; 6]), None),
        // The seventh past year falls out.
        (vec![], known(&[1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 30.0]), None),
    ] {
        let mut s = copper("8.01 kg/ha");
        if level == Some(Level::Note) {
            s = copper("8 kg/ha");
        }
        s.orchard.copper_regime = CopperRegime::EuSevenYears;
        s.orchard.copper_past_kg_per_ha = orchard.clone();
        s.blocks[0].copper_past_kg_per_ha = own.clone();
        assert_eq!(
            levels(&s, "copper-seven-years"),
            level.into_iter().collect::<Vec<_>>(),
            "{orchard:?} {own:?}"
        );
    }
    // Two blocks in one task with two pasts: the one that is full is named, the other is not.
    let mut s = copper("8 kg/ha");
    s.orchard.copper_regime = CopperRegime::EuSevenYears;
    let mut other = s.blocks[0].clone();
    other.id = "young".into();
    other.copper_past_kg_per_ha = known(&[0.0; 6]);
    s.blocks[0].copper_past_kg_per_ha = known(&[4.5; 6]);
    s.blocks.push(other);
    s.tasks[0].blocks = vec!["p".into(), "young".into()];
    let w = only(&s, "copper-seven-years");
    assert_eq!(
        (w.level, w.block.as_ref().map(ToString::to_string)),
        (Level::Stop, Some("p".to_owned()))
    );
}

#[test]
fn two_coppers_in_a_tank_are_one_use() {
    // US copper label, stone fruit: 8.0 lb/acre in one dormant use.
    for (second, level) in [("6 lb/acre", None), ("6.02 lb/acre", Some(Level::Stop))] {
        let mut s = copper("10 lb/acre"); // 5 lb of metal
        s.materials[0].label.max_copper_per_use = Some(of("8 lb/acre"));
        let mut other = material("cu2", "cuprous oxide");
        other.metallic_copper = Some(percent(50.0));
        other.label.rate = Some(of(second));
        s.materials.push(other);
        s.tasks[0] = spray("late", "2027-02-01", &["p"], &["cu", "cu2"]);
        assert_eq!(
            levels(&s, "copper-per-use"),
            level.into_iter().collect::<Vec<_>>(),
            "{second}"
        );
    }
}

#[test]
fn a_difference_in_the_third_decimal_is_shown() {
    let mut s = copper("16.001 lb/acre");
    s.materials[0].label.max_copper_per_use = Some(of("8 lb/acre"));
    let w = only(&s, "copper-per-use");
    assert!(
        w.message.contains("8.967") && w.message.contains("8.966"),
        "{}",
        w.message
    );
}

#[test]
fn the_calendar_year_counts_sprays_from_petal_fall_on() {
    // US copper labels limit a year; 18 lb/acre, stone fruit. Petal fall in May stands before
    // the season that begins in August, and in the calendar year of a December spray.
    for (kg_may, spray_day, level) in [
        (10.0, "2026-12-10", None), // 10 + 6 = 16, under nine tenths of 18
        (12.0, "2026-12-10", Some(Level::Note)),
        (12.01, "2026-12-10", Some(Level::Stop)),
        (17.0, "2027-02-01", None), // another calendar year, and before the season
    ] {
        let mut s = copper("12 lb/acre");
        s.materials[0].label.max_copper_per_season = Some(of("18 lb/acre"));
        s.tasks[0].date = day(spray_day);
        let mut r = record("r", "2026-05-15", &["p"], "other", "copper soap");
        r.materials[0].copper_kg_per_ha = Some(kg_may * KG_PER_HA_OF_LB_PER_ACRE);
        s.records.push(r);
        assert_eq!(
            levels(&s, "copper-per-season"),
            level.into_iter().collect::<Vec<_>>(),
            "{kg_may} {spray_day}"
        );
    }
}

#[test]
fn copper_that_cannot_be_worked_out_is_said() {
    let mut s = copper("2 lb/acre");
    s.materials[0].label.max_copper_per_season = Some(of("18 lb/acre"));
    assert!(levels(&s, "copper-per-season").is_empty());
    s.records
        .push(record("r", "2026-11-22", &["p"], "old", "bordeaux mixture"));
    let w = only(&s, "copper-per-season");
    assert_eq!(w.level, Level::Note);
    assert!(w.message.contains("cannot be worked out"), "{}", w.message);
}

#[test]
fn unknown_years_are_not_nought() {
    // Regulation (EU) 2018/1981: 28 kg/ha over seven years, 4 kg/ha a year on the mean.
    for (rate, past, level) in [
        ("8 kg/ha", vec![], None), // 4.0 this year: at the mean
        ("8.01 kg/ha", vec![], Some(Level::Caution)),
        ("8.01 kg/ha", vec![1.0; 5], Some(Level::Caution)),
        ("8.01 kg/ha", vec![1.0; 6], None), // all years known
        ("40 kg/ha", vec![1.0, 1.0], Some(Level::Caution)), // 20 in one spring, four years unknown
        ("54.01 kg/ha", vec![1.0], Some(Level::Stop)), // 27.005 + 1
    ] {
        let mut s = copper(rate);
        s.orchard.copper_regime = CopperRegime::EuSevenYears;
        s.orchard.copper_past_kg_per_ha = past.clone();
        assert_eq!(
            levels(&s, "copper-seven-years"),
            level.into_iter().collect::<Vec<_>>(),
            "{rate} {past:?}"
        );
    }
    let mut s = copper("40 kg/ha");
    s.orchard.copper_regime = CopperRegime::EuSevenYears;
    s.orchard.copper_past_kg_per_ha = vec![1.0, 1.0];
    assert!(
        only(&s, "copper-seven-years")
            .message
            .contains("4 of its six past years")
    );
}
