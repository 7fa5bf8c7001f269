//! Blocks as a grower names them: by name, number or id, several with commas or `and` between,
//! a range (`1-10`, `3 to 5`), a kind of tree (`peaches`), a cultivar, all but some.

use super::planted::species;
use super::{Block, BlockId, Season};

/// Reads blocks; nothing, `all` or `all blocks` is every block, as an empty list.
///
/// # Errors
/// Where a piece names no block, or several that are not meant together; the words say what to
/// write.
pub fn named_blocks(text: &str, season: &Season) -> Result<Vec<BlockId>, String> {
    let text = text.trim();
    if text.is_empty() || is_all(text) {
        return Ok(Vec::new());
    }
    let exact: Vec<&Block> = exact(text, season);
    if exact.is_empty()
        && let Some((these, but)) = without(text)
    {
        let taken = named_blocks(but, season)?;
        let from = named_blocks(these, season)?;
        let is_meant = |b: &&Block| {
            (from.is_empty() || from.contains(&b.id))
                && !(taken.is_empty() || taken.contains(&b.id))
        };
        let ids: Vec<BlockId> = season.blocks.iter().filter(is_meant).map(id).collect();
        return if ids.is_empty() {
            Err(format!("'{text}' leaves no block"))
        } else {
            Ok(ids)
        };
    }
    let mut ids: Vec<BlockId> = Vec::new();
    for piece in pieces(text, season) {
        for block in one(&piece, season)? {
            if !ids.contains(&block.id) {
                ids.push(block.id.clone());
            }
        }
    }
    Ok(ids)
}

/// The same, every block by its id: nothing named is all of them.
///
/// # Errors
/// As [`named_blocks`].
pub fn every_named_block(text: &str, season: &Season) -> Result<Vec<BlockId>, String> {
    let ids = named_blocks(text, season)?;
    Ok(if ids.is_empty() {
        season.blocks.iter().map(id).collect()
    } else {
        ids
    })
}

/// The names of blocks with commas between, as [`named_blocks`] reads them again.
pub fn block_names(ids: &[BlockId], season: &Season) -> String {
    let names = ids
        .iter()
        .map(|id| season.block(id).map_or(id.as_str(), |b| b.name.as_str()));
    names.collect::<Vec<_>>().join(", ")
}

fn id(block: &Block) -> BlockId {
    block.id.clone()
}

fn is_all(text: &str) -> bool {
    ["all", "all blocks", "everything"].contains(&text.to_lowercase().as_str())
}

/// `all but 3`, `peaches except 07`.
fn without(text: &str) -> Option<(&str, &str)> {
    [" but ", " except ", " without "].iter().find_map(|word| {
        let at = text.to_lowercase().find(word)?;
        Some((text.get(..at)?, text.get(at + word.len()..)?))
    })
}

fn exact<'a>(piece: &str, season: &'a Season) -> Vec<&'a Block> {
    let wanted = piece.to_lowercase();
    let by = |name: fn(&Block) -> &str| -> Vec<&'a Block> {
        season
            .blocks
            .iter()
            .filter(|b| name(b).to_lowercase() == wanted)
            .collect()
    };
    let names = by(|b| &b.name);
    if names.is_empty() {
        by(|b| b.id.as_str())
    } else {
        names
    }
}

/// Cuts at commas, semicolons and `and`, but never within a block's own name.
fn pieces(text: &str, season: &Season) -> Vec<String> {
    let mut names: Vec<String> = season
        .blocks
        .iter()
        .flat_map(|b| [b.name.to_lowercase(), b.id.as_str().to_lowercase()])
        .filter(|name| name.contains([',', ';']) || name.contains(" and ") || name.contains('&'))
        .collect();
    names.sort_by_key(|name| std::cmp::Reverse(name.len()));
    let mut out = Vec::new();
    let mut rest = text.trim();
    while !rest.is_empty() {
        let lower = rest.to_lowercase();
        let own = names.iter().find(|name| {
            lower.starts_with(name.as_str())
                && lower.get(name.len()..).is_some_and(|r| {
                    let r = r.trim_start();
                    r.is_empty() || r.starts_with([',', ';', '&']) || r.starts_with("and ")
                })
        });
        let end = own
            .and_then(|name| rest.get(..name.len()))
            .map_or_else(|| cut(rest), str::len);
        let (piece, after) = rest.split_at(end);
        if !piece.trim().is_empty() {
            out.push(piece.trim().to_owned());
        }
        rest = after.trim_start_matches([',', ';', '&', ' ']);
        if let Some(more) = rest.get(..4).filter(|w| w.eq_ignore_ascii_case("and ")) {
            rest = rest.get(more.len()..).unwrap_or_default();
        }
    }
    out
}

