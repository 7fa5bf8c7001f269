//! The board's seam to files and estimates.

mod aside;
mod begin;
mod calendar;
mod clock;
mod curves;
mod keep;
mod known;
mod others;
mod tables;
mod versions;

use super::beside::{Beside, Source, Told};
use super::review::review_of;
use super::season_at::At;
use crate::domain::chance::{JobChance, chances_of};
use crate::domain::climate::weather::Weather;
use crate::domain::history;
use crate::domain::outlook::{Asked, Estimates, asked};
use crate::domain::phenology::stage::Stage;
use crate::domain::records::{self, Conditions};
use crate::domain::review::Review;
use crate::domain::run_sheet::RunSheet;
use crate::domain::season::{BlockId, Season};
use crate::store::disk::RealDisk;
use crate::store::neighbours::{self, Neighbours};
use crate::store::places::Places;
use crate::store::presence::Presence;
use crate::store::save;
use crate::store::season_weather;
use crate::store::session::{Mode, SaveError, Session};
use crate::tui::host::{
    Begin, CameIn, Curves, Draft, Earlier, Host, Joined, News, Opening, Reloaded, SaveOutcome,
    Stands, TableAnswer, TableAsk, Trail, Waker, WeatherNews, Years,
};
use chrono::{NaiveDate, NaiveDateTime, Utc};
use clock::Clock;
use curves::curves;
pub(super) use keep::expand;
use known::{Known, When};
use others::said_of;
use std::path::PathBuf;

/// The board's world: one season file, or the practice season.
pub struct BoardHost {
    at: At,
    mode: Mode,
    session: Option<Session>,
    known: Option<Known>,
    clock: Clock,
    practice: bool,
    /// Nobody's season was found: one may be begun.
    newcomer: bool,
    beside: Beside,
    /// Tells others of this user that a board is open here.
    presence: Option<Presence>,
}

impl BoardHost {
    /// A host for a season, or for the practice season where `practice` is set
    /// or there is none.
    pub fn new(at: At, mode: Mode, practice: bool) -> Self {
        Self {
            at: At {
                doing: "board",
                ..at
            },
            mode,
            session: None,
            known: None,
            clock: Clock::unset(),
            practice,
            newcomer: false,
            beside: Beside::default(),
            presence: None,
        }
    }

    fn clock_day(&self) -> NaiveDate {
        self.clock.day(Utc::now())
    }

    fn clock_time(&self) -> NaiveDateTime {
        self.clock.time(Utc::now())
    }

    /// The estimates worked out last.
    fn latest(&self) -> Option<&Estimates> {
        self.known.as_ref().and_then(Known::latest)
    }

    fn when(&self, today: NaiveDate) -> When {
        When {
            today,
            now: self.clock.moment(self.clock_time()),
        }
    }

    fn source(&self) -> Source {
        self.session
            .as_ref()
            .map_or(Source::Practice, |s| Source::Files {
                path: s.path().to_path_buf(),
                folder: s.folder(),
            })
    }

    /// From now on the board works on this season, and other boards of its owner see that.
    fn work_on(&mut self, session: Option<Session>) {
        self.session = session;
        let own = self.session.as_ref().filter(|s| s.read_only().is_none());
        self.presence = own.and_then(|s| Presence::enter(&Places::find()?.state, s.file()));
    }

    /// Weather and estimates of a season just read: what is at hand, and the rest begun.
    fn begin_knowing(&mut self, season: &Season, today: NaiveDate) {
        let mut known = Known::of(season, self.source(), today);
        known.begin(season, &self.beside, self.when(today));
        self.known = Some(known);
    }

    fn place(&self) -> String {
        self.session
            .as_ref()
            .map_or_else(String::new, |s| s.path().display().to_string())
    }
}

impl Host for BoardHost {
    fn open(&mut self) -> Result<Opening, String> {
        self.opened()
    }

    fn draft(&mut self) -> Option<Draft> {
        self.kept_draft()
    }

