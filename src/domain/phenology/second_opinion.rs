//! A degree-day total from a newsletter beside the orchard's own sum: how far they differ, and what
//! would explain it. A total is never dropped without a word.

use chrono::{Datelike, NaiveDate};

use super::climatology::DegreeDayReading;
use super::degree_days::{DegreeDays, Method};
use crate::domain::climate::daily::DailySeries;

/// What the comparison came to.
#[derive(Debug, Clone, PartialEq)]
pub struct SecondOpinion {
    /// The total that was told, °C days.
    pub told_c_days: f64,
    /// The orchard's own sum over the same days above the same base, °C days.
    pub own_c_days: f64,
    /// Days without temperatures among them.
    pub gap_days: usize,
    /// What it comes to.
    pub verdict: Verdict,
}

/// Why they differ.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Verdict {
    /// They do not: within a tenth, or a few degree days.
    Agrees,
    /// The own sum agrees from another first day.
    OtherStart(NaiveDate),
    /// The own sum agrees above another base, °C.
    OtherBase(f64),
    /// The own sum agrees by the plain mean of the day's extremes less the base.
    OtherMethod,
    /// The total is read as of another scale: Fahrenheit for Celsius or the reverse.
    OtherScale,
    /// The place it was counted at is warmer (or colder, negative) by about so much, °C.
    OtherStation(f64),
    /// Temperatures are missing on some of the days: they cannot be compared.
    CannotTell,
}

/// Two totals agree within this share of the larger ..
const SHARE: f64 = 0.10;
/// .. or within this many °C days.
const FEW_C_DAYS: f64 = 4.0;
/// Bases in use by services: 32, 40, 41, 42, 43, 45 and 50 °F.
const BASES_F: [f64; 7] = [32.0, 40.0, 41.0, 42.0, 43.0, 45.0, 50.0];
/// First days in use by services: month and day.
const STARTS: [(u32, u32); 5] = [(1, 1), (2, 1), (3, 1), (11, 1), (10, 1)];
/// No station nearby is warmer or colder by more than this, °C.
const FARTHEST_C: f64 = 6.0;

fn agree(a: f64, b: f64) -> bool {
    (a - b).abs() <= (SHARE * a.max(b)).max(FEW_C_DAYS)
}

fn sum(
    observed: &DailySeries,
    method: Method,
    base_c: f64,
    from: NaiveDate,
    to: NaiveDate,
    warmer_c: f32,
) -> Option<f64> {
    let counted = DegreeDays::above(method, base_c).ok()?;
    let shifted;
    let series = if warmer_c == 0.0 {
        observed
    } else {
        let shift = |values: &[f32]| values.iter().map(|t| t + warmer_c).collect();
        shifted = DailySeries::new(
            observed.first(),
            shift(observed.tmin_c()),
            shift(observed.tmax_c()),
        )
        .ok()?;
        &shifted
    };
    counted.running(series, from, to).last().map(|d| d.total)
}

/// Compares a total with the temperatures of the orchard; `None` where no day of it is known, so
/// that there is nothing to compare.
pub fn second_opinion(reading: &DegreeDayReading, observed: &DailySeries) -> Option<SecondOpinion> {
    let (from, to) = (reading.start, reading.date);
    if from > to || !reading.total_c_days.is_finite() {
        return None;
    }
    let days = (to - from).num_days().max(0) as usize + 1;
    if days > 400 {
        return None;
    }
    let known = from
        .iter_days()
        .take(days)
        .filter(|d| observed.day(*d).is_some())
        .count();
    if known == 0 {
        return None;
    }
    let method = reading.method.unwrap_or(Method::SingleSine);
    let told = reading.total_c_days;
    let own = sum(observed, method, reading.base_c, from, to, 0.0)?;
    let gap_days = days - known;
    let verdict = if agree(own, told) {
        Verdict::Agrees
    } else if gap_days * 20 > days {
        Verdict::CannotTell
    } else {
        explain(reading, observed, method, told, own)
    };
    Some(SecondOpinion {
        told_c_days: told,
        own_c_days: own,
        gap_days,
        verdict,
    })
}

/// The plainest explanation that brings the own sum to the total: another first day, base, way of
/// counting, scale; else another station.
fn explain(
    reading: &DegreeDayReading,
    observed: &DailySeries,
    method: Method,
    told: f64,
    own: f64,
) -> Verdict {
    let (from, to, base_c) = (reading.start, reading.date, reading.base_c);
    let start = STARTS
        .iter()
        .flat_map(|&(month, day)| {
            [to.year(), to.year() - 1]
                .into_iter()
                .filter_map(move |year| NaiveDate::from_ymd_opt(year, month, day))
        })
        .filter(|start| *start != from && *start < to && (to - *start).num_days() < 250)
        .find(|start| {
            observed.day(*start).is_some()
                && sum(observed, method, base_c, *start, to, 0.0).is_some_and(|s| agree(s, told))
        });
    if let Some(start) = start {
        return Verdict::OtherStart(start);
    }
    let base = BASES_F
        .iter()
        .map(|f| (f - 32.0) / 1.8)
        .filter(|c| (c - base_c).abs() > 0.1)
        .find(|c| sum(observed, method, *c, from, to, 0.0).is_some_and(|s| agree(s, told)));
    if let Some(base) = base {
        return Verdict::OtherBase(base);
    }
    if agree(own * 1.8, told) || agree(own / 1.8, told) {
        return Verdict::OtherScale;
    }
    if sum(observed, Method::SimpleAverage, base_c, from, to, 0.0).is_some_and(|s| agree(s, told)) {
        return Verdict::OtherMethod;
    }
    let (mut low, mut high) = (-FARTHEST_C, FARTHEST_C);
    for _ in 0..12 {
        let middle = f64::midpoint(low, high);
        match sum(observed, method, base_c, from, to, middle as f32) {
            Some(s) if s < told => low = middle,
            Some(_) => high = middle,
            None => return Verdict::CannotTell,
        }
    }
    Verdict::OtherStation(f64::midpoint(low, high))
}

