use crate::problems::GOOD;
use crate::seasons::{dice, edited, season};
use barewood::domain::records;
use barewood::domain::season::{HowMany, Reading, Record, Season};
use barewood::store::merge::{Kept, merge};
use barewood::store::season_file::{Comments, fresh, read};
use proptest::prelude::*;

/// Items of one side that the other side has no say in: new, or changed.
fn changed<T: PartialEq + Clone>(base: &[T], side: &[T]) -> Vec<T> {
    side.iter().filter(|x| !base.contains(x)).cloned().collect()
}

fn holds<T: PartialEq>(list: &[T], item: &T) -> bool {
    list.contains(item)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn nothing_is_lost_whatever_both_sides_did(mut d in dice(), mut e in dice(), mut f in dice()) {
        let base = season(&mut d);
        let ours = edited(&mut e, &base);
        let theirs = edited(&mut f, &base);
        let merged = merge(&base, &ours, &theirs);
        let all = &merged.season;
        prop_assert!(merged.collisions.iter().all(|c| c.item != "season"), "{:?}", merged.collisions);
        // Readings: every new or changed one of either side is there, and every
        // one that neither side touched.
        for reading in changed(&base.readings, &ours.readings)
            .iter()
            .chain(&changed(&base.readings, &theirs.readings))
            .chain(base.readings.iter().filter(|r| holds(&ours.readings, r) && holds(&theirs.readings, r)))
        {
            prop_assert!(all.readings.contains(reading), "lost {:?}", reading);
        }
        // Records: every id of either side, and of the base.
        for record in ours.records.iter().chain(&theirs.records) {
            let named = all.records.iter().any(|r| r.id == record.id);
            prop_assert!(named, "lost {:?}", record.id);
        }
        for record in changed(&base.records, &theirs.records) {
            let ours_too = ours.records.iter().find(|r| r.id == record.id);
            if ours_too.is_none_or(|o| base.records.contains(o)) {
                // But for names that follow a renamed record or task.
                let same = |r: &Record| Record { corrects: record.corrects.clone(), task: record.task.clone(), seal: record.seal.clone(), ..r.clone() } == record;
                prop_assert!(all.records.iter().any(same));
            } else {
                // The same new id on both sides: both contents are there.
                prop_assert!(all.records.iter().any(|r| r.date == record.date && r.notes == record.notes));
            }
        }
        // Tasks: gone only if one side removed it and the other left it alone.
        for task in ours.tasks.iter().chain(&theirs.tasks) {
            let before = base.task(&task.id);
            let (o, t) = (ours.task(&task.id), theirs.task(&task.id));
            let removed = before.is_some() && (o.is_none() || t.is_none()) && before == o.or(t);
            prop_assert_eq!(all.task(&task.id).is_none(), removed, "{:?}", task.id);
            if let (Some(o), Some(t), None) = (o, t, before) {
                prop_assert!(all.tasks.contains(o));
                prop_assert!(all.tasks.iter().any(|x| x.title == t.title && x.date == t.date && x.notes == t.notes));
            }
            if let (Some(b), Some(o), Some(t), Some(m)) = (before, o, t, all.task(&task.id)) {
                let date = if o.date == b.date { t.date } else { o.date };
                prop_assert_eq!(m.date, date);
                if b == o { prop_assert_eq!(m, t); }
                if b == t { prop_assert_eq!(m, o); }
            }
        }
        // What came out is a season that can be saved and read.
        let text = fresh(all, &Comments::default()).unwrap();
        prop_assert_eq!(&read(&text, "x").unwrap().season, all);
    }

    #[test]
    fn one_sided_edits_come_through_whole(mut d in dice(), mut e in dice()) {
        let base = season(&mut d);
        let ours = edited(&mut e, &base);
        prop_assert_eq!(&merge(&base, &ours, &base).season, &ours);
        prop_assert_eq!(&merge(&base, &base, &ours).season, &ours);
        prop_assert_eq!(&merge(&base, &ours, &ours).season, &ours);
        prop_assert!(merge(&base, &ours, &ours).collisions.is_empty());
    }
}

fn good() -> Season {
    read(GOOD, "s.toml").unwrap().season
}

#[test]
fn fields_of_one_task_changed_apart_are_both_taken() {
    let base = good();
    let (mut ours, mut theirs) = (base.clone(), base.clone());
    ours.tasks[0].title = "Oil, second half".into();
    theirs.tasks[0].date = theirs.tasks[0].date.succ_opt().unwrap();
    let merged = merge(&base, &ours, &theirs);
    assert_eq!(merged.collisions, []);
    assert_eq!(merged.season.tasks[0].title, ours.tasks[0].title);
    assert_eq!(merged.season.tasks[0].date, theirs.tasks[0].date);
}

