//! Which season a command works on, and as of which day.

use super::{Failure, kept_calendar, told};
use crate::domain::climate::weather::Weather;
use crate::domain::hours::fits::{self, Fits};
use crate::domain::outlook::{Estimates, Outlook, outlook_with};
use crate::domain::season::edit::EditError;
use crate::domain::season::{BlockId, Season, TaskId, every_named_block};
use crate::domain::season::{Calendar, read_day};
use crate::report::calendar::CalendarOf;
use crate::store::disk::RealDisk;
use crate::store::log::Log;
use crate::store::places::Places;
use crate::store::practice;
use crate::store::save::Step;
use crate::store::season_weather;
use crate::store::session::{Mode, OpenError, SaveError, Session};
use crate::store::settings::kept_forecast;
use crate::store::shared_targets;
use chrono::{DateTime, NaiveDate, NaiveDateTime, TimeZone, Utc};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// The season file and day asked for.
#[derive(Debug, Clone, Default)]
pub struct At {
    /// The file; without it the latest season, else the practice season.
    pub season: Option<PathBuf>,
    /// The day to take as today.
    pub on: Option<String>,
    /// Where events are noted.
    pub log: Log,
    /// What is being done, for whoever finds the change: the command's name, or `board`.
    pub doing: &'static str,
}

/// A season read with its weather, before anything is derived.
pub struct Read {
    /// The season.
    pub season: Season,
    /// Its weather.
    pub weather: Weather,
    /// The day.
    pub today: NaiveDate,
    /// The session, unless this is practice.
    pub session: Option<Session>,
}

/// A season read, with its weather and estimates.
pub struct Opened {
    /// The season.
    pub season: Season,
    /// Its weather.
    pub weather: Weather,
    /// Its estimates.
    pub estimates: Estimates,
    /// The fit hours of its open sprays, where there is hourly weather.
    pub fits: Option<Fits>,
    /// The day.
    pub today: NaiveDate,
    /// The session, unless this is practice.
    pub session: Option<Session>,
    /// Where events are noted.
    log: Log,
}

/// A season read to be changed, without its weather.
pub struct Alone {
    /// The season.
    pub season: Season,
    /// Its session.
    pub session: Option<Session>,
    /// Where events are noted.
    log: Log,
}

impl Alone {
    /// Saves a changed season.
    pub fn save(&mut self, after: Season) -> Result<(), Failure> {
        self.season = match self.session.as_mut() {
            Some(session) => saved(session, after, &self.log)?,
            None => after,
        };
        Ok(())
    }
}

/// Saves a season, and gives it as it stands then: joined with what others wrote meanwhile.
fn saved(session: &mut Session, after: Season, log: &Log) -> Result<Season, Failure> {
    let mut saved = session.save(&after);
    if matches!(&saved, Err(SaveError::Failed { failed, .. }) if failed.step == Step::SyncFolder) {
        // It has its place, but may not be on the disk for good: it is made anew once.
        saved = session.save(&after);
    }
    if saved.is_err() {
        // Whoever reads that it was not saved runs it again: kept as well it would be twice.
        session.drop_aside();
    }
    let saved = saved.map_err(|e| match e {
        SaveError::ChangedOnDisk(_) => Failure::Overtaken(e.to_string()),
        SaveError::Failed { failed, .. } if failed.step == Step::SyncFolder => {
            Failure::Disk(format!(
                "{failed}; do not run it again: look at the disk, then at the season (barewood check)"
            ))
        }
        SaveError::Failed { failed, .. } => Failure::Disk(failed.to_string()),
        other => Failure::Disk(other.to_string()),
    })?;
    log.note(&format!("saved: {}", session.path().display()));
    if let Some(why) = &saved.no_backup {
        writeln!(
            told(),
            "barewood: saved, but the version before could not be kept: {why}"
        )?;
    }
    let Some(joined) = saved.joined else {
        return Ok(after);
    };
    let by = joined.by.as_deref().unwrap_or("another program");
    if !joined.words.is_empty() {
        writeln!(told(), "barewood: joined with {by}: {}", joined.words)?;
    }
    Ok(*joined.season)
}

/// An edit that cannot be made is wrong input.
pub fn edit_failure(problem: EditError) -> Failure {
    Failure::Input(problem.to_string())
}

/// A plain ISO day from an option.
pub fn iso_day(text: Option<&str>, option: &str) -> Result<Option<NaiveDate>, Failure> {
    text.map(|t| {
        t.trim().parse().map_err(|_| {
            Failure::Input(format!(
                "{option}: '{t}' is no day of the calendar; write it as 2027-02-14"
            ))
        })
    })
    .transpose()
}

impl At {
    /// The file to work on; `None` means practice.
    pub fn path(&self) -> Option<PathBuf> {
        self.season
            .clone()
            .or_else(|| Places::find()?.latest_season(&RealDisk))
    }

