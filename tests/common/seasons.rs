//! Random valid seasons and random edits of them, for property tests.
//!
//! A season is built from dice: a list of numbers that a strategy makes and
//! shrinks. With the dice used up every throw is zero, the plainest choice.
//! Everything here is invented.

use barewood::domain::phenology::{species::Species, stage::Stage};
use barewood::domain::season::*;
use barewood::domain::units::*;
use chrono::{Days, NaiveDate, NaiveDateTime};
use proptest::prelude::*;
use std::collections::BTreeMap;

/// Numbers thrown in advance.
#[derive(Debug, Clone)]
pub struct Dice {
    throws: Vec<u32>,
    next: usize,
}

/// Dice for one season or one run of edits.
pub fn dice() -> impl Strategy<Value = Dice> {
    prop::collection::vec(any::<u32>(), 0..600).prop_map(|throws| Dice { throws, next: 0 })
}

const TEXTS: [&str; 9] = [
    "plain",
    "two words",
    "\"quoted\" \\ 'text'",
    "# not a comment",
    "line one\nline two\n",
    "größer – 果樹 🍐",
    "\u{1b}[31m\u{7}",
    "",
    " = [x] {y} ",
];

impl Dice {
    /// From numbers made elsewhere.
    pub fn new(throws: Vec<u32>) -> Self {
        Self { throws, next: 0 }
    }

    /// A number below `sides`; zero when the dice are used up.
    pub fn throw(&mut self, sides: usize) -> usize {
        let value = self.throws.get(self.next).copied().unwrap_or(0);
        self.next += 1;
        value as usize % sides.max(1)
    }

    fn one_of<T: Copy>(&mut self, choices: &[T]) -> T {
        choices[self.throw(choices.len())]
    }

    fn chance(&mut self) -> bool {
        self.throw(3) == 1
    }

    fn maybe<T>(&mut self, make: impl FnOnce(&mut Self) -> T) -> Option<T> {
        self.chance().then(|| make(self))
    }

    fn text(&mut self) -> String {
        self.one_of(&TEXTS).to_owned()
    }

    fn number(&mut self) -> f64 {
        self.throw(40_000) as f64 / 8.0
    }

    /// A number that quantities keep exactly: at most six decimals are written.
    fn decimal(&mut self) -> f64 {
        self.throw(200 * 64) as f64 / 64.0
    }

    fn day(&mut self) -> NaiveDate {
        let base = NaiveDate::from_ymd_opt(2026, 10, 1).unwrap();
        base + Days::new(self.throw(240) as u64)
    }

    fn moment(&mut self) -> NaiveDateTime {
        let day = self.day();
        let (h, m, s) = (self.throw(24), self.throw(60), self.throw(60));
        day.and_hms_opt(h as u32, m as u32, s as u32).unwrap()
    }

    fn list<T>(&mut self, most: usize, mut make: impl FnMut(&mut Self) -> T) -> Vec<T> {
        let count = self.throw(most + 1);
        (0..count).map(|_| make(self)).collect()
    }

    fn some_of<T: Clone>(&mut self, all: &[T]) -> Vec<T> {
        all.iter().filter(|_| self.chance()).cloned().collect()
    }

    fn temperature(&mut self) -> Temperature {
        let unit = self.one_of(TemperatureUnit::ALL);
        Temperature::new(self.decimal() - 50.0, unit)
    }

    fn volume(&mut self) -> Volume {
        let unit = self.one_of(VolumeUnit::ALL);
        Volume::new(self.decimal() + 1.0, unit)
    }

    fn length(&mut self) -> Length {
        let unit = self.one_of(LengthUnit::ALL);
        Length::new(self.decimal() + 1.0, unit)
    }

    fn area(&mut self) -> Area {
        let unit = self.one_of(AreaUnit::ALL);
        Area::new(self.decimal() + 1.0, unit)
    }

    fn speed(&mut self) -> Speed {
        let unit = self.one_of(SpeedUnit::ALL);
        Speed::new(self.decimal(), unit)
    }

    fn mass(&mut self) -> Mass {
        let unit = self.one_of(MassUnit::ALL);
        Mass::new(self.decimal(), unit)
    }

    fn percent(&mut self) -> Percent {
        Percent::new(self.throw(101) as f64, PercentUnit::Percent)
    }

    fn amount(&mut self) -> Amount {
        if self.chance() {
            Amount::Mass(self.mass())
        } else {
            Amount::Volume(self.volume())
        }
    }

