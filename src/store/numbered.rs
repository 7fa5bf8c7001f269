//! Which task stood behind which number in the reviews that went out, so that an answer is taken
//! for the list its writer saw.

use super::places::Places;
use super::told::{file_of, read};
use super::whole;
use sha2::{Digest, Sha256};
use std::io;
use std::path::{Path, PathBuf};

/// So many lists are kept: an answer may come some reviews late.
const KEPT: usize = 8;

/// The lists of one season, the latest first.
#[derive(Debug)]
pub struct Numbered {
    file: PathBuf,
    lists: Vec<(String, Vec<String>)>,
}

impl Numbered {
    /// The lists kept for the season in that file.
    pub fn of(places: &Places, season: &Path) -> Self {
        let file = file_of(places, "numbered", season);
        let text = read(&file).unwrap_or_default();
        let lists = text
            .lines()
            .filter_map(|line| {
                let mut parts = line.split('\t').map(str::to_owned);
                Some((parts.next()?, parts.collect()))
            })
            .collect();
        Self { file, lists }
    }

    /// Keeps a list and gives the code that its answer names it by.
    ///
    /// # Errors
    /// Where it cannot be written.
    pub fn keep(&mut self, day: &str, ids: &[String]) -> io::Result<String> {
        let digest: [u8; 32] = Sha256::digest(format!("{day} {}", ids.join("\t"))).into();
        let code = format!("{:02x}{:02x}", digest[0], digest[1]);
        let code = format!("{day}-{code}");
        self.lists.retain(|(known, _)| *known != code);
        self.lists.insert(0, (code.clone(), ids.to_vec()));
        self.lists.truncate(KEPT);
        let mut text = String::new();
        for (code, ids) in &self.lists {
            text += &[code, "\t", &ids.join("\t"), "\n"].concat();
        }
        whole::put(&self.file, text.as_bytes())?;
        Ok(code)
    }

    /// The list of a code; without one the latest.
    pub fn list(&self, code: Option<&str>) -> Option<&[String]> {
        let found = match code {
            Some(code) => self.lists.iter().find(|(known, _)| known == code),
            None => self.lists.first(),
        };
        found.map(|(_, ids)| ids.as_slice())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_answer_finds_the_list_its_writer_saw() {
        let folder = tempfile::tempdir().unwrap();
        let places = Places::under(folder.path());
        let season = folder.path().join("a.toml");
        let ids = |all: &[&str]| all.iter().map(|s| (*s).to_owned()).collect::<Vec<_>>();
        let mut kept = Numbered::of(&places, &season);
        assert!(kept.list(None).is_none());
        let first = kept.keep("2027-02-01", &ids(&["a", "b"])).unwrap();
        let second = kept.keep("2027-02-08", &ids(&["b", "c"])).unwrap();
        let kept = Numbered::of(&places, &season);
        assert_eq!(kept.list(Some(&first)).unwrap(), ["a", "b"]);
        assert_eq!(kept.list(Some(&second)).unwrap(), ["b", "c"]);
        assert_eq!(kept.list(None).unwrap(), ["b", "c"]);
        assert!(kept.list(Some("2027-02-08-xxxx")).is_none());
    }
}
