//! Many tasks at once: marked in the farm's table or in a list, then one act, taken back by one
//! key; and the blocks of a spray ticked one by one.

use crate::common::{air, day, season};
use crate::driver::Driver;
use barewood::domain::season::{Block, BlockId, Season, Sprayer, SprayerId, SprayerKind, TaskId};
use barewood::tui::host::Host;
use barewood::tui::keymap::Keymap;
use barewood::tui::model::Model;
use barewood::tui::overlay::Overlay;

fn field(d: &Driver, key: &str) -> String {
    let Some(Overlay::Form(form)) = &d.model.overlay else {
        panic!("no form: {}", d.notice())
    };
    let field = form.fields.iter().find(|f| f.key == key);
    field.map(|f| f.shown()).unwrap_or_default()
}

fn blocks(d: &Driver, task: &str) -> Vec<String> {
    let task = d.task(task);
    let open = d.model.season.open_blocks(task);
    open.iter().map(|b| b.id.to_string()).collect()
}

#[test]
fn one_block_of_a_spray_moves_and_the_rest_stays() {
    let mut d = Driver::new();
    let before = d.model.season.clone();
    d.keys("4 v \"cherries lime\" enter");
    assert_eq!(d.model.board.table.rows.len(), 1, "{}", d.notice());
    d.keys("space t \"2027-02-28\" enter");
    assert!(
        d.notice().contains("1 task or part changed"),
        "{}",
        d.notice()
    );
    assert_eq!(blocks(&d, "sulfur"), ["peach", "nectarine"]);
    assert_eq!(d.task("sulfur").date, day(2027, 2, 24));
    let part = d
        .model
        .season
        .tasks
        .iter()
        .find(|t| t.part_of.is_some())
        .unwrap();
    assert_eq!(part.part_of, Some(TaskId::from("sulfur")));
    assert_eq!(part.date, day(2027, 2, 28));
    assert_eq!(part.blocks, [BlockId::from("cherry")]);
    assert!(d.model.board.marks.is_empty());
    d.keys("u");
    assert_eq!(d.model.season, before);
}

#[test]
fn words_narrow_the_lists_and_nothing_brings_all_back() {
    let mut d = Driver::new();
    d.keys("v \"oil open\" enter");
    let shown: Vec<String> = barewood::tui::screen::board::order(&d.model)
        .into_iter()
        .map(|(_, id)| id.to_string())
        .collect();
    assert!(shown.iter().all(|id| id.starts_with("oil")), "{shown:?}");
    assert_eq!(shown.len(), 2);
    d.keys("v ctrl-u enter");
    assert!(barewood::tui::screen::board::order(&d.model).len() > 8);
    d.keys("v \"peach walnut\" enter");
    assert!(d.notice().starts_with("0 blocks"), "{}", d.notice());
}

#[test]
fn all_that_is_shown_is_marked_and_moved_by_two_keys() {
    let mut d = Driver::new();
    let before = d.model.season.clone();
    let open: Vec<TaskId> = before
        .tasks
        .iter()
        .filter(|t| t.state.is_open())
        .map(|t| t.id.clone())
        .collect();
    // The marks stay, so that the same key goes on.
    for days in 1..=3 {
        d.keys(if days == 1 { "= >" } else { ">" });
        for id in &open {
            let moved = d.model.season.task(id).unwrap().date - before.task(id).unwrap().date;
            assert_eq!(moved.num_days(), days, "{id}");
        }
    }
    d.keys("u u u");
    assert_eq!(d.model.season, before);
    d.model.board.marks.clear();
    // Marks are taken away by the same key, and by Esc.
    d.keys("= =");
    assert!(d.model.board.marks.is_empty());
    d.keys("space esc");
    assert!(d.model.board.marks.is_empty());
}

#[test]
fn what_is_marked_is_done_each_spray_with_its_record() {
    let mut d = Driver::new();
    d.keys("4 v \"lime\" enter = f tab \"A. Lind\" enter");
    // Something stands against it: nothing is recorded before the form has the reason.
    assert_eq!(d.model.season.records.len(), 0, "{}", d.notice());
    d.keys("\"the leaves were down\" enter");
    assert_eq!(d.model.season.records.len(), 1, "{}", d.notice());
    let record = &d.model.season.records[0];
    assert_eq!(record.who.as_deref(), Some("A. Lind"));
    assert_eq!(record.blocks.len(), 3);
    assert_eq!(record.anyway.as_deref(), Some("the leaves were down"));
    assert_eq!(record.judged[0].level, "stop");
    assert!(!d.task("sulfur").state.is_open());
}

