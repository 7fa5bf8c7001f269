//! Any table of weather: finds it in whatever a grower saved, says what it understood, and asks
//! what it cannot know.
//!
//! | step | where |
//! |---|---|
//! | bytes to text: packed files, workbooks, encodings | `decode` |
//! | the table in the text | `find` |
//! | what its columns are: options, then form, then names, then cells | `mapping`, `forms`, `names` |
//! | which number of a day is the day | `order` |
//! | the unit, where nothing names it: what the place's climate allows | `settle` |
//! | rows to days and hours | `rows`, `taken` |

pub mod ask;
mod by_element;
pub mod dates;
mod decode;
mod find;
pub mod forms;
mod json;
mod mapping;
mod names;
mod order;
mod preamble;
mod rows;
pub mod settle;
mod taken;
mod words;

use std::fmt;

use super::problem::{ImportError, shown, shown_file};
use super::report::{ImportReport, Station};
use super::{ImportOptions, Imported};
use crate::domain::climate::daily_weather::DailyWeather;
use crate::domain::climate::hourly_series::HourlySeries;
use crate::domain::zone::Zone;
use ask::{Ask, Question};
use find::Found;
use forms::Degrees;
use mapping::{Around, Layout};
use rows::Setting;
use taken::Taken;

/// Whose clock the times of a file show.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ZoneGiven {
    /// As header or cells say, else the orchard's own clock.
    #[default]
    AsTheFileSays,
    /// The orchard's clock, summer time and all.
    Local,
    /// The orchard's standard time, all year.
    Standard,
    /// UTC.
    Utc,
    /// So many seconds east of UTC.
    Offset(i64),
    /// Another zone.
    Named(Zone),
}

impl ZoneGiven {
    /// Reads the option: `local`, `standard`, `utc`, `-05:00` or a zone's name.
    ///
    /// # Errors
    /// With words where it is none of them.
    pub fn from_key(text: &str) -> Result<Self, String> {
        let text = text.trim();
        match text.to_lowercase().as_str() {
            "local" => return Ok(Self::Local),
            "standard" => return Ok(Self::Standard),
            "utc" | "gmt" | "z" => return Ok(Self::Utc),
            _ => {}
        }
        if text.starts_with(['+', '-']) {
            let clock = dates::offset_of(text);
            return clock.map(Self::Offset).ok_or_else(|| {
                format!("'{text}' is no distance from UTC; write for instance -05:00")
            });
        }
        text.parse().map(Self::Named).map_err(|_| {
            format!("'{text}' is no zone; write local, standard, utc, -05:00 or a name such as America/New_York")
        })
    }
}

/// The cells of a workbook, sheet after sheet; `None` where the bytes are none.
pub fn sheets(bytes: &[u8], file: &str) -> Option<Result<Vec<Vec<String>>, ImportError>> {
    decode::sheets(bytes, file)
}

/// The text of a file in whatever encoding, packed or not.
///
/// # Errors
/// Where it is no text, with what it is.
pub fn text(bytes: &[u8], file: &str) -> Result<String, ImportError> {
    decode::text_of(bytes, file, None).map(|read| read.text)
}

/// What is known of the orchard a file is brought in for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Orchard {
    /// Its clock.
    pub zone: Zone,
    /// Its monthly mean temperatures, °C, January first, as far as they are known.
    pub monthly_means_c: Option<[f64; 12]>,
}

/// What was understood of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Understood {
    /// Facts, each a short line: where the table is, columns, unit, days, clock.
    pub lines: Vec<String>,
    /// Names of the columns, fit for a screen.
    pub columns: Vec<String>,
    /// The first rows, cell by cell, fit for a screen.
    pub first_rows: Vec<Vec<String>>,
    /// The station or the place the file names.
    pub station: Option<Station>,
    /// The form of an archive, where it is one.
    pub form: Option<&'static str>,
    /// Is it worked out for a cell of a grid, not measured at a station?
    pub is_grid: bool,
}

