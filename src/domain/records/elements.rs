//! What a record should hold, and which rule asks for it.

use crate::domain::country::{Country, country, state};
use crate::domain::phenology::species::Species;
use crate::domain::season::{Orchard, Record, RecordedMaterial};
use crate::domain::sources::{self, Source};

/// Who asks for an element of a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Law {
    /// United States: what the federal rule on restricted-use products asked for until July
    /// 2025; since then the state or tribe decides.
    UsRestrictedUse,
    /// United States: what workers must be able to read.
    UsWorkers,
    /// European Union: professional users.
    Eu,
    /// Great Britain: professional users.
    GreatBritain,
    /// New South Wales.
    NewSouthWales,
    /// Western Australia.
    WesternAustralia,
    /// The other states of Australia.
    Australia,
    /// New Zealand.
    NewZealand,
    /// Canada: the provinces differ.
    Canada,
    /// No law seen: commonly noted, and some places ask for it.
    Practice,
}

impl Law {
    /// Every one.
    pub const ALL: [Self; 10] = [
        Self::UsRestrictedUse,
        Self::UsWorkers,
        Self::Eu,
        Self::GreatBritain,
        Self::NewSouthWales,
        Self::WesternAustralia,
        Self::Australia,
        Self::NewZealand,
        Self::Canada,
        Self::Practice,
    ];

    /// Those that hold at an orchard, by the country and state it lies in; where neither is
    /// known, what is commonly noted.
    pub fn of_place(orchard: &Orchard) -> Vec<Self> {
        let mut laws = match country(orchard) {
            Some(Country::UnitedStates) => vec![Self::UsRestrictedUse, Self::UsWorkers],
            Some(Country::EuropeanUnion) => vec![Self::Eu],
            Some(Country::GreatBritain) => vec![Self::GreatBritain],
            Some(Country::Australia) => vec![match state(orchard) {
                Some("New South Wales") => Self::NewSouthWales,
                Some("Western Australia") => Self::WesternAustralia,
                _ => Self::Australia,
            }],
            Some(Country::NewZealand) => vec![Self::NewZealand],
            Some(Country::Canada) => vec![Self::Canada],
            None => Vec::new(),
        };
        laws.push(Self::Practice);
        laws
    }

    /// A short name.
    pub fn words(self) -> &'static str {
        match self {
            Self::UsRestrictedUse => "your state or tribe",
            Self::UsWorkers => "40 CFR 170.311",
            Self::Eu => "(EU) 2023/564",
            Self::GreatBritain => "Regulation 1107/2009, art. 67",
            Self::NewSouthWales => "NSW Pesticides Regulation 2017, cl. 36",
            Self::WesternAustralia => "WA record keeping regulations 2020",
            Self::Australia => "your state",
            Self::NewZealand => "NZS 8409",
            Self::Canada => "your province",
            Self::Practice => "common practice",
        }
    }

    /// The citation, with how sure it is.
    pub fn source(self) -> &'static Source {
        match self {
            Self::UsRestrictedUse => &sources::RECORD_US,
            Self::UsWorkers => &sources::RECORD_US_WORKERS,
            Self::Eu => &sources::RECORD_EU,
            Self::GreatBritain => &sources::RECORD_GB,
            Self::NewSouthWales => &sources::RECORD_NSW,
            Self::WesternAustralia => &sources::RECORD_WA,
            Self::Australia => &sources::RECORD_AU,
            Self::NewZealand => &sources::RECORD_NZ,
            Self::Canada => &sources::RECORD_CA,
            Self::Practice => &sources::RECORD_PRACTICE,
        }
    }
}

/// One element that a record lacks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing {
    /// The element's name, stable.
    pub element: &'static str,
    /// Who asks for it.
    pub asked_by: Vec<Law>,
    /// What to note, in plain words.
    pub words: String,
}

impl Missing {
    /// The rules that ask for it, in one line.
    pub fn regulation(&self) -> String {
        let names: Vec<&str> = self.asked_by.iter().map(|law| law.words()).collect();
        names.join(", ")
    }

    /// Does a law ask for it, not only habit?
    pub fn is_law(&self) -> bool {
        self.asked_by.iter().any(|law| *law != Practice)
    }
}

struct Element {
    name: &'static str,
    asked_by: &'static [Law],
    /// What is missing, or nothing.
    check: fn(&Record) -> Option<String>,
}

use Law::{
    Australia, Canada, Eu, GreatBritain, NewSouthWales, NewZealand, Practice, UsRestrictedUse,
    UsWorkers, WesternAustralia,
};

