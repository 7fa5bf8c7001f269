//! `due --new` and `due --run`: each thing is said once.

use crate::home::Home;
use std::fs;

fn season(home: &Home, args: &[&str], day: &str) -> crate::home::Ran {
    home.run(&[args, &["--season", "season.toml", "--on", day]].concat())
}

#[test]
fn what_was_said_is_not_said_again_until_it_is_news() {
    let (home, _) = Home::started();
    let all = season(&home, &["due"], "2015-12-01").out;
    assert!(!all.is_empty());
    let first = season(&home, &["due", "--new"], "2015-12-01").out;
    assert_eq!(first, all);
    let again = season(&home, &["due", "--new"], "2015-12-01");
    assert_eq!(again.out, "");
    // Said plainly it is said whole, and takes nothing from what is new.
    assert_eq!(season(&home, &["due"], "2015-12-01").out, all);
    // A week on other things are due, and what was due is overdue: both are news.
    let later = season(&home, &["due", "--new"], "2015-12-20").out;
    assert!(later.contains("OVERDUE"), "{later}");
}

#[cfg(unix)]
#[test]
fn each_new_thing_is_handed_to_a_program_once() {
    let (home, _) = Home::started();
    let all = season(&home, &["due"], "2015-12-01").out;
    let things = all
        .lines()
        .filter(|l| l.starts_with("  2") || l.contains('('))
        .count();
    let run = "cat >> heard; echo \"$BAREWOOD_PART $BAREWOOD_ID\" >> parts";
    season(&home, &["due", "--run", run], "2015-12-01");
    let heard = fs::read_to_string(home.path().join("heard")).unwrap();
    let parts = fs::read_to_string(home.path().join("parts")).unwrap();
    assert!(parts.lines().count() <= things && parts.lines().count() > 0);
    let told = heard.lines().filter(|l| !l.starts_with(' ')).count();
    assert_eq!(told, parts.lines().count());
    for line in parts.lines() {
        let (part, id) = line.split_once(' ').unwrap();
        assert!(
            ["keep-out", "overdue", "today", "next"].contains(&part),
            "{line}"
        );
        assert!(all.contains(&format!("({id})")), "{line}");
    }
    season(&home, &["due", "--run", run], "2015-12-01");
    assert_eq!(
        fs::read_to_string(home.path().join("heard")).unwrap(),
        heard
    );
}

#[cfg(unix)]
#[test]
fn what_a_program_failed_on_is_new_again() {
    let (home, _) = Home::started();
    let failed = season(&home, &["due", "--run", "exit 7"], "2015-12-01");
    assert_eq!(failed.code, 3);
    assert!(failed.err.contains("kept as new"), "{}", failed.err);
    season(&home, &["due", "--run", "cat >> heard"], "2015-12-01");
    assert!(home.path().join("heard").exists());
}

/// A text of the season file is data: it runs nothing.
#[cfg(unix)]
#[test]
fn a_title_runs_nothing() {
    let (home, file) = Home::started();
    let text = fs::read_to_string(&file).unwrap();
    let at = text.find("[[task]]").unwrap();
    let (head, tasks) = text.split_at(at);
    let title = tasks.lines().find(|l| l.starts_with("title")).unwrap();
    let tasks = tasks.replacen(
        title,
        "title = \"a `touch ran` $(touch ran) '; touch ran\"",
        1,
    );
    fs::write(&file, format!("{head}{tasks}")).unwrap();
    season(&home, &["due", "--run", "cat >> heard"], "2016-01-20");
    assert!(home.path().join("heard").exists());
    assert!(!home.path().join("ran").exists());
}

#[test]
fn due_says_where_to_keep_out() {
    let home = Home::new();
    // The practice season's first copper was on 28 Nov, and nobody saw it dry that day.
    let answer = home.run(&["due", "--json", "--on", "2027-02-08"]).json();
    assert!(answer["keep_out"].is_array());
    let (home, _) = Home::started();
    let text = fs::read_to_string(home.path().join("season.toml")).unwrap();
    let spray = text
        .split("[[task]]")
        .find(|t| t.contains("kind = \"spray\"") && t.contains("mix"))
        .unwrap();
    let id = spray
        .lines()
        .find_map(|l| l.strip_prefix("id = \""))
        .unwrap();
    let id = id.trim_end_matches('"');
    season(&home, &["finish", id, "--ended", "11:00"], "2015-12-01").fine();
    let due = season(&home, &["due"], "2015-12-01").out;
    assert!(due.starts_with("KEEP OUT\n"), "{due}");
    let answer = season(&home, &["due", "--json"], "2015-12-01").json();
    let rows = answer["keep_out"].as_array().unwrap();
    assert_eq!(
        crate::home::keys(&rows[0]),
        ["record", "blocks", "until", "until_dry"]
    );
}
