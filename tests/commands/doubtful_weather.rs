//! Weather that is not of this orchard, or that leaves something open: told, refused or asked,
//! never taken without a word. And where there is none of its own, every face says so.

use crate::home::{Home, Ran};
use std::fmt::Write as _;
use std::fs;

const ON: [&str; 4] = ["--season", "s.toml", "--on", "2026-12-20"];

/// An orchard near Lake Ontario, laid out as `start` does it.
fn lake() -> Home {
    let home = Home::new();
    home.run(&[
        "start",
        "--yes",
        "--place",
        "Rochester, New York",
        "--block",
        "peach::6",
        "--leaf-drop",
        "2026-11-12",
        "--season",
        "s.toml",
        "--on",
        "2026-11-12",
    ])
    .fine();
    home
}

fn run(home: &Home, args: &[&str]) -> Ran {
    home.run(&[args, &ON].concat())
}

/// Means by month, °C: about those of the lake, and of the other side of the world.
const LAKE: [f64; 12] = [
    -4.0, -3.5, 1.0, 8.0, 14.0, 19.0, 22.0, 21.0, 17.0, 10.5, 5.0, -1.5,
];
const SYDNEY: [f64; 12] = [
    23.0, 23.0, 21.5, 18.5, 15.5, 13.0, 12.0, 13.5, 16.0, 18.0, 20.0, 22.0,
];

/// Days that end on 19 December 2026, `moved` warmer than a climate; with `head` for a first line.
fn table(home: &Home, name: &str, head: &str, means: &[f64; 12], moved: f64, count: u64) {
    let last: chrono::NaiveDate = "2026-12-19".parse().unwrap();
    let mut text = format!("{head}\n");
    for back in (0..count).rev() {
        let date = last - chrono::Days::new(back);
        let mean = means[chrono::Datelike::month0(&date) as usize] + moved;
        let _ = writeln!(text, "{date},{:.1},{:.1}", mean - 5.0, mean + 5.0);
    }
    fs::write(home.path().join(name), text).unwrap();
}

const PLAIN: &str = "date,tmin_c,tmax_c";

fn season(home: &Home) -> String {
    fs::read_to_string(home.path().join("s.toml")).unwrap()
}

