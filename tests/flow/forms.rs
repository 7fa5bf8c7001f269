use crate::common::{day, spray_season};
use crate::driver::Driver;
use barewood::domain::season::{Lane, TaskKind};
use barewood::tui::action::Event;
use barewood::tui::overlay::Overlay;

fn form(d: &Driver) -> &barewood::tui::form::Form {
    match &d.model.overlay {
        Some(Overlay::Form(form)) => form,
        other => panic!("no form but {other:?}"),
    }
}

#[test]
fn adds_a_spray_with_completed_names() {
    let mut d = Driver::new();
    d.keys("2 end right right a \"Oil on pears\" tab \"14 feb\" tab tab tab \"old\" right tab \"hort\" right \" 3 % v/v\" tab \"san\" right enter");
    let task = d.model.season.tasks.last().unwrap();
    assert_eq!(task.title, "Oil on pears");
    assert_eq!(task.date, day(2027, 2, 14));
    assert_eq!((task.lane, task.kind), (Lane::BeforeSwell, TaskKind::Spray));
    assert_eq!(task.blocks[0].as_str(), "apple");
    assert_eq!(task.mix[0].material.as_str(), "oil");
    assert_eq!(task.mix[0].rate.unwrap().to_string(), "3 % v/v");
    assert_eq!(task.targets[0].as_str(), "scale");
    assert_eq!(d.chosen(), task.id.as_str());
}

#[test]
fn the_first_fault_gets_the_cursor_and_says_what_to_write() {
    let mut d = Driver::new();
    d.keys("a enter");
    assert_eq!(
        (form(&d).focus, form(&d).fault.as_deref()),
        (0, Some("write a few words"))
    );
    d.keys("\"x\" tab \"30 feb\" enter");
    assert_eq!(
        form(&d).fault.as_deref(),
        Some("February 2027 has no day 30")
    );
    d.keys("ctrl-u \"sat\" tab tab tab \"meadow\" enter");
    assert!(
        form(&d)
            .fault
            .as_ref()
            .unwrap()
            .starts_with("there is no block 'meadow'; known: Peach row")
    );
    d.keys("esc");
    assert!(d.model.overlay.is_none());
}

#[test]
fn other_work_has_no_tank() {
    let mut d = Driver::new();
    d.choose("oil-late").keys("e tab tab tab");
    let hidden = |d: &Driver| form(d).fields.iter().filter(|f| !f.is_shown).count();
    assert_eq!(hidden(&d), 0);
    d.keys("p");
    assert_eq!(hidden(&d), 4);
    d.keys("tab tab");
    assert_eq!(
        form(&d).focus,
        form(&d).fields.len(),
        "hidden fields are passed over"
    );
    d.keys("enter");
    assert_eq!(d.task("oil-late").kind, TaskKind::Prune);
}

#[test]
fn an_edited_date_is_a_move_on_record() {
    let mut d = Driver::new();
    d.choose("oil-late").keys("e tab \"+1w\" enter");
    assert_eq!(d.task("oil-late").date, day(2027, 3, 27));
    assert_eq!(d.task("oil-late").moved.len(), 1);
}

#[test]
fn moves_to_a_typed_date_with_a_reason() {
    let mut d = Driver::new();
    d.choose("oil-late")
        .keys("t \"2027-03-08\" tab \"dealer late\" enter");
    assert_eq!(d.task("oil-late").moved[0].why, "dealer late");
    assert_eq!(d.task("oil-late").date, day(2027, 3, 8));
}

#[test]
fn notes_take_many_lines_and_pastes_never_run_commands() {
    let mut d = Driver::new();
    let tasks = d.model.season.tasks.len();
    d.choose("scout").keys("i \"first\" enter");
    d.happen(Event::Paste("q\nx\u{1b}[2Jdone".to_owned()));
    d.keys("tab enter");
    assert_eq!(d.task("scout").notes.as_deref(), Some("first\nq\nx[2Jdone"));
    d.happen(Event::Paste("xxq".to_owned()));
    assert_eq!(d.model.season.tasks.len(), tasks);
    assert!(d.notice().contains("only where text is typed"));
}

#[test]
fn leaf_drop_is_entered_and_taken_back() {
    let mut d = Driver::new();
    d.keys("D \"-2\" enter");
    assert_eq!(d.model.season.dates.leaf_drop_seen, Some(day(2026, 11, 23)));
    d.keys("D ctrl-u enter");
    assert_eq!(d.model.season.dates.leaf_drop_seen, None);
}

#[test]
fn a_click_goes_to_a_field() {
    let mut d = Driver::new();
    d.keys("e");
    d.happen(Event::Click(barewood::tui::action::Spot::Row(4)));
    assert_eq!(form(&d).focus, 4);
}

