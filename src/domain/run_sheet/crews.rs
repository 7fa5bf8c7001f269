//! Sprayers and their drivers, day by day.

use super::problem::{Crew, HourSet};
use super::sheet::Ask;
use crate::domain::season::{Person, Season, Sprayer, SprayerId};
use chrono::{NaiveDate, NaiveDateTime, Timelike};

/// A sprayer with whoever drives it on each day.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetCrew {
    /// The sprayer; `None` where the season names none.
    pub sprayer: Option<SprayerId>,
    /// Its name.
    pub name: String,
    /// Who drives it on which day; empty where no people are entered.
    pub drivers: Vec<(NaiveDate, String)>,
    /// The hours it is there with its driver and not yet taken.
    pub crew: Crew,
}

impl SheetCrew {
    /// Who drives on a day.
    pub fn driver(&self, day: NaiveDate) -> Option<&str> {
        let own = self.drivers.iter().find(|(d, _)| *d == day);
        own.map(|(_, name)| name.as_str())
    }
}

/// The sprayers of a season, each a crew; one without a name where there are none.
pub fn sprayers(season: &Season) -> Vec<Option<&Sprayer>> {
    if season.sprayers.is_empty() {
        return vec![None];
    }
    season.sprayers.iter().map(Some).collect()
}

/// A driver while the pairing is made.
enum Driver<'a> {
    Named(&'a Person),
    Extra(usize),
}

impl Driver<'_> {
    fn has(&self, day: NaiveDate, hour: u32, earlier_h: u32) -> bool {
        match self {
            Self::Named(p) => p.time.has(day, hour) || p.time.has(day, hour + earlier_h),
            Self::Extra(_) => true,
        }
    }

    fn drives(&self, sprayer: Option<&Sprayer>) -> bool {
        match (self, sprayer) {
            (Self::Named(p), Some(s)) => p.drives(&s.id),
            _ => true,
        }
    }

    fn name(&self) -> String {
        match self {
            Self::Named(p) => p.name.clone(),
            Self::Extra(n) => format!(
                "one more driver{}",
                if *n == 0 {
                    String::new()
                } else {
                    format!(" {}", n + 1)
                }
            ),
        }
    }
}

/// Every day each driver takes one sprayer, so that neither is ever in two places. With fewer
/// drivers than sprayers the sprayer that named sprays wait for longest goes out first.
pub fn pair(
    season: &Season,
    sprayers: &[Option<&Sprayer>],
    local: &[NaiveDateTime],
    ask: &Ask,
) -> Vec<SheetCrew> {
    let people = !season.people.is_empty();
    let drivers: Vec<Driver<'_>> = season
        .people
        .iter()
        .map(Driver::Named)
        .chain((0..ask.extra_drivers).map(Driver::Extra))
        .collect();
    let mut days: Vec<NaiveDate> = local.iter().map(|t| t.date()).collect();
    days.dedup();
    // Sprayers that more work names first; on the days after, those that stood still.
    let wanted = |s: Option<&Sprayer>| {
        let named = |t: &&crate::domain::season::Task| {
            t.state.is_open() && s.is_some_and(|s| t.sprayer.as_ref() == Some(&s.id))
        };
        season.tasks.iter().filter(named).count()
    };
    let mut stood: Vec<usize> = vec![0; sprayers.len()];
    let mut takes: Vec<(NaiveDate, usize, usize)> = Vec::new();
    for day in &days {
        let mut order: Vec<usize> = (0..sprayers.len()).collect();
        order.sort_by_key(|s| {
            let count = sprayers.get(*s).map_or(0, |s| wanted(*s));
            std::cmp::Reverse((stood.get(*s).copied().unwrap_or(0).min(count), count))
        });
        let is_there = |d: usize| {
            drivers
                .get(d)
                .is_some_and(|d| (0..24).any(|h| d.has(*day, h, ask.earlier_h)))
        };
        let may = |s: usize, d: usize| {
            is_there(d)
                && sprayers
                    .get(s)
                    .zip(drivers.get(d))
                    .is_some_and(|(s, d)| d.drives(*s))
        };
        let matched = matched(&order, drivers.len(), may);
        for (s, still) in stood.iter_mut().enumerate() {
            match matched.iter().find(|m| m.0 == s) {
                Some((_, d)) => {
                    takes.push((*day, s, *d));
                    *still = 0;
                }
                None => *still += 1,
            }
        }
    }
    sprayers
        .iter()
        .enumerate()
        .map(|(s, sprayer)| {
            let driver = |day: NaiveDate| {
                let own = takes.iter().find(|t| t.0 == day && t.1 == s);
                own.and_then(|t| drivers.get(t.2))
            };
            let free = HourSet::of(local.len(), |h| {
                let Some(time) = local.get(h) else {
                    return false;
                };
                let (day, hour) = (time.date(), time.hour());
                let there = sprayer.is_none_or(|s| s.time.has(day, hour));
                let driven = !people && ask.extra_drivers == 0
                    || driver(day).is_some_and(|d| d.has(day, hour, ask.earlier_h));
                there && (driven || !people)
            });
            SheetCrew {
                sprayer: sprayer.map(|s| s.id.clone()),
                name: sprayer.map_or_else(|| "sprayer".to_owned(), |s| s.name.clone()),
                drivers: days
                    .iter()
                    .filter_map(|d| Some((*d, driver(*d)?.name())))
                    .filter(|_| people)
                    .collect(),
                crew: Crew { free },
            }
        })
        .collect()
}

/// Gives sprayers, in this order, drivers, so that as many as can be go out.
fn matched(
    order: &[usize],
    drivers: usize,
    may: impl Fn(usize, usize) -> bool,
) -> Vec<(usize, usize)> {
    fn find(
        s: usize,
        drivers: usize,
        may: &impl Fn(usize, usize) -> bool,
        seen: &mut [bool],
        of: &mut [Option<usize>],
    ) -> bool {
        for d in 0..drivers {
            let Some(was) = seen.get_mut(d).filter(|was| !**was && may(s, d)) else {
                continue;
            };
            *was = true;
            let holder = of.get(d).copied().flatten();
            if holder.is_none_or(|other| find(other, drivers, may, seen, of)) {
                if let Some(slot) = of.get_mut(d) {
                    *slot = Some(s);
                }
                return true;
            }
        }
        false
    }
    let mut of: Vec<Option<usize>> = vec![None; drivers];
    for s in order {
        find(*s, drivers, &may, &mut vec![false; drivers], &mut of);
    }
    of.iter()
        .enumerate()
        .filter_map(|(d, s)| Some(((*s)?, d)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn as_many_sprayers_go_out_as_drivers_allow() {
        // Driver 0 drives both, driver 1 only sprayer 0: sprayer 0 must not take driver 0 away.
        let may = |s: usize, d: usize| d == 0 || s == 0;
        let mut made = matched(&[0, 1], 2, may);
        made.sort_unstable();
        assert_eq!(made, [(0, 1), (1, 0)]);
        assert_eq!(matched(&[1, 0], 1, |_, _| true), [(1, 0)]);
    }
}
