//! What drives the buds day by day in one dormant year: chill, heat by every curve, day length.

use chrono::{Days, NaiveDate};

use super::chill::FastDynamicModel;
use super::dormant_year::{DAYS, DormantYear};
use super::rates::{Rate, daily_means};
use crate::domain::climate::daily::DailySeries;
use crate::domain::climate::hours::HourlyShape;

/// Gaps up to this many days are bridged by a straight line between their neighbours.
const BRIDGED_DAYS: usize = 7;
/// Days before which nothing known is needed: buds count hardly anything before it (1 November).
const MATTERS_FROM: usize = 61;

/// Chill and heat of each day of one dormant year.
#[derive(Debug, Clone)]
pub struct Drivers {
    year: DormantYear,
    known: Vec<bool>,
    chill_portions: Vec<f32>,
    heat: Vec<[f32; Rate::ALL.len()]>,
}

impl Drivers {
    /// From daily extremes; days after `until` are taken as unknown, and so is everything their
    /// temperatures would have touched.
    pub fn new(
        year: DormantYear,
        temperatures: &DailySeries,
        shape: &HourlyShape,
        until: Option<NaiveDate>,
    ) -> Self {
        let lead_in = year
            .first()
            .checked_sub_days(Days::new(1))
            .unwrap_or(year.first());
        let full_end = year.date(DAYS);
        let end = until.map_or(full_end, |until| until.min(full_end));
        let mut part = temperatures.slice(lead_in, end);
        part.fill_short_gaps(BRIDGED_DAYS);
        let hours_c = shape.series(&part);
        let (per_day, _) = hours_c.as_chunks::<24>();
        let mut known = vec![false; DAYS];
        let mut chill_portions = vec![0.0; DAYS];
        let mut heat = vec![[0.0; Rate::ALL.len()]; DAYS];
        let offset = year.day_of(part.first());
        let mut dynamic = FastDynamicModel::new();
        for (day, hours) in (offset..).zip(per_day) {
            let Ok(day) = usize::try_from(day) else {
                continue;
            };
            if day >= DAYS || hours.iter().any(|t| t.is_nan()) {
                continue;
            }
            known[day] = true;
            chill_portions[day] = hours
                .iter()
                .map(|&t| dynamic.step(f64::from(t)))
                .sum::<f64>() as f32;
            heat[day] = daily_means(hours);
        }
        Self {
            year,
            known,
            chill_portions,
            heat,
        }
    }

    /// The dormant year.
    pub const fn year(&self) -> DormantYear {
        self.year
    }

    /// Chill portions of each day.
    pub fn chill_portions(&self) -> &[f32] {
        &self.chill_portions
    }

    /// Heat of each day by every curve, mean per hour.
    pub fn heat(&self) -> &[[f32; Rate::ALL.len()]] {
        &self.heat
    }

    /// Whether a day's temperatures are known.
    pub fn knows(&self, day: usize) -> bool {
        self.known.get(day).copied().unwrap_or(false)
    }

    /// First day from which nothing more is known.
    pub fn known_until(&self) -> usize {
        self.known
            .iter()
            .rposition(|&k| k)
            .map_or(0, |last| last + 1)
    }

    /// Unknown days between autumn and `day`.
    pub fn missing_before(&self, day: usize) -> usize {
        self.known
            .iter()
            .take(day)
            .skip(MATTERS_FROM)
            .filter(|k| !**k)
            .count()
    }

    /// This year with its unknown days taken from another year on the same day of the dormant
    /// year. Days unknown in both stay empty.
    #[must_use]
    pub fn completed_with(&self, other: &Self) -> Self {
        let mut joined = self.clone();
        for day in 0..DAYS {
            if !self.known[day] && other.known[day] {
                joined.known[day] = true;
                joined.chill_portions[day] = other.chill_portions[day];
                joined.heat[day] = other.heat[day];
            }
        }
        joined
    }

    /// This year joined with a forecast (this year again, known further) and another year for the
    /// rest. The forecast is believed fully for `sure_days` after `today` and then less each day,
    /// until it says no more than the other year after `last_days`.
    #[must_use]
    pub fn blended_with(
        &self,
        forecast: &Self,
        other: &Self,
        today: usize,
        sure_days: f32,
        last_days: f32,
    ) -> Self {
        let mut joined = self.completed_with(other);
        for day in today..DAYS {
            if self.known[day] || !forecast.known[day] {
                continue;
            }
            let lead = (day - today) as f32;
            let trust = ((last_days - lead) / (last_days - sure_days)).clamp(0.0, 1.0);
            let mix = |a: f32, b: f32| trust.mul_add(a - b, b);
            joined.known[day] = true;
            joined.chill_portions[day] =
                mix(forecast.chill_portions[day], joined.chill_portions[day]);
            for (slot, &f) in joined.heat[day].iter_mut().zip(&forecast.heat[day]) {
                *slot = mix(f, *slot);
            }
        }
        joined
    }
}
