//! Work that goes on beside the board: reading the hours, fetching the forecast.

use crate::domain::climate::weather::Weather;
use crate::domain::hours::air::Air;
use crate::domain::hours::fits::air_of;
use crate::domain::outlook::climatology;
use crate::domain::phenology::climatology::Climatology;
use crate::domain::season::Season;
use crate::store::forecast::fetch::{self, Fetched, Origin, Progress};
use crate::store::places::Places;
use crate::store::settings::{Settings, kept_forecast, place_of};
use crate::store::{practice, season_weather};
use crate::tui::host::Waker;
use chrono::{DateTime, Utc};
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex};

/// What was done beside the board.
pub enum Told {
    /// The hours were read.
    Hours(Box<HoursRead>),
    /// How a fetch goes on.
    Progress(String),
    /// A fetch or a file failed.
    Failed(String),
}

/// The hours with what follows from them.
pub struct HoursRead {
    /// All of the season's weather.
    pub weather: Weather,
    /// The past years, where the hours added days to them.
    pub past: Option<Climatology>,
    /// Everything derived from the hours.
    pub air: Option<Arc<Air>>,
    /// Something to say.
    pub words: Option<String>,
}

/// Where the hours of a season are.
pub enum HoursOf {
    /// Built in.
    Practice,
    /// In files of this folder, and the forecast fetched last.
    Files(PathBuf),
}

/// The threads beside the board, and what they told.
pub struct Beside {
    tell: Sender<Told>,
    told: Receiver<Told>,
    waker: Arc<Mutex<Option<Waker>>>,
    fetching: Arc<AtomicBool>,
}

impl Default for Beside {
    fn default() -> Self {
        let (tell, told) = channel();
        Self {
            tell,
            told,
            waker: Arc::default(),
            fetching: Arc::default(),
        }
    }
}

/// Tells the board from another thread.
#[derive(Clone)]
struct Teller {
    tell: Sender<Told>,
    waker: Arc<Mutex<Option<Waker>>>,
}

impl Teller {
    fn say(&self, told: Told) {
        // The board may be gone: then nobody needs to know.
        let _ = self.tell.send(told);
        if let Ok(waker) = self.waker.lock()
            && let Some(waker) = waker.as_ref()
        {
            waker.wake();
        }
    }
}

impl Beside {
    /// Takes the means to wake the board; what was told before wakes it now.
    pub fn attach(&mut self, waker: Waker) {
        if let Ok(mut slot) = self.waker.lock() {
            waker.wake();
            *slot = Some(waker);
        }
    }

    /// What was told next.
    pub fn next(&mut self) -> Option<Told> {
        self.told.try_recv().ok()
    }

    fn teller(&self) -> Teller {
        Teller {
            tell: self.tell.clone(),
            waker: Arc::clone(&self.waker),
        }
    }

    /// Reads the hours of a season whose days are read already.
    pub fn read_hours(&self, season: &Season, days: &Weather, hours: HoursOf, now: DateTime<Utc>) {
        let teller = self.teller();
        let (season, days) = (season.clone(), days.clone());
        let work = move || {
            let fetched = match &hours {
                HoursOf::Practice => None,
                HoursOf::Files(_) => kept_forecast(&season.orchard),
            };
            match read(&season, days, hours, fetched, now) {
                Ok(Some(read)) => teller.say(Told::Hours(Box::new(read))),
                Ok(None) => {}
                Err(why) => teller.say(Told::Failed(why)),
            }
        };
        self.spawn("hours", work);
    }