/// Every law that names the commonest elements.
const EVERY_LAW: &[Law] = &[
    UsRestrictedUse,
    UsWorkers,
    Eu,
    GreatBritain,
    NewSouthWales,
    WesternAustralia,
    Australia,
    NewZealand,
    Canada,
];

static ELEMENTS: &[Element] = &[
    Element {
        name: "start and end",
        asked_by: &[UsWorkers, Eu, GreatBritain, WesternAustralia, Australia],
        check: |r| match (r.started, r.ended) {
            (Some(_), Some(_)) => None,
            (None, Some(_)) => unset(false, "when it started"),
            (Some(_), None) => unset(false, "when it ended"),
            (None, None) => unset(false, "when it started and ended"),
        },
    },
    Element {
        name: "who",
        asked_by: &[
            UsRestrictedUse,
            NewSouthWales,
            WesternAustralia,
            Australia,
            NewZealand,
            Canada,
        ],
        check: |r| absent(r.who.as_ref(), "who sprayed"),
    },
    Element {
        name: "certificate",
        asked_by: &[UsRestrictedUse],
        check: |r| {
            absent(
                r.licence.as_ref(),
                "certificate or licence number of the sprayer or supervisor, where one is needed",
            )
        },
    },
    Element {
        name: "site",
        asked_by: EVERY_LAW,
        check: |r| {
            if r.blocks.is_empty() {
                unset(false, "which blocks")
            } else {
                absent(r.site.as_ref(), "where: place or map reference")
            }
        },
    },
    Element {
        name: "area",
        asked_by: &[
            UsRestrictedUse,
            Eu,
            GreatBritain,
            NewSouthWales,
            Australia,
            NewZealand,
            Canada,
        ],
        check: |r| {
            let known = r.area.is_some_and(|a| a.ha() > 0.0) || r.trees.is_some_and(|n| n > 0);
            unset(known, "ground or number of trees treated")
        },
    },
    Element {
        name: "crop",
        asked_by: EVERY_LAW,
        check: |r| unset(!r.crops.is_empty(), "the crop"),
    },
    Element {
        name: "EPPO code",
        asked_by: &[Eu],
        check: |r| {
            let has = |crop: &String| crop.split(['[', ']', ' ', '(', ')', ',']).any(is_eppo);
            unset(
                r.crops.is_empty() || r.crops.iter().all(has),
                "EPPO code of the crop, for instance apple [MABSD]",
            )
        },
    },
    Element {
        name: "geodata",
        asked_by: &[Eu],
        check: |r| {
            let numbers = r.site.as_deref().map_or(0, |s| {
                s.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
                    .filter(|n| n.contains('.') && n.parse::<f64>().is_ok())
                    .count()
            });
            unset(
                r.site.is_none() || numbers >= 2,
                "where on the map: coordinates, or the parcel of the aid application",
            )
        },
    },
    Element {
        name: "stage",
        asked_by: &[Eu, Practice],
        check: |r| {
            unset(
                r.bbch.is_some(),
                "BBCH stage seen (the law asks where the approval limits the stage)",
            )
        },
    },
    Element {
        name: "target",
        asked_by: &[Practice],
        check: |r| unset(!r.targets.is_empty(), "what it was against"),
    },
    Element {
        name: "product",
        asked_by: EVERY_LAW,
        check: |r| {
            if r.materials.is_empty() {
                unset(false, "what was sprayed")
            } else {
                of_each(r, "product name", |m| !m.name.trim().is_empty())
            }
        },
    },
    Element {
        name: "registration",
        asked_by: &[UsRestrictedUse, UsWorkers, Eu, Canada],
        check: |r| {
            of_each(r, "registration number", |m| {
                filled(m.registration.as_ref())
            })
        },
    },
    Element {
        name: "active",
        asked_by: &[UsWorkers],
        check: |r| of_each(r, "active", |m| !m.active.trim().is_empty()),
    },
    Element {
        name: "rate",
        asked_by: &[
            Eu,
            GreatBritain,
            NewSouthWales,
            WesternAustralia,
            Australia,
            NewZealand,
            Canada,
        ],
        check: |r| of_each(r, "rate", |m| m.rate.is_some()),
    },
    Element {
        name: "total amount",
        asked_by: &[UsRestrictedUse, NewSouthWales],
        check: |r| of_each(r, "total amount of product", |m| m.total.is_some()),
    },
    Element {
        name: "metallic copper",
        asked_by: &[Practice],
        check: |r| {
            of_each(r, "metallic copper", |m| {
                !super::totals::is_copper(m) || m.copper_kg_per_ha.is_some()
            })
        },
    },
    Element {
        name: "spray volume",
        asked_by: &[Practice],
        check: |r| unset(r.volume.is_some(), "spray used in all"),
    },
    Element {
        name: "sprayer",
        asked_by: &[WesternAustralia, Practice],
        check: |r| unset(r.sprayer.is_some(), "which sprayer"),
    },
    Element {
        name: "wind",
        asked_by: &[NewSouthWales, Practice],
        check: |r| match (r.wind.is_some(), filled(r.wind_from.as_ref())) {
            (true, true) => None,
            (false, true) => unset(false, "wind speed"),
            (true, false) => unset(false, "where the wind came from"),
            (false, false) => unset(false, "wind speed and direction"),
        },
    },
    Element {
        name: "temperature",
        asked_by: &[Practice],
        check: |r| unset(r.temperature.is_some(), "air temperature"),
    },
    Element {
        name: "humidity",
        asked_by: &[Practice],
        check: |r| unset(r.humidity_percent.is_some(), "relative humidity"),
    },
    Element {
        name: "re-entry",
        asked_by: &[UsWorkers],
        check: |r| {
            let known = r.reentry_until.is_some() || r.reentry_until_dry;
            unset(known, "when others may go back in")
        },
    },
    Element {
        name: "gear",
        asked_by: &[Practice],
        check: |r| unset(!r.gear.is_empty(), "gear worn"),
    },
];

