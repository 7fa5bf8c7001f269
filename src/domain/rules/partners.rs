//! Rules on what shares a tank, and on the water in it.

use super::facts::Spray;
use super::words::two;
use super::{Facts, Level, Rule, Warning};
use crate::domain::materials::{Actives, named_alike};
use crate::domain::season::Material;
use crate::domain::sources::{self, Source};

/// Two kinds of active that should not share a tank, where labels are silent.
struct Pair {
    a: Actives,
    b: Actives,
    level: Level,
    because: &'static str,
    source: &'static Source,
}

/// Worst first: of several that fit a pair of materials the first one speaks.
static PAIRS: &[Pair] = &[
    Pair {
        a: Actives::LIME_SULFUR,
        b: Actives::ACID,
        level: Level::Stop,
        because: "they give off toxic hydrogen sulfide gas",
        source: &sources::LIME_SULFUR_ACID,
    },
    Pair {
        a: Actives::OIL,
        b: Actives::CAPTAN,
        level: Level::Stop,
        because: "oil carries captan into the plant and it burns",
        source: &sources::CAPTAN_ALKALINE,
    },
    Pair {
        a: Actives::CAPTAN,
        b: Actives::ALKALINE,
        level: Level::Stop,
        because: "alkaline partners break captan",
        source: &sources::CAPTAN_ALKALINE,
    },
    Pair {
        a: Actives::OIL,
        b: Actives::CHLOROTHALONIL,
        level: Level::Stop,
        because: "the two burn within days of each other, so all the more in one tank",
        source: &sources::OIL_CHLOROTHALONIL,
    },
    Pair {
        a: Actives::OIL,
        b: Actives::SULFUR,
        level: Level::Stop,
        because: "oil and sulfur burn together",
        source: &sources::OIL_SULFUR,
    },
    Pair {
        a: Actives::LIME_SULFUR,
        b: Actives::COPPER,
        level: Level::Stop,
        because: "lime sulfur is strongly alkaline and is mixed with little else",
        source: &sources::LIME_SULFUR_MIX,
    },
    Pair {
        a: Actives::COPPER,
        b: Actives::ACID,
        level: Level::Stop,
        because: "acid dissolves more copper, which burns",
        source: &sources::COPPER_ACID,
    },
    Pair {
        a: Actives::OIL,
        b: Actives::LIME_SULFUR,
        level: Level::Caution,
        because: "only where both labels allow it, and only on fully dormant trees",
        source: &sources::OIL_SULFUR,
    },
    Pair {
        a: Actives::COPPER,
        b: Actives::SULFUR,
        level: Level::Caution,
        because: "two weeks are wanted between them",
        source: &sources::COPPER_SULFUR,
    },
    Pair {
        a: Actives::LIME_SULFUR,
        b: Actives::UREA,
        level: Level::Caution,
        because: "lime sulfur is strongly alkaline and is mixed with little else",
        source: &sources::LIME_SULFUR_MIX,
    },
];

/// How grave it is to bring two kinds of active together in one tank, where labels are silent.
pub(super) fn in_one_tank(one: Actives, two: Actives) -> Option<(Level, &'static Source)> {
    PAIRS
        .iter()
        .find(|p| (one.any(p.a) && two.any(p.b)) || (one.any(p.b) && two.any(p.a)))
        .map(|p| (p.level, p.source))
}

/// Partners of a tank go together by their labels and by common knowledge.
pub fn partners_do_not_mix(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for spray in facts.all_sprays().iter().filter(|s| s.is_open()) {
        for (i, (_, one, one_kinds, one_ix)) in spray.parts.iter().enumerate() {
            for (_, two, two_kinds, two_ix) in spray.parts.iter().skip(i + 1) {
                if one_ix == two_ix {
                    continue;
                }
                let by_label = forbids(one, two).or_else(|| forbids(two, one));
                let found = by_label.or_else(|| {
                    PAIRS
                        .iter()
                        .find(|p| {
                            (one_kinds.any(p.a) && two_kinds.any(p.b))
                                || (one_kinds.any(p.b) && two_kinds.any(p.a))
                        })
                        .map(|p| (p.level, p.because.to_owned(), p.source))
                });
                if let Some((level, because, source)) = found {
                    out.push(refusal(rule, spray, (one, two), level, &because, source));
                }
            }
        }
    }
}

fn forbids(holder: &Material, other: &Material) -> Option<(Level, String, &'static Source)> {
    holder
        .label
        .never_with
        .iter()
        .find(|word| named_alike(word, &other.active))
        .map(|word| {
            (
                Level::Stop,
                format!("the label of {} forbids {word}", holder.name),
                &sources::LABEL,
            )
        })
}

