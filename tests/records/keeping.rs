//! Filling in, finding what is missing, finishing, correcting.

use crate::full;
use crate::orchard::{day, of, season, task, time};
use barewood::domain::records::{
    Conditions, Law, MixAmounts, Offer, RecordError, blocks_of, correct, current,
    done_without_record, finish, missing, offer, prefill,
};
use barewood::domain::season::{
    BlockId, HowMany, Lane, MaterialId, Reading, Record, RecordId, TaskId, TaskKind, TaskState,
    edit,
};
use barewood::domain::units::Amount;

fn stock(season: &barewood::domain::season::Season, id: &str) -> String {
    let stock: Option<Amount> = season.material(&MaterialId::from(id)).unwrap().stock;
    stock.unwrap().to_string()
}

#[test]
fn is_filled_in_from_task_sheet_weather_and_buds() {
    let season = edit::add_reading(
        &season(),
        Reading::Buds {
            date: day("2026-11-28"),
            bbch: 97,
            blocks: Vec::new(),
            note: None,
            how_many: HowMany::All,
            photo: None,
        },
    );
    let task = season.task(&TaskId::from("first-copper")).unwrap();
    let record = prefill(
        &season,
        task,
        day("2026-12-01"),
        time("2026-12-01 11:30"),
        &MixAmounts::default(),
        &Conditions::default(),
    );
    assert_eq!(record.ended, None, "nobody said when it ended");
    assert_eq!(record.blocks, [BlockId::from("peaches")]);
    assert_eq!(record.crops, ["peach"]);
    assert_eq!(record.trees, Some(30));
    assert_eq!(record.area.unwrap().to_string(), "0.3 ha");
    assert_eq!(record.bbch, Some(97));
    assert_eq!(record.gear, [""; 0], "nobody said what was worn");
    let offered = offer(
        &season,
        task,
        day("2026-12-01"),
        time("2026-12-01 11:30"),
        &MixAmounts::default(),
    );
    assert_eq!(
        offered,
        Offer {
            ended: Some(time("2026-12-01 11:30")),
            gear: vec!["gloves".to_owned(), "goggles".to_owned()],
        }
    );
    assert_eq!(record.materials[0].registration.as_deref(), Some("00000-6"));
    assert_eq!(record.materials[0].rate.unwrap().to_string(), "4 lb/acre");
    // Without an end the whole day counts: 24 h from its last minute.
    assert_eq!(record.reentry_until, Some(time("2026-12-02 23:59")));
    assert_eq!(record.who, None, "who sprayed is never guessed");
    // An older day: the present hour and weather say nothing about it.
    let late = prefill(
        &season,
        task,
        day("2026-11-29"),
        time("2026-12-01 11:30"),
        &MixAmounts::default(),
        &Conditions::default(),
    );
    assert_eq!(late.ended, None);
    // A look at the buds from after the spray, or from long before it, is none.
    let early = prefill(
        &season,
        task,
        day("2026-11-27"),
        time("2026-12-01 11:30"),
        &MixAmounts::default(),
        &Conditions::default(),
    );
    assert_eq!(early.bbch, None);
}

// 7 CFR 110.3, until it was rescinded (FR Doc. 2025-08220, effective 11 July 2025): product and
// number, total amount, location, area, crop or site, date, applicator's name and certificate.
// The state or tribe decides now; these are the least.
#[test]
fn an_empty_record_lacks_what_the_restricted_use_rule_lists() {
    let empty = Record::new(RecordId::from("r1"), day("2026-12-01"));
    let names: Vec<&str> = missing(&empty, &[Law::UsRestrictedUse])
        .iter()
        .map(|m| m.element)
        .collect();
    for element in ["who", "certificate", "site", "area", "crop", "product"] {
        assert!(names.contains(&element), "{element} of {names:?}");
    }
    assert!(!names.contains(&"humidity"), "{names:?}");
    let mut bare = full(&season(), "first-copper", "2026-12-01");
    bare.materials[0].registration = None;
    bare.materials[0].total = None;
    let lacks = missing(&bare, &[Law::UsRestrictedUse]);
    let names: Vec<&str> = lacks.iter().map(|m| m.element).collect();
    assert_eq!(names, ["registration", "total amount"]);
    assert_eq!(lacks[0].words, "registration number of copper powder");
    assert_eq!(lacks[0].regulation(), "your state or tribe");
}

// 40 CFR 170.122 (older text of the display list): location, product, number,
// actives, time and date, re-entry interval.
#[test]
fn an_empty_record_lacks_what_workers_must_be_able_to_read() {
    let empty = Record::new(RecordId::from("r1"), day("2026-12-01"));
    let names: Vec<&str> = missing(&empty, &[Law::UsWorkers])
        .iter()
        .map(|m| m.element)
        .collect();
    for element in ["start and end", "site", "product", "re-entry"] {
        assert!(names.contains(&element), "{element} of {names:?}");
    }
    assert!(!names.contains(&"certificate"));
}

