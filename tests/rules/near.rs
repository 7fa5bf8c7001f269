//! Trees that take a spray badly, flowers, signs, the region: at, inside and outside the limits.

use super::fixture::*;
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::Level;
use barewood::domain::season::{HowMany, Reading, Reentry, Season, TaskKind};

fn oil() -> Season {
    let mut s = season();
    s.materials[0] = material("cu", "horticultural oil");
    s
}

#[test]
fn oil_waits_until_trees_have_hardened() {
    // Univ. of Delaware 2008: not before trees have hardened; the two weeks are common practice.
    // Leaves down on 20 November.
    for (date, level) in [
        ("2026-11-19", None), // before leaf drop: another rule
        ("2026-11-20", Some(Level::Caution)),
        ("2026-12-03", Some(Level::Caution)),
        ("2026-12-04", None),
        ("2026-12-05", None),
    ] {
        let mut s = oil();
        s.tasks[0].date = day(date);
        assert_eq!(
            levels_on(&s, "oil-before-hardening", "2026-11-01"),
            level.into_iter().collect::<Vec<_>>(),
            "{date}"
        );
        s.materials[0].active = "copper hydroxide".to_owned();
        assert!(levels_on(&s, "oil-before-hardening", "2026-11-01").is_empty());
    }
}

#[test]
fn oil_goes_on_trees_that_are_well_watered() {
    // UC IPM 2017: when trees are not water stressed.
    for (notes, level) in [
        (Some("Drought-stressed since August"), Some(Level::Caution)),
        (Some("drains well, never dry"), None),
        (None, None),
    ] {
        let mut s = oil();
        s.blocks[0].site = notes.map(str::to_owned);
        assert_eq!(
            levels(&s, "oil-on-dry-trees"),
            level.into_iter().collect::<Vec<_>>(),
            "{notes:?}"
        );
    }
}

#[test]
fn apricot_and_cherry_are_not_pruned_in_winter() {
    // UC Master Gardeners 2023, PNW Handbook: July to August.
    for (species, date, south, level) in [
        (Species::Apricot, "2027-01-15", false, Some(Level::Caution)),
        (
            Species::SweetCherry,
            "2027-01-15",
            false,
            Some(Level::Caution),
        ),
        (
            Species::SourCherry,
            "2027-05-31",
            false,
            Some(Level::Caution),
        ),
        (Species::Apricot, "2027-06-01", false, None),
        (Species::Apricot, "2027-08-15", false, None),
        (Species::Apricot, "2027-10-01", false, Some(Level::Caution)),
        (Species::Peach, "2027-01-15", false, None),
        (Species::Apricot, "2027-01-15", true, None), // summer in the south
        (Species::Apricot, "2027-07-15", true, Some(Level::Caution)),
    ] {
        let mut s = season();
        s.blocks[0].species = species;
        if south {
            s.orchard.latitude = -40.0;
        }
        let mut prune = spray("cut", date, &["p"], &[]);
        prune.kind = TaskKind::Prune;
        s.tasks.push(prune);
        assert_eq!(
            levels(&s, "winter-pruning"),
            level.into_iter().collect::<Vec<_>>(),
            "{species:?} {date} {south}"
        );
    }
}

#[test]
fn nothing_goes_into_open_flowers_nor_beside_them() {
    // Univ. of Nevada 2019: nothing on plants in flower; three weeks of flower are common
    // practice. First bloom: 5 % a day from 20 March, so 10 % on the 21st, half on the 29th.
    for (date, level) in [
        ("2027-03-21", None),
        ("2027-03-22", Some(Level::Caution)),
        ("2027-03-28", Some(Level::Caution)),
        ("2027-03-29", Some(Level::Stop)),
        ("2027-04-18", Some(Level::Stop)), // three weeks on half of them are still open
        ("2027-04-29", None),              // the last ones opened three weeks before
    ] {
        let mut s = season();
        s.tasks[0].date = day(date);
        assert_eq!(
            levels(&s, "open-flowers"),
            level.into_iter().collect::<Vec<_>>(),
            "{date}"
        );
    }
    // Beside: another block in flower.
    for (date, level) in [("2027-03-28", None), ("2027-03-29", Some(Level::Caution))] {
        let mut s = season();
        s.blocks.push(block("a", Species::Apricot));
        s.blocks.swap(0, 1);
        s.tasks[0].date = day(date);
        let mut estimates = estimates(&s);
        for e in &mut estimates.blocks {
            if e.block.as_str() == "p" {
                e.bloom = even("2027-06-01", 20);
            }
        }
        let facts = barewood::domain::rules::Facts::new(&s, &estimates, day(TODAY));
        let found: Vec<Level> = barewood::domain::rules::check(&facts)
            .into_iter()
            .filter(|w| w.rule == "open-flowers")
            .map(|w| w.level)
            .collect();
        assert_eq!(found, level.into_iter().collect::<Vec<_>>(), "{date}");
    }
}

#[test]
fn flowers_that_were_seen_are_open() {
    let mut s = season();
    s.tasks[0].date = day("2027-03-10");
    assert!(levels(&s, "open-flowers").is_empty());
    let look = |bbch| Reading::Buds {
        date: day("2027-03-09"),
        bbch,
        blocks: Vec::new(),
        note: None,
        how_many: HowMany::All,
        photo: None,
    };
    for (bbch, level) in [
        (59, None),
        (60, Some(Level::Stop)),
        (67, Some(Level::Stop)),
        (69, None),
    ] {
        s.readings = vec![look(bbch)];
        assert_eq!(
            levels(&s, "open-flowers"),
            level.into_iter().collect::<Vec<_>>(),
            "{bbch}"
        );
    }
}

