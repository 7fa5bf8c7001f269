//! How long a task takes: volume, output, tanks and refills.

use crate::domain::mix::{hose_end, volume};
use crate::domain::season::{Block, Season, Sprayer, Task, TaskKind};
use crate::domain::units::Speed;

/// Hours taken for a task about which nothing is known: common practice, no source.
const ASSUMED_H: f64 = 2.0;

/// How long a task takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Job {
    /// Hours in all.
    pub hours: f64,
    /// Hours of them spent spraying; `None` where the length is assumed.
    pub spraying_h: Option<f64>,
    /// Tanks to fill; `None` where the length is assumed.
    pub tanks: Option<u32>,
    /// Hours where its last tank goes on into other blocks of the same mix: only its share of the
    /// filling counts.
    pub joined_h: f64,
}

impl Job {
    /// The length of a task: its volume as the mix sheet reckons it, over the output of its sprayer's latest calibration, and the time to fill and mix each tank.
    /// Where one of these is missing the length is assumed, and [`Job::is_assumed`] says so.
    pub fn of(season: &Season, task: &Task) -> Self {
        if task.kind != TaskKind::Spray {
            return Self::assumed();
        }
        let sprayer = sprayer(season, task);
        let blocks: Vec<&Block> = season.blocks_of(task).collect();
        Self::of_blocks(season, task, &blocks, sprayer)
    }

    /// The length of some of a task's blocks with a sprayer.
    pub fn of_blocks(
        season: &Season,
        task: &Task,
        blocks: &[&Block],
        sprayer: Option<&Sprayer>,
    ) -> Self {
        let volume_l = volume::of_part(season, blocks, task, sprayer).total_l;
        let Some((volume_l, sprayer)) = volume_l.zip(sprayer) else {
            return Self::assumed();
        };
        let Some(filling_l) = hose_end::filling_makes_l(season, task, sprayer) else {
            return Self::assumed();
        };
        Self::spraying(volume_l, filling_l, sprayer)
            .or_else(|| Self::driving(blocks, volume_l, filling_l, sprayer))
            .unwrap_or_else(Self::assumed)
    }

    /// The length of driving along the rows, where the speed is known and the output is not.
    fn driving(
        blocks: &[&Block],
        volume_l: f64,
        filling_l: f64,
        sprayer: &Sprayer,
    ) -> Option<Self> {
        let speed = sprayer.speed.map(Speed::ms).filter(|s| *s > 0.0)?;
        let metres: Option<f64> = blocks.iter().map(|b| row_m(b)).sum();
        Self::with_tanks(metres? / speed / 3600.0, volume_l, filling_l, sprayer)
    }

    /// The length of spraying a volume with a sprayer, so much with each filling; `None` where its
    /// output or its time to refill is not known.
    fn spraying(volume_l: f64, filling_l: f64, sprayer: &Sprayer) -> Option<Self> {
        let latest = sprayer.calibration.iter().max_by_key(|c| c.date)?;
        let output = latest.l_per_min.filter(|o| *o > 0.0)?;
        Self::with_tanks(volume_l / output / 60.0, volume_l, filling_l, sprayer)
    }

    /// Spraying, and for each tank the time to fill it and the way to the trees.
    fn with_tanks(
        spraying_h: f64,
        volume_l: f64,
        filling_l: f64,
        sprayer: &Sprayer,
    ) -> Option<Self> {
        let each_min = sprayer.refill_minutes? + sprayer.way_minutes.unwrap_or(0.0);
        let tanks = (volume_l / filling_l).ceil().max(1.0);
        Some(Self {
            hours: spraying_h + tanks * each_min / 60.0,
            joined_h: spraying_h + volume_l / filling_l * each_min / 60.0,
            spraying_h: Some(spraying_h),
            tanks: Some(tanks as u32),
        })
    }

    fn assumed() -> Self {
        Self {
            hours: ASSUMED_H,
            joined_h: ASSUMED_H,
            spraying_h: None,
            tanks: None,
        }
    }

    /// Was the length assumed for want of volume, output or refill time?
    pub fn is_assumed(&self) -> bool {
        self.spraying_h.is_none()
    }

    /// Whole hours it holds, at least one.
    pub fn whole_hours(&self) -> usize {
        (self.hours - 1e-9).ceil().clamp(1.0, 1e4) as usize
    }