    fn rate(&mut self) -> Rate {
        match self.throw(4) {
            0 => Rate::VolumePercent(self.percent()),
            1 => Rate::PerVolume(self.amount(), self.volume()),
            2 => Rate::PerArea(self.amount(), self.area()),
            _ => Rate::PerTree(self.amount()),
        }
    }

    fn copper_rate(&mut self) -> Rate {
        Rate::PerArea(Amount::Mass(self.mass()), self.area())
    }

    fn span(&mut self) -> Span {
        if self.chance() {
            Span::Days(self.throw(60) as f64)
        } else {
            Span::Hours(self.throw(100) as f64)
        }
    }

    fn bbch(&mut self) -> u8 {
        self.throw(100) as u8
    }
}

fn ids<T: for<'a> From<&'a str>>(words: &[&str], count: usize) -> Vec<T> {
    (0..count)
        .map(|i| {
            let word = words[i % words.len()];
            if i < words.len() {
                T::from(word)
            } else {
                T::from(format!("{word}-{i}").as_str())
            }
        })
        .collect()
}

/// A valid season.
pub fn season(d: &mut Dice) -> Season {
    let block_count = 1 + d.throw(4);
    let blocks: Vec<BlockId> = ids(&["apple", "pear", "old row", "süd"], block_count);
    let target_count = d.throw(3);
    let own_targets: Vec<TargetId> = ids(&["my-canker", "oak-moss"], target_count);
    let mut targets = own_targets.clone();
    targets.extend(["leaf-curl", "scale"].map(TargetId::from));
    let material_count = d.throw(4);
    let materials: Vec<MaterialId> = ids(&["oil", "copper", "urea"], material_count);
    let sprayer_count = d.throw(3);
    let sprayers: Vec<SprayerId> = ids(&["backpack", "big one"], sprayer_count);
    let task_count = d.throw(6);
    let tasks: Vec<TaskId> = ids(&["first", "second", "third.spray", "prune"], task_count);
    let record_count = d.throw(4);
    let records: Vec<RecordId> = ids(&["r1", "r2", "r3"], record_count);
    let names = Names {
        blocks,
        targets,
        materials,
        sprayers,
        records,
    };
    Season {
        format: FORMAT,
        season: d.text(),
        practice: d.chance(),
        orchard: orchard(d),
        dates: SeasonDates {
            leaf_drop_expected: d.day(),
            leaf_drop_seen: d.maybe(Dice::day),
        },
        weather: weather(d),
        blocks: names.blocks.iter().map(|id| block(d, id, &names)).collect(),
        targets: own_targets.iter().map(|id| target(d, id)).collect(),
        shared_targets: Vec::new(),
        materials: names.materials.iter().map(|id| material(d, id)).collect(),
        sprayers: names.sprayers.iter().map(|id| sprayer(d, id)).collect(),
        tasks: tasks.iter().map(|id| task(d, id, &names)).collect(),
        readings: d.list(4, |d| reading(d, &names)),
        records: names
            .records
            .iter()
            .map(|id| record(d, id, &names))
            .collect(),
        reviewed: d.list(3, Dice::day),
        people: Vec::new(),
        shed: Vec::new(),
        records_head: d.maybe(|d| RecordsHead {
            count: d.throw(9) as u32,
            seal: d.text(),
        }),
        estimates_noted: d.list(2, |d| EstimateNoted {
            date: d.day(),
            block: names.blocks[0].clone(),
            stage: d.one_of(&[Stage::Swell, Stage::FirstBloom]),
            p10: d.day(),
            p50: d.day(),
            p90: d.day(),
        }),
        lessons: d.list(2, |d| Lesson {
            text: d.text(),
            from: d.maybe(|d| d.one_of(&["2025-26", "2027-01-01"]).to_owned()),
            done: d.maybe(Dice::day),
        }),
    }
}

struct Names {
    blocks: Vec<BlockId>,
    targets: Vec<TargetId>,
    materials: Vec<MaterialId>,
    sprayers: Vec<SprayerId>,
    records: Vec<RecordId>,
}

impl Names {
    fn of(season: &Season) -> Self {
        Self {
            blocks: season.blocks.iter().map(|b| b.id.clone()).collect(),
            targets: season.targets.iter().map(|t| t.id.clone()).collect(),
            materials: season.materials.iter().map(|m| m.id.clone()).collect(),
            sprayers: season.sprayers.iter().map(|s| s.id.clone()).collect(),
            records: season.records.iter().map(|r| r.id.clone()).collect(),
        }
    }
}

