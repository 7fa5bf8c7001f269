//! The weather of a place since 1981, from an open archive: days in one request, hours a year at
//! a time.
//!
//! The NASA Langley Research Center POWER project answers for any place on earth, without a key
//! and without a fee; its data are of the US Government, and it asks for the acknowledgement in
//! [`CREDIT`]. One request at a time, a pause between; what has come is kept year by year, so
//! that a fetch broken off goes on where it stopped. The place goes out rounded to a tenth of a
//! degree, and nothing else.

use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use chrono::{DateTime, Datelike, Days, NaiveDate, Utc};
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::config::{FetchConfig, Place};
use super::http::{Client, Condition, Reply};
use super::{FetchError, Progress, Service};
use crate::domain::climate::daily_weather::DailyWeather;
use crate::domain::climate::hourly_series::HourlySeries;
use crate::domain::zone::Zone;
use crate::store::season_weather::check::distance_km;
use crate::store::weather::ImportOptions;
use crate::store::weather::any;
use crate::store::whole;

/// What the archive asks to be said.
pub const CREDIT: &str = "These data were obtained from the NASA Langley Research Center POWER Project funded through the NASA Earth Science Directorate Applied Science Program.";
/// Whom it is asked from, for a sentence.
pub const NAME: &str = "the POWER archive of NASA (power.larc.nasa.gov)";
/// Its address.
pub const BASE_URL: &str = "https://power.larc.nasa.gov";
/// First year with days, and with hours.
pub const FIRST_DAYS: i32 = 1981;
/// See [`FIRST_DAYS`].
pub const FIRST_HOURS: i32 = 2001;
/// A place answered for may lie half a cell (0.5° × 0.625°) off, and not more.
const FAR_KM: f64 = 60.0;
/// Between two requests: clients keep to thirty a minute.
const PAUSE: Duration = Duration::from_millis(2100);

/// Whom to ask, and how.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HistoryConfig {
    /// Address, limits and patience, as for forecasts.
    pub fetch: FetchConfig,
    /// Pause between two requests.
    pub between: Duration,
    /// Are hours wanted too?
    pub hours: bool,
}

impl HistoryConfig {
    /// The archive's own address with ordinary limits. No contact is asked for and none is sent.
    pub fn new(hours: bool) -> Self {
        let mut fetch = FetchConfig::of(Service::Norwegian, "");
        BASE_URL.clone_into(&mut fetch.base_url);
        concat!("barewood/", env!("CARGO_PKG_VERSION")).clone_into(&mut fetch.user_agent);
        fetch.total_timeout = Duration::from_secs(180);
        fetch.most_bytes = 32 << 20;
        Self {
            fetch,
            between: PAUSE,
            hours,
        }
    }
}

/// How a fetch goes on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// A part is asked for, so many of so many.
    Part {
        /// What it is: `days since 1981`, `hours of 2014`.
        what: String,
        /// Which, from 1.
        number: usize,
        /// Of how many.
        of: usize,
    },
    /// As every fetch.
    Net(Progress),
}

/// What has come.
#[derive(Debug, Clone)]
pub struct History {
    /// The days.
    pub days: DailyWeather,
    /// The hours, a series a year.
    pub hours: Vec<HourlySeries>,
    /// Place answered for, degrees north and east.
    pub place: (f64, f64),
    /// Height of its cell, m.
    pub cell_height_m: Option<f64>,
    /// When the newest part of it was received.
    pub received: DateTime<Utc>,
    /// Parts that could not be had, each in words.
    pub lacking: Vec<String>,
}

/// Why there is no history.
#[derive(Debug, Error)]
pub enum HistoryError {
    /// The archive could not be asked, or refused.
    #[error("{0}")]
    Fetch(#[from] FetchError),
    /// It does not take the question.
    #[error("the archive does not take the question: {0}")]
    Refused(String),
    /// The answer cannot be used.
    #[error("the answer for {part} cannot be used: {why}")]
    Answer {
        /// Which part.
        part: String,
        /// Why.
        why: String,
    },
    /// It is for another place.
    #[error("the answer is for a place {0:.0} km away; it was not taken")]
    OtherPlace(f64),
    /// What came cannot be kept.
    #[error("it cannot be kept in {0}: {1}")]
    Keep(PathBuf, std::io::Error),
}

/// One part: the days, or the hours of a year.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Days { to: NaiveDate },
    Hours { year: i32, to: NaiveDate },
}

