//! What the board's host knows of weather and buds, and what is being worked out beside it.

use crate::cli::beside::{Beside, Known as Before, Source, Wanted, Worked};
use crate::domain::climate::weather::Weather;
use crate::domain::hours::fits::Fits;
use crate::domain::outlook::{Estimates, climatology};
use crate::domain::phenology::climatology::Climatology;
use crate::domain::season::{Season, WeatherFiles};
use crate::store::kept_estimates::{self, Key, WeatherFound};
use crate::store::places::Places;
use chrono::{DateTime, NaiveDate, Utc};

/// The estimates worked out last.
struct Latest {
    key: Key,
    estimates: Estimates,
    /// With the answers behind them; those kept from an earlier opening have none.
    whole: bool,
}

/// When it is.
#[derive(Debug, Clone, Copy)]
pub struct When {
    /// The day.
    pub today: NaiveDate,
    /// The moment.
    pub now: DateTime<Utc>,
}

/// Weather and estimates of the season in view, as far as they are known.
pub struct Known {
    source: Source,
    weather: Option<Weather>,
    /// Are the hours in it?
    hours_read: bool,
    found: WeatherFound,
    /// The weather files the season named when they were read.
    named: WeatherFiles,
    /// What the estimates of the season as it was opened hang on.
    opened: Key,
    past: Option<Climatology>,
    latest: Option<Latest>,
    /// What is being worked out beside the board.
    under_way: Option<Key>,
    fits: Option<Fits>,
}

impl Known {
    /// Of a season just opened: the estimates kept from an earlier opening of the same day stand
    /// at once. Where none were kept its days are read now, so that a file that is wrong is told
    /// on the first screen.
    pub fn of(season: &Season, source: Source, today: NaiveDate) -> Self {
        let found = source.found(season);
        let key = Key::of(season, today, &found);
        let kept = source
            .path()
            .and_then(|path| kept_estimates::find(&Places::find()?, path, key));
        // Practice has no file that could be wrong.
        let weather = match (&kept, &source) {
            (None, Source::Files { .. }) => Some(source.days(season)),
            _ => None,
        };
        Self {
            source,
            weather,
            hours_read: false,
            found,
            named: season.weather.clone(),
            opened: key,
            past: None,
            latest: kept.map(|estimates| Latest {
                key,
                estimates,
                whole: false,
            }),
            under_way: None,
            fits: None,
        }
    }

    /// Has the rest read, and worked out what was not kept.
    pub fn begin(&mut self, season: &Season, beside: &Beside, when: When) {
        let known = self.weather.clone().map_or(Before::Nothing, Before::Days);
        let new = self.latest.is_none();
        self.under_way = new.then_some(self.opened);
        beside.work(season, self.wanted(known, new, when));
    }

    fn wanted(&self, known: Before, estimates: bool, When { today, now }: When) -> Wanted {
        Wanted {
            known,
            source: self.source.clone(),
            found: self.found.clone(),
            today,
            now,
            estimates,
        }
    }

    /// What is to be worked out once the forecast is there.
    pub fn after_fetch(&self, when: When) -> Wanted {
        self.wanted(Before::Nothing, true, when)
    }

    /// The open sprays judged in the hours, as of when those came in.
    pub const fn fits(&self) -> Option<&Fits> {
        self.fits.as_ref()
    }

    /// The weather; read now where it is not there yet.
    pub fn weather(&mut self, season: &Season) -> &Weather {
        let source = &self.source;
        self.weather.get_or_insert_with(|| source.weather(season))
    }

    /// The past years with the weather; worked out now where they are not there yet.
    pub fn past(&mut self, season: &Season) -> (&Climatology, &Weather) {
        let source = &self.source;
        let weather = self.weather.get_or_insert_with(|| source.weather(season));
        if self
            .past
            .as_ref()
            .is_some_and(|past| !past.is_at(season.orchard.latitude))
        {
            self.past = None;
        }
        let past = self
            .past
            .get_or_insert_with(|| climatology(season, weather));
        (past, weather)
    }

    /// The estimates known last, whatever has changed since.
    pub fn latest(&self) -> Option<&Estimates> {
        self.latest.as_ref().map(|latest| &latest.estimates)
    }

    /// The latest estimates with the answers behind them; where there are none they are begun.
    pub fn whole(&mut self, season: &Season, beside: &Beside, when: When) -> Option<&Estimates> {
        if self.latest.as_ref().is_none_or(|latest| !latest.whole) {
            let key = Key::of(season, when.today, &self.found);
            self.work_out(season, beside, key, when);
        }
        let whole = self.latest.as_ref().filter(|latest| latest.whole);
        whole.map(|latest| &latest.estimates)
    }

    /// The estimates of a season on a day; `None` where they are worked out beside the board.
    pub fn estimates(&mut self, season: &Season, beside: &Beside, when: When) -> Option<Estimates> {
        // Files brought in, left out or taken back: what was read is of other ones.
        if self.named != season.weather {
            self.named.clone_from(&season.weather);
            self.found = self.source.found(season);
            self.weather = None;
            self.hours_read = false;
            self.past = None;
        }
        let key = Key::of(season, when.today, &self.found);
        if let Some(known) = self.latest.as_ref().filter(|latest| latest.key == key) {
            return Some(known.estimates.clone());
        }
        // Another place has other past years.
        let here = |past: &&Climatology| past.is_at(season.orchard.latitude);
        let (Some(past), Some(weather)) = (self.past.as_ref().filter(here), &self.weather) else {
            self.work_out(season, beside, key, when);
            return None;
        };
        let estimates = Estimates::with(past, season, weather, when.today);
        beside.keep(&self.source, key, &estimates);
        self.latest = Some(Latest {
            key,
            estimates: estimates.clone(),
            whole: true,
        });
        Some(estimates)
    }

    fn work_out(&mut self, season: &Season, beside: &Beside, key: Key, when: When) {
        if self.under_way.replace(key) == Some(key) {
            return;
        }
        let known = match self.weather.clone() {
            Some(weather) if self.hours_read => Before::Whole(weather),
            Some(days) => Before::Days(days),
            None => Before::Nothing,
        };
        beside.work(season, self.wanted(known, true, when));
    }

    /// Takes in what was worked out.
    pub fn take(&mut self, worked: Worked) {
        self.weather = Some(worked.weather);
        self.hours_read = true;
        self.found = worked.found;
        self.fits = worked.fits;
        if let Some(made) = worked.made {
            self.under_way = None;
            self.past = Some(made.past);
            self.latest = Some(Latest {
                key: made.key,
                estimates: made.estimates,
                whole: true,
            });
        }
    }
}