/// Every form there is, opened as its user opens it: each field says what to write, and what is
/// written is checked or explained at once.
#[test]
fn every_field_has_its_help_and_speaks_while_one_types() {
    for opened in [
        "a", "e", "f", "t", "i", "y", "D", "S a", "S b", "M a", "M e", "M t", "E e", "C a", "A",
    ] {
        let mut d = Driver::with(spray_season());
        d.choose("copper-late").keys(opened);
        assert!(d.model.overlay.is_some(), "{opened}: {}", d.notice());
        let fields = form(&d).fields.clone();
        for field in &fields {
            assert!(!field.label.is_empty(), "{opened} {}", field.key);
            assert!(field.help.len() > 3, "{opened} {}: no help", field.key);
        }
    }
    // A date that is no date, a rate without a unit, a name that is not known: told before enter.
    let mut d = Driver::new();
    for (keys, at, wrong) in [
        ("tab \"30 feb\"", 1, "no day 30"),
        ("tab tab tab tab \"meadow\"", 4, "no block 'meadow'"),
        ("tab tab tab tab tab \"gravel\"", 5, "gravel"),
    ] {
        d.keys("a").keys(keys);
        let said = form(&d).fields[at].check(&d.model);
        assert!(said.as_ref().is_err_and(|e| e.contains(wrong)), "{said:?}");
        d.keys("esc");
    }
}

#[test]
fn a_draft_opens_its_form_again_and_an_untouched_one_is_none() {
    use barewood::tui::form::Form;
    for (opened, typed) in [
        ("a", "\"Oil on pears\" tab \"14 feb\" tab right"),
        ("e", "tab \"+1w\""),
        ("f", "tab \"-2\""),
        ("t", "\"sat\""),
        ("i", "\"a note\""),
        ("D", "\"14 nov\""),
        ("S a", "\"95\""),
        ("S b", "\"swelling\""),
        ("M a", "right"),
        ("M e", "\"x\""),
        ("M t", "\"3\""),
        ("E e", "tab \"9\""),
        ("C a", "\"san\""),
        ("A", "\"Far farm\""),
    ] {
        let mut d = Driver::with(spray_season());
        d.choose("copper-late").keys(opened);
        assert_eq!(form(&d).draft(&d.model), None, "{opened}");
        d.keys(typed);
        let written = form(&d).clone();
        let draft = written
            .draft(&d.model)
            .unwrap_or_else(|| panic!("{opened}: nothing kept"));
        let mut fresh = Driver::with(spray_season());
        let back = Form::from_draft(&mut fresh.model, &draft).unwrap();
        assert_eq!(back.purpose, written.purpose, "{opened}");
        assert_eq!(back.title, written.title, "{opened}");
        assert_eq!(back.focus, written.focus, "{opened}");
        for (a, b) in back.fields.iter().zip(&written.fields) {
            assert_eq!(
                (a.text(), a.chosen()),
                (b.text(), b.chosen()),
                "{opened} {}",
                a.key
            );
        }
    }
}

#[test]
fn the_place_is_changed_by_the_name_of_a_town() {
    let mut d = Driver::new();
    // Angers in the GeoNames table: 47.47, -0.56, some 40 m, Europe/Paris.
    d.keys("C o tab ctrl-u \"Angers\"");
    let field = |d: &Driver, key: &str| {
        let fields = &form(d).fields;
        fields.iter().find(|f| f.key == key).unwrap().text()
    };
    assert_eq!(field(&d, "zone"), "Europe/Paris", "the clock follows");
    d.keys("enter");
    assert!(d.model.overlay.is_none());
    let orchard = &d.model.season.orchard;
    assert!(
        (orchard.latitude - 47.47).abs() < 0.02,
        "{}",
        orchard.latitude
    );
    assert!(
        (orchard.longitude + 0.56).abs() < 0.02,
        "{}",
        orchard.longitude
    );
    assert_eq!(orchard.time_zone.name(), "Europe/Paris");
    let height = orchard.elevation.as_ref().unwrap().m();
    assert!((0.0..80.0).contains(&height), "{height}");
    d.keys("u");
    assert!(d.model.season.orchard.latitude < 47.0, "undone");
}

#[test]
fn a_clock_that_does_not_fit_the_new_place_is_told_once() {
    let mut d = Driver::new();
    d.keys("C o tab ctrl-u \"Angers\" tab ctrl-u \"America/New_York\" enter");
    let told = form(&d).fault.clone().unwrap();
    assert!(told.contains("enter once more keeps it"), "{told}");
    d.keys("enter");
    assert_eq!(d.model.season.orchard.time_zone.name(), "America/New_York");
    // A town of a name that several have asks which, and a name nobody knows is told.
    d.keys("o tab ctrl-u \"Rochester\" enter");
    assert!(
        form(&d).fault.as_ref().unwrap().contains("towns"),
        "asks which"
    );
    d.keys("ctrl-u \"Nowhere at all\" enter");
    assert!(form(&d).fault.as_ref().unwrap().contains("no town"));
}
