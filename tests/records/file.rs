//! Seals outlive the season file, its comments and its layout, and betray an edit in it.

use crate::full;
use crate::orchard::{day, season};
use crate::sealing::three;
use barewood::domain::records::{Flaw, finish, integrity};
use barewood::domain::season::{RecordId, Season, TaskId};
use barewood::store::season_file::{Comments, fresh, read, write};

fn written(season: &Season) -> String {
    fresh(season, &Comments::default()).unwrap()
}

fn back(text: &str) -> Season {
    match read(text, "season.toml") {
        Ok(loaded) => loaded.season,
        Err(problems) => panic!("{problems}\n{text}"),
    }
}

#[test]
fn records_read_back_as_they_were_sealed() {
    let before = three();
    let again = back(&written(&before));
    assert_eq!(again.records, before.records);
    assert_eq!(again.records_head, before.records_head);
    assert_eq!(integrity(&again, &[]), []);
}

#[test]
fn a_record_added_to_a_file_is_sealed_there() {
    let empty = season();
    let text = written(&empty);
    let s = back(&text);
    let mut record = full(&s, "first-copper", "2026-12-01");
    record.notes = Some("two\nlines, \"quoted\"  ".to_owned());
    record.wind_from = Some("  ".to_owned());
    record.materials[0].active = String::new();
    let kept = finish(&s, record, day("2026-12-01")).unwrap().season;
    let text = write(&text, &s, &kept).unwrap();
    let again = back(&text);
    assert_eq!(again.records.len(), 1);
    assert_eq!(integrity(&again, &[]), [], "{text}");
}

#[test]
fn comments_and_another_way_of_writing_a_number_change_nothing() {
    let text = written(&three());
    let commented = text
        .replace("[[record]]", "# my own words\n\n[[record]]")
        .replace("\"1.2 kg\"", "\"1.20 kg\"");
    assert_ne!(text, commented);
    assert_eq!(integrity(&back(&commented), &[]), []);
}

#[test]
fn an_edit_in_the_file_is_found() {
    let text = written(&three());
    let edited = text.replacen("\"1.2 kg\"", "\"1.1 kg\"", 1);
    assert_ne!(text, edited);
    assert_eq!(
        integrity(&back(&edited), &[]),
        [Flaw::Edited(RecordId::from("r1"))]
    );
}

#[test]
fn an_unknown_material_is_kept_under_its_id() {
    let mut s = season();
    let mut record = full(&s, "first-copper", "2026-12-01");
    record.materials[0].name = String::new();
    record.materials[0].active = String::new();
    record.task = Some(TaskId::from("first-copper"));
    s = finish(&s, record, day("2026-12-01")).unwrap().season;
    assert_eq!(s.records[0].materials[0].name, "copper");
    assert_eq!(s.records[0].materials[0].active, "copper");
    assert_eq!(integrity(&back(&written(&s)), &[]), []);
}
