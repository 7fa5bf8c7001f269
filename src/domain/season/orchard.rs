//! The place, the dates the season hangs on, and where its weather comes from.

use crate::domain::units::{Length, Percent, Speed, Temperature};
use crate::domain::zone::Zone;
use chrono::NaiveDate;
use serde::Serialize;

/// The units a grower wants to see.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum UnitSystem {
    /// Fahrenheit, gallons, acres.
    Us,
    /// Celsius, litres, hectares.
    #[default]
    Metric,
}

/// Which law limits metallic copper here; the label limits it everywhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum CopperRegime {
    /// Only what the label says.
    #[default]
    Label,
    /// The US label tables by crop.
    UsTables,
    /// 28 kg/ha over seven years (Regulation (EU) 2018/1981).
    EuSevenYears,
}

/// The place and how its owner works.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Orchard {
    /// Name of the orchard.
    pub name: String,
    /// Degrees north; south is negative.
    pub latitude: f64,
    /// Degrees east; west is negative.
    pub longitude: f64,
    /// Height above the sea.
    pub elevation: Option<Length>,
    /// Time zone, as in the IANA database.
    pub time_zone: Zone,
    /// The units shown.
    pub units: UnitSystem,
    /// How likely a too-late spray may be at most.
    pub tolerance: Percent,
    /// Days the grower wants between a spray and swell.
    pub guard_days: u32,
    /// Which law limits copper.
    pub copper_regime: CopperRegime,
    /// Metallic copper used in each of the past years, kg/ha, latest first: holds for blocks
    /// that have no figure of their own for a year.
    pub copper_past_kg_per_ha: Vec<f64>,
    /// Highest wind to spray in, where the owner or neighbours set one.
    pub wind_max: Option<Speed>,
    /// Hours of the day the grower can spray, `[from, to)`, local time.
    pub work_hours: Option<[u32; 2]>,
    /// Days of the week the grower can spray (`mon` … `sun`); empty means all.
    pub work_days: Vec<String>,
    /// Winds that carry drift to neighbours, by the compass point they come from
    /// (`n`, `ne` … `nw`): no spraying in them.
    pub avoid_winds: Vec<String>,
    /// Does the grower spray in the dark, with lamps?
    pub works_in_the_dark: bool,
    /// Depth of the film a spray leaves on bark, where the grower knows better than the
    /// published one.
    pub film_depth: Option<Length>,
    /// Free notes: neighbours, wells, hives.
    pub notes: Option<String>,
}

/// The dates the season hangs on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SeasonDates {
    /// When the leaves are expected to be down.
    pub leaf_drop_expected: NaiveDate,
    /// When they were seen to be down.
    pub leaf_drop_seen: Option<NaiveDate>,
}

/// Where the temperatures come from; paths are relative to the season file.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct WeatherFiles {
    /// Daily temperature files: past years and this season so far.
    pub daily: Vec<String>,
    /// Hourly weather files.
    pub hourly: Vec<String>,
    /// Forecast files, hourly or daily.
    pub forecast: Vec<String>,
    /// The owner's word that files outside the season file's folder may be
    /// read; without it, paths that leave the folder are refused.
    pub allow_outside: bool,
    /// Monthly normals, where there are no files or only few years.
    pub normals: Option<MonthlyNormals>,
    /// Where the files brought in come from.
    pub brought: Vec<Brought>,
    /// How tables of a name are read.
    pub tables: Vec<TableRead>,
}

/// Who measured what a weather file holds; the later ones win where several have a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum WeatherKind {
    /// Worked out for a cell of the earth's grid.
    Archive,
    /// A station near.
    Station,
    /// The grower's own thermometer.
    #[default]
    Own,
}

impl WeatherKind {
    /// Every kind, weakest first.
    pub const ALL: [Self; 3] = [Self::Archive, Self::Station, Self::Own];

    /// The word in the season file.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Archive => "archive",
            Self::Station => "station",
            Self::Own => "own",
        }
    }

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Archive => "archive",
            Self::Station => "station",
            Self::Own => "own thermometer",
        }
    }
}

/// A weather file brought in: what it was, what it covers, and when it came.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Brought {
    /// The name it is kept under.
    pub file: String,
    /// The file or service it came from.
    pub source: String,
    /// Who measured it.
    pub kind: WeatherKind,
    /// First day covered.
    pub since: NaiveDate,
    /// Last day covered.
    pub to: NaiveDate,
    /// The day it was brought in.
    pub on: NaiveDate,
    /// Degrees north, where it says so.
    pub latitude: Option<f64>,
    /// Degrees east, where it says so.
    pub longitude: Option<f64>,
    /// Whom to thank, and what was corrected.
    pub note: Option<String>,
}

/// How a table is read, as its owner said once.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct TableRead {
    /// Name of the file, without its folder.
    pub name: String,
    /// Header of the column of days.
    pub day: Option<String>,
    /// Header of the column of times.
    pub time: Option<String>,
    /// Header of the minimum.
    pub low: Option<String>,
    /// Header of the maximum.
    pub high: Option<String>,
    /// Header of the temperature.
    pub temp: Option<String>,
    /// Unit of the temperatures: `C`, `F` or `tenths`.
    pub unit: Option<String>,
    /// Order of the numbers of a day: `dmy`, `mdy` or `ymd`.
    pub dates: Option<String>,
    /// Clock of the times.
    pub zone: Option<String>,
    /// Sheet of a workbook.
    pub sheet: Option<String>,
}

/// Mean daily minimum and maximum of the twelve months, January first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MonthlyNormals {
    /// Mean daily minimum.
    pub low: Vec<Temperature>,
    /// Mean daily maximum.
    pub high: Vec<Temperature>,
}
