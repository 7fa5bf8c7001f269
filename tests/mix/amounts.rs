//! Amounts: within the label, in units people have, rounding shown.

use crate::fixture::*;
use approx::assert_relative_eq;
use barewood::domain::mix::dose::{Ground, amount, litres};
use barewood::domain::mix::measure::measure;
use barewood::domain::mix::products::{Held, product};
use barewood::domain::mix::tanks;
use barewood::domain::season::{MixPart, UnitSystem};
use barewood::domain::units::{Amount, Rate};
use proptest::prelude::*;

const GAL: f64 = 3.785_411_784;

fn part() -> MixPart {
    MixPart {
        material: "cu".into(),
        rate: None,
    }
}

fn acre_and_100_gal() -> Ground {
    Ground {
        water_l: Some(100.0 * GAL),
        area_ha: Some(0.404_685_642_24),
        trees: Some(100.0),
    }
}

#[test]
fn the_four_ways_of_counting() {
    let g = acre_and_100_gal();
    for (rate, out) in [
        ("2 % v/v", "2 gal"),
        ("8 lb/100 gal", "8 lb"),
        ("1.5 fl oz/gal", "150 fl oz"),
        ("4 lb/acre", "4 lb"),
        ("30 mL/tree", "3000 mL"),
        ("10 mL/L", "1 gal"),
    ] {
        let want: Amount = of(out);
        let got = amount(of(rate), g).unwrap();
        let ratio = barewood::domain::mix::dose::ratio(got, want, None).unwrap();
        assert_relative_eq!(ratio, 1.0, max_relative = 1e-9);
    }
    let unknown = Ground::default();
    for rate in ["2 % v/v", "4 lb/acre", "30 mL/tree"] {
        assert!(amount(of(rate), unknown).is_none(), "{rate}");
    }
}

#[test]
fn a_rate_is_held_within_the_label() {
    // 2 to 8 lb/acre on the label; 25-gal tanks, 100 gal in all.
    let tanks = tanks::plan(100.0 * GAL, 25.0 * GAL);
    for (rate, held, total, tank) in [
        ("4 lb/acre", Held::AsPlanned, "4 lb", "1 lb"),
        ("9 lb/acre", Held::LoweredToMost, "8 lb", "2 lb"),
        ("1 lb/acre", Held::RaisedToLeast, "2 lb", "8 oz"),
        ("9 lb/100 gal", Held::LoweredToMost, "8 lb", "2 lb"),
        ("0.09 lb/tree", Held::LoweredToMost, "8 lb", "2 lb"),
    ] {
        let m = material("cu", "copper hydroxide");
        let p = MixPart {
            rate: Some(of(rate)),
            ..part()
        };
        let made = product(&p, &m, acre_and_100_gal(), tanks, UnitSystem::Us);
        assert_eq!(made.held, held, "{rate}");
        assert_eq!(made.total.unwrap().amount.to_string(), total, "{rate}");
        assert_eq!(made.full_tank.unwrap().amount.to_string(), tank, "{rate}");
        assert!(made.last_tank.is_none());
        assert_eq!(
            made.notes.is_empty(),
            held == Held::AsPlanned,
            "{:?}",
            made.notes
        );
    }
}

#[test]
fn metallic_copper_follows_the_product() {
    let mut m = material("cu", "copper hydroxide");
    m.metallic_copper = Some(percent(50.0));
    let made = product(&part(), &m, acre_and_100_gal(), None, UnitSystem::Us);
    assert_relative_eq!(
        made.copper_kg.unwrap(),
        2.0 * 0.453_592_37,
        max_relative = 1e-9
    );
    assert_relative_eq!(
        made.copper_kg_per_ha.unwrap(),
        2.0 * 1.120_851_156,
        max_relative = 1e-8
    );
}

#[test]
fn what_is_missing_is_said() {
    let m = material("cu", "copper hydroxide");
    let made = product(&part(), &m, Ground::default(), None, UnitSystem::Us);
    assert!(made.total.is_none());
    assert!(made.notes[0].contains("ground covered is not known"));
    let mut m = m;
    m.label.rate = None;
    let made = product(&part(), &m, acre_and_100_gal(), None, UnitSystem::Us);
    assert!(made.notes[0].contains("No rate is known"));
}

#[test]
fn a_part_tank_gets_its_share() {
    let tanks = tanks::plan(60.0 * GAL, 25.0 * GAL);
    let mut m = material("oil", "horticultural oil");
    m.label.rate = Some(of("2 % v/v"));
    (m.label.rate_min, m.label.rate_max) = (None, Some(of("3 % v/v")));
    let g = Ground {
        water_l: Some(60.0 * GAL),
        ..Ground::default()
    };
    let made = product(&part(), &m, g, tanks, UnitSystem::Us);
    assert_eq!(made.full_tank.unwrap().amount.to_string(), "64 fl oz");
    assert_eq!(made.last_tank.unwrap().amount.to_string(), "25.5 fl oz");
    assert_relative_eq!(
        made.last_tank.unwrap().off_percent,
        -0.390_625,
        epsilon = 1e-6
    );
}

fn size(a: Amount) -> f64 {
    match a {
        Amount::Volume(v) => v.l(),
        Amount::Mass(m) => m.kg(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    // Whatever the amount, the unit system and the limits: never above the most.
    #[test]
    fn rounding_never_goes_above_the_most(
        exact in 1e-4_f64..2000.0,
        head in 1.0_f64..1.2,
        low in 0.5_f64..1.0,
        metric in any::<bool>(),
        by_mass in any::<bool>(),
    ) {
        let system = if metric { UnitSystem::Metric } else { UnitSystem::Us };
        let make = |x: f64| if by_mass { barewood::domain::mix::dose::kilograms(x) } else { litres(x) };
        let most = exact * head;
        let m = measure(make(exact), system, Some(make(exact * low)), Some(make(most)));
        prop_assert!(size(m.amount) <= most * (1.0 + 1e-9), "{} > {most}", size(m.amount));
        prop_assert!((size(m.amount) / exact - 1.0 - m.off_percent / 100.0).abs() < 1e-9);
        if exact > 0.02 {
            prop_assert!(m.off_percent.abs() <= 2.5 + 1e-9, "{} at {exact}", m.off_percent);
        }
    }

    // A product's amounts never exceed its label's highest, tank by tank.
    #[test]
    fn a_sheet_never_goes_above_the_label(rate in 0.01_f64..30.0, most in 0.5_f64..20.0, water in 5.0_f64..4000.0, tank in 5.0_f64..900.0) {
        let mut m = material("cu", "copper hydroxide");
        m.label.rate_min = None;
        m.label.rate_max = Some(format!("{most:.3} lb/acre").parse::<Rate>().unwrap());
        let p = MixPart { rate: Some(format!("{rate:.3} lb/acre").parse().unwrap()), ..part() };
        let g = Ground { water_l: Some(water), area_ha: Some(0.7), trees: Some(10.0) };
        let plan = tanks::plan(water, tank).unwrap();
        let made = product(&p, &m, g, Some(plan), UnitSystem::Us);
        let limit = |share: f64| size(amount(m.label.rate_max.unwrap(), g.share(share)).unwrap()) * (1.0 + 1e-9);
        prop_assert!(size(made.total.unwrap().amount) <= limit(1.0));
        if let Some(full) = made.full_tank {
            prop_assert!(size(full.amount) <= limit(plan.tank_l / water));
        }
        if let Some(last) = made.last_tank {
            prop_assert!(size(last.amount) <= limit(plan.last_l / water));
        }
    }
}
