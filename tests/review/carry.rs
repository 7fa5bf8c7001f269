//! The next season from the last, and seasons side by side.

use crate::orchard::{day, estimates, of, season};
use barewood::domain::history;
use barewood::domain::next_season::{
    Answers, CarryError, StageSeen, asks, from_last, name_of_year,
};
use barewood::domain::phenology::stage::Stage;
use barewood::domain::records::{Conditions, MixAmounts, PartAmount, finish, prefill};
use barewood::domain::review::mark;
use barewood::domain::season::{
    Block, BlockId, HowMany, Lesson, MaterialId, PastCopper, Reading, Season, TaskId,
};

/// A season at its end: one copper spray on record, two reviews, buds seen.
fn ended() -> Season {
    let s = season();
    let task = s.task(&TaskId::from("first-copper")).unwrap();
    let amounts = MixAmounts {
        parts: vec![PartAmount {
            material: MaterialId::from("copper"),
            rate: None,
            total: Some(of("1.2 kg")),
        }],
        ..MixAmounts::default()
    };
    let record = prefill(
        &s,
        task,
        day("2026-12-01"),
        day("2026-12-01").and_hms_opt(11, 0, 0).unwrap(),
        &amounts,
        &Conditions::default(),
    );
    let s = finish(&s, record, day("2026-12-01")).unwrap().season;
    let s = mark(&s, &estimates(&s, "2027-03-10"), day("2027-01-10"));
    let mut s = mark(&s, &estimates(&s, "2027-03-04"), day("2027-02-10"));
    for (date, bbch) in [
        ("2026-11-28", 97),
        ("2027-02-25", 0),
        ("2027-03-05", 51),
        ("2027-04-01", 61),
    ] {
        s.readings.push(Reading::Buds {
            date: day(date),
            bbch,
            blocks: vec![BlockId::from("peaches")],
            note: None,
            how_many: HowMany::All,
            photo: None,
        });
    }
    s.lessons = vec![
        Lesson {
            text: "order oil earlier".to_owned(),
            from: None,
            done: None,
        },
        Lesson {
            text: "renew nozzles".to_owned(),
            from: None,
            done: Some(day("2027-01-05")),
        },
    ];
    s
}

fn seen(block: &str, stage: Stage, date: &str) -> StageSeen {
    StageSeen {
        block: BlockId::from(block),
        stage,
        date: day(date),
    }
}

#[test]
fn asks_for_swell_and_bloom_and_proposes_what_was_looked_at() {
    let asked = asks(&ended());
    assert_eq!(asked.len(), 4);
    assert_eq!(asked[0].proposed, Some(day("2027-03-05")));
    assert_eq!(asked[1].stage, Stage::FirstBloom);
    assert_eq!(asked[1].proposed, Some(day("2027-04-01")));
    assert_eq!(asked[2].proposed, None, "nobody looked at the apples");
}

#[test]
fn carries_the_orchard_and_leaves_the_year_behind() {
    let last = ended();
    let answers = Answers {
        seen: vec![seen("peaches", Stage::Swell, "2027-03-04")],
        lessons: vec!["  begin scouting in January ".to_owned()],
        ..Answers::default()
    };
    let next = from_last(&last, &answers).unwrap().season;
    assert_eq!(next.season, "2027-28");
    assert_eq!(next.dates.leaf_drop_expected, day("2027-11-22"));
    assert_eq!(next.dates.leaf_drop_seen, None);
    assert_eq!(next.blocks.len(), 2);
    assert_eq!(next.blocks[0].past.len(), 1);
    assert_eq!(next.sprayers, last.sprayers);
    assert!(next.materials.iter().all(|m| m.label.read_on.is_none()));
    assert_eq!(next.materials[0].stock.unwrap().to_string(), "3.8 kg");
    // The copper of the year is told of each block, before what the orchard's list said of all.
    let past = |i: usize| -> Vec<Option<f64>> {
        let years = &next.blocks[i].copper_past_kg_per_ha;
        years.iter().map(|year| year.kg_per_ha()).collect()
    };
    let kg = |years: [f64; 4]| years.map(Some).to_vec();
    assert_eq!(
        past(0),
        kg([2.0, 4.0, 3.0, 5.0]),
        "the peaches were sprayed"
    );
    assert_eq!(past(1), kg([0.0, 4.0, 3.0, 5.0]), "the apples were not");
    assert_eq!(next.orchard.copper_past_kg_per_ha, [] as [f64; 0]);
    assert!(next.tasks.is_empty() && next.readings.is_empty() && next.records.is_empty());
    assert!(next.reviewed.is_empty() && next.estimates_noted.is_empty());
    assert_eq!(next.records_head, None);
    let lessons: Vec<(&str, Option<&str>)> = next
        .lessons
        .iter()
        .map(|l| (l.text.as_str(), l.from.as_deref()))
        .collect();
    assert_eq!(
        lessons,
        [
            ("order oil earlier", Some("2026-27")),
            ("begin scouting in January", Some("2026-27"))
        ]
    );
}

