//! Draws the swell screen: one block at a time.
//!
//! ```text
//! block       its name, kind of tree, which of how many
//! dates       1 in 10, even, 9 in 10, last safe day
//! charts      heat against what swell wants | chance by date
//! words       chill, model, data, record
//! readings    what the grower entered, latest first
//! ```

mod charts;
mod told;

pub use told::why;

use super::{block, readings};
use crate::domain::outlook::BlockEstimate;
use crate::domain::season::{Block, HowMany, Reading};
use crate::tui::action::Command;
use crate::tui::action::Spot;
use crate::tui::canvas::{Canvas, top_of_list};
use crate::tui::details::Row;
use crate::tui::form::stage_words;
use crate::tui::host::Curves;
use crate::tui::model::Model;
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::view::lists_rows;
use crate::tui::words;
use charts::{chance, heat};
use ratatui::layout::Rect;
use told::{brief, more};

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
            &format!(
                "none yet: {} enters what the buds look like, {} a degree-day total, {} rain",
                model.keymap.first(Command::AddBuds),
                model.keymap.first(Command::AddTotal),
                model.keymap.first(Command::AddRain)
            ),
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
    let photo = reading.photo().map(|p| format!(" photo: {p}"));
    let names: Vec<&str> = reading
        .blocks()
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
    let note = reading
        .note()
        .map(|n| format!(" ({n})"))
        .unwrap_or_default();
    let what = match reading {
        Reading::DegreeDays {
            total, base, since, ..
        } => format!(
            "{} degree days above {base} since {}",
            crate::domain::units::plain_number(*total),
            words::day(*since)
        ),
        Reading::Buds { bbch, how_many, .. } => {
            let few = match how_many {
                HowMany::All => "",
                HowMany::Most => "most ",
                HowMany::FirstFew => "first few ",
            };
            format!("{few}buds: BBCH {bbch}, {}", stage_words(*bbch))
        }
        Reading::Rain { rain, .. } => format!("rain {rain}"),
    };
    format!(
        "{}: {what}, {place}{note}{}",
        words::full_day(reading.date()),
        photo.unwrap_or_default()
    )
}