    /// Fetches the forecast, then reads the hours anew.
    pub fn fetch(
        &self,
        season: &Season,
        days: &Weather,
        folder: PathBuf,
    ) -> Result<String, String> {
        let places = Places::find().ok_or("no home folder is set")?;
        let settings = Settings::load(&places).map_err(|e| e.to_string())?;
        let Some(config) = settings.forecast else {
            return Err(format!(
                "no service is set up; write in {}: [forecast] service = \"norway\" (or \"us\"), contact = \"how to reach you\"",
                crate::store::settings::path(&places).display()
            ));
        };
        if self.fetching.swap(true, Ordering::AcqRel) {
            return Err("the forecast is being fetched already".to_owned());
        }
        let teller = self.teller();
        let fetching = Arc::clone(&self.fetching);
        let (season, days) = (season.clone(), days.clone());
        let host = config.base_url.clone();
        let work = move || {
            let progress_teller = teller.clone();
            let mut progress = move |p: Progress| {
                progress_teller.say(Told::Progress(progress_words(&p)));
            };
            let fetched = fetch::fetch(
                &config,
                place_of(&season.orchard),
                &places.cache,
                Utc::now(),
                &AtomicBool::new(false),
                &mut progress,
            );
            fetching.store(false, Ordering::Release);
            let told = match fetched {
                Ok(fetched) => {
                    let words = fetched_words(&fetched);
                    read(
                        &season,
                        days,
                        HoursOf::Files(folder),
                        Some(fetched),
                        Utc::now(),
                    )
                    .map(|read| {
                        read.map(|read| HoursRead {
                            words: Some(words),
                            ..read
                        })
                    })
                }
                Err(fault) => Err(format!("no forecast: {fault}")),
            };
            match told {
                Ok(Some(read)) => teller.say(Told::Hours(Box::new(read))),
                Ok(None) => teller.say(Told::Failed("the forecast holds no hour".to_owned())),
                Err(why) => teller.say(Told::Failed(why)),
            }
        };
        self.spawn("forecast", work);
        Ok(format!("asking {host} for the forecast.."))
    }

    fn spawn(&self, name: &str, work: impl FnOnce() + Send + 'static) {
        let started = std::thread::Builder::new()
            .name(name.to_owned())
            .spawn(work);
        if let Err(fault) = started {
            self.teller()
                .say(Told::Failed(format!("no thread could be started: {fault}")));
        }
    }
}

fn read(
    season: &Season,
    days: Weather,
    hours: HoursOf,
    fetched: Option<Fetched>,
    now: DateTime<Utc>,
) -> Result<Option<HoursRead>, String> {
    let zone = season.orchard.time_zone;
    let known_days = days.daily.clone();
    let weather = match hours {
        HoursOf::Practice => days.with_hours(practice::hours(), zone),
        HoursOf::Files(folder) => {
            match season_weather::load_hours(season, &folder, fetched).map_err(|e| e.to_string())? {
                Some(hours) => hours.join_into(days, zone),
                None => return Ok(None),
            }
        }
    };
    // Past years are worked out again only where hours added days to them.
    let past = (weather.daily != known_days).then(|| climatology(season, &weather));
    let air = weather
        .hourly
        .as_ref()
        .and_then(|hourly| air_of(season, hourly, now))
        .map(Arc::new);
    Ok(Some(HoursRead {
        weather,
        past,
        air,
        words: None,
    }))
}

/// How a fetch goes on, in words.
pub fn progress_words(progress: &Progress) -> String {
    match progress {
        Progress::Asking { host, attempt: 1 } => format!("asking {host}.."),
        Progress::Asking { host, attempt } => format!("asking {host}, attempt {attempt}.."),
        Progress::Reading { bytes } => format!("reading the forecast, {} kB..", bytes / 1000),
        Progress::Waiting { millis, because } => {
            format!(
                "{because}; trying again in {:.0} s",
                *millis as f64 / 1000.0
            )
        }
    }
}

/// What was fetched, in words.
pub fn fetched_words(fetched: &Fetched) -> String {
    let hours = fetched.forecast.series.len();
    let age = crate::domain::climate::weather::Fetched {
        made: fetched.forecast.issued.unwrap_or(fetched.received),
        credit: fetched.forecast.credit.to_owned(),
    };
    let made = age.age_words(Utc::now());
    let skipped = match fetched.forecast.skipped.len() {
        0 => String::new(),
        n => format!("; {n} parts of it could not be used"),
    };
    let how = match &fetched.origin {
        Origin::Fresh => "new forecast".to_owned(),
        Origin::Unchanged => "the forecast kept is still the newest".to_owned(),
        Origin::Kept(why) => format!("offline ({why}); the forecast kept holds"),
    };
    format!(
        "{how}: {hours} hours, {made}, data of {}{skipped}",
        fetched.forecast.credit
    )
}
