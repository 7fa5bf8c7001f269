//! A first season for a place and its trees: sensible work in the three lanes,
//! hung on leaf drop and on the expected swell, never on month names.

mod plan;
mod rows;

use super::{
    Block, BlockId, CopperRegime, FORMAT, Lane, NewBlock, Orchard, Season, SeasonDates, Sprayer,
    SprayerId, SprayerKind, Task, TaskState, UnitSystem, WeatherFiles, WorkTime,
};
use crate::domain::materials;
use crate::domain::units::{Percent, PercentUnit, Volume, VolumeUnit};
use crate::domain::zone::Zone;
use chrono::{NaiveDate, TimeDelta};
use std::collections::BTreeSet;

pub use plan::{Swell, laid_out};

/// What a new grower is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Answers {
    /// The orchard's name.
    pub name: String,
    /// Degrees north.
    pub latitude: f64,
    /// Degrees east.
    pub longitude: f64,
    /// Time zone.
    pub time_zone: Zone,
    /// The units shown.
    pub units: UnitSystem,
    /// When the leaves are expected down.
    pub leaf_drop: NaiveDate,
    /// When the first buds are expected to swell; a guess is good enough, the
    /// estimate takes over as soon as there is weather.
    pub swell: NaiveDate,
    /// The trees.
    pub blocks: Vec<NewBlock>,
}

fn blocks(answers: &Answers) -> Vec<Block> {
    let mut taken = BTreeSet::new();
    answers
        .blocks
        .iter()
        .map(|new| {
            let base = new.species.words().replace(' ', "-");
            let mut id = base.clone();
            let mut n = 2;
            while !taken.insert(id.clone()) {
                id = format!("{base}-{n}");
                n += 1;
            }
            let mut name = new.species.words().to_owned();
            if let Some(cultivar) = &new.cultivar {
                name = format!("{name} {cultivar}");
            }
            Block {
                cultivar: new.cultivar.clone(),
                trees: new.trees.max(1),
                ..Block::new(BlockId::from(id.as_str()), name, new.species)
            }
        })
        .collect()
}

fn sprayer(units: UnitSystem) -> Sprayer {
    let tank = match units {
        UnitSystem::Us => Volume::new(4.0, VolumeUnit::Gal),
        UnitSystem::Metric => Volume::new(15.0, VolumeUnit::L),
    };
    Sprayer {
        id: SprayerId::from("backpack"),
        name: "Backpack sprayer".to_owned(),
        kind: SprayerKind::Backpack,
        tank,
        volume_factor: Some(2.0),
        refill_minutes: None,
        way_minutes: None,
        speed: None,
        time: WorkTime::default(),
        calibration: Vec::new(),
    }
}

/// A first season with work in the three lanes for the trees named.
pub fn new_season(answers: &Answers) -> Season {
    let trees = blocks(answers);
    let swells = vec![Swell::about(answers.swell); trees.len()];
    let tasks = plan::tasks(
        &trees,
        answers.leaf_drop,
        &swells,
        answers.leaf_drop - TimeDelta::days(7),
    );
    let used: BTreeSet<&str> = tasks
        .iter()
        .flat_map(|t| t.mix.iter().map(|m| m.material.as_str()))
        .collect();
    let stock = materials::starters()
        .into_iter()
        .filter(|m| used.contains(m.id.as_str()))
        .collect();
    Season {
        format: FORMAT,
        season: crate::domain::next_season::name_of_year(answers.leaf_drop),
        practice: false,
        orchard: Orchard {
            name: answers.name.clone(),
            latitude: answers.latitude,
            longitude: answers.longitude,
            elevation: None,
            time_zone: answers.time_zone,
            units: answers.units,
            tolerance: Percent::new(10.0, PercentUnit::Percent),
            guard_days: 3,
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
            leaf_drop_expected: answers.leaf_drop,
            leaf_drop_seen: None,
        },
        weather: WeatherFiles::default(),
        blocks: trees,
        targets: Vec::new(),
        shared_targets: Vec::new(),
        materials: stock,
        sprayers: vec![sprayer(answers.units)],
        tasks,
        readings: Vec::new(),
        records: Vec::new(),
        people: Vec::new(),
        shed: Vec::new(),
        records_head: None,
        reviewed: Vec::new(),
        estimates_noted: Vec::new(),
        lessons: Vec::new(),
    }
}

/// The work of the last season laid on a new one: the same tasks on the same
/// days from leaf drop, those before swell on the same days from swell.
pub fn tasks_again(
    last: &Season,
    last_swell: NaiveDate,
    next: &Season,
    swell: NaiveDate,
) -> Vec<Task> {
    let drop = |s: &Season| s.dates.leaf_drop_seen.unwrap_or(s.dates.leaf_drop_expected);
    let kept = |id: &BlockId| next.block(id).is_some();
    last.tasks
        .iter()
        .filter(|t| t.blocks.is_empty() || t.blocks.iter().any(kept))
        .map(|task| {
            let shift = match task.lane {
                Lane::BeforeSwell => swell - last_swell,
                Lane::AfterLeafDrop | Lane::MidWinter => drop(next) - drop(last),
            };
            let first_planned = task.moved.first().map_or(task.date, |m| m.from);
            Task {
                date: first_planned
                    .checked_add_signed(shift)
                    .unwrap_or(first_planned),
                blocks: task.blocks.iter().filter(|b| kept(b)).cloned().collect(),
                state: TaskState::Planned,
                notes: noted(last, task),
                why: None,
                part_of: None,
                moved: Vec::new(),
                quiet: Vec::new(),
                hour: task.hour,
                ..task.clone()
            }
        })
        .collect()
}

