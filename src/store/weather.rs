//! Weather files: daily and hourly records of a place, from the open formats they come in.
//!
//! | format | what | read by |
//! |---|---|---|
//! | daily CSV | `date,tmin_c,tmax_c` and many other headers, °C or °F | [`read_daily`] |
//! | station CSV | by-station form of the global historical daily archive, in tenths | [`read_daily`] |
//! | station fixed width | `.dly` form of the same archive | [`read_daily`] |
//! | compact history | our own packed days, see [`history`] | [`read_daily`] |
//! | hourly CSV | `utc,temp_c,dewp_c,…` | [`read_hourly`] |
//! | typical year | TMY3, two header lines | [`read_hourly`] |
//!
//! Two kinds of trouble: what makes the content unreadable (no such date, a word for a number)
//! refuses the file and is listed, up to twenty places at once; what concerns single days
//! (minimum above maximum, a day twice, impossible values, gaps) leaves those days missing and
//! is told in the [`ImportReport`]. With [`ImportOptions::strict`] the second kind refuses too.

pub mod any;
mod daily_csv;
mod day_grid;
mod header;
pub mod history;
mod hour_grid;
mod hourly_csv;
mod hourly_header;
mod number;
mod problem;
mod report;
mod sniff;
mod station_csv;
mod station_dly;
mod table;
mod tmy3;

use std::io::{BufRead, BufReader, Read};

use crate::domain::climate::daily_weather::DailyWeather;
use crate::domain::climate::hourly_series::HourlySeries;
use crate::domain::climate::temperature::TemperatureScale;

pub use hourly_csv::write as write_hourly;
pub use problem::{ImportError, ImportProblem, Problems, shown, shown_long};
pub use report::{ImportReport, Station};
pub use sniff::WeatherFormat;

/// What the caller knows about a file that the file does not say itself.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ImportOptions {
    /// Scale of temperature columns whose header names none.
    pub scale: Option<TemperatureScale>,
    /// Header of the date column, where it is not recognised.
    pub date_column: Option<String>,
    /// Header of the minimum column, where it is not recognised.
    pub tmin_column: Option<String>,
    /// Header of the maximum column, where it is not recognised.
    pub tmax_column: Option<String>,
    /// Refuse the file for what would otherwise leave single days missing.
    pub strict: bool,
    /// Year to lay a typical year on; 2001 if none is given.
    pub typical_year: Option<i32>,
    /// Are whole numbers tenths of °C, where nothing else says so?
    pub tenths: bool,
    /// Header of the time column, where it is not recognised.
    pub time_column: Option<String>,
    /// Header of the column of temperatures of a table of hours.
    pub temp_column: Option<String>,
    /// Order of the numbers of a day, where the file does not tell.
    pub dates: Option<any::dates::DateOrder>,
    /// Whose clock the times show.
    pub zone: any::ZoneGiven,
    /// The same as it was written.
    pub zone_text: Option<String>,
    /// Sheet of a workbook.
    pub sheet: Option<String>,
    /// Name of the file, for questions.
    pub file_name: Option<String>,
}

impl ImportOptions {
    /// Sets the unit for temperatures whose header names none.
    pub const fn set_degrees(&mut self, degrees: any::forms::Degrees) {
        self.tenths = matches!(degrees, any::forms::Degrees::Tenths);
        self.scale = match degrees {
            any::forms::Degrees::Celsius => Some(TemperatureScale::Celsius),
            any::forms::Degrees::Fahrenheit => Some(TemperatureScale::Fahrenheit),
            any::forms::Degrees::Tenths => None,
        };
    }

    /// The unit given for temperatures whose header names none.
    pub const fn degrees(&self) -> Option<any::forms::Degrees> {
        match self.scale {
            _ if self.tenths => Some(any::forms::Degrees::Tenths),
            Some(TemperatureScale::Celsius) => Some(any::forms::Degrees::Celsius),
            Some(TemperatureScale::Fahrenheit) => Some(any::forms::Degrees::Fahrenheit),
            None => None,
        }
    }
}

/// Data read from a file, and what happened on the way.
#[derive(Debug, Clone, PartialEq)]
pub struct Imported<T> {
    /// The data.
    pub data: T,
    /// What was read, kept, dropped and odd.
    pub report: ImportReport,
}

/// Reads daily weather in whichever of the daily formats it is. `file` names it in messages.
///
/// # Errors
/// When it cannot be read, is of an hourly format, or its content is wrong.
pub fn read_daily(
    input: impl Read,
    file: &str,
    options: &ImportOptions,
) -> Result<Imported<DailyWeather>, ImportError> {
    let (format, mut input) = open(input, file)?;
    match format {
        WeatherFormat::DailyCsv => daily_csv::read(input, file, options),
        WeatherFormat::StationCsv => station_csv::read(input, file, options),
        WeatherFormat::StationDly => station_dly::read(input, file, options),
        WeatherFormat::History => {
            let mut bytes = Vec::new();
            input
                .read_to_end(&mut bytes)
                .map_err(|e| ImportError::read(file, e))?;
            history::decode(&bytes)
                .map(|data| Imported {
                    report: ImportReport::of_history(file, &data),
                    data,
                })
                .map_err(|e| {
                    ImportError::one(
                        file,
                        0,
                        &e.to_string(),
                        "import the original weather file again",
                    )
                })
        }
        // Tables are told apart by [`any`], never by their first bytes.
        WeatherFormat::HourlyCsv
        | WeatherFormat::Tmy3
        | WeatherFormat::Table
        | WeatherFormat::TableOfHours => Err(ImportError::one(
            file,
            1,
            "this is an hourly file",
            "a daily file has one line a day with date, tmin_c and tmax_c",
        )),
    }
}

/// Reads hourly weather in whichever of the hourly formats it is. `file` names it in messages.
///
/// # Errors
/// When it cannot be read, is of a daily format, or its content is wrong.
pub fn read_hourly(
    input: impl Read,
    file: &str,
    options: &ImportOptions,
) -> Result<Imported<HourlySeries>, ImportError> {
    let (format, input) = open(input, file)?;
    match format {
        WeatherFormat::HourlyCsv => hourly_csv::read(input, file, options),
        WeatherFormat::Tmy3 => tmy3::read(input, file, options),
        _ => Err(ImportError::one(
            file,
            1,
            "this is not an hourly file",
            "an hourly file has one line an hour with utc and temp_c",
        )),
    }
}

/// The format of a file, from its beginning (a few kilobytes suffice).
pub fn format_of(head: &[u8]) -> WeatherFormat {
    sniff::format_of(head)
}

fn open<R: Read>(
    input: R,
    file: &str,
) -> Result<(WeatherFormat, BufReader<table::Limited<R>>), ImportError> {
    let mut input = BufReader::with_capacity(1 << 16, table::Limited::new(input));
    let head = input.fill_buf().map_err(|e| ImportError::read(file, e))?;
    if head.is_empty() {
        return Err(ImportError::one(
            file,
            0,
            "the file is empty",
            "it should begin with a header line such as date,tmin_c,tmax_c",
        ));
    }
    Ok((sniff::format_of(head), input))
}

#[cfg(test)]
mod tests;
