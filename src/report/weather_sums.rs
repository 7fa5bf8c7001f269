//! Daily and running sums of a weather file: degree days, chill, heat.

use std::fmt;

use chrono::NaiveDate;
use serde::ser::{Serialize, SerializeMap, Serializer};
use thiserror::Error;

use crate::domain::climate::daily::DailySeries;
use crate::domain::climate::hours::{Extremes, HourlyShape};
use crate::domain::climate::temperature::Temperature;
use crate::domain::phenology::chill::{ChillHours, DynamicModel};
use crate::domain::phenology::degree_days::{
    Cutoff, DaySum, DegreeDays, DegreeDaysError, Method, running,
};
use crate::domain::phenology::heat::DegreeHours;
use crate::domain::phenology::hourly_sum::HourlySum;

/// What is summed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sum {
    /// Degree days, given in the degrees of the base.
    DegreeDays {
        /// Lower threshold.
        base: Temperature,
        /// How the day is pictured.
        method: Method,
        /// What happens above the upper threshold.
        cutoff: Cutoff,
        /// Upper threshold.
        upper: Option<Temperature>,
    },
    /// Hours at or below 7.2 °C (45 °F).
    ChillHours,
    /// Utah units.
    Utah,
    /// Chill portions of the Dynamic model.
    Portions,
    /// Growing degree hours by the asymmetric curve.
    Gdh,
    /// Growing degree hours, linear from 4.5 to 25 °C.
    GdhLinear,
}

impl Sum {
    /// Key of the daily value in JSON; the running total has `_total` after it.
    pub const fn key(&self) -> &'static str {
        match self {
            Self::DegreeDays { .. } => "dd",
            Self::ChillHours => "chill_hours",
            Self::Utah => "utah",
            Self::Portions => "portions",
            Self::Gdh => "gdh",
            Self::GdhLinear => "gdh_linear",
        }
    }

    /// Decimals worth showing.
    const fn decimals(&self) -> usize {
        match self {
            Self::ChillHours => 0,
            Self::Utah => 1,
            Self::Portions => 4,
            _ => 2,
        }
    }

    /// The running sum fed by hours; `None` for degree days, which work on extremes.
    fn hourly(&self) -> Option<Box<dyn HourlySum>> {
        match self {
            Self::DegreeDays { .. } => None,
            Self::ChillHours => Some(Box::new(ChillHours::UpTo45F)),
            Self::Utah => Some(Box::new(ChillHours::Utah)),
            Self::Portions => Some(Box::new(DynamicModel::new())),
            Self::Gdh => Some(Box::new(DegreeHours::Curve)),
            Self::GdhLinear => Some(Box::new(DegreeHours::Linear)),
        }
    }
}

impl fmt::Display for Sum {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::DegreeDays {
                base,
                method,
                cutoff,
                upper,
            } => {
                write!(f, "Degree days above {base}, {method}")?;
                upper.map_or(Ok(()), |upper| write!(f, ", {cutoff} cut-off at {upper}"))
            }
            Self::ChillHours => f.write_str("Hours at or below 45F (7.2C)"),
            Self::Utah => f.write_str("Utah chill units"),
            Self::Portions => f.write_str("Chill portions (Dynamic model)"),
            Self::Gdh => f.write_str("Growing degree hours, curve from 4 over 25 to 36C"),
            Self::GdhLinear => f.write_str("Growing degree hours, linear from 4.5 to 25C"),
        }
    }
}

/// What to sum, over which days, where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SumsRequest {
    /// What is summed.
    pub sum: Sum,
    /// First day; the first of the file if none.
    pub from: Option<NaiveDate>,
    /// Last day; the last of the file if none.
    pub to: Option<NaiveDate>,
    /// Latitude in degrees (south negative): every sum but degree days needs day length.
    pub latitude_deg: Option<f64>,
}

/// Why there is no table.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum SumsError {
    /// Hourly sums need day length.
    #[error(
        "this sum needs hourly temperatures, and these need the latitude, for example 43.1 (south negative)"
    )]
    NoLatitude,
    /// Not a latitude.
    #[error("latitude {0} lies outside -90 to 90")]
    Latitude(f64),
    /// The last day comes before the first.
    #[error("the last day {to} comes before the first day {from}")]
    Reversed {
        /// First day asked for.
        from: NaiveDate,
        /// Last day asked for.
        to: NaiveDate,
    },
    /// The temperatures do not reach into the days asked for.
    #[error("there are no temperatures from {from} to {to}; the file covers {first} to {last}")]
    Outside {
        /// First day asked for.
        from: NaiveDate,
        /// Last day asked for.
        to: NaiveDate,
        /// First day covered.
        first: NaiveDate,
        /// Last day covered.
        last: NaiveDate,
    },
    /// There is no day at all.
    #[error("there are no temperatures")]
    Empty,
    /// The thresholds make no sense.
    #[error(transparent)]
    DegreeDays(#[from] DegreeDaysError),
}

/// Daily values and running totals, ready to be shown.
#[derive(Debug, Clone, PartialEq)]
pub struct SumsTable {
    sum: Sum,
    days: Vec<DaySum>,
}

