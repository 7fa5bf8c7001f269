//! An invented season, invented estimates and a host that keeps all in memory.
//! Nothing here is a fact about any place or tree.
#![allow(dead_code, missing_docs, clippy::missing_panics_doc)]

use barewood::domain::climate::hourly_series::{Hour, HourlySeries, Provenance};
use barewood::domain::history;
use barewood::domain::hours::air::Air;
use barewood::domain::hours::fits::air_of;
use barewood::domain::outlook::{Asked, BlockEstimate, Estimates};
use barewood::domain::phenology::distribution::StageDate;
use barewood::domain::phenology::species::Species;
use barewood::domain::records::Conditions;
use barewood::domain::review::{self, Review, Surroundings};
use barewood::domain::season::{
    Block, BlockId, Calibration, CopperRegime, FORMAT, HowMany, Label, Lane, Material, MaterialId,
    MixPart, Orchard, Reading, Season, SeasonDates, Sprayer, SprayerId, SprayerKind, TargetId,
    TargetSeen, Task, TaskId, TaskKind, TaskState, UnitSystem, WeatherFiles, WorkTime,
};
use barewood::store::merge;
use barewood::tui::host::{
    CameIn, Curves, Earlier, Host, Joined, Kept, Opening, Reloaded, SaveOutcome, Stands, Years,
};
use chrono::{DateTime, NaiveDate, NaiveDateTime, TimeDelta, Utc};
use std::collections::BTreeMap;
use std::sync::Arc;

pub fn day(y: i32, m: u32, d: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(y, m, d).unwrap()
}

/// Wednesday.
pub fn today() -> NaiveDate {
    day(2026, 11, 25)
}

fn block(id: &str, name: &str, species: Species, trees: u32) -> Block {
    Block {
        trees,
        ..Block::new(BlockId::from(id), name.to_owned(), species)
    }
}

fn material(id: &str, name: &str, active: &str, rate: &str, read: bool) -> Material {
    Material {
        id: MaterialId::from(id),
        name: name.to_owned(),
        active: active.to_owned(),
        formulation: None,
        registration: None,
        active_share: None,
        metallic_copper: None,
        density_kg_per_l: None,
        stock: None,
        pack: None,
        pack_price: None,
        label: Label {
            read_on: read.then(|| day(2026, 10, 3)),
            rate: Some(rate.parse().unwrap()),
            last_stage_by_crop: BTreeMap::new(),
            ..Label::default()
        },
    }
}

pub fn task(id: &str, title: &str, lane: Lane, kind: TaskKind, date: NaiveDate) -> Task {
    Task {
        id: TaskId::from(id),
        title: title.to_owned(),
        lane,
        kind,
        date,
        hour: None,
        blocks: Vec::new(),
        targets: Vec::new(),
        mix: Vec::new(),
        volume: None,
        water_ph: None,
        sprayer: None,
        state: TaskState::Planned,
        notes: None,
        why: None,
        part_of: None,
        moved: Vec::new(),
        quiet: Vec::new(),
    }
}

fn spray(mut t: Task, blocks: &[&str], materials: &[&str], targets: &[&str]) -> Task {
    t.kind = TaskKind::Spray;
    t.blocks = blocks.iter().map(|b| BlockId::from(*b)).collect();
    t.targets = targets.iter().map(|b| TargetId::from(*b)).collect();
    t.mix = materials
        .iter()
        .map(|m| MixPart {
            material: MaterialId::from(*m),
            rate: None,
        })
        .collect();
    t
}

