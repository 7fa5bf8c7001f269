//! When winter eggs hatch and scale wakes, by degree days of the place: days of this season as far
//! as they are known, and the rest as past winters went (as the normals invent it where few are on
//! record). Both models count from days of the northern year; in the south neither was tried.

use crate::domain::climate::weather::Weather;
use crate::domain::phenology::degree_days::{Cutoff, DegreeDays, Method};
use crate::domain::phenology::distribution::StageDate;
use crate::domain::phenology::dormant_year::DormantYear;
use crate::domain::phenology::normals::{MonthlyNormals, invent_seasons};
use crate::domain::risk;
use crate::domain::season::Season;
use chrono::{Datelike, NaiveDate};
use serde::{Deserialize, Serialize};

/// Target of the winter eggs of the European red mite.
pub const RED_MITE: &str = "mite-eggs";
/// Target of San Jose scale.
pub const SCALE: &str = "scale";

/// Past springs below which invented ones stand in.
const ENOUGH_YEARS: usize = 10;
/// Invented springs.
const INVENTED: usize = 30;
/// Days of a spring that may be missing.
const FORGIVEN_DAYS: usize = 3;

/// When winter eggs hatch and scale wakes.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Hatch {
    /// Half of the winter eggs of the red mite have hatched.
    pub red_mite_half: Option<StageDate>,
    /// Traps for males of San Jose scale are to hang.
    pub scale_traps: Option<StageDate>,
}

impl Hatch {
    /// For a season whose blocks have, or whose work is against, what the models tell of.
    pub(super) fn of(
        season: &Season,
        weather: &Weather,
        normals: &MonthlyNormals,
        today: NaiveDate,
    ) -> Self {
        if season.orchard.latitude < 0.0 {
            return Self::default();
        }
        let (mites, scale) = (is_about(season, RED_MITE), is_about(season, SCALE));
        if !mites && !scale {
            return Self::default();
        }
        let leaf_drop = season.dates.leaf_drop_expected;
        let year = DormantYear::after_leaf_drop(leaf_drop, season.orchard.latitude);
        let springs = springs(weather, normals, year, today);
        Self {
            red_mite_half: red_mite_half()
                .filter(|_| mites)
                .and_then(|s| s.reached(year, &springs)),
            scale_traps: scale_traps()
                .filter(|_| scale)
                .and_then(|s| s.reached(year, &springs)),
        }
    }
}

/// Was it seen on a block, or is work planned against it?
pub fn is_about(season: &Season, target: &str) -> bool {
    let seen = season.blocks.iter().flat_map(|b| &b.seen);
    seen.map(|s| &s.target)
        .chain(season.tasks.iter().flat_map(|t| &t.targets))
        .any(|t| t.as_str() == target)
}

/// The days of one way this spring may go, from 1 January on.
type Spring = Vec<Option<(f64, f64)>>;

fn january(year: DormantYear) -> NaiveDate {
    NaiveDate::from_ymd_opt(year.spring_year(), 1, 1).unwrap_or(NaiveDate::MIN)
}

/// The days counted: to the end of the dormant year.
fn days(year: DormantYear) -> impl Iterator<Item = NaiveDate> {
    let last = year.date(crate::domain::phenology::dormant_year::DAYS);
    january(year).iter_days().take_while(move |d| *d <= last)
}

/// Every way this spring may go.
fn springs(
    weather: &Weather,
    normals: &MonthlyNormals,
    year: DormantYear,
    today: NaiveDate,
) -> Vec<Spring> {
    let seen = |day: NaiveDate| weather.daily.as_ref().and_then(|d| d.day(day));
    let ahead = |day: NaiveDate| weather.forecast.as_ref().and_then(|d| d.day(day));
    let known = |day: NaiveDate| {
        let observed = (day <= today).then(|| seen(day)).flatten();
        observed.or_else(|| ahead(day))
    };
    let joined = |lent: &dyn Fn(NaiveDate) -> Option<(f64, f64)>| -> Option<Spring> {
        let spring: Spring = days(year).map(|d| known(d).or_else(|| lent(d))).collect();
        (spring.iter().filter(|d| d.is_none()).count() <= FORGIVEN_DAYS).then_some(spring)
    };
    let first = weather.daily.as_ref().map_or(0, |d| d.first().year());
    let past: Vec<Spring> = (first..year.spring_year())
        .filter(|_| weather.daily.is_some())
        .filter_map(|y| joined(&|d| seen(d.with_year(y)?)))
        .collect();
    if past.len() >= ENOUGH_YEARS {
        return past;
    }
    invent_seasons(normals, year, INVENTED, 0)
        .iter()
        .filter_map(|invented| joined(&|d| invented.day(d)))
        .collect()
}

