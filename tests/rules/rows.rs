//! Rows of the table of targets against the pages they cite: where they live, what works, by when.

use super::fixture::*;
use barewood::domain::materials::is_known_active;
use barewood::domain::phenology::species::Species;
use barewood::domain::season::TargetId;
use barewood::domain::targets::{self, Control, Need, Target, need_on};

fn row(id: &str) -> &'static Target {
    targets::built_in().find(|t| t.id == id).unwrap()
}

#[test]
fn trees_that_pages_name_as_hosts() {
    use Species::{
        Almond, Apple, Apricot, JapanesePlum, Nectarine, Peach, Pear, SourCherry, SweetCherry,
        Walnut,
    };
    for (id, hosts, source) in [
        // UC IPM nectarine, plum, apricot, cherry.
        (
            "bacterial-canker",
            &[Nectarine, Apricot, SweetCherry][..],
            "UC IPM",
        ),
        // UC IPM apricot r5300811, nectarine, cherry, plum r611302211; peach is one species with
        // nectarine.
        (
            "lecanium",
            &[Apricot, Nectarine, Peach, SweetCherry, JapanesePlum],
            "UC IPM",
        ),
        (
            "twig-borer",
            &[JapanesePlum, Peach, Almond, Apricot],
            "UC IPM",
        ),
        // Michigan State 2018, Delaware, West Virginia.
        (
            "bacterial-spot",
            &[Peach, Nectarine, Apricot, JapanesePlum],
            "extension",
        ),
        (
            "cherry-leaf-spot",
            &[SweetCherry, SourCherry],
            "PNW Handbook",
        ),
        ("walnut-blight", &[Walnut], "UC IPM"),
        ("psylla", &[Pear], "Washington State"),
        ("rosy-aphid", &[Apple], "UC IPM apple"),
    ] {
        for host in hosts {
            assert!(row(id).hosts.contains(host), "{id} on {host:?}: {source}");
        }
    }
    // UC Master Gardeners: apricot is no host of leaf curl.
    assert!(!row("leaf-curl").hosts.contains(&Apricot));
}

#[test]
fn what_works_and_by_when() {
    for (id, active) in [
        ("shot-hole", "ziram"),          // stone fruit handbooks; USU IPM-007
        ("shot-hole", "chlorothalonil"), // USU IPM-007
        ("psylla", "kaolin"),            // Washington State, 31 January 2024
        ("scale", "lime sulfur"),        // Univ. of Georgia 2024
    ] {
        assert!(row(id).actives.contains(&active), "{id}: {active}");
    }
    // UC IPM apple, Utah State ENT-143: at half-inch green (54), so that the next stage ends it.
    assert_eq!(row("rosy-aphid").last_stage, Some(55));
    // UC IPM plum (Adaskaveg 2022): a dormant spray rates 0.
    assert_eq!(row("brown-rot").control, Control::None);
    for target in targets::built_in() {
        for active in target.actives {
            assert!(is_known_active(active), "{}: {active}", target.id);
        }
    }
}

#[test]
fn a_quarter_of_the_spurs_decides_on_plum() {
    // UC IPM plum r611302211: 25 % of the spurs; elsewhere 4 of the first 20 (r606900511).
    let mut s = season();
    s.blocks[0].species = Species::EuropeanPlum;
    let view = targets::find(&s, &TargetId::from("lecanium")).unwrap();
    for (count, on_plum, on_almond) in [
        (0.0, Need::NotNeeded, Need::NotNeeded),
        (3.0, Need::LookAgain, Need::LookAgain),
        (4.0, Need::LookAgain, Need::Treat),
        (5.0, Need::Treat, Need::Treat),
    ] {
        let found = seen("lecanium", "2026-27", Some((count, 20.0)));
        let on = |species| need_on(&view, &found, "2026-27", species);
        assert_eq!(on(Species::EuropeanPlum), on_plum, "{count} on plum");
        assert_eq!(on(Species::Almond), on_almond, "{count} on almond");
    }
}