fn orchard(d: &mut Dice) -> Orchard {
    Orchard {
        name: d.text(),
        latitude: d.throw(180_001) as f64 / 1000.0 - 90.0,
        longitude: d.throw(360_001) as f64 / 1000.0 - 180.0,
        elevation: d.maybe(Dice::length),
        time_zone: d
            .one_of(&["UTC", "America/New_York", "Pacific/Auckland"])
            .parse()
            .unwrap(),
        units: d.one_of(&[UnitSystem::Us, UnitSystem::Metric]),
        tolerance: d.percent(),
        guard_days: d.throw(61) as u32,
        copper_regime: d.one_of(&[
            CopperRegime::Label,
            CopperRegime::UsTables,
            CopperRegime::EuSevenYears,
        ]),
        copper_past_kg_per_ha: d.list(3, |d| d.throw(900) as f64 / 100.0),
        wind_max: d.maybe(Dice::speed),
        work_hours: d.maybe(|d| [d.throw(12) as u32, 13 + d.throw(12) as u32]),
        work_days: d.some_of(&["mon".to_owned(), "sat".to_owned()]),
        avoid_winds: d.some_of(&["n".to_owned(), "sw".to_owned()]),
        works_in_the_dark: d.chance(),
        film_depth: d.maybe(Dice::length),
        notes: d.maybe(Dice::text),
    }
}

fn weather(d: &mut Dice) -> WeatherFiles {
    WeatherFiles {
        daily: d.list(2, Dice::text),
        hourly: d.list(2, Dice::text),
        forecast: d.list(2, Dice::text),
        allow_outside: d.chance(),
        normals: d.maybe(|d| {
            let low: Vec<Temperature> = (0..12).map(|_| d.temperature()).collect();
            let high = low
                .iter()
                .map(|t| Temperature::new(t.value + 10.0, t.unit))
                .map(|t| t.to_string().parse().unwrap())
                .collect();
            MonthlyNormals { low, high }
        }),
        brought: d.list(2, |d| Brought {
            file: d.text(),
            source: d.text(),
            kind: d.one_of(&WeatherKind::ALL),
            since: d.day(),
            to: d.day(),
            on: d.day(),
            latitude: d.maybe(|_| 43.125),
            longitude: d.maybe(|_| -77.5),
            note: d.maybe(Dice::text),
        }),
        tables: d.list(2, |d| TableRead {
            name: d.text(),
            day: d.maybe(Dice::text),
            time: d.maybe(Dice::text),
            low: d.maybe(Dice::text),
            high: d.maybe(Dice::text),
            temp: d.maybe(Dice::text),
            unit: d.maybe(Dice::text),
            dates: d.maybe(Dice::text),
            zone: d.maybe(Dice::text),
            sheet: d.maybe(Dice::text),
        }),
    }
}

fn block(d: &mut Dice, id: &BlockId, names: &Names) -> Block {
    Block {
        id: id.clone(),
        name: d.text(),
        species: d.one_of(&Species::ALL),
        cultivar: d.maybe(Dice::text),
        trees: 1 + d.throw(500) as u32,
        area: d.maybe(Dice::area),
        row_spacing: d.maybe(Dice::length),
        tree_spacing: d.maybe(Dice::length),
        height: d.maybe(Dice::length),
        spread: d.maybe(Dice::length),
        canopy: d.one_of(&[Canopy::Middling, Canopy::Open, Canopy::Dense]),
        measured_volume: d.maybe(Dice::volume),
        organic: d.chance(),
        leaf_drop_expected: d.maybe(Dice::day),
        leaf_drop_seen: d.maybe(Dice::day),
        guard_days: d.maybe(|d| d.throw(61) as u32),
        model: d.maybe(Dice::text),
        site: d.maybe(Dice::text),
        seen: d.list(2, |d| TargetSeen {
            target: d.one_of(&names.targets.iter().collect::<Vec<_>>()).clone(),
            season: d.text(),
            count: d.maybe(Dice::number),
            of: d.maybe(Dice::number),
            note: d.maybe(Dice::text),
        }),
        copper_past_kg_per_ha: d.list(7, |d| d.maybe(|d| d.throw(900) as f64 / 100.0).into()),
        past: d.list(3, |d| PastStage {
            stage: d.one_of(&[
                Stage::Swell,
                Stage::Burst,
                Stage::FirstBloom,
                Stage::FullBloom,
            ]),
            date: d.day(),
        }),
        quiet: d.list(2, |d| QuietHere {
            rule: d.text(),
            target: d.maybe(|d| d.one_of(&names.targets.iter().collect::<Vec<_>>()).clone()),
            why: d.text(),
            on: d.day(),
        }),
    }
}

