//! Order in the tank, gear, re-entry.

use crate::fixture::*;
use barewood::domain::mix::{order, safety};
use barewood::domain::season::{Formulation, Material, Reentry};

fn of_form(name: &str, form: Option<Formulation>, active: &str) -> Material {
    let mut m = material(name, active);
    name.clone_into(&mut m.name);
    m.formulation = form;
    m
}

#[test]
fn the_order_of_oklahoma_state() {
    // Dry products, suspensions, soluble, concentrates, oil last of them, wetting agents.
    let all = [
        of_form("wetter", Some(Formulation::Adjuvant), "wetting agent"),
        of_form("oil", None, "horticultural oil"),
        of_form("concentrate", Some(Formulation::Ec), "something"),
        of_form("liquid", Some(Formulation::Sl), "something"),
        of_form("suspension", Some(Formulation::Sc), "chlorothalonil"),
        of_form("granule", Some(Formulation::Wg), "captan"),
        of_form("powder", Some(Formulation::Wp), "copper hydroxide"),
        of_form("salt", Some(Formulation::Sp), "urea"),
    ];
    let sorted: Vec<&str> = order::sorted(&all.iter().collect::<Vec<_>>())
        .iter()
        .map(|m| m.name.as_str())
        .collect();
    assert_eq!(
        sorted,
        [
            "powder",
            "granule",
            "suspension",
            "salt",
            "liquid",
            "concentrate",
            "oil",
            "wetter"
        ]
    );
}

#[test]
fn steps_have_jar_half_fill_water_and_agitation() {
    let (a, b) = (
        of_form("copper", Some(Formulation::Wp), "copper hydroxide"),
        of_form("oil", Some(Formulation::Ec), "horticultural oil"),
    );
    let steps = order::steps(&[&b, &a], Some(7.0));
    let text: Vec<&str> = steps.iter().map(|s| s.words.as_str()).collect();
    for (i, piece) in [
        "Jar test",
        "pH 6.5 or more is wanted; 7 is entered",
        "half to three quarters full",
        "copper (wettable powder)",
        "oil (emulsifiable concentrate)",
        "Top up",
        "Agitate without a break: oil separates",
        "the same day",
    ]
    .iter()
    .enumerate()
    {
        assert!(text[i].contains(piece), "{i}: {text:#?}");
    }
    let single = order::steps(&[&a], None);
    assert!(!single[0].words.contains("Jar"), "one product needs no jar");
    let unknown = of_form("thing", None, "kaolin");
    assert!(
        order::steps(&[&unknown], None)
            .iter()
            .any(|s| s.words.contains("look at its label"))
    );
}

#[test]
fn the_strictest_partner_rules() {
    // 40 CFR 170: the longest re-entry interval; gear of all labels together.
    let (mut a, mut b) = (material("a", "urea"), material("b", "kaolin"));
    a.label.reentry = Some(Reentry::After(of("48 h")));
    b.label.reentry = Some(Reentry::After(of("1 d")));
    b.label.gear = vec!["Gloves".to_owned(), "respirator".to_owned()];
    let r = safety::reentry([&a, &b].into_iter());
    assert_eq!((r.hours, r.until_dry), (Some(48.0), false));
    assert!(r.words().starts_with("48 h, or until it has dried"));
    let (gear, unknown) = safety::gear([&a, &b].into_iter());
    assert_eq!(gear, ["gloves", "goggles", "respirator"]);
    assert!(unknown.is_empty());
    b.label.reentry = Some(Reentry::UntilDry);
    assert!(safety::reentry([&a, &b].into_iter()).until_dry);
    b.label.reentry = None;
    let r = safety::reentry([&a, &b].into_iter());
    assert!(
        r.words().contains("NOT KNOWN for material b"),
        "{}",
        r.words()
    );
    let r = safety::reentry([&b].into_iter());
    assert!(r.words().contains("keep everyone out"), "{}", r.words());
}
