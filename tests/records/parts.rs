//! A spray done in parts: its records are the whole, and what has none stays to do.

use crate::orchard::{day, season, time};
use barewood::domain::mix;
use barewood::domain::records::{
    Conditions, RecordError, amounts, correct, finish, part, prefill, reopen, settled, take_back,
};
use barewood::domain::season::{
    Block, BlockId, Record, Season, Task, TaskId, TaskState, named_blocks,
};
use barewood::domain::units::{Amount, Volume, VolumeUnit};
use proptest::prelude::*;

/// Eleven blocks of unlike size and one spray on all of them.
fn eleven() -> Season {
    let mut s = season();
    let first = s.blocks[0].clone();
    s.blocks = (1..=11)
        .map(|n| Block {
            id: BlockId::from(format!("b{n:02}").as_str()),
            name: format!("{n:02} rows"),
            trees: 10 * n,
            area: first.area.map(|a| {
                let mut area = a;
                area.value *= f64::from(n);
                area
            }),
            ..first.clone()
        })
        .collect();
    s.tasks.retain(|t| t.id.as_str() == "first-copper");
    s.tasks[0].blocks = s.blocks.iter().map(|b| b.id.clone()).collect();
    for material in &mut s.materials {
        material.stock = None;
    }
    s
}

fn task(s: &Season) -> &Task {
    s.task(&TaskId::from("first-copper")).unwrap()
}

fn record(s: &Season, blocks: &str, on: &str) -> Result<Record, String> {
    let ids = named_blocks(blocks, s)?;
    let some = part(s, task(s), &ids).map_err(|e| e.to_string())?;
    let amounts = amounts(s, &some, None, day(on));
    let now = time(&format!("{on} 18:00"));
    Ok(prefill(
        s,
        &some,
        day(on),
        now,
        &amounts,
        &Conditions::default(),
    ))
}

/// Product for some blocks before it is rounded to what can be weighed, kg, and by how much the
/// rounding is off, percent.
fn exact(s: &Season, blocks: &str) -> (f64, f64) {
    let ids = named_blocks(blocks, s).unwrap();
    let some = part(s, task(s), &ids).unwrap();
    let sheet = mix::sheet(s, &some, None, day("2026-12-01"));
    let total = sheet.products[0].total.as_ref().unwrap();
    match total.exact {
        Amount::Mass(m) => (m.kg(), total.off_percent),
        Amount::Volume(_) => panic!("a powder is weighed"),
    }
}

fn open(s: &Season) -> Vec<String> {
    s.open_blocks(task(s))
        .iter()
        .map(|b| b.id.to_string())
        .collect()
}

fn kg(r: &Record) -> f64 {
    match r.materials[0].total {
        Some(Amount::Mass(m)) => m.kg(),
        _ => f64::NAN,
    }
}

#[test]
fn five_of_eleven_blocks_are_recorded_as_five_and_the_rest_stays() {
    let s = eleven();
    let whole = record(&s, "", "2026-12-01").unwrap();
    let five = record(&s, "1-5", "2026-12-01").unwrap();
    assert_eq!(five.blocks.len(), 5);
    assert_eq!(five.trees, Some(150));
    assert!((five.area.unwrap().ha() - whole.area.unwrap().ha() * 15.0 / 66.0).abs() < 1e-9);
    let (of_five, off) = exact(&s, "1-5");
    let (of_all, _) = exact(&s, "");
    assert!((of_five - of_all * 15.0 / 66.0).abs() < 1e-9 * of_all);
    // What is recorded is that, but for the rounding that is shown beside it.
    assert!((kg(&five) - of_five * (1.0 + off / 100.0)).abs() < 1e-9 * of_all);
    assert!(off.abs() < 2.5, "{off} %");
    let s = finish(&s, five, day("2026-12-01")).unwrap().season;
    assert_eq!(task(&s).state, TaskState::Planned);
    assert_eq!(open(&s), ["b06", "b07", "b08", "b09", "b10", "b11"]);
    assert_eq!(
        (s.progress(task(&s)).done, s.progress(task(&s)).of),
        (5, 11)
    );
    assert_eq!(s.blocks_of(task(&s)).count(), 6);
    // The same blocks are not done twice.
    let fault = record(&s, "5-6", "2026-12-02").unwrap_err();
    assert!(fault.contains("05 rows is done already"), "{fault}");
    let twice = Record {
        blocks: named_blocks("5-6", &s).unwrap(),
        ..record(&s, "6", "2026-12-02").unwrap()
    };
    assert!(matches!(
        finish(&s, twice, day("2026-12-02")),
        Err(RecordError::AlreadyRecorded(_))
    ));
    let rest = record(&s, "", "2026-12-03").unwrap();
    assert_eq!(rest.trees, Some(510));
    let s = finish(&s, rest, day("2026-12-03")).unwrap().season;
    assert_eq!(task(&s).state, TaskState::Done(day("2026-12-03")));
    assert_eq!(
        s.done_on(task(&s), &BlockId::from("b02")),
        Some(day("2026-12-01"))
    );
    assert_eq!(
        s.done_on(task(&s), &BlockId::from("b07")),
        Some(day("2026-12-03"))
    );
}

