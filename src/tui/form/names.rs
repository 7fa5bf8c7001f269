//! Known names in a field: read, completed, joined.

use super::Kind;
use crate::domain::place::{self, Found};
use crate::domain::season::{BlockId, MaterialId, MixPart, Season, TargetId};
use crate::domain::targets;
use crate::domain::units::Rate;
use crate::domain::zone::Zone;

/// Names in one line.
pub fn join(names: impl Iterator<Item = impl AsRef<str>>) -> String {
    names
        .map(|n| n.as_ref().to_owned())
        .collect::<Vec<_>>()
        .join(", ")
}

fn pieces(text: &str) -> impl Iterator<Item = &str> {
    text.split([',', ';'])
        .map(str::trim)
        .filter(|piece| !piece.is_empty())
}

/// Known things as (id, name).
fn known(kind: &Kind, season: &Season) -> Vec<(String, String)> {
    match kind {
        Kind::Blocks | Kind::Part => season
            .blocks
            .iter()
            .map(|b| (b.id.to_string(), b.name.clone()))
            .collect(),
        Kind::Mix => season
            .materials
            .iter()
            .map(|m| (m.id.to_string(), m.name.clone()))
            .collect(),
        Kind::Targets => targets::all(season)
            .iter()
            .map(|view| (view.id().to_string(), view.name().to_owned()))
            .collect(),
        Kind::Stage => STAGES
            .iter()
            .map(|(_, words)| ((*words).to_owned(), (*words).to_owned()))
            .collect(),
        Kind::Zone => Zone::names()
            .map(|name| (name.to_owned(), Zone::city(name).to_owned()))
            .collect(),
        Kind::Person(_) => {
            let mut names: Vec<String> = season
                .records
                .iter()
                .rev()
                .flat_map(|r| [&r.who, &r.reentry_seen_by, &r.supervisor])
                .flatten()
                .chain(season.people.iter().map(|p| &p.name))
                .cloned()
                .collect();
            names.dedup();
            names.into_iter().map(|n| (n.clone(), n)).collect()
        }
        _ => Vec::new(),
    }
}

/// What would complete the name being typed at the end of the text.
pub fn completion(kind: &Kind, text: &str, season: &Season) -> Option<String> {
    if matches!(kind, Kind::Place) {
        return town_completion(text);
    }
    let piece = text.rsplit([',', ';']).next()?.trim_start();
    let mut typed = piece.to_lowercase();
    if typed.is_empty() {
        return None;
    }
    if matches!(kind, Kind::Zone) {
        // A city's words are joined in the names.
        typed = typed.replace(' ', "_");
    }
    known(kind, season)
        .into_iter()
        .flat_map(|(id, name)| [name, id])
        .find(|name| name.to_lowercase().starts_with(&typed) && name.to_lowercase() != typed)
        .map(|name| name.chars().skip(piece.chars().count()).collect())
}

/// The rest of the largest town that begins as written, with its region and country.
fn town_completion(text: &str) -> Option<String> {
    let words = match place::find(text, 1) {
        Found::One(place) if place::read_pair(text).is_none() => place.words,
        Found::Several(towns, _) => towns.first()?.words(),
        _ => return None,
    };
    let typed = text.trim_start();
    let begins = words.to_lowercase().starts_with(&typed.to_lowercase()) && words != typed;
    begins.then(|| words.chars().skip(typed.chars().count()).collect())
}

fn find(kind: &Kind, piece: &str, season: &Season) -> Option<String> {
    let wanted = piece.to_lowercase();
    let all = known(kind, season);
    let exact = all
        .iter()
        .find(|(id, name)| id.to_lowercase() == wanted || name.to_lowercase() == wanted);
    let begins = || {
        let mut hits = all.iter().filter(|(id, name)| {
            id.to_lowercase().starts_with(&wanted) || name.to_lowercase().starts_with(&wanted)
        });
        // The start of a name will do where it fits one alone.
        hits.next().filter(|_| hits.next().is_none())
    };
    exact.or_else(begins).map(|(id, _)| id.clone())
}

fn unknown(what: &str, piece: &str, kind: &Kind, season: &Season) -> String {
    let names = join(known(kind, season).iter().map(|(_, name)| name));
    if names.is_empty() {
        format!("there is no {what} '{piece}': this season has none yet")
    } else {
        format!("there is no {what} '{piece}'; known: {names}")
    }
}

/// Blocks by name, number, range or kind; nothing or `all` means all of them.
pub use crate::domain::season::named_blocks as blocks;

/// Targets by name or id; of several that a word may mean, the one that lives on these blocks.
pub fn targets(text: &str, season: &Season, blocks: &[BlockId]) -> Result<Vec<TargetId>, String> {
    targets::named(text, season, blocks)
}

