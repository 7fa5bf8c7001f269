//! ISO 8601 intervals: `2026-02-10T06:00:00+00:00/PT3H`.

use chrono::{DateTime, TimeDelta, Utc};

/// The longest interval read, hours: one value for a month says nothing of an hour.
const MOST_HOURS: i64 = 31 * 24;

/// Start and whole hours of an interval: start and duration, or start and end. `None` where it
/// is neither, ends before it starts, or is longer than a month. Less than an hour counts as
/// one.
pub(super) fn interval(text: &str) -> Option<(DateTime<Utc>, usize)> {
    let (start, rest) = text.split_once('/')?;
    let start = DateTime::parse_from_rfc3339(start.trim())
        .ok()?
        .with_timezone(&Utc);
    let length = match rest.trim() {
        duration if duration.starts_with('P') => self::duration(duration)?,
        end => DateTime::parse_from_rfc3339(end).ok()?.with_timezone(&Utc) - start,
    };
    if length <= TimeDelta::zero() || length.num_hours() > MOST_HOURS {
        return None;
    }
    let hours = usize::try_from(length.num_minutes())
        .ok()?
        .div_ceil(60)
        .max(1);
    Some((start, hours))
}

/// `P1W`, `P2DT6H30M`, `PT3H`: weeks, days, hours, minutes, seconds. Years and months have no
/// length in hours and are refused.
fn duration(text: &str) -> Option<TimeDelta> {
    let text = text.strip_prefix('P')?;
    let (days, hours) = text.split_once('T').unwrap_or((text, ""));
    let seconds = parts(days, &[('W', 7 * 86_400), ('D', 86_400)])?
        .checked_add(parts(hours, &[('H', 3600), ('M', 60), ('S', 1)])?)?;
    TimeDelta::try_seconds(seconds)
}

/// Sums `number unit` pairs; units come in their order, each at most once.
fn parts(mut text: &str, units: &[(char, i64)]) -> Option<i64> {
    let mut sum = 0_i64;
    let mut left = units.iter();
    while !text.is_empty() {
        let end = text.find(|c: char| !c.is_ascii_digit())?;
        let (number, rest) = text.split_at_checked(end)?;
        let mut chars = rest.chars();
        let unit = chars.next()?;
        let (_, seconds) = left.find(|(name, _)| *name == unit)?;
        let number: i64 = number.parse().ok().filter(|n| *n <= 100_000)?;
        sum = sum.checked_add(number.checked_mul(*seconds)?)?;
        text = chars.as_str();
    }
    Some(sum)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn hours(text: &str) -> Option<usize> {
        interval(text).map(|(_, hours)| hours)
    }

    // The first form is the example of the service's own questions and answers on grid points.
    #[test]
    fn durations_and_ends_are_read() {
        assert_eq!(
            interval("2019-07-04T18:00:00+00:00/PT3H"),
            Some(("2019-07-04T18:00:00Z".parse().unwrap(), 3))
        );
        assert_eq!(hours("2026-02-10T06:00:00+00:00/P1DT6H"), Some(30));
        assert_eq!(hours("2026-02-10T06:00:00-05:00/P7D"), Some(168));
        assert_eq!(hours("2026-02-10T06:00:00Z/PT30M"), Some(1));
        assert_eq!(hours("2026-02-10T06:00:00Z/2026-02-10T09:00:00Z"), Some(3));
        assert_eq!(hours("2026-02-10T06:00:00Z/P1W"), Some(168));
    }

    #[test]
    fn what_has_no_length_is_refused() {
        for text in [
            "",
            "2026-02-10T06:00:00Z",
            "2026-02-10T06:00:00Z/",
            "2026-02-10T06:00:00Z/P",
            "2026-02-10T06:00:00Z/PT0H",
            "2026-02-10T06:00:00Z/P1M",
            "2026-02-10T06:00:00Z/PT",
            "2026-02-10T06:00:00Z/PTH",
            "2026-02-10T06:00:00Z/PT3H3H",
            "2026-02-10T06:00:00Z/PT1S1H",
            "2026-02-10T06:00:00Z/PT99999999999999999999H",
            "2026-02-10T06:00:00Z/P90D",
            "2026-02-10T06:00:00Z/2026-02-09T06:00:00Z",
            "yesterday/PT3H",
        ] {
            assert_eq!(hours(text), None, "{text}");
        }
    }

    proptest! {
        #[test]
        fn no_text_is_a_panic(text in "\\PC{0,40}", tail in "[PT0-9HMSDW:/.-]{0,20}") {
            let _ = interval(&text);
            let _ = interval(&format!("2026-02-10T06:00:00Z/{tail}"));
        }
    }
}
