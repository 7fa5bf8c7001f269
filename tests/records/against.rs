//! What stands against a spray as it was done, and what was measured against what was reckoned.

use crate::full;
use crate::orchard::{day, estimates, of, season};
use barewood::domain::records::{
    MixAmounts, PartAmount, correct, finish, integrity, judgements, note_reckoned, over_label,
    stops,
};
use barewood::domain::season::{BlockId, Record, Season, TaskId};
use barewood::store::season_file;

fn rules(season: &Season, record: &Record, swell: &str) -> Vec<&'static str> {
    let estimates = estimates(season, swell);
    stops(season, &estimates, None, record)
        .iter()
        .map(|w| w.rule)
        .collect()
}

/// The second copper goes on until swell, as the extension sheets on leaf curl ask
/// (`sources::LEAF_CURL_BEFORE_SWELL`).
#[test]
fn a_spray_after_its_last_safe_day_is_a_stop_on_the_day_typed_not_on_that_planned() {
    let s = season();
    let in_time = full(&s, "second-copper", "2027-02-20");
    let too_late = full(&s, "second-copper", "2027-03-18");
    assert_eq!(rules(&s, &in_time, "2027-03-20"), [""; 0]);
    let found = rules(&s, &too_late, "2027-03-20");
    assert!(found.contains(&"too-close-to-swell"), "{found:?}");
    // A day at which swell has long been.
    assert!(!rules(&s, &in_time, "2027-01-20").is_empty());
}

#[test]
fn before_leaf_drop_and_inside_the_interval_of_what_is_on_already() {
    let mut s = season();
    // Illinois Extension and labels: leaf-drop copper goes on bare wood (see `before-leaf-drop`).
    s.dates.leaf_drop_seen = Some(day("2026-12-05"));
    let early = full(&s, "first-copper", "2026-12-01");
    let found = rules(&s, &early, "2027-03-20");
    assert!(found.contains(&"before-leaf-drop"), "{found:?}");
    // A label's own interval (the label is the law).
    let mut s = season();
    s.materials[0].label.interval = Some(of("14 days"));
    let first = full(&s, "first-copper", "2027-02-12");
    let s = finish(&s, first, day("2027-02-12")).unwrap().season;
    let second = full(&s, "second-copper", "2027-02-20");
    let found = rules(&s, &second, "2027-03-20");
    assert!(found.contains(&"interval-too-short"), "{found:?}");
    // Judged again with its own record in the file it is no second use of itself.
    let alone = season();
    let record = full(&alone, "first-copper", "2026-12-01");
    let kept = finish(&alone, record, day("2026-12-01")).unwrap().season;
    assert_eq!(rules(&kept, &kept.records[0], "2027-03-20"), [""; 0]);
}

#[test]
fn a_part_is_judged_on_its_own_blocks() {
    let mut s = season();
    for task in &mut s.tasks {
        task.blocks = ["peaches", "apples"].map(BlockId::from).to_vec();
    }
    s.materials[0].label.crops = vec!["peach".to_owned()];
    s.materials[1].label.crops = vec!["peach".to_owned()];
    // The label names peaches alone: using it on apples is unlawful (the label is the law).
    let mut part = full(&s, "second-copper", "2027-02-20");
    part.blocks = vec![BlockId::from("peaches")];
    assert!(!rules(&s, &part, "2027-03-20").contains(&"crop-not-on-label"));
    part.blocks = vec![BlockId::from("apples")];
    assert!(rules(&s, &part, "2027-03-20").contains(&"crop-not-on-label"));
}

/// The issue's own case: product for 30 gal put into 9 gal. 2 % v/v of 30 gal is 0.6 gal.
fn thirty_in_nine() -> (Season, Record) {
    let mut s = season();
    s.materials[1].label.rate_max = Some(of("2 % v/v"));
    let mut record = full(&s, "second-copper", "2027-02-20");
    for used in &mut record.materials {
        if used.material.as_str() == "oil" {
            used.total = Some(of("0.6 gal"));
        }
    }
    record.volume = Some(of("30 gal"));
    (s, record)
}