#[test]
fn a_volume_set_for_the_whole_is_shared_among_its_parts() {
    let mut s = eleven();
    s.tasks[0].volume = Some(Volume::new(6600.0, VolumeUnit::L));
    let five = record(&s, "1-5", "2026-12-01").unwrap();
    let litres = |r: &Record| r.volume.map_or(f64::NAN, Volume::l);
    assert!((litres(&five) - 1500.0).abs() < 1e-6, "{}", litres(&five));
    let s = finish(&s, five, day("2026-12-01")).unwrap().season;
    let rest = record(&s, "", "2026-12-01").unwrap();
    assert!((litres(&rest) - 5100.0).abs() < 1e-6, "{}", litres(&rest));
}

#[test]
fn taking_back_or_correcting_a_part_opens_its_blocks_again() {
    let s = eleven();
    let a = finish(
        &s,
        record(&s, "1-5", "2026-12-01").unwrap(),
        day("2026-12-01"),
    )
    .unwrap();
    let b = finish(
        &a.season,
        record(&a.season, "", "2026-12-02").unwrap(),
        day("2026-12-02"),
    )
    .unwrap();
    assert!(!task(&b.season).state.is_open());
    let back = take_back(&b.season, &a.record, "the wrong rows", day("2026-12-03")).unwrap();
    assert_eq!(task(&back.season).state, TaskState::Planned);
    assert_eq!(open(&back.season), ["b01", "b02", "b03", "b04", "b05"]);
    // A correction that names fewer blocks opens those it no longer names.
    let held = b.season.records.iter().find(|r| r.id == b.record).unwrap();
    let fewer = Record {
        blocks: named_blocks("6-9", &b.season).unwrap(),
        ..held.clone()
    };
    let c = correct(
        &b.season,
        &b.record,
        fewer,
        "two rows were not reached",
        day("2026-12-03"),
    )
    .unwrap();
    assert_eq!(open(&c.season), ["b10", "b11"]);
    let again = reopen(&c.season, &TaskId::from("first-copper"), day("2026-12-04")).unwrap();
    assert_eq!(open(&again).len(), 11);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever is ticked in whatever order, by one person or two: the parts come to the job, no
    /// block is done without a record, and what is open was never sprayed.
    #[test]
    fn parts_sum_to_the_job(ticks in prop::collection::vec((0u8..2, prop::collection::vec(1u32..=11, 1..6)), 1..12)) {
        let s = eleven();
        let whole = record(&s, "", "2026-12-01").unwrap();
        let (of_all, off_all) = exact(&s, "");
        let (mut of_parts, mut off_parts) = (0.0, of_all * off_all.abs() / 100.0);
        // Two people start from the same season; each adds what the other has not.
        let mut both = [s.clone(), s.clone()];
        for (who, blocks) in &ticks {
            let other = open(&both[usize::from(1 - who)]);
            let mine = &both[usize::from(*who)];
            let names: Vec<String> = blocks
                .iter()
                .map(|n| format!("b{n:02}"))
                .filter(|b| open(mine).contains(b) && other.contains(b))
                .collect();
            if names.is_empty() {
                continue;
            }
            let made = record(mine, &names.join(", "), "2026-12-02").unwrap();
            let (of_part, off) = exact(mine, &names.join(", "));
            of_parts += of_part;
            off_parts += of_part * off.abs() / 100.0;
            both[usize::from(*who)] = finish(mine, made, day("2026-12-02")).unwrap().season;
        }
        let [ours, theirs] = both;
        let mut joined = ours.clone();
        for record in &theirs.records {
            let mut record = record.clone();
            record.id = format!("their-{}", record.id).as_str().into();
            joined.records.push(record);
        }
        // As joining does item by item: what one side alone changed stands.
        if task(&theirs).state != task(&s).state {
            joined.tasks[0].state = task(&theirs).state.clone();
        }
        let joined = settled(joined, [&ours, &theirs]);
        let t = task(&joined);
        let named: Vec<&BlockId> = joined.records.iter().flat_map(|r| &r.blocks).collect();
        for block in &joined.blocks {
            let recorded = named.contains(&&block.id);
            prop_assert_eq!(joined.done_on(t, &block.id).is_some(), recorded);
            prop_assert_eq!(joined.is_open_on(t, &block.id), !recorded);
        }
        prop_assert_eq!(t.state.is_open(), !open(&joined).is_empty());
        // What was done and what is left come to the whole.
        let left = if t.state.is_open() { Some(record(&joined, "", "2026-12-03").unwrap()) } else { None };
        if left.is_some() {
            let (of_part, off) = exact(&joined, "");
            of_parts += of_part;
            off_parts += of_part * off.abs() / 100.0;
        }
        let parts: Vec<&Record> = joined.records.iter().chain(left.as_ref()).collect();
        let trees: u32 = parts.iter().filter_map(|r| r.trees).sum();
        prop_assert_eq!(Some(trees), whole.trees);
        let ha: f64 = parts.iter().filter_map(|r| r.area).map(|a| a.ha()).sum();
        prop_assert!((ha - whole.area.unwrap().ha()).abs() < 1e-6);
        prop_assert!((of_parts - of_all).abs() < 1e-9 * of_all, "{} of {}", of_parts, of_all);
        // What is recorded comes to it but for the rounding that each part, and the whole, shows.
        let used: f64 = parts.iter().map(|r| kg(r)).sum();
        prop_assert!((used - kg(&whole)).abs() <= off_parts + 1e-9, "{} of {}, {}", used, kg(&whole), off_parts);
    }
}
