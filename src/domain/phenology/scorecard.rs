//! The scorecard: what was answered on a few fixed days of each winter, kept and judged once the
//! date is seen.
//!
//! A few lines a season, never sent anywhere. Over the years they tell how far the estimate can be
//! trusted in this orchard, and whether its range is honest here.

use chrono::{Datelike, NaiveDate};
use serde::{Deserialize, Serialize};

use super::distribution::StageDate;

/// What was answered for one stage of one block on one day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Answered {
    /// The day of the answer.
    pub on: NaiveDate,
    /// Id of the block.
    pub block: String,
    /// BBCH number of the stage.
    pub bbch: u8,
    /// Early edge.
    pub p10: NaiveDate,
    /// Middle.
    pub p50: NaiveDate,
    /// Late edge.
    pub p90: NaiveDate,
    /// The mean of the block's own dates then, as a day of that season; `None` without any.
    pub calendar: Option<NaiveDate>,
}

/// An answer beside the day that was seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// Answer less seen: late is positive, days.
    pub error_days: i64,
    /// Whether the range held the day.
    pub inside: bool,
    /// The calendar's error, days.
    pub calendar_error_days: Option<i64>,
}

/// The fixed days: 1 February, 15 February, 1 March; half a year later in the south.
const DAYS: [(u32, u32); 3] = [(2, 1), (2, 15), (3, 1)];

/// The latest fixed day on or before `today` whose answer should be on the card.
pub fn day_due(today: NaiveDate, south: bool) -> Option<NaiveDate> {
    let months = if south { 6 } else { 0 };
    DAYS.iter()
        .filter_map(|(month, day)| NaiveDate::from_ymd_opt(today.year(), month + months, *day))
        .rfind(|day| *day <= today && (today - *day).num_days() <= LATE_DAYS)
}

/// An answer is put on the card up to so many days late, with its own day.
const LATE_DAYS: i64 = 13;

impl Answered {
    /// An answer for the card.
    pub fn new(
        on: NaiveDate,
        block: &str,
        bbch: u8,
        date: &StageDate,
        calendar: Option<NaiveDate>,
    ) -> Self {
        Self {
            on,
            block: block.to_owned(),
            bbch,
            p10: date.p10(),
            p50: date.p50(),
            p90: date.p90(),
            calendar,
        }
    }

    /// Judged against the day seen; `None` where that day was known when it was given.
    pub fn judged(&self, seen: NaiveDate) -> Option<Judged> {
        (seen > self.on).then(|| Judged {
            error_days: (self.p50 - seen).num_days(),
            inside: self.p10 <= seen && seen <= self.p90,
            calendar_error_days: self.calendar.map(|c| (c - seen).num_days()),
        })
    }
}

/// How several answers did.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Card {
    /// Answers judged.
    pub count: usize,
    /// Root-mean-square error, days.
    pub rmse_days: f64,
    /// Mean error, late positive, days.
    pub bias_days: f64,
    /// Share inside the range.
    pub inside: f64,
    /// The calendar's root-mean-square error where there was one, days.
    pub calendar_rmse_days: Option<f64>,
}

impl Card {
    /// Sums up; `None` without any.
    pub fn of(judged: &[Judged]) -> Option<Self> {
        let n = judged.len() as f64;
        if judged.is_empty() {
            return None;
        }
        let square = |days: i64| (days as f64).powi(2);
        let calendar: Vec<f64> = judged
            .iter()
            .filter_map(|j| j.calendar_error_days.map(square))
            .collect();
        Some(Self {
            count: judged.len(),
            rmse_days: (judged.iter().map(|j| square(j.error_days)).sum::<f64>() / n).sqrt(),
            bias_days: judged.iter().map(|j| j.error_days as f64).sum::<f64>() / n,
            inside: judged.iter().filter(|j| j.inside).count() as f64 / n,
            calendar_rmse_days: (!calendar.is_empty())
                .then(|| (calendar.iter().sum::<f64>() / calendar.len() as f64).sqrt()),
        })
    }