pub fn season() -> Season {
    use Lane::{AfterLeafDrop as A, BeforeSwell as B, MidWinter as M};
    use TaskKind::{CleanUp, Order, Other, Prune, Scout, Spray, SprayerCare};
    let mut rake = task(
        "rake",
        "Rake leaves and mummies",
        A,
        CleanUp,
        day(2026, 11, 20),
    );
    rake.state = TaskState::Done(day(2026, 11, 21));
    let mut notes = spray(
        task(
            "copper-late",
            "Copper before swell",
            B,
            Spray,
            day(2027, 2, 10),
        ),
        &["peach", "nectarine"],
        &["copper"],
        &["leaf-curl"],
    );
    notes.notes = Some("Wind off the lake before noon.".to_owned());
    Season {
        format: FORMAT,
        season: "2026-27".to_owned(),
        practice: true,
        orchard: Orchard {
            name: "Hillside".to_owned(),
            latitude: 43.1,
            longitude: -77.6,
            elevation: None,
            time_zone: "America/New_York".parse().unwrap(),
            units: UnitSystem::Us,
            tolerance: "10 %".parse().unwrap(),
            guard_days: 5,
            copper_regime: CopperRegime::default(),
            copper_past_kg_per_ha: Vec::new(),
            wind_max: None,
            work_hours: None,
            avoid_winds: vec![],
            works_in_the_dark: false,
            film_depth: None,
            work_days: Vec::new(),
            notes: None,
        },
        dates: SeasonDates {
            leaf_drop_expected: day(2026, 11, 15),
            leaf_drop_seen: Some(day(2026, 11, 18)),
        },
        weather: WeatherFiles::default(),
        blocks: vec![
            block("peach", "Peach row", Species::Peach, 24),
            block("nectarine", "Nectarine row", Species::Nectarine, 8),
            block("apple", "Old apples", Species::Apple, 40),
            block("cherry", "Sweet cherries", Species::SweetCherry, 12),
        ],
        targets: Vec::new(),
        shared_targets: Vec::new(),
        materials: vec![
            material(
                "copper",
                "fixed copper",
                "fixed copper",
                "8 lb/100 gal",
                true,
            ),
            material(
                "oil",
                "horticultural oil",
                "horticultural oil",
                "2 % v/v",
                false,
            ),
            material(
                "lime-sulfur",
                "lime sulfur",
                "lime sulfur",
                "11 gal/100 gal",
                false,
            ),
        ],
        sprayers: Vec::new(),
        tasks: vec![
            rake,
            spray(
                task(
                    "copper-fall",
                    "Copper after leaf drop",
                    A,
                    Spray,
                    day(2026, 11, 23),
                ),
                &["peach", "nectarine"],
                &["copper"],
                &["leaf-curl"],
            ),
            task("order", "Order oil and copper", A, Order, day(2026, 11, 25)),
            task(
                "clean",
                "Clean and drain the sprayer",
                A,
                SprayerCare,
                day(2026, 11, 30),
            ),
            task("guards", "Put on trunk guards", A, Other, day(2026, 12, 12)),
            task(
                "scout",
                "Look for scale and mite eggs",
                M,
                Scout,
                day(2027, 1, 9),
            ),
            spray(
                task(
                    "oil-winter",
                    "Oil in mid-winter",
                    M,
                    Spray,
                    day(2027, 1, 16),
                ),
                &["apple"],
                &["oil"],
                &["scale"],
            ),
            task(
                "prune",
                "Prune, cut out cankers",
                M,
                Prune,
                day(2027, 1, 23),
            ),
            task(
                "calibrate",
                "Calibrate the sprayer",
                B,
                SprayerCare,
                day(2027, 2, 1),
            ),
            notes,
            spray(
                task(
                    "oil-late",
                    "Delayed dormant oil",
                    B,
                    Spray,
                    day(2027, 3, 20),
                ),
                &["apple", "cherry"],
                &["oil"],
                &["scale", "mite-eggs", "aphid-eggs"],
            ),
            spray(
                task(
                    "sulfur",
                    "Lime sulfur on stone fruit",
                    B,
                    Spray,
                    day(2027, 2, 24),
                ),
                &["peach", "nectarine", "cherry"],
                &["lime-sulfur"],
                &[],
            ),
        ],
        readings: vec![
            Reading::Buds {
                date: day(2026, 11, 20),
                bbch: 0,
                blocks: vec![BlockId::from("peach")],
                note: Some("ten shoots looked at".to_owned()),
                how_many: HowMany::All,
                photo: None,
            },
            Reading::DegreeDays {
                date: day(2026, 11, 24),
                total: 12.5,
                base: "43 F".parse().unwrap(),
                since: day(2026, 11, 1),
                blocks: Vec::new(),
                note: None,
            },
        ],
        records: Vec::new(),
        people: Vec::new(),
        shed: Vec::new(),
        records_head: None,
        reviewed: Vec::new(),
        estimates_noted: Vec::new(),
        lessons: Vec::new(),
    }
}

