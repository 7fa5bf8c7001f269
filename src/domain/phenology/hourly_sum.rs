//! One interface for every sum that is fed hour by hour, and its daily totals.

/// A chill or heat sum that is fed one hourly temperature after another.
pub trait HourlySum {
    /// Takes one hour at `temp_c` and returns what it adds. A missing hour (NaN) must not be fed.
    fn step(&mut self, temp_c: f64) -> f64;
}

impl<F: FnMut(f64) -> f64> HourlySum for F {
    fn step(&mut self, temp_c: f64) -> f64 {
        self(temp_c)
    }
}

/// What each day adds to a sum, from hourly temperatures in °C (24 a day). A day with a missing
/// hour gives NaN and leaves the sum's inner state as it was.
pub fn per_day(sum: &mut impl HourlySum, hours_c: &[f32]) -> Vec<f64> {
    let (days, _) = hours_c.as_chunks::<24>();
    days.iter()
        .map(|day| {
            if day.iter().any(|t| t.is_nan()) {
                return f64::NAN;
            }
            day.iter().map(|&t| sum.step(f64::from(t))).sum()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_summed_and_missing_hours_spoil_only_their_day() {
        let mut hours = [2.0_f32; 72];
        hours[30] = f32::NAN;
        let days = per_day(&mut |t: f64| t, &hours);
        assert_eq!(days.len(), 3);
        assert_eq!((days[0], days[2]), (48.0, 48.0));
        assert!(days[1].is_nan());
    }
}
