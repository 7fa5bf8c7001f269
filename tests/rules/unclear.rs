//! What is written and can be read in two ways, or in none.

use super::fixture::*;
use barewood::domain::rules::Level;
use barewood::domain::season::{Formulation, Season};

#[test]
fn an_active_that_no_table_knows_was_not_checked() {
    // The names stand in `ACTIVE_NAMES`, each with its source.
    for (active, level) in [
        ("cuprous oxide", None),
        ("cupric hydroxide", None),
        ("refined petroleum distillate", None),
        ("copper octanoate", None),
        ("kaolin", None),
        ("Insecticide: something new", None),
        ("mystery dust", Some(Level::Caution)),
        ("", Some(Level::Caution)),
    ] {
        let mut s = season();
        s.materials[0].active = active.to_owned();
        assert_eq!(
            levels(&s, "active-not-known"),
            level.into_iter().collect::<Vec<_>>(),
            "{active}"
        );
    }
    let mut s = season();
    s.materials[0].active = "mystery dust".to_owned();
    assert!(
        only(&s, "active-not-known")
            .message
            .contains("which kind is 'mystery dust'")
    );
}

#[test]
fn words_of_labels_no_longer_escape_the_rules() {
    // Cuprous oxide with lime sulfur; petroleum oil with captan: as their common names.
    for (one, two) in [
        ("cuprous oxide", "lime sulfur"),
        ("refined petroleum distillates", "captan"),
        ("mineral oil", "sulfur"),
        ("paraffinic oil", "chlorothalonil"),
    ] {
        let mut s = season();
        s.materials = vec![material("a", one), material("b", two)];
        s.tasks[0] = spray("late", "2027-02-01", &["p"], &["a", "b"]);
        assert_eq!(
            levels(&s, "partners-do-not-mix"),
            [Level::Stop],
            "{one} {two}"
        );
    }
}

fn rated(rate: &str, formulation: Formulation, zone: &str) -> Season {
    let mut s = season();
    s.orchard.time_zone = of(zone);
    s.blocks[0].measured_volume = Some(of("400 L"));
    s.sprayers[0].tank = of("100 L");
    s.materials[0].formulation = Some(formulation);
    s.materials[0].label.rate = Some(of(rate));
    s
}

#[test]
fn ounces_of_a_liquid_and_gallons_of_two_kinds_ask() {
    use Formulation::{Ec, Wp};
    // NIST Handbook 44, appendix C; Weights and Measures Act 1985, schedule 1.
    for (rate, form, zone, asks) in [
        ("6 oz/gal", Ec, "America/Chicago", true),
        ("6 oz wt/gal", Ec, "America/Chicago", false),
        ("6 fl oz/gal", Ec, "America/Chicago", false),
        ("6 oz/gal", Wp, "America/Chicago", false), // a powder is weighed
        ("10 fl oz/gal", Ec, "Europe/London", true),
        ("10 fl oz/gal", Ec, "America/Toronto", true),
        ("10 fl oz/imp gal", Ec, "Europe/London", false),
        ("2 pt/acre", Ec, "Europe/London", true),
        ("10 mL/L", Ec, "Europe/London", false),
        ("2 % v/v", Ec, "Europe/London", false),
        ("10 fl oz/gal", Ec, "America/New_York", false),
    ] {
        assert_eq!(
            levels(&rated(rate, form, zone), "unit-in-doubt"),
            if asks { vec![Level::Caution] } else { vec![] },
            "{rate} {zone}"
        );
    }
    let mut s = rated("10 mL/L", Ec, "Europe/London");
    s.tasks[0].volume = Some(of("25 gal"));
    assert_eq!(levels(&s, "unit-in-doubt"), [Level::Caution]);
    s.tasks[0].volume = Some(of("25 imp gal"));
    assert!(levels(&s, "unit-in-doubt").is_empty());
}

#[test]
fn ares_ask_where_acres_are_usual() {
    for (zone, asks) in [
        ("America/Chicago", true),
        ("Asia/Tokyo", false),
        ("Europe/Berlin", false),
    ] {
        let mut s = rated("10 mL/L", Formulation::Ec, zone);
        s.blocks[0].area = Some(of("10 a"));
        assert_eq!(!levels(&s, "unit-in-doubt").is_empty(), asks, "{zone}");
    }
}
