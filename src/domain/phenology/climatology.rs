//! The weather of a place: its past dormant years, and every way this one may still go.

mod anchored;
mod carry_over;
mod chart;

use std::collections::BTreeMap;
use std::sync::OnceLock;

use chrono::NaiveDate;

use super::calibrate::{Crossings, Curves};
use super::dormant_year::{DAYS, DormantYear};
use super::drivers::Drivers;
use super::normals::{MonthlyNormals, invent_seasons};
use super::rates::Rate;
use crate::domain::climate::daily::DailySeries;
use crate::domain::climate::hours::HourlyShape;

pub use anchored::DegreeDayReading;
pub use carry_over::{carry_over, last_warmth_c};
pub use chart::HeatCurve;

/// A past dormant year.
#[derive(Debug)]
pub struct PastYear {
    drivers: Drivers,
    /// Worked out when somebody asks: only dates seen in that spring do.
    went: OnceLock<Curves>,
}

impl PastYear {
    /// How that year went.
    pub fn went(&self) -> &Curves {
        self.went.get_or_init(|| Curves::new(&self.drivers))
    }
}

/// Past weather of a place, worked out once per weather file: the costly part of an estimate.
#[derive(Debug)]
pub struct Climatology {
    latitude_deg: f64,
    shape: HourlyShape,
    observed: DailySeries,
    past: BTreeMap<i32, PastYear>,
}

/// Unknown days that a season may have and still count as known.
const FORGIVEN_DAYS: usize = 3;
/// Day up to which a season must be known to lend its weather (mid June in the north).
const NEEDED_UNTIL: usize = 280;
/// Past years below which invented seasons are added.
const ENOUGH_YEARS: usize = 10;
/// Members after inventing.
const FILLED_TO: usize = 30;
/// Fully believed days of a forecast, and the day by which it says nothing more (common practice,
/// no source: daily forecasts lose their skill in about two weeks).
const FORECAST_DAYS: (f32, f32) = (4.0, 14.0);

/// What is known about the weather of the season in question.
#[derive(Debug, Clone, Copy)]
pub struct SeasonFacts<'a> {
    /// Leaf drop, which names the dormant year.
    pub leaf_drop: NaiveDate,
    /// Temperatures after this day are not believed to be observed.
    pub today: NaiveDate,
    /// Forecast of daily extremes.
    pub forecast: Option<&'a DailySeries>,
    /// Monthly normals, for places with little weather on record.
    pub normals: Option<&'a MonthlyNormals>,
    /// Degree-day totals read elsewhere.
    pub readings: &'a [DegreeDayReading],
}

/// Years over which past weather loses half its weight: winters have warmed, and hindcasts on all
/// records favour this over none and over thirty.
pub const WEATHER_HALF_LIFE_YEARS: f64 = 15.0;

/// Weight of one year's weather as a guide to another's.
pub fn likeness(year: i32, wanted: i32, half_life_years: f64) -> f64 {
    0.5f64.powf(f64::from((year - wanted).abs()) / half_life_years)
}

/// One way the season may go.
#[derive(Debug)]
pub struct Member {
    /// Weight among the members: weather of near years counts for more.
    pub weight: f64,
    /// How much warmer (°C) this season's last weeks were than those of the year that lends the
    /// rest; `None` where it lends nothing or that is not known.
    pub warmer_c: Option<f64>,
    /// Days at which the models reach each of the requirements asked for. Kept in place of the
    /// curves they are read from, which take three hundred times as much.
    pub crossings: Vec<Crossings>,
    /// Chill portions gathered by the start of each day.
    pub chill: Vec<f32>,
    /// Growing degree hours above 4.7 °C by the start of each day, as a daily mean per hour.
    pub heat: Vec<f32>,
}

impl Member {
    fn new(
        drivers: &Drivers,
        weight: f64,
        warmer_c: Option<f64>,
        crossings: Vec<Crossings>,
    ) -> Self {
        let running = |values: &mut dyn Iterator<Item = f32>| {
            let mut sum = 0.0;
            let mut out = Vec::with_capacity(DAYS + 1);
            out.push(0.0);
            out.extend(values.map(|v| {
                sum += v;
                sum
            }));
            out
        };
        let heat = Rate::UncappedAbove4_7.index();
        Self {
            weight,
            warmer_c,
            crossings,
            chill: running(&mut drivers.chill_portions().iter().copied()),
            heat: running(&mut drivers.heat().iter().map(|h| h[heat])),
        }
    }
}

