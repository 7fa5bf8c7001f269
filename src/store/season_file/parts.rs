//! The parts of a season, each read from its table.

mod material;
mod place;
mod record;
mod work;

use super::problem::nearest;
use super::reader::{About, Kind, Reader, Section};
use crate::domain::next_season::name_of_year;
use crate::domain::season::{
    BlockId, Brought, MonthlyNormals, Season, SeasonDates, TableRead, TargetId, TargetRow,
    WeatherFiles, WeatherKind,
};
use crate::domain::targets;
use crate::domain::units::{Temperature, shown};
use chrono::NaiveDate;
use std::collections::{BTreeMap, BTreeSet};

/// Reads a whole season; the section is the root of the file.
pub(super) fn season(root: &Section<'_, '_>) -> Season {
    let dates = dates(root);
    let season = Season {
        format: root.whole("format", 0..=u32::MAX).unwrap_or(1),
        season: root
            .text("season")
            .unwrap_or_else(|| name_of_year(dates.leaf_drop_expected)),
        practice: root.flag("practice"),
        orchard: place::orchard(root),
        weather: weather(root),
        blocks: root.sections("block").iter().map(place::block).collect(),
        targets: root.sections("target").iter().map(work::target).collect(),
        shared_targets: Vec::new(),
        materials: root
            .sections("material")
            .iter()
            .map(material::material)
            .collect(),
        sprayers: root.sections("sprayer").iter().map(work::sprayer).collect(),
        people: root.sections("person").iter().map(work::person).collect(),
        tasks: root.sections("task").iter().map(work::task).collect(),
        readings: root
            .sections("reading")
            .iter()
            .filter_map(work::reading)
            .collect(),
        records: root
            .sections("record")
            .into_iter()
            .map(|s| record::record(&s.into_history()))
            .collect(),
        shed: root
            .sections("shed")
            .into_iter()
            .map(|s| record::shed(&s.into_history()))
            .collect(),
        records_head: root.section("records_head").map(|s| record::head(&s)),
        reviewed: root.days("reviewed"),
        lessons: root.sections("lesson").iter().map(record::lesson).collect(),
        estimates_noted: root
            .sections("estimate_noted")
            .into_iter()
            .map(|s| record::estimate_noted(&s.into_history()))
            .collect(),
        dates,
    };
    root.rest();
    season
}

/// Reads a file of targets alone; the section is its root.
pub(super) fn targets(root: &Section<'_, '_>) -> Vec<TargetRow> {
    let rows = root.sections("target").iter().map(work::target).collect();
    root.rest();
    rows
}

fn dates(root: &Section<'_, '_>) -> SeasonDates {
    const EXAMPLE: &str = "2026-11-20 under [dates]";
    let Some(table) = root.section("dates") else {
        root.need(
            "dates",
            None::<()>,
            (),
            "…, a table [dates] with leaf_drop_expected = 2026-11-20",
        );
        return SeasonDates {
            leaf_drop_expected: NaiveDate::default(),
            leaf_drop_seen: None,
        };
    };
    let dates = SeasonDates {
        leaf_drop_expected: table.need(
            "leaf_drop_expected",
            table.day("leaf_drop_expected"),
            NaiveDate::default(),
            EXAMPLE,
        ),
        leaf_drop_seen: table.day("leaf_drop_seen"),
    };
    table.rest();
    dates
}

fn weather(root: &Section<'_, '_>) -> WeatherFiles {
    let Some(table) = root.section("weather") else {
        return WeatherFiles::default();
    };
    let normals = table.section("normals").map(|n| {
        let normals = MonthlyNormals {
            low: twelve(&n, "low"),
            high: twelve(&n, "high"),
        };
        let crossed = normals
            .low
            .iter()
            .zip(&normals.high)
            .position(|(low, high)| low.c() > high.c());
        if let Some(month) = crossed {
            n.complain_at(
                "low",
                format!("month {} has its low above its high", month + 1),
                "write the mean daily minimum in 'low', the maximum in 'high'",
            );
        }
        n.rest();
        normals
    });
    let files = WeatherFiles {
        daily: table.texts("daily"),
        hourly: table.texts("hourly"),
        forecast: table.texts("forecast"),
        allow_outside: table.flag("allow_outside"),
        normals,
        brought: table.sections("brought").iter().map(brought).collect(),
        tables: table.sections("tables").iter().map(table_read).collect(),
    };
    table.rest();
    files
}