fn target(d: &mut Dice, id: &TargetId) -> TargetRow {
    TargetRow {
        id: id.clone(),
        name: d.text(),
        hosts: d.list(2, Dice::text),
        actives: d.list(2, Dice::text),
        lanes: d.some_of(&Lane::ALL),
        last_stage: d.maybe(Dice::bbch),
        note: d.maybe(Dice::text),
    }
}

fn material(d: &mut Dice, id: &MaterialId) -> Material {
    Material {
        id: id.clone(),
        name: d.text(),
        active: d.text(),
        formulation: d.maybe(|d| {
            d.one_of(&[
                Formulation::Wp,
                Formulation::Wg,
                Formulation::Sc,
                Formulation::Sp,
                Formulation::Sl,
                Formulation::Ec,
                Formulation::Adjuvant,
            ])
        }),
        registration: d.maybe(Dice::text),
        active_share: d.maybe(Dice::percent),
        metallic_copper: d.maybe(Dice::percent),
        density_kg_per_l: d.maybe(|d| 0.5 + d.throw(100) as f64 / 64.0),
        stock: d.maybe(Dice::amount),
        pack: d.maybe(Dice::amount),
        pack_price: d.maybe(Dice::number),
        label: if d.chance() {
            label(d)
        } else {
            Label::default()
        },
    }
}

fn label(d: &mut Dice) -> Label {
    Label {
        read_on: d.maybe(Dice::day),
        generic: d.chance(),
        expires: d.maybe(Dice::day),
        crops: d.list(2, Dice::text),
        targets: d.list(2, Dice::text),
        rate_min: d.maybe(Dice::rate),
        rate: d.maybe(Dice::rate),
        rate_max: d.maybe(Dice::rate),
        last_stage: d.maybe(Dice::bbch),
        last_stage_by_crop: d
            .list(3, |d| (d.text(), d.bbch()))
            .into_iter()
            .collect::<BTreeMap<_, _>>(),
        first_stage: d.maybe(Dice::bbch),
        interval: d.maybe(Dice::span),
        max_uses: d.maybe(|d| d.throw(9) as u32),
        max_per_season: d.maybe(Dice::rate),
        max_copper_per_use: d.maybe(Dice::copper_rate),
        max_copper_per_season: d.maybe(Dice::copper_rate),
        temp_min: d.maybe(|d| Temperature::new(d.throw(10) as f64, TemperatureUnit::C)),
        temp_max: d.maybe(|d| Temperature::new(11.0 + d.throw(20) as f64, TemperatureUnit::C)),
        frost_free_before: d.maybe(Dice::span),
        frost_free_after: d.maybe(Dice::span),
        dry_before: d.maybe(Dice::span),
        dry_after: d.maybe(Dice::span),
        wind_max: d.maybe(|d| Speed::new(5.0 + d.throw(9) as f64, SpeedUnit::Mph)),
        wind_min: d.maybe(|d| Speed::new(d.throw(5) as f64, SpeedUnit::Mph)),
        reentry: d.maybe(|d| {
            if d.chance() {
                Reentry::UntilDry
            } else {
                Reentry::After(d.span())
            }
        }),
        gear: d.list(2, Dice::text),
        never_with: d.list(2, Dice::text),
        keep_apart: d.list(2, |d| KeepApart {
            active: d.text(),
            days: d.throw(40) as u32,
        }),
        water_ph_min: d.maybe(|d| d.throw(7) as f64),
        water_ph_max: d.maybe(|d| 7.0 + d.throw(7) as f64),
        organic: d.one_of(&[
            Organic::Unknown,
            Organic::Allowed,
            Organic::Restricted,
            Organic::Not,
        ]),
        notes: d.maybe(Dice::text),
    }
}

