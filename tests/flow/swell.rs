use crate::common::{day, today};
use crate::driver::Driver;
use barewood::domain::season::Reading;

#[test]
fn a_look_at_the_buds_moves_the_estimate_at_once() {
    let mut d = Driver::new();
    d.happen(barewood::tui::action::Event::Day(day(2027, 2, 20)));
    let p50 = |d: &Driver| d.model.estimates.as_ref().unwrap().blocks[0].swell.p50();
    let before = p50(&d);
    d.keys("S b \"still\" right tab tab \"ten trees\" enter");
    assert!(p50(&d) > before);
    let Some(Reading::Buds {
        date,
        bbch,
        blocks,
        note,
        ..
    }) = d.model.season.readings.last()
    else {
        panic!("no reading of buds");
    };
    assert_eq!((*date, *bbch), (day(2027, 2, 20), 0));
    assert_eq!(blocks[0].as_str(), "peach");
    assert_eq!(note.as_deref(), Some("ten trees"));
    d.keys("u");
    assert_eq!(p50(&d), before);
}

#[test]
fn a_degree_day_total_takes_base_and_start_from_the_last_one() {
    let mut d = Driver::new();
    d.keys("S a \"95\" enter");
    let Some(Reading::DegreeDays {
        date,
        total,
        base,
        since,
        blocks,
        ..
    }) = d.model.season.readings.last()
    else {
        panic!("no total");
    };
    assert_eq!((*date, *total, *since), (today(), 95.0, day(2026, 11, 1)));
    assert_eq!(base.to_string(), "43 F");
    assert!(blocks.is_empty());
}

#[test]
fn a_total_cannot_end_before_it_begins_or_lie_ahead() {
    let mut d = Driver::new();
    d.keys("S a \"95\" tab tab \"1 jan\" enter");
    let count = d.model.season.readings.len();
    d.keys("esc a \"nan\" enter esc a \"-4\" enter esc");
    assert_eq!(d.model.season.readings.len(), count);
    assert_eq!(count, 2);
}

#[test]
fn readings_are_deleted_and_brought_back() {
    let mut d = Driver::new();
    let before = d.model.season.readings.clone();
    d.keys("S down x");
    assert_eq!(d.model.season.readings.len(), 1);
    d.keys("u");
    assert_eq!(d.model.season.readings, before);
    d.keys("x x x");
    assert_eq!(d.notice(), "there is no reading to delete");
}

#[test]
fn blocks_are_paged_found_and_have_their_curves() {
    let mut d = Driver::new();
    d.keys("S right");
    assert_eq!(d.model.swell.block, 1);
    assert_eq!(d.model.curves.as_ref().unwrap().0.as_str(), "nectarine");
    d.keys("9 9 right 2 left");
    assert_eq!(d.model.swell.block, 1);
    d.keys("/ \"cherr\" enter");
    assert_eq!(d.model.swell.block, 3);
}
