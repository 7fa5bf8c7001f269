//! A review goes out as mail and a line comes back.

use crate::home::{Home, Ran};
use std::fs;

const SEASON: [&str; 4] = ["--season", "season.toml", "--on", "2015-12-01"];

fn run(home: &Home, args: &[&str]) -> Ran {
    home.run(&[args, &SEASON].concat())
}

/// The review that went out, and an answer to it in a file.
fn answered(home: &Home, review: &str, line: &str) {
    let quoted = format!("> {}\n", review.trim_end().replace('\n', "\n> "));
    let mail = format!("{line}\n\nOn Tue 1 Dec the shed wrote:\n{quoted}");
    fs::write(home.path().join("answer"), mail).unwrap();
}

#[test]
fn an_answer_is_shown_first_and_then_taken_whole() {
    let (home, file) = Home::started();
    let review = run(&home, &["review", "--numbered"]).fine().out;
    assert!(
        review.contains("1. ") && review.contains("Review code 2015-12-01-"),
        "{review}"
    );
    assert!(review.lines().all(|l| l.chars().count() <= 80), "{review}");
    let before = fs::read_to_string(&file).unwrap();
    answered(&home, &review, "1 +2d; peaches tight; reviewed");
    let shown = run(&home, &["take", "answer"]).fine().out;
    assert!(
        shown.contains("->") && shown.contains("BBCH 0") && shown.contains("--yes"),
        "{shown}"
    );
    assert_eq!(fs::read_to_string(&file).unwrap(), before, "shown only");
    let taken = run(&home, &["take", "answer", "--yes"]).fine().out;
    assert!(taken.contains("Taken, 3 in all."), "{taken}");
    let after = fs::read_to_string(&file).unwrap();
    assert!(
        after.contains("by answer to the review") && after.contains("peaches tight"),
        "{after}"
    );
    let log = run(&home, &["review", "--plain"]).fine().out;
    assert!(log.contains("since Tue 1 Dec"), "{log}");
}

#[test]
fn a_spray_that_is_done_gets_its_record() {
    let (home, file) = Home::started();
    let review = run(&home, &["review", "--numbered"]).fine().out;
    let spray = review
        .lines()
        .find(|l| {
            l.to_lowercase().contains("copper") && l.trim_start().starts_with(char::is_numeric)
        })
        .unwrap()
        .trim_start()
        .split('.')
        .next()
        .unwrap()
        .to_owned();
    answered(&home, &review, &format!("{spray} done"));
    run(&home, &["take", "answer", "--yes"]).fine();
    assert!(fs::read_to_string(&file).unwrap().contains("[[record]]"));
}

#[test]
fn one_part_that_is_not_understood_refuses_all() {
    let (home, file) = Home::started();
    let review = run(&home, &["review", "--numbered"]).fine().out;
    let before = fs::read_to_string(&file).unwrap();
    for (line, why) in [
        ("1 +2d; 99 done", "no number 99"),
        ("1 +2d; plums tight", "no block 'plums'"),
        ("reviewed; hello there", "not understood"),
        ("1 done tomorrow", "after today"),
        ("", "no line of its own"),
    ] {
        answered(&home, &review, line);
        let ran = run(&home, &["take", "answer", "--yes"]);
        assert_eq!(ran.code, 2, "{line}: {}", ran.out);
        assert!(ran.err.contains(why), "{line}: {}", ran.err);
        assert_eq!(fs::read_to_string(&file).unwrap(), before, "{line}");
    }
    // Another review's code is not guessed at.
    let other = review.replace("2015-12-01-", "2015-11-01-");
    answered(&home, &other, "1 done");
    let ran = run(&home, &["take", "answer", "--yes"]);
    assert!(ran.err.contains("did not go out from here"), "{}", ran.err);
}

/// Numbers are those of the review its writer saw, also when the plan has changed since.
#[test]
fn an_old_answer_means_the_old_list() {
    let (home, file) = Home::started();
    let first = run(&home, &["review", "--numbered"]).fine().out;
    let title = first
        .lines()
        .find(|l| l.trim_start().starts_with("1."))
        .unwrap()
        .to_owned();
    answered(&home, &first, "1 skipped");
    home.run(&[
        "review",
        "--numbered",
        "--season",
        "season.toml",
        "--on",
        "2016-02-20",
    ])
    .fine();
    let shown = run(&home, &["take", "answer"]).fine().out;
    let task = shown.split(':').next().unwrap();
    let words = task
        .split_whitespace()
        .take(2)
        .collect::<Vec<_>>()
        .join(" ");
    assert!(title.contains(&words), "{title} / {shown}");
    assert!(!fs::read_to_string(&file).unwrap().contains("skipped = "));
}
