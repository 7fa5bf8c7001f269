//! What a season took: cost, hours of people and sprayers, water, what was left over.

use crate::domain::records;
use crate::domain::season::{Record, Season};

/// The sums of one season.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SeasonSum {
    /// Its name.
    pub season: String,
    /// Sprays on record that hold.
    pub sprays: usize,
    /// Cost of the materials, in the grower's money.
    pub cost: f64,
    /// Materials used whose cost is not known.
    pub without_cost: usize,
    /// Hours from start to end.
    pub hours: f64,
    /// Records without start or end.
    pub without_hours: usize,
    /// Hours by person, most first.
    pub people: Vec<(String, f64)>,
    /// Hours by sprayer, most first.
    pub sprayers: Vec<(String, f64)>,
    /// Finished spray, L.
    pub water_l: f64,
    /// Records with a word of what was left over.
    pub leftovers: Vec<String>,
}

fn hours_of(record: &Record) -> Option<f64> {
    let minutes = (record.ended? - record.started?).num_minutes();
    (minutes > 0).then(|| minutes as f64 / 60.0)
}

fn add(list: &mut Vec<(String, f64)>, name: &str, hours: f64) {
    match list.iter_mut().find(|(n, _)| n == name) {
        Some((_, sum)) => *sum += hours,
        None => list.push((name.to_owned(), hours)),
    }
}

/// The sums of each season, in the order given.
pub fn season_sums(seasons: &[Season]) -> Vec<SeasonSum> {
    seasons.iter().map(sum_of).collect()
}

fn sum_of(season: &Season) -> SeasonSum {
    let mut sum = SeasonSum {
        season: season.season.clone(),
        ..SeasonSum::default()
    };
    for record in records::current(season) {
        sum.sprays += 1;
        for used in &record.materials {
            match used.cost {
                Some(cost) => sum.cost += cost,
                None => sum.without_cost += 1,
            }
        }
        sum.water_l += record.volume.map_or(0.0, |v| v.l());
        match hours_of(record) {
            Some(hours) => {
                sum.hours += hours;
                add(
                    &mut sum.people,
                    record.who.as_deref().unwrap_or("not named"),
                    hours,
                );
                let sprayer = record.sprayer.as_ref().map_or("not named", |id| {
                    season.sprayer(id).map_or(id.as_str(), |s| s.name.as_str())
                });
                add(&mut sum.sprayers, sprayer, hours);
            }
            None => sum.without_hours += 1,
        }
        if let Some(words) = &record.leftover {
            sum.leftovers
                .push(format!("{} {}: {words}", record.id, record.date));
        }
    }
    for list in [&mut sum.people, &mut sum.sprayers] {
        list.sort_by(|a, b| b.1.total_cmp(&a.1));
    }
    sum
}