fn asked(law: Law) -> Vec<&'static str> {
    let empty = Record::new(RecordId::from("r1"), day("2026-12-01"));
    missing(&empty, &[law]).iter().map(|m| m.element).collect()
}

// Regulation (EC) 1107/2009, article 67(1), and Implementing Regulation (EU) 2023/564.
#[test]
fn the_union_asks_for_code_and_place() {
    for element in ["start and end", "site", "area", "crop", "product", "rate"] {
        assert!(asked(Law::Eu).contains(&element), "{element}");
    }
    for element in ["certificate", "total amount", "wind", "re-entry"] {
        assert!(!asked(Law::Eu).contains(&element), "{element}");
    }
    let mut record = full(&season(), "first-copper", "2026-12-01");
    let lacks = |r: &Record| -> Vec<&str> {
        missing(r, &[Law::Eu])
            .iter()
            .map(|m| m.element)
            .filter(|e| ["EPPO code", "geodata"].contains(e))
            .collect()
    };
    record.crops = vec!["peach".to_owned()];
    record.site = Some("behind the house".to_owned());
    assert_eq!(lacks(&record), ["EPPO code", "geodata"]);
    record.crops = vec!["peach [PRNPS]".to_owned()];
    record.site = Some("Home (50.6123, 7.0001)".to_owned());
    assert_eq!(lacks(&record), [""; 0]);
}

// New South Wales, Pesticides Regulation 2017, clause 36; Western Australia, Agricultural Chemical
// Record Keeping Regulations 2020.
#[test]
fn australian_states_differ() {
    for element in [
        "who",
        "site",
        "area",
        "crop",
        "product",
        "rate",
        "total amount",
        "wind",
    ] {
        assert!(asked(Law::NewSouthWales).contains(&element), "{element}");
    }
    assert!(!asked(Law::NewSouthWales).contains(&"registration"));
    for element in [
        "start and end",
        "who",
        "site",
        "crop",
        "product",
        "rate",
        "sprayer",
    ] {
        assert!(asked(Law::WesternAustralia).contains(&element), "{element}");
    }
    assert!(!asked(Law::WesternAustralia).contains(&"wind"));
}

#[test]
fn the_place_decides_which_law_asks() {
    for (zone, laws) in [
        (
            "America/New_York",
            vec![Law::UsRestrictedUse, Law::UsWorkers, Law::Practice],
        ),
        ("Europe/Berlin", vec![Law::Eu, Law::Practice]),
        ("Europe/London", vec![Law::GreatBritain, Law::Practice]),
        ("Australia/Sydney", vec![Law::NewSouthWales, Law::Practice]),
        (
            "Australia/Perth",
            vec![Law::WesternAustralia, Law::Practice],
        ),
        ("Australia/Hobart", vec![Law::Australia, Law::Practice]),
        ("Pacific/Auckland", vec![Law::NewZealand, Law::Practice]),
        ("America/Toronto", vec![Law::Canada, Law::Practice]),
        ("Asia/Tokyo", vec![Law::Practice]),
    ] {
        let mut s = season();
        s.orchard.time_zone = of(zone);
        assert_eq!(Law::of_place(&s.orchard), laws, "{zone}");
    }
    // A season in Berlin is not asked for American elements.
    let empty = Record::new(RecordId::from("r1"), day("2026-12-01"));
    let mut s = season();
    s.orchard.time_zone = of("Europe/Berlin");
    let asked = missing(&empty, &Law::of_place(&s.orchard));
    assert!(
        asked.iter().all(|m| m.element != "certificate"),
        "{asked:?}"
    );
    for law in Law::ALL {
        let line = law.source().line();
        let from_memory = matches!(
            law,
            Law::UsWorkers | Law::GreatBritain | Law::Australia | Law::NewZealand | Law::Canada
        );
        assert_eq!(
            line.contains("from memory"),
            from_memory || law == Law::Australia,
            "{line}"
        );
    }
}

#[test]
fn a_full_record_lacks_nothing_and_every_law_says_how_sure_it_is() {
    let record = full(&season(), "second-copper", "2027-02-20");
    assert_eq!(missing(&record, &Law::of_place(&season().orchard)), []);
    assert!(Law::UsWorkers.source().line().contains("from memory"));
    assert!(!Law::Eu.source().line().contains("from memory"));
}

#[test]
fn finishing_does_the_task_keeps_the_record_and_lowers_the_stock() {
    let before = season();
    let kept = finish(
        &before,
        full(&before, "second-copper", "2027-02-20"),
        day("2027-02-20"),
    )
    .unwrap();
    let task = kept.season.task(&TaskId::from("second-copper")).unwrap();
    assert_eq!(task.state, TaskState::Done(day("2027-02-20")));
    assert_eq!(kept.season.records.len(), 1);
    assert_eq!(kept.record, RecordId::from("r1"));
    assert_eq!(stock(&kept.season, "copper"), "3.8 kg");
    assert_eq!(stock(&kept.season, "oil"), "1.5 gal");
    assert!(kept.notes.is_empty(), "{:?}", kept.notes);
    assert_eq!(blocks_of(&kept.season, &kept.season.records[0]).len(), 1);
    assert_eq!(before.records.len(), 0, "the old season stays as it was");
}

