//! Can a file be of this orchard? Distance and height, the climate, the days it shares with what
//! is there.

use crate::domain::climate::daily::DailySeries;
use crate::domain::outlook::normals;
use crate::domain::season::{Orchard, Season};
use crate::store::weather::any::settle;
use chrono::Datelike;
use std::fmt;

/// Farther away than this the weather is another one.
pub const FAR_KM: f64 = 100.0;
/// Two degrees by the usual fall with height.
pub const FAR_M: f64 = 300.0;
/// Days both have differ by so much on the mean: one of them is of elsewhere.
pub const UNLIKE_C: f64 = 3.0;

/// Where a file says it is from, against the orchard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Away {
    /// Distance, km.
    pub km: f64,
    /// Height of the file's place above the orchard, m, where both are known.
    pub higher_m: Option<f64>,
    /// On the other side of the equator?
    pub other_hemisphere: bool,
}

impl Away {
    /// From two places; `None` where the file names none.
    pub fn of(orchard: &Orchard, place: Option<(f64, f64)>, height_m: Option<f64>) -> Option<Self> {
        let (latitude, longitude) = place?;
        let higher_m = height_m
            .zip(orchard.elevation.as_ref().map(|e| e.m()))
            .map(|(theirs, ours)| theirs - ours);
        Some(Self {
            km: distance_km((orchard.latitude, orchard.longitude), (latitude, longitude)),
            higher_m,
            other_hemisphere: latitude * orchard.latitude < 0.0,
        })
    }

    /// Too far to be taken without a word.
    pub fn is_far(&self) -> bool {
        self.other_hemisphere || self.km > FAR_KM || self.higher_m.is_some_and(|m| m.abs() > FAR_M)
    }
}

impl fmt::Display for Away {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.km < 1.0 {
            f.write_str("at the orchard")?;
        } else {
            write!(f, "{:.0} km from the orchard", self.km)?;
        }
        match self.higher_m {
            Some(m) if m.abs() < 5.0 => write!(f, ", as high"),
            Some(m) if m > 0.0 => write!(f, ", {m:.0} m higher"),
            Some(m) => write!(f, ", {:.0} m lower", -m),
            None => Ok(()),
        }?;
        if self.other_hemisphere {
            f.write_str(", in the other hemisphere")?;
        }
        Ok(())
    }
}

/// Distance over the globe (haversine, mean radius 6371 km).
pub fn distance_km(a: (f64, f64), b: (f64, f64)) -> f64 {
    let (lat_a, lat_b) = (a.0.to_radians(), b.0.to_radians());
    let half = |x: f64| (x / 2.0).sin().powi(2);
    let h = half(lat_b - lat_a) + lat_a.cos() * lat_b.cos() * half((b.1 - a.1).to_radians());
    2.0 * 6371.0 * h.clamp(0.0, 1.0).sqrt().asin()
}

/// Monthly mean temperatures of the season's place, °C: those the grower gave, else the area's
/// normal weather.
pub fn monthly_means_c(season: &Season) -> Option<[f64; 12]> {
    let normals = normals(season);
    let mut means = [0.0; 12];
    for (mean, (low, high)) in means
        .iter_mut()
        .zip(normals.tmin_c.iter().zip(&normals.tmax_c))
    {
        *mean = f64::midpoint(*low, *high);
    }
    Some(means)
}

/// Monthly means of a record with the days each is of.
pub fn month_means(daily: &DailySeries) -> [Option<(f64, u32)>; 12] {
    let mut sums = [(0.0, 0_u32); 12];
    for (date, day) in daily.iter() {
        if let (Some((low, high)), Some(sum)) = (day, sums.get_mut(date.month0() as usize)) {
            sum.0 += f64::midpoint(low, high);
            sum.1 += 1;
        }
    }
    sums.map(|(sum, n)| (n > 0).then(|| (sum / f64::from(n), n)))
}

/// So far off the normal of its month no few days lie on the mean; a single one may lie half as
/// far again as a month of them (extremes of daily means against monthly normals: common practice,
/// no source).
const FAR_FEW_C: f64 = 16.0;

/// What the climate says against some days that are too few for their months to be judged.
pub fn few_days_against_climate(
    daily: &DailySeries,
    normals_c: Option<&[f64; 12]>,
) -> Option<String> {
    let normals_c = normals_c?;
    let mut off = (0.0, 0_u32);
    for (date, day) in daily.iter() {
        if let (Some((low, high)), Some(normal)) = (day, normals_c.get(date.month0() as usize)) {
            off.0 += f64::midpoint(low, high) - normal;
            off.1 += 1;
        }
    }
    let mean = off.0 / f64::from(off.1.max(1));
    (off.1 > 0 && off.1 < settle::LEAST_DAYS && mean.abs() > FAR_FEW_C).then(|| {
        format!(
            "{} {:.0} °C {} than normal here: {} °F, or of another place?",
            if off.1 == 1 {
                "the one day is"
            } else {
                "its days are"
            },
            mean.abs(),
            if mean > 0.0 { "warmer" } else { "colder" },
            if off.1 == 1 { "is it" } else { "are they" },
        )
    })
}

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

