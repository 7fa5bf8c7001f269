//! The outlook as JSON keeps to its published schema, and the schema leaves nothing undescribed.

use crate::busy;
use crate::orchard::{day, estimates, full, time};
use barewood::domain::outlook::{Estimates, outlook};
use barewood::domain::records::finish;
use barewood::domain::season::Season;
use barewood::report::outlook_json::{SCHEMA, json};
use boon::{Compiler, Schemas};
use serde_json::{Value, json};

fn answer(season: &Season, estimates: &Estimates, now: &str) -> Value {
    let now = time(now);
    let outlook = outlook(season, estimates, now.date());
    serde_json::from_str(&json(season, estimates, &outlook, now).unwrap()).unwrap()
}

/// The schema made strict: a key it does not describe is refused.
fn strict(mut schema: Value) -> Value {
    match &mut schema {
        Value::Object(map) => {
            for value in map.values_mut() {
                *value = strict(value.take());
            }
            if map.contains_key("properties") {
                map.insert("additionalProperties".to_owned(), json!(false));
            }
        }
        Value::Array(items) => {
            for item in items {
                *item = strict(item.take());
            }
        }
        _ => {}
    }
    schema
}

fn problem(schema: &Value, answer: &Value) -> Option<String> {
    let mut schemas = Schemas::new();
    let mut compiler = Compiler::new();
    compiler.enable_format_assertions();
    compiler.add_resource("urn:test", schema.clone()).unwrap();
    let index = compiler.compile("urn:test", &mut schemas).unwrap();
    schemas.validate(answer, index).err().map(|e| e.to_string())
}

fn schema() -> Value {
    serde_json::from_str(SCHEMA).unwrap()
}

#[test]
fn every_answer_keeps_to_the_schema() {
    let s = busy();
    let spraying = finish(
        &s,
        full(&s, "second-copper", "2027-02-24"),
        day("2027-02-24"),
    )
    .unwrap()
    .season;
    let mut empty = s.clone();
    (empty.tasks, empty.records, empty.blocks) = (Vec::new(), Vec::new(), Vec::new());
    empty.records_head = None;
    let schema = strict(schema());
    for (season, now) in [
        (&s, "2026-11-01 08:00"),
        (&s, "2027-03-20 08:00"),
        (&spraying, "2027-02-24 13:00"),
        (&spraying, "2027-02-25 13:00"),
        (&empty, "2027-02-25 13:00"),
    ] {
        let full = answer(season, &estimates(season, "2027-03-10"), now);
        assert_eq!(problem(&schema, &full), None, "{full:#}");
        let none = answer(season, &Estimates::default(), now);
        assert_eq!(problem(&schema, &none), None, "{none:#}");
    }
    let practice = barewood::store::practice::season().unwrap().season;
    let full = answer(
        &practice,
        &estimates(&practice, "2027-03-10"),
        "2027-02-08 08:00",
    );
    assert_eq!(problem(&schema, &full), None, "{full:#}");
    let now = answer(
        &spraying,
        &estimates(&spraying, "2027-03-10"),
        "2027-02-24 13:00",
    );
    assert_eq!(now["reentry"][0]["minutes_left"], 22 * 60);
    assert!(!now["warnings"].as_array().unwrap().is_empty());
}

#[test]
fn the_schema_refuses_what_is_wrong() {
    let s = busy();
    let good = answer(&s, &estimates(&s, "2027-03-10"), "2027-02-01 08:00");
    for (path, wrong) in [
        ("/format", json!(2)),
        ("/on", json!("1 March")),
        ("/blocks/0/swell/chance_by_today", json!(1.5)),
        ("/blocks/0/swell/p10", json!("2027-02-30")),
        ("/tasks/0/lane", json!("spring")),
        ("/tasks/0/moves", json!(-1)),
        ("/warnings/0/level", json!("alarm")),
    ] {
        let mut bad = good.clone();
        *bad.pointer_mut(path).unwrap() = wrong;
        assert!(problem(&schema(), &bad).is_some(), "{path} was let through");
    }
    let mut short = good;
    short.as_object_mut().unwrap().remove("blocks");
    assert!(problem(&schema(), &short).is_some());
}