#[test]
fn refuses_the_future_a_second_record_and_an_end_before_the_start() {
    let before = season();
    let record = full(&before, "first-copper", "2026-12-01");
    assert_eq!(
        finish(&before, record.clone(), day("2026-11-30")).unwrap_err(),
        RecordError::InFuture(day("2026-12-01"))
    );
    let mut odd = record.clone();
    odd.started = Some(time("2026-12-01 12:00"));
    assert_eq!(
        finish(&before, odd, day("2026-12-01")).unwrap_err(),
        RecordError::EndsBeforeStart
    );
    let once = finish(&before, record.clone(), day("2026-12-01")).unwrap();
    assert_eq!(
        finish(&once.season, record.clone(), day("2026-12-02")).unwrap_err(),
        RecordError::AlreadyRecorded(RecordId::from("r1"))
    );
    let mut elsewhere = record;
    elsewhere.task = Some(TaskId::from("nowhere"));
    assert!(matches!(
        finish(&before, elsewhere, day("2026-12-01")).unwrap_err(),
        RecordError::NoTask(_)
    ));
}

#[test]
fn a_correction_is_a_new_record_and_sets_the_stock_right() {
    let before = season();
    let once = finish(
        &before,
        full(&before, "first-copper", "2026-12-01"),
        day("2026-12-01"),
    )
    .unwrap();
    let mut better = once.season.records[0].clone();
    better.materials[0].total = Some(of("900 g"));
    better.date = day("2026-11-30");
    better.started = Some(time("2026-11-30 08:00"));
    better.ended = Some(time("2026-11-30 11:00"));
    let twice = correct(
        &once.season,
        &once.record,
        better,
        "weighed wrong",
        day("2026-12-02"),
    )
    .unwrap();
    assert_eq!(twice.season.records.len(), 2);
    assert_eq!(twice.season.records[0], once.season.records[0]);
    let held: Vec<&str> = current(&twice.season).map(|r| r.id.as_str()).collect();
    assert_eq!(held, ["r2"]);
    assert_eq!(twice.season.records[1].corrects, Some(RecordId::from("r1")));
    assert_eq!(
        twice.season.records[1].correction.as_deref(),
        Some("weighed wrong")
    );
    assert_eq!(stock(&twice.season, "copper"), "4.1 kg");
    let task = twice.season.task(&TaskId::from("first-copper")).unwrap();
    assert_eq!(task.state, TaskState::Done(day("2026-11-30")));
    // The old one no longer holds: it cannot be corrected a second time.
    let again = correct(
        &twice.season,
        &once.record,
        once.season.records[0].clone(),
        "",
        day("2026-12-02"),
    );
    assert!(matches!(again, Err(RecordError::AlreadyCorrected { .. })));
}

#[test]
fn says_when_stock_cannot_be_reckoned_or_was_too_small() {
    let mut before = season();
    before.materials[0].stock = Some(of("1 kg"));
    before.materials[1].stock = Some(of("4 kg"));
    let kept = finish(
        &before,
        full(&before, "second-copper", "2027-02-20"),
        day("2027-02-20"),
    )
    .unwrap();
    assert_eq!(stock(&kept.season, "copper"), "0 kg");
    assert_eq!(stock(&kept.season, "oil"), "4 kg");
    assert_eq!(kept.notes.len(), 2, "{:?}", kept.notes);
    // With a density the same use can be reckoned: 0.5 gal = 1.892 706 L (NIST Handbook 44).
    before.materials[1].density_kg_per_l = Some(0.85);
    let kept = finish(
        &before,
        full(&before, "second-copper", "2027-02-20"),
        day("2027-02-20"),
    )
    .unwrap();
    assert_eq!(stock(&kept.season, "oil"), "2.3912 kg");
}

#[test]
fn names_sprays_done_without_a_record() {
    let mut before = season();
    before.tasks.push(task(
        "scout",
        "Scout",
        Lane::MidWinter,
        TaskKind::Scout,
        "2027-01-05",
    ));
    for id in ["scout", "first-copper"] {
        before = edit::set_state(
            &before,
            &TaskId::from(id),
            TaskState::Done(day("2027-01-05")),
        )
        .unwrap();
    }
    let names: Vec<&str> = done_without_record(&before)
        .map(|t| t.id.as_str())
        .collect();
    assert_eq!(names, ["first-copper"]);
    let kept = finish(
        &before,
        full(&before, "first-copper", "2027-01-05"),
        day("2027-01-05"),
    )
    .unwrap();
    assert_eq!(done_without_record(&kept.season).count(), 0);
}
