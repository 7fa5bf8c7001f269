//! Doing a spray against a stop, skipping one, and doubting a look: by the real binary.

use crate::home::Home;
use std::fs;

/// A day in spring on which the last copper of the test hill is long too late.
const LATE: [&str; 4] = ["--season", "season.toml", "--on", "2016-04-10"];

fn with<'a>(args: &[&'a str], on: &[&'a str]) -> Vec<&'a str> {
    [args, on].concat()
}

/// UC and Washington State extension sheets (`sources::LEAF_CURL_BEFORE_SWELL`): copper against
/// leaf curl is over before swell.
#[test]
fn a_spray_against_a_stop_asks_why_and_keeps_the_judgement() {
    let (home, file) = Home::started();
    let before = fs::read_to_string(&file).unwrap();
    let refused = home.run(&with(&["finish", "last-copper"], &LATE));
    assert_eq!(refused.code, 2, "{}{}", refused.out, refused.err);
    for said in ["Nothing is written", "stop:", "do:", "--anyway"] {
        assert!(refused.err.contains(said), "{said}: {}", refused.err);
    }
    assert!(
        refused.err.lines().all(|l| l.chars().count() <= 80),
        "{}",
        refused.err
    );
    assert_eq!(fs::read_to_string(&file).unwrap(), before);
    // Without a record it is asked about just the same.
    let bare = home.run(&with(&["finish", "last-copper", "--no-record"], &LATE));
    assert_eq!(bare.code, 2, "{}", bare.out);
    assert_eq!(fs::read_to_string(&file).unwrap(), before);

    let why = "the north row was still tight";
    let done = home
        .run(&with(&["finish", "last-copper", "--anyway", why], &LATE))
        .fine();
    assert!(done.out.contains(why), "{}", done.out);
    let records = home.run(&with(&["check", "--records"], &LATE));
    assert!(records.out.contains("judged stop:"), "{}", records.out);
    assert!(records.out.contains(&format!("done anyway: {why}")));
    assert!(!records.out.contains("FLAW"), "{}", records.out);
    let json = home
        .run(&with(&["check", "--records", "--json"], &LATE))
        .json();
    let record = &json["records"][0]["record"];
    assert_eq!(record["anyway"], why);
    assert_eq!(record["judged"][0]["level"], "stop");
    let csv = home.run(&with(&["export", "csv"], &LATE)).fine();
    assert!(
        csv.out
            .lines()
            .next()
            .unwrap()
            .ends_with("judged,anyway,temperature_by_hours_c")
    );
    assert!(csv.out.contains(why));
}

#[test]
fn a_day_on_which_nothing_stopped_it_needs_no_reason() {
    let (home, _) = Home::started();
    let on = ["--season", "season.toml", "--on", "2015-11-28"];
    home.run(&with(&["finish", "first-copper"], &on)).fine();
    let json = home
        .run(&with(&["check", "--records", "--json"], &on))
        .fine()
        .json();
    assert!(json["records"][0]["record"].get("judged").is_none());
}

#[test]
fn more_than_the_label_allows_for_the_spray_used_is_a_stop_in_the_record_and_its_check() {
    let (home, file) = Home::started();
    let text = fs::read_to_string(&file).unwrap();
    // The starter's oil has no highest rate: its label gets one, as its owner would enter it.
    let oil = text
        .find("id = \"horticultural-oil\"")
        .or_else(|| text.find("id = \"oil\""))
        .expect("an oil");
    let rate = oil + text[oil..].find("rate = ").unwrap();
    let text = format!("{}rate_max = \"4 % v/v\"\n{}", &text[..rate], &text[rate..]);
    // The apples take 30 gal.
    let apple = text.find("id = \"apple\"").unwrap();
    let text = format!(
        "{}measured_volume = \"30 gal\"\n{}",
        &text[..apple],
        &text[apple..]
    );
    fs::write(&file, text).unwrap();
    let on = ["--season", "season.toml", "--on", "2016-03-05"];
    let task = "late-oil";
    // 30 gal's worth at 2 % v/v put into 9 gal.
    let used = home.run(&with(&["finish", task, "--used", "x=1 L"], &on));
    assert!(used.err.contains("the tank holds"), "{}", used.err);
    let id = used.err.split("the tank holds ").nth(1).unwrap();
    let id = id.split([',', ';']).next().unwrap().trim().to_owned();
    let args = ["finish", task, "--volume", "9 gal"];
    let refused = home.run(&with(&args, &on));
    assert_eq!(refused.code, 2, "{}", refused.out);
    assert!(
        refused.err.contains("above its label's highest rate"),
        "{}",
        refused.err
    );
    let used = format!("{id}=3 L");
    let args = [
        &args[..],
        &["--used", &used, "--anyway", "measured with the wrong jug"],
    ]
    .concat();
    home.run(&with(&args, &on)).fine();
    let checked = home.run(&with(&["check", "--records"], &on));
    assert_eq!(checked.code, 1, "{}", checked.out);
    assert!(
        checked.out.contains("STOP r1: over the label"),
        "{}",
        checked.out
    );
    let json = home
        .run(&with(&["check", "--records", "--json"], &on))
        .json();
    assert_eq!(json["over_label"][0]["record"], "r1");
    // What was used and what the mix sheet said, both.
    let material = &json["records"][0]["record"]["materials"][0];
    assert_eq!(material["total"], "3 L");
    assert!(material["by_sheet"].is_string(), "{material}");
    assert!(checked.out.contains("used ("), "{}", checked.out);
}

#[test]
fn why_a_task_was_skipped_is_told_in_the_review_the_page_and_the_next_plan() {
    let (home, file) = Home::started();
    let why = "no scale seen";
    let skip = ["finish", "late-oil", "--skipped", "--why", why];
    let said = home.run(&with(&skip, &LATE)).fine();
    assert!(
        said.out.contains(why) && said.out.contains("Still "),
        "{}",
        said.out
    );
    let without = home
        .run(&with(&["finish", "mummies", "--skipped"], &LATE))
        .fine();
    assert!(without.out.contains("--why"), "{}", without.out);
    let text = fs::read_to_string(&file).unwrap();
    assert!(text.contains(&format!("why = \"{why}\"")), "{text}");
    for args in [&["review"][..], &["export", "html"], &["export", "json"]] {
        let told = home.run(&with(args, &LATE));
        assert!(told.out.contains(why), "{args:?}: {}", told.out);
    }
    let next = home
        .run(&[
            "start",
            "--from",
            "season.toml",
            "--season",
            "next.toml",
            "--yes",
            "--on",
            "2016-08-01",
        ])
        .fine();
    assert!(
        next.out.contains(&format!("skipped on 2016-04-10: {why}")),
        "{}",
        next.out
    );
    assert!(next.out.contains("no reason was given"), "{}", next.out);
    let text = fs::read_to_string(home.path().join("next.toml")).unwrap();
    assert!(
        text.contains(&format!("2015-16: skipped on 2016-04-10: {why}")),
        "{text}"
    );
    // Reopened it is plain again.
    home.run(&with(&["finish", "late-oil", "--reopen"], &LATE))
        .fine();
    assert!(!fs::read_to_string(&file).unwrap().contains(why));
}

#[test]
fn the_answer_to_a_review_leaves_what_a_stop_forbids_and_says_so() {
    let (home, file) = Home::started();
    let review = home.run(&with(&["review", "--numbered"], &LATE));
    let line = review
        .out
        .lines()
        .find(|l| l.to_lowercase().contains("last copper"))
        .unwrap_or_else(|| panic!("{}", review.out));
    let number: String = line
        .trim()
        .chars()
        .take_while(char::is_ascii_digit)
        .collect();
    let code = review.out.split("Review code ").nth(1).unwrap();
    let code = code.split_whitespace().next().unwrap();
    let answer = home.path().join("answer.txt");
    let before = fs::read_to_string(&file).unwrap();
    fs::write(&answer, format!("{number} done\n> Review code {code}\n")).unwrap();
    let take = with(&["take", "answer.txt", "--yes"], &LATE);
    let left = home.run(&take).fine();
    assert!(
        left.out.contains("Left, ") && left.out.contains("--anyway"),
        "{}",
        left.out
    );
    assert!(left.out.contains("Taken, 0 of 1; 1 left"), "{}", left.out);
    assert!(
        !fs::read_to_string(&file).unwrap().contains("[[record]]"),
        "{before}"
    );
    fs::write(
        &answer,
        format!("{number} done anyway: North row was Tight\n> Review code {code}\n"),
    )
    .unwrap();
    home.run(&take).fine();
    let text = fs::read_to_string(&file).unwrap();
    assert!(text.contains("anyway = \"North row was Tight\""), "{text}");
}

#[test]
fn a_doubt_is_entered_listed_and_never_moves_the_last_safe_day_later() {
    let on = ["--season", "season.toml", "--on", "2016-02-20"];
    let last = |home: &Home| {
        let swell = home
            .run(&with(&["swell", "--block", "peach", "--json"], &on))
            .json();
        (
            swell["blocks"][0]["last_safe"].as_str().unwrap().to_owned(),
            swell,
        )
    };
    let (home, file) = Home::started();
    let wrong = home.run(&with(&["read", "buds", "51", "--how-many", "some"], &on));
    assert_eq!(wrong.code, 2);
    assert!(
        wrong.err.contains("all, most or first-few"),
        "{}",
        wrong.err
    );
    let (none, _) = last(&home);
    let args = [
        "read",
        "buds",
        "51",
        "--block",
        "peach",
        "--how-many",
        "first-few",
    ];
    let said = home.run(&with(&args, &on)).fine();
    assert!(
        said.out.contains("warning"),
        "what stays is told: {}",
        said.out
    );
    let (few, swell) = last(&home);
    assert!(few <= none, "{few} {none}");
    let look = &swell["blocks"][0]["looks"][0];
    assert_eq!(look["how_many"], "first few");
    assert!(
        fs::read_to_string(&file)
            .unwrap()
            .contains("how_many = \"first few\"")
    );
    let text = home.run(&with(&["swell", "--block", "peach"], &on)).fine();
    assert!(text.out.contains("the first few buds"), "{}", text.out);
    let (other, _) = Home::started();
    other
        .run(&with(&["read", "buds", "51", "--block", "peach"], &on))
        .fine();
    assert!(few <= last(&other).0, "no later than by a plain look");
    assert!(
        !fs::read_to_string(other.path().join("season.toml"))
            .unwrap()
            .contains("how_many")
    );
}

#[test]
fn a_gauge_is_told_beside_the_weather_on_file() {
    let (home, file) = Home::started();
    let days: Vec<String> = (20..30)
        .map(|d| format!("2015-11-{d},2.0,9.0,3.0"))
        .collect();
    fs::write(
        home.path().join("days.csv"),
        format!("date,tmin,tmax,rain_mm\n{}\n", days.join("\n")),
    )
    .unwrap();
    let on = ["--season", "season.toml", "--on", "2015-11-29"];
    home.run(&with(&["weather", "add", "days.csv"], &on)).fine();
    let said = home
        .run(&with(
            &["read", "rain", "40 mm", "--date", "2015-11-28"],
            &on,
        ))
        .fine();
    assert!(
        said.out
            .contains("Your gauge: 40.0 mm; by the weather on file 3.0 mm; the gauge"),
        "{}{}",
        said.out,
        fs::read_to_string(&file).unwrap()
    );
    let same = home
        .run(&with(
            &["read", "rain", "3 mm", "--date", "2015-11-27"],
            &on,
        ))
        .fine();
    assert!(!same.out.contains("Your gauge"), "{}", same.out);
}

#[test]
fn a_doubt_comes_by_an_answer_to_the_review_too() {
    let (home, file) = Home::started();
    let on = ["--season", "season.toml", "--on", "2016-02-20"];
    fs::write(
        home.path().join("answer.txt"),
        "peaches first few swelling\n",
    )
    .unwrap();
    let taken = home
        .run(&with(&["take", "answer.txt", "--yes"], &on))
        .fine();
    assert!(taken.out.contains("first few swelling"), "{}", taken.out);
    assert!(taken.out.contains("Still "), "{}", taken.out);
    assert!(
        fs::read_to_string(&file)
            .unwrap()
            .contains("how_many = \"first few\"")
    );
}