/// Works out a sum over daily temperatures.
///
/// # Errors
/// When the days lie outside the temperatures, thresholds make no sense, or a latitude is needed.
pub fn weather_sums(daily: &DailySeries, request: &SumsRequest) -> Result<SumsTable, SumsError> {
    let (first, last) = (daily.first(), daily.last().ok_or(SumsError::Empty)?);
    let (from, to) = (request.from.unwrap_or(first), request.to.unwrap_or(last));
    if request.from.is_some() && request.to.is_some() && to < from {
        return Err(SumsError::Reversed { from, to });
    }
    if to < first || from > last {
        return Err(SumsError::Outside {
            from,
            to,
            first,
            last,
        });
    }
    let (from, to) = (from.max(first), to.min(last));
    let days = match request.sum {
        Sum::DegreeDays {
            base,
            method,
            cutoff,
            upper,
        } => {
            let rule = DegreeDays::new(
                method,
                base.celsius(),
                upper.map(Temperature::celsius),
                cutoff,
            )?;
            let per_celsius = base.scale().degrees_per_celsius();
            let mut days = rule.running(daily, from, to);
            for day in &mut days {
                day.value = day.value.map(|value| value * per_celsius);
                day.total *= per_celsius;
            }
            days
        }
        sum => {
            let latitude_deg = request.latitude_deg.ok_or(SumsError::NoLatitude)?;
            if !(-90.0..=90.0).contains(&latitude_deg) {
                return Err(SumsError::Latitude(latitude_deg));
            }
            let hourly = sum.hourly();
            running(
                from,
                hourly.map_or_else(Vec::new, |sum| {
                    by_hours(daily, (from, to), latitude_deg, sum)
                }),
            )
        }
    };
    Ok(SumsTable {
        sum: request.sum,
        days,
    })
}

/// What each day adds, by its 24 hours at full precision; neighbours outside the days asked for
/// still shape the first and last night. NaN where the day is missing.
fn by_hours(
    daily: &DailySeries,
    (from, to): (NaiveDate, NaiveDate),
    latitude_deg: f64,
    mut sum: Box<dyn HourlySum>,
) -> Vec<f64> {
    let shape = HourlyShape::new(latitude_deg);
    let extremes = |date: Option<NaiveDate>| {
        let (tmin_c, tmax_c) = daily.day(date?)?;
        Some(Extremes { tmin_c, tmax_c })
    };
    from.iter_days()
        .take_while(|date| *date <= to)
        .map(|date| {
            extremes(Some(date)).map_or(f64::NAN, |today| {
                let (before, after) = (extremes(date.pred_opt()), extremes(date.succ_opt()));
                let hours = shape.day(chrono::Datelike::ordinal(&date), before, today, after);
                hours.iter().map(|&temp_c| sum.step(temp_c)).sum()
            })
        })
        .collect()
}

impl SumsTable {
    /// Days with their value and running total.
    pub fn days(&self) -> &[DaySum] {
        &self.days
    }

    /// Days left out of the total because their temperatures are missing.
    pub fn days_missing(&self) -> usize {
        self.days.iter().filter(|day| day.value.is_none()).count()
    }

    /// `{"base":"43F","days":[{"date":"2024-03-01","dd":10.26,"dd_total":10.26}]}`: keys named after
    /// the sum, `base` for degree days only, `null` for a missing day.
    pub fn json(&self) -> String {
        // Strings, numbers and null only: nothing here can fail to be written.
        serde_json::to_string(self).unwrap_or_default()
    }

    /// A table for reading, with what was summed above it and what is missing below.
    pub fn text(&self) -> String {
        let decimals = self.sum.decimals();
        let shown = |value: f64| format!("{:.decimals$}", rounded(value, decimals));
        let mut lines = vec![
            self.sum.to_string(),
            String::new(),
            format!("{:<10} {:>10} {:>10}", "date", "day", "total"),
        ];
        lines.extend(self.days.iter().map(|day| {
            let value = day.value.map_or_else(|| "missing".to_string(), shown);
            format!("{} {value:>10} {:>10}", day.date, shown(day.total))
        }));
        let missing = self.days_missing();
        if missing > 0 {
            lines.push(String::new());
            lines.push(format!(
                "{missing} days are missing and not in the total, which is therefore too low."
            ));
        }
        lines.push(String::new());
        lines.join("\n")
    }
}

/// Rounded for showing, without a negative zero.
fn rounded(value: f64, decimals: usize) -> f64 {
    let steps = [1.0, 10.0, 100.0, 1e3, 1e4]
        .get(decimals)
        .copied()
        .unwrap_or(1e4);
    (value * steps).round() / steps + 0.0
}

/// One day in JSON: its keys hang on the sum.
struct DayJson<'a>(&'a DaySum, &'a Sum);

impl Serialize for DayJson<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Self(day, sum) = self;
        let decimals = sum.decimals();
        let mut map = serializer.serialize_map(Some(3))?;
        map.serialize_entry("date", &day.date)?;
        map.serialize_entry(sum.key(), &day.value.map(|value| rounded(value, decimals)))?;
        map.serialize_entry(
            &format!("{}_total", sum.key()),
            &rounded(day.total, decimals),
        )?;
        map.end()
    }
}

impl Serialize for SumsTable {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(None)?;
        if let Sum::DegreeDays { base, .. } = self.sum {
            map.serialize_entry("base", &base.to_string())?;
        }
        let days: Vec<DayJson<'_>> = self
            .days
            .iter()
            .map(|day| DayJson(day, &self.sum))
            .collect();
        map.serialize_entry("days", &days)?;
        map.end()
    }
}

#[cfg(test)]
mod tests;
