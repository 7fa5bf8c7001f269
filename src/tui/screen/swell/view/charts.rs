//! The two charts: heat against what swell wants, and the chance that it has begun.

use crate::domain::outlook::BlockEstimate;
use crate::domain::season::Block;
use crate::tui::canvas::Canvas;
use crate::tui::host::Curves;
use crate::tui::model::Model;
use crate::tui::theme::Tone;
use crate::tui::view::plot::Plot;
use crate::tui::words;
use chrono::{Days, NaiveDate};
use ratatui::layout::Rect;

/// Heat so far and to come, against what swell wants, up to the day by which
/// swell is all but certain: what comes after would only flatten the curve.
pub(super) fn heat(canvas: &mut Canvas<'_>, area: Rect, curves: &Curves, until: NaiveDate) {
    let seen = curves.observed.len();
    let wanted_days = usize::try_from((until - curves.first).num_days() + 1).unwrap_or(0);
    let to_come = wanted_days.saturating_sub(seen).max(14);
    let ahead: Vec<[f64; 3]> = curves.ahead.iter().take(to_come).copied().collect();
    let days = seen + ahead.len();
    let top = ahead
        .last()
        .map_or(0.0, |a| a[1])
        .max(curves.wanted[2])
        .max(curves.observed.last().copied().unwrap_or(0.0))
        .max(1.0)
        * 1.05;
    let inner = Rect::new(
        area.x,
        area.y + 1,
        area.width,
        area.height.saturating_sub(2),
    );
    let title = format!("heat: {}", curves.unit);
    canvas.put(area.x, area.y, area.width, &title, Tone::Head);
    let x = |day: usize| day as f64 / days.saturating_sub(1).max(1) as f64;
    let mut plot = Plot::new(inner, !canvas.theme.ascii);
    for (wanted, sign) in curves.wanted.iter().zip(['.', '-', '.']) {
        plot.level(wanted / top, sign);
    }
    for (k, (every, sign)) in [(5, '.'), (2, '+'), (5, '.')].into_iter().enumerate() {
        let points: Vec<(f64, f64)> = ahead
            .iter()
            .enumerate()
            .filter_map(|(i, three)| three.get(k).map(|v| (x(seen + i), (v / top).min(1.0))))
            .collect();
        plot.line(&points, every, sign);
    }
    let points: Vec<(f64, f64)> = curves
        .observed
        .iter()
        .enumerate()
        .map(|(i, v)| (x(i), (v / top).min(1.0)))
        .collect();
    plot.line(&points, 1, '*');
    plot.draw(canvas, inner, Tone::Plain);
    // What swell wants, in words at the height of its line.
    let row = ((1.0 - curves.wanted[1] / top) * f64::from(inner.height.saturating_sub(1))).round();
    let label = format!(
        "wants {:.0} ({:.0}-{:.0})",
        curves.wanted[1], curves.wanted[0], curves.wanted[2]
    );
    canvas.put(
        inner.x,
        inner.y + row as u16,
        inner.width,
        &label,
        Tone::Head,
    );
    let last = curves
        .first
        .checked_add_days(Days::new(days.saturating_sub(1) as u64))
        .unwrap_or(curves.first);
    month_row(
        canvas,
        Rect::new(area.x, area.bottom() - 1, area.width, 1),
        curves.first,
        last,
    );
}

/// Chance of swell by each day.
pub(super) fn chance(
    model: &Model,
    canvas: &mut Canvas<'_>,
    area: Rect,
    block: &Block,
    estimate: &BlockEstimate,
) {
    let swell = &estimate.swell;
    let around = |d: NaiveDate, days: i64| {
        d.checked_add_signed(chrono::TimeDelta::days(days))
            .unwrap_or(d)
    };
    let margin = ((swell.p90() - swell.p10()).num_days() / 3).max(7);
    let (from, to) = (
        around(swell.quantile(0.01), -margin),
        around(swell.quantile(0.99), 3),
    );
    let days = (to - from).num_days().max(1);
    let labels = 5.min(area.width);
    let inner = Rect::new(
        area.x + labels,
        area.y + 1,
        area.width - labels,
        area.height.saturating_sub(2),
    );
    canvas.put(
        area.x,
        area.y,
        area.width,
        "chance that swell has begun",
        Tone::Head,
    );
    for (share, words) in [(1.0, "100 %"), (0.5, " 50 %"), (0.0, "  0 %")] {
        let row = ((1.0 - share) * f64::from(inner.height.saturating_sub(1))).round() as u16;
        canvas.put(area.x, inner.y + row, labels, words, Tone::Plain);
    }
    let x = |day: NaiveDate| (day - from).num_days() as f64 / days as f64;
    let mut plot = Plot::new(inner, !canvas.theme.ascii);
    let guard = block.guard_days.unwrap_or(model.season.orchard.guard_days);
    let safe = swell.last_safe(model.season.orchard.tolerance.fraction(), guard);
    plot.post(x(safe), ']');
    if model.today >= from {
        plot.post(x(model.today), ':');
    }
    let points: Vec<(f64, f64)> = from
        .iter_days()
        .take_while(|d| *d <= to)
        .map(|d| (x(d), swell.chance_by(d)))
        .collect();
    plot.line(&points, 1, '*');
    plot.draw(canvas, inner, Tone::Plain);
    month_row(
        canvas,
        Rect::new(inner.x, area.bottom() - 1, inner.width, 1),
        from,
        to,
    );
}

/// Days under a chart: the first of each month, or four dates on a short span.
fn month_row(canvas: &mut Canvas<'_>, row: Rect, from: NaiveDate, to: NaiveDate) {
    let days = (to - from).num_days().max(1);
    let stops = (row.width / 12).clamp(1, 8);
    for i in 0..stops {
        let ahead = days * i64::from(i) / i64::from(stops);
        let day = from
            .checked_add_signed(chrono::TimeDelta::days(ahead))
            .unwrap_or(from);
        let x = row.x + row.width * i / stops;
        let words = format!("|{}", words::day(day));
        canvas.put(x, row.y, row.right().saturating_sub(x), &words, Tone::Plain);
    }
}
