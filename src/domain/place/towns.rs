//! The packed towns.

use super::fold::fold_into;
use super::other_names::OTHER_NAMES;
use crate::domain::zone::Zone;
use std::sync::LazyLock;

/// Whom the towns are owed to.
pub const CREDIT: &str = "Towns: GeoNames (geonames.org), licensed CC BY 4.0; heights to 20 m";

static PACKED: &[u8] = include_bytes!("towns.bin");

static TOWNS: LazyLock<Towns> = LazyLock::new(|| Towns::unpack(PACKED).unwrap_or_default());

/// A town.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Town {
    /// Its name.
    pub name: &'static str,
    /// State, province or region; may be empty.
    pub region: &'static str,
    /// Country.
    pub country: &'static str,
    /// Code of the country, two letters.
    pub country_code: &'static str,
    /// Degrees north, to a hundredth.
    pub latitude_deg: f64,
    /// Degrees east, to a hundredth.
    pub longitude_deg: f64,
    /// Height above the sea, to 20 m.
    pub elevation_m: f64,
    /// The clock of the place.
    pub zone: Zone,
}

impl Town {
    /// Name, region and country.
    pub fn words(&self) -> String {
        let mut words = self.name.to_owned();
        for part in [self.region, self.country] {
            if !part.is_empty() && part != self.name {
                words.push_str(", ");
                words.push_str(part);
            }
        }
        words
    }
}

/// A run of towns of one region.
#[derive(Debug)]
struct Region {
    /// First town that is no more of it.
    end: usize,
    country_code: &'static str,
    country: &'static str,
    code: &'static str,
    name: &'static str,
    /// Names as they are compared.
    folded: [String; 2],
}