/// The same season with what was seen on its blocks, and a sprayer.
pub fn spray_season() -> Season {
    let mut season = season();
    let seen = |target: &str, season: &str, count: Option<f64>| TargetSeen {
        target: TargetId::from(target),
        season: season.to_owned(),
        count,
        of: count.map(|_| 20.0),
        note: None,
    };
    season.blocks[0].seen = vec![
        seen("leaf-curl", "2025-26", None),
        seen("lecanium", "2025-26", None),
        seen("brown-rot", "2025-26", None),
    ];
    season.blocks[2].seen = vec![seen("scale", "2026-27", Some(4.0))];
    season.sprayers = vec![Sprayer {
        id: SprayerId::from("gun"),
        name: "Handgun".to_owned(),
        kind: SprayerKind::Handgun,
        tank: "25 gal".parse().unwrap(),
        volume_factor: None,
        refill_minutes: None,
        way_minutes: None,
        speed: None,
        time: WorkTime::default(),
        calibration: vec![Calibration {
            date: day(2026, 2, 20),
            l_per_min: Some(7.6),
            l_per_ha: Some(935.0),
            worst_nozzle_percent: Some(12.0),
            note: Some("disc 4".to_owned()),
        }],
    }];
    for block in &mut season.blocks {
        block.height = Some("10 ft".parse().unwrap());
        block.spread = Some("9 ft".parse().unwrap());
        block.row_spacing = Some("18 ft".parse().unwrap());
        block.tree_spacing = Some("14 ft".parse().unwrap());
    }
    for task in &mut season.tasks {
        task.sprayer = (task.kind == TaskKind::Spray).then(|| SprayerId::from("gun"));
    }
    season.materials[0].stock = Some("2 lb".parse().unwrap());
    season.materials[0].pack = Some("10 lb".parse().unwrap());
    season.materials[0].pack_price = Some(85.0);
    season.materials[0].label.rate_max = Some("10 lb/100 gal".parse().unwrap());
    season
}

/// A bell of chances around a day.
pub fn bell(middle: NaiveDate, spread_days: f64) -> StageDate {
    let first = middle - TimeDelta::days(60);
    StageDate::new(
        first,
        (0..140).map(|i| {
            let z = (f64::from(i) - 60.0 + 0.5) / spread_days;
            // The logistic curve closest to the normal one.
            1.0 / (1.0 + (-1.702 * z).exp())
        }),
    )
}

pub fn estimates(season: &Season) -> Estimates {
    let blocks = season
        .blocks
        .iter()
        .map(|b| {
            let middle = match b.species {
                Species::Peach => day(2027, 3, 1),
                Species::Nectarine => day(2027, 3, 3),
                Species::SweetCherry => day(2027, 3, 20),
                _ => day(2027, 3, 27),
            };
            // Tight buds seen in February push everything later.
            let seen = season
                .readings
                .iter()
                .any(|r| matches!(r, Reading::Buds { .. }) && r.date() > day(2027, 1, 1));
            let middle = middle + TimeDelta::days(if seen { 6 } else { 0 });
            BlockEstimate {
                block: b.id.clone(),
                swell: bell(middle, 9.0),
                burst: bell(middle + TimeDelta::days(14), 10.0),
                bloom: bell(middle + TimeDelta::days(40), 11.0),
                seen: None,
                few: Vec::new(),
            }
        })
        .collect();
    Estimates {
        blocks,
        ..Estimates::default()
    }
}

pub fn curves(today: NaiveDate) -> Curves {
    let first = day(2026, 11, 1);
    let done = usize::try_from((today - first).num_days())
        .unwrap_or(0)
        .min(200);
    let heat = |i: usize| (i as f64 / 12.0).powi(3);
    Curves {
        first,
        observed: (0..done).map(heat).collect(),
        ahead: (done..170)
            .map(|i| [heat(i) * 0.8, heat(i), heat(i) * 1.25])
            .collect(),
        wanted: [900.0, 1100.0, 1400.0],
        unit: "growing degree hours (linear), hundreds".to_owned(),
        chill: Some("12 of 45 chill portions (40-52)".to_owned()),
        model: "chill then heat, because peach has a published requirement".to_owned(),
        members: 30,
        data_through: Some(today),
        notes: vec![
            "No weather of past years: the twelve monthly normals stand in, so the range is wide."
                .to_owned(),
        ],
        asked: [28_i64, 14, 0]
            .map(|ago| {
                let on = today - TimeDelta::days(ago);
                Asked {
                    on,
                    swell: [day(2027, 2, 17), day(2027, 3, 1), day(2027, 3, 13)]
                        .map(|d| d - TimeDelta::days(ago / 7)),
                }
            })
            .to_vec(),
        record: Vec::new(),
    }
}

