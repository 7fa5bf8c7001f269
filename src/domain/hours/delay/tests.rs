use super::*;
use crate::domain::climate::hourly_series::Hour;
use crate::domain::hours::testing::{
    air_of, block, copper, date, fair, material, oil, season_with, spray,
};
use crate::domain::hours::verdict::Fit;
use crate::domain::outlook::BlockEstimate;
use crate::domain::phenology::distribution::StageDate;
use crate::domain::season::{KeepApart, Label, Reentry, TaskKind};
use crate::domain::units::Span;

/// Ten days from local midnight of 9 February 2026, all fair.
fn fair_days(days: usize) -> Vec<Hour> {
    vec![fair(); days * 24]
}

fn rain_on(hours: &mut [Hour], day: usize) {
    for hour in &mut hours[day * 24..(day + 1) * 24] {
        hour.rain_mm = Some(0.6);
    }
}

/// Swell certain on one day.
fn swells(on: &str) -> Estimates {
    let sure = |day: &str| StageDate::new(date(day), [1.0]);
    Estimates {
        blocks: vec![BlockEstimate {
            block: crate::domain::season::BlockId::from("peach"),
            swell: sure(on),
            burst: sure("2026-04-01"),
            bloom: sure("2026-04-10"),
            seen: None,
            few: Vec::new(),
        }],
        ..Estimates::default()
    }
}

fn ask(task: &str, scope: DelayScope) -> Request {
    Request {
        task: TaskId::from(task),
        scope,
        // Six in the morning of 10 February at the orchard.
        from: "2026-02-10T14:00:00Z".parse().unwrap(),
        days: 20,
    }
}

fn task_on(id: &str, mix: &[&str], day: &str) -> Task {
    Task {
        date: date(day),
        ..spray(id, mix)
    }
}

fn to(plan: &Plan, id: &str) -> NaiveDate {
    plan.places
        .iter()
        .find(|p| p.task.as_str() == id)
        .unwrap()
        .to
        .unwrap()
}

#[test]
fn rain_moves_a_copper_to_the_first_day_dry_on_both_sides() {
    let mut season = season_with(vec![copper("copper")]);
    season.tasks = vec![task_on("t", &["copper"], "2026-02-10")];
    let mut hours = fair_days(10);
    rain_on(&mut hours, 1);
    let air = air_of(hours);
    let proposal = propose(
        &season,
        &swells("2026-03-20"),
        &air,
        &ask("t", DelayScope::One),
    )
    .unwrap();
    let best = proposal.best.unwrap();
    // Rain to midnight of the 10th; 24 dry hours end at midnight of the 11th.
    assert_eq!(to(&best, "t"), date("2026-02-12"));
    assert_eq!(best.places[0].fit, Some(Fit::Fit));
    assert!(best.places[0].hour.is_some_and(|h| (7..17).contains(&h)));
    assert!(best.gives.is_empty() && best.headline().is_empty());
    let after = best.apply(&season, date("2026-02-10"), "rain").unwrap();
    let task = after.task(&TaskId::from("t")).unwrap();
    assert_eq!(
        (task.date, task.hour),
        (date("2026-02-12"), best.places[0].hour)
    );
    assert_eq!(task.moved.len(), 1);
}

#[test]
fn the_label_interval_pushes_what_follows_but_no_further_than_needed() {
    let mut copper = copper("copper");
    copper.label.interval = Some(Span::Days(7.0));
    let mut season = season_with(vec![copper]);
    season.tasks = vec![
        task_on("first", &["copper"], "2026-02-10"),
        task_on("second", &["copper"], "2026-02-17"),
    ];
    let mut hours = fair_days(16);
    rain_on(&mut hours, 1);
    let air = air_of(hours);
    let estimates = swells("2026-03-20");
    let all = propose(
        &season,
        &estimates,
        &air,
        &ask("first", DelayScope::AllThatFollow),
    )
    .unwrap();
    let best = all.best.unwrap();
    assert_eq!(to(&best, "first"), date("2026-02-12"));
    assert_eq!(to(&best, "second"), date("2026-02-19"));
    // Alone, the first one may not come within seven days of the second, which stays.
    let one = propose(&season, &estimates, &air, &ask("first", DelayScope::One)).unwrap();
    if let Some(plan) = &one.best {
        assert!((to(plan, "first") - date("2026-02-17")).num_days().abs() >= 7);
    }
}

