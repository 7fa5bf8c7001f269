//! A cultivar's class: early, middle or late among its kind.
//!
//! Spreads between cultivars at one place (standard deviations of cultivars about the kind's day,
//! computed on the carried records: Sfax, Zaragoza, Klein-Altendorf); early and late are one of
//! these either way.

use super::super::species::Species;

/// When a cultivar blooms among those of its kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Class {
    /// Before most.
    Early,
    /// With most.
    Middle,
    /// After most.
    Late,
}

impl Class {
    /// From what is written for a cultivar: "early", "mid season", "late", alone or beside its name.
    pub fn from_text(text: &str) -> Option<Self> {
        let text = text.to_lowercase();
        let mut words = text.split(|c: char| !c.is_alphabetic());
        words.find_map(|word| match word {
            "early" => Some(Self::Early),
            "mid" | "middle" | "midseason" => Some(Self::Middle),
            "late" => Some(Self::Late),
            _ => None,
        })
    }

    /// Days that bloom comes later than the kind's.
    pub const fn later_days(self, species: Species) -> f32 {
        let apart = apart_days(species);
        match self {
            Self::Early => -apart,
            Self::Middle => 0.0,
            Self::Late => apart,
        }
    }
}

/// Standard deviation of the cultivars of a kind about its day, days; kinds without records take
/// those of the nearest that has.
const fn apart_days(species: Species) -> f32 {
    match species {
        Species::Almond => 9.5,
        Species::Apricot | Species::JapanesePlum | Species::JapaneseApricot => 5.2,
        Species::Pear | Species::AsianPear | Species::Quince => 3.7,
        Species::SweetCherry
        | Species::SourCherry
        | Species::EuropeanPlum
        | Species::Peach
        | Species::Nectarine
        | Species::FloweringCherry => 2.9,
        _ => 1.3,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_class_is_read_beside_the_name_and_moves_the_date() {
        assert_eq!(Class::from_text("Early"), Some(Class::Early));
        assert_eq!(Class::from_text("own seedling (late)"), Some(Class::Late));
        assert_eq!(Class::from_text("mid-season"), Some(Class::Middle));
        assert_eq!(Class::from_text("Plate"), None);
        assert!(Class::Late.later_days(Species::Almond) > 5.0);
        assert!(Class::Early.later_days(Species::Apple) < 0.0);
    }
}
