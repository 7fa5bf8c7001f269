//! Edits, gaps, changed order and cut ends are found and named.

use crate::full;
use crate::orchard::{day, of, season, time};
use barewood::domain::records::seal::{Seal, head};
use barewood::domain::records::{Flaw, adopt, correct, end_reentry, finish, integrity};
use barewood::domain::season::{Record, RecordId, Season};

fn id(text: &str) -> RecordId {
    RecordId::from(text)
}

/// A season with three records: a spray, its correction, another spray.
pub fn three() -> Season {
    let s = season();
    let s = finish(
        &s,
        full(&s, "first-copper", "2026-12-01"),
        day("2026-12-01"),
    )
    .unwrap()
    .season;
    let mut better = s.records[0].clone();
    better.notes = Some("wind rose at the end".to_owned());
    let s = correct(&s, &id("r1"), better, "forgot the wind", day("2026-12-02"))
        .unwrap()
        .season;
    finish(
        &s,
        full(&s, "second-copper", "2027-02-20"),
        day("2027-02-20"),
    )
    .unwrap()
    .season
}

#[test]
fn records_as_kept_have_no_flaw() {
    let s = three();
    assert_eq!(integrity(&s, &[]), []);
    assert_eq!(integrity(&season(), &[]), []);
    assert_eq!(s.records_head, head(&s));
    assert_eq!(s.records_head.as_ref().unwrap().count, 3);
}

// FIPS 180-4 through an independent program: `printf 'barewood record
// 1\nnothing\n{date:"2026-12-01",id:"r1",}' | sha256sum` gives 806d…; the
// first 24 digits are the seal.
#[test]
fn the_seal_is_the_standard_checksum_of_a_plain_text() {
    let record = Record::new(id("r1"), day("2026-12-01"));
    assert_eq!(
        Seal::of(&record, None).text(),
        format!("{} after nothing", "806d38e9ca1d381dad441f00")
    );
}

#[test]
fn an_edit_is_found_and_named() {
    let mut s = three();
    s.records[1].wind = Some(of("1 m/s"));
    assert_eq!(integrity(&s, &[]), [Flaw::Edited(id("r2"))]);
    let mut s = three();
    s.records[0].materials[0].total = Some(of("1.19 kg"));
    assert_eq!(integrity(&s, &[]), [Flaw::Edited(id("r1"))]);
}

#[test]
fn a_gap_is_found_and_named() {
    let mut s = three();
    s.records.remove(0);
    let flaws = integrity(&s, &[]);
    assert!(flaws.contains(&Flaw::Gap { before: id("r2") }), "{flaws:?}");
    assert!(
        flaws.contains(&Flaw::CorrectsNothing {
            id: id("r2"),
            named: id("r1")
        }),
        "{flaws:?}"
    );
    assert!(flaws.contains(&Flaw::Lost { then: 3, now: 2 }), "{flaws:?}");
}

#[test]
fn a_changed_order_is_found_and_named() {
    let mut s = three();
    s.records.swap(1, 2);
    let flaws = integrity(&s, &[]);
    assert!(flaws.contains(&Flaw::Moved(id("r3"))), "{flaws:?}");
    assert!(
        !flaws.iter().any(|f| matches!(f, Flaw::Edited(_))),
        "{flaws:?}"
    );
}

#[test]
fn records_cut_from_the_end_are_missed() {
    let whole = three();
    let mut s = whole.clone();
    s.records.pop();
    assert_eq!(integrity(&s, &[]), [Flaw::Lost { then: 3, now: 2 }]);
    // Even where the count beside the records was set back too, a count noted elsewhere tells.
    s.records_head = head(&s);
    assert_eq!(integrity(&s, &[]), []);
    let noted = whole.records_head.clone().unwrap();
    assert_eq!(
        integrity(&s, std::slice::from_ref(&noted)),
        [Flaw::Lost { then: 3, now: 2 }]
    );
    // An older note stays true while records are added.
    let mut older = whole.clone();
    older.records.truncate(1);
    let older = head(&older).unwrap();
    assert_eq!(integrity(&whole, &[older, noted]), []);
    s.records_head = None;
    assert_eq!(integrity(&s, &[]), [Flaw::NoHead]);
}

#[test]
fn hand_written_and_copied_records_are_found() {
    let mut s = three();
    s.records.push(Record::new(id("r9"), day("2027-02-21")));
    assert_eq!(integrity(&s, &[]), [Flaw::Unsealed(id("r9"))]);
    assert_eq!(integrity(&adopt(&s), &[]), []);
    let mut s = three();
    s.records
        .insert(1, Record::new(id("r9"), day("2027-02-21")));
    assert_eq!(integrity(&adopt(&s), &[]), [Flaw::Unsealed(id("r9"))]);
    let mut s = three();
    let copy = s.records[2].clone();
    s.records.push(copy);
    let flaws = integrity(&s, &[]);
    assert!(flaws.contains(&Flaw::Twice(id("r3"))), "{flaws:?}");
    let mut s = three();
    s.records[2].seal = Some("abc".to_owned());
    let flaws = integrity(&s, &[]);
    assert!(flaws.contains(&Flaw::OddSeal(id("r3"))), "{flaws:?}");
}

#[test]
fn the_end_of_reentry_is_a_record_too() {
    let s = three();
    let s = end_reentry(
        &s,
        &id("r3"),
        time("2027-02-21 12:00"),
        "the grower",
        time("2027-02-21 12:05"),
    )
    .unwrap()
    .season;
    assert_eq!(s.records.len(), 4);
    assert_eq!(integrity(&s, &[]), []);
}

#[test]
fn writing_and_reading_again_changes_no_seal() {
    // Through text and back: quantities keep the unit they were written in, spaces and
    // line ends around a note do not count, and empty parts are as good as absent.
    let s = three();
    let mut again = s.clone();
    for record in &mut again.records {
        record.notes = record.notes.as_ref().map(|n| format!("{n}\r\n"));
        record.sky = Some("  ".to_owned());
        for used in &mut record.materials {
            used.total = used.total.map(|a| of(&a.to_string()));
        }
    }
    assert_eq!(integrity(&again, &[]), []);
}