#[test]
fn actives_are_kept_apart_by_label_and_by_practice() {
    let mut captan = material("captan", "captan");
    captan.label = Label {
        keep_apart: vec![KeepApart {
            active: "oil".to_owned(),
            days: 10,
        }],
        ..Label::default()
    };
    let mut season = season_with(vec![
        oil("oil"),
        captan,
        material("sulfur", "wettable sulfur"),
    ]);
    season.tasks = vec![
        task_on("t", &["oil"], "2026-02-10"),
        task_on("done", &["captan"], "2026-02-03"),
    ];
    season.tasks[1].state = crate::domain::season::TaskState::Done(date("2026-02-03"));
    let air = air_of(fair_days(30));
    let estimates = swells("2026-03-30");
    let best = propose(&season, &estimates, &air, &ask("t", DelayScope::One))
        .unwrap()
        .best
        .unwrap();
    assert_eq!(to(&best, "t"), date("2026-02-13"));
    // Common practice keeps oil 30 days from sulfur where the place is not known; with that to give on there is a choice.
    season.tasks[1].mix[0].material = "sulfur".into();
    let proposal = propose(&season, &estimates, &air, &ask("t", DelayScope::One)).unwrap();
    assert_eq!(proposal.best.map(|p| to(&p, "t")), Some(date("2026-03-05")));
    let short = air_of(fair_days(7));
    let proposal = propose(&season, &estimates, &short, &ask("t", DelayScope::One)).unwrap();
    assert!(proposal.best.is_none());
    let headlines: Vec<String> = proposal.choices.iter().map(Plan::headline).collect();
    assert!(
        headlines.iter().any(|h| h.contains("another active")),
        "{headlines:?}"
    );
}

#[test]
fn the_last_safe_day_is_never_passed() {
    let mut season = season_with(vec![copper("copper")]);
    season.tasks = vec![task_on("t", &["copper"], "2026-02-10")];
    let mut hours = fair_days(10);
    for day in 1..=4 {
        rain_on(&mut hours, day);
    }
    let air = air_of(hours);
    // Swell on the 16th and three guard days: the 12th is the last safe day, and it rains.
    let proposal = propose(
        &season,
        &swells("2026-02-16"),
        &air,
        &ask("t", DelayScope::One),
    )
    .unwrap();
    assert_eq!(proposal.best, None);
    assert!(!proposal.choices.is_empty());
    for place in proposal.choices.iter().flat_map(|plan| &plan.places) {
        assert!(
            place.to.is_none_or(|d| d <= place.last_safe.unwrap()),
            "{place:?}"
        );
        if let Some((_, words)) = place.gives.iter().find(|(g, _)| *g == Give::LeaveOut) {
            assert!(
                words.contains("fits only on") && words.contains("Thu 2026-02-12"),
                "{words}"
            );
        }
    }
    assert!(proposal.choices.iter().any(|p| p.gives.has(Give::LeaveOut)));
    assert!(proposal.choices.is_sorted_by_key(|p| p.cost));
}

#[test]
fn no_choice_gives_on_more_than_another_does() {
    let mut season = season_with(vec![oil("oil")]);
    season.orchard.work_days = vec!["sat".into()];
    season.tasks = vec![task_on("t", &["oil"], "2026-02-10")];
    let mut hours = fair_days(9);
    // Saturday the 14th is wet, and it is the only day the grower works.
    rain_on(&mut hours, 5);
    let air = air_of(hours);
    let proposal = propose(
        &season,
        &swells("2026-02-20"),
        &air,
        &ask("t", DelayScope::One),
    )
    .unwrap();
    assert!(proposal.best.is_none());
    for (i, a) in proposal.choices.iter().enumerate() {
        for (j, b) in proposal.choices.iter().enumerate() {
            assert!(
                i == j || !a.gives.within(b.gives),
                "{:?} within {:?}",
                a.gives,
                b.gives
            );
        }
        for place in &a.places {
            assert!(
                place.gives.iter().all(|(_, words)| !words.is_empty()),
                "{place:?}"
            );
        }
    }
    let own_time = proposal
        .choices
        .iter()
        .find(|p| p.gives == Gives::NONE.with(Give::OwnTime))
        .unwrap();
    // Frost in the 48 h before the 10th cannot be ruled out: the hours begin on the 9th.
    assert_eq!(to(own_time, "t"), date("2026-02-11"));
}

#[test]
fn other_work_waits_for_re_entry_and_two_jobs_never_overlap() {
    let mut oil = oil("oil");
    oil.label.reentry = Some(Reentry::After(Span::Hours(12.0)));
    let mut season = season_with(vec![oil]);
    let mut prune = task_on("prune", &[], "2026-02-10");
    prune.kind = TaskKind::Prune;
    season.tasks = vec![task_on("t", &["oil"], "2026-02-10"), prune];
    let air = air_of(fair_days(10));
    let plan = propose(
        &season,
        &swells("2026-03-20"),
        &air,
        &ask("t", DelayScope::AllThatFollow),
    )
    .unwrap()
    .best
    .unwrap();
    let at = |id: &str| {
        let place = plan.places.iter().find(|p| p.task.as_str() == id).unwrap();
        place
            .to
            .unwrap()
            .and_hms_opt(place.hour.unwrap(), 0, 0)
            .unwrap()
    };
    let (sprayed, pruned) = (at("t"), at("prune"));
    // Both jobs are taken to last two hours.
    let apart = (pruned - sprayed).num_hours();
    assert!(apart <= -2 || apart >= 14, "{sprayed} {pruned}");
}

