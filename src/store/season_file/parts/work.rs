//! Targets, sprayers, tasks, readings and records.

use super::super::reader::{Kind, Section, day_in};
use super::place::{DAYS, day_of_week, hours_of_day, one_of};
use super::{blocks, target_list};
use crate::domain::season::{
    Calibration, HowMany, Lane, MaterialId, MixPart, Move, Person, PersonId, Quiet, Reading,
    Sprayer, SprayerId, SprayerKind, TargetId, TargetRow, Task, TaskId, TaskKind, TaskState,
    WorkTime,
};
use crate::domain::units::{
    RainDepth, RainUnit, Temperature, TemperatureUnit, Volume, VolumeUnit, shown,
};
use chrono::NaiveDate;

const SPRAYERS: [(&str, SprayerKind); 7] = [
    ("hand", SprayerKind::Hand),
    ("hose-end", SprayerKind::HoseEnd),
    ("cart", SprayerKind::Cart),
    ("backpack", SprayerKind::Backpack),
    ("handgun", SprayerKind::Handgun),
    ("airblast", SprayerKind::Airblast),
    ("boom", SprayerKind::Boom),
];

const DAY: &str = "2027-01-03";

pub(super) fn day(s: &Section<'_, '_>, key: &'static str) -> NaiveDate {
    s.need(key, s.day(key), NaiveDate::default(), DAY)
}

pub(super) fn material_id(s: &Section<'_, '_>) -> MaterialId {
    let id = s.reference(Kind::Material, "material");
    MaterialId::from(s.need("material", id, String::new(), "\"oil\"").as_str())
}

pub(super) fn sprayer_id(s: &Section<'_, '_>) -> Option<SprayerId> {
    s.reference(Kind::Sprayer, "sprayer")
        .map(|id| SprayerId::from(id.as_str()))
}

pub(super) fn target(s: &Section<'_, '_>) -> TargetRow {
    let id = s.id(Kind::Target);
    let lanes = Lane::ALL.map(Lane::key);
    let row = TargetRow {
        name: s.text("name").unwrap_or_else(|| id.clone()),
        id: TargetId::from(id.as_str()),
        hosts: s.texts("hosts"),
        actives: s.texts("actives"),
        lanes: s.words("lanes", "lane", &lanes, Lane::from_key),
        last_stage: s.bbch("last_stage"),
        note: s.text("note"),
    };
    s.rest();
    row
}

pub(super) fn sprayer(s: &Section<'_, '_>) -> Sprayer {
    let id = s.id(Kind::Sprayer);
    let tank: Option<Volume> = s.quantity("tank");
    if tank.is_some_and(|t| t.l() <= 0.0) {
        s.complain_at(
            "tank",
            "a tank that holds nothing",
            "write for instance \"4 gal\"",
        );
    }
    let sprayer = Sprayer {
        name: s.text("name").unwrap_or_else(|| id.clone()),
        id: SprayerId::from(id.as_str()),
        kind: s.need(
            "kind",
            one_of(s, "kind", &SPRAYERS),
            SprayerKind::Hand,
            "\"backpack\"",
        ),
        tank: s.need("tank", tank, Volume::new(1.0, VolumeUnit::L), "\"4 gal\""),
        volume_factor: s.number("volume_factor", 0.01..=100.0),
        refill_minutes: s.number("refill_minutes", 0.0..=1440.0),
        way_minutes: s.number("way_minutes", 0.0..=1440.0),
        speed: s.quantity("speed"),
        time: work_time(s),
        calibration: s.sections("calibration").iter().map(calibration).collect(),
    };
    s.rest();
    sprayer
}

pub(super) fn person(s: &Section<'_, '_>) -> Person {
    let id = s.id(Kind::Person);
    let person = Person {
        name: s.text("name").unwrap_or_else(|| id.clone()),
        id: PersonId::from(id.as_str()),
        time: work_time(s),
        sprayers: s
            .references(Kind::Sprayer, "sprayers")
            .iter()
            .map(|id| SprayerId::from(id.as_str()))
            .collect(),
        licence: s.text("licence"),
    };
    s.rest();
    person
}

fn work_time(s: &Section<'_, '_>) -> WorkTime {
    WorkTime {
        hours: hours_of_day(s, "hours"),
        days: s.words("days", "day of the week", &DAYS, day_of_week),
        away: s.days("away"),
    }
}

fn calibration(s: &Section<'_, '_>) -> Calibration {
    let calibration = Calibration {
        date: day(s, "date"),
        l_per_min: s.number("l_per_min", 0.0..=100_000.0),
        l_per_ha: s.number("l_per_ha", 0.0..=100_000.0),
        worst_nozzle_percent: s.number("worst_nozzle_percent", -100.0..=1000.0),
        note: s.text("note"),
    };
    s.rest();
    calibration
}