fn brought(s: &Section<'_, '_>) -> Brought {
    const KINDS: [(&str, WeatherKind); 3] = [
        ("archive", WeatherKind::Archive),
        ("station", WeatherKind::Station),
        ("own", WeatherKind::Own),
    ];
    let day = |key: &'static str| s.need(key, s.day(key), NaiveDate::default(), "2027-01-03");
    let brought = Brought {
        file: s.need("file", s.text("file"), String::new(), "\"station.days\""),
        source: s.text("source").unwrap_or_default(),
        kind: place::one_of(s, "kind", &KINDS).unwrap_or_default(),
        since: day("since"),
        to: day("to"),
        on: day("on"),
        latitude: s.number("latitude", -90.0..=90.0),
        longitude: s.number("longitude", -180.0..=180.0),
        note: s.text("note"),
    };
    s.rest();
    brought
}

fn table_read(s: &Section<'_, '_>) -> TableRead {
    let read = TableRead {
        name: s.need("name", s.text("name"), String::new(), "\"station.csv\""),
        day: s.text("day"),
        time: s.text("time"),
        low: s.text("low"),
        high: s.text("high"),
        temp: s.text("temp"),
        unit: s.text("unit"),
        dates: s.text("dates"),
        zone: s.text("zone"),
        sheet: s.text("sheet"),
    };
    s.rest();
    read
}

fn twelve(table: &Section<'_, '_>, key: &'static str) -> Vec<Temperature> {
    let values: Vec<Temperature> = table.quantities(key);
    table.need(
        key,
        table.has(key).then_some(()),
        (),
        "[\"20 F\", …], twelve temperatures",
    );
    if table.has(key) && values.len() != 12 {
        table.complain_at(
            key,
            format!("{} good values where twelve belong", values.len()),
            "write one temperature for each month, January first",
        );
    }
    values
}

fn blocks(section: &Section<'_, '_>) -> Vec<BlockId> {
    section
        .references(Kind::Block, "blocks")
        .iter()
        .map(|id| BlockId::from(id.as_str()))
        .collect()
}

fn target_list(section: &Section<'_, '_>) -> Vec<TargetId> {
    section
        .references(Kind::Target, "targets")
        .iter()
        .map(|id| TargetId::from(id.as_str()))
        .collect()
}

/// May this stand in an id? Capitals, blanks and letters of other alphabets are those of older files.
fn is_id(c: char) -> bool {
    c.is_alphanumeric() || matches!(c, '-' | '_' | '.' | ' ')
}

/// Ids given twice, and names that stand for nothing.
pub(super) fn check_names(reader: &Reader<'_>, shared: &[TargetRow]) {
    let given = reader.given();
    let mut first: BTreeMap<(Kind, &str), usize> = BTreeMap::new();
    for name in given.iter() {
        let line = reader.line(name.span.start);
        // Ids are typed, listed in messages and used in file names.
        if !name.id.is_empty() && !name.id.chars().all(is_id) {
            reader.complain(
                About::Whole,
                name.span.clone(),
                name.field.clone(),
                format!("'{}' is no id", shown(&name.id)),
                "write it with a to z, 0 to 9, '-', '_' and '.' alone; names may hold anything",
            );
        }
        if let Some(earlier) = first.get(&(name.kind, name.id.as_str())) {
            reader.complain(
                About::Whole,
                name.span.clone(),
                name.field.clone(),
                format!(
                    "the id '{}' is already the {} of line {earlier}",
                    shown(&name.id),
                    name.kind.words()
                ),
                "write another id here",
            );
        } else {
            first.insert((name.kind, &name.id), line);
        }
    }
    let built_in: BTreeSet<&str> = targets::built_in()
        .map(|t| t.id)
        .chain(shared.iter().map(|t| t.id.as_str()))
        .collect();
    for name in reader.used().iter() {
        if first.contains_key(&(name.kind, name.id.as_str()))
            || (name.kind == Kind::Target && built_in.contains(name.id.as_str()))
        {
            continue;
        }
        let own = first
            .keys()
            .filter(|(kind, _)| *kind == name.kind)
            .map(|(_, id)| *id);
        let known: Vec<&str> = if name.kind == Kind::Target {
            own.chain(built_in.iter().copied()).collect()
        } else {
            own.collect()
        };
        let words = name.kind.words();
        if name.past {
            reader.note(
                name.span.start,
                name.field.clone(),
                format!("no {words} has the id '{}' any more", shown(&name.id)),
                String::new(),
            );
            continue;
        }
        let fix = nearest(&name.id, known.iter().copied()).map_or_else(
            || {
                if known.is_empty() || known.len() > 40 {
                    format!("add a [[{words}]] with this id, or name another")
                } else {
                    format!("write one of: {}", known.join(", "))
                }
            },
            |k| format!("did you mean \"{k}\"?"),
        );
        reader.complain(
            About::Whole,
            name.span.clone(),
            name.field.clone(),
            format!("no {words} has the id '{}'", shown(&name.id)),
            fix,
        );
    }
}