/// Five letters or letters and digits, as EPPO codes of plants are.
fn is_eppo(word: &str) -> bool {
    word.len() == 5
        && word.starts_with(|c: char| c.is_ascii_uppercase())
        && word
            .chars()
            .all(|c| c.is_ascii_uppercase() || c.is_ascii_digit())
}

/// The EPPO code of a kind of tree. From memory; EPPO's own list decides.
pub fn eppo_code(species: Species) -> Option<&'static str> {
    Some(match species {
        Species::Apple => "MABSD",
        Species::Pear => "PYUCO",
        Species::AsianPear => "PYUPY",
        Species::Quince => "CYDOB",
        Species::Peach => "PRNPS",
        Species::Nectarine => "PRNPN",
        Species::Apricot => "PRNAR",
        Species::JapaneseApricot => "PRNMU",
        Species::EuropeanPlum => "PRNDO",
        Species::JapanesePlum => "PRNSC",
        Species::SweetCherry => "PRNAV",
        Species::SourCherry => "PRNCE",
        Species::Almond => "PRNDU",
        Species::Walnut => "IUGRE",
        Species::Grape => "VITVI",
        Species::Raspberry => "RUBID",
        Species::Blackberry => "RUBFR",
        Species::Gooseberry => "RIBUC",
        Species::Blueberry => "VACCO",
        Species::Fig => "FIUCA",
        Species::Persimmon => "DOSKA",
        _ => return None,
    })
}

fn unset(known: bool, words: &str) -> Option<String> {
    (!known).then(|| words.to_owned())
}

fn filled(text: Option<&String>) -> bool {
    text.is_some_and(|t| !t.trim().is_empty())
}

fn absent(text: Option<&String>, words: &str) -> Option<String> {
    unset(filled(text), words)
}

fn of_each(record: &Record, what: &str, known: fn(&RecordedMaterial) -> bool) -> Option<String> {
    let without: Vec<&str> = record
        .materials
        .iter()
        .filter(|m| !known(m))
        .map(|m| m.name.as_str())
        .collect();
    if record.materials.is_empty() {
        Some(what.to_owned())
    } else if without.is_empty() {
        None
    } else {
        Some(format!("{what} of {}", without.join(" and ")))
    }
}

/// The elements a record lacks, as the named laws ask for them. They are
/// listed, never a reason to refuse a record: an incomplete one beats none.
pub fn missing(record: &Record, laws: &[Law]) -> Vec<Missing> {
    ELEMENTS
        .iter()
        .filter_map(|element| {
            let asked_by: Vec<Law> = element
                .asked_by
                .iter()
                .copied()
                .filter(|law| laws.contains(law))
                .collect();
            if asked_by.is_empty() {
                return None;
            }
            Some(Missing {
                element: element.name,
                asked_by,
                words: (element.check)(record)?,
            })
        })
        .collect()
}