impl SecondOpinion {
    /// The comparison in one or two sentences, in the reading's own unit: `per_c_day` is how many
    /// of its units a °C day is (1 or 1.8), `unit` how it is written.
    pub fn words(&self, reading: &DegreeDayReading, per_c_day: f64, unit: &str) -> String {
        let show = |c_days: f64| format!("{:.0} {unit}", c_days * per_c_day);
        let base = |c: f64| {
            if per_c_day > 1.0 {
                format!("{:.0} °F", c.mul_add(1.8, 32.0))
            } else {
                format!("{c:.1} °C")
            }
        };
        let both = format!(
            "The total of {} is {}; your own temperatures give {} for the same days.",
            reading.date.format("%-d %b"),
            show(self.told_c_days),
            show(self.own_c_days),
        );
        let why = match self.verdict {
            Verdict::Agrees => "They agree.".to_owned(),
            Verdict::OtherStart(day) => format!(
                "Counted from {} they agree: check the first day.",
                day.format("%-d %b")
            ),
            Verdict::OtherBase(c) => {
                format!("Above {} they agree: check the base.", base(c))
            }
            Verdict::OtherMethod => {
                "By the mean of the day's extremes they agree: check the method.".to_owned()
            }
            Verdict::OtherScale => {
                "In the other scale they agree: check whether it is °F or °C.".to_owned()
            }
            Verdict::OtherStation(c) if c.abs() >= FARTHEST_C - 0.1 => {
                "No base, first day or station nearby explains it: check the number.".to_owned()
            }
            Verdict::OtherStation(c) => format!(
                "A station {:.1} °C {} would give it: check which place it is of.",
                c.abs(),
                if c > 0.0 { "warmer" } else { "colder" }
            ),
            Verdict::CannotTell => format!(
                "{} of the days have no temperatures: CANNOT TELL which is right.",
                self.gap_days
            ),
        };
        let kept = if self.verdict == Verdict::Agrees || self.gap_days > 0 {
            ""
        } else {
            " The estimate uses your own temperatures."
        };
        format!("{both} {why}{kept}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    /// Invented: mild days from October to March, a little warmer each month after January.
    fn mild() -> DailySeries {
        let first = date("2026-10-01");
        let mut series = DailySeries::empty(first);
        for day in 0..180 {
            let mean = 7.0 + 3.0 * (f64::from(day) / 30.0).cos();
            series
                .push((mean - 5.0) as f32, (mean + 5.0) as f32)
                .unwrap();
        }
        series
    }

    fn reading(total_c_days: f64) -> DegreeDayReading {
        DegreeDayReading {
            date: date("2027-02-20"),
            start: date("2027-01-01"),
            base_c: 6.111,
            total_c_days,
            method: None,
        }
    }

    fn own(from: &str, base_c: f64) -> f64 {
        let (from, to) = (date(from), date("2027-02-20"));
        sum(&mild(), Method::SingleSine, base_c, from, to, 0.0).unwrap()
    }

    #[test]
    fn another_first_day_base_scale_or_station_is_found() {
        let of = |total: f64| second_opinion(&reading(total), &mild()).unwrap().verdict;
        let base = own("2027-01-01", 6.111);
        assert_eq!(of(base * 1.05), Verdict::Agrees);
        assert_eq!(
            of(own("2026-11-01", 6.111)),
            Verdict::OtherStart(date("2026-11-01"))
        );
        assert!(
            matches!(of(own("2027-01-01", 10.0)), Verdict::OtherBase(c) if (c - 10.0).abs() < 0.1)
                || matches!(of(own("2027-01-01", 10.0)), Verdict::OtherStart(_))
        );
        assert!(
            matches!(of(base * 3.1), Verdict::OtherStation(c) if c > 0.0)
                || matches!(
                    of(base * 3.1),
                    Verdict::OtherBase(_) | Verdict::OtherStart(_)
                )
        );
    }

    #[test]
    fn it_is_told_in_the_readings_own_unit_with_what_to_check() {
        let r = reading(own("2026-11-01", 6.111));
        let told = second_opinion(&r, &mild()).unwrap();
        let words = told.words(&r, 1.8, "°F-days");
        assert!(
            words.contains("°F-days") && words.contains("check the first day"),
            "{words}"
        );
    }

    #[test]
    fn without_temperatures_there_is_nothing_to_compare_and_gaps_are_said() {
        let nothing = DailySeries::empty(date("2026-10-01"));
        assert!(second_opinion(&reading(50.0), &nothing).is_none());
        let half = mild().slice(date("2026-10-01"), date("2027-01-20"));
        let told = second_opinion(&reading(500.0), &half).unwrap();
        assert_eq!(told.verdict, Verdict::CannotTell);
    }
}