/// The note beside a kept answer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct Note {
    latitude: f64,
    longitude: f64,
    to: NaiveDate,
    received: DateTime<Utc>,
}

/// To a tenth of a degree: the cells of the archive are coarser.
pub fn rounded(place: Place) -> (f64, f64) {
    let tenth = |degrees: f64| {
        let rounded = (degrees * 10.0).round() / 10.0;
        // No place is sent as minus nothing.
        if rounded == 0.0 { 0.0 } else { rounded }
    };
    (tenth(place.latitude), tenth(place.longitude))
}

impl Part {
    fn words(self) -> String {
        match self {
            Self::Days { .. } => format!("days since {FIRST_DAYS}"),
            Self::Hours { year, .. } => format!("hours of {year}"),
        }
    }

    const fn to(self) -> NaiveDate {
        match self {
            Self::Days { to } | Self::Hours { to, .. } => to,
        }
    }

    /// Is the time it is about over, so that its answer stays as it is?
    fn is_final(self, kept: &Note) -> bool {
        match self {
            Self::Days { to } | Self::Hours { to, .. } => kept.to >= to,
        }
    }

    fn url(self, base: &str, (latitude, longitude): (f64, f64)) -> String {
        let base = base.trim_end_matches('/');
        let place = format!("community=ag&longitude={longitude}&latitude={latitude}");
        match self {
            Self::Days { to } => format!(
                "{base}/api/temporal/daily/point?parameters=T2M_MIN,T2M_MAX,PRECTOTCORR,WS10M,RH2M&{place}&start={FIRST_DAYS}0101&end={}&format=csv&time-standard=LST",
                to.format("%Y%m%d")
            ),
            Self::Hours { year, to } => format!(
                "{base}/api/temporal/hourly/point?parameters=T2M,RH2M,WS10M,WD10M,PRECTOTCORR&{place}&start={year}0101&end={}&format=csv&time-standard=UTC",
                to.format("%Y%m%d")
            ),
        }
    }

    fn file(self, folder: &Path, (latitude, longitude): (f64, f64)) -> PathBuf {
        let what = match self {
            Self::Days { .. } => "days".to_owned(),
            Self::Hours { year, .. } => format!("hours-{year}"),
        };
        folder
            .join("history")
            .join(format!("{latitude}_{longitude}-{what}.csv"))
    }
}

/// The parts a history consists of, as of a day.
fn parts(today: NaiveDate, hours: bool) -> Vec<Part> {
    // The archive ends a few days ago: asked up to yesterday it answers with what it has.
    let to = today.checked_sub_days(Days::new(1)).unwrap_or(today);
    let mut parts = vec![Part::Days { to }];
    if hours {
        for year in (FIRST_HOURS..=to.year()).rev() {
            let end = NaiveDate::from_ymd_opt(year, 12, 31).map_or(to, |e| e.min(to));
            parts.push(Part::Hours { year, to: end });
        }
    }
    parts
}

/// Fetches the history of a place, going on from what `folder` holds.
///
/// # Errors
/// When the days cannot be had; hours that cannot be had are listed as lacking.
pub fn fetch(
    config: &HistoryConfig,
    place: Place,
    zone: Zone,
    folder: &Path,
    now: DateTime<Utc>,
    called_off: &AtomicBool,
    progress: &mut dyn FnMut(Step),
) -> Result<History, HistoryError> {
    config.fetch.check().map_err(FetchError::from)?;
    let on_earth = place.latitude.abs() <= 90.0 && place.longitude.abs() <= 180.0;
    if !on_earth {
        return Err(HistoryError::Refused(format!(
            "{} {} is no place on earth",
            place.latitude, place.longitude
        )));
    }
    let point = rounded(place);
    let today = now.with_timezone(&zone).date_naive();
    let parts = parts(today, config.hours);
    let client = Client::new(&config.fetch, called_off);
    let mut asker = Asker {
        config,
        client: &client,
        point,
        folder,
        now,
        asked: false,
        called_off,
    };
    let mut history: Option<History> = None;
    let mut received = DateTime::<Utc>::UNIX_EPOCH;
    let of = parts.len();
    for (index, part) in parts.into_iter().enumerate() {
        let step = Step::Part {
            what: part.words(),
            number: index + 1,
            of,
        };
        let got = asker.part(part, &step, progress);
        let (read, when) = match (got, history.as_mut()) {
            (Ok(got), _) => got,
            (Err(error), None) => return Err(error),
            (Err(HistoryError::Fetch(FetchError::CalledOff)), Some(_)) => {
                return Err(FetchError::CalledOff.into());
            }
            (Err(error), Some(history)) => {
                history.lacking.push(format!("{}: {error}", part.words()));
                // The archive asks for patience or is away: the rest comes another time.
                if matches!(&error, HistoryError::Fetch(e) if e.is_passing()) {
                    history
                        .lacking
                        .push("the years before it: fetch again to go on there".to_owned());
                    break;
                }
                continue;
            }
        };
        received = received.max(when);
        if let Some(history) = &mut history {
            history.received = received;
            history.hours.extend(read.hours);
            continue;
        }
        let days = read.days.ok_or_else(|| HistoryError::Answer {
            part: part.words(),
            why: "there are no days in it".to_owned(),
        })?;
        history = Some(History {
            days,
            hours: Vec::new(),
            place: read.place,
            cell_height_m: read.height_m,
            received,
            lacking: Vec::new(),
        });
    }
    history.map_or_else(
        || Err(HistoryError::Refused("nothing was asked for".to_owned())),
        |mut history| {
            history.hours.reverse();
            Ok(history)
        },
    )
}