/// A table looked at: what was understood, and its data or the questions in their way.
#[derive(Debug, Clone)]
pub struct Looked {
    /// What was understood.
    pub understood: Understood,
    taken: Option<Taken>,
    /// What has to be answered first.
    pub asks: Vec<Ask>,
}

/// Days and hours read from one or more tables.
#[derive(Debug, Clone)]
pub struct Read {
    /// Days, from rows of days or made of hours.
    pub days: Option<Imported<DailyWeather>>,
    /// Hours.
    pub hours: Option<Imported<HourlySeries>>,
    /// Is it a typical year?
    pub typical: bool,
    /// Lines that held no values and were left aside.
    pub skipped: u64,
}

/// Why a table cannot be taken.
#[derive(Debug)]
pub enum Refused {
    /// Nothing in the file is a table of weather, or its content is wrong.
    Wrong(ImportError),
    /// Something has to be answered first; `file` names it.
    Asks {
        /// The file.
        file: String,
        /// The questions.
        asks: Vec<Ask>,
        /// What was understood so far.
        lines: Vec<String>,
    },
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Wrong(error) => write!(f, "{error}"),
            Self::Asks { file, asks, lines } => {
                write!(f, "{}: not brought in yet", shown_file(file))?;
                for line in lines {
                    write!(f, "\n  {line}")?;
                }
                for ask in asks {
                    write!(f, "\n  ? {ask}")?;
                }
                Ok(())
            }
        }
    }
}

impl From<ImportError> for Refused {
    fn from(error: ImportError) -> Self {
        Self::Wrong(error)
    }
}

/// Rows shown of a table.
const SHOWN_ROWS: usize = 5;
/// Rows the layout is made from.
const SAMPLE: usize = 60;

/// Looks at the bytes of a file. `file` names it in messages.
///
/// # Errors
/// Where it holds no table that could be one of weather.
pub fn look(
    bytes: &[u8],
    file: &str,
    options: &ImportOptions,
    orchard: &Orchard,
) -> Result<Looked, ImportError> {
    let mut decoded = decode::text_of(bytes, file, options.sheet.as_deref())?;
    if let Some(table) = json::table_of(&decoded.text, file)? {
        decoded.text = table;
        decoded.steps.push("JSON".to_owned());
    }
    let lines: Vec<&str> = decoded.text.lines().collect();
    if let Some(taken) = by_element::read(&lines, file) {
        return Ok(Looked {
            understood: Understood {
                lines: vec![
                    "table: one element a line, in tenths (global daily archive)".to_owned(),
                ],
                columns: Vec::new(),
                first_rows: first_rows(&lines, 0, find::Separator::Sign(b',')),
                station: taken.station.clone(),
                form: Some("global daily archive"),
                is_grid: false,
            },
            taken: Some(taken),
            asks: Vec::new(),
        });
    }
    let mut found = find::table(&lines).ok_or_else(|| {
        ImportError::one(
            file,
            0,
            "no table was found in it: no lines with a day and numbers that split alike",
            "it needs one line a day or an hour; save the table itself as CSV or as a workbook",
        )
    })?;
    forms::named(&mut found, &lines);
    Ok(understand(
        &decoded.steps,
        &lines,
        &found,
        file,
        options,
        orchard,
    ))
}

fn first_rows(lines: &[&str], first: usize, separator: find::Separator) -> Vec<Vec<String>> {
    lines
        .iter()
        .skip(first)
        .filter(|l| !l.trim().is_empty())
        .take(SHOWN_ROWS)
        .map(|l| {
            let cells = separator.split(l);
            cells.iter().take(40).map(|c| shown(c.as_bytes())).collect()
        })
        .collect()
}