fn sprayer(d: &mut Dice, id: &SprayerId) -> Sprayer {
    Sprayer {
        id: id.clone(),
        name: d.text(),
        kind: d.one_of(&[
            SprayerKind::Hand,
            SprayerKind::HoseEnd,
            SprayerKind::Cart,
            SprayerKind::Backpack,
            SprayerKind::Handgun,
            SprayerKind::Airblast,
            SprayerKind::Boom,
        ]),
        tank: d.volume(),
        volume_factor: d.maybe(|d| 0.5 + d.throw(16) as f64 / 8.0),
        refill_minutes: d.maybe(|d| d.throw(60) as f64),
        way_minutes: None,
        speed: None,
        time: WorkTime::default(),
        calibration: d.list(2, |d| Calibration {
            date: d.day(),
            l_per_min: d.maybe(Dice::number),
            l_per_ha: d.maybe(Dice::number),
            worst_nozzle_percent: d.maybe(|d| d.throw(80) as f64 / 4.0 - 10.0),
            note: d.maybe(Dice::text),
        }),
    }
}

fn task(d: &mut Dice, id: &TaskId, names: &Names) -> Task {
    Task {
        id: id.clone(),
        title: d.text(),
        lane: d.one_of(&Lane::ALL),
        kind: d.one_of(&TaskKind::ALL),
        date: d.day(),
        hour: d.maybe(|d| d.throw(24) as u32),
        blocks: d.some_of(&names.blocks),
        targets: d.some_of(&names.targets),
        mix: d
            .some_of(&names.materials)
            .into_iter()
            .map(|material| MixPart {
                material,
                rate: d.maybe(Dice::rate),
            })
            .collect(),
        volume: d.maybe(Dice::volume),
        water_ph: d.maybe(|d| d.throw(14) as f64),
        sprayer: d.some_of(&names.sprayers).pop(),
        state: match d.throw(4) {
            1 => TaskState::Done(d.day()),
            2 => TaskState::Skipped(d.day()),
            _ => TaskState::Planned,
        },
        notes: d.maybe(Dice::text),
        why: d.maybe(Dice::text),
        part_of: None,
        moved: d.list(2, |d| Move {
            on: d.day(),
            from: d.day(),
            to: d.day(),
            why: d.text(),
        }),
        quiet: d.list(2, |d| Quiet {
            rule: d.text(),
            why: d.text(),
            on: d.day(),
        }),
    }
}

fn reading(d: &mut Dice, names: &Names) -> Reading {
    if d.chance() {
        let since = d.day();
        return Reading::DegreeDays {
            date: since + Days::new(d.throw(90) as u64),
            total: d.number(),
            base: d.temperature(),
            since,
            blocks: d.some_of(&names.blocks),
            note: d.maybe(Dice::text),
        };
    }
    if d.chance() {
        return Reading::Rain {
            date: d.day(),
            rain: RainDepth::new(d.number(), RainUnit::Mm),
            note: d.maybe(Dice::text),
        };
    }
    Reading::Buds {
        date: d.day(),
        bbch: d.bbch(),
        blocks: d.some_of(&names.blocks),
        note: d.maybe(Dice::text),
        how_many: d.one_of(&HowMany::ALL),
        photo: d.maybe(Dice::text),
    }
}