/// Twenty-two blocks, each with a spray of its own that rain has held up.
fn after_rain() -> Season {
    let mut s = season();
    let first = s.blocks[0].clone();
    let spray = s
        .tasks
        .iter()
        .find(|t| t.id.as_str() == "copper-fall")
        .unwrap()
        .clone();
    s.blocks = (1..=22)
        .map(|n| Block {
            id: BlockId::from(format!("b{n:02}").as_str()),
            name: format!("{n:02} rows"),
            measured_volume: "120 L".parse().ok(),
            ..first.clone()
        })
        .collect();
    s.readings.clear();
    s.sprayers = ["Towed", "Skid"]
        .map(|name| Sprayer {
            id: SprayerId::from(name.to_lowercase().as_str()),
            name: name.to_owned(),
            kind: SprayerKind::Airblast,
            tank: "600 L".parse().unwrap(),
            volume_factor: None,
            refill_minutes: Some(10.0),
            way_minutes: None,
            speed: None,
            time: barewood::domain::season::WorkTime::default(),
            calibration: vec![barewood::domain::season::Calibration {
                date: day(2026, 11, 20),
                l_per_min: Some(20.0),
                l_per_ha: None,
                worst_nozzle_percent: None,
                note: None,
            }],
        })
        .to_vec();
    s.tasks = (1..=22)
        .map(|n| {
            let mut t = spray.clone();
            t.id = TaskId::from(format!("copper-{n:02}").as_str());
            t.blocks = vec![BlockId::from(format!("b{n:02}").as_str())];
            t.sprayer = Some(SprayerId::from(if n <= 14 { "towed" } else { "skid" }));
            t
        })
        .collect();
    s
}

#[test]
fn twenty_two_sprays_go_into_fit_hours_by_three_keys_without_a_clash() {
    let season = after_rain();
    let mut d = Driver::with(season.clone());
    d.host.air = Some(air(&season));
    let opening = d.host.open().unwrap();
    d.model = Model::new(opening, Keymap::standard(), (120, 40));
    assert!(d.model.fits.is_some());
    d.keys("4 = p");
    let placed: Vec<_> = d
        .model
        .season
        .tasks
        .iter()
        .filter(|t| t.hour.is_some())
        .collect();
    assert!(placed.len() > 4, "{}", d.notice());
    let twice = d
        .model
        .outlook
        .warnings
        .iter()
        .filter(|w| w.rule == "sprayer-twice")
        .count();
    assert_eq!(twice, 0, "{}", d.notice());
    println!("{} of 22 placed: {}", placed.len(), d.notice());
    d.keys("u");
    assert_eq!(d.model.season, season);
}

#[test]
fn blocks_are_ticked_and_amounts_follow() {
    let mut d = Driver::new();
    d.choose("sulfur").keys("f tab tab");
    assert_eq!(field(&d, "trees"), "44");
    // A blank opens the ticks, none ticked; the first is ticked.
    d.keys("\" \"");
    assert_eq!(field(&d, "blocks"), "-");
    d.keys("enter");
    assert!(
        d.model.season.records.is_empty(),
        "nothing ticked is no part"
    );
    d.keys("tab \" \"");
    assert_eq!(field(&d, "blocks"), "Peach row");
    assert_eq!(field(&d, "trees"), "24");
    assert_eq!(field(&d, "crops"), "peach");
    // It was done before its day: that is asked about once, and kept.
    d.keys("enter");
    assert_eq!(d.model.season.records.len(), 0);
    d.keys("\"the leaves were down\" enter");
    assert_eq!(d.model.season.records.len(), 1, "{}", d.notice());
    let record = &d.model.season.records[0];
    assert_eq!(record.anyway.as_deref(), Some("the leaves were down"));
    assert!(!record.judged.is_empty());
    assert_eq!(d.model.season.records[0].blocks, [BlockId::from("peach")]);
    assert_eq!(blocks(&d, "sulfur"), ["nectarine", "cherry"]);
    assert!(d.task("sulfur").state.is_open());
}
