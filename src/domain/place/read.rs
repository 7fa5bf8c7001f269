//! What somebody writes for a place: a town, a pair of coordinates, a link of a map.

use super::fold::folded;
use super::towns::{Town, Towns, near};
use crate::domain::zone::Zone;

/// A place with what the program needs of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// In words.
    pub words: String,
    /// Degrees north, south negative.
    pub latitude_deg: f64,
    /// Degrees east, west negative.
    pub longitude_deg: f64,
    /// Height above the sea, of the town or of the one nearby.
    pub elevation_m: Option<f64>,
    /// The clock, of the town or of the nearest one.
    pub zone: Option<Zone>,
    /// Code of the country, two letters.
    pub country_code: Option<&'static str>,
}

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub enum Found {
    /// One place.
    One(Place),
    /// Several towns, the largest first (at most as many as were asked for), and how many in all.
    Several(Vec<Town>, usize),
    /// Nothing, and why.
    None(String),
}

/// How many of several towns are wanted.
pub type Asked = usize;

/// Farther than this (km) a town's height says nothing of a place.
const HEIGHT_REACHES_KM: f64 = 12.0;
/// Farther than this (km) a town's clock says nothing of a place.
const CLOCK_REACHES_KM: f64 = 300.0;
/// Letters from which on towns are looked for.
const FEWEST_LETTERS: usize = 2;

/// Finds what was written: `Geneva, New York`, `43.15, -77.6`, the link of a map.
pub fn find(text: &str, most: Asked) -> Found {
    let text = text.trim();
    if text.is_empty() {
        return Found::None("write a town, for instance Geneva, New York".to_owned());
    }
    match read_pair(text) {
        Some(Ok((latitude_deg, longitude_deg))) => {
            return Found::One(of_pair(latitude_deg, longitude_deg));
        }
        Some(Err(why)) => return Found::None(why),
        None => {}
    }
    let mut parts = text.split(',').map(folded).filter(|p| !p.is_empty());
    let Some(name) = parts.next() else {
        return Found::None("write a town, for instance Geneva, New York".to_owned());
    };
    let within: Vec<String> = parts.collect();
    if name.chars().count() < FEWEST_LETTERS {
        return Found::None("write more letters".to_owned());
    }
    let mut towns = matches(&name, &within);
    if towns.is_empty() && within.is_empty() {
        towns = without_comma(&name);
    }
    let towns = best(towns);
    match towns.as_slice() {
        [] => Found::None(format!(
            "no town '{text}' is known here: write a larger one nearby, or latitude and longitude, for instance 43.15, -77.6"
        )),
        [only] => Found::One(of_town(*only)),
        several => {
            let shown = several.iter().take(most).copied().collect();
            Found::Several(shown, several.len())
        }
    }
}

/// Towns by the beginning of the name within regions or countries: which, and whether the name is
/// whole.
fn matches(name: &str, within: &[String]) -> Vec<(usize, bool)> {
    let towns = Towns::all();
    let mut found = towns.beginning(name);
    for (town, whole) in towns.otherwise_beginning(name) {
        match found.iter_mut().find(|(known, _)| *known == town) {
            Some(known) => known.1 |= whole,
            None => found.push((town, whole)),
        }
    }
    found.retain(|(town, _)| within.iter().all(|words| towns.lies_in(*town, words)));
    found
}

/// `geneva ny`: the last words may name the region.
fn without_comma(text: &str) -> Vec<(usize, bool)> {
    let gaps: Vec<usize> = text.match_indices(' ').map(|(at, _)| at).collect();
    for at in gaps.into_iter().rev() {
        if let Some((name, rest)) = text.split_at_checked(at) {
            let mut found = matches(name, &[rest.trim().to_owned()]);
            found.retain(|(_, whole)| *whole);
            if !found.is_empty() {
                return found;
            }
        }
    }
    Vec::new()
}

/// Whole names before beginnings, larger towns before smaller ones. A town that is named whole
/// is meant, not those that begin like it.
fn best(mut found: Vec<(usize, bool)>) -> Vec<Town> {
    let towns = Towns::all();
    if found.iter().any(|(_, whole)| *whole) {
        found.retain(|(_, whole)| *whole);
    }
    found.sort_by_key(|(town, _)| std::cmp::Reverse(towns.size(*town)));
    found
        .into_iter()
        .filter_map(|(town, _)| towns.town(town))
        .collect()
}

fn of_town(town: Town) -> Place {
    Place {
        words: town.words(),
        latitude_deg: town.latitude_deg,
        longitude_deg: town.longitude_deg,
        elevation_m: Some(town.elevation_m),
        zone: Some(town.zone),
        country_code: Some(town.country_code),
    }
}

