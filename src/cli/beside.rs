//! Work that goes on beside the board: reading the weather, working out what follows from it,
//! fetching the forecast.

use crate::domain::climate::weather::Weather;
use crate::domain::hours::fits::{Fits, air_of};
use crate::domain::outlook::{Estimates, climatology};
use crate::domain::phenology::climatology::Climatology;
use crate::domain::season::Season;
use crate::store::forecast::fetch::history::{History, NAME};
use crate::store::forecast::fetch::{self, Fetched, Origin, Progress};
use crate::store::kept_estimates::{self, Key, WeatherFound};
use crate::store::places::Places;
use crate::store::settings::{Settings, kept_forecast, place_of};
use crate::store::{practice, season_weather};
use crate::tui::host::Waker;
use chrono::{DateTime, NaiveDate, Utc};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex};

/// What was done beside the board.
pub enum Told {
    /// Weather was read, and what was wanted of it worked out.
    Worked(Box<Worked>),
    /// How a fetch goes on.
    Progress(String),
    /// A fetch or a file failed.
    Failed(String),
    /// The weather since 1981 came.
    History(Box<History>),
}

/// The weather of a season with what follows from it.
pub struct Worked {
    /// All of the season's weather.
    pub weather: Weather,
    /// The files it was read from.
    pub found: WeatherFound,
    /// Every open spray judged in the hours.
    pub fits: Option<Fits>,
    /// The estimates, where they were wanted.
    pub made: Option<Made>,
    /// Something to say.
    pub words: Option<String>,
}

/// Estimates with what they were made from.
pub struct Made {
    /// What they hang on.
    pub key: Key,
    /// The past years.
    pub past: Climatology,
    /// The estimates.
    pub estimates: Estimates,
}

/// Where the weather of a season comes from.
#[derive(Debug, Clone)]
pub enum Source {
    /// Built in.
    Practice,
    /// Files beside the season file of this path in this folder, and the forecast fetched last.
    Files {
        /// The season file.
        path: PathBuf,
        /// Its folder.
        folder: PathBuf,
    },
}

impl Source {
    /// The season file.
    pub fn path(&self) -> Option<&Path> {
        match self {
            Self::Practice => None,
            Self::Files { path, .. } => Some(path),
        }
    }

    /// The weather files as they stand.
    pub fn found(&self, season: &Season) -> WeatherFound {
        match self {
            Self::Practice => WeatherFound::default(),
            Self::Files { folder, .. } => WeatherFound::of(season, folder),
        }
    }

    /// The days alone.
    pub fn days(&self, season: &Season) -> Weather {
        match self {
            Self::Practice => practice::daily_weather(),
            Self::Files { folder, .. } => season_weather::load_days(season, folder),
        }
    }

    /// Days with the hours joined in, as far as they can be read.
    fn with_hours(&self, season: &Season, days: Weather, fetched: Option<Fetched>) -> Weather {
        let zone = season.orchard.time_zone;
        match self {
            Self::Practice => practice::with_hours(days, zone),
            Self::Files { folder, .. } => {
                season_weather::load_hours(season, folder, fetched).join_into(days, zone)
            }
        }
    }

    /// All of the weather.
    pub fn weather(&self, season: &Season) -> Weather {
        let days = self.days(season);
        self.with_hours(season, days, self.kept_forecast(season))
    }

    fn kept_forecast(&self, season: &Season) -> Option<Fetched> {
        match self {
            Self::Practice => None,
            Self::Files { .. } => kept_forecast(&season.orchard),
        }
    }
}

/// Weather as far as it was read before.
pub enum Known {
    /// Nothing.
    Nothing,
    /// The days alone.
    Days(Weather),
    /// Days and hours.
    Whole(Weather),
}

/// What is to be worked out.
pub struct Wanted {
    /// Weather read before.
    pub known: Known,
    /// Where the rest comes from.
    pub source: Source,
    /// The files as they stood when it was asked for.
    pub found: WeatherFound,
    /// The day.
    pub today: NaiveDate,
    /// The moment.
    pub now: DateTime<Utc>,
    /// Are the estimates wanted too?
    pub estimates: bool,
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

    /// Tells the board of something that went wrong.
    pub fn fail(&self, why: String) {
        self.teller().say(Told::Failed(why));
    }

