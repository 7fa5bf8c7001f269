//! Archives whose files say less than they mean: what their published descriptions add.
//!
//! Each form is told by names only it has. Sources are the descriptions the archives publish with
//! their data, named at each row.

use super::find::Found;
use super::names::{Meaning, Said};

/// The unit of a column of temperatures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Degrees {
    /// °C.
    Celsius,
    /// °F.
    Fahrenheit,
    /// Tenths of °C in whole numbers.
    Tenths,
}

impl Degrees {
    /// Every unit.
    pub const ALL: [Self; 3] = [Self::Celsius, Self::Fahrenheit, Self::Tenths];

    /// In °C.
    pub fn to_celsius(self, value: f64) -> f64 {
        match self {
            Self::Celsius => value,
            Self::Fahrenheit => (value - 32.0) / 1.8,
            Self::Tenths => value / 10.0,
        }
    }

    /// The word of the option.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Celsius => "C",
            Self::Fahrenheit => "F",
            Self::Tenths => "tenths",
        }
    }

    /// Reads the word of the option.
    pub fn from_key(text: &str) -> Option<Self> {
        match text.trim().to_lowercase().as_str() {
            "c" | "°c" | "celsius" => Some(Self::Celsius),
            "f" | "°f" | "fahrenheit" => Some(Self::Fahrenheit),
            "tenths" | "0.1c" => Some(Self::Tenths),
            _ => None,
        }
    }

    /// For a grower.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Celsius => "°C",
            Self::Fahrenheit => "°F",
            Self::Tenths => "tenths of °C",
        }
    }
}

/// What a form adds to what its header says.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Hints {
    /// What the form is called here.
    pub name: &'static str,
    pub degrees: Option<Degrees>,
    /// Millimetres a unit of rain.
    pub rain_mm: Option<f64>,
    /// Metres a second a unit of wind.
    pub wind_ms: Option<f64>,
    pub clock: Option<Said>,
    /// Rain and wind follow the scale of the temperatures: inches and miles with °F.
    pub follows_scale: bool,
    /// Each value comes as `+0056,1`: tenths, then a mark of quality.
    pub coded: bool,
    /// Months of different years put together to a typical one.
    pub typical: bool,
}

/// A form with the names that tell it and what some of its columns mean.
struct Form {
    has: &'static [&'static str],
    lacks: &'static [&'static str],
    hints: Hints,
    columns: &'static [(&'static str, Meaning)],
}

const NONE: Hints = Hints {
    name: "",
    degrees: None,
    rain_mm: None,
    wind_ms: None,
    clock: None,
    follows_scale: false,
    coded: false,
    typical: false,
};