/// The name of a target.
pub fn target_name(id: &TargetId, season: &Season) -> String {
    known(&Kind::Targets, season)
        .into_iter()
        .find(|(known, _)| known == id.as_str())
        .map_or_else(|| id.to_string(), |(_, name)| name)
}

/// Materials by name or id, each with a rate behind it or without.
pub fn mix(text: &str, season: &Season) -> Result<Vec<MixPart>, String> {
    pieces(text)
        .map(|piece| {
            // The longest leading words that name a material; the rest is its rate.
            let words: Vec<&str> = piece.split_whitespace().collect();
            for length in (1..=words.len()).rev() {
                let (name, rest) = words.split_at(length);
                let Some(id) = find(&Kind::Mix, &name.join(" "), season) else {
                    continue;
                };
                let rate = match rest {
                    [] => None,
                    rest => Some(
                        rest.join(" ")
                            .parse::<Rate>()
                            .map_err(|fault| format!("rate of '{}': {fault}", name.join(" ")))?,
                    ),
                };
                return Ok(MixPart {
                    material: MaterialId::from(id.as_str()),
                    rate,
                });
            }
            Err(unknown("material", piece, &Kind::Mix, season))
        })
        .collect()
}

/// A mix as it is written in the field.
pub fn mix_text(mix: &[MixPart], season: &Season) -> String {
    join(mix.iter().map(|part| {
        let name = season
            .material(&part.material)
            .map_or(part.material.as_str(), |m| m.name.as_str());
        match part.rate {
            Some(rate) => format!("{name} {rate}"),
            None => name.to_owned(),
        }
    }))
}

/// An ordinary number from nothing up.
pub fn number(text: &str) -> Result<f64, String> {
    match text.trim().replace(',', ".").parse::<f64>() {
        Ok(n) if n.is_finite() && (0.0..1e6).contains(&n) => Ok(n),
        Ok(_) => Err(format!(
            "'{text}' is out of range; write a number from 0 up"
        )),
        Err(_) if text.trim().is_empty() => Err("write a number, for instance 95".to_owned()),
        Err(_) => Err(format!("'{text}' is not a number; write for instance 95")),
    }
}

/// Stages of flower buds that can be told with the eye, on the BBCH scale for
/// pome and stone fruit (Meier et al. 1994, as taken up in the 2018 monograph;
/// numbers as in the table of stages of this program).
pub const STAGES: &[(u8, &str)] = &[
    (0, "still tight (dormant)"),
    (51, "swelling"),
    (53, "bud burst (green tip)"),
    (54, "half-inch green (mouse-ear)"),
    (55, "cluster visible (green cluster)"),
    (56, "flowers separating"),
    (57, "pink or white bud"),
    (61, "first flowers open"),
    (65, "full bloom"),
];

/// The words for the last listed stage at or before a BBCH number.
pub fn stage_words(bbch: u8) -> &'static str {
    STAGES
        .iter()
        .rev()
        .find(|(n, _)| *n <= bbch)
        .map_or("", |(_, words)| words)
}

/// A stage by its number, the start of its words, or any of its words that no other has: `tight`.
pub fn stage(text: &str) -> Result<(u8, &'static str), String> {
    let typed = text.trim().to_lowercase();
    let by_words = STAGES
        .iter()
        .find(|(_, words)| !typed.is_empty() && words.starts_with(&typed));
    let has = |words: &str| {
        words
            .split(|c: char| !c.is_alphanumeric())
            .any(|w| w == typed)
    };
    let mut with_word = STAGES.iter().filter(|(_, words)| has(words));
    let only = match (with_word.next(), with_word.next()) {
        (Some(only), None) if !typed.is_empty() => Some(only),
        _ => None,
    };
    if let Some((bbch, words)) = by_words.or(only) {
        return Ok((*bbch, words));
    }
    match typed.parse::<u8>() {
        Ok(bbch) if bbch <= 69 => Ok((bbch, stage_words(bbch))),
        _ => Err(format!(
            "write a BBCH number 0 to 69, or: {}",
            join(STAGES.iter().map(|(_, words)| words))
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stage_is_known_by_the_word_a_grower_types() {
        let bbch = |text: &str| stage(text).map(|(n, _)| n);
        assert_eq!(bbch("tight"), Ok(0));
        assert_eq!(bbch(" Burst "), Ok(53));
        assert_eq!(bbch("swell"), Ok(51));
        assert_eq!(bbch("57"), Ok(57));
        // Several stages are green, and nothing is no stage.
        for text in ["green", "", "70", "ripe"] {
            assert!(bbch(text).is_err(), "{text}");
        }
    }
}
