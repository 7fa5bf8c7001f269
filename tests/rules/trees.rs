//! Oil-sensitive kinds, organic blocks.

use super::fixture::*;
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::Level;
use barewood::domain::rules::trees::OIL_SENSITIVE;
use barewood::domain::season::{Organic, Season};

fn oil_on(species: Species, cultivar: Option<&str>, active: &str) -> Season {
    let mut s = season();
    s.materials[0] = material("cu", active);
    s.materials[0].label.crops.clear();
    s.blocks[0].species = species;
    s.blocks[0].cultivar = cultivar.map(str::to_owned);
    s
}

#[test]
fn every_listed_tree_refuses_oil() {
    // Canadian Gardening; Chicago Botanic Garden.
    for name in OIL_SENSITIVE {
        let s = oil_on(Species::Other, Some(name), "horticultural oil");
        assert_eq!(levels(&s, "oil-sensitive"), [Level::Stop], "{name}");
        let s = oil_on(Species::Other, Some(name), "copper hydroxide");
        assert!(levels(&s, "oil-sensitive").is_empty(), "{name}");
    }
}

#[test]
fn walnuts_by_kind() {
    for (cultivar, level) in [
        (Some("Black Walnut"), Level::Stop), // listed
        (None, Level::Stop),                 // UC IPM 2017: no oil on walnut in the dormant season
    ] {
        let s = oil_on(Species::Walnut, cultivar, "horticultural oil");
        assert_eq!(levels(&s, "oil-sensitive"), [level]);
        let mut s = s;
        s.materials[0].label.crops = vec!["walnut".to_owned()];
        assert_eq!(
            levels(&s, "oil-sensitive"),
            [Level::Note],
            "its label names it"
        );
    }
    assert!(
        levels(
            &oil_on(Species::Peach, None, "horticultural oil"),
            "oil-sensitive"
        )
        .is_empty()
    );
    // A peach that happens to be called after a tree stays a peach.
    assert!(
        levels(
            &oil_on(Species::Peach, Some("Holly"), "horticultural oil"),
            "oil-sensitive"
        )
        .is_empty()
    );
}

#[test]
fn some_apricots_are_sensitive_whatever_the_label_says() {
    // UC IPM apricot, European fruit lecanium (10/14).
    let mut s = oil_on(Species::Apricot, None, "horticultural oil");
    assert_eq!(levels(&s, "oil-sensitive"), [Level::Caution]);
    s.materials[0].label.crops = vec!["apricot".to_owned()];
    let w = only(&s, "oil-sensitive");
    assert_eq!((w.level, w.source.id), (Level::Caution, "oil-apricot"));
}

#[test]
fn organic_standing() {
    // 7 CFR 205.601; the certifier's word is final.
    for (standing, level) in [
        (Organic::Allowed, None),
        (Organic::Restricted, Some(Level::Note)),
        (Organic::Unknown, Some(Level::Caution)),
        (Organic::Not, Some(Level::Stop)),
    ] {
        let mut s = season();
        s.materials[0].label.organic = standing;
        assert!(levels(&s, "organic-block").is_empty());
        s.blocks[0].organic = true;
        assert_eq!(
            levels(&s, "organic-block"),
            level.into_iter().collect::<Vec<_>>(),
            "{standing:?}"
        );
    }
}
