//! Records, review, exports and the years, each by the real binary.

use crate::home::Home;
use std::fs;

const ON: [&str; 4] = ["--season", "season.toml", "--on", "2015-11-28"];

fn with<'a>(args: &[&'a str]) -> Vec<&'a str> {
    [args, &ON[..]].concat()
}

/// A season with one spray finished by every option there is.
fn recorded() -> Home {
    let (home, _) = Home::started();
    let finish = [
        "finish",
        "first-copper",
        "--date",
        "2015-11-27",
        "--who",
        "A. Grower",
        "--licence",
        "12-345",
        "--supervisor",
        "B. Grower",
        "--started",
        "09:10",
        "--ended",
        "11:40",
        "--bbch",
        "97",
        "--reason",
        "leaf curl last year",
        "--volume",
        "40 L",
        "--wind",
        "2 m/s",
        "--wind-from",
        "NW",
        "--temperature",
        "8 C",
        "--humidity",
        "62",
        "--sky",
        "thin cloud",
        "--rain",
        "none",
        "--gear",
        "gloves",
        "--gear",
        "goggles",
        "--notices",
        "told the neighbour",
        "--leftover",
        "none",
        "--notes",
        "dry by two",
    ];
    let ran = home.run(&with(&finish)).fine();
    assert!(ran.out.contains("record r1"), "{}", ran.out);
    home
}

#[test]
fn every_option_of_finish_is_in_the_record() {
    let home = recorded();
    let checked = home.run(&with(&["check", "--records", "--json"])).fine();
    let answer = checked.json();
    let record = &answer["records"][0]["record"];
    for (key, wanted) in [
        ("who", "A. Grower"),
        ("licence", "12-345"),
        ("supervisor", "B. Grower"),
        ("started", "2015-11-27T09:10:00"),
        ("ended", "2015-11-27T11:40:00"),
        ("reason", "leaf curl last year"),
        ("volume", "40 L"),
        ("wind", "2 m/s"),
        ("wind_from", "NW"),
        ("temperature", "8 C"),
        ("sky", "thin cloud"),
        ("rain", "none"),
        ("notices", "told the neighbour"),
        ("leftover", "none"),
        ("notes", "dry by two"),
    ] {
        assert_eq!(record[key], wanted, "{key}");
    }
    assert_eq!(record["bbch"], 97);
    assert_eq!(record["humidity_percent"], 62.0);
    assert_eq!(record["gear"], serde_json::json!(["gloves", "goggles"]));
    assert_eq!(answer["flaws"].as_array().unwrap().len(), 0);
    let again = home.run(&with(&["finish", "first-copper"]));
    assert_eq!(again.code, 2, "{}", again.out);
    assert!(again.err.contains("r1"), "{}", again.err);
}

#[test]
fn a_block_is_entered_again_only_when_somebody_saw_it_dry() {
    let home = recorded();
    let checked = home.run(&with(&["check", "--records"])).fine();
    assert!(checked.out.contains("keep out"), "{}", checked.out);
    let nobody = home.run(&with(&["reenter", "r1", "--seen-by", " "]));
    assert_eq!(nobody.code, 2, "{}", nobody.out);
    let seen = with(&["reenter", "r1", "--seen-by", "A. Grower"]);
    let ran = home.run(&seen).fine();
    assert!(
        ran.out.contains("seen by A. Grower (record r2)"),
        "{}",
        ran.out
    );
    let after = home.run(&with(&["check", "--records"])).fine().out;
    let flat = after.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(!flat.contains("keep out"), "{flat}");
    assert!(flat.contains("corrects r1 (re-entry ended)"), "{flat}");
    let again = home.run(&seen);
    assert_eq!(again.code, 2, "{}", again.out);
}

#[test]
fn a_task_opened_again_takes_its_record_back_and_leaves_it_in_the_file() {
    let home = recorded();
    home.run(&with(&["finish", "first-copper", "--reopen"]))
        .fine();
    let checked = home.run(&with(&["check", "--records"])).fine();
    assert!(checked.out.contains("taken back by r2"), "{}", checked.out);
    let text = fs::read_to_string(home.path().join("season.toml")).unwrap();
    assert!(text.contains("taken_back = true") && text.contains("A. Grower"));
    home.run(&with(&["finish", "first-copper", "--who", "A. Grower"]))
        .fine();
    home.run(&with(&["check", "--records"])).fine();
}

