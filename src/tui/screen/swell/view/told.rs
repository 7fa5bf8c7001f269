//! What the estimate rests on, in words: the short account and the whole one.

use super::curves;
use crate::domain::hours::fits::Fits;
use crate::domain::outlook::{Asked, BlockEstimate, to_come};
use crate::domain::phenology::distribution::StageDate;
use crate::domain::phenology::stage::Stage;
use crate::domain::season::Block;
use crate::report::swell::pictures;
use crate::tui::details::Row;
use crate::tui::model::Model;
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::words;
use chrono::NaiveDate;

/// What stands on the screen in words.
pub(super) fn brief(model: &Model, block: &Block) -> Vec<Row> {
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
pub(super) fn more(model: &Model, block: &Block, estimate: &BlockEstimate) -> Vec<Row> {
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
    let Some(block) = crate::tui::screen::swell::block(model) else {
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
        rows.extend(to_come_rows(model, block));
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

/// What published models say is still to come or may have happened here.
fn to_come_rows(model: &Model, block: &Block) -> Vec<Row> {
    let Some(estimates) = &model.estimates else {
        return Vec::new();
    };
    let air = model.fits.as_ref().map(Fits::air);
    let lines = to_come(&model.season, estimates, air, model.moment(), model.today);
    let mut here = lines
        .into_iter()
        .filter(|l| l.blocks.contains(&block.id))
        .peekable();
    if here.peek().is_none() {
        return Vec::new();
    }
    let mut rows = vec![Row::head("Still to come, by published models: no promise")];
    for line in here {
        rows.push(Row::text(line.words));
        rows.push(Row::signed("source ", Tone::Note, line.source.line()));
    }
    rows.push(Row::gap());
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
