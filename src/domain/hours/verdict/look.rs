//! One limit looked at in one hour.

use std::ops::Range;

use super::super::air::{Air, Bark, CALM_MS, Inversion};
use super::super::compass;
use super::super::drying::{self, WETTING_MM};
use super::super::limits::{Limit, Limits, Look, Weight};
use super::super::weather::HourWeather;
use super::{Finding, Unknown};

/// Height of the sun's centre under which it is dark enough to stop: civil twilight, degrees.
const DARK_DEG: f64 = -6.0;
/// Height of the sun's centre at rising and setting, degrees.
const HORIZON_DEG: f64 = -0.8333;
/// Hours before in which frost leaves wood frozen: common practice, no source.
const FROZEN_FOR_H: usize = 3;

type Found = Option<(Finding, Weight)>;

pub(super) fn look(
    air: &Air,
    limits: &Limits,
    limit: Limit,
    (hour, weather): (usize, &HourWeather),
) -> Found {
    let at = At { limit, hour };
    match limit.look {
        Look::AirBelow(least) => at.value(weather.temp_c, Unknown::Temperature, |t| t < least),
        Look::AirAbove(most) => at.value(weather.temp_c, Unknown::Temperature, |t| t > most),
        Look::ColdAfter {
            from_h,
            to_h,
            below_c,
        } => at.cold(air, hour + 1 + from_h..hour + 1 + to_h, below_c),
        Look::ColdBefore {
            from_h,
            to_h,
            below_c,
        } => at
            .cold(
                air,
                hour.saturating_sub(to_h)..hour.saturating_sub(from_h),
                below_c,
            )
            .or_else(|| {
                (hour < to_h)
                    .then(|| at.unknown(Unknown::TemperatureAround))
                    .flatten()
            }),
        Look::RainAfter(hours) => at.rain(air, hour..hour + 1 + hours),
        Look::RainBefore(hours) => at.rain(air, hour.saturating_sub(hours)..hour).or_else(|| {
            (hour < hours)
                .then(|| at.unknown(Unknown::RainAround))
                .flatten()
        }),
        Look::RainChance { hours, from_pct } => air
            .greatest_rain_chance(&(hour..hour + 1 + hours))
            .filter(|(_, chance)| *chance >= from_pct)
            .and_then(|(when, chance)| at.missed(chance, when)),
        Look::WindAbove(most) => at.value(weather.wind_ms, Unknown::Wind, |w| w > most),
        Look::WindBelow(least) => at.value(weather.wind_ms, Unknown::Wind, |w| w < least),
        // In a calm the direction means nothing: the limit on calm speaks then.
        Look::WindFrom(_) if weather.wind_ms < CALM_MS => None,
        Look::WindFrom(set) => at.value(weather.wind_from_deg, Unknown::WindDirection, |d| {
            compass::holds(set, d)
        }),
        // Most hours have no gust to report: silence is not ignorance.
        Look::GustAbove(most) => (weather.gust_ms > most)
            .then(|| at.missed(weather.gust_ms, hour))
            .flatten(),
        Look::LayeredAir => match air.inversion(hour) {
            Inversion::No => None,
            Inversion::Likely => at.missed(weather.wind_ms, hour),
            Inversion::Possible => at.open(weather.wind_ms, hour),
            Inversion::Unknown => at.unknown(Unknown::Wind),
        },
        Look::HumidityAbove(most) => at.value(weather.rh_pct, Unknown::Humidity, |h| h > most),
        Look::DepressionBelow(least) => air
            .depression_c(hour)
            .filter(|d| *d < least)
            .and_then(|d| at.missed(d, hour)),
        Look::DepressionAbove(most) => air
            .depression_c(hour)
            .filter(|d| *d > most)
            .and_then(|d| at.missed(d, hour)),
        Look::WetBark => match air.bark(hour) {
            Bark::Dry => None,
            Bark::Wet(mm) => at.missed(mm, hour),
            Bark::MaybeWet(mm) => at.open(mm, hour),
            // Dew is judged from humidity alone: it dims the hour, a look at the trees decides.
            Bark::Dew(_) => at.open(0.0, hour),
            Bark::Unknown => at.unknown(Unknown::Bark),
        },
        Look::FrozenWood => at.frozen(air, weather.temp_c),
        Look::DriesTooLate => at.dries(air),
        Look::Dark => match air.sun_deg(hour) {
            None => at.unknown(Unknown::Sun),
            Some(sun) if sun >= HORIZON_DEG => None,
            Some(sun) if sun >= DARK_DEG || air.settings().works_in_the_dark => at.open(sun, hour),
            Some(sun) => at.missed(sun, hour),
        },
        Look::OwnTime => (!limits.own_time.holds(air.local(hour)))
            .then(|| at.missed(f64::NAN, hour))
            .flatten(),
        Look::NotThisYear => (air.provenance(hour)
            == Some(crate::domain::climate::hourly_series::Provenance::Typical))
        .then(|| at.missed(f64::NAN, hour))
        .flatten(),
    }
}

