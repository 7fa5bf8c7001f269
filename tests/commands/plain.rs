//! What the board shows, as plain text: within eighty columns, without a sequence, in ASCII but
//! for what the grower wrote.

use crate::home::{Home, keys};

/// A command for each of the board's screens.
const VIEWS: [&[&str]; 14] = [
    &["plan"],
    &["due"],
    &["swell"],
    &["swell", "--curves"],
    &["swell", "--curves", "--stage", "bloom"],
    &["hours", "last-copper"],
    &["review"],
    &["history"],
    &["coverage"],
    &["mix", "last-copper"],
    &["buy"],
    &["shed"],
    &["check"],
    &["check", "--records"],
];

#[test]
fn every_view_is_plain_text_within_eighty_columns() {
    let home = Home::new();
    for args in VIEWS {
        let ran = home.run(&[args, &["--plain"]].concat());
        // Warnings make 1 of some; nothing makes more.
        assert!(ran.code <= 1, "{args:?}: {}", ran.err);
        assert!(!ran.out.trim().is_empty(), "{args:?}");
        for line in ran.out.lines() {
            assert!(line.chars().count() <= 80, "{args:?}: {line}");
            assert!(!line.chars().any(char::is_control), "{args:?}: {line}");
        }
    }
}

#[test]
fn the_plan_tells_every_task_once_with_its_worst_warning() {
    let home = Home::new();
    let plan = home.run(&["plan", "--json"]).fine().json();
    assert_eq!(
        keys(&plan),
        ["$schema", "on", "season", "lanes", "swell", "weather"]
    );
    let text = home.run(&["plan"]).fine().out;
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut tasks = 0;
    for lane in plan["lanes"].as_array().unwrap() {
        for task in lane["tasks"].as_array().unwrap() {
            tasks += 1;
            let id = format!("({})", task["task"].as_str().unwrap());
            let (before, after) = words.split_once(&id).expect("every task has its id");
            assert!(!after.contains(&id), "{id} once");
            let line = format!(
                "{} {}: {}",
                task["date"].as_str().unwrap(),
                task["state"].as_str().unwrap(),
                task["title"].as_str().unwrap()
            );
            assert!(before.contains(&line), "{line}");
            if let Some(worst) = task["worst"].as_str() {
                assert!(
                    after.trim_start().starts_with(&format!("{worst}: ")),
                    "{id}"
                );
            }
        }
    }
    assert!(tasks > 10);
    // A date of swell never stands without its range.
    for swell in plan["swell"].as_array().unwrap() {
        let line = format!(
            "swells {}, 80 % between {} and {}",
            swell["p50"].as_str().unwrap(),
            swell["p10"].as_str().unwrap(),
            swell["p90"].as_str().unwrap()
        );
        assert!(words.contains(&line), "{line}");
    }
}

#[test]
fn the_curves_say_what_the_pictures_show() {
    let home = Home::new();
    let block = &home.run(&["swell", "--json"]).fine().json()["blocks"][0];
    let args = [
        "swell",
        "--curves",
        "--block",
        block["block"].as_str().unwrap(),
    ];
    let text = home.run(&args).fine().out;
    assert!(text.contains("measured"), "{text}");
    assert!(text.contains(" wants "), "{text}");
    // The chances rise, from hardly to almost surely.
    let chances: Vec<f64> = text
        .lines()
        .skip_while(|l| !l.starts_with("chance that"))
        .skip(1)
        .take_while(|l| !l.is_empty())
        .map(|l| {
            let share = l.strip_suffix(" %").unwrap();
            share.rsplit(' ').next().unwrap().parse().unwrap()
        })
        .collect();
    assert!(chances.len() >= 8 && chances.is_sorted(), "{chances:?}");
    assert!(chances[0] <= 5.0 && *chances.last().unwrap() >= 95.0);
    // Heat never falls, and the band holds its middle.
    let mut last = 0.0;
    for line in text
        .lines()
        .skip_while(|l| !l.contains(" wants "))
        .filter(|l| l.starts_with("202") && l.contains('('))
        .take_while(|l| !l.contains('%'))
    {
        let numbers: Vec<f64> = line
            .get(51..)
            .unwrap_or_default()
            .split(|c: char| !c.is_ascii_digit())
            .filter_map(|n| n.parse().ok())
            .collect();
        if let [middle, low, high] = numbers[..] {
            assert!(low <= middle && middle <= high, "{line}");
            assert!(middle >= last, "{line}");
            last = middle;
        }
    }
    assert!(last > 0.0, "{text}");
}
