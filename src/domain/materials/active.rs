//! What kind of active a text names: the rules ask for kinds, not for names.

mod names;

pub use names::{ACTIVE_NAMES, ActiveName};

use std::cell::RefCell;
use std::collections::HashMap;
use std::ops::{BitOr, BitOrAssign};
use std::sync::LazyLock;

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
    /// Copper hydroxide, always beside [`Actives::COPPER`].
    pub const COPPER_HYDROXIDE: Self = Self(1 << 9);
    /// A copper that is named and is no hydroxide, always beside [`Actives::COPPER`].
    pub const COPPER_OTHER: Self = Self(1 << 10);
    /// Sulfur in either form.
    pub const ANY_SULFUR: Self = Self::both(Self::SULFUR, Self::LIME_SULFUR);

    /// What makes spray water strongly alkaline: lime, lime sulfur.
    pub const ALKALINE: Self = Self::both(Self::LIME, Self::LIME_SULFUR);

    /// What urea is kept a week away from once green shows.
    pub const NOT_WITH_UREA: Self =
        Self(Self::OIL.0 | Self::COPPER.0 | Self::ANY_SULFUR.0 | Self::CAPTAN.0);

    /// The kinds of two sets together.
    pub const fn both(one: Self, other: Self) -> Self {
        Self(one.0 | other.0)
    }

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

/// Every name with its row, longest first, so that a longer name goes before one within it.
static LONGEST_FIRST: LazyLock<Vec<(&'static str, &'static ActiveName)>> = LazyLock::new(|| {
    let of_row = |row: &'static ActiveName| {
        std::iter::once(row.name)
            .chain(row.also.iter().copied())
            .map(move |name| (name, row))
    };
    let mut names: Vec<_> = ACTIVE_NAMES.iter().flat_map(of_row).collect();
    names.sort_by_key(|(name, _)| std::cmp::Reverse(name.len()));
    names
});

/// The rows of [`ACTIVE_NAMES`] that a text names. Case does not matter, `sulph` is `sulf`; a
/// longer name goes before a shorter one within it ("lime sulfur" is no "sulfur").
pub fn names_in(text: &str) -> Vec<&'static ActiveName> {
    let mut left = text.to_lowercase().replace("sulph", "sulf");
    // Most names cannot occur: they begin with a letter that none of the words begins with.
    let starts: String = left
        .split(|c: char| !c.is_alphanumeric())
        .filter_map(|word| word.chars().next())
        .collect();
    let mut found: Vec<&'static ActiveName> = Vec::new();
    for (name, row) in LONGEST_FIRST.iter() {
        if name.len() > left.len() || !name.starts_with(|c| starts.contains(c)) {
            continue;
        }
        while let Some(at) = word_at(&left, name) {
            left.replace_range(at..at + name.len(), &"|".repeat(name.len()));
            if !found.contains(row) {
                found.push(row);
            }
        }
    }
    found
}

/// Where a text holds these words, not as part of a longer one.
fn word_at(text: &str, words: &str) -> Option<usize> {
    let is_word = |c: Option<char>| c.is_some_and(char::is_alphanumeric);
    text.match_indices(words).map(|(at, _)| at).find(|&at| {
        let before = text.get(..at).and_then(|t| t.chars().next_back());
        let after = text.get(at + words.len()..).and_then(|t| t.chars().next());
        !is_word(before) && !is_word(after)
    })
}

/// Texts whose kinds are remembered: a season names a few dozen, and asks for them at every edit.
const REMEMBERED: usize = 256;

thread_local! {
    static KINDS: RefCell<HashMap<String, Actives>> = RefCell::default();
}