    /// Reads a season to look at: takes no lock and writes nothing.
    pub fn look(&self) -> Result<Opened, Failure> {
        self.open(Mode::ReadOnly)
    }

    /// Reads a season to change it; practice cannot be changed by a command.
    pub fn change(&self) -> Result<Opened, Failure> {
        let opened = self.open(Mode::Write)?;
        if opened.session.is_none() {
            return Err(Failure::Input(
                "this is the practice season, and nothing is written to it; begin your own with: barewood start".to_owned(),
            ));
        }
        Ok(opened)
    }

    /// Reads a season to change it, whatever the state of its weather.
    pub fn change_alone(&self) -> Result<Alone, Failure> {
        let read = self.read_alone(Mode::Write, false)?;
        match read.session {
            Some(session) => Ok(Alone {
                season: read.season,
                session: Some(session),
                log: self.log.clone(),
            }),
            None => Err(Failure::Input(
                "this is the practice season, and nothing is written to it; begin your own with: barewood start".to_owned(),
            )),
        }
    }

    /// Reads a season in a mode, with all of its weather.
    pub fn open(&self, mode: Mode) -> Result<Opened, Failure> {
        let Some(path) = self.path() else {
            return self.practice();
        };
        let read = self.read(&path, mode, |season, folder| {
            season_weather::load(season, folder, kept_forecast(&season.orchard))
        })?;
        Ok(Opened::new(read, &self.log))
    }

    /// Reads a season, or practice where there is none, without its weather.
    pub fn read_alone(&self, mode: Mode, practice: bool) -> Result<Read, Failure> {
        match self.path().filter(|_| !practice) {
            Some(path) => self.read(&path, mode, |_, _| Weather::default()),
            None => self.practice_without_weather(),
        }
    }

    fn read(
        &self,
        path: &Path,
        mode: Mode,
        load: impl Fn(&Season, &Path) -> Weather,
    ) -> Result<Read, Failure> {
        let mut session = Session::open(Arc::new(RealDisk), Places::find(), path, mode)
            .map_err(|e| Failure::from_open(&e))?;
        session.doing(self.doing);
        if !matches!(self.doing, "" | "board")
            && let Some(kept) = session.recovered().first()
        {
            // Told beside every answer until its owner decides.
            writeln!(
                told(),
                "barewood: work of {} was not saved and is kept: barewood merge {} joins it, barewood versions lists it",
                kept.when(session.season().orchard.time_zone),
                kept.id()
            )?;
        }
        let season = session.season().clone();
        let weather = load(&season, &session.folder());
        let clock = Utc::now()
            .with_timezone(&season.orchard.time_zone)
            .date_naive();
        let today = self.day_asked(&season, clock)?;
        if self.on.is_none()
            && let Some(words) = set_back(&season, today)
        {
            // Told beside the answer, whatever the command: nothing is refused.
            writeln!(told(), "barewood: {words}")?;
        }
        Ok(Read {
            season,
            weather,
            today,
            session: Some(session),
        })
    }

    /// The practice season: invented, and never written.
    pub fn practice(&self) -> Result<Opened, Failure> {
        let mut read = self.practice_without_weather()?;
        read.weather = practice::whole_weather(read.season.orchard.time_zone);
        Ok(Opened::new(read, &self.log))
    }

    /// The day asked for, as people say it: "sat" and "+3" count from the day of the clock.
    fn day_asked(&self, season: &Season, clock: NaiveDate) -> Result<NaiveDate, Failure> {
        let Some(text) = self.on.as_deref() else {
            return Ok(clock);
        };
        let calendar = Calendar {
            today: clock,
            from: clock,
            starts: season.starts(),
        };
        read_day(text, &calendar).map_err(|e| Failure::Input(format!("--on: {e}")))
    }

    fn practice_without_weather(&self) -> Result<Read, Failure> {
        let mut season = practice::season()
            .map_err(|e| Failure::Input(e.to_string()))?
            .season;
        season.shared_targets = shared_targets::load(&RealDisk, Places::find().as_ref())
            .map_err(|e| Failure::from_open(&e))?;
        let today = self.day_asked(&season, practice::today())?;
        Ok(Read {
            season,
            weather: Weather::default(),
            today,
            session: None,
        })
    }
}

/// What to say where the clock stands before something that was entered.
pub fn set_back(season: &Season, today: NaiveDate) -> Option<String> {
    let latest = season.latest_entry().filter(|l| *l > today)?;
    Some(format!(
        "today is {today} by the clock, but something was entered for {latest}: is the clock right?"
    ))
}

impl Opened {
    fn new(read: Read, log: &Log) -> Self {
        let Read {
            season,
            weather,
            today,
            session,
        } = read;
        let estimates = Estimates::compute(&season, &weather, today);
        let mut opened = Self {
            season,
            weather,
            estimates,
            fits: None,
            today,
            session,
            log: log.clone(),
        };
        opened.fits = opened.weather.hourly.as_ref().and_then(|hourly| {
            let air = fits::air_of(&opened.season, hourly, opened.moment())?;
            Some(Fits::new(Arc::new(air), &opened.season, opened.moment()))
        });
        opened
    }

