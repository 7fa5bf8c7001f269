//! A first plan laid out anew when the temperatures of the place come: only while nobody has
//! touched it.

use super::starter::{Swell, laid_out};
use super::{Season, Task};

/// The tasks of a first plan hung on other dates of swell, one a block; `None` where anything in
/// them is not as the plan was made from the dates before: then they are their owner's, and stay.
pub fn laid_out_anew(season: &Season, before: &[Swell], now: &[Swell]) -> Option<Vec<Task>> {
    // The day it was made is not noted: nothing of it was laid before that day.
    let made_on = season.tasks.iter().map(|t| t.date).min()?;
    let guesses = [before.to_vec(), guessed(season)];
    let untouched = guesses
        .iter()
        .any(|swells| same(&laid_out(season, swells, made_on).tasks, &season.tasks));
    untouched.then(|| laid_out(season, now, made_on).tasks)
}

/// The dates a plan is made from where nothing is known of the weather.
fn guessed(season: &Season) -> Vec<Swell> {
    let day = season
        .dates
        .leaf_drop_expected
        .checked_add_days(chrono::Days::new(110))
        .unwrap_or(season.dates.leaf_drop_expected);
    vec![Swell::about(day); season.blocks.len()]
}

/// A first plan for a season's blocks, nothing before a day. With several sprayers the run sheet
/// finds which goes where; materials that the tasks name come as starting points.
#[must_use]
pub fn first_plan(season: &Season, swells: &[Swell], today: chrono::NaiveDate) -> Season {
    let mut made = laid_out(season, swells, today);
    let only = match season.sprayers.as_slice() {
        [only] => Some(only.id.clone()),
        _ => None,
    };
    for task in made.tasks.iter_mut().filter(|t| t.sprayer.is_some()) {
        task.sprayer.clone_from(&only);
    }
    for material in crate::domain::materials::starters() {
        let mut mixes = made.tasks.iter().flat_map(|t| &t.mix);
        let is_named = mixes.any(|m| m.material == material.id);
        if is_named && made.material(&material.id).is_none() {
            made.materials.push(material);
        }
    }
    made
}

fn same(one: &[Task], other: &[Task]) -> bool {
    one.len() == other.len() && one.iter().all(|t| other.contains(t))
}

#[cfg(test)]
mod tests {
    use super::super::NewBlock;
    use super::super::starter::{Answers, new_season};
    use super::*;
    use crate::domain::phenology::species::Species;
    use crate::domain::season::{UnitSystem, edit};
    use chrono::NaiveDate;

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
        let (was, now) = (
            [Swell::about(day("2027-01-10"))],
            [Swell::about(day("2027-03-05"))],
        );
        let anew = laid_out_anew(&early, &was, &now).unwrap();
        assert_eq!(anew, made("2027-03-05").tasks);
        assert_ne!(anew, early.tasks);
        let id = early.tasks[0].id.clone();
        let on = day("2026-11-25");
        let moved = edit::move_task(&early, &id, day("2026-12-24"), on, "").unwrap();
        assert_eq!(laid_out_anew(&moved, &was, &now), None);
        let fewer = edit::delete_task(&early, &id).unwrap();
        assert_eq!(laid_out_anew(&fewer, &was, &now), None);
        let mut by_hand = early.clone();
        by_hand.tasks[1].notes = Some("mine".to_owned());
        assert_eq!(laid_out_anew(&by_hand, &was, &now), None);
    }
}