/// All towns.
#[derive(Debug, Default)]
pub(super) struct Towns {
    regions: Vec<Region>,
    zones: Vec<&'static str>,
    names: Vec<&'static str>,
    /// Names as they are compared, each with a line end before and after it.
    folded: String,
    /// Where in it each name begins.
    begins: Vec<u32>,
    latitude: [&'static [u8]; 2],
    longitude: [&'static [u8]; 2],
    heights: &'static [u8],
    sizes: &'static [u8],
    zone: [&'static [u8]; 2],
}

/// Sections of the packed table.
const SECTIONS: usize = 11;

impl Towns {
    pub(super) fn all() -> &'static Self {
        &TOWNS
    }

    /// `None` where the table is not as the packer writes it.
    fn unpack(packed: &[u8]) -> Option<Self> {
        let whole = miniz_oxide::inflate::decompress_to_vec_zlib(packed).ok()?;
        // Read once, kept until the end.
        let whole: &'static [u8] = whole.leak();
        let (sizes, mut rest) = whole.split_at_checked(SECTIONS * 4)?;
        let mut sections: Vec<&'static [u8]> = Vec::with_capacity(SECTIONS);
        for size in sizes.chunks_exact(4) {
            let size = u32::from_le_bytes(size.try_into().ok()?) as usize;
            let (section, more) = rest.split_at_checked(size)?;
            sections.push(section);
            rest = more;
        }
        let [
            lines,
            zones,
            names,
            north0,
            north1,
            east0,
            east1,
            heights,
            people,
            zone0,
            zone1,
        ] = <[&'static [u8]; SECTIONS]>::try_from(sections).ok()?;
        let names: Vec<&'static str> = std::str::from_utf8(names).ok()?.split('\n').collect();
        let mut folded = String::from("\n");
        let mut begins = Vec::with_capacity(names.len());
        for name in &names {
            begins.push(u32::try_from(folded.len()).ok()?);
            fold_into(name, &mut folded);
            folded.push('\n');
        }
        let mut end = 0;
        let regions = std::str::from_utf8(lines).ok()?.lines().map(|line| {
            let cells: Vec<&'static str> = line.split('\t').collect();
            let &[country_code, country, code, name, count] = cells.as_slice() else {
                return None;
            };
            end += count.parse::<usize>().ok()?;
            Some(Region {
                end,
                country_code,
                country,
                code,
                name,
                folded: [super::fold::folded(name), super::fold::folded(country)],
            })
        });
        Some(Self {
            regions: regions.collect::<Option<_>>()?,
            zones: std::str::from_utf8(zones).ok()?.split('\n').collect(),
            names,
            folded,
            begins,
            latitude: [north0, north1],
            longitude: [east0, east1],
            heights,
            sizes: people,
            zone: [zone0, zone1],
        })
    }

    fn region(&self, town: usize) -> Option<&Region> {
        self.regions
            .get(self.regions.partition_point(|r| r.end <= town))
    }

    fn degrees(planes: [&'static [u8]; 2], town: usize) -> f64 {
        f64::from(word(planes, town)) / 100.0
    }

    /// Latitude and longitude of a town, degrees.
    fn at(&self, town: usize) -> (f64, f64) {
        (
            Self::degrees(self.latitude, town) - 90.0,
            Self::degrees(self.longitude, town) - 180.0,
        )
    }

    /// How many people, as a rank: twice the power of two.
    pub(super) fn size(&self, town: usize) -> u8 {
        self.sizes.get(town).copied().unwrap_or(0)
    }

    pub(super) fn town(&self, town: usize) -> Option<Town> {
        let region = self.region(town)?;
        let (latitude_deg, longitude_deg) = self.at(town);
        let zone = self.zones.get(usize::from(word(self.zone, town)))?;
        let height = self.heights.get(town).copied().unwrap_or(0);
        let round = |v: f64| (v * 100.0).round() / 100.0;
        Some(Town {
            name: self.names.get(town)?,
            region: region.name,
            country: region.country,
            country_code: region.country_code,
            latitude_deg: round(latitude_deg),
            longitude_deg: round(longitude_deg),
            elevation_m: f64::from(height) * 20.0,
            zone: zone.parse().unwrap_or(Zone::UTC),
        })
    }

    /// Towns whose name begins with folded words: which, and whether it is the whole name.
    pub(super) fn beginning(&self, words: &str) -> Vec<(usize, bool)> {
        let wanted = format!("\n{words}");
        memchr::memmem::find_iter(self.folded.as_bytes(), wanted.as_bytes())
            .filter_map(|at| {
                let begin = u32::try_from(at + 1).ok()?;
                let town = self.begins.binary_search(&begin).ok()?;
                let after = self.folded.as_bytes().get(at + wanted.len());
                Some((town, after == Some(&b'\n')))
            })
            .collect()
    }

    /// Towns of which another usual name begins with folded words: which, and whether it is the
    /// whole name.
    pub(super) fn otherwise_beginning(&self, words: &str) -> Vec<(usize, bool)> {
        OTHER_NAMES
            .iter()
            .filter_map(|(other, name, country)| {
                let other = super::fold::folded(other);
                if !other.starts_with(words) {
                    return None;
                }
                Some((self.largest(name, country)?, other == words))
            })
            .collect()
    }

    /// The largest town of a name in a country.
    fn largest(&self, name: &str, country_code: &str) -> Option<usize> {
        self.beginning(&super::fold::folded(name))
            .into_iter()
            .filter(|(_, whole)| *whole)
            .map(|(town, _)| town)
            .filter(|town| {
                let region = self.region(*town);
                region.is_some_and(|r| r.country_code == country_code)
            })
            .max_by_key(|town| self.size(*town))
    }

    /// Does a town lie in what folded words name: a region or country, by its name, the beginning
    /// of it, or its code?
    pub(super) fn lies_in(&self, town: usize, words: &str) -> bool {
        let Some(region) = self.region(town) else {
            return false;
        };
        let bare: String = words.chars().filter(|c| *c != ' ').collect();
        let code = |code: &str| code.eq_ignore_ascii_case(&bare);
        let other = match region.country_code {
            "US" => ["usa", "united states of america"].contains(&words) || bare == "usa",
            "GB" => {
                ["uk", "great britain", "england", "scotland", "wales"].contains(&bare.as_str())
                    && (["uk", "greatbritain"].contains(&bare.as_str())
                        || region.folded.first().is_some_and(|n| n == words))
            }
            _ => false,
        };
        let begins = words.len() >= 3 && region.folded.iter().any(|n| n.starts_with(words));
        other
            || begins
            || code(region.country_code)
            || code(region.code)
            || region.folded.iter().any(|n| n == words)
    }

    fn count(&self) -> usize {
        self.names.len()
    }
}

fn word(planes: [&[u8]; 2], at: usize) -> u16 {
    let [high, low] = planes.map(|plane| plane.get(at).copied().unwrap_or(0));
    u16::from_be_bytes([high, low])
}

/// Kilometres between two places (great circle, degrees).
pub(super) fn distance_km(a: (f64, f64), b: (f64, f64)) -> f64 {
    let ((north_a, east_a), (north_b, east_b)) = (
        (a.0.to_radians(), a.1.to_radians()),
        (b.0.to_radians(), b.1.to_radians()),
    );
    let half = |d: f64| (d / 2.0).sin().powi(2);
    let h = north_a.cos().mul_add(
        north_b.cos() * half(east_b - east_a),
        half(north_b - north_a),
    );
    2.0 * 6371.0 * h.sqrt().min(1.0).asin()
}

/// The town nearest to a place (degrees), with its distance in kilometres.
pub fn near(latitude_deg: f64, longitude_deg: f64) -> Option<(Town, f64)> {
    let towns = Towns::all();
    let here = (latitude_deg, longitude_deg);
    let nearest = (0..towns.count())
        .filter(|&town| (towns.at(town).0 - latitude_deg).abs() < 5.0)
        .map(|town| (town, distance_km(here, towns.at(town))))
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    Some((towns.town(nearest.0)?, nearest.1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_whole_and_every_zone_is_known() {
        let towns = Towns::all();
        assert!(towns.count() > 100_000, "{}", towns.count());
        assert_eq!(towns.regions.last().unwrap().end, towns.count());
        for plane in [towns.heights, towns.sizes, towns.latitude[0], towns.zone[1]] {
            assert_eq!(plane.len(), towns.count());
        }
        for zone in &towns.zones {
            assert!(zone.parse::<Zone>().is_ok(), "{zone}");
        }
        assert!(Towns::unpack(b"no table").is_none());
    }

    #[test]
    fn every_other_name_leads_to_a_town_that_is_there() {
        let towns = Towns::all();
        let mut gone = Vec::new();
        for (other, name, country) in OTHER_NAMES {
            let found = towns.largest(name, country).and_then(|t| towns.town(t));
            if found.is_none_or(|t| t.name != *name) {
                gone.push(format!("{other}: {name}, {country}: {found:?}"));
            }
        }
        assert!(gone.is_empty(), "{}", gone.join("\n"));
    }

    #[test]
    fn the_nearest_town_of_an_orchard_is_found() {
        // Rochester lies 52 km from Geneva, New York (great circle of the GeoNames coordinates).
        let (town, km) = near(42.87, -76.99).unwrap();
        assert_eq!((town.name, town.region), ("Geneva", "New York"));
        assert!(km < 2.0, "{km}");
        assert!((distance_km((43.15, -77.62), (42.87, -76.98)) - 60.7).abs() < 2.0);
    }
}
