//! The board's seam to files and estimates.

mod aside;
mod curves;
mod keep;
mod known;
mod others;
mod tables;
mod versions;

use super::args::StartArgs;
use super::beside::{Beside, Source, Told};
use super::review::review_of;
use super::season_at::{At, Read, set_back};
use super::{kept_calendar, start};
use crate::domain::chance::{JobChance, chances_of};
use crate::domain::climate::weather::Weather;
use crate::domain::history;
use crate::domain::outlook::{Asked, Estimates, asked, outlook_with};
use crate::domain::phenology::stage::Stage;
use crate::domain::records::{self, Conditions};
use crate::domain::review::Review;
use crate::domain::run_sheet::RunSheet;
use crate::domain::season::{BlockId, Season};
use crate::domain::zone::Zone;
use crate::report::calendar::CalendarOf;
use crate::store::disk::RealDisk;
use crate::store::merge::{self, Side};
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
use chrono::{DateTime, NaiveDate, NaiveDateTime, TimeZone, Utc};
use curves::curves;
pub(super) use keep::expand;
use keep::{season_text, write_practice_weather};
use known::{Known, When};
use others::said_of;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// The board's world: one season file, or the practice season.
pub struct BoardHost {
    at: At,
    mode: Mode,
    session: Option<Session>,
    known: Option<Known>,
    zone: Zone,
    fixed_day: Option<NaiveDate>,
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
            zone: Zone::UTC,
            fixed_day: None,
            practice,
            newcomer: false,
            beside: Beside::default(),
            presence: None,
        }
    }

    /// A time on the orchard's clock as a moment.
    fn moment(&self, local: NaiveDateTime) -> DateTime<Utc> {
        let at = self.zone.from_local_datetime(&local).earliest();
        at.map_or_else(|| local.and_utc(), |t| t.with_timezone(&Utc))
    }

    fn when(&self, today: NaiveDate) -> When {
        When {
            today,
            now: self.moment(self.now()),
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

    /// Writes the calendar that is kept fresh, where one is wished. What goes wrong with it is
    /// told, and takes nothing from the save.
    fn refresh_calendar(&self, season: &Season) {
        let Some(estimates) = self.known.as_ref().and_then(Known::latest) else {
            return;
        };
        let now = self.moment(self.now());
        let fits = self.known.as_ref().and_then(Known::fits);
        let fits = fits.map(|fits| fits.renewed(season, now));
        let today = self.now().date();
        let outlook = outlook_with(season, estimates, fits.as_ref(), today);
        let of = CalendarOf {
            season,
            estimates,
            outlook: &outlook,
            fits: fits.as_ref(),
            made: Utc::now(),
            before: None,
        };
        let put = |file: PathBuf| kept_calendar::put(&file, &kept_calendar::text(&of, Some(&file)));
        match kept_calendar::wished().map(|file| file.map(put)) {
            Ok(None | Some(Ok(()))) => {}
            Ok(Some(Err(why))) => self.beside.fail(why),
            Err(fault) => self.beside.fail(fault.to_string()),
        }
    }

    fn place(&self) -> String {
        self.session
            .as_ref()
            .map_or_else(String::new, |s| s.path().display().to_string())
    }

    fn notice(session: &Session) -> Option<String> {
        let mut parts = Vec::new();
        if let Some(why) = session.read_only() {
            parts.push(why.to_string());
        }
        if let Some(note) = session.notes().first() {
            parts.push(note.to_string());
        }
        (!parts.is_empty()).then(|| parts.join("; "))
    }
}

impl Host for BoardHost {
    fn open(&mut self) -> Result<Opening, String> {
        // Whoever asks for practice is shown practice.
        let newcomer = !self.practice && self.at.path().is_none();
        let Read {
            season,
            today,
            session,
            ..
        } = self
            .at
            .read_alone(self.mode, self.practice)
            .map_err(|e| e.to_string())?;
        self.practice = session.is_none();
        self.newcomer = newcomer;
        self.fixed_day = (self.practice || self.at.on.is_some()).then_some(today);
        self.zone = season.orchard.time_zone;
        let set_back = if self.fixed_day.is_none() {
            set_back(&season, today)
        } else {
            None
        };
        let notice = [set_back, session.as_ref().and_then(Self::notice)]
            .into_iter()
            .flatten()
            .reduce(|a, b| format!("{a}; {b}"));
        self.work_on(session);
        let kept = self.kept_work(&season);
        self.begin_knowing(&season, today);
        let estimates = self.known.as_ref().and_then(Known::latest).cloned();
        self.at.log.note(&match self.place() {
            place if place.is_empty() => "the board opened the practice season".to_owned(),
            place => format!("the board opened {place}"),
        });
        let read_only = self
            .session
            .as_ref()
            .is_some_and(|s| s.read_only().is_some());
        let suggested_place = Places::find()
            .map(|p| {
                p.seasons
                    .join(format!("{}.toml", season.season))
                    .display()
                    .to_string()
            })
            .unwrap_or_default();
        Ok(Opening {
            season,
            today,
            estimates,
            place: self.place(),
            suggested_place,
            notice,
            read_only,
            now: self.now(),
            air: None,
            newcomer,
            here: iana_time_zone::get_timezone().unwrap_or_else(|_| "UTC".to_owned()),
            join: |base, now, other| merge::onto(base, now, other, Side::Theirs).season,
            kept,
        })
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
        self.fixed_day
            .unwrap_or_else(|| Utc::now().with_timezone(&self.zone).date_naive())
    }

    fn now(&self) -> NaiveDateTime {
        let today = self.today();
        let clock = Utc::now().with_timezone(&self.zone).naive_local();
        if clock.date() == today {
            clock
        } else {
            today.and_hms_opt(12, 0, 0).unwrap_or_default()
        }
    }

    fn review(&mut self, season: &Season, now: NaiveDateTime) -> Option<Review> {
        let (moment, when) = (self.moment(now), self.when(now.date()));
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
        let path = expand(place)?;
        // From here on it is the owner's: what was invented stands in its own comments.
        let season = Season {
            practice: false,
            ..season.clone()
        };
        let text = season_text(&season)?;
        let disk = Arc::new(RealDisk);
        let folder = path
            .parent()
            .filter(|p| !p.as_os_str().is_empty())
            .unwrap_or(Path::new("."))
            .to_owned();
        let session =
            Session::create(disk, Places::find(), &path, &text).map_err(|e| e.to_string())?;
        write_practice_weather(&season, &folder)?;
        self.practice = false;
        let mut session = session;
        session.doing("board");
        self.work_on(Some(session));
        self.begin_knowing(&season, self.today());
        Ok(Reloaded {
            season,
            place: self.place(),
            today: None,
        })
    }

    fn begin(&mut self, answers: &Begin) -> Result<Reloaded, String> {
        let some = |text: &str| Some(text.trim().to_owned()).filter(|t| !t.is_empty());
        let args = StartArgs {
            name: some(&answers.name),
            place: some(&answers.place),
            zone: some(&answers.zone),
            units: some(&answers.units),
            leaf_drop: answers.leaf_drop.clone(),
            block: some(&answers.trees).into_iter().collect(),
            weather: answers
                .weather
                .as_deref()
                .map(expand)
                .transpose()?
                .into_iter()
                .collect(),
            yes: true,
            ..StartArgs::default()
        };
        let at = At {
            season: None,
            on: self.at.on.clone(),
            log: self.at.log.clone(),
            doing: "board",
        };
        let path = start::make(&at, &args, &mut std::io::sink()).map_err(|e| e.to_string())?;
        self.at.season = Some(path);
        let Read {
            season,
            today,
            session,
            ..
        } = self
            .at
            .read_alone(self.mode, false)
            .map_err(|e| e.to_string())?;
        self.practice = false;
        self.fixed_day = self.at.on.is_some().then_some(today);
        self.zone = season.orchard.time_zone;
        self.work_on(session);
        self.begin_knowing(&season, today);
        if answers.history {
            self.beside.history(&season, true);
        }
        Ok(Reloaded {
            season,
            place: self.place(),
            today: Some(today),
        })
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
