//! Traps in other answers than `check`: the mix sheet, records, the law of the place.

use super::scene::{BASE, Scene};
use crate::home::{Home, Ran};

fn run(home: &Home, args: &[&str]) -> Ran {
    let mut all: Vec<&str> = args.to_vec();
    all.extend(["--season", "season.toml"]);
    home.run(&all)
}

fn mix(scene: Scene, task: &str) -> Ran {
    run(&scene.home(), &["mix", task, "--on", scene.on])
}

#[test]
fn a_rate_that_could_not_be_compared_is_never_called_fine() {
    // NIST Handbook 44, appendix C: an ounce by weight is no fluid ounce.
    let twin = mix(BASE, "oil");
    assert!(twin.out.contains("FINE"), "{}", twin.out);
    let trap = mix(
        BASE.with(&[(
            "mix = [{ material = \"oil\" }]",
            "mix = [{ material = \"oil\", rate = \"6 oz/gal\" }]",
        )]),
        "oil",
    );
    assert!(!trap.out.contains("FINE"), "{}", trap.out);
}

#[test]
fn rounding_never_goes_over_the_only_rate_of_a_label() {
    // The label is the law: without a highest rate its one rate is the highest.
    let scene = BASE.with(&[(
        "rate_min = \"2 lb/100 gal\"\nrate = \"4 lb/100 gal\"\nrate_max = \"8 lb/100 gal\"",
        "rate = \"8.37 lb/100 gal\"",
    )]);
    let home = scene.home();
    let sheet = run(&home, &["mix", "copper", "--json", "--on", scene.on]).json();
    let product = &sheet["products"][0];
    for amount in ["total", "full_tank"] {
        let off = product[amount]["off_percent"].as_f64().unwrap();
        assert!((-2.0..=1e-9).contains(&off), "{amount}: {product:#}");
    }
    // Where a highest rate stands above it, the nearest mark is taken.
    let scene = BASE.with(&[
        ("rate = \"4 lb/100 gal\"", "rate = \"8.37 lb/100 gal\""),
        ("rate_max = \"8 lb/100 gal\"", "rate_max = \"9 lb/100 gal\""),
    ]);
    let sheet = run(
        &scene.home(),
        &["mix", "copper", "--json", "--on", scene.on],
    )
    .json();
    assert!(
        sheet["products"][0]["full_tank"]["off_percent"]
            .as_f64()
            .unwrap()
            > 0.0
    );
}

/// What stands in the record of a spray finished at a place, and what it is asked for.
fn record_of(edits: &'static [(&'static str, &'static str)]) -> (String, String) {
    let home = BASE.with(edits).home();
    let day = ["--on", "2027-02-24"];
    let mut finish = vec!["finish", "copper", "--started", "09:00", "--ended", "11:30"];
    finish.extend(["--who", "the grower"]);
    finish.extend(day);
    if !edits.is_empty() {
        // Elsewhere the same day is another one of the winter.
        finish.extend(["--anyway", "told after it was done"]);
    }
    run(&home, &finish).fine();
    let check = run(&home, &["check", "--records", day[0], day[1]]);
    let file = std::fs::read_to_string(home.path().join("season.toml")).unwrap();
    let record = file.split("[[record]]").nth(1).unwrap().to_owned();
    let words: Vec<&str> = check.out.split_whitespace().collect();
    (record, words.join(" "))
}

const BERLIN: &[(&str, &str)] = &[
    (
        "latitude = 43.15\nlongitude = -77.62",
        "latitude = 52.5\nlongitude = 13.4",
    ),
    (
        "time_zone = \"America/New_York\"",
        "time_zone = \"Europe/Berlin\"",
    ),
];
const SYDNEY: &[(&str, &str)] = &[
    (
        "latitude = 43.15\nlongitude = -77.62",
        "latitude = -33.3\nlongitude = 149.1",
    ),
    (
        "time_zone = \"America/New_York\"",
        "time_zone = \"Australia/Sydney\"",
    ),
];

#[test]
fn the_law_of_the_place_asks_for_its_own_elements() {
    // Regulation (EC) 1107/2009, art. 67, with 2023/564; New South Wales, Pesticides Regulation
    // 2017, cl. 36; the American federal rule was rescinded (FR Doc. 2025-08220).
    let (record, asks) = record_of(&[]);
    assert!(!record.contains("[PRNPS]"), "{record}");
    assert!(asks.contains("your state or tribe"), "{asks}");
    assert!(
        !asks.contains("7 CFR 110.3") && !asks.contains("2023/564"),
        "{asks}"
    );
    let (record, asks) = record_of(BERLIN);
    assert!(record.contains("[PRNPS]"), "the code of peach: {record}");
    assert!(asks.contains("2023/564"), "{asks}");
    for american in ["EPA", "CFR", "state", "certificate"] {
        assert!(!asks.contains(american), "{american}: {asks}");
    }
    let (_, asks) = record_of(SYDNEY);
    assert!(
        asks.contains("where the wind came from [NSW Pesticides Regulation 2017, cl. 36"),
        "{asks}"
    );
    assert!(
        !asks.contains("EPA") && !asks.contains("2023/564"),
        "{asks}"
    );
}

#[test]
fn re_entry_ends_at_the_typed_end_plus_the_interval() {
    // The label: 24 h from the end of spraying. 11:30 and a day.
    let home = BASE.home();
    let done = run(
        &home,
        &[
            "finish",
            "copper",
            "--on",
            "2027-02-24",
            "--started",
            "09:00",
            "--ended",
            "11:30",
            "--who",
            "the grower",
        ],
    )
    .fine();
    let file = std::fs::read_to_string(home.path().join("season.toml")).unwrap();
    assert!(
        file.contains("reentry_until = 2027-02-25T11:30:00"),
        "{}{file}",
        done.out
    );
    assert!(
        !file.contains("gear = [\"gloves\", \"goggles\", \"long sleeves\"]\nnotices"),
        "{file}"
    );
}