#[test]
fn an_expired_label_and_a_forbidding_label_leave_no_place() {
    let mut copper = copper("copper");
    copper.label.expires = Some(date("2026-02-11"));
    let mut season = season_with(vec![copper]);
    season.tasks = vec![task_on("t", &["copper"], "2026-02-10")];
    let mut hours = fair_days(6);
    rain_on(&mut hours, 1);
    rain_on(&mut hours, 2);
    let proposal = propose(
        &season,
        &swells("2026-03-20"),
        &air_of(hours),
        &ask("t", DelayScope::One),
    )
    .unwrap();
    assert!(proposal.best.is_none());
    let only: Vec<Gives> = proposal.choices.iter().map(|p| p.gives).collect();
    assert_eq!(only, [Gives::NONE.with(Give::LeaveOut)]);
    let plan = &proposal.choices[0];
    let after = plan.apply(&season, date("2026-02-10"), "expired").unwrap();
    assert!(!after.tasks[0].state.is_open());
}

#[test]
fn without_a_forecast_the_days_are_still_offered_and_said_to_be_unjudged() {
    let mut season = season_with(vec![copper("copper")]);
    season.tasks = vec![task_on("t", &["copper"], "2026-02-10")];
    let proposal = propose(
        &season,
        &Estimates::default(),
        &air_of(vec![]),
        &ask("t", DelayScope::One),
    )
    .unwrap();
    assert!(proposal.best.is_none());
    let first = &proposal.choices[0];
    assert_eq!(first.gives, Gives::NONE.with(Give::Unjudged));
    assert_eq!(to(first, "t"), date("2026-02-10"));
    assert_eq!(first.places[0].last_safe, None);
}

#[test]
fn a_task_that_is_done_is_not_moved() {
    let mut season = season_with(vec![copper("copper")]);
    season.tasks = vec![task_on("t", &["copper"], "2026-02-10")];
    season.tasks[0].state = crate::domain::season::TaskState::Done(date("2026-02-01"));
    let air = air_of(fair_days(3));
    assert!(
        propose(
            &season,
            &Estimates::default(),
            &air,
            &ask("t", DelayScope::One)
        )
        .is_err()
    );
    assert!(
        propose(
            &season,
            &Estimates::default(),
            &air,
            &ask("none", DelayScope::One)
        )
        .is_err()
    );
}

/// Every combination of slots of a small season, tried one after the other.
#[test]
fn the_plan_is_the_cheapest_of_all_combinations() {
    use super::search::Problem;
    let mut with_interval = copper("copper");
    with_interval.label.interval = Some(Span::Days(2.0));
    let mut season = season_with(vec![with_interval, oil("oil")]);
    season.blocks.push(block("plum"));
    let mut other = task_on("b", &["oil"], "2026-02-11");
    other.blocks = vec!["plum".into()];
    season.tasks = vec![
        task_on("a", &["copper"], "2026-02-10"),
        other,
        task_on("c", &["copper", "oil"], "2026-02-12"),
    ];
    let mut hours = fair_days(6);
    rain_on(&mut hours, 2);
    let air = air_of(hours);
    let estimates = swells("2026-02-18");
    let facts = Facts::new(&season, &estimates, date("2026-02-10"));
    let moved: Vec<Moved<'_>> = season
        .tasks
        .iter()
        .map(|t| of_task(&facts, t, date("2026-02-10")))
        .collect();
    // Every third slot keeps the number of combinations near a hundred thousand.
    let slots: Vec<Vec<Slot>> = moved
        .iter()
        .map(|m| {
            slots::slots(&air, m, &Busy::default(), (30, date("2026-02-18")))
                .into_iter()
                .step_by(3)
                .collect()
        })
        .collect();
    let neighbours = Neighbours::new(&facts, &moved, &slots);
    let mut compared = 0;
    for allowed in [
        Gives::NONE,
        Gives::NONE.with(Give::Doubt),
        neighbours.possible(),
    ] {
        let problem = plan::Within {
            slots: &slots,
            neighbours: &neighbours,
            allowed,
        };
        let mut least: Option<u64> = None;
        for x in 0..slots[0].len() {
            for y in 0..slots[1].len() {
                for z in 0..slots[2].len() {
                    let picks = [(0, x), (1, y), (2, z)];
                    let own: Option<u64> = picks.iter().map(|&(t, c)| problem.cost(t, c)).sum();
                    let pairs: Option<u64> = [(0, 1), (0, 2), (1, 2)]
                        .iter()
                        .map(|&(i, j)| problem.pair(picks[i], picks[j]))
                        .sum();
                    if let Some(cost) = own.zip(pairs).map(|(a, b)| a + b) {
                        least = Some(least.map_or(cost, |l| l.min(cost)));
                    }
                }
            }
        }
        assert_eq!(
            search::cheapest(&problem).map(|s| s.cost),
            least,
            "{allowed:?}"
        );
        compared += usize::from(least.is_some());
    }
    assert!(
        compared >= 2,
        "the season was meant to have plans to compare"
    );
}
