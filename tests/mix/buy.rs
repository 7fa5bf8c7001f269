//! The buy list.

use crate::fixture::*;
use barewood::domain::mix::buy;
use barewood::domain::season::TaskState;

#[test]
fn need_stock_packs_and_cost() {
    // Two sprays of 4 lb on one acre; 3 lb in the shed; packs of 2 lb at 12.50.
    let mut s = season();
    s.tasks.push(spray("early", "2026-12-01", &["p"], &["cu"]));
    s.materials[0].stock = Some(of("3 lb"));
    s.materials[0].pack = Some(of("2 lb"));
    s.materials[0].pack_price = Some(12.5);
    let list = buy::list(&s, day(TODAY));
    let row = &list.rows[0];
    assert_eq!(row.need.unwrap().amount.to_string(), "8 lb");
    assert_eq!(row.short.unwrap().amount.to_string(), "5 lb");
    assert_eq!((row.packs, row.cost), (Some(3), Some(37.5)));
    assert_eq!(row.first_needed, day("2026-12-01"));
    let tasks: Vec<&str> = row
        .tasks
        .iter()
        .map(barewood::domain::season::TaskId::as_str)
        .collect();
    assert_eq!(tasks, ["early", "late"]);
    assert_eq!((list.cost, list.cost_is_partial), (37.5, false));
    // What is done is no longer needed.
    s.tasks[1].state = TaskState::Done(day("2026-12-01"));
    let list = buy::list(&s, day(TODAY));
    assert_eq!(list.rows[0].short.unwrap().amount.to_string(), "1 lb");
    assert_eq!(list.rows[0].packs, Some(1));
}

#[test]
fn enough_in_the_shed_costs_nothing() {
    let mut s = season();
    s.materials[0].stock = Some(of("64 oz"));
    let list = buy::list(&s, day(TODAY));
    assert!(list.rows[0].short.is_none() && list.rows[0].packs.is_none());
    assert!(!list.cost_is_partial);
}

#[test]
fn what_is_not_known_is_said() {
    let mut s = season();
    s.materials[0].label.rate = None;
    let list = buy::list(&s, day(TODAY));
    assert!(list.cost_is_partial);
    assert!(list.rows[0].unknown.iter().any(|u| u.contains("not known")));
    assert!(
        list.rows[0]
            .unknown
            .iter()
            .any(|u| u.contains("not counted"))
    );
    // A shortage without a pack or a price leaves the sum partial.
    let mut s = season();
    s.materials[0].stock = Some(of("1 lb"));
    assert!(buy::list(&s, day(TODAY)).cost_is_partial);
}

#[test]
fn volume_and_mass_meet_through_density() {
    let mut s = season();
    s.materials[0].stock = Some(of("1 gal"));
    let list = buy::list(&s, day(TODAY));
    assert!(
        list.rows[0].unknown.iter().any(|u| u.contains("density")),
        "{:?}",
        list.rows[0].unknown
    );
    s.materials[0].density_kg_per_l = Some(1.0);
    let list = buy::list(&s, day(TODAY));
    assert!(
        list.rows[0].short.is_none(),
        "4 lb are less than a gallon of water"
    );
}
