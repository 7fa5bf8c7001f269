//! What stands in the yard, set up on the board and used from there.

use crate::common::spray_season;
use crate::driver::Driver;
use barewood::domain::season::{PastCopper, SprayerKind};
use barewood::tui::overlay::Overlay;

/// Puts the cursor of the open form onto a field.
fn onto(d: &mut Driver, key: &str) {
    for _ in 0..40 {
        let Some(Overlay::Form(form)) = &d.model.overlay else {
            panic!("no form: {}", d.notice())
        };
        if form.fields.get(form.focus).is_some_and(|f| f.key == key) {
            return;
        }
        d.keys("tab");
    }
    panic!("there is no field '{key}'");
}

/// What a choice shows.
fn chosen(d: &Driver, key: &str) -> String {
    let Some(Overlay::Form(form)) = &d.model.overlay else {
        panic!("no form: {}", d.notice())
    };
    let field = form.fields.iter().find(|f| f.key == key);
    field.map(|f| f.shown()).unwrap_or_default()
}

/// Adds a sprayer in the form of the board and gives it the late oil; answers the sheet as written.
fn sheet_with(d: &mut Driver, name: &str, type_keys: &str, words: &str, tank: &str) -> String {
    d.keys(&format!("E a \"{name}\""));
    onto(d, "type");
    d.keys(type_keys);
    assert_eq!(chosen(d, "type"), words);
    onto(d, "tank");
    d.keys(&format!("\"{tank}\" enter esc"));
    d.choose("oil-late").keys("e");
    onto(d, "sprayer");
    while chosen(d, "sprayer") != name {
        let before = chosen(d, "sprayer");
        d.keys("right");
        assert_ne!(chosen(d, "sprayer"), before, "{name} cannot be chosen");
    }
    d.keys("enter");
    d.choose("oil-late").keys("X");
    d.keys(&format!("P ctrl-u \"{name}.txt\" enter"));
    d.host.written[&format!("{name}.txt")].clone()
}

#[test]
fn a_hose_end_sprayer_is_set_up_and_its_sheet_tells_the_dial_and_no_tank() {
    let mut d = Driver::with(spray_season());
    let sheet = sheet_with(
        &mut d,
        "bottle",
        "left left",
        "hose-end: a bottle with a dial",
        "32 fl oz",
    );
    let kinds: Vec<SprayerKind> = d.model.season.sprayers.iter().map(|s| s.kind).collect();
    assert_eq!(kinds, [SprayerKind::Handgun, SprayerKind::HoseEnd]);
    // 2 % of a gallon of 128 fl oz; a bottle of 32 fl oz makes fifty times itself, 12.5 gal.
    let flat = sheet.split_whitespace().collect::<Vec<_>>().join(" ");
    for wanted in [
        "set the dial to 2.56 fl oz per gal or the next lower mark",
        "A full bottle of 32 fl oz makes 12.5 gal",
        "pour it undiluted into the bottle",
    ] {
        assert!(flat.contains(wanted), "{wanted}:\n{sheet}");
    }
    assert!(!flat.contains("full of 32 fl oz"), "{sheet}");
    assert!(!flat.contains("part tank"), "{sheet}");
}

#[test]
fn a_12_v_tank_on_a_cart_is_set_up_and_mixed_by_the_tank() {
    let mut d = Driver::with(spray_season());
    let sheet = sheet_with(
        &mut d,
        "trailer",
        "left",
        "cart: a 12 V tank on wheels",
        "15 gal",
    );
    let cart = d.model.season.sprayers.last().unwrap();
    assert_eq!(
        (cart.kind, cart.name.as_str()),
        (SprayerKind::Cart, "trailer")
    );
    assert!(
        sheet.contains("15 gal") && sheet.contains("trailer"),
        "{sheet}"
    );
    assert!(!sheet.contains("dial"), "{sheet}");
    // Opened again the form shows what was chosen, and a second thought is taken.
    d.keys("esc E down c");
    assert_eq!(chosen(&d, "type"), "cart: a 12 V tank on wheels");
    onto(&mut d, "type");
    d.keys("left left enter");
    assert_eq!(
        d.model.season.sprayers.last().unwrap().kind,
        SprayerKind::Hand
    );
}

#[test]
fn past_copper_of_a_block_is_told_in_its_form() {
    let mut d = Driver::with(spray_season());
    d.keys("C c");
    let before = d.model.season.blocks.len();
    assert!(before > 1);
    onto(&mut d, "past copper");
    d.keys("\"4.4 3,9 ? 4\" enter");
    let first = &d.model.season.blocks[0].copper_past_kg_per_ha;
    let kg = |kg: f64| PastCopper::KgPerHa(kg);
    assert_eq!(*first, [kg(4.4), kg(3.9), PastCopper::Unknown, kg(4.0)]);
    assert!(d.model.season.blocks[1].copper_past_kg_per_ha.is_empty());
    d.keys("c");
    onto(&mut d, "past copper");
    d.keys("ctrl-u \"4.4 lots\" enter");
    let Some(Overlay::Form(form)) = &d.model.overlay else {
        panic!("it was taken: {}", d.notice())
    };
    assert!(
        form.fault
            .as_deref()
            .unwrap_or("")
            .contains("'lots' is no copper of a year")
    );
}