/// The sign of decimals in the cells of a table.
fn point_of(found: &Found, sample: &mapping::Sample<'_>) -> char {
    let like = |cell: &str, sign: char| {
        let cell = cell.trim().trim_start_matches(['-', '+', '\u{2212}']);
        cell.split_once(sign).is_some_and(|(a, b)| {
            !a.is_empty()
                && a.len() < 5
                && a.bytes().all(|c| c.is_ascii_digit())
                && b.starts_with(|c: char| c.is_ascii_digit())
                && b.len() < 8
                && !b.contains(sign)
        })
    };
    let count = |sign: char| {
        sample
            .iter()
            .flatten()
            .filter(|c| {
                like(c, sign)
                    && dates::when(c).is_none()
                    && dates::clock(c).is_none_or(|_| c.len() > 5 || sign == ',')
            })
            .count()
    };
    let _ = found;
    if count(',') > count('.') { ',' } else { '.' }
}

fn understand(
    steps: &[String],
    lines: &[&str],
    found: &Found,
    file: &str,
    options: &ImportOptions,
    orchard: &Orchard,
) -> Looked {
    let sample: mapping::Sample<'_> = lines
        .iter()
        .skip(found.first)
        .filter(|l| !l.trim().is_empty() && !l.trim_start().starts_with('#'))
        .take(SAMPLE)
        .map(|l| found.separator.split(l))
        .collect();
    let around_table = preamble::read(lines, found);
    let (mut hints, by_form) = forms::of(found);
    if hints.degrees.is_none() && hints.name.is_empty() {
        hints.typical = around_table.typical;
    }
    let mut asks = Vec::new();
    let layout = mapping::layout(
        found,
        &sample,
        &Around {
            hints,
            by_form: &by_form,
            said_degrees: around_table.degrees,
            single: around_table.single,
        },
        options,
        &mut asks,
    );
    let mut said = vec![where_line(steps, found)];
    if !hints.name.is_empty() {
        said.push(format!("form: {}", hints.name));
    }
    let mut looked = Looked {
        understood: Understood {
            lines: said,
            columns: found.names.iter().map(|n| shown(n.as_bytes())).collect(),
            first_rows: first_rows(lines, found.first, found.separator),
            station: around_table.station.clone(),
            form: Some(hints.name).filter(|n| !n.is_empty()),
            is_grid: hints.name.starts_with("POWER") || hints.name.contains("PVGIS"),
        },
        taken: None,
        asks,
    };
    let Some(mut layout) = layout else {
        return looked;
    };
    looked.understood.lines.push(columns_line(found, &layout));
    let mut orders = order::Orders::default();
    if let mapping::DayAt::Column(column) = layout.day {
        for line in lines.iter().skip(found.first) {
            let cells = found.separator.split(line);
            if let Some(when) = cells.get(column).and_then(|c| dates::when(c)) {
                orders.add(when.day);
            }
        }
    }
    let order = match orders.settled(options.dates) {
        Ok(None) => None,
        Ok(Some((order, why))) => {
            let line = format!("days: {} ({why})", order.words());
            looked.understood.lines.push(line);
            Some(order)
        }
        Err(ask) => {
            looked.asks.push(ask);
            None
        }
    };
    if layout.clock != mapping::ClockAt::None {
        looked
            .understood
            .lines
            .push(clock_line(&layout, options, orchard, around_table.offset_s));
    }
    let setting = |layout: &Layout| -> Taken {
        let mut taken = Setting {
            found,
            layout,
            hints,
            point: point_of(found, &sample),
            order,
            zone: options.zone,
            local: orchard.zone,
            offset_s: around_table.offset_s,
            file,
        }
        .read(lines);
        if let Some(station) = &around_table.station {
            let own = taken.station.get_or_insert_with(Station::default);
            own.latitude_deg = own.latitude_deg.or(station.latitude_deg);
            own.longitude_deg = own.longitude_deg.or(station.longitude_deg);
            own.elevation_m = own.elevation_m.or(station.elevation_m);
        }
        taken
    };
    let open = layout.degrees().any(|d| d.degrees.is_none());
    if open && looked.asks.is_empty() {
        let tries = Degrees::ALL.map(|degrees| {
            let mut layout = layout.clone();
            layout.settle(degrees);
            let taken = setting(&layout);
            (degrees, taken)
        });
        match settle::unit(&tries, orchard.monthly_means_c.as_ref()) {
            Ok((degrees, why)) => {
                looked
                    .understood
                    .lines
                    .push(format!("unit: {} ({why})", degrees.words()));
                layout.settle(degrees);
                // Rain without a unit goes with the temperatures where its form says so.
                let lines = &mut looked.understood.lines;
                if let Some(columns) = lines.iter_mut().find(|l| l.starts_with("columns: ")) {
                    *columns = columns_line(found, &layout);
                }
            }
            Err(why) => looked.asks.push(Ask::new(
                Question::Unit,
                why,
                "say it with --unit C or --unit F (--unit tenths for whole tenths of °C)"
                    .to_owned(),
            )),
        }
    } else if let Some(degrees) = layout.degrees().find_map(|d| d.degrees) {
        looked
            .understood
            .lines
            .push(format!("unit: {}", degrees.words()));
    }
    if let Some((column, _)) = layout.rain_open {
        let name = found.names.get(column).map_or("", String::as_str);
        let name = shown(name.as_bytes());
        looked.understood.lines.push(format!(
            "rain: not taken: nothing names the unit of {name}; write it into the heading, as {name} (mm) or {name} (in)"
        ));
    }
    // An option that contradicts the header is an error of one of them: it is told.
    if looked.asks.is_empty() {
        let taken = setting(&layout);
        looked.understood.station.clone_from(&taken.station);
        looked.taken = Some(taken);
    }
    looked
}