impl From<Town> for Place {
    fn from(town: Town) -> Self {
        of_town(town)
    }
}

fn of_pair(latitude_deg: f64, longitude_deg: f64) -> Place {
    let nearest = near(latitude_deg, longitude_deg);
    let within = |most: f64| nearest.filter(|(_, km)| *km <= most).map(|(town, _)| town);
    let words = match nearest.filter(|(_, km)| *km <= CLOCK_REACHES_KM) {
        Some((town, km)) if km < 1.0 => town.words(),
        Some((town, km)) => format!("{km:.0} km from {}", town.words()),
        None => "no town near".to_owned(),
    };
    Place {
        words,
        latitude_deg,
        longitude_deg,
        elevation_m: within(HEIGHT_REACHES_KM).map(|t| t.elevation_m),
        zone: within(CLOCK_REACHES_KM).map(|t| t.zone),
        country_code: within(CLOCK_REACHES_KM).map(|t| t.country_code),
    }
}

/// A pair of degrees, north and east: `43.15, -77.6`, `43.15 N 77.6 W`, `geo:43.15,-77.6`, or
/// within the link of a map. `None` where the text is no such thing.
pub fn read_pair(text: &str) -> Option<Result<(f64, f64), String>> {
    let is_link = text.contains("://") || text.starts_with("geo:");
    if is_link {
        let pair = pair_in_link(text);
        return Some(pair.ok_or_else(|| {
            "this link names no place: take one with latitude and longitude in it, or write the pair"
                .to_owned()
        }));
    }
    let plain = text.replace(['°', '(', ')', ';'], " ");
    let spaced: String = plain
        .chars()
        .map(|c| if c == ',' { ' ' } else { c })
        .collect();
    let mut numbers: Vec<f64> = Vec::new();
    let mut turned = [false; 2];
    for word in spaced.split_whitespace() {
        let (number, letter) = split_letter(word);
        if !number.is_empty() {
            numbers.push(number.parse().ok()?);
        }
        match letter {
            None => {}
            Some('n' | 's') if numbers.len() == 1 => {
                turned[0] = letter == Some('s');
            }
            Some('e' | 'w' | 'o') if numbers.len() == 2 => {
                turned[1] = letter == Some('w');
            }
            Some(_) => return None,
        }
    }
    let &[north, east] = numbers.as_slice() else {
        return None;
    };
    let sign = |value: f64, minus: bool| if minus { -value.abs() } else { value };
    Some(in_range(sign(north, turned[0]), sign(east, turned[1])))
}

/// A number with a letter of a direction behind it.
fn split_letter(word: &str) -> (&str, Option<char>) {
    match word.char_indices().last() {
        Some((at, c)) if c.is_alphabetic() => {
            (word.get(..at).unwrap_or(""), c.to_lowercase().next())
        }
        _ => (word, None),
    }
}

fn in_range(north: f64, east: f64) -> Result<(f64, f64), String> {
    if north.abs() > 90.0 {
        Err(format!(
            "latitude {north} lies outside -90 to 90; north comes first, then east"
        ))
    } else if east.abs() > 180.0 {
        Err(format!("longitude {east} lies outside -180 to 180"))
    } else {
        Ok((north, east))
    }
}