fn record(d: &mut Dice, id: &RecordId, names: &Names) -> Record {
    let started = d.maybe(Dice::moment);
    Record {
        taken_back: false,
        id: id.clone(),
        corrects: d.some_of(&names.records).pop(),
        correction: d.maybe(Dice::text),
        noted: d.maybe(Dice::day),
        site: d.maybe(Dice::text),
        crops: d.list(2, Dice::text),
        reason: d.maybe(Dice::text),
        mixing: d.maybe(Dice::text),
        setup: d.maybe(Dice::text),
        rain: d.maybe(Dice::text),
        reentry_until_dry: d.chance(),
        leftover: d.maybe(Dice::text),
        next_check: d.maybe(Dice::day),
        anyway: d.maybe(Dice::text),
        judged: d.list(2, |d| Judgement {
            level: "stop".to_owned(),
            rule: d.text(),
            reason: d.text(),
        }),
        temperature_by_hours: d.maybe(Dice::temperature),
        seal: d.maybe(Dice::text),
        task: d.maybe(|d| TaskId::from(d.text().as_str())),
        date: d.day(),
        started,
        ended: started.map(|s| s + chrono::Duration::minutes(d.throw(300) as i64)),
        who: d.maybe(Dice::text),
        licence: d.maybe(Dice::text),
        supervisor: d.maybe(Dice::text),
        blocks: d.some_of(&names.blocks),
        area: d.maybe(Dice::area),
        trees: d.maybe(|d| d.throw(500) as u32),
        bbch: d.maybe(Dice::bbch),
        targets: d.some_of(&names.targets),
        materials: d.list(2, |d| RecordedMaterial {
            material: MaterialId::from(d.text().as_str()),
            name: d.text(),
            active: d.text(),
            registration: d.maybe(Dice::text),
            rate: d.maybe(Dice::rate),
            total: d.maybe(Dice::amount),
            by_sheet: d.maybe(Dice::amount),
            copper_kg_per_ha: d.maybe(|d| d.throw(80) as f64 / 8.0),
            formulation: d.maybe(|d| d.one_of(&[Formulation::Wp, Formulation::Ec])),
            active_share: d.maybe(Dice::percent),
            metallic_copper: d.maybe(Dice::percent),
            lot: d.maybe(Dice::text),
            cost: d.maybe(Dice::number),
        }),
        volume: d.maybe(Dice::volume),
        sprayer: d.some_of(&names.sprayers).pop(),
        wind: d.maybe(Dice::speed),
        wind_from: d.maybe(Dice::text),
        temperature: d.maybe(Dice::temperature),
        humidity_percent: d.maybe(|d| d.throw(101) as f64),
        sky: d.maybe(Dice::text),
        reentry_until: d.maybe(Dice::moment),
        reentry_ended: d.maybe(Dice::moment),
        reentry_seen_by: d.maybe(Dice::text),
        gear: d.list(2, Dice::text),
        notices: d.maybe(Dice::text),
        notes: d.maybe(Dice::text),
    }
}

/// One to six random edits of the kinds the board makes, and rougher ones.
pub fn edited(d: &mut Dice, before: &Season) -> Season {
    let mut season = before.clone();
    for _ in 0..=d.throw(6) {
        edit(d, &mut season);
    }
    season
}

fn place(d: &mut Dice, length: usize) -> Option<usize> {
    (length > 0).then(|| d.throw(length))
}

fn edit(d: &mut Dice, season: &mut Season) {
    let mut names = Names::of(season);
    names.targets.push(TargetId::from("scale"));
    match d.throw(16) {
        0 => {
            if let Some(i) = place(d, season.tasks.len()) {
                season.tasks[i].date = d.day();
            }
        }
        1 => {
            let id = season.free_task_id("new");
            let i = d.throw(season.tasks.len() + 1);
            let new = task(d, &id, &names);
            season.tasks.insert(i, new);
        }
        2 => {
            if let Some(i) = place(d, season.tasks.len()) {
                season.tasks.remove(i);
            }
        }
        3 => {
            if let Some(i) = place(d, season.tasks.len()) {
                let id = season.tasks[i].id.clone();
                season.tasks[i] = task(d, &id, &names);
            }
        }
        4 => season.tasks.reverse(),
        5 => {
            let i = d.throw(season.readings.len() + 1);
            let new = reading(d, &names);
            season.readings.insert(i, new);
        }
        6 => {
            if let Some(i) = place(d, season.readings.len()) {
                season.readings.remove(i);
            }
        }
        7 => {
            let id = RecordId::from(format!("n{}", season.records.len()).as_str());
            if season.records.iter().all(|r| r.id != id) {
                let new = record(d, &id, &names);
                season.records.push(new);
            }
        }
        8 => season.orchard = orchard(d),
        9 => season.weather = weather(d),
        10 => {
            if let Some(i) = place(d, season.blocks.len()) {
                let id = season.blocks[i].id.clone();
                season.blocks[i] = block(d, &id, &names);
            }
        }
        11 => {
            if let Some(i) = place(d, season.materials.len()) {
                let id = season.materials[i].id.clone();
                season.materials[i] = material(d, &id);
            }
        }
        12 => season.dates.leaf_drop_seen = d.maybe(Dice::day),
        13 => {
            let day = d.day();
            season.reviewed.push(day);
        }
        14 => {
            if let Some(i) = place(d, season.readings.len()) {
                season.readings[i] = reading(d, &names);
            }
        }
        _ => {
            if let Some(i) = place(d, season.sprayers.len()) {
                let id = season.sprayers[i].id.clone();
                season.sprayers[i] = sprayer(d, &id);
            }
        }
    }
}