/// An answer read.
struct ReadPart {
    days: Option<DailyWeather>,
    hours: Option<HourlySeries>,
    place: (f64, f64),
    height_m: Option<f64>,
}

struct Asker<'a> {
    config: &'a HistoryConfig,
    client: &'a Client<'a>,
    point: (f64, f64),
    folder: &'a Path,
    now: DateTime<Utc>,
    asked: bool,
    called_off: &'a AtomicBool,
}

impl Asker<'_> {
    /// A part from what is kept, else from the archive.
    fn part(
        &mut self,
        part: Part,
        step: &Step,
        progress: &mut dyn FnMut(Step),
    ) -> Result<(ReadPart, DateTime<Utc>), HistoryError> {
        let path = part.file(self.folder, self.point);
        let kept = self.kept(part, &path);
        if let Some((read, note)) = kept
            && part.is_final(&note)
        {
            return Ok((read, note.received));
        }
        progress(step.clone());
        self.wait()?;
        let url = part.url(&self.config.fetch.base_url, self.point);
        let mut net = |p: Progress| progress(Step::Net(p));
        self.asked = true;
        let reply = match self.client.get(&url, &Condition::default(), &mut net) {
            Ok(reply) => reply,
            Err(FetchError::Refused(status, words)) => {
                return Err(HistoryError::Refused(format!("{status}: {words}")));
            }
            Err(other) => {
                // What is kept is older, but better than nothing.
                return match self.kept(part, &path) {
                    Some((read, note)) if !matches!(other, FetchError::CalledOff) => {
                        Ok((read, note.received))
                    }
                    _ => Err(other.into()),
                };
            }
        };
        let Reply::Document(document) = reply else {
            return Err(HistoryError::Answer {
                part: part.words(),
                why: "'not modified' though nothing was kept".to_owned(),
            });
        };
        let read = self.read(part, &document.body)?;
        self.keep(part, &path, &document.body)?;
        Ok((read, self.now))
    }

    /// The pause between two requests, in short turns so that calling off does not wait.
    fn wait(&self) -> Result<(), HistoryError> {
        if !self.asked {
            return Ok(());
        }
        let turn = Duration::from_millis(20);
        let mut left = self.config.between;
        while !left.is_zero() {
            if self.called_off.load(Ordering::Relaxed) {
                return Err(FetchError::CalledOff.into());
            }
            let now = left.min(turn);
            std::thread::sleep(now);
            left -= now;
        }
        Ok(())
    }

    fn kept(&self, part: Part, path: &Path) -> Option<(ReadPart, Note)> {
        let limited = |path: &Path, most: u64| {
            let mut bytes = Vec::new();
            whole::open_plain(path)
                .ok()?
                .take(most)
                .read_to_end(&mut bytes)
                .ok()?;
            Some(bytes)
        };
        let note: Note =
            serde_json::from_slice(&limited(&path.with_extension("note.json"), 1 << 16)?).ok()?;
        if (note.latitude, note.longitude) != self.point {
            return None;
        }
        let bytes = limited(path, self.config.fetch.most_bytes)?;
        Some((self.read(part, &bytes).ok()?, note))
    }

    /// Keeps an answer whole; the note goes first and comes last, so that it never stands beside
    /// another answer than its own.
    fn keep(&self, part: Part, path: &Path, body: &[u8]) -> Result<(), HistoryError> {
        let note_path = path.with_extension("note.json");
        let note = Note {
            latitude: self.point.0,
            longitude: self.point.1,
            to: part.to(),
            received: self.now,
        };
        let keep = || -> std::io::Result<()> {
            match fs::remove_file(&note_path) {
                Err(e) if e.kind() != std::io::ErrorKind::NotFound => return Err(e),
                _ => {}
            }
            // They tell where the orchard is.
            whole::put_private(path, body)?;
            whole::put_private(&note_path, &serde_json::to_vec(&note)?)
        };
        keep().map_err(|e| HistoryError::Keep(path.to_owned(), e))
    }

    /// Reads an answer and looks it over: whole, of the archive, of the place, of the time.
    fn read(&self, part: Part, body: &[u8]) -> Result<ReadPart, HistoryError> {
        read_answer(part, body, self.point)
    }
}

