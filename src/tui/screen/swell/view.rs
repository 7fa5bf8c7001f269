//! Draws the swell screen: one block at a time.
//!
//! ```text
//! block       its name, kind of tree, which of how many
//! dates       1 in 10, even, 9 in 10, last safe day
//! charts      heat against what swell wants | chance by date
//! words       chill, model, data, record
//! readings    what the grower entered, latest first
//! ```

use super::{block, readings};
use crate::domain::outlook::{Asked, BlockEstimate};
use crate::domain::phenology::distribution::StageDate;
use crate::domain::phenology::stage::Stage;
use crate::domain::season::{Block, Reading};
use crate::report::swell::pictures;
use crate::tui::action::Spot;
use crate::tui::canvas::{Canvas, top_of_list};
use crate::tui::details::Row;
use crate::tui::form::stage_words;
use crate::tui::host::Curves;
use crate::tui::model::Model;
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::view::{lists_rows, plot::Plot};
use crate::tui::words;
use chrono::{Days, NaiveDate};
use ratatui::layout::Rect;

/// From this width on the dates seen and the chances stand beside what the estimate rests on.
const BESIDE: u16 = 120;

/// Draws the swell screen.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let Some(block) = block(model) else {
        let words = "There are no blocks yet. A block is trees of one kind looked after together; the season file names them.";
        lists_rows(canvas, area, &[Row::text(words)], 0);
        return;
    };
    let mut rest = area;
    let mut take = |rows: u16| {
        let rows = rows.min(rest.height);
        let part = Rect {
            height: rows,
            ..rest
        };
        rest = Rect::new(rest.x, rest.y + rows, rest.width, rest.height - rows);
        part
    };
    head(model, canvas, take(1), block);
    let estimate = model.estimates.as_ref().and_then(|e| e.of(&block.id));
    dates(model, canvas, take(1), block, estimate);
    let curves = curves(model, block);
    let low = area.height < 16;
    let charts = take(if low { 0 } else { area.height / 2 });
    if charts.height >= 4
        && let Some(estimate) = estimate
    {
        let left = if curves.is_some() {
            charts.width.saturating_sub(2) / 2
        } else {
            0
        };
        if let Some(curves) = curves {
            heat(
                canvas,
                Rect {
                    width: left,
                    ..charts
                },
                curves,
                estimate.swell.quantile(0.97),
            );
        }
        let x = charts.x + left + if left > 0 { 2 } else { 0 };
        chance(
            model,
            canvas,
            Rect::new(x, charts.y, charts.right() - x, charts.height),
            block,
            estimate,
        );
    }
    let list = readings(&model.season, block);
    let want = u16::try_from(list.len().clamp(1, 6)).unwrap_or(1) + 1;
    let words = take(
        area.height
            .saturating_sub(2 + charts.height + want.min(area.height / 3)),
    );
    if words.width >= BESIDE
        && let Some(estimate) = estimate
    {
        let half = words.width / 2;
        let left = Rect {
            width: half - 1,
            ..words
        };
        lists_rows(canvas, left, &brief(model, block), 0);
        let right = Rect::new(
            words.x + half + 1,
            words.y,
            words.width - half - 1,
            words.height,
        );
        lists_rows(canvas, right, &more(model, block, estimate), 0);
    } else {
        lists_rows(canvas, words, &brief(model, block), 0);
    }
    draw_readings(model, canvas, take(u16::MAX), &list);
}

fn curves<'a>(model: &'a Model, block: &Block) -> Option<&'a Curves> {
    model
        .curves
        .as_ref()
        .filter(|(id, _)| *id == block.id)
        .map(|(_, curves)| curves)
}

fn head(model: &Model, canvas: &mut Canvas<'_>, row: Rect, block: &Block) {
    let cultivar = block
        .cultivar
        .as_ref()
        .map(|c| format!(" {c}"))
        .unwrap_or_default();
    let words = format!(
        "{}: {}{cultivar}, {}",
        block.name,
        block.species.words(),
        text::count(i64::from(block.trees), "tree", "trees")
    );
    canvas.put(
        row.x,
        row.y,
        row.width.saturating_sub(24),
        &words,
        Tone::Head,
    );
    let place = format!(
        "block {} of {}  < >",
        model.swell.block + 1,
        model.season.blocks.len()
    );
    canvas.put_right(row, &place, Tone::Plain);
}

