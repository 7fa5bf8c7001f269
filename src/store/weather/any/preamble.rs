//! What the lines above a table (and below it) say: the place, the unit, the clock.

use super::super::report::Station;
use super::find::Found;
use super::forms::Degrees;
use super::mapping::Single;

/// What was read around a table.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct AroundTable {
    pub degrees: Option<Degrees>,
    pub single: Option<Single>,
    pub station: Option<Station>,
    pub offset_s: Option<i64>,
    /// The words say that it is a typical year.
    pub typical: bool,
}

/// Lines below a table that may be its legend.
const LEGEND: usize = 40;

pub(super) fn read(lines: &[&str], found: &Found) -> AroundTable {
    let above = lines.get(..found.header.start).unwrap_or_default();
    let below = lines
        .get(lines.len().saturating_sub(LEGEND).max(found.first)..)
        .unwrap_or_default();
    let legend = below
        .iter()
        .filter(|l| !l.starts_with(|c: char| c.is_ascii_digit() || c == '"' || c == '-'));
    let text: String = above
        .iter()
        .take(400)
        .copied()
        .chain(legend.copied())
        .flat_map(|l| [l, "\n"])
        .collect::<String>()
        .to_lowercase();
    let celsius = text.contains("celsius") || text.contains("°c") || text.contains("degree c");
    let fahrenheit = text.contains("fahrenheit") || text.contains("°f");
    let degrees = match (celsius, fahrenheit) {
        (true, false) => Some(Degrees::Celsius),
        (false, true) => Some(Degrees::Fahrenheit),
        _ => labelled(above, "temperature units").and_then(|u| Degrees::from_key(&u)),
    };
    let mut about = text.lines().filter(|l| l.contains("temp"));
    let single = about.find_map(|l| {
        let has = |w: &str| {
            l.split(|c: char| !c.is_alphanumeric())
                .any(|word| word == w)
        };
        match (has("min") || has("minimum"), has("max") || has("maximum")) {
            (true, false) => Some(Single::Low),
            (false, true) => Some(Single::High),
            _ => None,
        }
    });
    let number = |label: &str| {
        labelled(above, label)
            .and_then(|v| first_number(&v))
            .filter(|v: &f64| v.is_finite())
    };
    let epw = above.iter().find_map(|l| epw_location(l));
    let station = Station {
        id: String::new(),
        name: None,
        latitude_deg: number("latitude")
            .or_else(|| number("latitud"))
            .filter(|v| v.abs() <= 90.0),
        longitude_deg: number("longitude")
            .or_else(|| number("longitud"))
            .filter(|v| v.abs() <= 180.0),
        elevation_m: number("elevation")
            .or_else(|| behind_equals(above, "elevation"))
            .or_else(|| number("altitude"))
            .filter(|v| (-500.0..9000.0).contains(v)),
    };
    let station = epw.as_ref().map_or(station, |(station, _)| station.clone());
    let hours = |h: &f64| (-12.0..=14.0).contains(h);
    let offset_s = epw
        .map(|(_, zone_h)| zone_h)
        .filter(hours)
        .or_else(|| number("local time zone").filter(hours))
        .or_else(|| {
            number("utc_offset_seconds")
                .map(|s| s / 3600.0)
                .filter(hours)
        })
        .or_else(|| text.contains(" in utc").then_some(0.0))
        // The sun's time of a 15° swath, as one archive writes it.
        .or_else(|| {
            let swath = (number("longitude")? / 15.0).round();
            (text.contains(" in lst") && hours(&swath)).then_some(swath)
        })
        .map(|h| (h * 3600.0) as i64);
    AroundTable {
        degrees,
        single,
        station: (station.latitude_deg.is_some() && station.longitude_deg.is_some())
            .then_some(station),
        offset_s,
        typical: text.contains("typical meteorological year"),
    }
}

/// The place and the clock (hours from Greenwich) of a typical year in EPW form, by the data
/// dictionary of its documentation: `LOCATION, city, state, country, source, number, latitude,
/// longitude, zone, height`.
fn epw_location(line: &str) -> Option<(Station, f64)> {
    let cells: Vec<&str> = line.trim().split(',').map(str::trim).collect();
    if cells.first() != Some(&"LOCATION") {
        return None;
    }
    let number = |at: usize| cells.get(at)?.parse().ok().filter(|n: &f64| n.is_finite());
    let station = Station {
        id: String::new(),
        name: None,
        latitude_deg: Some(number(6).filter(|v| v.abs() <= 90.0)?),
        longitude_deg: Some(number(7).filter(|v| v.abs() <= 180.0)?),
        elevation_m: number(9).filter(|v| (-500.0..9000.0).contains(v)),
    };
    Some((station, number(8)?))
}

