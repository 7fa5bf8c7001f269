//! A first plan laid out anew when the temperatures of the place come: only while nobody has
//! touched it.

use super::NewBlock;
use super::starter::{Answers, new_season};
use super::{Lane, Season, Task};
use chrono::NaiveDate;

/// The tasks of a first plan hung on another swell; `None` where anything in them is not as the
/// plan was made: then they are their owner's, and stay.
pub fn laid_out_anew(season: &Season, swell: NaiveDate) -> Option<Vec<Task>> {
    let hung_on = |swell| {
        new_season(&Answers {
            name: season.orchard.name.clone(),
            latitude: season.orchard.latitude,
            longitude: season.orchard.longitude,
            time_zone: season.orchard.time_zone,
            units: season.orchard.units,
            leaf_drop: season.dates.leaf_drop_expected,
            swell,
            blocks: season
                .blocks
                .iter()
                .map(|b| NewBlock {
                    species: b.species,
                    cultivar: b.cultivar.clone(),
                    trees: b.trees,
                })
                .collect(),
        })
        .tasks
    };
    let anew = hung_on(swell);
    // The swell it was made with is not noted: a task that hangs on swell tells it.
    let made_with = anew
        .iter()
        .filter(|t| t.lane == Lane::BeforeSwell)
        .filter_map(|t| {
            let there = season.task(&t.id)?;
            swell.checked_add_signed(there.date - t.date)
        })
        .find(|made| same(&hung_on(*made), &season.tasks));
    made_with.map(|_| anew)
}

fn same(one: &[Task], other: &[Task]) -> bool {
    one.len() == other.len() && one.iter().all(|t| other.contains(t))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::phenology::species::Species;
    use crate::domain::season::{UnitSystem, edit};

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn made(swell: &str) -> Season {
        new_season(&Answers {
            name: "Home".to_owned(),
            latitude: 37.5,
            longitude: 127.0,
            time_zone: "Asia/Seoul".parse().unwrap(),
            units: UnitSystem::Metric,
            leaf_drop: day("2026-11-20"),
            swell: day(swell),
            blocks: vec![NewBlock {
                species: Species::Apricot,
                cultivar: None,
                trees: 9,
            }],
        })
    }

    #[test]
    fn an_untouched_plan_follows_the_swell_and_a_touched_one_stays() {
        let early = made("2027-01-10");
        let anew = laid_out_anew(&early, day("2027-03-05")).unwrap();
        assert_eq!(anew, made("2027-03-05").tasks);
        assert_ne!(anew, early.tasks);
        let id = early.tasks[0].id.clone();
        let on = day("2026-11-25");
        let moved = edit::move_task(&early, &id, day("2026-12-24"), on, "").unwrap();
        assert_eq!(laid_out_anew(&moved, day("2027-03-05")), None);
        let fewer = edit::delete_task(&early, &id).unwrap();
        assert_eq!(laid_out_anew(&fewer, day("2027-03-05")), None);
        let mut by_hand = early.clone();
        by_hand.tasks[1].notes = Some("mine".to_owned());
        assert_eq!(laid_out_anew(&by_hand, day("2027-03-05")), None);
    }
}