fn dates(
    model: &Model,
    canvas: &mut Canvas<'_>,
    row: Rect,
    block: &Block,
    estimate: Option<&BlockEstimate>,
) {
    let Some(estimate) = estimate else {
        let words = if model.estimates.is_none() {
            "the estimate is being made.."
        } else {
            "no estimate for this block"
        };
        canvas.put(row.x, row.y, row.width, words, Tone::Plain);
        return;
    };
    let swell = &estimate.swell;
    let guard = block.guard_days.unwrap_or(model.season.orchard.guard_days);
    let safe = swell.last_safe(model.season.orchard.tolerance.fraction(), guard);
    let (p10, p50, p90) = (
        words::day(swell.p10()),
        words::day(swell.p50()),
        words::day(swell.p90()),
    );
    let (day, away) = (words::weekday_day(safe), words::away(safe, model.today));
    let ways = [
        (
            format!("swell {p10}-{p90}, even chance {p50}"),
            format!("last safe day {day}, {away}"),
        ),
        (
            format!("swell {p10}-{p90}, even {p50}"),
            format!("last safe day {day}"),
        ),
        (
            format!("{p50} ({p10}-{p90})"),
            format!("safe to {}", words::day(safe)),
        ),
    ];
    let fits = |(span, last): &&(String, String)| {
        text::width(span) + text::width(last) + 2 <= usize::from(row.width)
    };
    let Some((span, last)) = ways.iter().find(fits).or(ways.last()) else {
        return;
    };
    let tone = if safe < model.today {
        Tone::Stop
    } else {
        Tone::Good
    };
    canvas.pieces(
        row.x,
        row.y,
        row.width,
        &[(span, Tone::Plain), ("; ", Tone::Plain), (last, tone)],
    );
}

