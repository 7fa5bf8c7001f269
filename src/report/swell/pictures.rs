//! The pictures of the swell screen as plain text: heat with its band, chance by date, and the
//! dates seen in past seasons. Eighty columns, ASCII alone.

use crate::domain::phenology::distribution::StageDate;
use crate::domain::phenology::estimate::Estimate;
use crate::domain::phenology::stage::Stage;
use crate::domain::season::PastStage;
use chrono::{Datelike, Days, NaiveDate};
use std::fmt::Write;

/// Columns of a bar.
const BAR: usize = 38;
/// Columns of a bar of seen dates: a date with its range stands whole behind it in a window of
/// sixty columns.
const SEEN_BAR: usize = 26;
/// A line a week is enough for a curve.
const STEP_DAYS: usize = 7;

/// A share of a bar's length.
fn place(share: f64, columns: usize) -> usize {
    let at = (share.clamp(0.0, 1.0) * (columns - 1) as f64).round();
    at as usize
}

/// Heat week by week: `*` measured, `=` 8 times in 10 to come, `#` even, `|` what is wanted.
pub fn heat(estimate: &Estimate) -> String {
    let heat = &estimate.heat;
    let (low, wanted, high) = heat.requirement;
    let until = estimate.date.quantile(0.97);
    let days = usize::try_from((until - heat.first).num_days() + 1).unwrap_or(0);
    let days = days.max(heat.known_days + 14).min(heat.median.len());
    let mut out = format!(
        "heat, {}\n{} wants {wanted:.0} ({low:.0}-{high:.0})\n",
        heat.unit.replace('°', ""),
        estimate.stage.words()
    );
    let three = |i: usize| {
        let at = |series: &[f32]| series.get(i).copied().unwrap_or(0.0);
        [at(&heat.p10), at(&heat.median), at(&heat.p90)]
    };
    let last = days.saturating_sub(1);
    let top = three(last)[1].max(high).max(1.0) * 1.05;
    let share = |v: f32| place(f64::from(v / top), BAR);
    for i in (0..days)
        .step_by(STEP_DAYS)
        .chain((!last.is_multiple_of(STEP_DAYS)).then_some(last))
    {
        let Some(day) = heat.first.checked_add_days(Days::new(i as u64)) else {
            break;
        };
        let [p10, p50, p90] = three(i);
        let known = i < heat.known_days;
        let mut bar = vec!['.'; BAR];
        let mut fill = |range: std::ops::RangeInclusive<usize>, sign: char| {
            for cell in bar.iter_mut().take(range.end() + 1).skip(*range.start()) {
                *cell = sign;
            }
        };
        if known {
            fill(0..=share(p50), '*');
        } else {
            fill(share(p10)..=share(p90), '=');
            fill(share(p50)..=share(p50), '#');
        }
        if let Some(cell) = bar.get_mut(share(wanted)).filter(|c| **c == '.') {
            *cell = '|';
        }
        let bar: String = bar.into_iter().collect();
        let words = if known {
            format!("{p50:.0} measured")
        } else {
            format!("{p50:.0} ({p10:.0}-{p90:.0})")
        };
        let _ = writeln!(out, "{day}  {bar} {words}");
    }
    out.push_str("* measured, = to come 8 times in 10, # even chance, | what is wanted\n");
    out
}

/// Chance that the stage has begun, every few days from hardly to almost surely.
pub fn chance(date: &StageDate, stage: Stage) -> String {
    let (from, to) = (date.quantile(0.01), date.quantile(0.99));
    let days = (to - from).num_days().max(1);
    let step = (days / 12).max(1);
    let mut out = format!(
        "chance that {} has begun by the end of the day\n",
        stage.words()
    );
    let mut day = from;
    while day <= to {
        let chance = date.chance_by(day);
        let length = (chance * BAR as f64).round() as usize;
        let bar = format!("{}{}", "*".repeat(length), ".".repeat(BAR - length));
        let _ = writeln!(out, "{day}  {bar} {:.0} %", chance * 100.0);
        match day.checked_add_days(Days::new(step as u64)) {
            Some(next) => day = next,
            None => break,
        }
    }
    out
}