/// Keeps everything in memory.
pub struct MemoryHost {
    pub season: Season,
    pub today: NaiveDate,
    pub saved: Vec<Season>,
    pub fail: Option<SaveOutcome>,
    pub place: Option<std::path::PathBuf>,
    pub air: Option<Arc<Air>>,
    /// Other seasons in the same folder.
    pub others: Vec<Season>,
    pub written: BTreeMap<String, String>,
    /// Work of earlier sessions.
    pub kept: Vec<Kept>,
    /// Earlier versions, newest first.
    pub earlier: Vec<(Earlier, Season)>,
    /// Work kept aside in this one.
    pub aside: Option<Season>,
}

/// Twelve invented days around today: mild and dry, with two days of rain from the 28th on and
/// frost at the end.
pub fn air(season: &Season) -> Arc<Air> {
    let first: DateTime<Utc> = "2026-11-20T05:00:00Z".parse().unwrap();
    let hour = |i: usize| {
        let (day, clock) = (i / 24, i % 24);
        let warmth = 1.0 - (clock as f64 - 14.0).abs() / 14.0;
        let rain = if (8..10).contains(&day) { 0.8 } else { 0.0 };
        let cold = if day >= 11 { -8.0 } else { 0.0 };
        Hour {
            temp_c: Some(5.0 + cold + 6.0 * warmth),
            rh_pct: Some(80.0 - 30.0 * warmth),
            wind_ms: Some(2.0 + warmth),
            wind_dir_deg: Some(225.0),
            rain_mm: Some(rain),
            cloud_pct: Some(60.0),
            provenance: if day < 5 {
                Provenance::Observed
            } else {
                Provenance::Forecast
            },
            ..Hour::default()
        }
    };
    let hours = HourlySeries::new(first, (0..12 * 24).map(hour));
    Arc::new(air_of(season, &hours, first).unwrap())
}

impl MemoryHost {
    pub fn new(season: Season) -> Self {
        Self {
            season,
            today: today(),
            saved: Vec::new(),
            fail: None,
            place: None,
            air: None,
            others: Vec::new(),
            written: BTreeMap::new(),
            kept: Vec::new(),
            earlier: Vec::new(),
            aside: None,
        }
    }
}

/// As the real board joins.
pub fn join(base: &Season, now: &Season, other: &Season) -> Season {
    merge::onto(base, now, other, merge::Side::Theirs).season
}

impl Host for MemoryHost {
    fn open(&mut self) -> Result<Opening, String> {
        Ok(Opening {
            estimates: Some(estimates(&self.season)),
            season: self.season.clone(),
            today: self.today,
            place: "memory".to_owned(),
            suggested_place: "my-season.toml".to_owned(),
            notice: None,
            read_only: false,
            now: self.now(),
            air: self.air.clone(),
            newcomer: false,
            here: "America/New_York".to_owned(),
            join,
            kept: self.kept.clone(),
        })
    }

    fn today(&self) -> NaiveDate {
        self.today
    }

    fn now(&self) -> NaiveDateTime {
        self.today.and_hms_opt(12, 0, 0).unwrap()
    }

    fn fetch(&mut self, _season: &Season) -> Result<String, String> {
        Ok("asking nobody: this forecast is invented..".to_owned())
    }

    fn review(&mut self, season: &Season, now: NaiveDateTime) -> Option<Review> {
        let made = |s: &Season, _: NaiveDate| estimates(s);
        Some(review::since(
            season,
            &estimates(season),
            None,
            now,
            Surroundings::default(),
            made,
        ))
    }

    fn years(&mut self, season: &Season) -> Years {
        let mut seasons = self.others.clone();
        seasons.push(season.clone());
        Years {
            rows: history::table(&seasons),
            own: Vec::new(),
            left_out: Vec::new(),
            seasons,
        }
    }

