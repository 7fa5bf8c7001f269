//! The kinds of tree the estimate knows.

/// A kind of tree, by its trade name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Species {
    Apple,
    Pear,
    AsianPear,
    Quince,
    Peach,
    Nectarine,
    Apricot,
    JapaneseApricot,
    EuropeanPlum,
    JapanesePlum,
    SweetCherry,
    SourCherry,
    Almond,
    Walnut,
    FloweringCherry,
    Other,
}

impl Species {
    /// Every kind, in the order shown to a user.
    pub const ALL: [Self; 16] = [
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
        Self::Other,
    ];

    /// Plain words, as written in a season file.
    pub fn words(self) -> &'static str {
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
            Self::Other => "other",
        }
    }

    /// Reads the plain words; case, spaces, `-` and `_` do not matter.
    pub fn from_text(text: &str) -> Option<Self> {
        let key = |s: &str| s.to_lowercase().replace(['-', '_', ' '], "");
        let wanted = key(text);
        Self::ALL.into_iter().find(|s| key(s.words()) == wanted)
    }
}
