//! Coverage, mix, materials, buy list and sprayers, by keys.

use crate::common::{spray_season, today};
use crate::driver::Driver;
use barewood::domain::materials::label_fields;
use barewood::domain::season::{BlockId, MaterialId, Season, TargetId, TaskId};
use barewood::tui::overlay::Overlay;

fn driver() -> Driver {
    Driver::with(spray_season())
}

fn seen<'a>(season: &'a Season, block: &str, target: &str) -> Vec<(&'a str, Option<f64>)> {
    let block = season.block(&BlockId::from(block)).unwrap();
    let id = TargetId::from(target);
    let all = block.seen.iter().filter(|s| s.target == id);
    all.map(|s| (s.season.as_str(), s.count)).collect()
}

fn fault(d: &Driver) -> String {
    match &d.model.overlay {
        Some(Overlay::Form(form)) => form.fault.clone().unwrap_or_default(),
        _ => String::new(),
    }
}

#[test]
fn what_was_seen_is_ticked_counted_and_taken_back() {
    let mut d = driver();
    d.keys("C space");
    let both = [("2025-26", None), ("2026-27", None)];
    assert_eq!(seen(&d.model.season, "peach", "leaf-curl"), both);
    // No estimate hangs on it: none is asked for.
    assert!(d.wishes.is_empty(), "{:?}", d.wishes);
    d.keys("space");
    assert_eq!(
        seen(&d.model.season, "peach", "leaf-curl"),
        [("2025-26", None)]
    );
    d.keys("u");
    assert_eq!(seen(&d.model.season, "peach", "leaf-curl"), both);
    d.keys("x");
    assert_eq!(seen(&d.model.season, "peach", "leaf-curl"), []);
    d.keys("u");
    assert_eq!(seen(&d.model.season, "peach", "leaf-curl"), both);
}

#[test]
fn a_count_is_entered_for_a_past_season_and_nonsense_is_not() {
    let mut d = driver();
    d.keys("C a \"scale\" tab ctrl-u \"2024-25\" tab \"30\" tab \"20\" enter");
    assert!(fault(&d).contains("cannot be"), "{}", fault(&d));
    d.keys("shift-tab ctrl-u \"3\" enter");
    assert_eq!(
        seen(&d.model.season, "peach", "scale"),
        [("2024-25", Some(3.0))]
    );
    d.keys("C a \"scale, lecanium\" tab tab \"3\" enter");
    assert!(fault(&d).contains("one by one"), "{}", fault(&d));
}

#[test]
fn a_proposal_says_why_is_accepted_once_and_undone() {
    let mut d = driver();
    let before = d.model.season.clone();
    d.keys("C down");
    let cell = d.model.spray.coverage.cell().unwrap();
    assert_eq!(
        (cell.block.as_str(), cell.target.as_str()),
        ("peach", "lecanium")
    );
    let gaps = d.model.spray.coverage.grid.gaps().len();
    d.keys("p");
    let proposal = d.model.spray.coverage.chosen_proposal().unwrap().clone();
    assert_eq!(proposal.task.targets, [TargetId::from("lecanium")]);
    assert!(proposal.reasons.len() > 2);
    d.keys("p");
    assert!(d.notice().starts_with("planned: "), "{}", d.notice());
    let added = d.model.season.task(&proposal.task.id).unwrap();
    assert_eq!(added.blocks, [BlockId::from("peach")]);
    assert_eq!(d.chosen(), proposal.task.id.as_str());
    assert_eq!(d.model.spray.coverage.grid.gaps().len(), gaps - 1);
    d.keys("u");
    assert_eq!(d.model.season, before);
}

#[test]
fn what_no_task_answers_for_is_quietened_with_a_reason_on_record() {
    let mut d = driver();
    let loud = |d: &Driver| {
        d.model
            .outlook
            .warnings
            .iter()
            .filter(|w| w.task.is_none())
            .map(|w| w.target.clone())
            .collect::<Vec<_>>()
    };
    let lecanium = Some(TargetId::from("lecanium"));
    assert!(loud(&d).contains(&lecanium));
    d.keys("C down Z tab enter");
    assert!(loud(&d).contains(&lecanium), "a reason is wanted");
    d.keys("\"parasites have them\" enter");
    assert!(!loud(&d).contains(&lecanium));
    let quiet = d.model.season.blocks[0].quiet.clone();
    assert_eq!(quiet.len(), 1);
    assert_eq!(
        (quiet[0].why.as_str(), quiet[0].on),
        ("parasites have them", today())
    );
    // It is told where it stands, and lifted the same way.
    d.keys("Z tab \"looked again\" enter");
    assert!(loud(&d).contains(&lecanium));
    assert!(d.model.season.blocks[0].quiet.is_empty());
}

#[test]
fn the_mix_of_the_chosen_spray_is_shown_and_written_once() {
    let mut d = driver();
    d.choose("copper-late").keys("X");
    let sheet = d.model.spray.mix.sheet.clone().unwrap();
    assert_eq!(sheet.title, "Copper before swell");
    d.keys("P ctrl-u \"sheets/late.txt\" enter");
    let names: Vec<&String> = d.host.written.keys().collect();
    assert_eq!(names, ["sheets/late.html", "sheets/late.txt"]);
    assert!(d.host.written["sheets/late.txt"].contains("MIX SHEET  Copper before swell"));
    assert!(d.notice().starts_with("written: sheets/late.txt"));
    let first = d.host.written.clone();
    d.keys("right P ctrl-u \"sheets/late\" tab right right enter");
    assert!(d.notice().contains("left alone"), "{}", d.notice());
    assert_eq!(d.host.written, first);
    assert_ne!(d.model.spray.mix.task, Some(TaskId::from("copper-late")));
    d.keys("P ctrl-u enter");
    assert_eq!(fault(&d), "write a few words");
}

