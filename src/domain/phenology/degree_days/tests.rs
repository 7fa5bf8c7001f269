//! Recipes, limits and laws; published tables are in the oracle tests.

use super::*;
use crate::domain::climate::daily::DailySeries;
use proptest::prelude::*;

const ALL: [Method; 8] = [
    Method::SimpleAverage,
    Method::ClampedAverage,
    Method::UnflooredAverage,
    Method::SingleTriangle,
    Method::DoubleTriangle,
    Method::SingleSine,
    Method::DoubleSine,
    Method::FourCase,
];

#[test]
fn senseless_recipes_are_refused() {
    let new = |upper_c, cutoff| DegreeDays::new(Method::SingleSine, 6.0, upper_c, cutoff);
    assert_eq!(new(None, Cutoff::Horizontal), Err(DegreeDaysError::NoUpper));
    assert_eq!(
        new(Some(30.0), Cutoff::None),
        Err(DegreeDaysError::NoCutoff)
    );
    assert_eq!(
        new(Some(6.0), Cutoff::Vertical),
        Err(DegreeDaysError::Reversed {
            lower_c: 6.0,
            upper_c: 6.0
        })
    );
    assert_eq!(
        new(Some(f64::NAN), Cutoff::Vertical),
        Err(DegreeDaysError::NotANumber)
    );
    let four = DegreeDays::new(Method::FourCase, 6.0, Some(30.0), Cutoff::Horizontal);
    assert_eq!(four, Err(DegreeDaysError::FourCaseUpper));
    assert!(DegreeDays::above(Method::FourCase, f64::INFINITY).is_err());
}

/// Irish meteorological service, the four cases by hand: base 6, extremes in °C.
#[test]
fn the_four_cases() {
    let rule = DegreeDays::above(Method::FourCase, 6.0).unwrap();
    for (tmin_c, tmax_c, expected) in [
        (8.0, 16.0, 6.0),       // wholly above: mean − base
        (-2.0, 5.0, 0.0),       // wholly below
        (2.0, 16.0, 5.0 - 1.0), // mean above: (16−6)/2 − (6−2)/4
        (-4.0, 10.0, 1.0),      // mean below: (10−6)/4
    ] {
        assert_eq!(
            rule.day(tmin_c, tmax_c, None),
            expected,
            "{tmin_c} {tmax_c}"
        );
    }
}

#[test]
fn running_totals_skip_missing_days_and_look_one_day_ahead() {
    let daily = DailySeries::new(
        "2024-02-28".parse().unwrap(),
        vec![0.0, f32::NAN, 10.0, 20.0],
        vec![20.0, 9.0, 20.0, 30.0],
    )
    .unwrap();
    let rule = DegreeDays::above(Method::DoubleSine, 5.0).unwrap();
    let (from, to) = ("2024-02-28".parse().unwrap(), "2024-03-01".parse().unwrap());
    let days = rule.running(&daily, from, to);
    assert_eq!(days.len(), 3);
    assert_eq!(days[1].value, None);
    assert_eq!(days[1].total, days[0].total);
    // 1 March sees 2 March's minimum of 20: ½(10) + ½(15).
    assert_eq!(days[2].value, Some(12.5));
    assert_eq!(days[2].total, days[0].total + 12.5);
}

proptest! {
    /// Adding warmth to both ends of a day never takes degree days away, without a cut-off or
    /// with the horizontal one.
    #[test]
    fn warmer_days_count_at_least_as_much(
        low in -30.0..30.0_f64, range in 0.0..30.0_f64, next in -30.0..30.0_f64,
        warmer in 0.0..10.0_f64, base in -5.0..15.0_f64, span in 1.0..30.0_f64,
    ) {
        for method in ALL {
            let mut rules = vec![DegreeDays::above(method, base).unwrap()];
            rules.extend(DegreeDays::new(method, base, Some(base + span), Cutoff::Horizontal));
            for rule in rules {
                let cool = rule.day(low, low + range, Some(next));
                let warm = rule.day(low + warmer, low + range + warmer, Some(next + warmer));
                prop_assert!(warm >= cool - 1e-9, "{rule:?}: {cool} {warm}");
            }
        }
    }

    /// Where the day crosses no threshold every picture of the day gives mean − base.
    #[test]
    fn methods_agree_where_no_threshold_is_crossed(
        base in -5.0..15.0_f64, over in 0.0..10.0_f64, range in 0.0..20.0_f64,
    ) {
        let (low, high) = (base + over, base + over + range);
        for method in ALL {
            let rule = DegreeDays::above(method, base).unwrap();
            prop_assert!((rule.day(low, high, None) - (over + range / 2.0)).abs() < 1e-9);
        }
        for cutoff in [Cutoff::Horizontal, Cutoff::Intermediate, Cutoff::Vertical] {
            for method in ALL.into_iter().filter(|m| *m != Method::FourCase) {
                let rule = DegreeDays::new(method, base, Some(high + 1e-6), cutoff).unwrap();
                prop_assert!((rule.day(low, high, None) - (over + range / 2.0)).abs() < 1e-9);
            }
        }
    }

    /// Triangle and sine tend to each other as the day's range shrinks, and a harder cut-off
    /// never counts more.
    #[test]
    fn limits_and_order_of_cutoffs(
        mean in -10.0..40.0_f64, half in 0.0..20.0_f64, base in -5.0..15.0_f64, span in 1.0..25.0_f64,
    ) {
        for method in [Method::SingleSine, Method::SingleTriangle] {
            let by = |cutoff| {
                DegreeDays::new(method, base, Some(base + span), cutoff).unwrap().day(mean - half, mean + half, None)
            };
            let none = DegreeDays::above(method, base).unwrap().day(mean - half, mean + half, None);
            prop_assert!(none >= by(Cutoff::Horizontal) - 1e-9);
            prop_assert!(by(Cutoff::Horizontal) >= by(Cutoff::Intermediate) - 1e-9);
            prop_assert!(by(Cutoff::Vertical) >= -1e-9);
        }
        let narrow = |method| DegreeDays::above(method, base).unwrap().day(mean - 1e-7, mean + 1e-7, None);
        prop_assert!((narrow(Method::SingleSine) - narrow(Method::SingleTriangle)).abs() < 1e-6);
    }
}