#[test]
fn copper_is_carried_block_by_block_and_a_year_between_is_not_known() {
    // Regulation (EU) 2018/1981 looks back over six years beside the present one.
    let years = |block: &Block| -> Vec<Option<f64>> {
        let past = &block.copper_past_kg_per_ha;
        past.iter().map(|year| year.kg_per_ha()).collect()
    };
    let mut last = ended();
    last.orchard.copper_past_kg_per_ha = vec![4.0, 3.0, 5.0, 1.0, 1.0, 1.0, 9.0];
    last.blocks[0].copper_past_kg_per_ha = vec![PastCopper::Unknown, PastCopper::KgPerHa(0.5)];
    let next = from_last(&last, &Answers::default()).unwrap().season;
    let kg = |years: &[f64]| years.iter().copied().map(Some).collect::<Vec<_>>();
    assert_eq!(years(&next.blocks[0]), kg(&[2.0, 4.0, 0.5, 5.0, 1.0, 1.0]));
    assert_eq!(years(&next.blocks[1]), kg(&[0.0, 4.0, 3.0, 5.0, 1.0, 1.0]));
    // And again, from the season that has been carried: nothing is lost nor told twice.
    let third = from_last(&next, &Answers::default()).unwrap().season;
    assert_eq!(years(&third.blocks[0]), kg(&[0.0, 2.0, 4.0, 0.5, 5.0, 1.0]));
    // A season left out is a year of which nobody knows.
    let later = Answers {
        leaf_drop_expected: Some(day("2028-11-20")),
        ..Answers::default()
    };
    let skipped = from_last(&last, &later).unwrap().season;
    assert_eq!(years(&skipped.blocks[0])[..3], [None, Some(2.0), Some(4.0)]);
    // What could not be worked out is said of its block.
    last.records[0].materials[0].copper_kg_per_ha = None;
    last.records[0].materials[0].total = None;
    let carried = from_last(&last, &Answers::default()).unwrap();
    let said = carried.notes.join("\n");
    assert!(said.contains("copper of 1 use is not known"), "{said}");
    assert!(said.contains(&last.blocks[0].name), "{said}");
}

#[test]
fn refuses_a_date_of_another_year_and_an_unknown_block() {
    let with = |s| Answers {
        seen: vec![s],
        ..Answers::default()
    };
    assert!(matches!(
        from_last(&ended(), &with(seen("peaches", Stage::Swell, "2026-03-04"))),
        Err(CarryError::OutsideSeason { .. })
    ));
    assert_eq!(
        from_last(&ended(), &with(seen("pears", Stage::Swell, "2027-03-04"))),
        Err(CarryError::NoBlock(BlockId::from("pears")))
    );
}

#[test]
fn names_years_in_both_hemispheres_and_over_the_century() {
    assert_eq!(name_of_year(day("2026-11-20")), "2026-27");
    assert_eq!(name_of_year(day("2099-11-20")), "2099-00");
    assert_eq!(name_of_year(day("2027-05-20")), "2027");
    let mut south = ended();
    south.season = "2026".to_owned();
    south.dates.leaf_drop_seen = Some(day("2028-02-29"));
    let next = from_last(&south, &Answers::default()).unwrap().season;
    assert_eq!(next.dates.leaf_drop_expected, day("2029-02-28"));
}

#[test]
fn judges_noted_estimates_by_the_date_seen() {
    let last = ended();
    let answers = Answers {
        seen: vec![seen("peaches", Stage::Swell, "2027-03-04")],
        ..Answers::default()
    };
    let next = from_last(&last, &answers).unwrap().season;
    let rows = history::table(&[last, next]);
    let row = &rows[0];
    assert_eq!((row.planned, row.done, row.skipped), (3, 1, 0));
    assert_eq!((row.records, row.copper_kg_per_ha), (1, 2.0));
    let peaches = &row.blocks[0];
    assert_eq!(peaches.swell_seen, Some(day("2027-03-04")));
    let first = &peaches.noted[0];
    assert_eq!(first.lead_days, Some(53));
    assert_eq!(
        first.error_days,
        Some(6),
        "estimated 10 March, seen 4 March"
    );
    assert_eq!(first.is_inside, Some(true));
    assert_eq!(peaches.noted[1].error_days, Some(0));
    // Apples: nobody dated them, so nothing is judged.
    let apples = &row.blocks[1];
    assert_eq!(apples.swell_seen, None);
    assert_eq!(apples.noted[0].error_days, None);
    // The season before was not over yet when only its own file is there: swollen by a look.
    let alone = history::table(&[ended()]);
    assert_eq!(alone[0].blocks[0].swollen_by, Some(day("2027-03-05")));
    assert_eq!(alone[0].blocks[0].swell_seen, None);
    assert_eq!(rows[1].blocks[0].noted.len(), 0);
}

#[test]
fn what_was_skipped_and_why_is_told_by_the_next_plan() {
    use barewood::domain::next_season::skipped;
    use barewood::domain::season::{TaskState, edit, starter};
    let s = season();
    let id = TaskId::from("second-copper");
    let on = TaskState::Skipped(day("2027-02-20"));
    let s = edit::set_state_because(&s, &id, on, Some("no curl in five years")).unwrap();
    assert_eq!(
        skipped(&s),
        ["Second copper: skipped on 2027-02-20: no curl in five years"]
    );
    let next = from_last(&s, &Answers::default()).unwrap().season;
    let again = starter::tasks_again(&s, day("2027-03-10"), &next, day("2028-03-12"));
    let task = again.iter().find(|t| t.id == id).unwrap();
    let notes = task.notes.as_deref().unwrap();
    assert!(
        notes.ends_with("2026-27: skipped on 2027-02-20: no curl in five years"),
        "{notes}"
    );
    assert_eq!((&task.state, &task.why), (&TaskState::Planned, &None));
    // Said again is forgotten: it was done after all.
    let done = edit::set_state(&s, &id, TaskState::Done(day("2027-02-22"))).unwrap();
    assert_eq!(skipped(&done), [""; 0]);
    assert_eq!(done.task(&id).unwrap().why, None);
}
