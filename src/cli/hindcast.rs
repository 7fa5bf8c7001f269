//! `barewood hindcast`: how good the estimate would have been on recorded dates, or answers to
//! wanted dates.

mod input;
mod output;

use std::io::Write;
use std::path::PathBuf;
use std::sync::mpsc;

use chrono::NaiveDate;
use thiserror::Error;

use crate::domain::phenology::hindcast::{
    Answer, Observation, Places, Scored, Settings, Wanted, answer,
};

/// Form of the output.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum OutputForm {
    /// A table for people.
    #[default]
    Text,
    /// One JSON object.
    Json,
    /// Comma-separated values with a header.
    Csv,
}

/// Arguments of the command.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HindcastArgs {
    /// Recorded dates: `species,cultivar,site,stage,year,date`, other columns ignored.
    pub observations: PathBuf,
    /// Folder with `<site in lower case>.csv` of `date,tmin_c,tmax_c`.
    pub temperatures: PathBuf,
    /// Places: `station,country,lat,lon`.
    pub stations: PathBuf,
    /// Wanted dates: `species,cultivar,site,stage,year[,issue_on]`. Without it every recorded date
    /// is answered from the other years, on five issue days and with the whole season known.
    pub predict: Option<PathBuf>,
    /// Form of the output.
    pub form: OutputForm,
}

/// Why a hindcast cannot be made.
#[derive(Debug, Error)]
pub enum HindcastError {
    /// A file cannot be opened or read.
    #[error("cannot read {file}: {why}")]
    Read {
        /// The file.
        file: String,
        /// What the system says.
        why: String,
    },
    /// A line makes no sense.
    #[error("{file}, line {line}: {what}; {instead}")]
    Content {
        /// The file.
        file: String,
        /// Line number, the header being line 1.
        line: u64,
        /// What is wrong.
        what: String,
        /// What to write instead.
        instead: String,
    },
    /// The result cannot be written.
    #[error("cannot write the result: {0}")]
    Write(#[from] std::io::Error),
}

/// Runs the hindcast and writes its result to `out`; `progress` hears the share done (0–1) and
/// what is being done.
pub fn run(
    args: &HindcastArgs,
    out: &mut dyn Write,
    progress: &mut dyn FnMut(f64, &str),
) -> Result<(), HindcastError> {
    progress(0.0, "reading records and temperatures");
    let observations = input::observations(&args.observations)?;
    let wanted_rows = args.predict.as_deref().map(input::wanted).transpose()?;
    let places = input::places(args, &observations, wanted_rows.as_deref())?;
    if let Some(wanted) = wanted_rows {
        let answers = answers(&places, &observations, &wanted, "answering", progress);
        return Ok(output::rows(&wanted, &answers, args.form, out)?);
    }
    let mut scored = Vec::new();
    let wanted: Vec<Wanted> = IssueDay::ALL
        .iter()
        .flat_map(|issue| {
            let places = &places;
            observations.iter().map(move |o| Wanted {
                series: o.series.clone(),
                year: o.year,
                issue_on: issue.date(
                    o.year,
                    places.find(&o.series.site).map_or(0.0, |p| p.latitude_deg),
                ),
            })
        })
        .collect();
    let answers = answers(
        &places,
        &observations,
        &wanted,
        "leaving out one year after another",
        progress,
    );
    let mut unanswered = 0;
    for (i, answer) in answers.iter().enumerate() {
        let (Some(issue), Some(seen)) = (
            IssueDay::ALL.get(i / observations.len().max(1)),
            observations.get(i % observations.len().max(1)),
        ) else {
            continue;
        };
        match answer {
            Some(answer) => scored.push((*issue, seen, Scored::new(answer, seen.date))),
            None => unanswered += 1,
        }
    }
    Ok(output::scores(&scored, unanswered, args.form, out)?)
}

fn answers(
    places: &Places,
    observations: &[Observation],
    wanted: &[Wanted],
    what: &str,
    progress: &mut dyn FnMut(f64, &str),
) -> Vec<Option<Answer>> {
    let (told, hears) = mpsc::channel();
    let mut out = Vec::new();
    std::thread::scope(|scope| {
        let work = scope.spawn(move || {
            answer(
                places,
                observations,
                wanted,
                &Settings::default(),
                &move |share| {
                    // Nobody listening is no reason to stop.
                    let _ = told.send(share);
                },
            )
        });
        for share in hears {
            progress(share, what);
        }
        out = work.join().unwrap_or_default();
    });
    out
}

/// Days on which the estimate is asked for, counted from the start of the year in the north and
/// half a year later in the south.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum IssueDay {
    Season,
    On(u32, u32),
}

impl IssueDay {
    const ALL: [Self; 6] = [
        Self::Season,
        Self::On(1, 1),
        Self::On(1, 15),
        Self::On(2, 1),
        Self::On(2, 15),
        Self::On(3, 1),
    ];

    fn date(self, year: i32, latitude_deg: f64) -> Option<NaiveDate> {
        let Self::On(month, day) = self else {
            return None;
        };
        let month = if latitude_deg < 0.0 { month + 6 } else { month };
        NaiveDate::from_ymd_opt(year, month, day)
    }

    fn words(self) -> String {
        match self {
            Self::Season => "season known".to_owned(),
            Self::On(month, day) => format!("{month:02}-{day:02}"),
        }
    }
}
