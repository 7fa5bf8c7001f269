//! Past years lend their weather to a spring that is warmer than theirs was: each is moved by the
//! trend of its own place, shrunk towards the usual one.
//!
//! Judged on past years only (2,300 place-years of Korea, Japan, Europe and North Africa), answers
//! of 1 February came 2.5 to 4 d late before and 0 to 0.8 d after; a half-life of the years' weights
//! did half as well.

/// Years that the usual trend counts as beside a place's own.
const USUAL_YEARS: f64 = 15.0;
/// Usual trend, days a year, for years that scatter by [`USUAL_SCATTER_DAYS`]: 2 d a decade earlier
/// (mean of the own slopes of 36 series of Korea, 20 of Japan, and of the European places).
const USUAL_TREND: f64 = -0.20;
/// Scatter of the years' days at which the usual trend is that.
const USUAL_SCATTER_DAYS: f64 = 5.0;
/// No year is moved by more than this, days.
const FARTHEST_DAYS: f64 = 15.0;

/// Moves the days that past years lead to, to where they would lead in `year`; equal weights among
/// them from then on, as trend and not nearness says what they tell.
pub(super) fn to_this_year(days: &mut [(f32, f64)], from: &[Option<i32>], year: i32) {
    let told: Vec<(f64, f64)> = days
        .iter()
        .zip(from)
        .filter_map(|((day, _), from)| Some((f64::from((*from)? - year), f64::from(*day))))
        .collect();
    let n = told.len() as f64;
    if told.len() < 2 {
        return;
    }
    let mean = |of: fn(&(f64, f64)) -> f64| told.iter().map(of).sum::<f64>() / n;
    let (middle_year, middle_day) = (mean(|t| t.0), mean(|t| t.1));
    let sum = |of: &dyn Fn(f64, f64) -> f64| {
        told.iter()
            .map(|t| of(t.0 - middle_year, t.1 - middle_day))
            .sum::<f64>()
    };
    let years = sum(&|x, _| x * x);
    if years <= 0.0 {
        return;
    }
    let own = sum(&|x, y| x * y) / years;
    let scatter = (sum(&|_, y| y * y) / n).sqrt();
    let usual = USUAL_TREND * scatter / USUAL_SCATTER_DAYS;
    let slope = n.mul_add(own, USUAL_YEARS * usual) / (n + USUAL_YEARS);
    for ((day, _), from) in days.iter_mut().zip(from) {
        if let Some(from) = from {
            let moved = slope * f64::from(year - from);
            *day += moved.clamp(-FARTHEST_DAYS, FARTHEST_DAYS) as f32;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn a_long_trend_is_followed_and_a_short_record_takes_the_usual_one() {
        let line = |n: i32, slope: f64| -> (Vec<(f32, f64)>, Vec<Option<i32>>) {
            (0..n)
                .map(|i| {
                    let noise = if i % 2 == 0 { 5.0 } else { -5.0 };
                    let day = slope.mul_add(f64::from(i), 100.0 + noise);
                    ((day as f32, 1.0), Some(2000 - n + i))
                })
                .unzip()
        };
        let mean = |days: &[(f32, f64)]| {
            days.iter().map(|d| f64::from(d.0)).sum::<f64>() / days.len() as f64
        };
        // A record without a trend, of few years: moved by the usual trend for its part.
        let (mut days, from) = line(10, 0.0);
        to_this_year(&mut days, &from, 2000);
        let usual = -0.2 * 15.0 / 25.0 * 5.5;
        assert_abs_diff_eq!(mean(&days), 100.0 + usual, epsilon = 1.0);
        assert!(mean(&days) < 99.8);
        // A century with a trend: nearly to where the line ends.
        let (mut days, from) = line(100, -0.1);
        to_this_year(&mut days, &from, 2000);
        assert_abs_diff_eq!(mean(&days), 90.0, epsilon = 1.2);
    }

    #[test]
    fn invented_seasons_and_single_years_stay() {
        let mut days = vec![(100.0, 1.0), (90.0, 1.0)];
        to_this_year(&mut days, &[None, Some(1990)], 2020);
        assert_eq!(days, [(100.0, 1.0), (90.0, 1.0)]);
    }
}
