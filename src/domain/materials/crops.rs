//! Whether a crop named on a label takes in a kind of tree.

use crate::domain::phenology::species::Species;

const STONE: &[Species] = &[
    Species::Peach,
    Species::Nectarine,
    Species::Apricot,
    Species::JapaneseApricot,
    Species::EuropeanPlum,
    Species::JapanesePlum,
    Species::SweetCherry,
    Species::SourCherry,
];
const POME: &[Species] = &[
    Species::Apple,
    Species::Pear,
    Species::AsianPear,
    Species::Quince,
];

const BERRIES: &[Species] = &[
    Species::Currant,
    Species::Gooseberry,
    Species::Raspberry,
    Species::Blackberry,
    Species::Blueberry,
];

/// Does this entry of a label's crop list take in this kind of tree?
///
/// Group words are read narrowly: almonds, walnuts and flowering trees are
/// never taken in by "stone fruit" or "fruit trees".
pub fn on_label(entry: &str, species: Species) -> bool {
    if entry.eq_ignore_ascii_case(species.words()) {
        return true;
    }
    let key = entry.to_lowercase().replace(['-', '_'], " ");
    let key = key.trim().trim_end_matches('s');
    match key {
        "plum" | "prune" => matches!(species, Species::EuropeanPlum | Species::JapanesePlum),
        "cherry" | "cherrie" => matches!(species, Species::SweetCherry | Species::SourCherry),
        "peache" => species == Species::Peach,
        "stone fruit" => STONE.contains(&species),
        "pome fruit" => POME.contains(&species),
        "tree fruit" | "fruit tree" | "deciduous fruit" => {
            STONE.contains(&species) || POME.contains(&species)
        }
        "vine" | "grapevine" | "wine grape" | "table grape" => species == Species::Grape,
        "caneberrie" | "caneberry" | "bramble" => {
            matches!(species, Species::Raspberry | Species::Blackberry)
        }
        "ribe" | "bush fruit" => matches!(species, Species::Currant | Species::Gooseberry),
        "small fruit" | "soft fruit" | "berrie" | "berry" => BERRIES.contains(&species),
        "ornamental" | "ornamental tree" | "ornamental shrub" | "shrub" | "shade tree" => {
            matches!(
                species,
                Species::Ornamental | Species::Rose | Species::FloweringCherry
            )
        }
        "other" => false,
        // The plural in "-ies", shorn of its s.
        plural if plural.ends_with("rrie") => {
            Species::from_text(&format!("{}y", plural.trim_end_matches("ie"))) == Some(species)
        }
        other => other.replace(' ', "") == species.words().replace(' ', ""),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn group_words_are_read_narrowly() {
        assert!(on_label("peach", Species::Peach));
        assert!(on_label("Plums", Species::JapanesePlum));
        assert!(on_label("stone fruit", Species::Nectarine));
        assert!(!on_label("stone fruits", Species::Almond));
        assert!(!on_label("cherry", Species::FloweringCherry));
        assert!(on_label("apples", Species::Apple));
        assert!(!on_label("pear", Species::AsianPear));
        assert!(on_label("grapes", Species::Grape));
        assert!(on_label("Blueberries", Species::Blueberry));
        assert!(on_label("gooseberry", Species::Gooseberry));
        assert!(on_label("caneberries", Species::Raspberry));
        assert!(on_label("currants", Species::Currant));
        assert!(on_label("roses", Species::Rose));
        assert!(on_label("ornamentals", Species::Rose));
        assert!(!on_label("fruit trees", Species::Fig));
        assert!(!on_label("berries", Species::Grape));
    }
}
