//! Everything about the hours of one place that does not depend on a task, worked out once.

mod bark;
mod film;
mod inversion;
mod ranges;

use std::ops::Range;

use chrono::{DateTime, Datelike, NaiveDateTime, Timelike, Utc};

use super::drying::{self, Drying};
use super::humidity;
use super::sky;
use super::weather::HourWeather;
use crate::domain::climate::hourly_series::{HourlySeries, Provenance};
use crate::domain::season::Orchard;
use crate::domain::units::Length;
use crate::domain::zone::Zone;
use ranges::{RunMinima, RunSums};

pub use bark::{Bark, DEW_HUMIDITY_PCT};
pub use film::Evaporation;
pub use inversion::{CALM_MS, Inversion};

/// Depths of water in mm: the least, the likely and the most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Depth {
    /// Least, mm.
    pub least_mm: f64,
    /// Likely, mm.
    pub likely_mm: f64,
    /// Most, mm.
    pub most_mm: f64,
}

/// What a grower may set about drying and working; the defaults say where they come from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Water left on bark by a dilute spray. Default 0.05–0.1–0.2 mm: what leaves hold, about
    /// 0.2 mm for both sides (Dickinson 1984, from memory), taken for twigs.
    pub film: Depth,
    /// Water bark holds after rain. Default 0.2–0.4–0.8 mm: common practice, no source; bark
    /// takes some hours of drying weather after rain.
    pub bark: Depth,
    /// Does the grower spray in the dark? Then darkness is doubtful instead of unfit.
    pub works_in_the_dark: bool,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            film: Depth {
                least_mm: 0.05,
                likely_mm: 0.1,
                most_mm: 0.2,
            },
            bark: Depth {
                least_mm: 0.2,
                likely_mm: 0.4,
                most_mm: 0.8,
            },
            works_in_the_dark: false,
        }
    }
}

impl Settings {
    /// As the season file says. The range about a film depth of the owner's is a factor of two
    /// either way, as about the published one.
    pub fn of(orchard: &Orchard) -> Self {
        let usual = Self::default();
        Self {
            film: orchard.film_depth.map_or(usual.film, |depth| {
                let likely_mm = depth.m() * 1000.0;
                Depth {
                    least_mm: likely_mm / 2.0,
                    likely_mm,
                    most_mm: likely_mm * 2.0,
                }
            }),
            works_in_the_dark: orchard.works_in_the_dark,
            ..usual
        }
    }
}

/// Where the hours are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Site {
    /// Degrees north.
    pub latitude: f64,
    /// Degrees east.
    pub longitude: f64,
    /// Height above the sea, m.
    pub elevation_m: f64,
    /// Time zone.
    pub zone: Zone,
}

impl Site {
    /// The place of an orchard; without a height, the sea's.
    pub fn of(orchard: &Orchard) -> Self {
        Self {
            latitude: orchard.latitude,
            longitude: orchard.longitude,
            elevation_m: orchard.elevation.map_or(0.0, Length::m),
            zone: orchard.time_zone,
        }
    }
}

/// The hours of one place with everything derived from them.
///
/// Months lie behind and days ahead: what only judging wants is kept for the hours that are
/// judged, and worked out where somebody asks about an hour before them.
#[derive(Debug, Clone)]
pub struct Air {
    series: HourlySeries,
    site: Site,
    settings: Settings,
    local: Vec<NaiveDateTime>,
    evaporation: Vec<Evaporation>,
    bark: Vec<Bark>,
    rain: RunSums,
    sun_deg: Judged<f64>,
    depression_c: Judged<f64>,
    drying: Judged<Drying>,
    inversion: Judged<Inversion>,
    least_temp: RunMinima,
    /// Negated, so that the least is the greatest chance.
    rain_chance: RunMinima,
}

/// Values of the hours from one on.
#[derive(Debug, Clone)]
struct Judged<T> {
    first: usize,
    values: Vec<T>,
}

impl<T: Copy> Judged<T> {
    fn get(&self, index: usize) -> Option<T> {
        self.values.get(index.checked_sub(self.first)?).copied()
    }
}

impl Air {
    /// Works everything out for the hours of a place.
    pub fn new(series: HourlySeries, site: Site, settings: Settings) -> Self {
        Self::judged_from(series, site, settings, 0)
    }

    /// The same for hours that are judged from one on: before it the height of the sun, which is
    /// dear to work out, and layers of air are not known.
    pub fn judged_from(series: HourlySeries, site: Site, settings: Settings, first: usize) -> Self {
        let n = series.len();
        let first = first.min(n);
        let start = |i: usize| series.time_at(i).unwrap_or_default();
        let middle = |i: usize| start(i) + chrono::TimeDelta::minutes(30);
        let local: Vec<NaiveDateTime> = (0..n)
            .map(|i| start(i).with_timezone(&site.zone).naive_local())
            .collect();
        let hours = || series.hours().map(|h| HourWeather::from(&h));
        let evaporation: Vec<Evaporation> = hours()
            .enumerate()
            .map(|(i, hour)| {
                let at = middle(i);
                let clock = f64::from(at.hour()) + f64::from(at.minute()) / 60.0;
                let sun = sky::hour_sun(
                    at.ordinal(),
                    clock,
                    site.latitude,
                    site.longitude,
                    site.elevation_m,
                );
                film::hourly(&hour, &sun, site.elevation_m)
            })
            .collect();
        let bark = bark::bark(hours(), &evaporation, settings.bark);
        let judged: Vec<HourWeather> = hours().skip(first).collect();
        let sun_deg: Vec<f64> = (first..n)
            .map(|i| sky::sun_elevation_deg(middle(i), site.latitude, site.longitude))
            .map(|sun| sun.unwrap_or(f64::NAN))
            .collect();
        let depression = |h: &HourWeather| humidity::depression_c(h.temp_c, h.rh_pct);
        let drying = |from| drying::drying(&series, &evaporation, settings.film, from);
        Self {
            depression_c: Judged {
                first,
                values: judged
                    .iter()
                    .map(|h| depression(h).unwrap_or(f64::NAN))
                    .collect(),
            },
            inversion: Judged {
                first,
                values: inversion::inversions(&judged, &sun_deg),
            },
            drying: Judged {
                first,
                values: (first..n).map(drying).collect(),
            },
            sun_deg: Judged {
                first,
                values: sun_deg,
            },
            rain: RunSums::new(hours().map(|h| h.rain_mm)),
            least_temp: RunMinima::new(hours().map(|h| h.temp_c), first),
            rain_chance: RunMinima::new(hours().map(|h| -h.rain_chance_pct), first),
            evaporation,
            bark,
            local,
            series,
            site,
            settings,
        }
    }