/// Heat so far and to come, against what swell wants, up to the day by which
/// swell is all but certain: what comes after would only flatten the curve.
fn heat(canvas: &mut Canvas<'_>, area: Rect, curves: &Curves, until: NaiveDate) {
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
fn chance(
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

/// What stands on the screen in words.
fn brief(model: &Model, block: &Block) -> Vec<Row> {
    let mut rows = Vec::new();
    if let Some(curves) = curves(model, block) {
        rows.extend(
            curves
                .chill
                .iter()
                .map(|c| Row::signed("chill ", Tone::Head, c.as_str())),
        );
        rows.push(Row::signed("model ", Tone::Head, curves.model.as_str()));
        let data = match curves.data_through {
            Some(day) => format!(
                "temperatures to {}, {} traces ahead",
                words::full_day(day),
                curves.members
            ),
            None => format!("no temperatures, {} traces ahead", curves.members),
        };
        rows.push(Row::signed("data  ", Tone::Head, data));
        rows.extend(
            curves
                .record
                .first()
                .map(|r| Row::signed("past  ", Tone::Head, r.as_str())),
        );
        rows.extend(
            curves
                .notes
                .iter()
                .map(|n| Row::signed(". ", Tone::Note, n.as_str())),
        );
    } else {
        rows.push(Row::text(
            "Readings below change the estimate at once; enter tells why it is what it is.",
        ));
    }
    rows
}

/// The dates of past seasons, the chances by date, and how the estimate moved.
fn more(model: &Model, block: &Block, estimate: &BlockEstimate) -> Vec<Row> {
    let mut rows = seen_rows(block, estimate);
    rows.push(Row::head("Chance that swell has begun by"));
    rows.extend(chance_rows(&estimate.swell));
    if let Some(curves) = curves(model, block) {
        rows.extend(asked_rows(&curves.asked));
    }
    rows
}

/// The dates seen in past seasons on one scale with this season's range, stage by stage.
fn seen_rows(block: &Block, estimate: &BlockEstimate) -> Vec<Row> {
    let mut rows = Vec::new();
    for (stage, date) in [
        (Stage::Swell, &estimate.swell),
        (Stage::Burst, &estimate.burst),
        (Stage::FirstBloom, &estimate.bloom),
    ] {
        let lines = pictures::seen(&block.past, stage, date);
        if !lines.is_empty() {
            rows.push(Row::head(format!(
                "{} seen in past seasons (x), and this season's range",
                words::capital(stage.words())
            )));
            rows.extend(lines.into_iter().map(Row::verbatim));
            rows.push(Row::gap());
        }
    }
    if rows.is_empty() {
        rows.push(Row::text(
            "No dates of past springs are on this block: two or three of your own narrow the range.",
        ));
        rows.push(Row::gap());
    }
    rows
}

fn chance_rows(swell: &StageDate) -> impl Iterator<Item = Row> {
    [0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95]
        .into_iter()
        .map(|p| {
            Row::verbatim(format!(
                "{:>5}  {}",
                words::percent(p),
                words::full_day(swell.quantile(p))
            ))
        })
}

/// Everything about the estimate in view.
pub fn why(model: &Model) -> Vec<Row> {
    let Some(block) = block(model) else {
        return vec![Row::text("There are no blocks yet.")];
    };
    let mut rows = vec![Row::head(block.name.as_str())];
    if let Some(estimate) = model.estimates.as_ref().and_then(|e| e.of(&block.id)) {
        let orchard = &model.season.orchard;
        let guard = block.guard_days.unwrap_or(orchard.guard_days);
        let stages = [
            ("swell", &estimate.swell),
            ("bud burst", &estimate.burst),
            ("first bloom", &estimate.bloom),
        ];
        for (name, stage) in stages {
            rows.push(Row::text(format!(
                "{name}: {}, 8 times in 10",
                words::range(stage)
            )));
        }
        let safe = estimate
            .swell
            .last_safe(orchard.tolerance.fraction(), guard);
        rows.push(Row::text(format!(
            "Last safe day {}: the latest day for which the chance of swell {} later is at most {}.",
            words::full_day(safe),
            text::count(i64::from(guard), "day", "days"),
            words::percent(orchard.tolerance.fraction()),
        )));
        rows.extend([Row::gap(), Row::head("Chance that swell has begun by")]);
        rows.extend(chance_rows(&estimate.swell));
        rows.push(Row::gap());
        rows.extend(seen_rows(block, estimate));
    }
    if let Some(curves) = curves(model, block) {
        rows.extend([Row::gap(), Row::head("What it rests on")]);
        rows.extend(brief(model, block));
        if let Some(now) = curves.observed.last() {
            rows.push(Row::text(format!(
                "Heat so far {now:.0} of {:.0} ({:.0}-{:.0}) {} wanted.",
                curves.wanted[1], curves.wanted[0], curves.wanted[2], curves.unit
            )));
        }
        rows.extend(asked_rows(&curves.asked));
        rows.extend([Row::gap(), Row::head("How good it has been here")]);
        if curves.record.is_empty() {
            rows.push(Row::text("No past seasons are on record for this block; dates you enter will narrow the range."));
        }
        rows.extend(curves.record.iter().map(|r| Row::text(r.as_str())));
    }
    rows
}

/// Columns of the bars that show how the range moved.
const BAR: usize = 32;

/// The estimate as it would have been given earlier, a bar each on one common scale of days.
fn asked_rows(asked: &[Asked]) -> Vec<Row> {
    let first = asked.iter().map(|a| a.swell[0]).min();
    let last = asked.iter().map(|a| a.swell[2]).max();
    let (Some(first), Some(last)) = (first, last) else {
        return Vec::new();
    };
    let span = (last - first).num_days().max(1) as f64;
    let place = |day: NaiveDate| {
        let share = (day - first).num_days() as f64 / span;
        (share * (BAR - 1) as f64).round() as usize
    };
    let mut rows = vec![
        Row::gap(),
        Row::head(
            "As it would have been given earlier this season, with the days from early to late",
        ),
    ];
    for a in asked {
        let [early, even, late] = a.swell.map(place);
        let bar: String = (0..BAR)
            .map(|x| match x {
                x if x == even => '#',
                x if (early..=late).contains(&x) => '=',
                _ => '.',
            })
            .collect();
        rows.push(Row::text(format!(
            "{:<6} {bar} {} ({}-{}), {} d",
            words::day(a.on),
            words::day(a.swell[1]),
            words::day(a.swell[0]),
            words::day(a.swell[2]),
            a.width_days()
        )));
    }
    rows
}

fn draw_readings(model: &Model, canvas: &mut Canvas<'_>, area: Rect, list: &[(usize, &Reading)]) {
    if area.height == 0 {
        return;
    }
    canvas.put(area.x, area.y, area.width, "readings", Tone::Head);
    let room = usize::from(area.height.saturating_sub(1));
    if list.is_empty() {
        canvas.put(
            area.x,
            area.y + 1,
            area.width,
            "none yet: a enters a degree-day total, b what the buds look like",
            Tone::Plain,
        );
        canvas.cursor = Some((area.x, area.y));
        return;
    }
    let top = top_of_list(model.swell.reading, list.len(), room);
    for (y, (place, (_, reading))) in
        (area.y + 1..area.bottom()).zip(list.iter().enumerate().skip(top))
    {
        let chosen = place == model.swell.reading;
        let mark = if chosen { "> " } else { "  " };
        let tone = if chosen { Tone::Chosen } else { Tone::Plain };
        canvas.pieces(
            area.x,
            y,
            area.width,
            &[(mark, Tone::Key), (&reading_words(model, reading), tone)],
        );
        canvas
            .spots
            .push((Rect::new(area.x, y, area.width, 1), Spot::Line(place)));
        if chosen {
            canvas.cursor = Some((area.x, y));
        }
    }
}

fn reading_words(model: &Model, reading: &Reading) -> String {
    let (Reading::DegreeDays { blocks, note, .. } | Reading::Buds { blocks, note, .. }) = reading;
    let names: Vec<&str> = blocks
        .iter()
        .map(|id| {
            model
                .season
                .block(id)
                .map_or(id.as_str(), |b| b.name.as_str())
        })
        .collect();
    let place = if names.is_empty() {
        "all blocks".to_owned()
    } else {
        names.join(", ")
    };
    let note = note.as_ref().map(|n| format!(" ({n})")).unwrap_or_default();
    let what = match reading {
        Reading::DegreeDays {
            total, base, since, ..
        } => format!(
            "{} degree days above {base} since {}",
            crate::domain::units::plain_number(*total),
            words::day(*since)
        ),
        Reading::Buds { bbch, .. } => format!("buds: BBCH {bbch}, {}", stage_words(*bbch)),
    };
    format!("{}: {what}, {place}{note}", words::full_day(reading.date()))
}