    fn keep_draft(&mut self, draft: Option<&Draft>) {
        self.keep_draft_aside(draft);
    }

    fn trail(&mut self, now: &Season) -> Option<Trail> {
        self.kept_trail(now)
    }

    fn keep_trail(&mut self, way: &Trail, is_whole: bool) {
        self.keep_trail_aside(way, is_whole);
    }

    fn attach(&mut self, waker: Waker) {
        self.beside.attach(waker);
    }

    fn news(&mut self, season: &Season, today: NaiveDate) -> Option<News> {
        match self.beside.next()? {
            Told::Worked(worked) => {
                let words = worked.words.clone();
                if let Some(words) = &words {
                    self.at.log.note(words);
                }
                let when = self.when(today);
                let known = self.known.as_mut()?;
                known.take(*worked);
                Some(News::Weather(Box::new(WeatherNews {
                    fits: known.fits().cloned(),
                    fetched: known.weather(season).fetched.clone(),
                    estimates: known.estimates(season, &self.beside, when),
                    words,
                })))
            }
            Told::Progress(words) => {
                self.at.log.note(&words);
                Some(News::Progress(words))
            }
            Told::History(history) => Some(self.keep_history(season, &history)),
            Told::Failed(why) => {
                self.at.log.note(&format!("error: {why}"));
                Some(News::Failed(why))
            }
        }
    }

    fn fetch(&mut self, season: &Season) -> Result<String, String> {
        if self.practice {
            return Err("practice: its forecast is invented, and none is fetched".to_owned());
        }
        let when = self.when(self.today());
        // What was once fetched of the past is renewed along: the gap to yesterday closes.
        if season_weather::has_history(season) {
            self.beside.history(season, false);
        }
        let known = self.known.as_ref().ok_or("there is no season file")?;
        self.beside.fetch(season, known.after_fetch(when))
    }

    fn table(&mut self, season: &Season, ask: &TableAsk) -> Result<TableAnswer, String> {
        self.weather_file(season, ask)
    }

    fn today(&self) -> NaiveDate {
        self.clock_day()
    }

    fn now(&self) -> NaiveDateTime {
        self.clock_time()
    }

    fn review(&mut self, season: &Season, now: NaiveDateTime) -> Option<Review> {
        let (moment, when) = (self.clock.moment(now), self.when(now.date()));
        let known = self.known.as_mut()?;
        let estimates = known.estimates(season, &self.beside, when)?;
        let fits = known.fits().map(|fits| fits.renewed(season, moment));
        let weather = known.weather(season);
        Some(review_of(season, weather, &estimates, fits.as_ref(), now))
    }

    fn years(&mut self, season: &Season) -> Years {
        let found = match &self.session {
            Some(session) => neighbours::beside(&RealDisk, session.path(), season),
            None => Neighbours {
                seasons: vec![season.clone()],
                ..Neighbours::default()
            },
        };
        let own = self.known.as_mut().map_or_else(Vec::new, |known| {
            let (past, _) = known.past(season);
            history::own_dates(past, season)
        });
        Years {
            rows: history::table(&found.seasons),
            own,
            left_out: found.left_out,
            seasons: found.seasons,
        }
    }

    fn chances(&mut self, season: &Season, sheet: &RunSheet, today: NaiveDate) -> Vec<JobChance> {
        let when = self.when(today);
        let Some(known) = self.known.as_mut() else {
            return Vec::new();
        };
        let Some(estimates) = known.estimates(season, &self.beside, when) else {
            return Vec::new();
        };
        chances_of(season, &estimates, known.weather(season), sheet, today)
    }

    fn air(
        &mut self,
        season: &Season,
        from: NaiveDateTime,
        to: NaiveDateTime,
    ) -> (Conditions, Option<&'static str>) {
        let none = Weather::default();
        let weather = self.known.as_mut().map_or(&none, |k| k.weather(season));
        records::conditions(weather, &season.orchard, from, to)
    }