#[test]
fn signs_over_two_days_in_the_united_states() {
    // 40 CFR 170.409, from memory: over 48 h outdoors.
    for (hours, zone, level) in [
        ("48 h", "America/Chicago", None),
        ("49 h", "America/Chicago", Some(Level::Note)),
        ("47 h", "America/Chicago", None),
        ("3 d", "America/Chicago", Some(Level::Note)),
        ("3 d", "Europe/Berlin", None),
    ] {
        let mut s = season();
        s.orchard.time_zone = of(zone);
        s.materials[0].label.reentry = Some(Reentry::After(of(hours)));
        assert_eq!(
            levels(&s, "signs-wanted"),
            level.into_iter().collect::<Vec<_>>(),
            "{hours} {zone}"
        );
    }
}

#[test]
fn copper_against_bacterial_canker_in_california() {
    // UC IPM plum and prune: not shown to protect in California; advised elsewhere.
    for (zone, north, east, target, level) in [
        (
            "America/Los_Angeles",
            38.5,
            -121.7,
            "bacterial-canker",
            Some(Level::Note),
        ),
        ("America/Los_Angeles", 38.5, -121.7, "shot-hole", None),
        (
            "America/Los_Angeles",
            45.5,
            -123.0,
            "bacterial-canker",
            None,
        ), // Oregon
        ("America/New_York", 43.0, -77.0, "bacterial-canker", None),
    ] {
        let mut s = season();
        s.blocks[0].species = Species::SweetCherry;
        s.orchard.time_zone = of(zone);
        (s.orchard.latitude, s.orchard.longitude) = (north, east);
        s.tasks[0].targets = vec![target.into()];
        assert_eq!(
            levels(&s, "advice-differs-here"),
            level.into_iter().collect::<Vec<_>>(),
            "{zone} {target}"
        );
    }
}

#[test]
fn kinds_without_a_published_date_say_so() {
    for (species, asks) in [
        (Species::Grape, true),
        (Species::Currant, true),
        (Species::Rose, true),
        (Species::Apple, false),
        (Species::Other, false),
    ] {
        let mut s = season();
        s.blocks[0].species = species;
        let none = barewood::domain::outlook::Estimates::default();
        let facts = barewood::domain::rules::Facts::new(&s, &none, day(TODAY));
        let found = barewood::domain::rules::check(&facts)
            .iter()
            .any(|w| w.rule == "no-estimate" && w.message.contains("look at the buds"));
        assert_eq!(found, asks, "{species:?}");
        assert!(levels(&s, "no-estimate").is_empty(), "own dates give one");
    }
}

#[test]
fn more_than_three_dormant_sprays_are_noted() {
    // Common practice, no source: two to three.
    let mut s = season();
    for (id, date) in [("a", "2026-12-01"), ("b", "2026-12-20")] {
        s.tasks.push(spray(id, date, &["p"], &["cu"]));
    }
    assert!(levels(&s, "many-sprays").is_empty(), "three");
    s.tasks.push(spray("c", "2027-01-10", &["p"], &["cu"]));
    assert_eq!(levels(&s, "many-sprays"), [Level::Note], "four");
}

#[test]
fn water_and_people_that_notes_name() {
    // Cornell grape guide 2024 and Hood River growers (water); 40 CFR 170.405 (people).
    let note = vec![Level::Note];
    for (site, expected) in [
        ("Creek along the east rows", note.clone()),
        ("ends at the neighbor's house", note.clone()),
        ("pond below, school above", vec![Level::Note, Level::Note]),
        ("drains well; brooks no delay", vec![]), // no word of water in it
        ("beside the greenhouse", vec![]),
        ("gentle slope, warm in spring", vec![]),
    ] {
        let mut s = season();
        s.blocks[0].site = Some(site.to_owned());
        assert_eq!(levels(&s, "water-or-people-near"), expected, "{site}");
        s.blocks[0].site = None;
        s.tasks[0].notes = Some(site.to_owned());
        assert_eq!(levels(&s, "water-or-people-near"), expected, "{site}");
        s.tasks[0].kind = TaskKind::Prune;
        assert!(levels(&s, "water-or-people-near").is_empty(), "{site}");
    }
    // Notes of the orchard speak once, whatever is planned.
    let mut s = season();
    s.tasks.push(spray("b", "2027-01-10", &["p"], &["cu"]));
    s.orchard.notes = Some("A ditch behind the shed".to_owned());
    assert_eq!(levels(&s, "water-or-people-near"), note);
}

#[test]
fn how_far_people_must_be_depends_on_the_sprayer_and_the_country() {
    // 40 CFR 170.405(a): 100 ft of air-blast sprayers, 25 ft of medium or coarser droplets.
    let mut s = season();
    s.blocks[0].site = Some("a footpath runs by".to_owned());
    let w = only(&s, "water-or-people-near");
    assert!(w.why.contains("within 25 ft"), "{}", w.why);
    assert_eq!(w.source.id, "exclusion-zone");
    s.sprayers[0].kind = barewood::domain::season::SprayerKind::Airblast;
    let w = only(&s, "water-or-people-near");
    assert!(w.why.contains("within 100 ft of it"), "{}", w.why);
    s.orchard.time_zone = of("Europe/Berlin");
    let w = only(&s, "water-or-people-near");
    assert!(
        !w.why.contains("ft") && w.why.contains("local law"),
        "{}",
        w.why
    );
}
