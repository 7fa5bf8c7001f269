//! A season from its start over a rain delay to a finished task, by commands.

use crate::home::Home;
use std::fs;

#[test]
fn start_makes_a_file_that_reads_clean_and_explains_itself() {
    let (home, file) = Home::started();
    let text = fs::read_to_string(&file).unwrap();
    assert!(
        text.contains("# ") && text.contains("leaf_drop_expected = 2015-11-20"),
        "{text}"
    );
    for lane in ["after-leaf-drop", "mid-winter", "before-swell"] {
        assert!(text.contains(lane), "{lane}");
    }
    let again = home.run(&[
        "start",
        "--yes",
        "--latitude",
        "1",
        "--longitude",
        "1",
        "--block",
        "apple",
        "--season",
        "season.toml",
    ]);
    assert_eq!(again.code, 3, "{}", again.err);
    assert_eq!(
        fs::read_to_string(&file).unwrap(),
        text,
        "a season is never replaced"
    );
}

#[test]
fn start_in_the_south_hangs_on_leaf_drop_there() {
    let home = Home::new();
    home.run(&[
        "start",
        "--yes",
        "--latitude",
        "-36.8",
        "--longitude",
        "174.8",
        "--zone",
        "Pacific/Auckland",
        "--block",
        "peach",
        "--on",
        "2026-05-25",
        "--season",
        "s.toml",
    ])
    .fine();
    let swell = home
        .run(&[
            "swell",
            "--json",
            "--season",
            "s.toml",
            "--on",
            "2026-05-25",
        ])
        .fine()
        .json();
    let p50 = swell["blocks"][0]["p50"].as_str().unwrap();
    assert!(
        ("2026-07-01".."2026-10-15").contains(&p50),
        "southern swell falls in southern late winter: {p50}"
    );
}