    /// In plain words.
    pub fn words(&self) -> String {
        match (self.spraying_h, self.tanks) {
            (Some(spraying), Some(tanks)) => {
                let plural = if tanks == 1 { "tank" } else { "tanks" };
                format!(
                    "{:.1} h: {spraying:.1} h of spraying, {tanks} {plural}",
                    self.hours
                )
            }
            _ => format!(
                "{:.0} h assumed: volume, sprayer output or refill time is not known",
                self.hours
            ),
        }
    }
}

/// Metres of rows of a block: its ground over the way between rows, or tree after tree.
fn row_m(block: &Block) -> Option<f64> {
    let by_trees = || Some(f64::from(block.trees) * block.tree_spacing?.m());
    let by_ground = || Some(block.area?.ha() * 10_000.0 / block.row_spacing?.m());
    by_ground()
        .or_else(by_trees)
        .filter(|m| m.is_finite() && *m > 0.0)
}

/// The sprayer of a task: its own, or the only one there is.
pub fn sprayer<'a>(season: &'a Season, task: &Task) -> Option<&'a Sprayer> {
    match &task.sprayer {
        Some(id) => season.sprayer(id),
        None => match season.sprayers.as_slice() {
            [only] => Some(only),
            _ => None,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::{date, oil, season_with, spray};
    use super::*;
    use crate::domain::season::{Calibration, SprayerId, SprayerKind, WorkTime};
    use crate::domain::units::{Volume, VolumeUnit};

    fn backpack() -> Sprayer {
        Sprayer {
            id: SprayerId::from("pack"),
            name: "backpack".to_owned(),
            kind: SprayerKind::Backpack,
            tank: Volume::new(15.0, VolumeUnit::L),
            volume_factor: None,
            refill_minutes: Some(10.0),
            way_minutes: None,
            speed: None,
            time: WorkTime::default(),
            calibration: vec![Calibration {
                date: date("2026-01-10"),
                l_per_min: Some(1.0),
                l_per_ha: None,
                worst_nozzle_percent: None,
                note: None,
            }],
        }
    }

    #[test]
    fn spraying_and_filling_add_up() {
        let job = Job::spraying(60.0, 15.0, &backpack()).unwrap();
        assert_eq!(job.tanks, Some(4));
        // 60 L at 1 L/min is an hour; four tanks of ten minutes are two thirds of one.
        assert!((job.hours - (1.0 + 40.0 / 60.0)).abs() < 1e-9);
        assert_eq!(job.whole_hours(), 2);
        let none = Job::spraying(0.0, 15.0, &backpack()).unwrap();
        assert_eq!(none.tanks, Some(1));
    }

    #[test]
    fn the_tasks_own_volume_goes_before_what_its_blocks_take() {
        let mut season = season_with(vec![]);
        season.sprayers.push(backpack());
        season.blocks[0].measured_volume = Some(Volume::new(30.0, VolumeUnit::L));
        let mut task = spray("t", &[]);
        assert_eq!(Job::of(&season, &task).tanks, Some(2));
        task.volume = Some(Volume::new(45.0, VolumeUnit::L));
        assert_eq!(Job::of(&season, &task).tanks, Some(3));
    }

    // By the definition of the fluid ounce: at 2 % a bottle of 32 fl oz makes 12.5 gal, so 50 gal
    // are four bottles, and not the two hundred that its size alone would come to.
    #[test]
    fn a_bottle_on_a_hose_is_filled_as_often_as_its_dial_says() {
        let mut season = season_with(vec![oil("oil")]);
        let mut bottle = backpack();
        bottle.kind = SprayerKind::HoseEnd;
        bottle.tank = "32 fl oz".parse().unwrap();
        season.sprayers = vec![bottle];
        let mut task = spray("t", &["oil"]);
        task.volume = Some("50 gal".parse().unwrap());
        task.mix[0].rate = Some("2 % v/v".parse().unwrap());
        assert_eq!(Job::of(&season, &task).tanks, Some(4));
        // A dial knows no rate by the acre: how often it is filled cannot be told.
        task.mix[0].rate = Some("4 lb/acre".parse().unwrap());
        assert!(Job::of(&season, &task).is_assumed());
    }

    #[test]
    fn what_is_not_known_is_assumed_and_said() {
        let season = season_with(vec![]);
        let job = Job::of(&season, &spray("t", &[]));
        assert!(job.is_assumed());
        assert!(job.words().contains("assumed"));
        let mut dry = backpack();
        dry.calibration.clear();
        assert_eq!(Job::spraying(60.0, 15.0, &dry), None);
    }
}