/// The days of its tasks.
fn plan(home: &Home) -> Vec<String> {
    let text = season(home);
    let days = text.lines().filter(|l| l.starts_with("date = "));
    days.map(str::to_owned).collect()
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn one_day_of_elsewhere_is_refused_and_the_plan_stays() {
    let home = lake();
    let before = season(&home);
    table(&home, "one.csv", PLAIN, &SYDNEY, 0.0, 1);
    let ran = run(&home, &["weather", "add", "one.csv"]);
    assert_eq!(ran.code, 2, "{}", ran.out);
    assert!(
        ran.err
            .contains("the one day is 24 °C warmer than normal here"),
        "{}",
        ran.err
    );
    table(&home, "forty.csv", PLAIN, &SYDNEY, 0.0, 40);
    let ran = run(&home, &["weather", "add", "forty.csv"]);
    assert_eq!(ran.code, 2, "{}", ran.out);
    assert!(ran.err.contains("of another place?"), "{}", ran.err);
    assert_eq!(season(&home), before);
    // Meant all the same it is taken.
    run(&home, &["weather", "add", "one.csv", "--anyway"]).fine();
}

#[test]
fn two_stations_apart_are_told_with_both_means_and_lay_out_no_plan() {
    let home = lake();
    table(&home, "own.csv", PLAIN, &LAKE, 0.0, 1500);
    let own = run(&home, &["weather", "add", "own.csv"]).fine().out;
    assert!(flat(&own).contains("laid out anew"), "{own}");
    let before = plan(&home);
    table(&home, "other.csv", PLAIN, &LAKE, 6.0, 1500);
    let ran = run(&home, &["weather", "add", "other.csv"]).fine().out;
    let told = flat(&ran);
    assert!(
        told.contains("on 1500 days that both have they differ by 6.0 °C on the mean"),
        "{ran}"
    );
    assert!(told.contains("The plan was left as it is"), "{ran}");
    assert!(ran.lines().all(|l| l.chars().count() <= 80), "{ran}");
    assert_eq!(plan(&home), before);
    // Whoever means it gets the plan that follows.
    run(&home, &["weather", "remove", "other.days"]).fine();
    assert_eq!(plan(&home), before);
    let meant = run(&home, &["weather", "add", "other.csv", "--anyway"]);
    let meant = meant.fine().out;
    assert!(flat(&meant).contains("laid out anew"), "{meant}");
    assert_ne!(plan(&home), before);
}

/// A table whose rain has no unit; half a unit fell every day.
fn with_rain(home: &Home, name: &str, head: &str, row: impl Fn(chrono::NaiveDate, f64) -> String) {
    let last: chrono::NaiveDate = "2026-12-19".parse().unwrap();
    let mut text = format!("{head}\n");
    for back in (0..400).rev() {
        let date = last - chrono::Days::new(back);
        let mean = LAKE[chrono::Datelike::month0(&date) as usize];
        let _ = writeln!(text, "{}", row(date, mean));
    }
    fs::write(home.path().join(name), text).unwrap();
}

#[test]
fn rain_without_a_unit_is_told_and_beside_whole_fahrenheit_it_is_inches() {
    let home = lake();
    with_rain(
        &home,
        "bare.csv",
        "date,tmin_c,tmax_c,precipitation",
        |date, c| format!("{date},{:.1},{:.1},0.5", c - 5.0, c + 5.0),
    );
    let ran = run(&home, &["weather", "add", "bare.csv"]).fine().out;
    assert!(
        flat(&ran).contains("rain: not taken: nothing names the unit of precipitation"),
        "{ran}"
    );
    // The US archive's order form names no unit; its rain goes with its temperatures.
    let home = lake();
    with_rain(
        &home,
        "order.csv",
        "STATION,NAME,DATE,TMAX,TMIN,PRCP",
        |date, c| {
            let f = c * 1.8 + 32.0;
            format!(
                "USW00014768,\"HERE, US\",{date},{:.0},{:.0},0.50",
                f + 9.0,
                f - 9.0
            )
        },
    );
    let ran = run(&home, &["weather", "add", "order.csv"]).fine().out;
    assert!(ran.contains("unit: °F"), "{ran}");
    assert!(flat(&ran).contains("rain = PRCP"), "{ran}");
    assert!(!ran.contains("not taken"), "{ran}");
    // Half an inch a day is 12.7 mm by definition: eleven days of it are 5.5 inches on the copper.
    let finish = [
        "finish",
        "first-copper",
        "--volume",
        "5 gal",
        "--who",
        "A. Grower",
        "--started",
        "09:00",
        "--ended",
        "10:00",
        "--anyway",
        "the label was read",
        "--season",
        "s.toml",
        "--on",
        "2026-12-09",
    ];
    home.run(&finish).fine();
    let check = run(&home, &["check", "--all"]).out;
    let said = flat(&check);
    assert!(said.contains("5.50 in (by daily rain"), "{check}");
}

#[test]
fn every_face_that_shows_dates_of_swell_says_what_they_rest_on() {
    let home = lake();
    for args in [
        &["check"][..],
        &["due"],
        &["plan"],
        &["review"],
        &["swell"],
        &["farm"],
        &["coverage"],
        &["mix", "last-copper"],
        &["mix", "last-copper", "--html"],
        &["mix", "last-copper", "--json"],
        &["coverage", "--json"],
        &["export", "json"],
        &["export", "ics"],
        &["export", "html"],
        &["sheet", "wall"],
        &["review", "--markdown"],
    ] {
        let ran = run(&home, args);
        assert!(ran.code < 2, "{args:?}: {}", ran.err);
        // Calendars fold their lines.
        let said = flat(
            &ran.out
                .replace("\r\n ", "")
                .replace("&#x27;", "'")
                .replace("&#39;", "'"),
        );
        assert!(
            said.contains("area's normal weather"),
            "{args:?}: {}",
            ran.out
        );
    }
    let es = run(&home, &["sheet", "wall", "--language", "es"]);
    assert!(
        flat(&es.out).contains("tiempo normal de la zona"),
        "{}",
        es.out
    );
}
