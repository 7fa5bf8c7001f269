//! What a grower accepts, in words: how many times worse too late is than too early.
//!
//! A spray before swell is put on while the chance of swell is at most `q`; with the cost of too
//! late `k` times that of too early, `q = 1 / (1 + k)`: ten percent is nine times, twenty four.

use std::fmt::Write as _;

/// How many times the cost of being too late is that of being too early.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Odds {
    times: f64,
}

/// The fewest and the most times that are taken: a chance of 50 % and of 1 %.
const FEWEST: f64 = 1.0;
const MOST: f64 = 99.0;

impl Odds {
    /// From so many times; `None` outside 1 to 99.
    pub fn times(times: f64) -> Option<Self> {
        (FEWEST..=MOST).contains(&times).then_some(Self { times })
    }

    /// From the chance of being too late that is accepted (0–1).
    pub fn of_tolerance(chance: f64) -> Self {
        let chance = chance.clamp(0.01, 0.5);
        Self {
            times: (1.0 - chance) / chance,
        }
    }

    /// Reads what people say: "nine times", "9 times too early", "9:1", "19 to 1", "10 %", "4".
    pub fn from_text(text: &str) -> Option<Self> {
        let text = text.trim().to_lowercase();
        if let Some(percent) = text
            .strip_suffix('%')
            .or_else(|| text.strip_suffix("percent"))
        {
            let percent: f64 = percent.trim().parse().ok()?;
            return (1.0..=50.0)
                .contains(&percent)
                .then(|| Self::of_tolerance(percent / 100.0));
        }
        let mut words = text
            .split(|c: char| c.is_whitespace() || c == ':')
            .filter(|w| !w.is_empty());
        let first = words.next()?;
        let number = |word: &str| {
            let named = NUMBERS.iter().position(|n| *n == word);
            named
                .map(|n| n as f64 + 1.0)
                .or_else(|| word.strip_suffix('x').unwrap_or(word).parse().ok())
        };
        let times = number(first)?;
        match words.next() {
            None | Some("times") => Self::times(times),
            Some("to") => is_one(number(words.next()?)?)
                .then(|| Self::times(times))
                .flatten(),
            Some(one) => is_one(number(one)?).then(|| Self::times(times)).flatten(),
        }
    }

    /// The chance of being too late that this accepts (0–1).
    pub fn tolerance(self) -> f64 {
        1.0 / (1.0 + self.times)
    }

    /// In words: "too late costs you about nine times as much as too early".
    pub fn words(self) -> String {
        let whole = self.times.round() as usize;
        match NUMBERS.get(whole.saturating_sub(1)) {
            Some(&"one") => "too late costs you about as much as too early".to_owned(),
            Some(word) => format!("too late costs you about {word} times as much as too early"),
            None => format!("too late costs you about {whole} times as much as too early"),
        }
    }

    /// What waiting until a day costs on average, with the chance that swell has begun by then
    /// (guard days included), in sprays that came too early for nothing.
    pub fn cost_of_waiting(self, chance_by_then: f64) -> f64 {
        self.times * chance_by_then.clamp(0.0, 1.0)
    }

    /// Whether waiting until then costs more than spraying too early would.
    pub fn is_too_long(self, chance_by_then: f64) -> bool {
        chance_by_then > self.tolerance()
    }

    /// The cost in a sentence beside the chance.
    pub fn cost_words(self, chance_by_then: f64) -> String {
        let mut out = format!(
            "waiting costs {:.1} of a spray too early",
            self.cost_of_waiting(chance_by_then)
        );
        let more = if self.is_too_long(chance_by_then) {
            "more than you accept"
        } else {
            "within what you accept"
        };
        let _ = write!(out, " ({more})");
        out
    }
}

fn is_one(number: f64) -> bool {
    (number - 1.0).abs() < 1e-9
}

const NUMBERS: [&str; 12] = [
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
];

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    /// The worked odds of decision by cost and loss: 9 times, 4:1, 19:1.
    #[test]
    fn odds_and_tolerance_are_the_published_ones() {
        for (text, chance) in [
            ("nine times", 0.10),
            ("9 times too early", 0.10),
            ("4:1", 0.20),
            ("19 to 1", 0.05),
            ("10 %", 0.10),
            ("4", 0.20),
            ("9x", 0.10),
        ] {
            let odds = Odds::from_text(text).unwrap();
            assert_abs_diff_eq!(odds.tolerance(), chance, epsilon = 1e-9);
        }
        for text in ["", "never", "0 times", "4:2", "200", "60 %"] {
            assert_eq!(Odds::from_text(text), None, "{text}");
        }
    }

    #[test]
    fn words_and_cost_follow() {
        let odds = Odds::of_tolerance(0.1);
        assert_eq!(
            odds.words(),
            "too late costs you about nine times as much as too early"
        );
        assert_abs_diff_eq!(odds.cost_of_waiting(0.38), 3.42, epsilon = 1e-9);
        assert!(odds.is_too_long(0.11) && !odds.is_too_long(0.09));
        assert!(
            odds.cost_words(0.38).contains("3.4"),
            "{}",
            odds.cost_words(0.38)
        );
    }
}