fn cut(text: &str) -> usize {
    let lower = text.to_lowercase();
    let and = lower.find(" and ").filter(|at| text.is_char_boundary(*at));
    let comma = text.find([',', ';', '&']);
    and.into_iter().chain(comma).min().unwrap_or(text.len())
}

/// The number a name or id begins or ends with: `07 Bing`, `b7`, `Block 7`.
fn numbers(block: &Block) -> impl Iterator<Item = u32> {
    let of = |text: &str| {
        let first = text
            .split(|c: char| !c.is_ascii_digit())
            .find(|d| !d.is_empty());
        first.and_then(|d| d.parse().ok())
    };
    let (name, id) = (of(&block.name), of(block.id.as_str()));
    // The name is what is painted on the post; the id counts where the name has no number.
    name.or(id).into_iter()
}

fn number(text: &str) -> Option<u32> {
    let text = text.trim().trim_start_matches('#');
    let digits = text.trim_start_matches(|c: char| c.is_ascii_alphabetic() || c == ' ');
    (!digits.is_empty() && digits.chars().all(|c| c.is_ascii_digit()))
        .then(|| digits.parse().ok())
        .flatten()
}

fn range(piece: &str) -> Option<(&str, &str)> {
    let lower = piece.to_lowercase();
    let word = [" to ", " - ", "..", "\u{2013}", "-"]
        .into_iter()
        .find(|w| lower.contains(w))?;
    let (from, to) = piece.split_once(word)?;
    (!from.trim().is_empty() && !to.trim().is_empty())
        .then(|| (from.trim(), to.trim_matches('.').trim()))
}

fn one<'a>(piece: &str, season: &'a Season) -> Result<Vec<&'a Block>, String> {
    if is_all(piece) {
        return Ok(season.blocks.iter().collect());
    }
    let exact = exact(piece, season);
    match exact.as_slice() {
        [] => {}
        [_] => return Ok(exact),
        several => return Err(which(piece, several, "share this name; write one's id")),
    }
    if let Some((from, to)) = range(piece)
        && let Some(found) = between(from, to, piece, season)?
    {
        return Ok(found);
    }
    if let Some(n) = number(piece) {
        let found: Vec<&Block> = season
            .blocks
            .iter()
            .filter(|b| numbers(b).any(|m| m == n))
            .collect();
        match found.as_slice() {
            [] => {}
            [_] => return Ok(found),
            several => return Err(which(piece, several, "have this number; write the name")),
        }
    }
    let kind = of_kind(piece, season);
    if !kind.is_empty() {
        return Ok(kind);
    }
    let wanted = piece.to_lowercase();
    let cultivar: Vec<&Block> = season
        .blocks
        .iter()
        .filter(|b| {
            b.cultivar
                .as_ref()
                .is_some_and(|c| c.to_lowercase() == wanted)
        })
        .collect();
    if !cultivar.is_empty() {
        return Ok(cultivar);
    }
    let begins: Vec<&Block> = season
        .blocks
        .iter()
        .filter(|b| {
            b.name.to_lowercase().starts_with(&wanted)
                || b.id.as_str().to_lowercase().starts_with(&wanted)
        })
        .collect();
    match begins.as_slice() {
        [_] => Ok(begins),
        [] => Err(unknown(piece, season)),
        several => Err(which(piece, several, "begin so; write more of the name")),
    }
}

/// All blocks from one to another: by their numbers, else in the order of the season.
fn between<'a>(
    from: &str,
    to: &str,
    piece: &str,
    season: &'a Season,
) -> Result<Option<Vec<&'a Block>>, String> {
    if let (Some(a), Some(b)) = (number(from), number(to)) {
        let (low, high) = (a.min(b), a.max(b));
        let found: Vec<&Block> = season
            .blocks
            .iter()
            .filter(|block| numbers(block).any(|n| (low..=high).contains(&n)))
            .collect();
        return if found.is_empty() {
            Err(format!(
                "no block has a number from {low} to {high}; {}",
                known(season)
            ))
        } else {
            Ok(Some(found))
        };
    }
    let place = |text: &str| match exact(text, season).as_slice() {
        [only] => season.blocks.iter().position(|b| b.id == only.id),
        _ => None,
    };
    match (place(from), place(to)) {
        (Some(a), Some(b)) => {
            let (low, high) = (a.min(b), a.max(b));
            Ok(season
                .blocks
                .get(low..=high)
                .map(|all| all.iter().collect()))
        }
        (None, None) => Ok(None),
        _ => Err(format!(
            "'{piece}' is no range of blocks known here; {}",
            known(season)
        )),
    }
}