    /// The hours themselves.
    pub fn series(&self) -> &HourlySeries {
        &self.series
    }

    /// Where they are.
    pub fn site(&self) -> &Site {
        &self.site
    }

    /// What the grower set.
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// Number of hours.
    pub fn len(&self) -> usize {
        self.series.len()
    }

    /// Whether there is no hour.
    pub fn is_empty(&self) -> bool {
        self.series.is_empty()
    }

    /// The beginning of an hour.
    pub fn at(&self, index: usize) -> DateTime<Utc> {
        self.series.time_at(index).unwrap_or_default()
    }

    /// The beginning of an hour on the orchard's clock; past the end it is counted on.
    pub fn local(&self, index: usize) -> NaiveDateTime {
        self.local.get(index).copied().unwrap_or_else(|| {
            let after = (index + 1).saturating_sub(self.len());
            self.local.last().copied().unwrap_or_default() + chrono::TimeDelta::hours(after as i64)
        })
    }

    /// The weather of an hour.
    pub fn hour(&self, index: usize) -> HourWeather {
        let hour = self.series.get(index);
        hour.map_or(HourWeather::UNKNOWN, |h| HourWeather::from(&h))
    }

    /// Rain of an hour, mm.
    pub fn rain_mm(&self, index: usize) -> Option<f64> {
        finite(self.series.rain_mm(index))
    }

    /// Height of the sun in the middle of the hour, degrees.
    pub fn sun_deg(&self, index: usize) -> Option<f64> {
        finite(self.sun_deg.get(index))
    }

    /// Wet-bulb depression of an hour, °C.
    pub fn depression_c(&self, index: usize) -> Option<f64> {
        let of = |hour: HourWeather| humidity::depression_c(hour.temp_c, hour.rh_pct);
        match self.depression_c.get(index) {
            Some(kept) => finite(Some(kept)),
            None => of(self.hour(index)),
        }
    }

    /// What evaporates from a wet film in an hour.
    pub fn evaporation(&self, index: usize) -> Evaporation {
        self.evaporation
            .get(index)
            .copied()
            .unwrap_or(Evaporation::UNKNOWN)
    }

    /// How long a film takes to dry from the beginning of an hour.
    pub fn drying_from(&self, index: usize) -> Drying {
        self.drying.get(index).unwrap_or_else(|| {
            drying::drying(&self.series, &self.evaporation, self.settings.film, index)
        })
    }

    /// How wet bark is at the beginning of an hour.
    pub fn bark(&self, index: usize) -> Bark {
        self.bark.get(index).copied().unwrap_or(Bark::Unknown)
    }

    /// Whether the air is likely layered in an hour.
    pub fn inversion(&self, index: usize) -> Inversion {
        self.inversion.get(index).unwrap_or(Inversion::Unknown)
    }

    /// Rain over a run of hours in mm, and how many of them say nothing about rain.
    pub fn rain_over(&self, run: &Range<usize>) -> (f64, usize) {
        self.rain.over(run)
    }

    /// The coldest hour of a run and its temperature, and how many hours have none.
    pub fn coldest(&self, run: &Range<usize>) -> (Option<(usize, f64)>, usize) {
        (self.least_temp.over(run), self.least_temp.missing(run))
    }

    /// The greatest chance of rain in a run, %, with its hour; `None` where none was given.
    pub fn greatest_rain_chance(&self, run: &Range<usize>) -> Option<(usize, f64)> {
        self.rain_chance.over(run).map(|(i, c)| (i, -c))
    }

    /// Where the values of an hour come from; `None` where nothing is known.
    pub fn provenance(&self, index: usize) -> Option<Provenance> {
        self.series.provenance(index)
    }

    /// The place of the hour a moment falls into.
    pub fn index_of(&self, at: DateTime<Utc>) -> Option<usize> {
        let hours = (at - self.series.first()).num_seconds().div_euclid(3600);
        usize::try_from(hours).ok().filter(|&i| i < self.len())
    }

    /// The hours of a civil day on the orchard's clock.
    pub fn day(&self, date: chrono::NaiveDate) -> Range<usize> {
        let start = self.local.partition_point(|t| t.date() < date);
        let end = self.local.partition_point(|t| t.date() <= date);
        start..end
    }
}

fn finite(value: Option<f64>) -> Option<f64> {
    value.filter(|v| v.is_finite())
}

#[cfg(test)]
mod tests;