/// The kinds a text names. Case does not matter; `sulphur` is `sulfur`.
pub fn actives_of(text: &str) -> Actives {
    KINDS.with_borrow_mut(|known| {
        if let Some(kinds) = known.get(text) {
            return *kinds;
        }
        let rows = names_in(text).into_iter();
        let kinds = rows.fold(Actives::NONE, |kinds, row| kinds | row.kinds);
        if known.len() >= REMEMBERED {
            known.clear();
        }
        known.insert(text.to_owned(), kinds);
        kinds
    })
}

/// Does a text name an active that stands in the table? Of one that does not, nothing was
/// checked wherever rules ask for kinds.
pub fn is_known_active(text: &str) -> bool {
    !names_in(text).is_empty()
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

    const CU: Actives = Actives::COPPER;

    // Names: sources::COPPER_NAMES, OIL_NAMES, SULFUR_NAMES.
    #[test]
    fn kinds_are_read_from_the_names_of_labels() {
        let other = CU | Actives::COPPER_OTHER;
        for (text, kinds) in [
            ("horticultural oil", Actives::OIL),
            ("Refined Petroleum Distillate", Actives::OIL),
            ("petroleum distillates", Actives::OIL),
            ("mineral oil", Actives::OIL),
            ("paraffinic oil", Actives::OIL),
            ("Aliphatic petroleum distillates (98 %)", Actives::OIL),
            ("Copper soap", other),
            ("copper octanoate", other),
            ("copper salts of fatty and rosin acids", other),
            ("copper sulfate", other),
            ("basic copper sulfate", other),
            ("tribasic copper sulphate", other),
            ("cuprous oxide", other),
            ("copper oxychloride", other),
            ("cupric hydroxide", CU | Actives::COPPER_HYDROXIDE),
            (
                "fixed copper (copper hydroxide)",
                CU | Actives::COPPER_HYDROXIDE,
            ),
            ("fixed copper", CU),
            ("metallic copper equivalent 20 %", CU),
            ("lime sulphur", Actives::LIME_SULFUR),
            ("calcium polysulfide", Actives::LIME_SULFUR),
            ("wettable sulfur", Actives::SULFUR),
            ("Bordeaux mixture", other | Actives::LIME),
            ("urea", Actives::UREA),
            ("fosetyl-aluminium", Actives::ACID),
            (
                "mono- and dipotassium salts of phosphorous acid",
                Actives::ACID,
            ),
            ("potassium salts of fatty acids", Actives::NONE),
            ("naphthaleneacetic acid", Actives::NONE),
            ("soil drench", Actives::NONE),
            ("kaolin", Actives::NONE),
        ] {
            assert_eq!(actives_of(text), kinds, "{text}");
        }
    }

    #[test]
    fn what_stands_in_no_table_is_not_known() {
        for text in ["kaolin", "spinosad", "oil", "ziram", "cupric hydroxide"] {
            assert!(is_known_active(text), "{text}");
        }
        for text in ["", "mystery dust", "soilex", "coppery", "boiled linseed"] {
            assert!(!is_known_active(text), "{text}");
        }
    }

    #[test]
    fn every_name_is_written_once_in_lower_case_and_finds_its_row() {
        let mut seen = std::collections::BTreeSet::new();
        for row in ACTIVE_NAMES {
            for name in std::iter::once(&row.name).chain(row.also) {
                assert_eq!(*name, name.to_lowercase());
                assert!(seen.insert(*name), "{name} twice");
                assert_eq!(names_in(name), [row], "{name}");
            }
        }
    }

    #[test]
    fn names_match_by_kind_or_by_text() {
        assert!(named_alike("sulfur", "lime sulfur"));
        assert!(!named_alike("lime sulfur", "wettable sulfur"));
        assert!(named_alike("fixed copper", "copper hydroxide"));
        assert!(named_alike("fixed copper", "cuprous oxide"));
        assert!(named_alike("oil", "refined petroleum distillate"));
        assert!(named_alike("kaolin", "kaolin clay"));
        assert!(!named_alike("oil", "kaolin"));
        assert!(!named_alike("", "kaolin"));
    }
}