fn read_answer(part: Part, body: &[u8], point: (f64, f64)) -> Result<ReadPart, HistoryError> {
    let wrong = |why: String| HistoryError::Answer {
        part: part.words(),
        why,
    };
    let orchard = any::Orchard {
        zone: Zone::UTC,
        monthly_means_c: None,
    };
    let options = ImportOptions {
        // Days are days of the sun, hours are asked for in UTC.
        zone: any::ZoneGiven::Utc,
        ..ImportOptions::default()
    };
    let looked = any::look(body, "the answer", &options, &orchard).map_err(|e| {
        wrong(
            e.problems()
                .first()
                .map_or_else(|| e.to_string(), |p| p.what.clone()),
        )
    })?;
    if !looked.understood.is_grid {
        return Err(wrong(
            "it is a table, but not one of this archive".to_owned(),
        ));
    }
    let station = looked.understood.station.clone();
    let place = station
        .as_ref()
        .and_then(|s| s.latitude_deg.zip(s.longitude_deg))
        .ok_or_else(|| wrong("it does not say of which place it is".to_owned()))?;
    let away = distance_km(place, point);
    if away > FAR_KM {
        return Err(HistoryError::OtherPlace(away));
    }
    let read = any::take(vec![looked], &options).map_err(|e| wrong(e.to_string()))?;
    let days = read.days.map(|d| d.data);
    let hours = read.hours.map(|h| h.data);
    match part {
        Part::Days { to } => {
            let days = days
                .as_ref()
                .filter(|_| hours.is_none())
                .map(|d| d.temperatures())
                .ok_or_else(|| wrong("there are no days in it".to_owned()))?;
            let last = days.last().unwrap_or(days.first());
            if last > to {
                return Err(wrong(format!(
                    "it reaches to {last}, beyond what was asked"
                )));
            }
            // A body cut off between two lines is whole lines all the same.
            let lacking = (to - last).num_days();
            if days.first().year() > FIRST_DAYS || lacking > 190 {
                return Err(wrong(format!(
                    "it holds {} to {last} alone: it is cut off, or years are missing",
                    days.first()
                )));
            }
        }
        Part::Hours { year, to } => {
            let hours = hours
                .as_ref()
                .ok_or_else(|| wrong("there are no hours in it".to_owned()))?;
            let last = hours.last().map_or(to, |t| t.date_naive());
            let days_lacking = (to - last).num_days();
            let over = hours.first().year() != year || last > to;
            if over || days_lacking > 190 || (to.ordinal() > 300 && hours.len() < 24 * 100) {
                return Err(wrong(format!(
                    "it does not hold the hours of {year}: it is cut off, or of another year"
                )));
            }
        }
    }
    Ok(ReadPart {
        days,
        hours,
        place,
        height_m: station.and_then(|s| s.elevation_m),
    })
}

/// Any bytes as an answer of the archive: for tests that throw bytes at it.
///
/// # Errors
/// As every answer that cannot be used.
pub fn try_answer(body: &[u8], hours: bool) -> Result<usize, HistoryError> {
    let day = |y, m, d| NaiveDate::from_ymd_opt(y, m, d).unwrap_or_default();
    let part = if hours {
        Part::Hours {
            year: 2014,
            to: day(2014, 12, 31),
        }
    } else {
        Part::Days {
            to: day(2026, 11, 26),
        }
    };
    let read = read_answer(part, body, (43.1, -77.6))?;
    Ok(read
        .days
        .map_or(0, |d| d.temperatures().len())
        .max(read.hours.map_or(0, |h| h.len())))
}
