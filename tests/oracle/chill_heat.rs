use std::f64::consts::TAU;

use barewood::domain::phenology::chill::{ChillHours, DynamicModel, FastDynamicModel};
use barewood::domain::phenology::heat::DegreeHours;
use barewood::domain::phenology::hourly_sum::HourlySum;

use crate::table::{close, rows};

/// Numbers found in a text, in order.
fn numbers(text: &str) -> Vec<f64> {
    text.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
        .flat_map(|part| part.split(".."))
        .filter_map(|part| part.parse().ok())
        .collect()
}

/// The hours a row of the check tables describes in words.
fn hours(series: &str, count: usize) -> Vec<f64> {
    let n = numbers(series);
    let (a, b) = (n[0], n.get(1).copied().unwrap_or(0.0));
    let hour = |h: usize| h as f64;
    match series.split(' ').next() {
        Some("const") => vec![a; count],
        Some("sinusoid") => (0..count)
            .map(|h| f64::midpoint(a, b) - (b - a) / 2.0 * (TAU * hour(h % 24) / 24.0).cos())
            .collect(),
        // "square 4C 16h then 20C 8h": n = [4, 16, 20, 8, cycles].
        Some("square") => (0..count)
            .map(|h| if hour(h % 24) < b { a } else { n[2] })
            .collect(),
        Some("ramp") => (0..1200)
            .map(|h| 20.0 - 25.0 * hour(h) / 1199.0)
            .chain(std::iter::repeat_n(6.0, count - 1200))
            .collect(),
        _ => Vec::new(),
    }
}

fn sum(mut of: impl HourlySum, hours: &[f64]) -> f64 {
    hours.iter().map(|&t| of.step(t)).sum()
}

#[test]
fn chill_hours_utah_units_and_portions() {
    let mut checked = 0;
    for row in rows("chill.csv") {
        let name = row.text("series");
        let hours = hours(name, row.number("n_hours") as usize);
        assert_eq!(
            hours.len(),
            row.number("n_hours") as usize,
            "{name}: series not understood"
        );
        close(
            sum(ChillHours::UpTo45F, &hours),
            row.number("chill_hours_le_7.2"),
            0.0,
            name,
        );
        close(
            sum(ChillHours::From32To45F, &hours),
            row.number("chill_hours_0_7.2"),
            0.0,
            name,
        );
        close(
            sum(ChillHours::Utah, &hours),
            row.number("utah_units"),
            0.0,
            name,
        );
        let mut model = DynamicModel::new();
        for &temp_c in &hours {
            model.step(temp_c);
        }
        close(model.portions(), row.number("dynamic_portions"), 1e-8, name);
        close(
            model.intermediate(),
            row.number("dynamic_residual_x"),
            1e-8,
            name,
        );
        close(
            sum(FastDynamicModel::new(), &hours),
            row.number("dynamic_portions"),
            1e-3,
            name,
        );
        checked += 1;
    }
    assert!(checked > 35, "{checked}");
}

#[test]
fn the_dynamic_model_hour_by_hour() {
    let mut model = DynamicModel::new();
    for row in rows("dynamic_trace_6c.csv") {
        let what = format!("hour {}", row.text("hour"));
        close(
            model.step(row.number("temp_c")),
            row.number("delta_portion"),
            1e-9,
            &what,
        );
        close(model.intermediate(), row.number("x_after"), 1e-9, &what);
        close(model.portions(), row.number("portions"), 1e-9, &what);
    }
}

#[test]
fn growing_degree_hours() {
    for row in rows("heat.csv") {
        let name = row.text("series");
        let hours = hours(name, row.number("n_hours") as usize);
        assert_eq!(hours.len(), 24, "{name}");
        close(
            sum(DegreeHours::Linear, &hours),
            row.number("gdh_linear_4.5_25"),
            1e-6,
            name,
        );
        close(
            sum(DegreeHours::Curve, &hours),
            row.number("gdh_asymcur_4_25_36"),
            1e-6,
            name,
        );
    }
}

/// One hour at 6 and 15 °C in each variant (linear 4.5, curve, base 4.7), worked by hand.
#[test]
fn heat_variants_do_not_mix() {
    for (temp_c, linear, curve, uncapped) in [(6.0, 1.5, 0.466, 1.3), (15.0, 10.5, 11.28, 10.3)] {
        close(DegreeHours::Linear.hour(temp_c), linear, 1e-9, "linear");
        close(DegreeHours::Curve.hour(temp_c), curve, 0.006, "curve");
        close(
            DegreeHours::LinearUncapped.hour(temp_c),
            uncapped,
            1e-9,
            "base 4.7",
        );
    }
}
