//! Targets as a grower names them. What lives on the trees in question goes first, and what may
//! mean several things there is asked, never guessed: a wrong target is a wrong record.

use super::{TargetView, all};
use crate::domain::phenology::species::Species;
use crate::domain::season::{BlockId, Season, TargetId};

/// Reads targets with commas between; `blocks` are the trees they are meant for, none named is
/// all of them.
///
/// # Errors
/// Where a piece names nothing, or several things that live on these trees.
pub fn named(text: &str, season: &Season, blocks: &[BlockId]) -> Result<Vec<TargetId>, String> {
    let known = all(season);
    let mut kinds: Vec<Species> = Vec::new();
    for block in &season.blocks {
        let is_meant = blocks.is_empty() || blocks.contains(&block.id);
        if is_meant && !kinds.contains(&block.species) {
            kinds.push(block.species);
        }
    }
    let mut ids: Vec<TargetId> = Vec::new();
    for piece in pieces(text, &known) {
        let id = one(&piece, &known, &kinds)?;
        if !ids.contains(&id) {
            ids.push(id);
        }
    }
    Ok(ids)
}

/// Cuts at commas and semicolons, but never within a target's own name.
fn pieces(text: &str, known: &[TargetView<'_>]) -> Vec<String> {
    let with_comma: Vec<String> = known
        .iter()
        .map(|v| v.name().to_lowercase())
        .filter(|n| n.contains([',', ';']))
        .collect();
    let mut out = Vec::new();
    let mut rest = text.trim();
    while !rest.is_empty() {
        let lower = rest.to_lowercase();
        let own = with_comma.iter().find(|n| lower.starts_with(n.as_str()));
        let end = own
            .and_then(|n| rest.get(..n.len()))
            .map_or_else(|| rest.find([',', ';']).unwrap_or(rest.len()), str::len);
        let (piece, after) = rest.split_at(end);
        if !piece.trim().is_empty() {
            out.push(piece.trim().to_owned());
        }
        rest = after.trim_start_matches([',', ';', ' ']);
    }
    out
}

fn one(piece: &str, known: &[TargetView<'_>], kinds: &[Species]) -> Result<TargetId, String> {
    let wanted = piece.to_lowercase();
    let exact = known
        .iter()
        .find(|v| v.name().to_lowercase() == wanted || v.key().to_lowercase() == wanted);
    if let Some(view) = exact {
        return Ok(view.id());
    }
    let words: Vec<&str> = wanted.split_whitespace().collect();
    let has = |v: &&TargetView<'_>| {
        let name = v.name().to_lowercase();
        let key = v.key().to_lowercase();
        key.starts_with(&wanted)
            || words.iter().all(|w| {
                name.split(|c: char| !c.is_alphanumeric())
                    .any(|n| n.starts_with(w))
            })
    };
    let hits: Vec<&TargetView<'_>> = known.iter().filter(has).collect();
    let here: Vec<&&TargetView<'_>> = hits
        .iter()
        .filter(|v| kinds.iter().any(|k| v.lives_on(*k)))
        .collect();
    let list = |views: &[&TargetView<'_>]| {
        let names: Vec<&str> = views.iter().map(|v| v.name()).collect();
        names.join(", ")
    };
    match (here.as_slice(), hits.as_slice()) {
        ([only], _) => Ok(only.id()),
        ([], []) => Err(format!(
            "there is no target '{piece}'; known: {}",
            list(&known.iter().collect::<Vec<_>>())
        )),
        ([], elsewhere) => Err(format!(
            "{} does not live on these trees; write its whole name if it is meant, or name the blocks first",
            list(elsewhere)
        )),
        (several, _) => {
            let mut views: Vec<&TargetView<'_>> = several.iter().map(|v| **v).collect();
            // What lives on most of these trees first.
            views.sort_by_key(|v| {
                std::cmp::Reverse(kinds.iter().filter(|k| v.lives_on(**k)).count())
            });
            Err(format!(
                "'{piece}' may be {}; write one of them",
                list(&views)
            ))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::hours::testing::season_with;

    fn on(kinds: &[Species]) -> Season {
        let mut season = season_with(Vec::new());
        let first = season.blocks[0].clone();
        season.blocks = kinds
            .iter()
            .enumerate()
            .map(|(i, species)| crate::domain::season::Block {
                id: BlockId::from(format!("b{i}").as_str()),
                species: *species,
                ..first.clone()
            })
            .collect();
        season
    }

    fn name(text: &str, kinds: &[Species]) -> Result<String, String> {
        let season = on(kinds);
        let ids = named(text, &season, &[])?;
        let names: Vec<&str> = ids
            .iter()
            .map(|id| super::super::find(&season, id).unwrap().name())
            .collect();
        Ok(names.join(", "))
    }

    #[test]
    fn what_lives_on_these_trees_is_meant() {
        use Species::{Apple, JapaneseApricot, Peach, SweetCherry};
        assert_eq!(name("leaf curl", &[Peach]).unwrap(), "peach leaf curl");
        assert_eq!(
            name("Leaf Curl", &[JapaneseApricot]).unwrap(),
            "leaf curl on flowering apricot"
        );
        assert_eq!(name("canker", &[SweetCherry]).unwrap(), "bacterial canker");
        assert_eq!(name("canker", &[Apple]).unwrap(), "European canker");
        assert_eq!(
            name("san jose, leaf curl", &[Peach]).unwrap(),
            "San Jose scale, peach leaf curl"
        );
    }

    #[test]
    fn what_may_mean_several_is_asked_and_what_lives_elsewhere_is_told() {
        use Species::{Apple, JapaneseApricot, Peach, SweetCherry};
        let fault = name("canker", &[Apple, SweetCherry]).unwrap_err();
        assert!(fault.contains("bacterial canker") && fault.contains("European canker"));
        let fault = name("leaf curl", &[Peach, JapaneseApricot]).unwrap_err();
        assert!(fault.contains("may be"), "{fault}");
        let fault = name("black kno", &[Apple]).unwrap_err();
        assert!(fault.contains("does not live"), "{fault}");
        // The whole name is always taken.
        assert_eq!(name("pear psylla", &[Peach]).unwrap(), "pear psylla");
        assert!(name("yeti", &[Peach]).unwrap_err().contains("known:"));
    }

    #[test]
    fn blocks_named_narrow_what_is_meant() {
        let season = on(&[Species::Apple, Species::SweetCherry]);
        let cherries = [season.blocks[1].id.clone()];
        let ids = named("canker", &season, &cherries).unwrap();
        assert_eq!(ids, [TargetId::from("bacterial-canker")]);
    }
}
