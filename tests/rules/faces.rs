//! One standing of a task, read by every face: over generated seasons they all say the same.

use super::generated::make;
use barewood::domain::coverage::{Cover, grid};
use barewood::domain::mix::{Verdict, sheet};
use barewood::domain::outlook::{Estimates, Outlook, outlook_with};
use barewood::domain::review::{self, Surroundings};
use barewood::domain::rules::{Facts, Level, rule};
use barewood::domain::season::{Season, Task, TaskKind};
use barewood::domain::window::WindowState;
use barewood::report::calendar::{CalendarOf, ics};
use barewood::report::{check, due, plan, standing};
use barewood::tui::screen::board::standing::{Mark, Standings};
use chrono::{NaiveDate, NaiveTime, TimeDelta};
use proptest::prelude::*;
use serde_json::Value;
use std::cmp::Reverse;

struct Faces {
    outlook: Outlook,
    due: Value,
    check: Value,
    plan: Value,
    review: Value,
    calendar: String,
    board: Standings,
}

impl Faces {
    fn of(s: &Season, e: &Estimates, today: NaiveDate) -> Self {
        let outlook = outlook_with(s, e, None, today);
        let noon = today.and_time(NaiveTime::from_hms_opt(12, 0, 0).unwrap());
        let week = review::since(s, e, None, noon, Surroundings::default(), |_, _| e.clone());
        let calendar = ics(&CalendarOf {
            season: s,
            estimates: e,
            outlook: &outlook,
            fits: None,
            made: noon.and_utc(),
            before: None,
        });
        Self {
            due: due::json(s, &outlook, noon),
            check: read(&check::json(s, &outlook).unwrap()),
            plan: read(&plan::json(s, &outlook).unwrap()),
            review: read(&barewood::report::review::json(s, &week).unwrap()),
            calendar: calendar.replace("\r\n ", ""),
            board: Standings::of(s, Some(e), &outlook, today),
            outlook,
        }
    }

    /// What each face that names the task says of it.
    fn named(&self, task: &Task) -> Vec<(&'static str, &Value)> {
        let id = task.id.as_str();
        let mut said = Vec::new();
        for part in ["overdue", "today", "next"] {
            for row in self.due[part].as_array().unwrap() {
                if row["task"] == id {
                    said.push(("due", &row["standing"]));
                }
            }
        }
        for row in self.check["standings"].as_array().unwrap() {
            if row["task"] == id {
                said.push(("check", row));
            }
        }
        for lane in self.plan["lanes"].as_array().unwrap() {
            for row in lane["tasks"].as_array().unwrap() {
                if row["task"] == id {
                    said.push(("plan", &row["standing"]));
                }
            }
        }
        said
    }
}

fn read(json: &str) -> Value {
    serde_json::from_str(json).unwrap()
}

fn agree(s: &Season, e: &Estimates, today: NaiveDate, task: &Task) -> Result<(), TestCaseError> {
    let faces = Faces::of(s, e, today);
    let told = standing::json(&faces.outlook, &task.id);
    let named = faces.named(task);
    prop_assert!(named.len() >= 2, "{}: check and plan name it", task.id);
    for (face, says) in named {
        prop_assert_eq!(says, &told, "{}", face);
    }
    let stop = told["level"] == Level::Stop.words();
    let closed = told["state"] == WindowState::Closed.words();
    prop_assert!(stop || !closed, "closed is a stop: {told}");
    // The board's card.
    let card = faces.board.get(&task.id).unwrap();
    prop_assert_eq!(card.state.map(WindowState::words), told["state"].as_str());
    let days = |d: Option<NaiveDate>| d.map(|d| d.to_string());
    let text = |key: &str| told[key].as_str().map(str::to_owned);
    prop_assert_eq!(days(card.last_safe), text("last_safe"));
    prop_assert_eq!(days(card.opens), text("opens"));
    prop_assert_eq!(Mark::of(task, Some(card)) == Mark::Stop, stop);
    // The calendar.
    let title = format!("{} (STOP)", task.title);
    prop_assert_eq!(
        faces.calendar.contains(&title),
        stop,
        "calendar: {}",
        &title
    );
    if let Some(reason) = told["reason"].as_str().filter(|_| stop) {
        let first: String = reason
            .chars()
            .take_while(|c| !",;\\".contains(*c))
            .collect();
        prop_assert!(faces.calendar.contains(&first), "{first}");
    }
    // The review: no stop is left out.
    if stop {
        let risks = faces.review["risks"].as_array().unwrap();
        prop_assert!(
            risks
                .iter()
                .any(|r| r["warning"]["task"] == task.id.as_str()
                    && r["warning"]["level"] == Level::Stop.words()),
            "the review leaves out the stop on {}",
            task.id
        );
    }
    // The mix sheet's banner.
    if task.kind == TaskKind::Spray {
        let verdict = sheet(s, task, Some(e), today).verdict;
        let refused = matches!(verdict, Verdict::Refused | Verdict::NotAsPlanned);
        prop_assert_eq!(
            refused,
            stop,
            "the mix sheet of {} is {:?}",
            &task.id,
            verdict
        );
    }
    Ok(())
}

