//! The observer's own doubt of a look: a stage that only the first few buds show.

use super::fixture::*;
use barewood::domain::outlook::{BlockEstimate, Estimates, Look};
use barewood::domain::phenology::distribution::{FEW_TO_HALF_DAYS, StageDate};
use barewood::domain::phenology::estimate::BudReading;
use barewood::domain::phenology::species::Species;
use barewood::domain::season::{HowMany, Reading, edit};
use chrono::{Days, NaiveDate};
use proptest::prelude::*;

fn look(date: NaiveDate, bbch: u8, few: bool) -> BudReading {
    BudReading { date, bbch, few }
}

/// BBCH monograph (Meier 2018, see `sources::BBCH_HALF`): a stage is reached once half of a stand
/// shows it. So `most` and `all` have reached it, the first few have not.
#[test]
fn most_makes_the_stage_and_the_first_few_begin_it() {
    let seen = day("2027-02-22");
    let none = estimate("p");
    let most = estimate("p").with_looks(&[look(seen, 51, false)]);
    let few = estimate("p").with_looks(&[look(seen, 51, true)]);
    assert!((most.swell.chance_by(seen) - 1.0).abs() < 1e-9);
    let by = few.swell.chance_by(seen);
    assert!(by > none.swell.chance_by(seen) && by < 0.5, "{by}");
    assert!(few.swell.p50() > seen, "the even chance is still to come");
    // Within a week half of the buds follow (common practice, no source: `sources::FIRST_FEW`).
    let end = seen + Days::new(FEW_TO_HALF_DAYS.unsigned_abs());
    assert!((few.swell.chance_by(end) - 1.0).abs() < 1e-9);
    assert!(few.swell.chance_by(end.pred_opt().unwrap()) < 1.0);
    assert_eq!(
        few.seen, None,
        "a stage of the first few is no stage that was reached"
    );
    // What comes later is not made later: it may be under way unseen.
    assert_eq!(few.burst, none.burst);
    // Seen a stage on, the stages before it are under way too.
    let tip = estimate("p").with_looks(&[look(seen, 53, true)]);
    assert!(tip.swell.chance_by(seen) >= by && tip.burst.chance_by(seen) >= by);
}

#[test]
fn the_first_few_run_ahead_of_the_others_and_contradict_nothing() {
    let mut s = season();
    s.blocks = vec![block("p", Species::Peach)];
    let e = Estimates {
        blocks: vec![estimate("p")],
        ..Estimates::default()
    };
    let reading = |date: &str, bbch, how_many| Reading::Buds {
        date: day(date),
        bbch,
        how_many,
        blocks: Vec::new(),
        note: None,
        photo: None,
    };
    let told = |s: &_, date: &str, bbch, how_many| {
        Look {
            date: day(date),
            bbch,
            how_many,
            blocks: &[],
        }
        .told(s, &e)
        .concat()
    };
    let s = edit::add_reading(&s, reading("2027-03-08", 53, HowMany::FirstFew));
    assert_eq!(told(&s, "2027-03-10", 51, HowMany::All), "");
    assert!(told(&s, "2027-03-10", 0, HowMany::All).contains("do not go back"));
    let s = edit::add_reading(&season(), reading("2027-03-08", 53, HowMany::All));
    assert!(told(&s, "2027-03-10", 51, HowMany::All).contains("do not go back"));
    assert_eq!(
        told(&s, "2027-03-07", 55, HowMany::FirstFew)
            .matches("do not go back")
            .count(),
        0
    );
}

fn ramp(first: u64, days: u32, top: f64) -> StageDate {
    StageDate::new(
        day("2027-01-15") + Days::new(first),
        (1..=days).map(move |i| (f64::from(i) / f64::from(days)).powf(top)),
    )
}

proptest! {
    /// A doubtful look never judges laxer than no look, its last safe day is never later than
    /// that of a plain look, and no look widens a window backwards.
    #[test]
    fn a_doubtful_look_lies_between_none_and_a_plain_one(
        first in 0_u64..60, days in 1_u32..50, top in 0.4_f64..3.0,
        seen in 0_u64..130, bbch in 51_u8..62, guard in 0_u32..7, tolerance in 0.0_f64..0.45,
        asked in 51_u8..62,
    ) {
        let none = BlockEstimate {
            swell: ramp(first, days, top),
            burst: ramp(first + 14, days, top),
            bloom: ramp(first + 30, days, top),
            ..estimate("p")
        };
        let on = day("2027-01-15") + Days::new(seen);
        let plain = none.clone().with_looks(&[look(on, bbch, false)]);
        let few = none.clone().with_looks(&[look(on, bbch, true)]);
        let (n, p, f) = (none.at_bbch(asked), plain.at_bbch(asked), few.at_bbch(asked));
        for d in day("2027-01-01").iter_days().take(200) {
            prop_assert!(f.chance_by(d) >= n.chance_by(d) - 1e-9, "{d}");
        }
        let last = |s: &StageDate| s.last_safe(tolerance, guard);
        prop_assert!(last(&f) <= last(&n));
        if asked <= bbch {
            prop_assert!(last(&f) <= last(&p), "{} {}", last(&f), last(&p));
            prop_assert!(f.chance_by(on) > 0.0);
        }
        // Looking once more, at the same or less, takes nothing back.
        let twice = none.clone().with_looks(&[look(on, bbch, true), look(on, bbch.min(asked), true)]);
        prop_assert!(last(&twice.at_bbch(asked)) <= last(&f));
    }
}
