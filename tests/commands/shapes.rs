//! The JSON shapes are a contract: keys, order and kinds.

use crate::home::{Home, keys};

#[test]
fn swell_has_its_shape_and_never_a_date_without_a_range() {
    let home = Home::new();
    let answer = home.run(&["swell", "--json"]).fine().json();
    assert_eq!(
        keys(&answer),
        ["$schema", "on", "blocks", "no_estimate", "to_come"]
    );
    for line in answer["to_come"].as_array().unwrap() {
        assert_eq!(keys(line), ["about", "blocks", "words", "source"]);
    }
    let blocks = answer["blocks"].as_array().unwrap();
    assert!(blocks.len() >= 4, "the practice season has several blocks");
    for block in blocks {
        assert_eq!(
            keys(block),
            [
                "block",
                "species",
                "stage",
                "bbch",
                "p10",
                "p50",
                "p90",
                "last_safe",
                "model",
                "members",
                "data_through",
                "notes",
                "looks"
            ]
        );
        assert_eq!(block["stage"], "swell");
        assert_eq!(block["bbch"], 51);
        let day = |key: &str| {
            block[key]
                .as_str()
                .unwrap()
                .parse::<chrono::NaiveDate>()
                .unwrap()
        };
        assert!(
            day("p10") < day("p50") && day("p50") < day("p90"),
            "{block}"
        );
        assert!(day("last_safe") < day("p50"), "{block}");
        assert!(block["members"].as_u64().unwrap() > 0);
    }
}

#[test]
fn later_stages_come_later() {
    let home = Home::new();
    let day = |stage: &str| {
        let answer = home
            .run(&["swell", "--stage", stage, "--json"])
            .fine()
            .json();
        answer["blocks"][0]["p50"].as_str().unwrap().to_owned()
    };
    assert!(day("swell") < day("burst"));
    assert!(day("burst") < day("bloom"));
}

#[test]
fn check_has_its_shape_and_its_exit_code() {
    let home = Home::new();
    let ran = home.run(&["check", "--json"]);
    let answer = ran.json();
    assert_eq!(
        keys(&answer),
        ["$schema", "on", "warnings", "standings", "weather"]
    );
    let warnings = answer["warnings"].as_array().unwrap();
    for warning in warnings {
        assert_eq!(
            keys(warning),
            [
                "rule", "level", "task", "block", "message", "why", "todo", "source"
            ]
        );
        assert!(["stop", "caution", "note"].contains(&warning["level"].as_str().unwrap()));
        assert!(!warning["why"].as_str().unwrap().is_empty());
        assert!(!warning["source"].as_str().unwrap().is_empty());
    }
    assert!(
        warnings
            .iter()
            .any(|w| w["rule"] == "too-close-to-swell" && w["level"] == "stop")
    );
    assert_eq!(ran.code, 1, "a stop makes the exit code 1");
}

#[test]
fn due_has_its_shape_and_says_nothing_where_nothing_is_due() {
    let home = Home::new();
    let answer = home.run(&["due", "--json", "--on", "2027-02-25"]).json();
    assert_eq!(
        keys(&answer),
        [
            "$schema", "on", "overdue", "today", "next", "keep_out", "weather"
        ]
    );
    let all = ["overdue", "today", "next"]
        .map(|k| answer[k].as_array().unwrap().clone())
        .concat();
    assert!(!all.is_empty());
    for task in all {
        assert_eq!(
            keys(&task),
            [
                "task", "title", "lane", "date", "blocks", "worst", "standing"
            ]
        );
    }
    let (home, _) = Home::started();
    let quiet = home
        .run(&["due", "--season", "season.toml", "--on", "2015-10-01"])
        .fine();
    assert_eq!(quiet.out, "", "cron mails only news");
}

/// The value of the row `30, 70, base 43` of the degree-day midpoint table: single
/// sine without an upper limit gives 10.26 °F degree days (computed by numerical
/// integration, 200 000 midpoints).
#[test]
fn weather_show_has_its_shape_and_the_value_of_the_table() {
    let home = Home::new();
    std::fs::write(
        home.path().join("w.csv"),
        "date,tmin_c,tmax_c\n2027-01-01,-1.1111,21.1111\n2027-01-02,-1.1111,21.1111\n",
    )
    .unwrap();
    let args = [
        "weather",
        "show",
        "w.csv",
        "--sums",
        "dd",
        "--base",
        "43F",
        "--method",
        "single-sine",
        "--json",
    ];
    let answer = home.run(&args).fine().json();
    assert_eq!(keys(&answer), ["$schema", "base", "days"]);
    assert_eq!(answer["base"], "43F");
    assert_eq!(keys(&answer["days"][0]), ["date", "dd", "dd_total"]);
    assert_eq!(answer["days"][0]["dd"], 10.26);
    assert_eq!(answer["days"][1]["dd_total"], 20.52);
    for (sum, key) in [
        ("chill-hours", "chill_hours"),
        ("utah", "utah"),
        ("portions", "portions"),
        ("gdh", "gdh"),
        ("gdh-linear", "gdh_linear"),
    ] {
        let args = [
            "weather",
            "show",
            "w.csv",
            "--sums",
            sum,
            "--latitude",
            "43",
            "--json",
        ];
        let answer = home.run(&args).fine().json();
        assert_eq!(
            keys(&answer["days"][0]),
            ["date", key, &format!("{key}_total")]
        );
    }
}

/// The practice season is the same everywhere and always: so are its answers.
#[test]
fn the_answers_for_the_practice_season_stand() {
    let home = Home::new();
    for (name, args) in [
        ("due", &["due", "--json"][..]),
        ("check", &["check", "--json"]),
        ("swell", &["swell", "--json"]),
    ] {
        let all = [args, &["--on", "2027-02-08"]].concat();
        insta::assert_snapshot!(name, home.run(&all).out);
    }
}