    /// Everything derived for the day.
    pub fn outlook(&self) -> Outlook {
        self.outlook_of(&self.season)
    }

    /// Everything derived for the day, were the season this one: tasks may differ.
    pub fn outlook_of(&self, season: &Season) -> Outlook {
        let fits = self
            .fits
            .as_ref()
            .map(|fits| fits.renewed(season, self.moment()));
        outlook_with(season, &self.estimates, fits.as_ref(), self.today)
    }

    /// The moment in universal time.
    pub fn moment(&self) -> DateTime<Utc> {
        let zone = self.season.orchard.time_zone;
        let local = self.now();
        zone.from_local_datetime(&local)
            .earliest()
            .map_or_else(|| local.and_utc(), |t| t.with_timezone(&Utc))
    }

    /// The moment: the clock of the orchard on its today, noon on any other day.
    pub fn now(&self) -> NaiveDateTime {
        let clock = Utc::now()
            .with_timezone(&self.season.orchard.time_zone)
            .naive_local();
        if clock.date() == self.today {
            clock
        } else {
            self.today.and_hms_opt(12, 0, 0).unwrap_or_default()
        }
    }

    /// The season as a calendar; what an earlier one in that file held and is gone is cancelled.
    pub fn calendar(&self, before: Option<&Path>) -> String {
        let fits = self
            .fits
            .as_ref()
            .map(|fits| fits.renewed(&self.season, self.moment()));
        let outlook = outlook_with(&self.season, &self.estimates, fits.as_ref(), self.today);
        kept_calendar::text(
            &CalendarOf {
                season: &self.season,
                estimates: &self.estimates,
                outlook: &outlook,
                fits: fits.as_ref(),
                made: Utc::now(),
                before: None,
            },
            before,
        )
    }

    /// The folder the season lives in.
    pub fn folder(&self) -> Result<PathBuf, Failure> {
        self.session
            .as_ref()
            .map(Session::folder)
            .ok_or_else(|| Failure::Input("the practice season has no folder".to_owned()))
    }

    /// A task id that exists; others are refused with what there is.
    pub fn task_id(&self, text: &str) -> Result<TaskId, Failure> {
        let id = TaskId::from(text);
        if self.season.task(&id).is_some() {
            return Ok(id);
        }
        let known: Vec<&str> = self.season.tasks.iter().map(|t| t.id.as_str()).collect();
        Err(Failure::Input(format!(
            "there is no task '{text}'; the tasks are: {}",
            known.join(", ")
        )))
    }

    /// Blocks as people name them: names, ids, ranges, kinds of tree; none where none is named.
    pub fn block_ids(&self, texts: &[String]) -> Result<Vec<BlockId>, Failure> {
        let mut ids: Vec<BlockId> = Vec::new();
        for text in texts {
            for id in every_named_block(text, &self.season).map_err(Failure::Input)? {
                if !ids.contains(&id) {
                    ids.push(id);
                }
            }
        }
        Ok(ids)
    }

    /// A day as people say it; `+3` counts from today.
    pub fn day(&self, text: &str) -> Result<NaiveDate, Failure> {
        self.day_from(text, self.today)
    }

    /// A day as people say it; `+3` counts from the day given.
    pub fn day_from(&self, text: &str, from: NaiveDate) -> Result<NaiveDate, Failure> {
        let calendar = Calendar {
            today: self.today,
            from,
            starts: self.season.starts(),
        };
        read_day(text, &calendar).map_err(|e| Failure::Input(e.to_string()))
    }

    /// A day as people say it, else today.
    pub fn day_or_today(&self, text: Option<&str>) -> Result<NaiveDate, Failure> {
        text.map_or(Ok(self.today), |t| self.day(t))
    }

    /// Saves a changed season and derives its estimates anew.
    pub fn save(&mut self, after: Season) -> Result<(), Failure> {
        let session = self
            .session
            .as_mut()
            .ok_or_else(|| Failure::Input("the practice season is not written".to_owned()))?;
        let after = saved(session, after, &self.log)?;
        self.estimates = Estimates::compute(&after, &self.weather, self.today);
        self.season = after;
        if let Some(file) = kept_calendar::wished()? {
            let text = self.calendar(Some(&file));
            kept_calendar::put(&file, &text).map_err(Failure::Disk)?;
        }
        Ok(())
    }
}

impl Failure {
    /// A season that cannot be opened: bad content is wrong input, the rest is the disk.
    pub fn from_open(problem: &OpenError) -> Self {
        match problem {
            OpenError::Problems(_) => Self::Input(problem.to_string()),
            _ => Self::Disk(problem.to_string()),
        }
    }
}
