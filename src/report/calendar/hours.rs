//! The fit hours of an open spray, as its entry shows them.

use super::alarms;
use crate::domain::fit_hours::{NextHours, Stretch};
use crate::domain::hours::air::Air;
use crate::domain::hours::verdict::Fit;
use crate::domain::outlook::Standing;
use crate::domain::season::{Season, Task};
use chrono::{DateTime, NaiveDateTime, NaiveTime, TimeDelta, Utc};
use icalendar::Alarm;

/// At what time of the evening before a phone rings for the fit hours of a day.
const EVENING_H: u32 = 18;

/// What the hours of weather say of a spray.
pub(super) struct Hours {
    /// The fit hours on the day it is planned for, in universal time.
    pub(super) on_its_day: Option<(DateTime<Utc>, DateTime<Utc>)>,
    /// The fit hours, or that there are none, in words.
    pub(super) words: String,
    /// Rings the evening before the next fit hours.
    pub(super) alarm: Option<Alarm>,
}

/// The hours of a spray that is planned within the weather known; `None` for any other task.
pub(super) fn of(air: &Air, standing: &Standing, season: &Season, task: &Task) -> Option<Hours> {
    let last = air.local(air.len().checked_sub(1)?).date();
    if task.date > last || standing.hours == NextHours::NotKnown || standing.state.is_none() {
        return None;
    }
    // Best first.
    let here = standing
        .stretches
        .iter()
        .find(|w| w.grade == Fit::Fit && air.local(w.start).date() == task.date);
    let next = standing.hours.fit();
    let utc = |local| super::utc(season, local);
    let span = |w: &Stretch| {
        let (from, to) = bounds(air, w);
        Some((utc(from)?, utc(to)?)).filter(|(from, to)| from < to)
    };
    let words = match (here, next) {
        (Some(w), _) => told(air, w, "on this day"),
        (None, Some(w)) => format!(
            "No fit hours on this day. {}",
            told(
                air,
                w,
                &air.local(w.start).format("on %a %-d %b").to_string()
            )
        ),
        (None, None) => format!("Hours: {}.", standing.hours.words(air)),
    };
    let alarm = next.and_then(|w| {
        let (from, to) = bounds(air, w);
        let evening = from.date().pred_opt()?.and_hms_opt(EVENING_H, 0, 0)?;
        let words = format!(
            "Fit hours tomorrow, {} to {}: {}. Read its warnings first.",
            from.format("%H:%M"),
            to.format("%H:%M"),
            task.title
        );
        Some(alarms::at(utc(evening)?, &super::clean(&words)))
    });
    Some(Hours {
        on_its_day: here.and_then(span),
        words,
        alarm,
    })
}

/// The fit hours around the best start, on the orchard's clock and within its day.
fn bounds(air: &Air, window: &Stretch) -> (NaiveDateTime, NaiveDateTime) {
    let best = air.local(window.start);
    let midnight = best.date().and_time(NaiveTime::MIN);
    let from = air.local(window.hours.start).max(midnight);
    let to = air
        .local(window.hours.end)
        .min(midnight + TimeDelta::days(1));
    (from, to)
}

fn told(air: &Air, window: &Stretch, day: &str) -> String {
    let (from, to) = bounds(air, window);
    format!(
        "{} hours {day}: {} to {}, best start {}.",
        capital(window.grade.words()),
        from.format("%H:%M"),
        to.format("%H:%M"),
        air.local(window.start).format("%H:%M")
    )
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
