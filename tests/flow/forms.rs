use crate::common::day;
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
    d.keys("G right right a \"Oil on pears\" tab \"14 feb\" tab tab tab \"old\" right tab \"hort\" right \" 3 % v/v\" tab \"san\" right enter");
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