fn refusal(
    rule: &Rule,
    spray: &Spray<'_>,
    (one, two): (&Material, &Material),
    level: Level,
    because: &str,
    source: &'static Source,
) -> Warning {
    let message = if level == Level::Stop {
        format!("{} and {} must not share a tank", one.name, two.name)
    } else {
        format!(
            "{} and {} in one tank: look at both labels",
            one.name, two.name
        )
    };
    rule.warn(
        level,
        message,
        format!(
            "{} ({}) with {} ({}): {because}.",
            one.name, one.active, two.name, two.active
        ),
        "Spray them apart, with the days between that both labels want.".to_owned(),
    )
    .task(spray.task)
    .material(one)
    .source(source)
}

/// At most three partners share a tank.
pub fn too_many_partners(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for spray in facts.all_sprays().iter().filter(|s| s.is_open()) {
        let n = spray.parts.len();
        if n <= 3 {
            continue;
        }
        out.push(
            rule.warn(
                Level::Caution,
                format!("{n} materials in one tank"),
                "More than three partners are seldom tested together.".to_owned(),
                "Split the task, or leave one out.".to_owned(),
            )
            .task(spray.task),
        );
    }
}

/// The pH of the water suits every partner.
pub fn water_ph(rule: &Rule, facts: &Facts<'_>, out: &mut Vec<Warning>) {
    for spray in facts.all_sprays().iter().filter(|s| s.is_open()) {
        let Some(ph) = spray.task.water_ph.filter(|p| p.is_finite()) else {
            continue;
        };
        for (i, (_, material, kinds, ix)) in spray.parts.iter().enumerate() {
            if spray.parts.iter().take(i).any(|p| p.3 == *ix) {
                continue;
            }
            let Some((level, wanted, source)) = unsuited(ph, material, *kinds) else {
                continue;
            };
            out.push(
                rule.warn(
                    level,
                    format!(
                        "the water is of pH {}; {} wants {wanted}",
                        two(ph),
                        material.name
                    ),
                    format!("pH entered for the task: {}.", two(ph)),
                    "Use other water or correct it before the product goes in, then measure again."
                        .to_owned(),
                )
                .task(spray.task)
                .material(material)
                .source(source),
            );
        }
    }
}

/// Least pH of the water for copper hydroxide (New England guide 1996-97, Rosenberger 2013).
/// Bordeaux mixture and copper sulfate have none: lime, or the salt itself, sets the pH.
pub const COPPER_HYDROXIDE_LEAST_PH: f64 = 6.5;
/// Above this pH captan breaks down within hours, from [`CAPTAN_STOP_PH`] on within minutes:
/// half of it in 8 h at pH 7, in 2 minutes at pH 10 (Kansas State Univ.).
pub const CAPTAN_MOST_PH: f64 = 7.0;
/// See [`CAPTAN_MOST_PH`]; from pH 8 what is sensitive breaks down fast (Univ. of Florida PI193).
pub const CAPTAN_STOP_PH: f64 = 8.0;

/// What a material wants of the water that this one is not.
fn unsuited(
    ph: f64,
    material: &Material,
    kinds: Actives,
) -> Option<(Level, String, &'static Source)> {
    let label = &material.label;
    let under = |least: f64| ph < least - 1e-9;
    let above = |most: f64| ph > most + 1e-9;
    if let Some(least) = label.water_ph_min {
        if under(least) {
            return Some((
                Level::Stop,
                format!("at least {}", two(least)),
                &sources::LABEL,
            ));
        }
    } else if kinds.any(Actives::COPPER) && under(COPPER_HYDROXIDE_LEAST_PH) {
        let least = format!("at least {}", two(COPPER_HYDROXIDE_LEAST_PH));
        if kinds.any(Actives::COPPER_HYDROXIDE) {
            return Some((Level::Stop, least, &sources::COPPER_PH));
        }
        if !kinds.any(Actives::COPPER_OTHER) {
            return Some((
                Level::Caution,
                format!("{least} if it is copper hydroxide: which copper is it?"),
                &sources::COPPER_PH,
            ));
        }
    }
    if let Some(most) = label.water_ph_max {
        return above(most).then(|| {
            (
                Level::Stop,
                format!("at most {}", two(most)),
                &sources::LABEL,
            )
        });
    }
    if kinds.any(Actives::CAPTAN) && above(CAPTAN_MOST_PH) {
        let level = if under(CAPTAN_STOP_PH) {
            Level::Caution
        } else {
            Level::Stop
        };
        let wanted = format!(
            "at most {}: half of it is gone in 8 h at pH 7, in 2 minutes at pH 10",
            two(CAPTAN_MOST_PH)
        );
        return Some((level, wanted, &sources::CAPTAN_PH));
    }
    None
}
