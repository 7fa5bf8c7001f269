//! What shares a tank, and the water in it.

use super::fixture::*;
use barewood::domain::rules::Level;
use barewood::domain::season::Season;

fn tank(actives: &[&str]) -> Season {
    let mut s = season();
    let ids = ["m0", "m1", "m2", "m3"];
    s.materials = ids
        .iter()
        .zip(actives)
        .map(|(id, active)| material(id, active))
        .collect();
    s.tasks[0] = spray(
        "late",
        "2027-02-01",
        &["p"],
        ids.get(..actives.len()).unwrap(),
    );
    s
}

#[test]
fn pairs_that_do_not_mix() {
    for (a, b, level) in [
        ("lime sulfur", "citric acid", Some(Level::Stop)), // from memory: toxic gas
        ("horticultural oil", "captan", Some(Level::Stop)), // captan label
        ("bordeaux mixture", "captan", Some(Level::Stop)), // captan label: alkaline
        ("lime sulfur", "captan", Some(Level::Stop)),      // captan label: alkaline
        ("horticultural oil", "sulfur", Some(Level::Stop)), // Georgia 2024
        ("horticultural oil", "chlorothalonil", Some(Level::Stop)), // OMAFRA 2006
        ("lime sulfur", "copper hydroxide", Some(Level::Stop)), // from memory
        ("copper hydroxide", "potassium phosphite", Some(Level::Stop)), // from memory
        ("horticultural oil", "lime sulfur", Some(Level::Caution)), // Montreal: dormant, both labels
        ("copper hydroxide", "sulfur", Some(Level::Caution)),       // Oregon State
        ("copper hydroxide", "horticultural oil", None),            // Rosenberger 2013
        ("copper hydroxide", "urea", None),
        ("kaolin", "horticultural oil", None),
    ] {
        for pair in [[a, b], [b, a]] {
            assert_eq!(
                levels(&tank(&pair), "partners-do-not-mix"),
                level.into_iter().collect::<Vec<_>>(),
                "{pair:?}"
            );
        }
    }
}

#[test]
fn a_label_forbids_in_either_direction() {
    for holder in [0, 1] {
        let mut s = tank(&["copper hydroxide", "horticultural oil"]);
        let other = ["oil", "copper"][holder];
        s.materials[holder].label.never_with = vec![other.to_owned()];
        let w = only(&s, "partners-do-not-mix");
        assert_eq!((w.level, w.source.id), (Level::Stop, "label"));
    }
}

#[test]
fn three_partners_at_most() {
    // Wolf, Sprayers 101.
    let all = ["copper hydroxide", "urea", "kaolin", "spinosad"];
    assert!(levels(&tank(&all[..3]), "too-many-partners").is_empty());
    assert_eq!(levels(&tank(&all), "too-many-partners"), [Level::Caution]);
}

#[test]
fn water_for_copper_and_by_label() {
    // New England guide 1996-97; Rosenberger 2013: pH 6.5 or more for copper hydroxide.
    for (ph, low, high, level) in [
        (6.5, None, None, None),
        (6.4, None, None, Some(Level::Stop)),
        (6.6, None, None, None),
        (6.0, Some(6.0), None, None), // the label's own figure
        (5.9, Some(6.0), None, Some(Level::Stop)),
        (8.0, None, Some(8.0), None),
        (8.1, None, Some(8.0), Some(Level::Stop)),
    ] {
        let mut s = season();
        s.tasks[0].water_ph = Some(ph);
        let label = &mut s.materials[0].label;
        (label.water_ph_min, label.water_ph_max) = (low, high);
        assert_eq!(
            levels(&s, "water-ph"),
            level.into_iter().collect::<Vec<_>>(),
            "{ph} {low:?} {high:?}"
        );
    }
}

#[test]
fn the_ph_of_copper_hydroxide_is_not_that_of_every_copper() {
    // New England guide 1996-97; Rosenberger 2013: 6.5 for copper hydroxide.
    for (active, level) in [
        ("copper hydroxide", Some(Level::Stop)),
        ("cupric hydroxide", Some(Level::Stop)),
        ("copper sulfate", None),
        ("bordeaux mixture", None),
        ("copper octanoate", None),
        ("fixed copper", Some(Level::Caution)), // which copper is it?
        ("horticultural oil", None),
    ] {
        let mut s = tank(&[active]);
        s.tasks[0].water_ph = Some(6.2);
        assert_eq!(
            levels(&s, "water-ph"),
            level.into_iter().collect::<Vec<_>>(),
            "{active}"
        );
    }
}

#[test]
fn captan_in_alkaline_water() {
    // Kansas State Univ.: half of it gone in 8 h at pH 7, in 2 minutes at pH 10;
    // Univ. of Florida PI193: from pH 8 on what is sensitive breaks down fast.
    for (ph, level) in [
        (6.9, None),
        (7.0, None),
        (7.1, Some(Level::Caution)),
        (7.9, Some(Level::Caution)),
        (8.0, Some(Level::Stop)),
        (10.0, Some(Level::Stop)),
    ] {
        let mut s = tank(&["captan"]);
        s.tasks[0].water_ph = Some(ph);
        assert_eq!(
            levels(&s, "water-ph"),
            level.into_iter().collect::<Vec<_>>(),
            "{ph}"
        );
        s.materials[0].label.water_ph_max = Some(10.0);
        assert!(levels(&s, "water-ph").is_empty(), "the label's own figure");
    }
}