    /// What the range should be multiplied by here, so that it holds eight in ten: near 1 while few
    /// answers are judged (twelve count as much as the program's own hindcast).
    pub fn spread_factor(judged: &[(Judged, f64)]) -> f64 {
        let mut asked: Vec<f64> = judged
            .iter()
            .map(|(j, half_width_days)| {
                ((j.error_days.abs() as f64) - 0.5).max(0.0) / half_width_days.max(1.0)
            })
            .collect();
        if asked.is_empty() {
            return 1.0;
        }
        asked.sort_by(f64::total_cmp);
        let holding = asked
            .get((asked.len() * 4 / 5).min(asked.len() - 1))
            .copied()
            .unwrap_or(1.0)
            .clamp(0.5, 2.0);
        let n = asked.len() as f64;
        holding.powf(n / (n + USUAL_ANSWERS))
    }

    /// In one sentence.
    pub fn words(&self) -> String {
        let calendar = self.calendar_rmse_days.map_or_else(String::new, |c| {
            format!("; the mean of your own dates {c:.1} days")
        });
        let lean = if self.bias_days.abs() < 1.0 {
            String::new()
        } else if self.bias_days > 0.0 {
            format!(", {:.0} days late on the whole", self.bias_days)
        } else {
            format!(", {:.0} days early on the whole", -self.bias_days)
        };
        format!(
            "{} answers judged: off by {:.1} days{lean}{calendar}; the range held {:.0} in 10.",
            self.count,
            self.rmse_days,
            10.0 * self.inside
        )
    }
}

/// Answers that the program's own hindcast counts as.
const USUAL_ANSWERS: f64 = 12.0;

#[cfg(test)]
mod tests {
    use super::*;

    fn date(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn answered(on: &str, p50: &str) -> Answered {
        let p50 = date(p50);
        Answered {
            on: date(on),
            block: "north".to_owned(),
            bbch: 51,
            p10: p50 - chrono::TimeDelta::days(6),
            p50,
            p90: p50 + chrono::TimeDelta::days(7),
            calendar: Some(date("2027-03-20")),
        }
    }

    #[test]
    fn three_days_a_winter_are_due_and_no_other() {
        assert_eq!(day_due(date("2027-02-01"), false), Some(date("2027-02-01")));
        assert_eq!(day_due(date("2027-02-12"), false), Some(date("2027-02-01")));
        assert_eq!(day_due(date("2027-03-04"), false), Some(date("2027-03-01")));
        assert_eq!(day_due(date("2027-01-20"), false), None);
        assert_eq!(day_due(date("2027-08-16"), true), Some(date("2027-08-15")));
    }

    #[test]
    fn an_answer_is_judged_once_the_day_is_seen_and_never_after_the_fact() {
        let one = answered("2027-02-15", "2027-03-12");
        let judged = one.judged(date("2027-03-15")).unwrap();
        assert_eq!(judged.error_days, -3);
        assert!(judged.inside);
        assert_eq!(judged.calendar_error_days, Some(5));
        assert_eq!(one.judged(date("2027-02-10")), None);
    }

    #[test]
    fn the_card_sums_up_and_widens_a_range_that_holds_too_little() {
        let judge = |seen: &str| {
            answered("2027-02-15", "2027-03-12")
                .judged(date(seen))
                .unwrap()
        };
        let all = [
            judge("2027-03-10"),
            judge("2027-03-30"),
            judge("2027-03-28"),
        ];
        let card = Card::of(&all).unwrap();
        assert_eq!(card.count, 3);
        assert!((card.inside - 1.0 / 3.0).abs() < 1e-9);
        assert!(
            card.words().contains("early on the whole"),
            "{}",
            card.words()
        );
        let factor = Card::spread_factor(&all.map(|j| (j, 6.5)));
        assert!(factor > 1.0 && factor < 2.0, "{factor}");
        assert!((Card::spread_factor(&[]) - 1.0).abs() < 1e-9);
        assert_eq!(Card::of(&[]), None);
    }
}
