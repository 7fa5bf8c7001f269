//! Re-entry counts down, across changes of the clock, and ends when somebody saw it dry.

use crate::full;
use crate::orchard::{day, of, season, time};
use barewood::domain::records::{
    Kept, RecordError, Standing, end_reentry, finish, reentries, reentry_of_block,
};
use barewood::domain::season::{BlockId, Reentry, Season};

fn sprayed(s: &Season, task: &str, on: &str) -> Kept {
    finish(s, full(s, task, on), day(on)).unwrap()
}

#[test]
fn hours_count_down_from_the_end_of_spraying() {
    let s = sprayed(&season(), "first-copper", "2026-12-01").season;
    let state = reentry_of_block(&s, &BlockId::from("peaches"), time("2026-12-01 12:30")).unwrap();
    assert_eq!(
        state.standing,
        Standing::Runs {
            until: time("2026-12-02 11:00"),
            minutes_left: 22 * 60 + 30,
            then_until_dry: false
        }
    );
    assert!(state.standing.words().contains("22 h 30 min left"));
    let state = reentry_of_block(&s, &BlockId::from("peaches"), time("2026-12-02 11:00")).unwrap();
    assert!(!state.standing.is_open(), "{state:?}");
    assert_eq!(
        reentry_of_block(&s, &BlockId::from("apples"), time("2026-12-01 12:30")),
        None
    );
}

#[test]
fn it_ends_at_the_typed_end_plus_the_interval_and_a_look_can_be_noted_after() {
    let mut s = season();
    s.materials[0].label.reentry = Some(Reentry::After(of("4 h")));
    let mut record = full(&s, "first-copper", "2026-12-01");
    record.ended = Some(time("2026-12-01 11:30"));
    record.reentry_until = None;
    let kept = finish(&s, record, day("2026-12-01")).unwrap();
    assert_eq!(
        kept.season.records[0].reentry_until,
        Some(time("2026-12-01 15:30"))
    );
    let at = |t: &str| reentries(&kept.season, time(t)).remove(0).standing;
    assert!(at("2026-12-01 15:29").is_open());
    assert!(!at("2026-12-01 15:30").is_open());
    let ended = end_reentry(
        &kept.season,
        &kept.record,
        time("2026-12-01 17:00"),
        "the grower",
        time("2026-12-01 17:00"),
    )
    .unwrap();
    let standing = reentries(&ended.season, time("2026-12-01 18:00"))
        .remove(0)
        .standing;
    assert!(standing.words().contains("seen by the grower"));
}

// 40 CFR 170.112 (older numbering): of several products the longest interval rules.
#[test]
fn of_several_materials_the_longest_rules_and_dry_is_still_wanted() {
    let mut s = season();
    s.materials[0].label.reentry = Some(Reentry::After(of("4 h")));
    s.materials[1].label.reentry = Some(Reentry::After(of("24 h")));
    let kept = sprayed(&s, "second-copper", "2027-02-20");
    assert_eq!(
        kept.season.records[0].reentry_until,
        Some(time("2027-02-21 11:00"))
    );
    s.materials[1].label.reentry = None;
    let kept = sprayed(&s, "second-copper", "2027-02-20");
    let at = |t: &str| reentries(&kept.season, time(t)).remove(0).standing;
    assert!(matches!(
        at("2027-02-20 14:00"),
        Standing::Runs {
            then_until_dry: true,
            ..
        }
    ));
    assert_eq!(at("2027-02-20 15:00"), Standing::WaitsForDry);
    assert_eq!(
        at("2027-03-20 15:00"),
        Standing::WaitsForDry,
        "time alone does not end it"
    );
}

// Clocks go forward on 14 March 2027 at 02:00 in New York (US Energy Policy Act of 2005):
// six hours after 22:00 are 05:00 by the clock, not 04:00.
#[test]
fn a_change_of_the_clock_shortens_nothing() {
    let mut s = season();
    s.materials[0].label.reentry = Some(Reentry::After(of("6 h")));
    let mut record = full(&s, "first-copper", "2027-03-13");
    record.ended = Some(time("2027-03-13 22:00"));
    record.reentry_until = None;
    let s = finish(&s, record, day("2027-03-13")).unwrap().season;
    assert_eq!(s.records[0].reentry_until, Some(time("2027-03-14 05:00")));
    let state = reentries(&s, time("2027-03-14 01:00")).remove(0);
    assert!(
        matches!(
            state.standing,
            Standing::Runs {
                minutes_left: 180,
                ..
            }
        ),
        "{state:?}"
    );
}

#[test]
fn somebody_must_see_it_dry_and_not_before_the_hours_are_over() {
    let kept = sprayed(&season(), "second-copper", "2027-02-20");
    let (s, id) = (kept.season, kept.record);
    let end = |at: &str, by: &str, now: &str| end_reentry(&s, &id, time(at), by, time(now));
    assert_eq!(
        end("2027-02-20 16:00", "the grower", "2027-02-20 16:00").unwrap_err(),
        RecordError::ReentryRuns(time("2027-02-21 11:00"))
    );
    assert_eq!(
        end("2027-02-21 12:00", " ", "2027-02-21 12:00").unwrap_err(),
        RecordError::Nobody
    );
    assert!(matches!(
        end("2027-02-21 12:00", "the grower", "2027-02-21 11:30").unwrap_err(),
        RecordError::OddTime(_)
    ));
    assert!(matches!(
        end("2027-02-20 09:00", "the grower", "2027-02-21 11:30").unwrap_err(),
        RecordError::OddTime(_)
    ));
    let ended = end("2027-02-21 12:00", "the grower", "2027-02-21 12:30").unwrap();
    let states = reentries(&ended.season, time("2027-02-21 13:00"));
    assert_eq!(
        states.len(),
        1,
        "the record that was corrected no longer counts"
    );
    assert!(states[0].standing.words().contains("seen by the grower"));
    assert!(!states[0].standing.is_open());
    assert!(matches!(
        end_reentry(
            &ended.season,
            &ended.record,
            time("2027-02-21 13:00"),
            "x",
            time("2027-02-21 13:00")
        ),
        Err(RecordError::ReentryEnded(_))
    ));
}

#[test]
fn without_a_time_the_whole_day_counts() {
    let s = season();
    let mut record = full(&s, "first-copper", "2026-12-01");
    record.started = None;
    record.ended = None;
    record.reentry_until = None;
    let s = finish(&s, record, day("2026-12-02")).unwrap().season;
    assert_eq!(s.records[0].reentry_until, Some(time("2026-12-02 23:59")));
    // Seen from a day before the spray there is nothing yet.
    assert!(reentries(&s, time("2026-11-30 08:00")).is_empty());
}