const FORMS: &[Form] = &[
    // Deutscher Wetterdienst, Climate Data Center, description of the daily station data (KL):
    // TXK, TNK, TMK in °C, RSK in mm, FM in m/s; TGK is five centimetres above the ground.
    Form {
        has: &["mess_datum", "tnk"],
        lacks: &[],
        hints: Hints {
            name: "German climate archive, daily",
            degrees: Some(Degrees::Celsius),
            rain_mm: Some(1.0),
            wind_ms: Some(1.0),
            ..NONE
        },
        columns: &[
            ("upm", Meaning::Humidity),
            ("fm", Meaning::Wind(Some(1.0))),
            ("fx", Meaning::Other),
            ("rskf", Meaning::Other),
        ],
    },
    // The same, hourly air temperature and humidity (TU): UTC, °C, %.
    Form {
        has: &["mess_datum", "tt_tu"],
        lacks: &[],
        hints: Hints {
            name: "German climate archive, hourly",
            degrees: Some(Degrees::Celsius),
            clock: Some(Said::Utc),
            ..NONE
        },
        columns: &[],
    },
    // Météo-France, données climatologiques de base quotidiennes: °C et dixièmes, mm, m/s.
    Form {
        has: &["num_poste", "aaaammjj"],
        lacks: &[],
        hints: Hints {
            name: "French climate archive, daily",
            degrees: Some(Degrees::Celsius),
            rain_mm: Some(1.0),
            wind_ms: Some(1.0),
            ..NONE
        },
        columns: &[
            ("ffm", Meaning::Wind(Some(1.0))),
            ("tntxm", Meaning::Other),
            ("tampli", Meaning::Other),
            ("tn50", Meaning::Other),
            ("tnsol", Meaning::Other),
            ("num_poste", Meaning::Station),
            ("nom_usuel", Meaning::Other),
        ],
    },
    // The same, hourly: UTC.
    Form {
        has: &["num_poste", "aaaammjjhh"],
        lacks: &[],
        hints: Hints {
            name: "French climate archive, hourly",
            degrees: Some(Degrees::Celsius),
            rain_mm: Some(1.0),
            wind_ms: Some(1.0),
            clock: Some(Said::Utc),
            ..NONE
        },
        columns: &[
            ("rr1", Meaning::Rain(Some(1.0))),
            ("ff", Meaning::Wind(Some(1.0))),
            ("dd", Meaning::WindFrom),
            ("u", Meaning::Humidity),
            ("tn", Meaning::Other),
            ("tx", Meaning::Other),
            ("num_poste", Meaning::Station),
            ("nom_usuel", Meaning::Other),
        ],
    },
    // KNMI, daggegevens: TN, TX in 0.1 °C, RH the rain of the day in 0.1 mm (−1 under 0.05 mm),
    // UG humidity in %, FG wind in 0.1 m/s.
    Form {
        has: &["stn", "yyyymmdd", "tn", "tx"],
        lacks: &[],
        hints: Hints {
            name: "Dutch climate archive, daily (tenths)",
            degrees: Some(Degrees::Tenths),
            rain_mm: Some(0.1),
            wind_ms: Some(0.1),
            ..NONE
        },
        columns: &[
            ("rh", Meaning::Rain(Some(0.1))),
            ("ug", Meaning::Humidity),
            ("fg", Meaning::Wind(Some(0.1))),
            ("tg", Meaning::Other),
            ("t10n", Meaning::Other),
        ],
    },
    // KNMI, uurgegevens: HH 1–24 is the hour that ends, UT; T in 0.1 °C at its end.
    Form {
        has: &["stn", "yyyymmdd", "t"],
        lacks: &["tn"],
        hints: Hints {
            name: "Dutch climate archive, hourly (tenths)",
            degrees: Some(Degrees::Tenths),
            rain_mm: Some(0.1),
            wind_ms: Some(0.1),
            clock: Some(Said::Utc),
            ..NONE
        },
        columns: &[
            ("rh", Meaning::Rain(Some(0.1))),
            ("u", Meaning::Humidity),
            ("fh", Meaning::Wind(Some(0.1))),
            ("fx", Meaning::Gust(Some(0.1))),
            ("dd", Meaning::WindFrom),
            ("hh", Meaning::Hour(Said::Utc)),
            ("h", Meaning::Hour(Said::Utc)),
            ("t10n", Meaning::Other),
            ("ff", Meaning::Other),
        ],
    },
    // European Climate Assessment & Dataset: 0.1 °C, 0.1 mm; quality 9 missing, 1 suspect.
    Form {
        has: &["souid", "date"],
        lacks: &[],
        hints: Hints {
            name: "European climate archive (tenths)",
            degrees: Some(Degrees::Tenths),
            rain_mm: Some(0.1),
            ..NONE
        },
        columns: &[
            ("tg", Meaning::Other),
            ("souid", Meaning::Other),
            ("staid", Meaning::Station),
        ],
    },
    // Integrated Surface Database in CSV (format document: TMP, DEW tenths of °C with quality).
    Form {
        has: &["station", "tmp", "dew", "wnd"],
        lacks: &[],
        hints: Hints {
            name: "global hourly archive, coded",
            degrees: Some(Degrees::Tenths),
            clock: Some(Said::Utc),
            coded: true,
            ..NONE
        },
        columns: &[
            ("tmp", Meaning::Temp(None)),
            ("dew", Meaning::Dew(None)),
            ("wnd", Meaning::Other),
            ("date", Meaning::When(Said::Utc)),
        ],
    },
    // Local climatological data: each hour in local standard time; its unit is that of the order.
    Form {
        has: &["station", "date", "hourlydrybulbtemperature"],
        lacks: &[],
        hints: Hints {
            name: "local climatological data",
            clock: Some(Said::Standard),
            ..NONE
        },
        columns: &[
            ("hourlydrybulbtemperature", Meaning::Temp(None)),
            ("hourlydewpointtemperature", Meaning::Dew(None)),
            ("hourlyrelativehumidity", Meaning::Humidity),
            ("dailymaximumdrybulbtemperature", Meaning::Other),
            ("dailyminimumdrybulbtemperature", Meaning::Other),
            ("hourlyprecipitation", Meaning::Other),
            ("dailyprecipitation", Meaning::Other),
            ("hourlywindspeed", Meaning::Other),
            ("hourlywindgustspeed", Meaning::Other),
        ],
    },
    // Archive of airport observations, CSV: tmpf in °F, sknt in knots, p01i in inches since the
    // full hour; times are UTC unless another zone was asked for, and the header then says so.
    Form {
        has: &["station", "valid", "tmpf"],
        lacks: &[],
        hints: Hints {
            name: "airport observations",
            clock: Some(Said::Utc),
            ..NONE
        },
        columns: &[("p01i", Meaning::Other), ("p01m", Meaning::Other)],
    },
    // The order form of the US archive: whole degrees, inches or millimetres as ordered.
    Form {
        has: &["station", "date", "tmax", "tmin"],
        lacks: &["tmax_attributes"],
        hints: Hints {
            name: "order form of the US climate archive",
            follows_scale: true,
            ..NONE
        },
        columns: &[
            ("tobs", Meaning::Other),
            ("tavg", Meaning::Other),
            ("prcp", Meaning::Rain(None)),
            ("awnd", Meaning::Wind(None)),
            ("name", Meaning::Other),
            ("snow", Meaning::Other),
            ("snwd", Meaning::Other),
        ],
    },
    // EnergyPlus weather file: a typical year, data dictionary of its documentation.
    Form {
        has: &["epw dry bulb (°c)"],
        lacks: &[],
        hints: Hints {
            name: "typical year (EPW)",
            degrees: Some(Degrees::Celsius),
            clock: Some(Said::Standard),
            typical: true,
            ..NONE
        },
        columns: &[("epw dry bulb (°c)", Meaning::Temp(None))],
    },
    // PVGIS typical meteorological year: T2m in °C, WS10m in m/s, by its own legend.
    Form {
        has: &["time(utc)", "t2m"],
        lacks: &[],
        hints: Hints {
            name: "typical year (PVGIS)",
            degrees: Some(Degrees::Celsius),
            wind_ms: Some(1.0),
            clock: Some(Said::Utc),
            typical: true,
            ..NONE
        },
        columns: &[("ws10m", Meaning::Wind(Some(1.0)))],
    },
    // Integrated Surface Database, lite: whole tenths in columns without names.
    Form {
        has: &["isd-lite year"],
        lacks: &[],
        hints: Hints {
            name: "global hourly archive, short form (tenths)",
            degrees: Some(Degrees::Tenths),
            wind_ms: Some(0.1),
            clock: Some(Said::Utc),
            ..NONE
        },
        columns: &[("isd-lite year", Meaning::Year)],
    },
    // NASA Langley Research Center POWER, community `ag`: °C, mm, m/s.
    Form {
        has: &["year", "t2m_min", "t2m_max"],
        lacks: &[],
        hints: Hints {
            name: "POWER archive, daily",
            degrees: Some(Degrees::Celsius),
            rain_mm: Some(1.0),
            wind_ms: Some(1.0),
            ..NONE
        },
        columns: &[],
    },
    Form {
        has: &["year", "hr", "t2m"],
        lacks: &[],
        hints: Hints {
            name: "POWER archive, hourly",
            degrees: Some(Degrees::Celsius),
            rain_mm: Some(1.0),
            wind_ms: Some(1.0),
            ..NONE
        },
        columns: &[("hr", Meaning::Hour(Said::Nothing))],
    },
];

