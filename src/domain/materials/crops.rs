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
        "other" => false,
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
    }
}