    fn air(
        &mut self,
        _season: &Season,
        from: NaiveDateTime,
        _to: NaiveDateTime,
    ) -> (Conditions, Option<&'static str>) {
        // Colder by the clock, so that a test can tell which hours were asked for.
        let hour = from.format("%H").to_string();
        let air = Conditions {
            wind: "5 mph".parse().ok(),
            wind_from: Some("NW".to_owned()),
            temperature: format!("{hour} C").parse().ok(),
            ..Conditions::default()
        };
        (air, Some("air from the hours measured"))
    }

    fn estimates(&mut self, season: &Season, _today: NaiveDate) -> Option<Estimates> {
        Some(estimates(season))
    }

    fn curves(&mut self, _season: &Season, _block: &BlockId, today: NaiveDate) -> Option<Curves> {
        Some(Curves {
            asked: Vec::new(),
            ..curves(today)
        })
    }

    fn asked(&mut self, _season: &Season, _block: &BlockId, today: NaiveDate) -> Vec<Asked> {
        curves(today).asked
    }

    fn save(&mut self, season: &Season) -> SaveOutcome {
        if let Some(fail) = &self.fail {
            return fail.clone();
        }
        if season.practice {
            return SaveOutcome::Practice;
        }
        if let Some(path) = &self.place {
            let text = serde_json::to_string(season).unwrap();
            std::fs::write(path, text).unwrap();
        }
        self.saved.push(season.clone());
        SaveOutcome::Saved
    }

    fn take_in(&mut self, season: &Season) -> Result<Option<CameIn>, String> {
        let now = self.saved.last().unwrap_or(&self.season).clone();
        Ok((&now != season).then(|| CameIn {
            season: now,
            words: "from another program: something".to_owned(),
        }))
    }

    fn join(&mut self, season: &Season, stands: Stands) -> Result<Joined, String> {
        // The other session only wrote a note.
        let mut ours = season.clone();
        ours.orchard.notes = Some("written elsewhere".to_owned());
        let mut chosen = ours.clone();
        if stands == Stands::DiskAlone {
            chosen.tasks.clone_from(&self.season.tasks);
        }
        Ok(Joined {
            ours,
            chosen,
            place: "memory".to_owned(),
            words: "joined: both changes stand".to_owned(),
        })
    }

    fn keep_aside(&mut self, season: &Season) -> bool {
        self.aside = Some(season.clone());
        true
    }

    fn take_kept(&mut self, season: &Season, id: &str) -> Result<CameIn, String> {
        if !self.kept.iter().any(|k| k.id == id) {
            return Err("it is not kept any more".to_owned());
        }
        let mut joined = season.clone();
        joined.orchard.notes = Some("kept aside".to_owned());
        Ok(CameIn {
            season: joined,
            words: String::new(),
        })
    }

    fn versions(&mut self, _season: &Season) -> Result<Vec<Earlier>, String> {
        Ok(self.earlier.iter().map(|(told, _)| told.clone()).collect())
    }

    fn version(&mut self, _season: &Season, id: &str) -> Result<Season, String> {
        let found = self.earlier.iter().find(|(told, _)| told.id == id);
        found
            .map(|(_, season)| season.clone())
            .ok_or_else(|| "gone".to_owned())
    }

    fn drop_kept(&mut self, id: &str) {
        self.kept.retain(|k| k.id != id);
    }

    fn keep_at(&mut self, season: &Season, place: &str) -> Result<Reloaded, String> {
        if place.contains("taken") {
            return Err(format!("'{place}' exists already; nothing was overwritten"));
        }
        let mut season = season.clone();
        season.practice = false;
        self.saved.push(season.clone());
        Ok(Reloaded {
            season,
            place: place.to_owned(),
            today: None,
        })
    }

    fn write_new(&mut self, files: &[(String, String)]) -> Result<String, String> {
        if let Some((name, _)) = files.iter().find(|(n, _)| self.written.contains_key(n)) {
            return Err(format!("{name} is there already and was left alone"));
        }
        self.written.extend(files.iter().cloned());
        let names: Vec<&str> = files.iter().map(|(n, _)| n.as_str()).collect();
        Ok(format!("written: {}", names.join(" and ")))
    }
}
