//! The gazetteer of `domain::place`: towns of 500 people and more where winters have dormant
//! trees, by country and region.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::fs;

use serde_json::Value;

struct Town<'a> {
    name: &'a str,
    country: &'a str,
    region: &'a str,
    latitude_deg: f64,
    longitude_deg: f64,
    height_m: i32,
    people: f64,
    zone: &'a str,
}

/// The packed gazetteer.
pub fn pack(cities: &str, regions: &str, countries: &str) -> Result<Vec<u8>, String> {
    let text = read(cities)?;
    let region_names: BTreeMap<String, String> = json(regions)?
        .as_array()
        .ok_or("the regions are no list")?
        .iter()
        .filter_map(|r| {
            Some((
                r["code"].as_str()?.to_owned(),
                r["name"].as_str()?.to_owned(),
            ))
        })
        .collect();
    let countries = json(countries)?;
    let mut towns: Vec<Town<'_>> = text.lines().filter_map(town).collect();
    towns.sort_by(|a, b| (a.country, a.region, a.name).cmp(&(b.country, b.region, b.name)));
    let mut zones: Vec<&str> = towns.iter().map(|t| t.zone).collect();
    zones.sort_unstable();
    zones.dedup();
    // One line a region, in the order of the towns: country, its name, code, name, towns.
    let mut lines = String::new();
    let mut rest = towns.as_slice();
    while let Some(first) = rest.first() {
        let same = |t: &&Town<'_>| (t.country, t.region) == (first.country, first.region);
        let count = rest.iter().take_while(same).count();
        let country = countries[first.country]["name"].as_str().unwrap_or("");
        let key = format!("{}.{}", first.country, first.region);
        let name = region_names.get(&key).map_or("", String::as_str);
        let _ = writeln!(
            lines,
            "{}\t{country}\t{}\t{name}\t{count}",
            first.country, first.region
        );
        rest = &rest[count..];
    }
    let names: Vec<&str> = towns.iter().map(|t| t.name).collect();
    let plane =
        |of: &dyn Fn(&Town<'_>) -> i32| -> Vec<u8> { towns.iter().map(|t| of(t) as u8).collect() };
    let hundredths = |degrees: f64| (degrees * 100.0).round() as i32;
    let zone = |t: &Town<'_>| zones.iter().position(|z| *z == t.zone).unwrap_or(0) as i32;
    let sections: Vec<Vec<u8>> = vec![
        lines.into_bytes(),
        zones.join("\n").into_bytes(),
        names.join("\n").into_bytes(),
        plane(&|t| hundredths(t.latitude_deg + 90.0) >> 8),
        plane(&|t| hundredths(t.latitude_deg + 90.0)),
        plane(&|t| hundredths(t.longitude_deg + 180.0) >> 8),
        plane(&|t| hundredths(t.longitude_deg + 180.0)),
        plane(&|t| (t.height_m.max(0) + 10) / 20),
        plane(&|t| (2.0 * t.people.max(1.0).log2()) as i32),
        plane(&|t| zone(t) >> 8),
        plane(&zone),
    ];
    let mut whole = Vec::new();
    for section in &sections {
        whole.extend((section.len() as u32).to_le_bytes());
    }
    whole.extend(sections.concat());
    Ok(miniz_oxide::deflate::compress_to_vec_zlib(&whole, 10))
}

/// A row of the GeoNames table, if it is kept.
fn town(line: &str) -> Option<Town<'_>> {
    let cells: Vec<&str> = line.split('\t').collect();
    let cell = |i: usize| cells.get(i).copied().unwrap_or("");
    let number = |i: usize| cell(i).parse::<f64>().ok();
    let height = number(15).or(number(16)).unwrap_or(0.0).max(0.0);
    let town = Town {
        name: cell(1),
        country: cell(8),
        region: cell(10),
        latitude_deg: number(4)?,
        longitude_deg: number(5)?,
        height_m: height as i32,
        people: number(14).unwrap_or(0.0),
        zone: cell(17),
    };
    // Parts of towns, and places that are no more.
    let is_part = ["PPLX", "PPLH", "PPLQ", "PPLW", "STLMT"].contains(&cell(7));
    let is_seat = ["PPLA", "PPLA2", "PPLC"].contains(&cell(7));
    // Lowlands of the tropics have no dormant season: their cities alone.
    let north = town.latitude_deg.abs();
    let warm = (north < 20.0 && height < 800.0 && town.people < 50_000.0)
        || (north < 25.0 && height < 500.0 && town.people < 15_000.0);
    let kept = !is_part && !warm && north < 72.0 && (town.people >= 500.0 || is_seat);
    (kept && !town.name.is_empty()).then_some(town)
}

fn read(path: &str) -> Result<String, String> {
    fs::read_to_string(path).map_err(|e| format!("{path}: {e}"))
}

fn json(path: &str) -> Result<Value, String> {
    serde_json::from_str(&read(path)?).map_err(|e| format!("{path}: {e}"))
}
