//! The heat curve: sums seen, sums to come, and what swell needs.

use super::escaped;
use super::scale::{Days, LEFT, RIGHT, WIDTH};
use chrono::NaiveDate;
use std::fmt::Write;

const TOP: f64 = 24.0;
const BOTTOM: f64 = 240.0;

/// A sum still to come, with its range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeatAhead {
    /// By the end of this day.
    pub date: NaiveDate,
    /// One time in ten it is less.
    pub low: f64,
    /// As likely more as less.
    pub middle: f64,
    /// One time in ten it is more.
    pub high: f64,
}

/// Heat over the season for one kind of tree.
#[derive(Debug, Clone, PartialEq)]
pub struct HeatCurve {
    /// What it is for: the blocks' or species' names.
    pub name: String,
    /// The unit of the sums, with base, for instance `degree days above 4.5 C`.
    pub unit: String,
    /// Sums seen, by day.
    pub seen: Vec<(NaiveDate, f64)>,
    /// Sums to come, by day.
    pub ahead: Vec<HeatAhead>,
    /// What swell needs: low, middle, high.
    pub need: Option<[f64; 3]>,
}

/// One curve as SVG; a note where there is nothing to draw.
pub(super) fn svg(curve: &HeatCurve, today: NaiveDate, number: usize) -> String {
    let dates = || {
        let seen = curve.seen.iter().map(|(d, _)| *d);
        seen.chain(curve.ahead.iter().map(|a| a.date))
    };
    let (Some(first), Some(last)) = (dates().min(), dates().max()) else {
        return format!(
            "<p class=\"note\">{}: no temperatures.</p>\n",
            escaped(&curve.name)
        );
    };
    let days = Days::new(first, last);
    let sums = curve
        .seen
        .iter()
        .map(|(_, s)| *s)
        .chain(curve.ahead.iter().map(|a| a.high))
        .chain(curve.need.iter().flatten().copied());
    let top = step_above(sums.filter(|s| s.is_finite()).fold(0.0, f64::max));
    let y = |sum: f64| {
        let share = if sum.is_finite() { sum / top } else { 0.0 };
        BOTTOM - share.clamp(0.0, 1.0) * (BOTTOM - TOP)
    };
    let mut out = format!(
        "<svg viewBox=\"0 0 {WIDTH:.0} {:.0}\" role=\"img\" aria-labelledby=\"heat-{number}\">\n<title id=\"heat-{number}\">{}</title>\n",
        BOTTOM + 40.0,
        escaped(&format!("Heat for {}: {}", curve.name, curve.unit))
    );
    if let Some([low, middle, high]) = curve.need {
        let right = WIDTH - RIGHT;
        let _ = writeln!(
            out,
            "<rect class=\"need\" x=\"{LEFT}\" y=\"{:.1}\" width=\"{:.1}\" height=\"{:.1}\"/><line class=\"need-line\" x1=\"{LEFT}\" y1=\"{:.1}\" x2=\"{right:.1}\" y2=\"{:.1}\"/><text class=\"small\" x=\"{:.1}\" y=\"{:.1}\">swell needs {middle:.0} ({low:.0} to {high:.0})</text>",
            y(high),
            right - LEFT,
            (y(low) - y(high)).max(0.5),
            y(middle),
            y(middle),
            LEFT + 6.0,
            y(middle) - 4.0
        );
    }
    out.push_str(&days.draw(today, TOP, BOTTOM));
    out.push_str(&sum_axis(top, &y));
    if !curve.ahead.is_empty() {
        let upper = curve.ahead.iter().map(|a| (a.date, a.high));
        let lower = curve.ahead.iter().rev().map(|a| (a.date, a.low));
        let _ = writeln!(
            out,
            "<polygon class=\"band\" points=\"{}\"/><polyline class=\"ahead\" points=\"{}\"/>",
            points(days, &y, upper.chain(lower)),
            points(days, &y, curve.ahead.iter().map(|a| (a.date, a.middle)))
        );
    }
    let _ = writeln!(
        out,
        "<polyline class=\"seen\" points=\"{}\"/>",
        points(days, &y, curve.seen.iter().copied())
    );
    let _ = writeln!(
        out,
        "<text x=\"0\" y=\"{:.1}\">{}</text><text class=\"small\" x=\"{LEFT}\" y=\"{:.1}\">{}; full line: seen; broken line and band: to come, four times in five within the band</text>\n</svg>",
        TOP + 12.0,
        escaped(&curve.name.chars().take(20).collect::<String>()),
        BOTTOM + 30.0,
        escaped(&curve.unit)
    );
    out
}

/// Names four heights of the sum.
fn sum_axis(top: f64, y: &impl Fn(f64) -> f64) -> String {
    let mut out = String::new();
    for i in 0..=4 {
        let sum = top * f64::from(i) / 4.0;
        let _ = writeln!(
            out,
            "<line class=\"grid\" x1=\"{LEFT}\" y1=\"{0:.1}\" x2=\"{1:.1}\" y2=\"{0:.1}\"/><text class=\"small\" x=\"{2:.1}\" y=\"{3:.1}\" text-anchor=\"end\">{sum:.0}</text>",
            y(sum),
            WIDTH - RIGHT,
            LEFT - 6.0,
            y(sum) + 3.5
        );
    }
    out
}

fn points(
    days: Days,
    y: &impl Fn(f64) -> f64,
    sums: impl Iterator<Item = (NaiveDate, f64)>,
) -> String {
    let places: Vec<String> = sums
        .map(|(date, sum)| format!("{:.1},{:.1}", days.x(date), y(sum)))
        .collect();
    places.join(" ")
}

/// The next round number above: 1, 2, 4 or 8 times a power of ten.
fn step_above(sum: f64) -> f64 {
    let mut step = 10.0_f64;
    while step < 1e9 {
        for times in [1.0, 2.0, 4.0, 8.0] {
            if sum <= step * times {
                return step * times;
            }
        }
        step *= 10.0;
    }
    step
}
