//! The review on paper: one screen in a quiet week, nothing foreign becomes markup.

use crate::orchard::{day, estimates, season, time};
use crate::stepping;
use barewood::domain::review::{FitWindow, Short, Surroundings, mark, since};
use barewood::domain::season::{BlockId, MaterialId, Season, TaskId, TaskState, edit};
use barewood::report::review;
use unicode_width::UnicodeWidthStr;

fn six_blocks() -> Season {
    let mut s = season();
    for n in 3..=6 {
        let mut block = s.blocks[1].clone();
        block.id = BlockId::from(format!("row-{n}").as_str());
        block.name = format!("Row {n} behind the old house");
        s.blocks.push(block);
    }
    s.tasks.remove(0);
    mark(&s, &estimates(&s, "2027-03-10"), day("2027-01-10"))
}

#[test]
fn a_quiet_week_of_six_blocks_fits_one_screen() {
    let s = six_blocks();
    let around = Surroundings {
        windows: Some(vec![FitWindow {
            from: time("2027-01-18 11:00"),
            to: time("2027-01-18 15:00"),
            words: "9-12 C, wind 2-3 m/s".to_owned(),
        }]),
        ..Surroundings::default()
    };
    // Every block has its own estimate, so that none share a line.
    let spread = |s: &Season, _: chrono::NaiveDate| {
        let mut all = estimates(s, "2027-03-10");
        for (i, block) in all.blocks.iter_mut().enumerate() {
            let apart = day("2027-03-10") + chrono::TimeDelta::days(i as i64);
            block.swell = crate::orchard::around(&apart.to_string());
        }
        all
    };
    let now = time("2027-01-17 08:00");
    let r = since(&s, &spread(&s, now.date()), None, now, around, spread);
    assert!(r.is_quiet(), "{r:?}");
    let text = review::text(&s, &r);
    println!("{text}");
    assert!(text.lines().count() <= 24, "{} lines", text.lines().count());
    assert!(text.lines().all(|l| l.width() <= 80));
    assert!(
        text.contains("10 Mar (2 Mar-18 Mar)"),
        "a range beside every date"
    );
    assert!(text.contains("Mon 18 Jan 11:00-15:00 9-12 C"));
}

#[test]
fn a_busy_week_says_everything_within_eighty_columns() {
    let mut s = season();
    s.tasks[1].title = "Prune *the* <b>old</b> | row".to_owned();
    let s = mark(&s, &stepping(&s, day("2027-01-31")), day("2027-01-31"));
    let s = edit::set_state(
        &s,
        &TaskId::from("first-copper"),
        TaskState::Done(day("2027-02-01")),
    )
    .unwrap();
    let s = edit::move_task(&s, &TaskId::from("second-copper"), day("2027-03-06"), day("2027-02-02"), "rain all week, and then a long explanation that does not fit on any line of eighty columns").unwrap();
    let around = Surroundings {
        windows: Some(Vec::new()),
        short: vec![Short {
            material: MaterialId::from("oil"),
            words: "dormant oil: 3 gal wanted, 2 gal there".to_owned(),
        }],
        ..Surroundings::default()
    };
    let now = time("2027-02-07 08:00");
    let r = since(&s, &stepping(&s, now.date()), None, now, around, stepping);
    let text = review::text(&s, &r);
    println!("{text}");
    assert!(text.lines().all(|l| l.width() <= 80), "{text}");
    for words in [
        "First copper done Mon 1 Feb",
        "Second copper 20 Feb -> 6 Mar",
        "was due Wed 20 Jan, 18 d ago",
        "NEW ",
        "1 d earlier: weather seen -1 d",
        "Nothing   under noted, re-entry",
        "none in the forecast",
        "TOO LATE",
        "3 gal wanted",
        "no record",
        "buds of all blocks",
    ] {
        assert!(
            text.replace("\n          ", " ").contains(words),
            "{words} in\n{text}"
        );
    }
    let page = review::markdown(&s, &r);
    assert!(
        page.contains(r"Prune \*the\* \<b\>old\</b\> \| row"),
        "{page}"
    );
    let rows: Vec<&str> = page.lines().filter(|l| l.starts_with("| ")).collect();
    assert!(
        rows.len() >= 2 && rows.iter().all(|r| r.matches(" | ").count() == 4),
        "{rows:?}"
    );
    let value: serde_json::Value = serde_json::from_str(&review::json(&s, &r).unwrap()).unwrap();
    assert_eq!(value["since"], "2027-01-31");
    assert_eq!(value["moved"][0]["times"], 1);
    assert_eq!(value["swell"][0]["causes"][0]["days"], -1);
    assert_eq!(value["quiet"], false);
}

#[test]
fn without_any_estimate_or_task_it_still_says_so() {
    let mut s = season();
    s.tasks.clear();
    s.blocks.clear();
    let none = |_: &Season, _| barewood::domain::outlook::Estimates::default();
    let now = time("2027-02-07 08:00");
    let r = since(
        &s,
        &none(&s, now.date()),
        None,
        now,
        Surroundings::default(),
        none,
    );
    let text = review::text(&s, &r);
    assert!(
        text.contains("no estimate") && text.contains("no hourly forecast"),
        "{text}"
    );
}
