//! Temperatures and records made ready: every dormant year's curves, every series' fit.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::{Observation, SeriesName};
use crate::domain::climate::daily::DailySeries;
use crate::domain::climate::hours::HourlyShape;
use crate::domain::phenology::calibrate::{Curves, Record, SeriesFit};
use crate::domain::phenology::climatology::last_warmth_c;
use crate::domain::phenology::dormant_year::{DAYS, DormantYear};
use crate::domain::phenology::drivers::Drivers;

/// Unknown days that a season may have and still count as known.
const FORGIVEN_DAYS: usize = 3;
/// Day up to which a season must be known to lend its weather to others (mid June in the north).
const NEEDED_UNTIL: usize = 280;

/// One way a season may go.
#[derive(Debug)]
pub struct Way {
    /// Spring year whose weather it takes where its own is not known.
    pub from: i32,
    /// Development by every model.
    pub curves: Curves,
    /// How much warmer (°C) the season's last known weeks were than those of that year.
    pub warmer_c: Option<f64>,
}

/// A place with its temperatures, worked out for every dormant year.
#[derive(Debug)]
pub struct Place {
    /// Name as in the records.
    pub name: String,
    /// Latitude, degrees, south negative.
    pub latitude_deg: f64,
    temperatures: DailySeries,
    shape: HourlyShape,
    drivers: BTreeMap<i32, Drivers>,
    curves: BTreeMap<i32, Curves>,
}

impl Place {
    /// Works out every dormant year that the temperatures touch.
    pub fn new(name: &str, latitude_deg: f64, temperatures: DailySeries) -> Self {
        let shape = HourlyShape::new(latitude_deg);
        let mut drivers = BTreeMap::new();
        let mut curves = BTreeMap::new();
        if let Some(last) = temperatures.last() {
            let from = DormantYear::containing(temperatures.first(), latitude_deg).spring_year();
            let to = DormantYear::containing(last, latitude_deg).spring_year();
            for year in from..=to {
                let season = DormantYear::of_spring(year, latitude_deg);
                let one = Drivers::new(season, &temperatures, &shape, None);
                if one.known_until() > 0 {
                    curves.insert(year, Curves::new(&one));
                    drivers.insert(year, one);
                }
            }
        }
        Self {
            name: name.to_owned(),
            latitude_deg,
            temperatures,
            shape,
            drivers,
            curves,
        }
    }

    /// The dormant year of a spring here.
    pub fn season(&self, year: i32) -> DormantYear {
        DormantYear::of_spring(year, self.latitude_deg)
    }

    fn knows(&self, year: i32, until: usize) -> bool {
        self.drivers
            .get(&year)
            .is_some_and(|d| d.missing_before(until) <= FORGIVEN_DAYS)
    }

    /// Curves of a recorded season, if its temperatures are known up to that day.
    pub fn curves_until(&self, year: i32, day: i64) -> Option<&Curves> {
        let until = usize::try_from(day).ok()?.min(DAYS) + 1;
        if self.knows(year, until) {
            self.curves.get(&year)
        } else {
            None
        }
    }

    /// Every way the season of `year` may go: known up to `issue_on` (or as far as recorded), and
    /// after it as each other known year went. One way only when all is known.
    pub fn ways(&self, year: i32, issue_on: Option<chrono::NaiveDate>) -> Vec<Way> {
        if issue_on.is_none() && self.knows(year, NEEDED_UNTIL) {
            return self
                .curves
                .get(&year)
                .map(|c| Way {
                    from: year,
                    curves: c.clone(),
                    warmer_c: None,
                })
                .into_iter()
                .collect();
        }
        let start = match issue_on {
            None => self.drivers.get(&year).cloned(),
            some => Some(Drivers::new(
                self.season(year),
                &self.temperatures,
                &self.shape,
                some,
            )),
        };
        let known = start.as_ref().map_or(0, Drivers::known_until);
        let warmth_c = |year: i32| last_warmth_c(&self.temperatures, self.season(year), known);
        let mine_c = warmth_c(year);
        self.drivers
            .iter()
            .filter(|(other, _)| **other != year && self.knows(**other, NEEDED_UNTIL))
            .map(|(other, rest)| {
                let whole = start
                    .as_ref()
                    .map_or_else(|| rest.clone(), |s| s.completed_with(rest));
                Way {
                    from: *other,
                    curves: Curves::new(&whole),
                    warmer_c: mine_c
                        .zip(warmth_c(*other))
                        .map(|(mine, theirs)| mine - theirs),
                }
            })
            .collect()
    }
}