/// All blocks of a kind of tree, in one or many: `peach`, `plums`, `cherries`. A word that several
/// kinds share means them all.
fn of_kind<'a>(piece: &str, season: &'a Season) -> Vec<&'a Block> {
    let text = piece.to_lowercase();
    let text = text.trim_end_matches(" blocks").trim_end_matches(" trees");
    let text = text.strip_prefix("all ").unwrap_or(text);
    let Some(kind) = species(text) else {
        return Vec::new();
    };
    let shared = |b: &&Block| {
        ["plum", "plums", "cherry", "cherries"].contains(&text)
            && b.species.words().split(' ').next_back() == kind.words().split(' ').next_back()
    };
    season
        .blocks
        .iter()
        .filter(|b| b.species == kind || shared(b))
        .collect()
}

fn which(piece: &str, several: &[&Block], what: &str) -> String {
    let names: Vec<String> = several
        .iter()
        .map(|b| format!("{} ({})", b.name, b.id))
        .collect();
    format!("'{piece}': {} {what}", names.join(", "))
}

fn known(season: &Season) -> String {
    let names: Vec<&str> = season.blocks.iter().map(|b| b.name.as_str()).collect();
    if names.is_empty() {
        "this season has no blocks yet".to_owned()
    } else {
        format!("known: {}", names.join(", "))
    }
}

fn unknown(piece: &str, season: &Season) -> String {
    format!(
        "there is no block '{piece}'; {}; or write a range as 1-10, a kind as peaches",
        known(season)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::hours::testing::season_with;
    use crate::domain::phenology::species::Species;

    fn farm() -> Season {
        let mut season = season_with(Vec::new());
        let first = season.blocks[0].clone();
        let blocks = [
            ("b01", "01 Redhaven", Species::Peach, Some("Redhaven")),
            ("b02", "02 Contender", Species::Peach, None),
            ("b03", "03 Bing", Species::SweetCherry, Some("Bing")),
            ("b04", "04 Montmorency", Species::SourCherry, None),
            ("b10", "10 Gala", Species::Apple, Some("Gala")),
            ("wall", "Pears, by the wall", Species::Pear, None),
            ("old-new", "Old and new", Species::Apple, Some("Gala")),
        ];
        season.blocks = blocks
            .into_iter()
            .map(|(id, name, species, cultivar)| Block {
                id: BlockId::from(id),
                name: name.to_owned(),
                species,
                cultivar: cultivar.map(str::to_owned),
                ..first.clone()
            })
            .collect();
        season
    }

    fn ids(text: &str) -> Vec<String> {
        let found = named_blocks(text, &farm()).unwrap_or_else(|e| panic!("{text}: {e}"));
        found.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn blocks_are_read_as_growers_name_them() {
        for (text, wanted) in [
            ("", vec![]),
            (" All ", vec![]),
            ("01 redhaven", vec!["b01"]),
            ("b01, b10", vec!["b01", "b10"]),
            ("1-3", vec!["b01", "b02", "b03"]),
            ("01 - 03", vec!["b01", "b02", "b03"]),
            ("b01-b02", vec!["b01", "b02"]),
            ("3 to 1", vec!["b01", "b02", "b03"]),
            ("2 and 4", vec!["b02", "b04"]),
            ("peaches", vec!["b01", "b02"]),
            ("peach, 10", vec!["b01", "b02", "b10"]),
            ("cherries", vec!["b03", "b04"]),
            ("sour cherry", vec!["b04"]),
            ("gala", vec!["b10", "old-new"]),
            ("Pears, by the wall", vec!["wall"]),
            ("01, Pears, by the wall, 2", vec!["b01", "wall", "b02"]),
            ("Old and new and 4", vec!["old-new", "b04"]),
            ("old-new", vec!["old-new"]),
            ("peaches but 2", vec!["b01"]),
            ("all except 1-10", vec!["wall", "old-new"]),
            ("03", vec!["b03"]),
            ("mont, 04", vec![]),
        ] {
            if text == "mont, 04" {
                assert!(named_blocks(text, &farm()).is_err());
            } else {
                assert_eq!(ids(text), wanted, "{text}");
            }
        }
    }

    #[test]
    fn what_is_not_known_or_not_clear_is_told() {
        for (text, said) in [
            ("11-20", "no block has a number"),
            ("oak", "there is no block 'oak'"),
            ("0", "begin so"),
            ("01 Redhaven-oak", "no range"),
            ("peaches but 1-2", "leaves no block"),
        ] {
            let fault = named_blocks(text, &farm()).unwrap_err();
            assert!(fault.contains(said), "{text}: {fault}");
        }
    }

    #[test]
    fn what_is_written_of_any_blocks_reads_again() {
        let season = farm();
        for from in 0..season.blocks.len() {
            for to in from..season.blocks.len() {
                let some: Vec<BlockId> = season.blocks[from..=to].iter().map(id).collect();
                assert_eq!(
                    named_blocks(&block_names(&some, &season), &season),
                    Ok(some)
                );
            }
        }
    }
}