fn key(name: &str) -> String {
    super::names::fold(name.trim())
}

/// The hints of the form a table has, and the meanings its columns get from it.
pub(super) fn of(found: &Found) -> (Hints, Vec<Option<Meaning>>) {
    let keys: Vec<String> = found.names.iter().map(|n| key(n)).collect();
    let has = |name: &&str| keys.iter().any(|k| k == name);
    let form = FORMS
        .iter()
        .find(|f| f.has.iter().all(has) && !f.lacks.iter().any(has));
    let Some(form) = form else {
        return (NONE, vec![None; keys.len()]);
    };
    let meanings = keys
        .iter()
        .map(|k| {
            form.columns
                .iter()
                .find(|(name, _)| name == k)
                .map(|(_, meaning)| *meaning)
        })
        .collect();
    (form.hints, meanings)
}

/// Names for the columns of the published forms that come without any.
pub(super) fn named(found: &mut Found, lines: &[&str]) {
    if !found.names.is_empty() {
        return;
    }
    let first: Vec<&str> = lines
        .get(found.first)
        .map(|l| found.separator.split(l))
        .unwrap_or_default();
    let is = |i: usize, test: &dyn Fn(&str) -> bool| first.get(i).is_some_and(|c| test(c));
    let whole = |c: &str| c.parse::<i32>().is_ok();
    let year = |c: &str| c.len() == 4 && c.parse().is_ok_and(|y: i32| (1700..2200).contains(&y));
    let day8 = |c: &str| c.len() == 8 && super::dates::when(c).is_some();
    let epw = lines.first().is_some_and(|l| l.starts_with("LOCATION,"));
    let names: &[&str] = if epw && first.len() >= 22 {
        &[
            "year",
            "month",
            "day",
            "hour",
            "-",
            "-",
            "epw dry bulb (°C)",
            "dew point (°C)",
            "relative humidity (%)",
            "-",
            "-",
            "-",
            "-",
            "-",
            "-",
            "-",
            "-",
            "-",
            "-",
            "-",
            "wind direction",
            "wind speed (m/s)",
        ]
    } else if first.len() == 12 && first.iter().all(|c| whole(c)) && is(0, &year) {
        &[
            "isd-lite year",
            "month",
            "day",
            "hour utc",
            "temp",
            "dew",
            "-",
            "wind direction",
            "wind speed",
            "-",
            "-",
            "-",
        ]
    } else if first.len() == 28 && is(1, &day8) && is(0, &|c| c.len() == 5 && whole(c)) {
        // U.S. Climate Reference Network, daily01 (its readme): columns 6 and 7 are °C.
        &[
            "station",
            "date",
            "-",
            "longitude",
            "latitude",
            "maximum (°C)",
            "minimum (°C)",
            "-",
            "-",
            "rain (mm)",
        ]
    } else if first.len() == 38 && is(1, &day8) && is(0, &|c| c.len() == 5 && whole(c)) {
        // The same, hourly02: column 9 is the mean of the last five minutes of the hour.
        &[
            "station",
            "date utc",
            "time utc",
            "-",
            "-",
            "-",
            "longitude",
            "latitude",
            "temp (°C)",
            "-",
            "-",
            "-",
            "rain (mm)",
        ]
    } else {
        return;
    };
    found.names = names.iter().map(|n| (*n).to_owned()).collect();
    found.names.resize(found.width, "-".to_owned());
}
