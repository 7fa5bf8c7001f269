//! Degree-day totals read elsewhere pin the heat of days without temperatures.

use chrono::NaiveDate;

use crate::domain::climate::daily::DailySeries;
use crate::domain::climate::hours::HourlyShape;
use crate::domain::phenology::degree_days::{DegreeDays, Method};
use crate::domain::phenology::dormant_year::{DAYS, DormantYear};
use crate::domain::phenology::drivers::Drivers;

/// A total someone else counted: "as of 10 Feb, 95 degree days above 43 °F since 1 Jan".
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DegreeDayReading {
    /// Last day counted.
    pub date: NaiveDate,
    /// First day counted.
    pub start: NaiveDate,
    /// Base, °C.
    pub base_c: f64,
    /// Total, degree days in °C.
    pub total_c_days: f64,
    /// How it was counted; the single sine where nobody said.
    pub method: Option<Method>,
}

/// A reading whose days are not all known from temperatures.
#[derive(Debug)]
struct Anchor {
    from: NaiveDate,
    to: NaiveDate,
    sum: DegreeDays,
    total_c_days: f64,
}

/// The readings that add something, with what is observed.
#[derive(Debug)]
pub(super) struct Anchors {
    year: DormantYear,
    observed: DailySeries,
    readings: Vec<Anchor>,
}

/// No shift beyond this, °C: a reading further off is of another place.
const LARGEST_SHIFT_C: f64 = 8.0;
/// Halvings of the shift: finer than a thermometer.
const HALVINGS: usize = 14;

impl Anchors {
    /// `None` when no reading adds anything to the temperatures.
    pub(super) fn new(
        year: DormantYear,
        observed: &DailySeries,
        today: NaiveDate,
        readings: &[DegreeDayReading],
    ) -> Option<Self> {
        let observed = observed.slice(year.first(), today);
        let mut anchors: Vec<Anchor> = readings
            .iter()
            .filter(|r| r.total_c_days.is_finite() && r.total_c_days >= 0.0 && r.start <= r.date)
            .filter(|r| {
                r.start
                    .iter_days()
                    .take_while(|d| *d <= r.date)
                    .any(|d| observed.day(d).is_none())
            })
            .filter_map(|r| {
                let sum =
                    DegreeDays::above(r.method.unwrap_or(Method::SingleSine), r.base_c).ok()?;
                Some(Anchor {
                    from: r.start,
                    to: r.date,
                    sum,
                    total_c_days: r.total_c_days,
                })
            })
            .collect();
        anchors.sort_by_key(|a| a.to);
        (!anchors.is_empty()).then_some(Self {
            year,
            observed,
            readings: anchors,
        })
    }

    /// A season from what is observed, the other season elsewhere, the latter shifted on the days
    /// of each reading until the reading comes out. Days after the last reading keep half of the
    /// last shift for a month: a mild winter rarely ends on the day of the reading.
    pub(super) fn complete(&self, other: &DailySeries, shape: &HourlyShape) -> Drivers {
        let mut season = other.slice(self.year.first(), self.year.date(DAYS));
        season.merge(&self.observed);
        let mut done: Option<NaiveDate> = None;
        let mut last_shift_c = 0.0;
        for anchor in &self.readings {
            let from = done.map_or(anchor.from, |d| {
                anchor.from.max(d + chrono::TimeDelta::days(1))
            });
            let (mut low, mut high) = (-LARGEST_SHIFT_C, LARGEST_SHIFT_C);
            for _ in 0..HALVINGS {
                let middle = f64::midpoint(low, high);
                let trial = self.shifted(&season, from, anchor.to, middle);
                let total = anchor
                    .sum
                    .running(&trial, anchor.from, anchor.to)
                    .last()
                    .map_or(0.0, |d| d.total);
                if total < anchor.total_c_days {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            last_shift_c = f64::midpoint(low, high);
            season = self.shifted(&season, from, anchor.to, last_shift_c);
            done = Some(anchor.to);
        }
        if let Some(last) = done {
            let month_on = last + chrono::TimeDelta::days(30);
            season = self.shifted(
                &season,
                last + chrono::TimeDelta::days(1),
                month_on,
                last_shift_c / 2.0,
            );
        }
        Drivers::new(self.year, &season, shape, None)
    }

    /// The season with unobserved days of a stretch shifted.
    fn shifted(
        &self,
        season: &DailySeries,
        from: NaiveDate,
        to: NaiveDate,
        shift_c: f64,
    ) -> DailySeries {
        let move_one = |values: &[f32]| -> Vec<f32> {
            values
                .iter()
                .zip(season.first().iter_days())
                .map(|(&v, date)| {
                    let free = date >= from && date <= to && self.observed.day(date).is_none();
                    if free { v + shift_c as f32 } else { v }
                })
                .collect()
        };
        DailySeries::new(
            season.first(),
            move_one(season.tmin_c()),
            move_one(season.tmax_c()),
        )
        .unwrap_or_else(|_| season.clone())
    }
}