/// Water freezes at 0 °C, not only below it.
fn is_frost(temp_c: f64) -> bool {
    temp_c <= 0.0
}

/// Is it under a limit, or at one that is the freezing point?
fn is_colder(temp_c: f64, below_c: f64) -> bool {
    temp_c < below_c || (below_c == 0.0 && is_frost(temp_c))
}

/// A limit in an hour.
#[derive(Clone, Copy)]
struct At {
    limit: Limit,
    hour: usize,
}

impl At {
    #[allow(clippy::unnecessary_wraps)]
    fn missed(self, value: f64, hour: usize) -> Found {
        Some((Finding::Missed { value, hour }, self.limit.weight))
    }

    /// An estimate that leaves it open makes the hour doubtful at most.
    #[allow(clippy::unnecessary_wraps)]
    fn open(self, value: f64, hour: usize) -> Found {
        Some((
            Finding::Open { value, hour },
            self.limit.weight.min(Weight::Doubt),
        ))
    }

    /// What is not known makes an hour doubtful where it could have been more than advice.
    fn unknown(self, what: Unknown) -> Found {
        (self.limit.weight >= Weight::Doubt).then_some((Finding::Unknown(what), Weight::Doubt))
    }

    fn value(self, value: f64, unknown: Unknown, is_missed: impl Fn(f64) -> bool) -> Found {
        if !value.is_finite() {
            self.unknown(unknown)
        } else if is_missed(value) {
            self.missed(value, self.hour)
        } else {
            None
        }
    }

    fn cold(self, air: &Air, run: Range<usize>, below_c: f64) -> Found {
        if run.is_empty() {
            return None;
        }
        let (coldest, missing) = air.coldest(&run);
        match coldest {
            Some((when, temp)) if is_colder(temp, below_c) => self.missed(temp, when),
            _ if missing > 0 => self.unknown(Unknown::TemperatureAround),
            _ => None,
        }
    }

    fn rain(self, air: &Air, run: Range<usize>) -> Found {
        let (rain, missing) = air.rain_over(&run);
        let first = || {
            run.clone()
                .find(|&i| air.rain_mm(i).is_some_and(|mm| mm > 0.0))
                .unwrap_or(run.start)
        };
        if rain >= WETTING_MM {
            self.missed(rain, first())
        } else if missing > 0 {
            self.unknown(Unknown::RainAround)
        } else if rain > 0.0 {
            self.open(rain, first())
        } else {
            None
        }
    }

    fn frozen(self, air: &Air, now: f64) -> Found {
        let run = self.hour.saturating_sub(FROZEN_FOR_H)..self.hour + 1;
        if !now.is_finite() {
            return self.unknown(Unknown::Temperature);
        }
        if is_frost(now) {
            return self.missed(now, self.hour);
        }
        match air.coldest(&run) {
            (Some((when, temp)), _) if is_frost(temp) => self.open(temp, when),
            _ => None,
        }
    }

    /// A film must be dry before frost: certain if even the thinnest is caught.
    fn dries(self, air: &Air) -> Found {
        let drying = air.drying_from(self.hour + 1);
        let ahead = |hours: f64| self.hour + 1..self.hour + 1 + (hours.ceil() as usize).max(1);
        let frost_by = |hours: f64| {
            let (coldest, _) = air.coldest(&ahead(hours));
            coldest.filter(|(_, t)| is_frost(*t))
        };
        let Some(soonest) = drying.soonest_h else {
            return match drying.stopped {
                // Rain is told by the limits on rain; here only that it does not dry first.
                Some(drying::Stopped::Rain(when)) => self.missed(f64::INFINITY, when),
                _ => self.unknown(Unknown::Drying),
            };
        };
        if let Some((when, _)) = frost_by(soonest) {
            return self.missed(soonest, when);
        }
        match drying.latest_h {
            Some(latest) => frost_by(latest).and_then(|(when, _)| self.open(latest, when)),
            None => match drying.stopped {
                Some(drying::Stopped::Rain(when)) => self.open(f64::INFINITY, when),
                _ => self.unknown(Unknown::Drying),
            },
        }
    }
}