pub(super) fn task(s: &Section<'_, '_>) -> Task {
    let id = s.id(Kind::Task);
    let mix: Vec<MixPart> = s.sections("mix").iter().map(mix_part).collect();
    let lanes = Lane::ALL.map(Lane::key);
    let kinds = TaskKind::ALL.map(TaskKind::key);
    let kind = s.word("kind", "kind of work", &kinds, TaskKind::from_key);
    let task = Task {
        title: s.text("title").unwrap_or_else(|| id.clone()),
        id: TaskId::from(id.as_str()),
        lane: s.need(
            "lane",
            s.word("lane", "lane", &lanes, Lane::from_key),
            Lane::AfterLeafDrop,
            "\"before-swell\"",
        ),
        // A task with something in its tank is a spray.
        kind: kind.unwrap_or(if mix.is_empty() {
            TaskKind::Other
        } else {
            TaskKind::Spray
        }),
        date: day(s, "date"),
        hour: s.whole("hour", 0..=23),
        blocks: blocks(s),
        targets: target_list(s),
        mix,
        volume: s.quantity("volume"),
        water_ph: s.number("water_ph", 0.0..=14.0),
        sprayer: sprayer_id(s),
        state: state(s),
        why: s.text("why"),
        notes: s.text("notes"),
        part_of: s
            .reference(Kind::Task, "part_of")
            .map(|id| TaskId::from(id.as_str())),
        moved: s.sections("moved").iter().map(moved).collect(),
        quiet: s.sections("quiet").iter().map(quiet).collect(),
    };
    s.rest();
    task
}

fn mix_part(s: &Section<'_, '_>) -> MixPart {
    let part = MixPart {
        material: material_id(s),
        rate: s.quantity("rate"),
    };
    s.rest();
    part
}

fn moved(s: &Section<'_, '_>) -> Move {
    let moved = Move {
        on: day(s, "on"),
        from: day(s, "from"),
        to: day(s, "to"),
        why: s.text("why").unwrap_or_default(),
    };
    s.rest();
    moved
}

fn quiet(s: &Section<'_, '_>) -> Quiet {
    let quiet = Quiet {
        rule: s.need("rule", s.text("rule"), String::new(), "\"overdue\""),
        why: s.text("why").unwrap_or_default(),
        on: day(s, "on"),
    };
    s.rest();
    quiet
}

/// `planned`, `done 2027-01-03`, `skipped 2027-01-03`.
fn state(s: &Section<'_, '_>) -> TaskState {
    const FIX: &str = "write \"planned\", \"done 2027-01-03\" or \"skipped 2027-01-03\"";
    let Some(text) = s.text("state") else {
        return TaskState::Planned;
    };
    let mut words = text.split_whitespace();
    let word = words.next().unwrap_or_default().to_lowercase();
    let (day, more) = (words.next(), words.next());
    let made: fn(NaiveDate) -> TaskState = match (word.as_str(), day, more) {
        ("planned", None, None) => return TaskState::Planned,
        ("done", Some(_), None) => TaskState::Done,
        ("skipped", Some(_), None) => TaskState::Skipped,
        ("done" | "skipped", None, _) => {
            s.complain_at("state", format!("'{word}' without its day"), FIX);
            return TaskState::Planned;
        }
        _ => {
            s.complain_at("state", format!("'{}' is no state", shown(&text)), FIX);
            return TaskState::Planned;
        }
    };
    match day_in(day.unwrap_or_default()) {
        Ok(day) => made(day),
        Err((what, fix)) => {
            s.complain_at("state", what, fix);
            TaskState::Planned
        }
    }
}

fn how_many(s: &Section<'_, '_>) -> HowMany {
    let words = HowMany::ALL.map(HowMany::words);
    s.word("how_many", "number of buds", &words, HowMany::from_words)
        .unwrap_or_default()
}

/// A reading; its kind is told by `kind`, or by the keys it has.
pub(super) fn reading(s: &Section<'_, '_>) -> Option<Reading> {
    const KINDS: [&str; 3] = ["degree-days", "buds", "rain"];
    let named = s.word("kind", "kind of reading", &KINDS, |text| {
        let text = text.trim().to_lowercase();
        KINDS.into_iter().find(|k| *k == text)
    });
    let kind = match named {
        Some(kind) => kind,
        None if s.has("kind") => return None,
        None if s.has("bbch") => "buds",
        None if s.has("total") => "degree-days",
        None if s.has("rain") => "rain",
        None => {
            s.need(
                "kind",
                None::<()>,
                (),
                "\"degree-days\", \"buds\" or \"rain\"",
            );
            return None;
        }
    };
    let reading = if kind == "buds" {
        Reading::Buds {
            date: day(s, "date"),
            bbch: s.need("bbch", s.bbch("bbch"), 0, "51"),
            blocks: blocks(s),
            note: s.text("note"),
            how_many: how_many(s),
            photo: s.text("photo"),
        }
    } else if kind == "rain" {
        Reading::Rain {
            date: day(s, "date"),
            rain: s.need(
                "rain",
                s.quantity("rain"),
                RainDepth::new(0.0, RainUnit::Mm),
                "\"12 mm\"",
            ),
            note: s.text("note"),
        }
    } else {
        let date = day(s, "date");
        let since = day(s, "since");
        if s.has("since") && s.has("date") && since > date {
            s.complain_at(
                "since",
                "after the day of the total",
                "write an earlier day",
            );
        }
        let base = s.quantity("base");
        Reading::DegreeDays {
            date,
            total: s.need("total", s.number("total", 0.0..=100_000.0), 0.0, "95"),
            base: s.need(
                "base",
                base,
                Temperature::new(0.0, TemperatureUnit::C),
                "\"43 F\"",
            ),
            since,
            blocks: blocks(s),
            note: s.text("note"),
        }
    };
    s.rest();
    Some(reading)
}