/// The value of a label: behind it on its line, else below it in the same column.
fn labelled(above: &[&str], label: &str) -> Option<String> {
    for (i, line) in above.iter().enumerate() {
        let lower = line.to_lowercase();
        let Some(at) = lower.find(label) else {
            continue;
        };
        // Behind the label, up to the next word.
        let behind = lower.get(at + label.len()..).unwrap_or_default();
        let value = behind.trim_start_matches(|c: char| {
            let begins = c.is_ascii_digit() || c == '-' || c.is_alphabetic();
            !begins || matches!(c, ',' | ';' | '\t' | ' ')
        });
        let value = value.trim_start_matches(['"', ':', '=', ' ']);
        let value = skip_bracket(behind).unwrap_or(value);
        if value.starts_with(|c: char| c.is_ascii_digit() || c == '-') {
            return Some(value.to_owned());
        }
        // Below it, in the same column.
        for sign in [',', ';', '\t'] {
            let column = lower
                .split(sign)
                .position(|c| c.trim().trim_matches('"').starts_with(label));
            let below = above.get(i + 1).map(|l| l.split(sign).collect::<Vec<_>>());
            if let (Some(column), Some(below)) = (column, below)
                && lower.split(sign).count() > 2
                && let Some(cell) = below.get(column)
            {
                return Some(cell.trim().trim_matches('"').to_lowercase());
            }
        }
    }
    None
}

/// The number behind the equals sign of a line that speaks of something: "elevation … = 115.2".
fn behind_equals(above: &[&str], about: &str) -> Option<f64> {
    let line = above
        .iter()
        .find(|l| l.contains('=') && l.to_lowercase().contains(about))?;
    first_number(line.split_once('=')?.1.trim_start())
}

/// "(decimal degrees): 45.0": what follows the bracket.
fn skip_bracket(behind: &str) -> Option<&str> {
    let rest = behind.trim_start().strip_prefix('(')?;
    let (_, after) = rest.split_once(')')?;
    Some(after.trim_start_matches([':', '=', ' ', '\t', ',', ';', '"']))
}

fn first_number(text: &str) -> Option<f64> {
    let end = text
        .char_indices()
        .find(|(i, c)| !(c.is_ascii_digit() || *c == '.' || (*c == '-' && *i == 0)))
        .map_or(text.len(), |(i, _)| i);
    text.get(..end)?.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_typical_year_says_where_it_is_of() {
        let line = "LOCATION,Place,NY,USA,TMY3,999999,43.10,-77.50,-5.0,120.0";
        let (station, zone_h) = epw_location(line).unwrap();
        assert_eq!(
            (
                station.latitude_deg,
                station.longitude_deg,
                station.elevation_m,
                zone_h
            ),
            (Some(43.10), Some(-77.50), Some(120.0), -5.0)
        );
        assert!(epw_location("LOCATION,Place,NY,USA,TMY3,999999,,,-5.0,120.0").is_none());
        assert!(epw_location("Location: latitude  43.1   longitude -77.6").is_none());
    }

    #[test]
    fn places_in_many_hands() {
        for (text, latitude, longitude, height) in [
            (
                "Latitude: 43.1\nLongitude: -77.6\nElevation: 120 m",
                43.1,
                -77.6,
                Some(120.0),
            ),
            (
                "Location: latitude  43.1   longitude -77.6\nelevation from MERRA-2: Average for 0.5 x 0.625 degree lat/lon region = 115.2 meters",
                43.1,
                -77.6,
                None,
            ),
            (
                "latitude,longitude,elevation,utc\n43.1,-77.6,120.0,0",
                43.1,
                -77.6,
                Some(120.0),
            ),
            (
                "Latitude (decimal degrees): 43.1\nLongitude (decimal degrees): -77.6\nElevation (m): 120",
                43.1,
                -77.6,
                Some(120.0),
            ),
            (
                "\"Latitude\",\"43.1\"\n\"Longitude\",\"-77.6\"",
                43.1,
                -77.6,
                None,
            ),
        ] {
            let lines: Vec<&str> = text.lines().collect();
            let number = |label: &str| labelled(&lines, label).and_then(|v| first_number(&v));
            assert_eq!(number("latitude"), Some(latitude), "{text}");
            assert_eq!(number("longitude"), Some(longitude), "{text}");
            if height.is_some() {
                assert_eq!(number("elevation"), height, "{text}");
            }
        }
    }
}
