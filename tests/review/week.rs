//! What happened, what is due, what moved the estimate.

use crate::orchard::{day, of, season, time};
use crate::stepping;
use barewood::domain::review::{
    Cause, Review, Surroundings, last_reviewed, mark, season_as_of, since,
};
use barewood::domain::season::{
    BlockId, HowMany, Reading, Season, TargetId, TargetSeen, TaskId, TaskState, edit,
};

fn id(text: &str) -> TaskId {
    TaskId::from(text)
}

fn review(season: &Season, now: &str) -> Review {
    let now = time(now);
    since(
        season,
        &stepping(season, now.date()),
        None,
        now,
        Surroundings::default(),
        stepping,
    )
}

fn buds(date: &str, bbch: u8) -> Reading {
    Reading::Buds {
        date: day(date),
        bbch,
        blocks: Vec::new(),
        note: None,
        how_many: HowMany::All,
        photo: None,
    }
}

fn total(date: &str) -> Reading {
    Reading::DegreeDays {
        date: day(date),
        total: 40.0,
        base: of("43 F"),
        since: day("2027-01-01"),
        blocks: Vec::new(),
        note: None,
    }
}

/// Reviewed on 10 January; then things happen until the 17th.
fn week() -> Season {
    let s = season();
    let s = edit::set_state(&s, &id("first-copper"), TaskState::Done(day("2026-12-01"))).unwrap();
    let s = mark(&s, &stepping(&s, day("2027-01-10")), day("2027-01-10"));
    let s = edit::set_state(&s, &id("prune"), TaskState::Done(day("2027-01-12"))).unwrap();
    let s = edit::move_task(
        &s,
        &id("second-copper"),
        day("2027-02-22"),
        day("2027-01-13"),
        "rain",
    )
    .unwrap();
    let s = edit::move_task(
        &s,
        &id("second-copper"),
        day("2027-03-08"),
        day("2027-01-15"),
        "wind",
    )
    .unwrap();
    edit::add_reading(
        &edit::add_reading(&s, total("2027-01-14")),
        buds("2027-01-16", 0),
    )
}

#[test]
fn the_season_as_it_was_is_derived_from_its_own_history() {
    let now = week();
    let then = season_as_of(&now, day("2027-01-10"));
    assert_eq!(then.task(&id("prune")).unwrap().state, TaskState::Planned);
    assert_eq!(
        then.task(&id("first-copper")).unwrap().state,
        TaskState::Done(day("2026-12-01"))
    );
    assert_eq!(
        then.task(&id("second-copper")).unwrap().date,
        day("2027-02-20")
    );
    assert!(then.task(&id("second-copper")).unwrap().moved.is_empty());
    assert!(then.readings.is_empty());
    let between = season_as_of(&now, day("2027-01-13"));
    assert_eq!(
        between.task(&id("second-copper")).unwrap().date,
        day("2027-02-22")
    );
    assert_eq!(season_as_of(&now, day("2027-01-17")), now);
    let early = season_as_of(&now, day("2026-11-10"));
    assert_eq!(early.dates.leaf_drop_seen, None);
    assert_eq!(early.reviewed, []);
}

#[test]
fn lists_done_moved_and_new_risks() {
    let r = review(&week(), "2027-01-17 18:00");
    assert_eq!((r.since, r.first), (day("2027-01-10"), false));
    assert_eq!(r.finished.len(), 1);
    assert_eq!(r.finished[0].task, id("prune"));
    assert_eq!(r.moved.len(), 1);
    let moved = &r.moved[0];
    assert_eq!(
        (moved.from, moved.to),
        (day("2027-02-20"), day("2027-03-08"))
    );
    assert_eq!((moved.times, moved.times_in_all), (2, 2));
    assert_eq!(moved.why, ["rain", "wind"]);
    // The move put the spray where the buds may already swell.
    let new: Vec<&str> = r
        .risks
        .iter()
        .filter(|x| x.is_new)
        .map(|x| x.warning.rule)
        .collect();
    assert!(new.contains(&"too-close-to-swell"), "{new:?}");
    assert!(!r.is_quiet());
    assert_eq!(r.readings.len(), 2);
    // A week on, reviewed again: that warning is no longer news, and stays on the list.
    let s = week();
    let s = mark(&s, &stepping(&s, day("2027-01-17")), day("2027-01-17"));
    let r = review(&s, "2027-01-24 18:00");
    assert!(
        r.risks
            .iter()
            .all(|x| !x.is_new || x.warning.rule != "too-close-to-swell")
    );
    assert!(
        r.risks
            .iter()
            .any(|x| x.warning.rule == "too-close-to-swell")
    );
    assert!(r.moved.is_empty());
}

#[test]
fn what_falls_due_comes_from_the_dates() {
    let s = season();
    let r = review(&s, "2027-01-21 08:00");
    assert!(r.first);
    assert_eq!(r.since, s.starts());
    let late: Vec<&str> = r.overdue.iter().map(|t| t.task.as_str()).collect();
    assert_eq!(late, ["first-copper", "prune"]);
    let r = review(&s, "2027-02-14 08:00");
    let next: Vec<&str> = r.next.iter().map(|t| t.task.as_str()).collect();
    assert_eq!(next, ["second-copper"]);
}

