//! Every `--json` answer names its schema and keeps to it, and the schema leaves no key out.

use crate::home::Home;
use boon::{Compiler, Schemas};
use serde_json::{Value, json};

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
    compiler.add_resource("urn:test", schema.clone()).unwrap();
    let index = compiler.compile("urn:test", &mut schemas).unwrap();
    schemas.validate(answer, index).err().map(|e| e.to_string())
}

/// Holds an answer against the schema that it names itself, as `schema NAME` prints it.
fn holds(home: &Home, args: &[&str]) -> Value {
    let answer = home.run(args).json();
    let named = answer["$schema"]
        .as_str()
        .unwrap_or_else(|| panic!("{args:?} names none"));
    let name = named
        .strip_prefix("urn:barewood:")
        .and_then(|n| n.strip_suffix(":1"))
        .unwrap_or_else(|| panic!("{named}"));
    let schema = home.run(&["schema", name]).fine().json();
    assert_eq!(schema["$id"], named);
    let wrong = problem(&strict(schema), &answer);
    assert!(wrong.is_none(), "{args:?}: {}", wrong.unwrap_or_default());
    answer
}

const SPRAYS: [&str; 3] = ["cherry-copper", "last-copper", "first-copper"];

#[test]
fn every_answer_of_the_practice_season_keeps_to_its_schema() {
    let home = Home::new();
    for day in ["2026-11-29", "2027-02-08", "2027-03-10"] {
        for args in [
            &["due", "--json"][..],
            &["check", "--json"],
            &["swell", "--json"],
            &["plan", "--json"],
            &["buy", "--json"],
            &["coverage", "--json"],
            &["review", "--json"],
            &["ledger", "--json"],
            &["check", "--records", "--json"],
            &["export", "json"],
        ] {
            holds(&home, &[args, &["--on", day]].concat());
        }
    }
    for spray in SPRAYS {
        holds(&home, &["mix", spray, "--json", "--on", "2027-02-08"]);
    }
    holds(
        &home,
        &["hours", "cherry-copper", "--json", "--on", "2027-02-08"],
    );
    holds(
        &home,
        &["hours", "last-copper", "--json", "--on", "2027-02-08"],
    );
    for more in [&[][..], &["--chance"], &["--doubtful", "--any-sprayer"]] {
        let sheet = ["run-sheet", "--json", "--on", "2027-02-08"];
        holds(&home, &[&sheet, more].concat());
    }
    let asked = [
        "--block",
        "all",
        "--active",
        "copper",
        "--from",
        "2024-11-01",
    ];
    holds(
        &home,
        &[&["ledger", "--json", "--on", "2027-02-08"][..], &asked].concat(),
    );
    holds(&home, &["history", "--json", "--on", "2027-02-08"]);
}

#[test]
fn every_answer_of_a_season_just_begun_keeps_to_its_schema() {
    let (home, _) = Home::started();
    std::fs::write(
        home.path().join("w.csv"),
        "date,tmin_c,tmax_c\n2027-01-01,-1.0,21.0\n2027-01-02,-1.0,21.0\n",
    )
    .unwrap();
    let season = ["--season", "season.toml", "--on", "2015-12-01"];
    for args in [
        &["due", "--json"][..],
        &["check", "--json"],
        &["swell", "--json"],
        &["plan", "--json"],
        &["buy", "--json"],
        &["coverage", "--json"],
        &["review", "--json"],
        &["history", "--json"],
        &["check", "--records", "--json"],
        &["mix", "first-copper", "--json"],
        &["export", "json"],
    ] {
        holds(&home, &[args, &season].concat());
    }
    holds(
        &home,
        &[
            "weather", "show", "w.csv", "--sums", "dd", "--base", "43F", "--json",
        ],
    );
    holds(
        &home,
        &[
            "weather",
            "show",
            "w.csv",
            "--sums",
            "gdh",
            "--latitude",
            "43",
            "--json",
        ],
    );
    holds(&home, &["weather", "show", "w.csv", "--json"]);
}

#[test]
fn the_schemas_are_listed_and_sound() {
    let home = Home::new();
    let list = home.run(&["schema"]).fine().out;
    let names: Vec<&str> = list
        .lines()
        .filter_map(|l| l.split_whitespace().next())
        .collect();
    assert!(names.len() >= 13, "{list}");
    for name in names {
        let schema = home.run(&["schema", name]).fine().json();
        assert_eq!(
            schema["$schema"],
            "https://json-schema.org/draft/2020-12/schema"
        );
        // Sound: a compiler takes it, and an empty answer is refused.
        assert!(problem(&schema, &json!({})).is_some(), "{name}");
    }
    let ran = home.run(&["schema", "nothing"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("due"), "{}", ran.err);
}