/// Where the members' weather comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// Past years of this place.
    PastYears,
    /// Monthly normals that were given.
    Normals,
    /// Normals made from the few years on record.
    FewYears,
    /// Nothing but the latitude.
    Latitude,
}

/// This season: what is known of it, and its members.
#[derive(Debug)]
pub struct SeasonAhead {
    /// The dormant year.
    pub year: DormantYear,
    /// Day of it on which `today` falls, within it.
    pub today: usize,
    /// The ways it may go.
    pub members: Vec<Member>,
    /// Members that are past years.
    pub past_years: usize,
    /// Where the rest comes from.
    pub source: Source,
    /// Last day with observed temperatures.
    pub data_through: Option<NaiveDate>,
    /// Unknown days between autumn and the last observed day.
    pub gap_days: usize,
    /// Days of forecast used.
    pub forecast_days: usize,
    /// Chill portions by the end of the last observed day.
    pub chill_so_far: f32,
    /// Sum of heat for the chart.
    pub chart: HeatCurve,
}

fn within_the_globe(latitude_deg: f64) -> f64 {
    if latitude_deg.is_finite() {
        latitude_deg.clamp(-90.0, 90.0)
    } else {
        45.0
    }
}

impl Climatology {
    /// Works out every complete dormant year of a record (degrees of latitude, south negative).
    /// About 2 ms a year.
    pub fn prepare(latitude_deg: f64, observed: &DailySeries) -> Self {
        let latitude_deg = within_the_globe(latitude_deg);
        let shape = HourlyShape::new(latitude_deg);
        let mut past = BTreeMap::new();
        if let Some(last) = observed.last() {
            let from = DormantYear::containing(observed.first(), latitude_deg).spring_year();
            let to = DormantYear::containing(last, latitude_deg).spring_year();
            for spring in from..=to {
                let year = DormantYear::of_spring(spring, latitude_deg);
                let drivers = Drivers::new(year, observed, &shape, None);
                if drivers.missing_before(NEEDED_UNTIL) <= FORGIVEN_DAYS {
                    let went = OnceLock::new();
                    past.insert(spring, PastYear { drivers, went });
                }
            }
        }
        Self {
            latitude_deg,
            shape,
            observed: observed.clone(),
            past,
        }
    }

    /// Latitude, degrees.
    pub const fn latitude_deg(&self) -> f64 {
        self.latitude_deg
    }

    /// Was it worked out for this latitude (degrees)?
    pub fn is_at(&self, latitude_deg: f64) -> bool {
        within_the_globe(latitude_deg).to_bits() == self.latitude_deg.to_bits()
    }

    /// Lets the curves of past springs go, which are run again where somebody asks.
    pub fn rest(&mut self) {
        for year in self.past.values_mut() {
            year.went = OnceLock::new();
        }
    }

    /// A complete past dormant year by the year of its spring.
    pub fn past_year(&self, spring_year: i32) -> Option<&PastYear> {
        self.past.get(&spring_year)
    }

    /// Lays out the season in question: what is known up to `today`, and how it may go on with
    /// regard to some requirements of the models. Cheap next to [`Climatology::prepare`].
    pub fn season(&self, facts: &SeasonFacts<'_>, requirements: &[&[f64]]) -> SeasonAhead {
        let year = DormantYear::after_leaf_drop(facts.leaf_drop, self.latitude_deg);
        let today = usize::try_from(year.day_of(facts.today))
            .unwrap_or(0)
            .min(DAYS - 1);
        let now = Drivers::new(year, &self.observed, &self.shape, Some(facts.today));
        let known = now.known_until();
        let forecast = facts.forecast.map(|forecast| {
            let mut joined = forecast.clone();
            joined.merge(&self.observed.slice(year.first(), facts.today));
            Drivers::new(year, &joined, &self.shape, None)
        });
        let forecast_days = forecast
            .as_ref()
            .map_or(0, |f| (known..DAYS).filter(|&d| f.knows(d)).count());
        let (others, past_years, source) = self.others(year, facts.normals);
        let anchors = anchored::Anchors::new(year, &self.observed, facts.today, facts.readings);
        let mine_c = last_warmth_c(&self.observed, year, known);
        let mut curves = Curves::default();
        let members: Vec<Member> = others
            .iter()
            .map(|other| {
                let whole = match (&forecast, anchors.as_ref()) {
                    (_, Some(anchors)) => {
                        anchors.complete(&other.temperatures(self, year), &self.shape)
                    }
                    (Some(forecast), None) => {
                        let (sure, last) = FORECAST_DAYS;
                        now.blended_with(forecast, other.drivers(), known, sure, last)
                    }
                    (None, None) => now.completed_with(other.drivers()),
                };
                let warmer_c = other
                    .last_warmth_c(self, known)
                    .zip(mine_c)
                    .map(|(theirs, mine)| mine - theirs);
                curves.run(&whole);
                let crossings = requirements.iter().map(|r| curves.crossings(r)).collect();
                Member::new(&whole, other.weight(year), warmer_c, crossings)
            })
            .collect();
        let chart = HeatCurve::new(year, known, &members);
        SeasonAhead {
            year,
            today,
            past_years,
            source,
            data_through: known.checked_sub(1).map(|day| year.date(day)),
            gap_days: now.missing_before(known),
            forecast_days,
            chill_so_far: now.chill_portions().iter().sum(),
            chart,
            members,
        }
    }