// The steps of the made-up estimate are known: a week of weather −1 d, a total −2 d, a look −1 d.
#[test]
fn the_change_of_the_estimate_is_told_by_cause_and_adds_up() {
    let r = review(&week(), "2027-01-17 18:00");
    assert_eq!(r.swell.len(), 2);
    let change = &r.swell[0];
    assert_eq!(
        change.causes,
        [Cause::Weather(-1), Cause::Readings(-2), Cause::Buds(-1)]
    );
    assert_eq!(change.days(), Some(-4));
    assert_eq!(change.causes.iter().map(|c| c.days()).sum::<i64>(), -4);
    assert_eq!(change.then.unwrap().p50, day("2027-03-09"));
    assert!(change.now.p10 < change.now.p50 && change.now.p50 < change.now.p90);
}

#[test]
fn names_windows_that_close() {
    let s = season();
    // Swell is likely about 3 March by then; tolerance 10 %, guard 3 days.
    let r = review(&s, "2027-02-07 08:00");
    let c = r
        .closing
        .iter()
        .find(|c| c.target == TargetId::from("leaf-curl"))
        .unwrap();
    assert_eq!(c.block, BlockId::from("peaches"));
    assert_eq!(c.days_left, (c.last_safe - day("2027-02-07")).num_days());
    assert_eq!(c.planned, Some(day("2027-02-20")));
    assert!(r.closing.iter().all(|c| c.block != BlockId::from("apples")));
    // Once the spray before swell is done, nothing closes any more.
    let s = edit::set_state(&s, &id("second-copper"), TaskState::Done(day("2027-02-06"))).unwrap();
    assert!(review(&s, "2027-02-07 08:00").closing.is_empty());
}

// Leaf curl lives on peach and nectarine alone (UC IPM; UC Master Gardeners of apricot).
#[test]
fn a_target_closes_only_where_it_lives() {
    let mut s = season();
    s.tasks[2].blocks.clear();
    let r = review(&s, "2027-02-07 08:00");
    assert!(!r.closing.is_empty());
    assert!(
        r.closing
            .iter()
            .all(|c| c.block == BlockId::from("peaches")),
        "{:?}",
        r.closing
    );
}

#[test]
fn marking_notes_the_estimate_of_the_day_once() {
    let s = season();
    let s = mark(&s, &stepping(&s, day("2027-01-10")), day("2027-01-10"));
    let s = mark(&s, &stepping(&s, day("2027-01-10")), day("2027-01-10"));
    assert_eq!(s.reviewed, [day("2027-01-10")]);
    assert_eq!(s.estimates_noted.len(), 2);
    assert_eq!(s.estimates_noted[0].p50, day("2027-03-09"));
    assert_eq!(
        last_reviewed(&s, day("2027-01-17")),
        (day("2027-01-10"), false)
    );
    // Looked at from before it, there was no review yet.
    assert!(last_reviewed(&s, day("2027-01-09")).1);
}

#[test]
fn sends_the_grower_into_the_orchard_for_what_matters_now() {
    let what = |s: &Season, now: &str| -> Vec<String> {
        review(s, now)
            .look
            .iter()
            .map(|l| format!("{}: {}", l.what, l.how))
            .collect()
    };
    let has = |list: &[String], word: &str| list.iter().any(|l| l.contains(word));
    let mut s = season();
    assert!(
        !has(&what(&s, "2026-12-20 08:00"), "buds of"),
        "far from swell"
    );
    let near = what(&s, "2027-02-14 08:00");
    assert!(has(&near, "buds of all blocks"), "{near:?}");
    assert!(has(&near, "51 swelling"), "{near:?}");
    // Looked at yesterday: not again today.
    s.readings.push(buds("2027-02-13", 0));
    assert!(!has(&what(&s, "2027-02-14 08:00"), "buds of"));
    // Swelling seen: the next stage is green tip.
    s.readings.push(buds("2027-02-20", 51));
    assert!(has(&what(&s, "2027-02-27 08:00"), "53 green tip"));
    // Scale was seen on the apples: the spurs are looked at, until counted this season.
    let seen = |season: &str, count| TargetSeen {
        target: TargetId::from("scale"),
        season: season.to_owned(),
        count,
        of: Some(20.0),
        note: None,
    };
    s.blocks[1].seen.push(seen("2025-26", Some(6.0)));
    assert!(has(
        &what(&s, "2027-01-10 08:00"),
        "scale on Apple row: 2-3 inner spurs"
    ));
    s.blocks[1].seen.push(seen("2026-27", Some(0.0)));
    assert!(!has(&what(&s, "2027-01-10 08:00"), "inner spurs"));
    // Leaves are watched until they are seen down.
    s.dates.leaf_drop_seen = None;
    assert!(has(&what(&s, "2026-11-15 08:00"), "leaves of all blocks"));
    s.dates.leaf_drop_seen = Some(day("2026-11-22"));
    assert!(!has(&what(&s, "2026-11-25 08:00"), "leaves"));
}

#[test]
fn a_spray_without_a_record_is_incomplete() {
    let s = week();
    let r = review(&s, "2027-01-17 18:00");
    assert_eq!(r.incomplete.len(), 1);
    assert_eq!(r.incomplete[0].task, Some(id("first-copper")));
    assert!(r.flaws.is_empty());
}
