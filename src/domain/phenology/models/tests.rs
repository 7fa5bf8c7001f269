use super::*;
use crate::domain::climate::daily::DailySeries;
use crate::domain::climate::hours::HourlyShape;
use crate::domain::phenology::dormant_year::DormantYear;
use approx::assert_abs_diff_eq;

fn drivers(warmer_c: f32) -> Drivers {
    let year = DormantYear::of_spring(2023, 45.0);
    let days = DAYS + 2;
    let season = |i: usize| 8.0 - 8.0 * ((i as f32 - 140.0) / 365.0 * std::f32::consts::TAU).cos();
    let tmin = (0..days).map(|i| season(i) - 4.0 + warmer_c).collect();
    let tmax = (0..days).map(|i| season(i) + 4.0 + warmer_c).collect();
    let first = year.first().pred_opt().unwrap();
    let series = DailySeries::new(first, tmin, tmax).unwrap();
    Drivers::new(year, &series, &HourlyShape::new(45.0), None)
}

#[test]
fn curves_never_fall_and_have_one_value_per_day() {
    let drivers = drivers(0.0);
    let mut curve = Vec::new();
    for model in LIBRARY {
        model.accumulate(&drivers, &mut curve);
        assert_eq!(curve.len(), DAYS + 1);
        assert!(
            curve.windows(2).all(|w| w[0] <= w[1]),
            "{} falls",
            model.name()
        );
        assert!(curve.iter().all(|v| v.is_finite()));
    }
}

#[test]
fn warmth_never_delays_thermal_time() {
    let (cool, warm) = (drivers(0.0), drivers(1.5));
    let (mut a, mut b) = (Vec::new(), Vec::new());
    for model in LIBRARY.iter().filter(|m| m.family() == Family::ThermalTime) {
        model.accumulate(&cool, &mut a);
        model.accumulate(&warm, &mut b);
        let requirement = a[200].max(1.0);
        assert!(
            crossing(&b, requirement) <= crossing(&a, requirement),
            "{}",
            model.name()
        );
    }
}

#[test]
fn crossing_lies_between_the_days() {
    let mut curve = vec![0.0; 20];
    curve.extend([1.0, 3.0, 6.0]);
    assert_abs_diff_eq!(crossing(&curve, 2.0), 20.5);
    assert_abs_diff_eq!(crossing(&curve, 1.0), 20.0);
    assert_eq!(crossing(&curve, 0.0), 19.0);
    assert!(crossing(&curve, 1e6) <= 42.0);
}

#[test]
fn names_tell_models_apart() {
    let names: std::collections::BTreeSet<String> =
        LIBRARY.iter().map(ForcingModel::name).collect();
    assert_eq!(names.len(), LIBRARY.len());
}