    /// Other seasons to complete this one with.
    fn others(
        &self,
        year: DormantYear,
        normals: Option<&MonthlyNormals>,
    ) -> (Vec<Other<'_>>, usize, Source) {
        let spring = year.spring_year();
        let mut others: Vec<Other<'_>> = self
            .past
            .iter()
            .filter(|(other, _)| **other != spring)
            .map(|(_, past)| Other::Past(&past.drivers))
            .collect();
        let past_years = others.len();
        if past_years >= ENOUGH_YEARS {
            return (others, past_years, Source::PastYears);
        }
        let own = MonthlyNormals::from_series(&self.observed);
        let (base, level_sd_c, source) = match (normals, own) {
            (Some(given), _) => (*given, NORMALS_SD_C, Source::Normals),
            (None, Some(own)) => (own, FEW_YEARS_SD_C, Source::FewYears),
            (None, None) => (
                MonthlyNormals::from_latitude(self.latitude_deg),
                LATITUDE_SD_C,
                Source::Latitude,
            ),
        };
        let count = FILLED_TO - past_years;
        let seed =
            u64::from(spring.unsigned_abs()) << 16 | (self.latitude_deg.abs() * 100.0) as u64;
        for series in invent_seasons(&base, year, count, level_sd_c, seed) {
            let drivers = Drivers::new(year, &series, &self.shape, None);
            others.push(Other::Invented(Box::new((series, drivers))));
        }
        (others, past_years, source)
    }
}

/// How far normals that were given may lie from the orchard, °C.
const NORMALS_SD_C: f64 = 0.8;
/// How far normals from a few years may lie from the truth, °C.
const FEW_YEARS_SD_C: f64 = 1.0;
/// How far a guess from the latitude may lie from the truth, °C.
const LATITUDE_SD_C: f64 = 3.5;

/// Weight of an invented season: that of a past one half a life away.
const INVENTED_WEIGHT: f64 = 0.5;

/// A season that completes this one.
enum Other<'a> {
    Past(&'a Drivers),
    Invented(Box<(DailySeries, Drivers)>),
}

impl Other<'_> {
    fn drivers(&self) -> &Drivers {
        match self {
            Self::Past(drivers) => drivers,
            Self::Invented(both) => &both.1,
        }
    }

    fn weight(&self, year: DormantYear) -> f64 {
        match self {
            Self::Past(drivers) => likeness(
                drivers.year().spring_year(),
                year.spring_year(),
                WEATHER_HALF_LIFE_YEARS,
            ),
            Self::Invented(_) => INVENTED_WEIGHT,
        }
    }

    /// Warmth of its own last weeks before the day up to which this season is known, °C. An
    /// invented season's beginning says nothing about its end.
    fn last_warmth_c(&self, place: &Climatology, known: usize) -> Option<f64> {
        match self {
            Self::Past(drivers) => last_warmth_c(&place.observed, drivers.year(), known),
            Self::Invented(_) => None,
        }
    }

    /// Its temperatures, moved to the days of `year`.
    fn temperatures(&self, place: &Climatology, year: DormantYear) -> DailySeries {
        let moved = match self {
            Self::Invented(both) => return both.0.clone(),
            Self::Past(drivers) => {
                let from = drivers.year();
                place.observed.slice(from.first(), from.date(DAYS))
            }
        };
        DailySeries::new(
            year.first(),
            moved.tmin_c().to_vec(),
            moved.tmax_c().to_vec(),
        )
        .unwrap_or(moved)
    }
}