fn where_line(steps: &[String], found: &Found) -> String {
    let mut line = format!(
        "table: from line {}, {} columns, separated by {}",
        found.first + 1,
        found.width,
        found.separator.words()
    );
    if found.names_line > 0 {
        line = format!("{line}, names on line {}", found.names_line);
    }
    for step in steps {
        line = format!("{line}; {step}");
    }
    line
}

fn columns_line(found: &Found, layout: &Layout) -> String {
    let name = |column: usize| {
        found
            .names
            .get(column)
            .filter(|n| !n.is_empty())
            .map_or_else(|| format!("column {}", column + 1), |n| shown(n.as_bytes()))
    };
    let mut parts = Vec::new();
    match layout.day {
        mapping::DayAt::Column(c) => parts.push(format!("day = {}", name(c))),
        mapping::DayAt::Parts { year, month, day } => parts.push(format!(
            "day = {} {} {}",
            name(year),
            name(month),
            name(day)
        )),
        mapping::DayAt::OfYear { year, day } => {
            parts.push(format!("day = {} {}", name(year), name(day)));
        }
    }
    match layout.clock {
        mapping::ClockAt::Column(c) => parts.push(format!("time = {}", name(c))),
        mapping::ClockAt::Hour { hour, .. } => parts.push(format!("time = {}", name(hour))),
        mapping::ClockAt::WithDay | mapping::ClockAt::None => {}
    }
    for (what, column) in [
        ("minimum", layout.low.map(|d| d.column)),
        ("maximum", layout.high.map(|d| d.column)),
        ("temperature", layout.temp.map(|d| d.column)),
        ("dew point", layout.dew.map(|d| d.column)),
        ("humidity", layout.humidity),
        ("rain", layout.rain.map(|s| s.column)),
        ("wind", layout.wind.map(|s| s.column)),
        ("gusts", layout.gust.map(|s| s.column)),
    ] {
        if let Some(column) = column {
            parts.push(format!("{what} = {}", name(column)));
        }
    }
    format!("columns: {}", parts.join(", "))
}