    fn estimates(&mut self, season: &Season, today: NaiveDate) -> Option<Estimates> {
        let when = self.when(today);
        self.known.as_mut()?.estimates(season, &self.beside, when)
    }

    fn curves(&mut self, season: &Season, block: &BlockId, today: NaiveDate) -> Option<Curves> {
        let when = self.when(today);
        self.known
            .as_mut()?
            .whole(season, &self.beside, when)?
            .answer(block, Stage::Swell)
            .map(curves)
    }

    fn asked(&mut self, season: &Season, block: &BlockId, today: NaiveDate) -> Vec<Asked> {
        let Some(known) = &mut self.known else {
            return Vec::new();
        };
        let (past, weather) = known.past(season);
        asked(past, season, block, weather, today)
    }

    fn save(&mut self, season: &Season) -> SaveOutcome {
        let Some(session) = &mut self.session else {
            return SaveOutcome::Practice;
        };
        let outcome = match session.save(season) {
            Ok(saved) => said_of(saved),
            Err(SaveError::ChangedOnDisk(what)) => SaveOutcome::Conflict(what.to_string()),
            // The board says itself that it is not saved.
            Err(problem) => {
                let why = problem.to_string();
                let why = why.strip_prefix("not saved: ").unwrap_or(&why);
                SaveOutcome::Failed(why.to_owned())
            }
        };
        self.at.log.note(&match &outcome {
            SaveOutcome::Failed(why) | SaveOutcome::Conflict(why) => format!("NOT SAVED: {why}"),
            _ => format!("saved: {}", session.path().display()),
        });
        if outcome == SaveOutcome::Saved {
            self.refresh_calendar(season);
        }
        outcome
    }

    fn take_in(&mut self, season: &Season) -> Result<Option<CameIn>, String> {
        let came = self.came_in(season)?;
        if let Some(came) = &came {
            self.begin_knowing(&came.season, self.today());
        }
        Ok(came)
    }

    fn join(&mut self, season: &Season, stands: Stands) -> Result<Joined, String> {
        self.joined(season, stands)
    }

    fn somebody_is_here(&mut self) {
        if let Some(presence) = &mut self.presence {
            presence.key();
        }
    }

    fn keep_aside(&mut self, season: &Season) -> bool {
        self.session
            .as_mut()
            .is_none_or(|session| session.keep_aside(season).is_ok())
    }

    fn take_kept(&mut self, season: &Season, id: &str) -> Result<CameIn, String> {
        self.joined_kept(season, id)
    }

    fn drop_kept(&mut self, id: &str) {
        self.let_go(id);
    }

    fn versions(&mut self, season: &Season) -> Result<Vec<Earlier>, String> {
        self.earlier(season)
    }

    fn version(&mut self, season: &Season, id: &str) -> Result<Season, String> {
        self.earlier_version(season, id)
    }

    fn keep_at(&mut self, season: &Season, place: &str) -> Result<Reloaded, String> {
        self.kept_at(season, place)
    }

    fn begin(&mut self, answers: &Begin) -> Result<Reloaded, String> {
        self.begun(answers)
    }

    fn write_new(&mut self, files: &[(String, String)]) -> Result<String, String> {
        let files: Vec<(PathBuf, &[u8])> = files
            .iter()
            .map(|(place, content)| Ok((expand(place)?, content.as_bytes())))
            .collect::<Result<_, String>>()?;
        save::put_all_new(&RealDisk, &files).map_err(|e| e.to_string())?;
        let places: Vec<String> = files.iter().map(|(p, _)| p.display().to_string()).collect();
        Ok(format!("written: {}", places.join(" and ")))
    }

    fn watched(&self) -> Option<PathBuf> {
        self.session.as_ref().map(|s| s.path().to_path_buf())
    }

    fn changed_outside(&mut self) -> bool {
        self.session.as_mut().is_some_and(|session| {
            let ours = session.season().clone();
            matches!(session.changed_outside(&ours), Ok(Some(_)))
        })
    }
}
