//! Taking records back, and what undo does to them.

use crate::full;
use crate::orchard::{day, season};
use barewood::domain::records::{
    RecordError, current, finish, integrity, reopen, take_back, totals, undone,
};
use barewood::domain::season::{MaterialId, RecordId, Season, TaskId, TaskState};

fn stock(season: &Season) -> String {
    let material = season.material(&MaterialId::from("copper")).unwrap();
    material.stock.unwrap().to_string()
}

fn finished() -> (Season, Season) {
    let before = season();
    let record = full(&before, "second-copper", "2027-02-20");
    let after = finish(&before, record, day("2027-02-20")).unwrap().season;
    (before, after)
}

#[test]
fn a_record_taken_back_stays_and_nothing_of_it_counts() {
    let (before, after) = finished();
    let back = take_back(
        &after,
        &RecordId::from("r1"),
        "wrong task",
        day("2027-02-21"),
    )
    .unwrap();
    let s = &back.season;
    assert_eq!(s.records[0], after.records[0]);
    assert_eq!(s.records[1].correction.as_deref(), Some("wrong task"));
    assert_eq!(current(s).count(), 0);
    assert!(totals(s).orchard.is_empty());
    assert_eq!(stock(s), stock(&before));
    let id = TaskId::from("second-copper");
    assert_eq!(s.task(&id).unwrap().state, TaskState::Planned);
    assert_eq!(integrity(s, &[]), []);
    assert!(matches!(
        take_back(s, &RecordId::from("r1"), "", day("2027-02-21")),
        Err(RecordError::AlreadyCorrected { .. })
    ));
    // A seal covers the taking back as well.
    let mut forged = s.clone();
    forged.records[1].taken_back = false;
    assert!(!integrity(&forged, &[]).is_empty());
    let reopened = reopen(&after, &id, day("2027-02-21")).unwrap();
    assert_eq!(current(&reopened).count(), 0);
    assert_eq!(stock(&reopened), stock(&before));
}

#[test]
fn undo_takes_an_unsaved_record_out_and_leaves_a_saved_one() {
    let (before, after) = finished();
    assert_eq!(undone(&after, before.clone(), 0, day("2027-02-20")), before);
    let kept = undone(&after, before.clone(), 1, day("2027-02-20"));
    assert_eq!(kept.records.len(), 2);
    assert_eq!(kept.records[0], after.records[0]);
    assert!(kept.records[1].taken_back);
    assert_eq!(kept.tasks, before.tasks);
    assert_eq!(kept.materials, before.materials);
    assert_eq!(integrity(&kept, &[]), []);
}
