//! Chill: what cold hours do to a resting bud.

mod dynamic;
mod dynamic_table;

pub use dynamic::DynamicModel;
pub use dynamic_table::FastDynamicModel;

use super::hourly_sum::HourlySum;

/// The classic threshold of 45 °F, °C (Weinberger 1950).
const CHILL_TOP_C: f64 = 7.2;

/// Ways to count chill that give each hour a value of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ChillHours {
    /// Hours at or below 7.2 °C (45 °F): Weinberger 1950; Bennett 1949.
    UpTo45F,
    /// Hours from 0 to 7.2 °C (32–45 °F), both included: the same count without freezing hours.
    From32To45F,
    /// Utah units: Richardson, Seeley & Walker 1974, `HortScience` 9:331–332. Warm hours take
    /// chill away.
    Utah,
    /// Utah units with negative hours set to 0 (the "positive" variant; from memory, no source seen).
    PositiveUtah,
}

impl ChillHours {
    /// What one hour at `temp_c` adds.
    pub fn hour(self, temp_c: f64) -> f64 {
        match self {
            Self::UpTo45F => f64::from(u8::from(temp_c <= CHILL_TOP_C)),
            Self::From32To45F => f64::from(u8::from((0.0..=CHILL_TOP_C).contains(&temp_c))),
            Self::Utah => utah(temp_c),
            Self::PositiveUtah => utah(temp_c).max(0.0),
        }
    }
}

impl HourlySum for ChillHours {
    fn step(&mut self, temp_c: f64) -> f64 {
        self.hour(temp_c)
    }
}

/// Utah classes in °C, closed at the top (Richardson et al. 1974, °F classes rounded to 0.1 °C).
fn utah(temp_c: f64) -> f64 {
    const CLASSES: [(f64, f64); 6] = [
        (1.4, 0.0),
        (2.4, 0.5),
        (9.1, 1.0),
        (12.4, 0.5),
        (15.9, 0.0),
        (18.0, -0.5),
    ];
    CLASSES
        .iter()
        .find(|(top_c, _)| temp_c <= *top_c)
        .map_or(-1.0, |(_, units)| *units)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn utah_classes_are_closed_at_the_top() {
        for (temp_c, units) in [
            (-5.0, 0.0),
            (1.4, 0.0),
            (1.5, 0.5),
            (2.4, 0.5),
            (2.5, 1.0),
            (9.1, 1.0),
            (9.2, 0.5),
            (12.4, 0.5),
            (12.5, 0.0),
            (15.9, 0.0),
            (16.0, -0.5),
            (18.0, -0.5),
            (18.1, -1.0),
        ] {
            assert_eq!(ChillHours::Utah.hour(temp_c), units, "{temp_c}");
            assert_eq!(
                ChillHours::PositiveUtah.hour(temp_c),
                units.max(0.0),
                "{temp_c}"
            );
        }
    }
}