/// What the climate says against a file, in words; `None` where nothing does.
pub fn against_climate(
    means: &[Option<(f64, u32)>; 12],
    normals_c: Option<&[f64; 12]>,
) -> Option<String> {
    let normals_c = normals_c?;
    let judged = settle::lies(means, normals_c);
    if judged.far == 0 {
        return None;
    }
    let worst = (0..12)
        .filter_map(|i| {
            let (mean, days) = (*means.get(i)?)?;
            (days >= 10).then(|| (i, mean, *normals_c.get(i).unwrap_or(&0.0)))
        })
        .max_by(|a, b| (a.1 - a.2).abs().total_cmp(&(b.1 - b.2).abs()))?;
    let (month, mean, normal) = worst;
    Some(format!(
        "{} of {} months lie more than {:.0} °C off what is normal here ({} {mean:.1} °C, normal {normal:.1}): \
         are these °F, or of another place?",
        judged.far,
        judged.months,
        settle::FAR_C,
        MONTHS.get(month).unwrap_or(&""),
    ))
}

/// How the days two records share differ.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shared {
    /// Days both have.
    pub days: usize,
    /// Mean of the one, °C.
    pub new_c: f64,
    /// Mean of the other, °C.
    pub old_c: f64,
    /// Mean of the absolute differences of the daily means, °C.
    pub apart_c: f64,
}

/// Compares the days two records share; `None` where there is none.
pub fn shared(new: &DailySeries, old: &DailySeries) -> Option<Shared> {
    let mut sum = (0.0, 0.0, 0.0, 0_usize);
    for (date, day) in new.iter() {
        if let (Some((low, high)), Some((old_low, old_high))) = (day, old.day(date)) {
            let (a, b) = (f64::midpoint(low, high), f64::midpoint(old_low, old_high));
            sum = (sum.0 + a, sum.1 + b, sum.2 + (a - b).abs(), sum.3 + 1);
        }
    }
    let n = sum.3 as f64;
    (sum.3 > 0).then(|| Shared {
        days: sum.3,
        new_c: sum.0 / n,
        old_c: sum.1 / n,
        apart_c: sum.2 / n,
    })
}

/// Do the days two records share differ so much that one may be of elsewhere?
pub fn is_unlike(new: &DailySeries, old: &DailySeries) -> bool {
    shared(new, old).is_some_and(|s| s.apart_c > UNLIKE_C)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Great-circle distances by Vincenty's formula on the sphere, computed apart: Geneva (New
    /// York) to Rochester 60 km; London to Sydney 16,990 km.
    #[test]
    fn distances_over_the_globe() {
        let near = distance_km((42.877, -76.993), (43.157, -77.616));
        assert!((near - 59.5).abs() < 1.0, "{near}");
        let far = distance_km((51.5, -0.12), (-33.87, 151.2));
        assert!((far - 16_993.0).abs() < 40.0, "{far}");
    }

    #[test]
    fn a_single_day_of_elsewhere_is_told() {
        let normals = [
            -4.0, -3.0, 1.0, 8.0, 14.0, 19.0, 22.0, 21.0, 17.0, 11.0, 5.0, -1.0,
        ];
        let one = |low: f32, high: f32| {
            let day = chrono::NaiveDate::from_ymd_opt(2026, 12, 19).unwrap();
            let series = DailySeries::new(day, vec![low], vec![high]).unwrap();
            few_days_against_climate(&series, Some(&normals))
        };
        let words = one(18.6, 28.6).unwrap();
        assert!(words.contains("the one day is 25 °C warmer"), "{words}");
        // A warm spell and a cold snap of the place itself.
        assert_eq!(one(6.0, 17.0), None);
        assert_eq!(one(-20.0, -9.0), None);
    }

    #[test]
    fn a_year_in_the_wrong_unit_is_told() {
        let normals = [
            -4.0, -3.0, 1.0, 8.0, 14.0, 19.0, 22.0, 21.0, 17.0, 11.0, 5.0, -1.0,
        ];
        let fahrenheit = normals.map(|c| Some((c * 1.8 + 32.0, 30)));
        let words = against_climate(&fahrenheit, Some(&normals)).unwrap();
        assert!(words.contains("are these °F"), "{words}");
        let warm = normals.map(|c| Some((c + 3.0, 30)));
        assert_eq!(against_climate(&warm, Some(&normals)), None);
        assert_eq!(against_climate(&fahrenheit, None), None);
    }
}
