//! Metallic copper: per use, per season, over seven years.

use super::fixture::*;
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::Level;
use barewood::domain::rules::copper::{KG_PER_HA_OF_LB_PER_ACRE, us_table};
use barewood::domain::season::{CopperRegime, Season, TaskState};

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
        (vec![4.0; 5], None),                                    // 20 + 4 = 24
        (vec![4.0, 4.0, 4.0, 4.0, 4.0, 1.3], Some(Level::Note)), // 25.3 > 25.2
        (vec![4.0; 6], Some(Level::Note)),                       // 28: at the limit
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