#[test]
fn an_amount_over_the_label_for_the_volume_used_is_a_stop_everywhere() {
    let (s, mut record) = thirty_in_nine();
    assert_eq!(rules(&s, &record, "2027-03-20"), [""; 0]);
    record.volume = Some(of("9 gal"));
    assert_eq!(rules(&s, &record, "2027-03-20"), ["rate-off-label"]);
    let e = estimates(&s, "2027-03-20");
    let said = stops(&s, &e, None, &record).remove(0).message;
    assert!(
        said.contains("above its label's highest rate, 2 % v/v"),
        "{said}"
    );
    let kept = finish(&s, record, day("2027-02-20")).unwrap().season;
    let over = over_label(&kept);
    assert_eq!(over.len(), 1);
    // 0.6 gal in 9 gal is 6.7 %: three and a third times 2 %.
    assert!(over[0].words.contains("3.3 times"), "{}", over[0].words);
    // Corrected to what was really used it is none; a rounding is none either.
    let mut right = kept.records[0].clone();
    right.volume = Some(of("30 gal"));
    let right = correct(
        &kept,
        &kept.records[0].id,
        right,
        "volume",
        day("2027-02-21"),
    )
    .unwrap();
    assert_eq!(over_label(&right.season), []);
    let (s, mut record) = thirty_in_nine();
    record.volume = Some(of("29.9 gal"));
    assert_eq!(rules(&s, &record, "2027-03-20"), [""; 0]);
}

#[test]
fn a_thermometer_goes_before_the_hours_both_ways() {
    let mut s = season();
    s.materials[1].label.temp_min = Some(of("40 F"));
    let mut record = full(&s, "second-copper", "2027-02-20");
    record.temperature = Some(of("36 F"));
    assert_eq!(
        rules(&s, &record, "2027-03-20"),
        ["temperature-out-of-range"]
    );
    record.temperature = Some(of("41 F"));
    assert_eq!(rules(&s, &record, "2027-03-20"), [""; 0]);
    // Both are kept where they differ.
    note_reckoned(&mut record, &MixAmounts::default(), Some(of("5.2 C")));
    assert_eq!(record.temperature_by_hours, None, "41 F is 5 C");
    note_reckoned(&mut record, &MixAmounts::default(), Some(of("9 C")));
    assert_eq!(record.temperature_by_hours, Some(of("9 C")));
    assert_eq!(record.temperature, Some(of("41 F")));
}

#[test]
fn an_amount_used_goes_before_the_mix_sheet_and_both_are_kept() {
    let s = season();
    let sheet = MixAmounts {
        parts: vec![PartAmount {
            material: "copper".into(),
            rate: None,
            total: Some(of("1 kg")),
        }],
        ..MixAmounts::default()
    };
    let mut record = full(&s, "first-copper", "2026-12-01");
    note_reckoned(&mut record, &sheet, None);
    assert_eq!(record.materials[0].by_sheet, Some(of("1 kg")));
    let shown = barewood::report::records::facts(&s, &record);
    let used = &shown.iter().find(|f| f.0 == "used").unwrap().1;
    assert!(
        used.contains("1.2 kg used (1 kg by the mix sheet)"),
        "{used}"
    );
    // Copper and stock count what was used: 1.2 kg at 50 % on 0.3 ha is 2 kg/ha.
    let kept = finish(&s, record, day("2026-12-01")).unwrap().season;
    let copper = &barewood::domain::records::copper(&kept)[0];
    assert!((copper.season_kg_per_ha - 2.0).abs() < 1e-9, "{copper:?}");
    assert_eq!(kept.materials[0].stock.unwrap().to_string(), "3.8 kg");
    let mut same = full(&s, "first-copper", "2026-12-01");
    same.materials[0].total = Some(of("1.005 kg"));
    note_reckoned(&mut same, &sheet, None);
    assert_eq!(same.materials[0].by_sheet, None, "rounded while weighing");
}

#[test]
fn the_judgement_is_sealed_written_and_read_and_old_files_read_as_before() {
    let s = season();
    let e = estimates(&s, "2027-03-20");
    let mut record = full(&s, "second-copper", "2027-03-18");
    let found = stops(&s, &e, None, &record);
    record.judged = judgements(&found);
    record.anyway = Some("the buds of the north row were still tight".to_owned());
    record.temperature_by_hours = Some(of("9 C"));
    let plain = full(&s, "first-copper", "2026-12-01");
    let kept = finish(&s, plain, day("2026-12-01")).unwrap().season;
    let kept = finish(&kept, record, day("2027-03-18")).unwrap().season;
    assert_eq!(integrity(&kept, &[]), []);
    let text = season_file::fresh(&kept, &season_file::Comments::default()).unwrap();
    let read = season_file::read(&text, "s.toml").unwrap().season;
    assert_eq!(read.records, kept.records);
    assert_eq!(integrity(&read, &[]), []);
    // A reason changed by hand no longer fits the seal.
    let mut forged = read.clone();
    forged.records[1].anyway = Some("it was fine".to_owned());
    assert_ne!(integrity(&forged, &[]), []);
    // A record without it is written as it always was.
    let first = text.split("id = \"r1\"").nth(1).unwrap();
    let first = first.split("id = \"r2\"").next().unwrap();
    for key in ["anyway", "judged", "by_hours", "by_sheet"] {
        assert!(!first.contains(key), "{key}: {first}");
    }
    assert_eq!(read.task(&TaskId::from("prune")).unwrap().why, None);
}