#[test]
fn the_review_is_plain_for_mail_and_marked_by_done() {
    let home = recorded();
    let page = home.run(&with(&["review", "--plain"])).fine().out;
    assert!(
        page.contains("the first") && page.contains("1 done: Copper on bare wood"),
        "{page}"
    );
    let plain = home.run(&with(&["review", "--all", "--plain"])).fine().out;
    assert!(plain.lines().all(|l| l.chars().count() <= 80), "{plain}");
    assert!(
        plain.contains("the first of this season") && plain.contains("done Fri 27 Nov"),
        "{plain}"
    );
    let page = home.run(&with(&["review", "--markdown"])).fine().out;
    assert!(
        page.starts_with("# ") && page.contains("\n## Swell"),
        "{page}"
    );
    let done = home.run(&with(&["review", "--done"])).fine().out;
    assert!(done.contains("Marked as reviewed on 2015-11-28"), "{done}");
    let next = [
        "review",
        "--json",
        "--season",
        "season.toml",
        "--on",
        "2015-12-05",
    ];
    let next = home.run(&next).fine().json();
    assert_eq!(next["since"], "2015-11-28");
    assert!(next["swell"][0]["then"]["p50"].is_string(), "{next}");
}

#[test]
fn the_years_of_a_folder_stand_side_by_side_and_own_dates_are_judged() {
    let home = recorded();
    home.run(&[
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
    fs::write(home.path().join("notes.toml"), "shopping = \"twine\"\n").unwrap();
    let ran = home.run(&["history", "--season", "next.toml"]).fine();
    assert!(
        ran.out.contains("2015-16") && ran.out.contains("2016-17"),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("20 Feb"), "{}", ran.out);
    assert!(ran.err.contains("left out: notes.toml"), "{}", ran.err);
    assert!(
        ran.out.contains("temperatures are not on file"),
        "{}",
        ran.out
    );
    let named = home
        .run(&["history", "season.toml", "next.toml", "--json"])
        .fine()
        .json();
    assert_eq!(named["seasons"].as_array().unwrap().len(), 2);
    // The practice season has dates and temperatures: the error before and after is real.
    let practice = Home::new().run(&["history", "--json"]).fine().json();
    let peach = practice["own_dates"]
        .as_array()
        .unwrap()
        .iter()
        .find(|o| o["block"] == "peach")
        .unwrap();
    let (before, after) = (
        &peach["errors"]["rmse_days_before"],
        &peach["errors"]["rmse_days_after"],
    );
    assert!(before.as_f64().unwrap() > 0.0 && after.as_f64().unwrap() > 0.0);
    assert_ne!(before, after, "own dates change the answer");
    assert!(peach["dates"][0]["before"]["p10"].is_string());
}

#[test]
fn every_export_holds_what_it_should() {
    let home = recorded();
    let ics = home.run(&with(&["export", "ics"])).fine().out;
    assert!(ics.starts_with("BEGIN:VCALENDAR\r\n") && ics.ends_with("END:VCALENDAR\r\n"));
    assert!(ics.matches("BEGIN:VEVENT").count() > 3, "{ics}");
    let csv = home.run(&with(&["export", "csv"])).fine().out;
    let mut rows = csv.lines();
    assert!(rows.next().unwrap().starts_with("record,"), "{csv}");
    assert!(rows.next().unwrap().contains("A. Grower"), "{csv}");
    let materials = home.run(&with(&["export", "materials"])).fine().out;
    assert!(materials.contains("r1"), "{materials}");
    let page = home.path().join("season.html");
    let to = page.to_str().unwrap();
    home.run(&with(&["export", "html", "--to", to])).fine();
    let html = fs::read_to_string(&page).unwrap();
    assert!(html.contains("<svg") && html.contains("A. Grower"));
    let json = home.run(&with(&["export", "json"])).fine().json();
    assert!(json.as_object().unwrap().len() > 3, "{json}");
}

#[test]
fn shells_get_completions_and_a_manual() {
    let home = Home::new();
    let bash = home.run(&["shell", "completions", "bash"]).fine().out;
    assert!(bash.contains("BAREWOOD_COMPLETE=\"bash\""), "{bash}");
    let manual = home.run(&["shell", "manual"]).fine().out;
    assert!(
        manual.contains(".TH") && manual.contains("history"),
        "{manual}"
    );
}

#[test]
fn practice_records_are_as_they_were_written() {
    let ran = Home::new().run(&["check", "--records"]);
    assert_eq!(ran.code, 0, "{}", ran.out);
    assert!(!ran.out.contains("FLAW"), "{}", ran.out);
    assert!(ran.out.contains("1 sealed"), "{}", ran.out);
}