#[test]
fn one_date_moved_twice_is_a_collision_told_in_words() {
    let base = good();
    let (mut ours, mut theirs) = (base.clone(), base.clone());
    ours.tasks[0].date = "2027-03-12".parse().unwrap();
    theirs.tasks[0].date = "2027-03-15".parse().unwrap();
    let merged = merge(&base, &ours, &theirs);
    assert_eq!(merged.collisions.len(), 1);
    assert_eq!(
        merged.collisions[0].to_string(),
        "task oil-late date: here 2027-03-12, there 2027-03-15; ours stands"
    );
    assert_eq!(merged.season.tasks[0].date, ours.tasks[0].date);
}

#[test]
fn a_block_removed_here_and_used_there_stays() {
    let base = good();
    let (mut ours, mut theirs) = (base.clone(), base.clone());
    ours.blocks.clear();
    ours.tasks.clear();
    theirs.readings.push(Reading::Buds {
        date: "2027-03-01".parse().unwrap(),
        bbch: 51,
        blocks: vec!["apples".into()],
        note: None,
        how_many: HowMany::All,
        photo: None,
    });
    let merged = merge(&base, &ours, &theirs);
    assert_eq!(merged.season.blocks.len(), 1);
    assert!(
        merged
            .collisions
            .iter()
            .any(|c| c.item == "block apples" && c.kept == Kept::Theirs)
    );
    assert_eq!(merged.season.readings.len(), 2);
}

#[test]
fn limits_that_do_not_go_together_fall_back_to_one_side() {
    let text = GOOD.replace(
        "[material.label]",
        "[material.label]\ntemp_min = \"4 C\"\ntemp_max = \"20 C\"",
    );
    let base = read(&text, "x").unwrap().season;
    let (mut ours, mut theirs) = (base.clone(), base.clone());
    ours.materials[0].label.temp_min = Some("15 C".parse().unwrap());
    theirs.materials[0].label.temp_max = Some("10 C".parse().unwrap());
    let merged = merge(&base, &ours, &theirs);
    assert_eq!(merged.season.materials, ours.materials);
    assert_eq!(merged.collisions[0].item, "material oil");
}

#[test]
fn records_sealed_on_both_sides_are_one_sealed_row_afterwards() {
    let day = "2027-03-10".parse().unwrap();
    let add = |season: &Season, id: &str, notes: &str| {
        let mut record = Record::new(id.into(), day);
        record.notes = Some(notes.into());
        let mut after = season.clone();
        after.records.push(record);
        records::adopt(&after)
    };
    let base = add(&good(), "r1", "the first");
    let ours = add(&base, "r2", "from the house");
    let theirs = add(&add(&base, "r2", "from the barn"), "r3", "and again");
    let merged = merge(&base, &ours, &theirs);
    let notes: Vec<_> = merged
        .season
        .records
        .iter()
        .filter_map(|r| r.notes.as_deref())
        .collect();
    assert_eq!(
        notes,
        ["the first", "from the house", "from the barn", "and again"]
    );
    assert_eq!(records::integrity(&merged.season, &[]), []);
    assert_eq!(
        merged.season.records_head.as_ref().map(|h| h.count),
        Some(4)
    );
    assert_eq!(merged.collisions.len(), 1, "{:?}", merged.collisions);
}

/// Two looks told in the same words: each side takes out one of them, and one is left.
#[test]
fn of_two_alike_readings_one_stays_where_both_sides_hold_one() {
    let mut base = read(GOOD, "x").unwrap().season;
    let twin = Reading::Buds {
        date: "2027-01-09".parse().unwrap(),
        bbch: 0,
        blocks: Vec::new(),
        note: None,
        how_many: HowMany::All,
        photo: None,
    };
    let other = Reading::Buds {
        date: "2027-01-20".parse().unwrap(),
        bbch: 51,
        blocks: Vec::new(),
        note: None,
        how_many: HowMany::All,
        photo: None,
    };
    base.readings = vec![twin.clone(), other.clone(), twin.clone()];
    let (mut ours, mut theirs) = (base.clone(), base.clone());
    ours.readings = vec![twin.clone(), other.clone()];
    theirs.readings = vec![other.clone(), twin.clone()];
    let merged = merge(&base, &ours, &theirs).season.readings;
    assert!(
        merged.contains(&twin) && merged.contains(&other),
        "{merged:?}"
    );
    assert_eq!(merged.len(), 2);
}