fn clock_line(
    layout: &Layout,
    options: &ImportOptions,
    orchard: &Orchard,
    offset_s: Option<i64>,
) -> String {
    let local = || format!("the orchard's clock, {}", orchard.zone);
    match (options.zone, offset_s, layout.said) {
        (ZoneGiven::AsTheFileSays, Some(seconds), _) => {
            format!(
                "times: {:+.1} h from UTC, as the file says",
                seconds as f64 / 3600.0
            )
        }
        (ZoneGiven::AsTheFileSays, None, names::Said::Utc) => "times: UTC".to_owned(),
        (ZoneGiven::AsTheFileSays, None, names::Said::Standard) | (ZoneGiven::Standard, ..) => {
            "times: standard time all year".to_owned()
        }
        (ZoneGiven::AsTheFileSays, None, names::Said::Nothing) => format!(
            "times: {} where a cell does not say otherwise (--zone names another)",
            local()
        ),
        (ZoneGiven::Local, ..) => format!("times: {}", local()),
        (ZoneGiven::Utc, ..) => "times: UTC, as --zone says".to_owned(),
        (ZoneGiven::Offset(seconds), ..) => {
            format!(
                "times: {:+.1} h from UTC, as --zone says",
                seconds as f64 / 3600.0
            )
        }
        (ZoneGiven::Named(zone), ..) => format!("times: {zone}, as --zone says"),
    }
}

/// Makes days and hours of what was looked at: two files with one half each are one record.
///
/// # Errors
/// Where something has to be answered first, or the content is wrong.
pub fn take(looked: Vec<Looked>, options: &ImportOptions) -> Result<Read, Refused> {
    let mut all: Option<Taken> = None;
    for one in looked {
        let Some(taken) = one.taken else {
            return Err(Refused::Asks {
                file: options.file_name.clone().unwrap_or_default(),
                asks: one.asks,
                lines: one.understood.lines,
            });
        };
        match &mut all {
            Some(all) => all.join(taken),
            None => all = Some(taken),
        }
    }
    let Some(taken) = all else {
        return Err(ImportError::one("", 0, "no file was named", "name one").into());
    };
    if !taken.problems.is_empty() {
        return Err(ImportError::Content(taken.problems).into());
    }
    if taken.hours.is_empty() {
        match taken.halves() {
            (true, false) | (false, true) => {
                let (there, lacking) = if taken.halves().0 {
                    ("minima", "maxima")
                } else {
                    ("maxima", "minima")
                };
                return Err(Refused::Asks {
                    file: taken.file.clone(),
                    asks: vec![Ask::new(
                        Question::OtherHalf,
                        format!("it holds {there} alone"),
                        format!(
                            "bring it in together with the file of the {lacking}: barewood weather add FILE FILE"
                        ),
                    )],
                    lines: Vec::new(),
                });
            }
            _ => {}
        }
    }
    let imported = |(data, report): (DailyWeather, ImportReport)| Imported { data, report };
    let days = if taken.typical {
        None
    } else {
        match taken.daily(options.strict) {
            Ok(days) => Some(imported(days)),
            // A few hours make no day; they are hours all the same.
            Err(_) if !taken.hours.is_empty() => None,
            Err(error) => return Err(error.into()),
        }
    };
    let hours = if taken.hours.is_empty() {
        None
    } else {
        let (data, report) = taken.hourly(options.typical_year)?;
        Some(Imported { data, report })
    };
    Ok(Read {
        days,
        hours,
        typical: taken.typical,
        skipped: taken.skipped,
    })
}

/// Monthly means of what was looked at, for the check against the climate of the place.
impl Looked {
    /// Monthly mean temperatures with the number of days each is of.
    pub fn monthly_means(&self) -> Option<[Option<(f64, u32)>; 12]> {
        self.taken
            .as_ref()
            .filter(|t| !t.typical)
            .map(Taken::monthly_means)
    }

    /// Does it hold only one half, minima or maxima?
    pub fn is_half(&self) -> bool {
        self.taken.as_ref().is_some_and(|t| {
            let (low, high) = t.halves();
            t.hours.is_empty() && low != high
        })
    }
}
