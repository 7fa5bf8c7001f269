//! A look at the buds before it is kept: what refuses it, what is told beside it.

use super::fixture::*;
use barewood::domain::outlook::{BlockEstimate, Estimates, Look};
use barewood::domain::phenology::species::Species;
use barewood::domain::season::{HowMany, Reading, Season, edit};

fn orchard() -> (Season, Estimates) {
    let mut s = season();
    s.blocks = vec![block("peach", Species::Peach)];
    s.dates.leaf_drop_seen = Some(day("2026-11-20"));
    let estimates = Estimates {
        blocks: vec![BlockEstimate {
            block: s.blocks[0].id.clone(),
            swell: even("2027-03-10", 10),
            burst: even("2027-03-24", 10),
            bloom: even("2027-04-10", 10),
            seen: None,
            few: Vec::new(),
        }],
        ..Estimates::default()
    };
    (s, estimates)
}

fn look(date: &str, bbch: u8) -> Look<'static> {
    Look {
        date: day(date),
        bbch,
        how_many: HowMany::All,
        blocks: &[],
    }
}

#[test]
fn no_look_is_kept_of_tomorrow_or_before_the_leaves_are_down() {
    let (s, _) = orchard();
    let today = day("2027-03-12");
    for (date, bbch, kept) in [
        ("2027-03-12", 51, true),
        ("2027-03-13", 51, false),
        ("2026-11-20", 51, false),
        ("2026-11-21", 51, true),
        // Still tight, and numbers of leaf fall, are of no spring.
        ("2026-11-20", 0, true),
        ("2026-11-20", 95, true),
    ] {
        let refused = look(date, bbch).refused(&s, today);
        assert_eq!(refused.is_none(), kept, "{date} {bbch}: {refused:?}");
    }
}

#[test]
fn a_look_that_goes_back_or_that_no_spring_would_bring_is_told() {
    let (s, e) = orchard();
    let told = |s: &Season, date, bbch| look(date, bbch).told(s, &e).concat();
    assert_eq!(told(&s, "2027-03-12", 51), "");
    assert!(told(&s, "2027-02-20", 51).contains("1 spring in 100"));
    let seen = edit::add_reading(
        &s,
        Reading::Buds {
            date: day("2027-03-26"),
            bbch: 53,
            blocks: Vec::new(),
            note: None,
            how_many: HowMany::All,
            photo: None,
        },
    );
    assert!(told(&seen, "2027-03-28", 51).contains("do not go back"));
    assert!(told(&seen, "2027-03-28", 0).contains("do not go back"));
    assert!(told(&seen, "2027-03-25", 55).contains("do not go back"));
    assert_eq!(told(&seen, "2027-03-14", 51), "");
    assert_eq!(told(&seen, "2027-04-01", 54), "");
}
