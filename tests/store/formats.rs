//! Season files of every format that was ever written, as they were written: each still opens,
//! and reads as it did. `INSTA_UPDATE=always` plays no part here: a golden file never changes.

use crate::problems::GOOD;
use barewood::domain::records;
use barewood::domain::season::FORMAT;
use barewood::store::disk::RealDisk;
use barewood::store::season_file::{read, write};
use barewood::store::session::{Mode, OpenError, Session};
use serde_json::Value;
use std::fs;
use std::path::Path;
use std::sync::Arc;

/// What is kept of each format: a short season, and one with everything a file may hold.
const KEPT: [(u32, &[&str]); FORMAT as usize] = [(1, &["1", "1-practice"])];

fn golden(name: &str, ending: &str) -> String {
    let path = format!("tests/data/formats/{name}.{ending}");
    fs::read_to_string(Path::new(&path)).unwrap_or_else(|e| panic!("{path}: {e}"))
}

/// What an earlier version knew must be there as it was; a later one may know more.
fn holds(now: &Value, then: &Value, at: &str) {
    match (now, then) {
        (Value::Object(now), Value::Object(then)) => {
            for (key, value) in then {
                let found = now.get(key).unwrap_or(&Value::Null);
                holds(found, value, &format!("{at}.{key}"));
            }
        }
        (Value::Array(now), Value::Array(then)) => {
            assert_eq!(now.len(), then.len(), "{at}");
            for (i, (now, then)) in now.iter().zip(then).enumerate() {
                holds(now, then, &format!("{at}[{i}]"));
            }
        }
        // The number of the format is the one thing that moves on.
        _ if at == ".format" => {}
        _ => assert_eq!(now, then, "{at}"),
    }
}

#[test]
fn every_format_ever_written_reads_as_it_did() {
    for (format, names) in KEPT {
        for name in names {
            reads_as_it_did(format, name);
        }
    }
}

fn reads_as_it_did(format: u32, name: &str) {
    let text = golden(name, "toml");
    assert!(text.contains(&format!("\nformat = {format}")));
    let season = read(&text, "golden")
        .unwrap_or_else(|e| panic!("{e}"))
        .season;
    let then: Value = serde_json::from_str(&golden(name, "json")).unwrap();
    holds(&serde_json::to_value(&season).unwrap(), &then, "");
    // Its records' seals still hold.
    assert!(!season.records.is_empty());
    assert_eq!(records::integrity(&season, &[]), []);
    // A change writes that change and the number of the format, and leaves every other line.
    let mut later = season.clone();
    later.tasks[0].date = later.tasks[0].date + chrono::Days::new(1);
    let written = write(&text, &season, &later).unwrap();
    assert_eq!(read(&written, "golden").unwrap().season, later);
    let others = text.lines().zip(written.lines()).filter(|(a, b)| a != b);
    let others: Vec<_> = others.filter(|(a, _)| !a.starts_with("format =")).collect();
    assert_eq!(others.len(), 1, "{others:?}");
    assert_eq!(text.lines().count(), written.lines().count());
}

#[test]
fn a_file_of_a_newer_format_is_refused_and_never_rewritten() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("s.toml");
    let text = GOOD.replace("format = 1", &format!("format = {}", FORMAT + 1));
    assert_ne!(text, GOOD);
    fs::write(&path, &text).unwrap();
    for mode in [Mode::Write, Mode::ReadOnly] {
        let opened = Session::open(Arc::new(RealDisk), None, &path, mode);
        assert!(matches!(opened, Err(OpenError::Problems(_))));
        assert_eq!(fs::read_to_string(&path).unwrap(), text);
    }
}

#[test]
fn ids_of_older_files_are_read_and_stay_as_they_are() {
    let old = ["Copper 1", "Pêche.nord", "桃-2"];
    for id in old {
        let text = GOOD.replacen("id = \"oil\"", &format!("id = \"{id}\""), 1);
        assert_ne!(text, GOOD);
        let text = text.replace("material = \"oil\"", &format!("material = \"{id}\""));
        let season = read(&text, "old").unwrap_or_else(|e| panic!("{e}")).season;
        let mut after = season.clone();
        after.tasks[0].notes = Some("seen".to_owned());
        let written = write(&text, &season, &after).unwrap();
        assert!(written.contains(&format!("id = \"{id}\"")), "{written}");
        assert_eq!(read(&written, "again").unwrap().season, after);
    }
    for bad in ["a\\u001b[2J", "a/b", "a\\n", "a:b", "a\\u202eb"] {
        let text = GOOD.replacen("id = \"", &format!("id = \"{bad}"), 1);
        let told = read(&text, "bad").unwrap_err().to_string();
        assert!(told.contains("is no id"), "{told}");
    }
}