    /// Reads and works out what is wanted for a season.
    pub fn work(&self, season: &Season, wanted: Wanted) {
        let teller = self.teller();
        let season = season.clone();
        self.spawn("weather", move || {
            let fetched = wanted.source.kept_forecast(&season);
            let worked = work(&season, wanted, fetched, &teller);
            teller.say(Told::Worked(Box::new(worked)));
        });
    }

    /// Keeps estimates for the next opening.
    pub fn keep(&self, source: &Source, key: Key, estimates: &Estimates) {
        let (source, estimates) = (source.clone(), estimates.clone());
        self.spawn("keeping", move || keep(&source, key, &estimates));
    }

    /// Fetches the forecast, then reads the hours anew.
    pub fn fetch(&self, season: &Season, wanted: Wanted) -> Result<String, String> {
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
        let season = season.clone();
        let host = config.base_url.clone();
        self.spawn("forecast", move || {
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
            match fetched {
                Ok(fetched) => {
                    let words = Some(fetched_words(&fetched));
                    let wanted = Wanted {
                        found: wanted.source.found(&season),
                        ..wanted
                    };
                    let worked = work(&season, wanted, Some(fetched), &teller);
                    teller.say(Told::Worked(Box::new(Worked { words, ..worked })));
                }
                Err(fault) => teller.say(Told::Failed(format!("no forecast: {fault}"))),
            }
        });
        Ok(format!("asking {host} for the forecast.."))
    }

    /// Fetches the weather since 1981 beside the board, with the hours or the days alone.
    pub fn history(&self, season: &Season, hours: bool) {
        let teller = self.teller();
        let season = season.clone();
        self.spawn("history", move || {
            teller.say(Told::Progress(format!("asking {NAME}..")));
            let steps = teller.clone();
            let mut progress = move |step| {
                if let Some(words) = super::fetch_history::step_words(&step) {
                    steps.say(Told::Progress(words));
                }
            };
            let never = AtomicBool::new(false);
            // The days of all winters are one request, the hours one a year with pauses between:
            // the estimate does not wait for them.
            let turns: &[bool] = if hours { &[false, true] } else { &[false] };
            for with_hours in turns {
                match super::fetch_history::fetched(&season, *with_hours, &never, &mut progress) {
                    Ok(history) => teller.say(Told::History(Box::new(history))),
                    Err(why) => {
                        teller.say(Told::Failed(why.to_string()));
                        return;
                    }
                }
            }
        });
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

fn work(season: &Season, wanted: Wanted, fetched: Option<Fetched>, teller: &Teller) -> Worked {
    let Wanted {
        known,
        source,
        found,
        today,
        now,
        estimates,
    } = wanted;
    let join = |days: Weather| {
        let before = days.lost.len();
        let weather = source.with_hours(season, days, fetched);
        for line in weather.lost.iter().skip(before) {
            teller.say(Told::Failed(line.clone()));
        }
        weather
    };
    let weather = match known {
        Known::Whole(weather) => weather,
        Known::Days(days) => join(days),
        Known::Nothing => join(source.days(season)),
    };
    let judge = || {
        let air = air_of(season, weather.hourly.as_ref()?, now)?;
        Some(Fits::new(Arc::new(air), season, now))
    };
    let (made, fits) = if estimates {
        let mut past = climatology(season, &weather);
        // Neither hangs on the other, and the board waits for both. The second thread comes this
        // late because the board draws its first frame meanwhile, and there may be two cores.
        std::thread::scope(|scope| {
            let judged = scope.spawn(judge);
            let key = Key::of(season, today, &found);
            let estimates = Estimates::with(&past, season, &weather, today);
            // They are kept for as long as the board is open.
            past.rest();
            let made = Made {
                key,
                past,
                estimates,
            };
            (Some(made), judged.join().ok().flatten())
        })
    } else {
        (None, judge())
    };
    if let Some(made) = &made {
        keep(&source, made.key, &made.estimates);
    }
    Worked {
        weather,
        found,
        fits,
        made,
        words: None,
    }
}

fn keep(source: &Source, key: Key, estimates: &Estimates) {
    // Practice leaves no trace.
    if let (Some(path), Some(places)) = (source.path(), Places::find()) {
        kept_estimates::keep(&places, path, key, estimates);
    }
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
