//! What kind of active a text names: the rules ask for kinds, not for names.

use std::ops::{BitOr, BitOrAssign};

/// A set of kinds of active; a mixture such as Bordeaux is of several.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash)]
pub struct Actives(u16);

impl Actives {
    /// None of the kinds known here.
    pub const NONE: Self = Self(0);
    /// Horticultural, dormant or summer oil.
    pub const OIL: Self = Self(1);
    /// Any copper: hydroxide, oxide, oxychloride, sulfate, soap.
    pub const COPPER: Self = Self(1 << 1);
    /// Elemental sulfur.
    pub const SULFUR: Self = Self(1 << 2);
    /// Lime sulfur (calcium polysulfide).
    pub const LIME_SULFUR: Self = Self(1 << 3);
    /// Captan.
    pub const CAPTAN: Self = Self(1 << 4);
    /// Chlorothalonil.
    pub const CHLOROTHALONIL: Self = Self(1 << 5);
    /// Urea.
    pub const UREA: Self = Self(1 << 6);
    /// Hydrated lime, alone or in Bordeaux mixture.
    pub const LIME: Self = Self(1 << 7);
    /// Acids, acidifiers, phosphites, fosetyl.
    pub const ACID: Self = Self(1 << 8);
    /// Sulfur in either form.
    pub const ANY_SULFUR: Self = Self(Self::SULFUR.0 | Self::LIME_SULFUR.0);

    /// What makes spray water strongly alkaline: lime, lime sulfur.
    pub const ALKALINE: Self = Self(Self::LIME.0 | Self::LIME_SULFUR.0);

    /// What urea is kept a week away from once green shows.
    pub const NOT_WITH_UREA: Self =
        Self(Self::OIL.0 | Self::COPPER.0 | Self::ANY_SULFUR.0 | Self::CAPTAN.0);

    /// Is at least one kind in both?
    pub fn any(self, other: Self) -> bool {
        self.0 & other.0 != 0
    }

    /// Is it of no kind known here?
    pub fn is_none(self) -> bool {
        self.0 == 0
    }
}

impl BitOr for Actives {
    type Output = Self;
    fn bitor(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }
}

impl BitOrAssign for Actives {
    fn bitor_assign(&mut self, other: Self) {
        self.0 |= other.0;
    }
}

/// The kinds a text names. Case does not matter; `sulphur` is `sulfur`.
pub fn actives_of(text: &str) -> Actives {
    let text = text.to_lowercase().replace("sulph", "sulf");
    let has = |word: &str| text.contains(word);
    let mut found = Actives::NONE;
    if text
        .split(|c: char| !c.is_alphanumeric())
        .any(|w| w == "oil" || w == "oils")
    {
        found |= Actives::OIL;
    }
    if has("copper") || has("bordeaux") {
        found |= Actives::COPPER;
    }
    if has("lime sulfur") || has("lime-sulfur") || has("polysulfide") {
        found |= Actives::LIME_SULFUR;
    } else if has("sulfur") {
        found |= Actives::SULFUR;
    }
    if has("captan") {
        found |= Actives::CAPTAN;
    }
    if has("chlorothalonil") {
        found |= Actives::CHLOROTHALONIL;
    }
    if has("urea") {
        found |= Actives::UREA;
    }
    if has("bordeaux") || has("hydrated lime") || has("spray lime") {
        found |= Actives::LIME;
    }
    if has("acid") || has("phosphite") || has("phosphonate") || has("fosetyl") {
        found |= Actives::ACID;
    }
    found
}

/// Do two names mean the same active? Of one kind, or one within the other.
/// "Sulfur" on a label means either form; "lime sulfur" only that one.
pub fn named_alike(wanted: &str, active: &str) -> bool {
    let kinds = actives_of(wanted);
    let broad = if kinds.any(Actives::SULFUR) {
        kinds | Actives::LIME_SULFUR
    } else {
        kinds
    };
    if broad.any(actives_of(active)) {
        return true;
    }
    let (a, b) = (wanted.trim().to_lowercase(), active.trim().to_lowercase());
    !a.is_empty() && !b.is_empty() && kinds.is_none() && (b.contains(&a) || a.contains(&b))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_are_read_from_plain_names() {
        for (text, kinds) in [
            ("horticultural oil", Actives::OIL),
            ("Copper soap", Actives::COPPER),
            ("copper sulfate", Actives::COPPER),
            ("lime sulphur", Actives::LIME_SULFUR),
            ("wettable sulfur", Actives::SULFUR),
            ("Bordeaux mixture", Actives::COPPER | Actives::LIME),
            ("urea", Actives::UREA),
            ("fosetyl-aluminium", Actives::ACID),
            ("soil drench", Actives::NONE),
            ("kaolin", Actives::NONE),
        ] {
            assert_eq!(actives_of(text), kinds, "{text}");
        }
    }

    #[test]
    fn names_match_by_kind_or_by_text() {
        assert!(named_alike("sulfur", "lime sulfur"));
        assert!(!named_alike("lime sulfur", "wettable sulfur"));
        assert!(named_alike("fixed copper", "copper hydroxide"));
        assert!(named_alike("kaolin", "kaolin clay"));
        assert!(!named_alike("oil", "kaolin"));
        assert!(!named_alike("", "kaolin"));
    }
}
