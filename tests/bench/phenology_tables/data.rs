//! Reads a set of recorded dates with its places.

use std::collections::BTreeMap;
use std::fs::File;
use std::path::Path;

use barewood::domain::climate::daily::DailySeries;
use barewood::domain::phenology::hindcast::{Observation, Places, SeriesName};
use barewood::store::weather::{ImportOptions, read_daily};

/// Recorded dates, and the temperatures of their places.
pub struct Set {
    pub observations: Vec<Observation>,
    pub places: Places,
    /// Latitude and temperatures by place, for the baselines.
    pub temperatures: BTreeMap<String, (f64, DailySeries)>,
}

type Row = BTreeMap<String, String>;

fn rows(path: &Path) -> Result<Vec<Row>, String> {
    let wrong = |why: csv::Error| format!("{}: {why}", path.display());
    let mut reader = csv::Reader::from_path(path).map_err(wrong)?;
    reader.deserialize().map(|row| row.map_err(wrong)).collect()
}

fn field<T: std::str::FromStr>(row: &Row, name: &str, path: &Path) -> Result<T, String> {
    row.get(name)
        .and_then(|text| text.parse().ok())
        .ok_or_else(|| format!("{}: a row has no good {name}: {row:?}", path.display()))
}

impl Set {
    /// From a table of dates and a folder with `stations.csv` and `temperatures/`.
    pub fn load(dates: &Path, folder: &Path) -> Result<Self, String> {
        let mut observations = Vec::new();
        for row in rows(dates)? {
            observations.push(Observation {
                series: SeriesName {
                    species: field(&row, "species", dates)?,
                    stage: field(&row, "stage", dates)?,
                    site: field(&row, "site", dates)?,
                    cultivar: field(&row, "cultivar", dates)?,
                },
                year: field(&row, "year", dates)?,
                date: field(&row, "date", dates)?,
            });
        }
        let stations = folder.join("stations.csv");
        let mut temperatures = BTreeMap::new();
        for row in rows(&stations)? {
            let name: String = field(&row, "station", &stations)?;
            let path = folder
                .join("temperatures")
                .join(format!("{}.csv", name.to_lowercase()));
            let shown = path.display().to_string();
            let file = File::open(&path).map_err(|e| format!("{shown}: {e}"))?;
            let daily = read_daily(file, &shown, &ImportOptions::default())
                .map_err(|e| e.to_string())?
                .data
                .into_temperatures();
            temperatures.insert(name, (field(&row, "lat", &stations)?, daily));
        }
        let inputs = temperatures
            .iter()
            .map(|(name, (lat, daily))| (name.clone(), *lat, daily.clone()))
            .collect();
        Ok(Self {
            observations,
            places: Places::new(inputs),
            temperatures,
        })
    }
}
