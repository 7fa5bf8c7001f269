//! People who spray, and the hours people and sprayers have.

use super::{PersonId, SprayerId};
use chrono::{Datelike, NaiveDate};
use serde::Serialize;

/// Hours of the day and days of the week in which somebody, or a sprayer, can work.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct WorkTime {
    /// Hours of the day, `[from, to)`, local time; absent means the orchard's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hours: Option<[u32; 2]>,
    /// Days of the week (`mon` … `sun`); empty means the orchard's.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub days: Vec<String>,
    /// Days on which it cannot: holidays, a sprayer at the workshop.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub away: Vec<NaiveDate>,
}

impl WorkTime {
    /// Is this hour of a day within it?
    pub fn has(&self, day: NaiveDate, hour: u32) -> bool {
        let weekday = day.weekday().to_string().to_lowercase();
        self.hours
            .is_none_or(|[from, to]| (from..to).contains(&hour))
            && (self.days.is_empty() || self.days.contains(&weekday))
            && !self.away.contains(&day)
    }
}

/// Somebody who drives a sprayer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Person {
    /// The id.
    pub id: PersonId,
    /// The name, as it stands in records.
    pub name: String,
    /// When this person can work.
    #[serde(flatten)]
    pub time: WorkTime,
    /// The sprayers this person drives; empty means all.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sprayers: Vec<SprayerId>,
    /// Certificate or licence number.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub licence: Option<String>,
}

impl Person {
    /// Does this person drive that sprayer?
    pub fn drives(&self, sprayer: &SprayerId) -> bool {
        self.sprayers.is_empty() || self.sprayers.contains(sprayer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_days_and_absence_all_count() {
        let day = |text: &str| text.parse::<NaiveDate>().unwrap();
        let time = WorkTime {
            hours: Some([7, 12]),
            days: vec!["mon".to_owned(), "sat".to_owned()],
            away: vec![day("2027-02-13")],
        };
        // 8 February 2027 is a Monday, 13 and 20 are Saturdays.
        assert!(time.has(day("2027-02-08"), 7));
        assert!(!time.has(day("2027-02-08"), 12));
        assert!(!time.has(day("2027-02-09"), 8));
        assert!(!time.has(day("2027-02-13"), 8));
        assert!(time.has(day("2027-02-20"), 8));
        assert!(WorkTime::default().has(day("2027-02-09"), 3));
    }
}
