//! What the hours of weather tell of an application: when it may be dry.

use crate::domain::hours::air::Air;
use crate::domain::hours::drying::LOOK_FIRST;
use crate::domain::season::Record;
use chrono::{NaiveDateTime, TimeZone, Utc};

/// The place of the hour of a local time.
fn place(air: &Air, local: NaiveDateTime) -> Option<usize> {
    let at = air.site().zone.from_local_datetime(&local).earliest()?;
    air.index_of(at.with_timezone(&Utc))
}

/// When a spray that ended at a known time may be dry, with its range, and that a person must
/// look. `None` where the hours do not reach it or the end is not known.
pub fn expected_dry(air: &Air, record: &Record) -> Option<String> {
    // The film dries from the full hour after the end on: the later side is the safe one.
    let at = place(air, record.ended?)? + 1;
    let drying = air.drying_from(at);
    Some(format!("{}. {LOOK_FIRST}", drying.words()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::hours::testing::{air_of, fair, season_with, spray};
    use crate::domain::records::{Conditions, MixAmounts, prefill};

    #[test]
    fn drying_is_told_from_the_hour_after_the_end_and_asks_for_a_look() {
        let air = air_of(vec![fair(); 72]);
        let season = season_with(vec![]);
        let task = spray("t", &[]);
        let now = air.local(30);
        let mut record = prefill(
            &season,
            &task,
            now.date(),
            now,
            &MixAmounts::default(),
            &Conditions::default(),
        );
        record.ended = None;
        assert_eq!(expected_dry(&air, &record), None);
        record.ended = Some(now);
        let words = expected_dry(&air, &record).unwrap();
        assert!(
            words.starts_with("dry in") && words.ends_with(LOOK_FIRST),
            "{words}"
        );
        record.ended = Some(air.local(71) + chrono::TimeDelta::days(400));
        assert_eq!(expected_dry(&air, &record), None);
    }
}