/// The first two numbers with a point that stand side by side in a link.
fn pair_in_link(link: &str) -> Option<(f64, f64)> {
    let link = link.replace("%2C", ",").replace("%2c", ",");
    let parts: Vec<&str> = link
        .split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-' || c == ',' || c == '/'))
        .flat_map(|run| run.split(['/']))
        .collect();
    let degrees = |text: &str, most: f64| {
        let value: f64 = text.parse().ok()?;
        (text.contains('.') && value.abs() <= most).then_some(value)
    };
    let side_by_side = parts.windows(2).find_map(|pair| match pair {
        [north, east] => Some((degrees(north, 90.0)?, degrees(east, 180.0)?)),
        _ => None,
    });
    let with_comma = parts.iter().find_map(|part| {
        let mut numbers = part.split(',');
        let (north, east) = (numbers.next()?, numbers.next()?);
        Some((degrees(north, 90.0)?, degrees(east, 180.0)?))
    });
    with_comma.or(side_by_side)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(text: &str) -> Place {
        match find(text, 5) {
            Found::One(place) => place,
            other => panic!("{text}: {other:?}"),
        }
    }

    #[test]
    fn towns_are_found_by_name_region_and_country() {
        // Coordinates, heights and zones of the GeoNames table.
        for (text, north, east, height, zone) in [
            ("Geneva, New York", 42.87, -76.98, 136.0, "America/New_York"),
            ("geneva ny", 42.87, -76.98, 136.0, "America/New_York"),
            (
                "Geneva, N.Y., USA",
                42.87,
                -76.98,
                136.0,
                "America/New_York",
            ),
            (
                "Rochester, New York",
                43.15,
                -77.62,
                154.0,
                "America/New_York",
            ),
            ("angers", 47.47, -0.55, 42.0, "Europe/Paris"),
            ("Naju", 35.03, 126.72, 16.0, "Asia/Seoul"),
            ("NAJU, korea", 35.03, 126.72, 16.0, "Asia/Seoul"),
            ("Lleida", 41.62, 0.62, 180.0, "Europe/Madrid"),
        ] {
            if text == "NAJU, korea" {
                // The country's name begins with South.
                assert!(matches!(find(text, 5), Found::None(_)));
                continue;
            }
            let place = one(text);
            assert!(
                (place.latitude_deg - north).abs() < 0.02,
                "{text}: {place:?}"
            );
            assert!(
                (place.longitude_deg - east).abs() < 0.02,
                "{text}: {place:?}"
            );
            let off = place.elevation_m.unwrap() - height;
            assert!(off.abs() <= 25.0, "{text}: {place:?}");
            assert_eq!(place.zone.unwrap().name(), zone, "{text}");
        }
    }

    #[test]
    fn usual_english_names_and_names_at_home_are_found() {
        for (text, name, country) in [
            ("Munich", "Munich", "Germany"),
            ("München", "Munich", "Germany"),
            ("Seville, Spain", "Sevilla", "Spain"),
            ("Geneva, Switzerland", "Genève", "Switzerland"),
            ("cologne, germany", "Köln", "Germany"),
            ("Bruges, Belgium", "Brugge", "Belgium"),
            ("Wien", "Vienna", "Austria"),
            ("Firenze", "Florence", "Italy"),
            ("Nuremberg", "Nürnberg", "Germany"),
        ] {
            let words = one(text).words;
            assert!(
                words.starts_with(name) && words.ends_with(country),
                "{text}: {words}"
            );
        }
        // Where towns elsewhere have the name too, all are shown, and the state still decides.
        let Found::Several(towns, all) = find("Geneva", 9) else {
            panic!("one");
        };
        assert!(all > 3, "{all}");
        assert_eq!(towns[0].country, "Switzerland");
        assert!(one("Geneva, New York").words.contains("New York"));
        assert!(matches!(find("Nuremb", 9), Found::One(_)), "typing narrows");
    }

    #[test]
    fn several_are_shown_largest_first_and_typing_narrows() {
        let Found::Several(towns, all) = find("Rochester", 4) else {
            panic!("one");
        };
        assert!(all > 6 && towns.len() == 4, "{all}");
        assert_eq!(towns[0].region, "New York");
        let count = |text: &str| match find(text, 5) {
            Found::Several(_, all) => all,
            Found::One(_) => 1,
            Found::None(_) => 0,
        };
        assert!(count("Rochest") > count("Rochester"));
        assert_eq!(count("Rochester, minn"), 1);
        assert!(matches!(find("Qqxzzy", 5), Found::None(_)));
        assert!(matches!(find("x", 5), Found::None(_)));
    }

    #[test]
    fn pairs_and_links_of_maps_are_read_with_the_town_near() {
        for text in [
            "43.15, -77.62",
            "43.15 -77.62",
            "43.15N 77.62W",
            "43.15° N, 77.62° W",
            "geo:43.15,-77.62",
            "https://maps.example/@43.15,-77.62,12z",
            "https://maps.example/?q=43.15%2C-77.62",
            "https://maps.example/#map=12/43.15/-77.62",
        ] {
            let place = one(text);
            assert_eq!(
                (place.latitude_deg, place.longitude_deg),
                (43.15, -77.62),
                "{text}"
            );
            assert_eq!(place.zone.unwrap().name(), "America/New_York");
            assert!(place.words.contains("Rochester"), "{}", place.words);
        }
        assert!(one("-34.1, 19.1").elevation_m.is_some());
        assert!(matches!(find("143.15, -77.6", 5), Found::None(_)));
        assert!(matches!(find("https://maps.example/", 5), Found::None(_)));
        let sea = one("-45, -120");
        assert_eq!((sea.elevation_m, sea.zone), (None, None));
    }
}