/// Half of the red mite's winter eggs (Broufas & Koveos 2000).
fn red_mite_half() -> Option<Sum> {
    Some(Sum {
        above: DegreeDays::above(Method::SingleSine, risk::RED_MITE_BASE_C).ok()?,
        from: (2, 10),
        total_c: risk::RED_MITE_HALF_C_DAYS.0,
    })
}

/// Traps for males of San Jose scale (Rice and others 1982: single sine, horizontal).
fn scale_traps() -> Option<Sum> {
    let (lower_c, upper_c) = risk::SAN_JOSE_LIMITS_C;
    let above = DegreeDays::new(
        Method::SingleSine,
        lower_c,
        Some(upper_c),
        Cutoff::Horizontal,
    );
    Some(Sum {
        above: above.ok()?,
        from: (1, 1),
        total_c: risk::SAN_JOSE_TRAPS_F_DAYS / 1.8,
    })
}

/// A sum of degree days that something waits for.
struct Sum {
    above: DegreeDays,
    /// Month and day it begins on.
    from: (u32, u32),
    total_c: f64,
}

impl Sum {
    /// When the sum is reached, spring by spring.
    fn reached(&self, year: DormantYear, springs: &[Spring]) -> Option<StageDate> {
        let first = january(year);
        let all: Vec<NaiveDate> = days(year).collect();
        let mut weights = vec![0.0; all.len()];
        for spring in springs {
            let mut total = 0.0;
            let day = all.iter().zip(spring).position(|(date, temps)| {
                if (date.month(), date.day()) >= self.from
                    && let Some((tmin_c, tmax_c)) = temps
                {
                    total += self.above.day(*tmin_c, *tmax_c, None);
                }
                total >= self.total_c
            });
            // What no day of this spring reaches comes later than all of them.
            let day = day.unwrap_or(all.len().saturating_sub(1));
            if let Some(weight) = weights.get_mut(day) {
                *weight += 1.0;
            }
        }
        (!springs.is_empty()).then(|| StageDate::from_weights(first, &weights))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::climate::daily::DailySeries;

    fn steady(temp_c: f64) -> Spring {
        let year = DormantYear::of_spring(2027, 43.0);
        days(year).map(|_| Some((temp_c, temp_c))).collect()
    }

    /// Broufas & Koveos 2000: 154.6/(T - 7.4) days at 15 and 20 °C: 20.3 and 12.3 d; from 10
    /// February, that many days end in the 21st and the 13th.
    #[test]
    fn half_of_the_red_mites_eggs_at_steady_temperatures() {
        let year = DormantYear::of_spring(2027, 43.0);
        let half = red_mite_half().unwrap();
        for (temp, day) in [(15.0, "2027-03-02"), (20.0, "2027-02-22")] {
            let date = half.reached(year, &[steady(temp)]).unwrap();
            assert_eq!(date.p50().to_string(), day, "{temp}");
        }
    }

    /// 200 °F days above 51 °F from 1 January at steady 61 °F: ten a day, so on the twentieth; at
    /// 100 °F no more than at the upper limit of 90: 39 a day, so on the sixth.
    #[test]
    fn traps_for_san_jose_scale() {
        let year = DormantYear::of_spring(2027, 43.0);
        let traps = scale_traps().unwrap();
        for (temp_f, day) in [
            (61.0, "2027-01-20"),
            (100.0, "2027-01-06"),
            (90.0, "2027-01-06"),
        ] {
            let date = traps
                .reached(year, &[steady((temp_f - 32.0) / 1.8)])
                .unwrap();
            assert_eq!(date.p50().to_string(), day, "{temp_f}");
        }
    }

    #[test]
    fn known_days_go_before_lent_ones_and_forecast_only_ahead() {
        let day = |t: &str| t.parse::<NaiveDate>().unwrap();
        let year = DormantYear::of_spring(2027, 43.0);
        let series = |first: &str, n: usize, c: f32| {
            DailySeries::new(day(first), vec![c; n], vec![c; n]).unwrap()
        };
        let weather = Weather {
            daily: Some(series("2027-01-01", 60, 3.0)),
            forecast: Some(series("2027-02-01", 10, 9.0)),
            ..Weather::default()
        };
        let normals = MonthlyNormals::given([0.0; 12], [10.0; 12]);
        let all = springs(&weather, &normals, year, day("2027-01-31"));
        assert_eq!(all.len(), INVENTED);
        for spring in &all {
            assert_eq!(spring[30], Some((3.0, 3.0)), "31 January was seen");
            assert_eq!(spring[31], Some((9.0, 9.0)), "1 February is forecast");
            assert!(spring[41].is_some_and(|d| d != (3.0, 3.0)), "not seen yet");
        }
    }
}