/// The dates on which a stage was seen in past seasons, with this season's range below them, all
/// on one scale from early to late. Empty where none was seen.
pub fn seen(past: &[PastStage], stage: Stage, date: &StageDate) -> Vec<String> {
    let even = date.p50();
    let mut dates: Vec<NaiveDate> = past
        .iter()
        .filter(|p| p.stage == stage)
        .map(|p| p.date)
        .collect();
    dates.sort_unstable();
    if dates.is_empty() {
        return Vec::new();
    }
    // As days from this season's even chance, a year being as long as it is.
    let off = |day: NaiveDate| {
        let years = even.year() - day.year();
        (-1..=1)
            .filter_map(|d| {
                let year = even.year() - years - d;
                // 29 February has no like day in most years.
                let there = even.with_year(year).or_else(|| {
                    NaiveDate::from_ymd_opt(year, even.month(), even.day().saturating_sub(1))
                })?;
                Some((day - there).num_days())
            })
            .min_by_key(|d| d.abs())
            .unwrap_or(0)
    };
    let (early, late) = (
        (date.p10() - even).num_days(),
        (date.p90() - even).num_days(),
    );
    let all = || dates.iter().map(|d| off(*d)).chain([early, late]);
    let first = all().min().unwrap_or(0);
    let last = all().max().unwrap_or(0);
    let span = (last - first).max(1) as f64;
    let at = |day: i64| place((day - first) as f64 / span, SEEN_BAR);
    let mut out = Vec::new();
    for day in &dates {
        let mark = at(off(*day));
        let bar: String = (0..SEEN_BAR)
            .map(|x| if x == mark { 'x' } else { '.' })
            .collect();
        out.push(format!("{}  {bar} {}", day.year(), day.format("%-d %b")));
    }
    let bar: String = (0..SEEN_BAR)
        .map(|x| match x {
            x if x == at(0) => '#',
            x if (at(early)..=at(late)).contains(&x) => '=',
            _ => '.',
        })
        .collect();
    out.push(format!(
        "{}  {bar} {} ({}-{})",
        even.year(),
        even.format("%-d %b"),
        date.p10().format("%-d %b"),
        date.p90().format("%-d %b")
    ));
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(y: i32, m: u32, d: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(y, m, d).unwrap()
    }

    /// Even chances over ten days from a date.
    fn ten_days(first: NaiveDate) -> StageDate {
        StageDate::new(first, [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0])
    }

    #[test]
    fn seen_dates_stand_on_one_scale_with_the_range() {
        let past = [(2025, 3, 11), (2024, 2, 27), (2026, 3, 5)].map(|(y, m, d)| PastStage {
            stage: Stage::Swell,
            date: day(y, m, d),
        });
        let lines = seen(&past, Stage::Swell, &ten_days(day(2027, 3, 1)));
        assert_eq!(lines.len(), 4);
        let mark = |line: &str, sign| line.find(sign).unwrap();
        // Oldest first; later in the year is further right.
        assert!(lines[0].starts_with("2024  ") && lines[0].ends_with(" 27 Feb"));
        assert!(mark(&lines[0], 'x') < mark(&lines[2], 'x'));
        assert!(mark(&lines[2], 'x') < mark(&lines[1], 'x'));
        // 5 March is the even chance: the marks stand above each other.
        assert_eq!(mark(&lines[2], 'x'), mark(&lines[3], '#'));
        assert!(lines.iter().all(|l| l.is_ascii() && l.len() <= 56));
        assert!(seen(&past, Stage::FirstBloom, &ten_days(day(2027, 3, 1))).is_empty());
    }

    #[test]
    fn a_season_over_the_turn_of_the_year_keeps_near_dates_near() {
        let past = [PastStage {
            stage: Stage::Swell,
            date: day(2025, 12, 30),
        }];
        let lines = seen(&past, Stage::Swell, &ten_days(day(2027, 1, 1)));
        assert!(lines[0].find('x').unwrap() < lines[1].find('#').unwrap());
        assert!(lines[0].contains("2025  x"), "{lines:?}");
    }

    #[test]
    fn chance_rises_to_the_full_bar() {
        let text = chance(&ten_days(day(2027, 3, 1)), Stage::Swell);
        let last = text.lines().last().unwrap();
        assert!(last.ends_with("100 %"), "{text}");
        assert!(text.lines().all(|l| l.len() <= 80));
        let bars: Vec<usize> = text
            .lines()
            .skip(1)
            .map(|l| l.matches('*').count())
            .collect();
        assert!(bars.is_sorted() && bars[0] < BAR);
    }
}
