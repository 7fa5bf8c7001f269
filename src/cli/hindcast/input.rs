//! Reads the tables of a hindcast.

use std::collections::BTreeSet;
use std::fs::File;
use std::path::Path;

use chrono::{Datelike, NaiveDate};

use super::{HindcastArgs, HindcastError};
use crate::domain::phenology::hindcast::{Observation, Places, SeriesName, Wanted};
use crate::store::weather::{ImportOptions, read_daily};

/// A table with its header, row by row.
struct Table {
    file: String,
    columns: Vec<String>,
    reader: csv::Reader<File>,
}

/// A row with its line number.
struct Row<'a> {
    table: &'a Table,
    line: u64,
    record: csv::StringRecord,
}

fn read_error(file: &str, why: &dyn std::fmt::Display) -> HindcastError {
    HindcastError::Read {
        file: file.to_owned(),
        why: why.to_string(),
    }
}

impl Table {
    fn open(path: &Path) -> Result<Self, HindcastError> {
        let file = path.display().to_string();
        let opened = File::open(path).map_err(|e| read_error(&file, &e))?;
        let mut reader = csv::ReaderBuilder::new()
            .flexible(true)
            .trim(csv::Trim::All)
            .from_reader(opened);
        let header = reader.headers().map_err(|e| read_error(&file, &e))?;
        let columns = header
            .iter()
            .map(|c| c.trim_start_matches('\u{feff}').to_lowercase())
            .collect();
        Ok(Self {
            file,
            columns,
            reader,
        })
    }

    fn need(&self, columns: &[&str]) -> Result<(), HindcastError> {
        for column in columns {
            if !self.columns.iter().any(|c| c == column) {
                return Err(HindcastError::Content {
                    file: self.file.clone(),
                    line: 1,
                    what: format!("no column \"{column}\""),
                    instead: format!("the header needs {}", columns.join(",")),
                });
            }
        }
        Ok(())
    }

    fn each<T>(
        mut self,
        mut take: impl FnMut(&Row<'_>) -> Result<T, HindcastError>,
    ) -> Result<Vec<T>, HindcastError> {
        let mut out = Vec::new();
        let mut record = csv::StringRecord::new();
        while self
            .reader
            .read_record(&mut record)
            .map_err(|e| read_error(&self.file, &e))?
        {
            let line = record.position().map_or(0, csv::Position::line);
            let row = Row {
                table: &self,
                line,
                record: std::mem::take(&mut record),
            };
            if !row.record.iter().all(str::is_empty) {
                out.push(take(&row)?);
            }
        }
        Ok(out)
    }
}

impl Row<'_> {
    fn get(&self, column: &str) -> &str {
        let place = self.table.columns.iter().position(|c| c == column);
        place.and_then(|i| self.record.get(i)).unwrap_or_default()
    }

    fn wrong(&self, what: String, instead: &str) -> HindcastError {
        HindcastError::Content {
            file: self.table.file.clone(),
            line: self.line,
            what,
            instead: instead.to_owned(),
        }
    }

    fn named(&self, column: &str) -> Result<String, HindcastError> {
        let text = self.get(column);
        if text.is_empty() {
            return Err(self.wrong(format!("{column} is empty"), "every row needs one"));
        }
        Ok(text.to_owned())
    }

    fn number<T: std::str::FromStr>(
        &self,
        column: &str,
        instead: &str,
    ) -> Result<T, HindcastError> {
        let text = self.get(column);
        text.parse()
            .map_err(|_| self.wrong(format!("{column} \"{text}\" is no number"), instead))
    }

    fn date(&self, column: &str) -> Result<NaiveDate, HindcastError> {
        let text = self.get(column);
        text.parse().map_err(|_| {
            self.wrong(
                format!("{column} \"{text}\" is no date"),
                "write it like 2015-04-02",
            )
        })
    }

    fn series(&self) -> Result<SeriesName, HindcastError> {
        Ok(SeriesName {
            species: self.named("species")?,
            stage: self.named("stage")?,
            site: self.named("site")?,
            cultivar: self.get("cultivar").to_owned(),
        })
    }
}

/// Recorded dates.
pub(super) fn observations(path: &Path) -> Result<Vec<Observation>, HindcastError> {
    let table = Table::open(path)?;
    table.need(&["species", "cultivar", "site", "stage", "year", "date"])?;
    table.each(|row| {
        let year: i32 = row.number("year", "write it like 2015")?;
        let date = row.date("date")?;
        if (date.year() - year).abs() > 1 {
            return Err(row.wrong(
                format!("{date} does not lie in the spring of {year}"),
                "the year is that of the spring",
            ));
        }
        Ok(Observation {
            series: row.series()?,
            year,
            date,
        })
    })
}

/// Wanted dates.
pub(super) fn wanted(path: &Path) -> Result<Vec<Wanted>, HindcastError> {
    let table = Table::open(path)?;
    table.need(&["species", "cultivar", "site", "stage", "year"])?;
    table.each(|row| {
        let issue_on = if row.get("issue_on").is_empty() {
            None
        } else {
            Some(row.date("issue_on")?)
        };
        Ok(Wanted {
            series: row.series()?,
            year: row.number("year", "write it like 2015")?,
            issue_on,
        })
    })
}

/// Places that are named in the records or wanted, with their temperatures.
pub(super) fn places(
    args: &HindcastArgs,
    observations: &[Observation],
    wanted: Option<&[Wanted]>,
) -> Result<Places, HindcastError> {
    let named: BTreeSet<String> = observations
        .iter()
        .map(|o| &o.series.site)
        .chain(wanted.unwrap_or_default().iter().map(|w| &w.series.site))
        .map(|site| site.trim().to_lowercase())
        .collect();
    let table = Table::open(&args.stations)?;
    table.need(&["station", "lat"])?;
    let stations = table.each(|row| {
        let latitude_deg: f64 = row.number("lat", "write degrees like 50.61, south negative")?;
        if !(-90.0..=90.0).contains(&latitude_deg) {
            return Err(row.wrong(
                format!("latitude {latitude_deg} is off the earth"),
                "write degrees from -90 to 90",
            ));
        }
        Ok((row.named("station")?, latitude_deg, row.line))
    })?;
    if let Some(missing) = named
        .iter()
        .find(|n| !stations.iter().any(|s| s.0.to_lowercase() == **n))
    {
        return Err(HindcastError::Content {
            file: args.stations.display().to_string(),
            line: 1,
            what: format!("no station \"{missing}\""),
            instead: "every site of the records needs a line with its latitude".to_owned(),
        });
    }
    let mut inputs = Vec::new();
    for (name, latitude_deg, _) in stations {
        let lower = name.to_lowercase();
        if !named.contains(&lower) {
            continue;
        }
        let path = args.temperatures.join(format!("{lower}.csv"));
        let shown = path.display().to_string();
        let file = File::open(&path).map_err(|e| read_error(&shown, &e))?;
        let imported = read_daily(file, &shown, &ImportOptions::default())
            .map_err(|e| read_error(&shown, &e))?;
        inputs.push((name, latitude_deg, imported.data.into_temperatures()));
    }
    Ok(Places::new(inputs))
}