#[test]
fn a_delay_shows_what_changes_and_undoing_it_by_hand_restores_the_file() {
    let (home, file) = Home::started();
    let season = ["--season", "season.toml", "--on", "2015-12-20"];
    let before = fs::read_to_string(&file).unwrap();
    let preview = home
        .run(
            &[
                &["delay", "last-copper", "--days", "60", "--preview"],
                &season[..],
            ]
            .concat(),
        )
        .fine();
    assert!(
        preview.out.contains("+ stop: last-copper"),
        "{}",
        preview.out
    );
    assert_eq!(
        fs::read_to_string(&file).unwrap(),
        before,
        "a preview writes nothing"
    );
    let done = home
        .run(&[&["delay", "last-copper", "--days", "60"], &season[..]].concat())
        .fine();
    assert!(done.out.contains("+ stop: last-copper"), "{}", done.out);
    let after = fs::read_to_string(&file).unwrap();
    assert!(after.contains("why = \"rain\""));
    let comments = |t: &str| {
        t.lines()
            .filter(|l| l.starts_with('#'))
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    assert_eq!(comments(&before), comments(&after), "comments stay");
    let back = home
        .run(&[&["delay", "last-copper", "--days", "-60"], &season[..]].concat())
        .fine();
    assert!(back.out.contains("- stop: last-copper"), "{}", back.out);
}

#[test]
fn readings_without_any_weather_file_move_the_estimate() {
    let (home, _) = Home::started();
    let season = ["--season", "season.toml", "--on", "2016-02-12"];
    let p50 = || {
        let answer = home
            .run(&[&["swell", "--json"], &season[..]].concat())
            .fine()
            .json();
        answer["blocks"][0]["p50"].as_str().unwrap().to_owned()
    };
    let before = p50();
    let warm = [
        "read",
        "degree-days",
        "600",
        "--base",
        "43F",
        "--since",
        "2016-01-01",
        "--date",
        "2016-02-10",
    ];
    let said = home.run(&[&warm, &season[..]].concat()).fine();
    assert!(
        said.out.contains("was "),
        "the change is said: {}",
        said.out
    );
    assert!(p50() < before, "a warm winter brings swell forward");
    home.run(&[&["read", "buds", "0", "--date", "2016-02-12"], &season[..]].concat())
        .fine();
    let answer = home
        .run(&[&["swell", "--json"], &season[..]].concat())
        .fine()
        .json();
    let p10 = answer["blocks"][0]["p10"].as_str().unwrap();
    assert!(
        // Eyes are a day or two off.
        p10 >= "2016-02-08",
        "buds seen tight cut the days before away: {p10}"
    );
}

#[test]
fn a_finished_spray_leaves_a_sealed_record_that_a_later_edit_betrays() {
    let (home, file) = Home::started();
    let season = ["--season", "season.toml", "--on", "2015-11-28"];
    let finish = [
        "finish",
        "first-copper",
        "--date",
        "2015-11-27",
        "--who",
        "A. Grower",
        "--wind",
        "2 m/s",
    ];
    home.run(&[&finish, &season[..]].concat()).fine();
    home.run(&[&["check", "--records"], &season[..]].concat())
        .fine();
    let text = fs::read_to_string(&file).unwrap();
    fs::write(&file, text.replace("A. Grower", "B. Grower")).unwrap();
    let checked = home.run(&[&["check", "--records"], &season[..]].concat());
    assert_eq!(checked.code, 1, "{}", checked.out);
    assert!(checked.out.contains("FLAW"), "{}", checked.out);
}

#[test]
fn the_next_season_begins_from_the_last() {
    let (home, _) = Home::started();
    let ran = home
        .run(&[
            "start",
            "--from",
            "season.toml",
            "--seen",
            "peach:swell:2016-02-20",
            "--season",
            "next.toml",
            "--yes",
        ])
        .fine();
    assert!(
        ran.out.contains("when did"),
        "dates still wanted are asked for: {}",
        ran.out
    );
    let text = fs::read_to_string(home.path().join("next.toml")).unwrap();
    assert!(
        text.contains("2016-02-20") && text.contains("2016-17"),
        "{text}"
    );
    home.run(&["swell", "--season", "next.toml", "--on", "2016-12-01"])
        .fine();
    // Copper is carried block by block, and what nobody knows stays unknown.
    let sprayed = home.path().join("season.toml");
    let last = fs::read_to_string(&sprayed).unwrap();
    let told = "trees = 6\ncopper_past_kg_per_ha = [3.5, \"unknown\", 4]";
    fs::write(&sprayed, last.replacen("trees = 6", told, 1)).unwrap();
    home.run(&[
        "start",
        "--from",
        "season.toml",
        "--season",
        "after.toml",
        "--yes",
    ])
    .fine();
    let text = fs::read_to_string(home.path().join("after.toml")).unwrap();
    assert!(
        text.contains("copper_past_kg_per_ha = [0.0, 3.5, \"unknown\", 4.0]"),
        "{text}"
    );
}

#[test]
fn review_mix_buy_history_and_every_export_answer() {
    let home = Home::new();
    let review = home.run(&["review"]).fine().out;
    assert!(review.lines().all(|l| l.chars().count() <= 80), "{review}");
    for args in [
        &["mix", "last-copper"][..],
        &["mix", "last-copper", "--html"],
        &["mix", "last-copper", "--json"],
        &["buy"],
        &["coverage"],
        &["history"],
        &["review", "--json"],
        &["review", "--markdown"],
        &["export", "ics"],
        &["export", "csv"],
        &["export", "materials"],
        &["export", "html"],
        &["export", "json"],
        &["shell", "manual"],
        &["shell", "places"],
        &["shell", "completions", "bash"],
        &["shell", "completions", "zsh"],
        &["shell", "completions", "fish"],
    ] {
        let ran = home.run(args).fine();
        assert!(!ran.out.trim().is_empty(), "{args:?}");
    }
}

#[test]
fn kinds_without_a_published_date_are_told_and_nothing_is_late_at_birth() {
    let home = Home::new();
    let at = ["--season", "y.toml", "--on", "2026-11-20"];
    let start = [
        "start",
        "--yes",
        "--place",
        "Rochester, New York",
        "--block",
        "grape::6",
        "--leaf-drop",
        "2026-11-12",
    ];
    let made = home.run(&[&start, &at[..]].concat()).fine().out;
    assert!(made.contains("1 block, "), "{made}");
    let swell = home.run(&[&["swell"], &at[..]].concat()).fine().out;
    let flat = swell.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("grape (grape): no estimate for this kind: look at the buds"),
        "{swell}"
    );
    assert!(swell.lines().all(|l| l.chars().count() <= 80), "{swell}");
    let json = home.run(&[&["swell", "--json"], &at[..]].concat()).json();
    assert_eq!(json["no_estimate"][0]["block"], "grape");
    assert_eq!(json["blocks"].as_array().unwrap().len(), 0);
    let check = home.run(&[&["check", "--all"], &at[..]].concat());
    assert!(!check.out.contains("verdue"), "{}", check.out);
    // Which law asks for what of a record is told with it, also that a rule has ended.
    let records = home
        .run(&[&["check", "--records"], &at[..]].concat())
        .fine()
        .out;
    let flat = records.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("Asked of records here: your state or tribe [7 CFR part 110 was rescinded"),
        "{records}"
    );
}
