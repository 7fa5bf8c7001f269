//! Trees as a grower names them: `6 redhaven peach`, `apple 20`, `peach:redhaven:6`.

use crate::domain::phenology::species::Species;

/// Trees a new grower names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewBlock {
    /// The kind of tree.
    pub species: Species,
    /// The cultivar, where known.
    pub cultivar: Option<String>,
    /// How many.
    pub trees: u32,
}

/// Most trees of a block.
const MOST: u32 = 1_000_000;

/// Reads one block: kind, cultivar and number with colons, or in plain words in any order. The
/// error says what is wrong and what to write.
fn read_block(text: &str) -> Result<NewBlock, String> {
    let text = text.trim();
    if text.contains(':') {
        with_colons(text)
    } else {
        in_words(text)
    }
}

/// Reads several, with commas or `and` between.
pub fn read_blocks(text: &str) -> Result<Vec<NewBlock>, String> {
    let named = text.split([',', ';']).flat_map(|part| {
        // With colons a cultivar may have any words.
        let words = part.split_whitespace();
        if part.contains(':') {
            vec![words.collect()]
        } else {
            let words: Vec<&str> = words.collect();
            let ones = words.split(|w| matches!(w.to_lowercase().as_str(), "and" | "&"));
            ones.map(<[&str]>::to_vec).collect()
        }
    });
    named
        .map(|words| words.join(" "))
        .filter(|part| !part.is_empty())
        .map(|part| read_block(&part))
        .collect()
}

impl NewBlock {
    /// In plain words: `6 peach redhaven`.
    pub fn words(&self) -> String {
        let cultivar = self.cultivar.as_deref();
        let cultivar = cultivar.map_or_else(String::new, |c| format!(" {c}"));
        format!("{} {}{cultivar}", self.trees, self.species.words())
    }
}

fn with_colons(text: &str) -> Result<NewBlock, String> {
    let mut parts = text.split(':').map(str::trim);
    let name = parts.next().unwrap_or_default();
    let cultivar = parts.next().filter(|c| !c.is_empty());
    let trees = match parts.next() {
        None | Some("") => 1,
        Some(n) => number(n).ok_or_else(|| {
            format!("'{n}' is no number of trees; write for instance peach:redhaven:6")
        })?,
    };
    Ok(NewBlock {
        species: species(name).ok_or_else(|| unknown(name))?,
        cultivar: cultivar.map(str::to_owned),
        trees,
    })
}

/// The number stands first or last; the kind is the longest run of words at either end that names
/// one, and what is left is the cultivar.
fn in_words(text: &str) -> Result<NewBlock, String> {
    let mut words: Vec<&str> = text
        .split_whitespace()
        .filter(|w| !matches!(w.to_lowercase().as_str(), "tree" | "trees"))
        .collect();
    let mut trees = 1;
    for place in [0, words.len().saturating_sub(1)] {
        if let Some(n) = words.get(place).and_then(|w| number(w)) {
            trees = n;
            words.remove(place);
            break;
        }
    }
    let kinds = (1..=words.len()).rev().flat_map(|n| {
        let (head, tail) = (words.split_at(n), words.split_at(words.len() - n));
        [(head.0, head.1), (tail.1, tail.0)]
    });
    for (kind, rest) in kinds {
        if let Some(species) = species(&kind.join(" ")) {
            if rest.iter().any(|word| self::species(word).is_some()) {
                return Err(format!(
                    "'{text}' names two kinds of tree; write a comma between them"
                ));
            }
            return Ok(NewBlock {
                species,
                cultivar: (!rest.is_empty()).then(|| rest.join(" ")),
                trees,
            });
        }
    }
    Err(unknown(&words.join(" ")))
}

/// The numbers people write as words, from one on.
const SMALL: [&str; 12] = [
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
];

fn number(text: &str) -> Option<u32> {
    let word = text.to_lowercase();
    let spelled = || match word.as_str() {
        "a" | "an" => Some(1),
        word => u32::try_from(SMALL.iter().position(|w| *w == word)? + 1).ok(),
    };
    let number = text.parse().ok().or_else(spelled);
    number.filter(|n| (1..=MOST).contains(n))
}

/// A kind, in the plural too.
pub(super) fn species(name: &str) -> Option<Species> {
    let name = name.to_lowercase();
    let one = |ending: &str, instead: &str| {
        let stem = name.strip_suffix(ending)?;
        Species::from_text(&format!("{stem}{instead}"))
    };
    Species::from_text(&name)
        .or_else(|| one("ies", "y"))
        .or_else(|| one("s", ""))
        .or_else(|| one("es", ""))
}

fn unknown(name: &str) -> String {
    let known: Vec<&str> = Species::ALL.iter().map(|s| s.words()).collect();
    format!(
        "'{name}' is no kind of tree known here; write one of: {}",
        known.join(", ")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn trees_are_read_as_growers_write_them() {
        for (text, species, cultivar, trees) in [
            ("peach", Species::Peach, None, 1),
            ("peach:redhaven:6", Species::Peach, Some("redhaven"), 6),
            ("apple::20", Species::Apple, None, 20),
            ("Apple:Cox Orange", Species::Apple, Some("Cox Orange"), 1),
            ("3 apples", Species::Apple, None, 3),
            ("apples 3", Species::Apple, None, 3),
            ("2 peaches", Species::Peach, None, 2),
            ("4 sour cherries", Species::SourCherry, None, 4),
            ("6 redhaven peach", Species::Peach, Some("redhaven"), 6),
            ("peach redhaven 6", Species::Peach, Some("redhaven"), 6),
            ("japanese plum", Species::JapanesePlum, None, 1),
            ("a pear tree", Species::Pear, None, 1),
            ("Three apple trees", Species::Apple, None, 3),
        ] {
            let block = read_block(text).unwrap();
            assert_eq!(block.species, species, "{text}");
            assert_eq!(block.cultivar.as_deref(), cultivar, "{text}");
            assert_eq!(block.trees, trees, "{text}");
        }
        assert_eq!(read_blocks("2 peach, 3 apple,").unwrap().len(), 2);
        let blocks =
            read_blocks("3 peach, 2 apricot and one plum tree; an apple & a pear").unwrap();
        let words: Vec<String> = blocks.iter().map(NewBlock::words).collect();
        let plum = species("plum").unwrap().words();
        assert_eq!(
            words,
            [
                "3 peach",
                "2 apricot",
                &format!("1 {plum}"),
                "1 apple",
                "1 pear"
            ]
        );
        let blocks = read_blocks("peach:Sun and Snow:2, 3 apple").unwrap();
        assert_eq!(
            (blocks.len(), blocks[0].cultivar.as_deref()),
            (2, Some("Sun and Snow"))
        );
        assert_eq!(
            read_block("6 redhaven peach").unwrap().words(),
            "6 peach redhaven"
        );
    }

    #[test]
    fn what_is_no_tree_is_told_with_what_to_write() {
        for text in ["", "3", "oak", "peach::many", "apple::0", "fir:x:2"] {
            let fault = read_block(text).unwrap_err();
            assert!(fault.contains("write"), "{text}: {fault}");
        }
        assert!(read_blocks("peach, oak").is_err());
        for text in ["2 apricot 1 plum", "peach plum", "apple and pear"] {
            let fault = read_block(text).unwrap_err();
            assert!(fault.contains("comma"), "{text}: {fault}");
        }
        assert_eq!(read_blocks(" , ").unwrap(), []);
    }
}
