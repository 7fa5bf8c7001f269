//! Corrections, widths and what leads a series back to its calendar.

use super::*;
use approx::assert_abs_diff_eq;

const PLAIN: Drift = Drift {
    offset_days: 1.0,
    drift_days: 0.0,
    length_years: 3.0,
    slope: 0.0,
    noise_days: 2.0,
};

#[test]
fn offset_alone_is_the_shrunken_mean() {
    let mut errors = Leftovers::default();
    for year in 2001..=2005 {
        errors.push(year, 0.0, 3.0);
    }
    // The middle year: a trend has no say in it.
    let (correction, _) = PLAIN.given(&errors, 2003, 0.0);
    // Posterior of a normal mean: 5 years of noise variance 4, prior variance 1.
    assert_abs_diff_eq!(
        correction.mean_days,
        3.0 * 5.0 / (5.0 + 4.0),
        epsilon = 1e-9
    );
    assert_abs_diff_eq!(
        correction.sd_days,
        (4.0_f64 + 4.0 / 9.0).sqrt(),
        epsilon = 1e-9
    );
}

#[test]
fn near_years_pull_more_than_far_ones() {
    let drift = Drift {
        drift_days: 3.0,
        ..PLAIN
    };
    let mut errors = Leftovers::default();
    for (year, error) in [(1990, 4.0), (1991, 5.0), (2009, -4.0), (2010, -5.0)] {
        errors.push(year, 0.0, error);
    }
    assert!(drift.correction(&errors, 1992, 0.0).mean_days > 1.0);
    assert!(drift.correction(&errors, 2011, 0.0).mean_days < -1.0);
    assert_eq!(
        drift.correction(&Leftovers::default(), 2000, 0.0).mean_days,
        0.0
    );
}

#[test]
fn leaving_one_out_in_closed_form_is_leaving_it_out() {
    let drift = Drift {
        drift_days: 2.0,
        slope: 0.2,
        ..PLAIN
    };
    let all = [
        (2001, 4.0, 3.0),
        (2002, -6.0, 1.0),
        (2003, 1.0, -4.0),
        (2005, 9.0, 2.0),
    ];
    let errors = |but: usize| {
        let mut out = Leftovers::default();
        for (i, &(year, departure, error)) in all.iter().enumerate() {
            if i != but {
                out.push(year, departure, error);
            }
        }
        out
    };
    let whole = errors(usize::MAX);
    for (i, (off, sd)) in drift.seen(&whole).left_out().enumerate() {
        let (year, departure, error) = all[i];
        let (rest, _) = drift.given(&errors(i), year, departure);
        // But for the middle of the years, which moves a little without one of them.
        assert_abs_diff_eq!(off, error - rest.mean_days, epsilon = 0.01);
        assert_abs_diff_eq!(sd, rest.sd_days, epsilon = 0.01);
    }
}

/// Twenty years in which the models see early and late springs.
fn springs(error_of: impl Fn(f64) -> f64) -> Leftovers {
    let mut out = Leftovers::default();
    for i in 0..20 {
        let departure = f64::from(i % 5 - 2) * 5.0;
        let wobble = f64::from(i % 3 - 1);
        out.push(2000 + i, departure, error_of(departure) + wobble);
    }
    out
}

#[test]
fn a_series_that_does_not_follow_the_models_is_led_back_to_its_calendar() {
    let follows = springs(|_| 0.0);
    let stays = springs(|departure| -departure);
    let for_late = |of: &Leftovers| PLAIN.correction(of, 2021, 10.0).mean_days;
    assert!(for_late(&follows).abs() < 0.3, "{}", for_late(&follows));
    assert!(for_late(&stays) < -9.0, "{}", for_late(&stays));
}

#[test]
fn the_width_is_that_of_four_errors_in_five_and_a_wild_date_does_not_set_it() {
    let series = |wild: f64| -> Vec<Leftovers> {
        (0..40)
            .map(|s| {
                let mut out = Leftovers::default();
                for i in 0..20 {
                    let error = f64::from((i * 7 + s * 3) % 21 - 10) * 0.5;
                    let far = i == 3 && s % 4 == 0;
                    out.push(1980 + i, 0.0, if far { wild } else { error });
                }
                out
            })
            .collect()
    };
    let held = |wild: f64| {
        let series = series(wild);
        let drift = Drift::fit(&series);
        let (mut inside, mut all) = (0, 0);
        for one in &series {
            for (off, sd) in drift.seen(one).left_out() {
                all += 1;
                inside += i32::from(off.abs() <= TENTH.mul_add(sd, HALF_DAY));
            }
        }
        f64::from(inside) / f64::from(all)
    };
    for wild in [0.0, 25.0] {
        assert_abs_diff_eq!(held(wild), 0.8, epsilon = 0.04);
    }
}

#[test]
fn a_trend_goes_on_and_the_range_widens_with_the_years_since() {
    let mut errors = Leftovers::default();
    for i in 0..25 {
        errors.push(1975 + i, 0.0, -0.3 * f64::from(i - 12));
    }
    let at = |year| PLAIN.correction(&errors, year, 0.0);
    assert!(at(2010).mean_days < -4.0, "{:?}", at(2010));
    assert!(at(2020).sd_days > at(2010).sd_days);
    assert!(at(2010).sd_days > at(1990).sd_days);
}