/// The notes of a task, and that it was skipped last season and why: the new plan remembers it.
fn noted(last: &Season, task: &Task) -> Option<String> {
    let skipped = skipped_words(task).map(|words| format!("{}: {words}", last.season));
    let notes = [task.notes.clone(), skipped];
    let lines: Vec<String> = notes.into_iter().flatten().collect();
    (!lines.is_empty()).then(|| lines.join("\n"))
}

/// That a task was skipped, and why; `None` where it was not.
pub fn skipped_words(task: &Task) -> Option<String> {
    let TaskState::Skipped(day) = task.state else {
        return None;
    };
    let why = task.why.as_deref().unwrap_or("no reason was given");
    Some(format!("skipped on {day}: {why}"))
}

#[cfg(test)]
mod tests {
    use super::super::TaskId;
    use super::*;
    use crate::domain::phenology::species::Species::{Apple, Peach, SweetCherry};
    use chrono::Datelike;

    fn answers(latitude: f64, drop: (i32, u32, u32), swell: (i32, u32, u32)) -> Answers {
        let date = |(y, m, d)| NaiveDate::from_ymd_opt(y, m, d).unwrap();
        Answers {
            name: "Home".to_owned(),
            latitude,
            longitude: 10.0,
            time_zone: Zone::UTC,
            units: UnitSystem::Metric,
            leaf_drop: date(drop),
            swell: date(swell),
            blocks: [Apple, Peach, Peach, SweetCherry]
                .map(|species| NewBlock {
                    species,
                    cultivar: None,
                    trees: 3,
                })
                .to_vec(),
        }
    }

    #[test]
    fn both_hemispheres_get_their_winter() {
        let north = new_season(&answers(45.0, (2026, 11, 15), (2027, 3, 20)));
        let south = new_season(&answers(-38.0, (2027, 5, 20), (2027, 8, 10)));
        assert_eq!(north.season, "2026-27");
        assert_eq!(south.season, "2027");
        assert_eq!(north.tasks.len(), south.tasks.len());
        for season in [&north, &south] {
            for lane in Lane::ALL {
                let in_lane: Vec<_> = season.tasks.iter().filter(|t| t.lane == lane).collect();
                assert!(in_lane.len() >= 3, "{lane:?}");
                assert!(in_lane.is_sorted_by_key(|t| t.date));
            }
            let last = |lane| {
                season
                    .tasks
                    .iter()
                    .rev()
                    .find(|t| t.lane == lane)
                    .unwrap()
                    .date
            };
            assert!(last(Lane::AfterLeafDrop) < last(Lane::MidWinter));
            assert!(last(Lane::MidWinter) < last(Lane::BeforeSwell));
        }
        assert!(
            south
                .tasks
                .iter()
                .all(|t| (5..=8).contains(&t.date.month()))
        );
    }

    // UC and Washington State extension sheets (see sources::LEAF_CURL_BEFORE_SWELL):
    // leaf curl copper is over before swell; Utah State 2016: oil on apple at swell.
    #[test]
    fn copper_is_before_swell_and_oil_on_apple_behind_it() {
        let asked = answers(45.0, (2026, 11, 15), (2027, 3, 20));
        let season = new_season(&asked);
        let at = |id: &str| season.task(&TaskId::from(id)).unwrap();
        assert!(at("last-copper").date < asked.swell);
        assert!(at("late-oil").date >= asked.swell);
        assert_eq!(
            at("last-copper").blocks,
            ["peach", "peach-2"].map(BlockId::from)
        );
        assert!(
            season
                .materials
                .iter()
                .all(|m| m.label.generic && m.label.read_on.is_none())
        );
    }

    #[test]
    fn last_years_work_comes_again_around_leaf_drop_and_swell() {
        let before = answers(45.0, (2026, 11, 15), (2027, 3, 20));
        let last = new_season(&before);
        let after = answers(45.0, (2027, 11, 5), (2028, 3, 30));
        let next = Season {
            tasks: Vec::new(),
            ..new_season(&after)
        };
        let again = tasks_again(&last, before.swell, &next, after.swell);
        assert_eq!(again.len(), last.tasks.len());
        let date = |id: &str| again.iter().find(|t| t.id.as_str() == id).unwrap().date;
        assert_eq!(date("mummies"), after.leaf_drop);
        assert_eq!(
            date("last-copper"),
            NaiveDate::from_ymd_opt(2028, 3, 20).unwrap()
        );
    }
}
