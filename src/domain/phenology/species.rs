//! The fruit trees the estimate knows, and which of them stand in for one another.

use std::fmt;

/// A species, or the nearest thing to one that requirements are published for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Species {
    /// *Malus domestica*.
    Apple,
    /// European pear, *Pyrus communis*.
    Pear,
    /// Asian pear, *Pyrus pyrifolia*.
    AsianPear,
    /// *Cydonia oblonga*.
    Quince,
    /// *Prunus persica*.
    Peach,
    /// The smooth-skinned peach.
    Nectarine,
    /// *Prunus armeniaca*.
    Apricot,
    /// *Prunus mume*.
    JapaneseApricot,
    /// *Prunus domestica*, prunes included.
    EuropeanPlum,
    /// *Prunus salicina*.
    JapanesePlum,
    /// *Prunus avium*.
    SweetCherry,
    /// *Prunus cerasus*.
    SourCherry,
    /// *Prunus dulcis*.
    Almond,
    /// *Juglans regia*.
    Walnut,
    /// Ornamental cherry of the bloom records.
    FloweringCherry,
    /// *Vitis*, for wine or table.
    Grape,
    /// Black, red and white currant.
    Currant,
    /// *Ribes uva-crispa* and its hybrids.
    Gooseberry,
    /// *Rubus idaeus* and its hybrids.
    Raspberry,
    /// Blackberry and dewberry.
    Blackberry,
    /// Highbush and rabbiteye blueberry.
    Blueberry,
    /// *Ficus carica*.
    Fig,
    /// *Diospyros kaki* and *virginiana*.
    Persimmon,
    /// Roses.
    Rose,
    /// Any other tree or shrub grown for its looks.
    Ornamental,
    /// Anything else.
    Other,
}

impl Species {
    /// Every species.
    pub const ALL: [Self; 26] = [
        Self::Apple,
        Self::Pear,
        Self::AsianPear,
        Self::Quince,
        Self::Peach,
        Self::Nectarine,
        Self::Apricot,
        Self::JapaneseApricot,
        Self::EuropeanPlum,
        Self::JapanesePlum,
        Self::SweetCherry,
        Self::SourCherry,
        Self::Almond,
        Self::Walnut,
        Self::FloweringCherry,
        Self::Grape,
        Self::Currant,
        Self::Gooseberry,
        Self::Raspberry,
        Self::Blackberry,
        Self::Blueberry,
        Self::Fig,
        Self::Persimmon,
        Self::Rose,
        Self::Ornamental,
        Self::Other,
    ];

    /// Is a date of swell published for it in a form that serves an estimate here? For the
    /// others there is none before their grower has seen dates: look at the buds. Bud burst of
    /// grapes is modelled in print (García de Cortázar-Atauri and others 2009, Nendel 2010), but
    /// only abstracts without the constants were read.
    pub const fn has_estimate(self) -> bool {
        !matches!(
            self,
            Self::Grape
                | Self::Currant
                | Self::Gooseberry
                | Self::Raspberry
                | Self::Blackberry
                | Self::Blueberry
                | Self::Fig
                | Self::Persimmon
                | Self::Rose
                | Self::Ornamental
        )
    }

    /// Reads the words people write, in any case; `None` for a kind it does not know.
    pub fn from_text(text: &str) -> Option<Self> {
        Some(
            match text.trim().to_lowercase().replace(['-', '_'], " ").as_str() {
                "apple" | "crab apple" | "crabapple" => Self::Apple,
                "pear" | "european pear" => Self::Pear,
                "asian pear" | "nashi" => Self::AsianPear,
                "quince" => Self::Quince,
                "peach" => Self::Peach,
                "nectarine" => Self::Nectarine,
                "apricot" => Self::Apricot,
                "japanese apricot" | "ume" => Self::JapaneseApricot,
                "plum" | "european plum" | "prune" | "damson" => Self::EuropeanPlum,
                "japanese plum" => Self::JapanesePlum,
                "cherry" | "sweet cherry" => Self::SweetCherry,
                "sour cherry" | "tart cherry" => Self::SourCherry,
                "almond" => Self::Almond,
                "walnut" => Self::Walnut,
                "flowering cherry" | "yoshino cherry" => Self::FloweringCherry,
                "grape" | "vine" | "grapevine" | "wine grape" | "table grape" => Self::Grape,
                "currant" | "black currant" | "blackcurrant" | "red currant" | "redcurrant"
                | "white currant" => Self::Currant,
                "gooseberry" => Self::Gooseberry,
                "raspberry" | "black raspberry" | "red raspberry" => Self::Raspberry,
                "blackberry" | "dewberry" | "boysenberry" | "loganberry" => Self::Blackberry,
                "blueberry" => Self::Blueberry,
                "fig" => Self::Fig,
                "persimmon" | "kaki" => Self::Persimmon,
                "rose" => Self::Rose,
                "ornamental" | "shrub" | "ornamental shrub" | "ornamental tree" | "lilac"
                | "hedge" => Self::Ornamental,
                "other" => Self::Other,
                _ => return None,
            },
        )
    }

    /// The species in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Apple => "apple",
            Self::Pear => "pear",
            Self::AsianPear => "asian pear",
            Self::Quince => "quince",
            Self::Peach => "peach",
            Self::Nectarine => "nectarine",
            Self::Apricot => "apricot",
            Self::JapaneseApricot => "japanese apricot",
            Self::EuropeanPlum => "european plum",
            Self::JapanesePlum => "japanese plum",
            Self::SweetCherry => "sweet cherry",
            Self::SourCherry => "sour cherry",
            Self::Almond => "almond",
            Self::Walnut => "walnut",
            Self::FloweringCherry => "flowering cherry",
            Self::Grape => "grape",
            Self::Currant => "currant",
            Self::Gooseberry => "gooseberry",
            Self::Raspberry => "raspberry",
            Self::Blackberry => "blackberry",
            Self::Blueberry => "blueberry",
            Self::Fig => "fig",
            Self::Persimmon => "persimmon",
            Self::Rose => "rose",
            Self::Ornamental => "ornamental",
            Self::Other => "other",
        }
    }

    /// The species whose records stand in when this one has none; `None` for those that have
    /// fitted records of their own. Common practice, no source: nearest kin by time of bloom.
    pub const fn parent(self) -> Option<Self> {
        match self {
            Self::Quince
            | Self::Walnut
            | Self::Grape
            | Self::Currant
            | Self::Gooseberry
            | Self::Raspberry
            | Self::Blackberry
            | Self::Blueberry
            | Self::Fig
            | Self::Persimmon
            | Self::Rose
            | Self::Ornamental
            | Self::Other => Some(Self::Apple),
            Self::Nectarine => Some(Self::Peach),
            Self::JapanesePlum => Some(Self::Apricot),
            Self::SourCherry => Some(Self::SweetCherry),
            _ => None,
        }
    }
}

impl fmt::Display for Species {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_read_back_and_parents_lead_to_fitted_species() {
        for species in Species::ALL {
            assert_eq!(Species::from_text(species.words()), Some(species));
            if let Some(parent) = species.parent() {
                assert_eq!(
                    parent.parent(),
                    None,
                    "{species} must reach a fitted species at once"
                );
            }
        }
        assert_eq!(Species::from_text("Plum"), Some(Species::EuropeanPlum));
        assert_eq!(Species::from_text("mulberry"), None);
    }
}