/// All places.
#[derive(Debug, Default)]
pub struct Places {
    places: Vec<Place>,
}

impl Places {
    /// Works out all places in parallel.
    pub fn new(inputs: Vec<(String, f64, DailySeries)>) -> Self {
        let places = inputs
            .into_par_iter()
            .map(|(name, lat, t)| Place::new(&name, lat, t))
            .collect();
        Self { places }
    }

    /// Adds the places of another set.
    pub fn extend(&mut self, other: Self) {
        self.places.extend(other.places);
    }

    /// A place by name.
    pub fn find(&self, name: &str) -> Option<&Place> {
        self.places
            .iter()
            .find(|p| p.name.eq_ignore_ascii_case(name.trim()))
    }
}

/// A series with its records in order of years.
#[derive(Debug)]
pub(super) struct Series<'a> {
    pub(super) name: SeriesName,
    pub(super) records: Vec<Record<'a>>,
    pub(super) fit: Option<SeriesFit>,
}

impl Series<'_> {
    /// The fit without one spring.
    pub(super) fn fit_without(&self, year: i32) -> Option<SeriesFit> {
        let kept: Vec<&Record<'_>> = self.records.iter().filter(|r| r.year() != year).collect();
        SeriesFit::new(&kept, None)
    }

    /// Whether it was recorded at this place.
    pub(super) fn stands_at(&self, site: &str) -> bool {
        self.name.site.trim().eq_ignore_ascii_case(site.trim())
    }

    pub(super) fn has(&self, year: i32) -> bool {
        self.records.iter().any(|r| r.year() == year)
    }
}

/// All series of one species and stage.
#[derive(Debug, Default)]
pub(super) struct Group<'a> {
    pub(super) series: Vec<Series<'a>>,
}

/// Groups by species and stage.
#[derive(Debug)]
pub(super) struct Archive<'a> {
    pub(super) groups: BTreeMap<(String, String), Group<'a>>,
}

pub(super) fn key(name: &SeriesName) -> (String, String) {
    (
        name.species.trim().to_lowercase(),
        name.stage.trim().to_lowercase(),
    )
}

impl<'a> Archive<'a> {
    /// Sorts the records into series; those without temperatures are left out. A spring recorded
    /// twice in one series counts once, with its first date.
    pub(super) fn new(places: &'a Places, observations: &[Observation]) -> Self {
        let mut sorted: BTreeMap<&SeriesName, BTreeMap<i32, i64>> = BTreeMap::new();
        for o in observations {
            if let Some(place) = places.find(&o.series.site) {
                let day = place.season(o.year).day_of(o.date);
                sorted
                    .entry(&o.series)
                    .or_default()
                    .entry(o.year)
                    .or_insert(day);
            }
        }
        let series: Vec<Series<'a>> = sorted
            .into_par_iter()
            .filter_map(|(name, days)| {
                let place = places.find(&name.site)?;
                let records: Vec<Record<'a>> = days
                    .into_iter()
                    .filter_map(|(year, day)| Record::new(place.curves_until(year, day)?, day))
                    .collect();
                let fit = SeriesFit::new(&records.iter().collect::<Vec<_>>(), None);
                Some(Series {
                    name: name.clone(),
                    records,
                    fit,
                })
            })
            .collect();
        let mut groups: BTreeMap<(String, String), Group<'a>> = BTreeMap::new();
        for one in series {
            groups.entry(key(&one.name)).or_default().series.push(one);
        }
        Self { groups }
    }
}