/// The headline: it counts the tasks as they stand, and names one that no other goes before.
fn headline(s: &Season, e: &Estimates, today: NaiveDate) -> Result<(), TestCaseError> {
    let outlook = outlook_with(s, e, None, today);
    let open = || s.tasks.iter().filter(|t| t.state.is_open());
    let level = |t: &Task| outlook.standing(&t.id).and_then(|told| told.level);
    let of = |wanted: Level| open().filter(|t| level(t) == Some(wanted)).count();
    prop_assert_eq!(outlook.stopped, of(Level::Stop));
    prop_assert_eq!(outlook.cautioned, of(Level::Caution));
    // How grave its reason is, and how near to what the tool is for.
    let rank = |t: &Task| {
        let reason = outlook.reason_of(&t.id)?;
        let family = rule(reason.rule)?.family;
        (reason.level >= Level::Caution).then_some((Reverse(reason.level), family))
    };
    let worst = outlook.worst_task(s);
    let first = open().filter_map(rank).min();
    prop_assert_eq!(worst.and_then(rank), first);
    Ok(())
}

/// An open spray is credited where its window is open for the target, and nowhere else.
fn covers(s: &Season, e: &Estimates, today: NaiveDate) -> Result<(), TestCaseError> {
    let facts = Facts::new(s, e, today);
    let on = |block: &str, target: &str, wanted: &dyn Fn(WindowState) -> bool| {
        facts.windows().purposes().iter().any(|p| {
            p.used.block.id.as_str() == block
                && p.used.task.state.is_open()
                && p.used.task.targets.iter().any(|t| t.as_str() == target)
                && wanted(p.window.state(facts.judged_on(p.used.task)))
        })
    };
    for cell in grid(s, e, today).rows {
        let (block, target) = (cell.block.as_str(), cell.target.as_str());
        match cell.state {
            Cover::Covered | Cover::Late => prop_assert!(
                on(block, target, &WindowState::is_open),
                "{target} on {block} is {:?} without an open window",
                cell.state
            ),
            _ => {}
        }
    }
    Ok(())
}

/// Moved a day later at a time, a closed window stays closed.
fn later(s: &Season, e: &Estimates, today: NaiveDate, task: &Task) -> Result<(), TestCaseError> {
    let mut was_closed = false;
    for days in [0, 3, 9, 20, 45, 90] {
        let mut moved = s.clone();
        let at = moved.tasks.iter_mut().find(|t| t.id == task.id).unwrap();
        at.date += TimeDelta::days(days);
        let outlook = outlook_with(&moved, e, None, today);
        let closed = outlook.standing(&task.id).and_then(|x| x.state) == Some(WindowState::Closed);
        prop_assert!(
            closed || !was_closed,
            "{} opens again {days} days on",
            task.id
        );
        was_closed = closed;
    }
    Ok(())
}

#[test]
fn every_face_says_the_same_of_a_task() {
    let mut runner = proptest::test_runner::TestRunner::new(ProptestConfig {
        cases: 150,
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(20_261_127),
        ..ProptestConfig::default()
    });
    let tape = proptest::collection::vec(any::<u16>(), 1000);
    runner
        .run(&tape, |tape| {
            let (mut s, e, today) = make(&tape);
            for task in &mut s.tasks {
                task.title = format!("Work {}", task.id);
            }
            for task in s.tasks.iter().filter(|t| t.state.is_open()) {
                agree(&s, &e, today, task)?;
                later(&s, &e, today, task)?;
            }
            headline(&s, &e, today)?;
            covers(&s, &e, today)
        })
        .unwrap_or_else(|e| panic!("{e}"));
}