#[test]
fn a_card_that_is_no_spray_leads_to_the_next_one() {
    let mut d = driver();
    d.choose("prune").keys("X");
    assert!(d.notice().contains("is no spray"), "{}", d.notice());
    assert_eq!(d.model.spray.mix.task, Some(TaskId::from("copper-late")));
}

#[test]
fn a_label_is_gone_through_field_by_field_and_checked() {
    let mut d = driver();
    let place = label_fields().iter().position(|f| f.key == "rate").unwrap();
    d.keys("M e");
    for _ in 0..place {
        d.keys("tab");
    }
    d.keys("ctrl-u \"plenty\" enter");
    assert!(!fault(&d).is_empty());
    d.keys("ctrl-u \"6 lb/100 gal\" enter");
    let copper = d
        .model
        .season
        .material(&MaterialId::from("copper"))
        .unwrap();
    assert_eq!(copper.label.rate.unwrap().to_string(), "6 lb/100 gal");
    // The last field: the day it was read, said as people say it.
    d.keys("e shift-tab shift-tab ctrl-u \"yesterday\" enter");
    let copper = d
        .model
        .season
        .material(&MaterialId::from("copper"))
        .unwrap();
    assert_eq!(copper.label.read_on, today().pred_opt());
    d.keys("u u");
    assert_eq!(d.model.season, spray_season());
}

#[test]
fn a_starting_point_is_added_marked_and_its_label_opened() {
    let mut d = driver();
    let before = d.model.season.materials.len();
    d.keys("M a tab \"winter oil\" enter");
    let added = d.model.season.materials.last().unwrap();
    assert_eq!(d.model.season.materials.len(), before + 1);
    assert_eq!(added.name, "winter oil");
    assert!(added.label.generic);
    assert!(matches!(&d.model.overlay, Some(Overlay::Form(f)) if f.title.contains("winter oil")));
    d.keys("esc x");
    assert_eq!(d.model.season.materials.len(), before);
    d.keys("home x");
    assert_eq!(d.model.season.materials.len(), before, "tasks use it");
    assert!(d.notice().contains("is used by"), "{}", d.notice());
}

#[test]
fn stock_is_counted_on_the_buy_list() {
    let mut d = driver();
    d.keys("$");
    let short = |d: &Driver| {
        let row = d.model.spray.buy.row().unwrap();
        (row.name.clone(), row.short.is_some(), row.packs)
    };
    assert_eq!(short(&d), ("fixed copper".to_owned(), true, Some(1)));
    d.keys("e ctrl-u \"40 lb\" enter");
    assert_eq!(short(&d), ("fixed copper".to_owned(), false, None));
    d.keys("u");
    assert_eq!(short(&d), ("fixed copper".to_owned(), true, Some(1)));
}

#[test]
fn a_sprayer_is_calibrated_and_a_worn_nozzle_found() {
    let mut d = driver();
    let speaks = |d: &Driver, rule: &str| d.model.outlook.warnings.iter().any(|w| w.rule == rule);
    assert!(speaks(&d, "sprayer-not-calibrated"));
    d.keys("E e tab tab \"1 gal, 1 gal, 1.2 gal\" enter");
    assert!(fault(&d).contains("missing"), "{}", fault(&d));
    d.keys("tab \"60\" tab \"1 gal\" enter");
    assert!(
        d.notice().contains("nozzle 3 is 20 % off"),
        "{}",
        d.notice()
    );
    let entry = d.model.season.sprayers[0].calibration.last().unwrap();
    assert_eq!(entry.date, today());
    let gallons = entry.l_per_min.unwrap() / 3.785_411_784;
    assert!((gallons - 3.2).abs() < 1e-9, "{gallons}");
    assert!((entry.worst_nozzle_percent.unwrap() - 20.0).abs() < 1e-9);
    assert!(!speaks(&d, "sprayer-not-calibrated"));
    assert!(speaks(&d, "nozzle-worn"));
    // The same day again by a plot takes its place.
    d.keys("e right tab tab \"3 gal\" tab \"100 ft\" tab \"20 ft\" enter");
    let all = &d.model.season.sprayers[0].calibration;
    assert_eq!(all.len(), 2);
    let per_acre = all[1].l_per_ha.unwrap() * 0.404_685_642_24 / 3.785_411_784;
    assert!(
        (per_acre - 3.0 * 43_560.0 / 2_000.0).abs() < 1e-6,
        "{per_acre}"
    );
}

#[test]
fn words_are_found_on_each_list() {
    let mut d = driver();
    d.keys("M / \"lime\" enter");
    assert_eq!(d.model.spray.materials.at, 2);
    d.keys("C / \"brown\" enter");
    let target = d.model.spray.coverage.cell().unwrap().target.clone();
    assert_eq!(target, TargetId::from("brown-rot"));
    d.keys("n");
    assert_eq!(d.model.spray.coverage.cell().unwrap().target, target);
    d.keys("/ \"zebra\" enter");
    assert_eq!(d.notice(), "nothing found for 'zebra'");
}
