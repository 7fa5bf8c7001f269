//! The way a season came in its last sessions, so that undo reaches back across a restart: the
//! texts of its last versions with the words of each step, kept among the state.

use super::disk::Disk;
use super::recovery::short_name;
use super::season_file::{self, Comments};
use super::{draft, save};
use crate::domain::season::{Season, TargetRow};
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// So many steps are kept.
const MOST_STEPS: usize = 30;
/// And no more than this, whatever the size of the season.
const MOST_BYTES: usize = 4 << 20;

/// The versions of a season, oldest first, and the words of the steps between them.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Trail {
    /// The versions as canonical text.
    texts: Vec<String>,
    /// One fewer: what each step was.
    words: Vec<String>,
    /// Which steps were somebody else's; empty where none were.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    others: Vec<bool>,
    /// Which version is the present one; those behind it were undone.
    at: usize,
}

/// The way a season came: its versions, the words of the steps between them, which of those were
/// somebody else's, and which version is the present one.
pub type Way = (Vec<Season>, Vec<String>, Vec<bool>, usize);

/// Where the trail of a season is, under the state folder.
pub fn path(state: &Path, season: &Path) -> PathBuf {
    state
        .join("undo")
        .join(format!("{:016x}.json", short_name(season)))
}

/// The one text of a season, whatever its owner's layout.
fn text_of(season: &Season) -> Option<String> {
    season_file::fresh(season, &Comments::default()).ok()
}

impl Trail {
    /// A trail of seasons; `None` where they and the words do not go together.
    pub fn of(seasons: &[Season], words: &[String], others: &[bool], at: usize) -> Option<Self> {
        let texts: Vec<String> = seasons.iter().map(text_of).collect::<Option<_>>()?;
        let trail = Self {
            texts,
            words: words.to_vec(),
            others: others.to_vec(),
            at,
        };
        trail.is_sound().then_some(trail)
    }

    fn is_sound(&self) -> bool {
        self.texts.len() == self.words.len() + 1 && self.at < self.texts.len()
    }

    /// Reads the one kept, if there is one that leads to this season.
    pub fn read(disk: &dyn Disk, path: &Path, now: &Season) -> Option<Self> {
        let bytes = disk.read(path, 2 * MOST_BYTES as u64).ok()?;
        let trail: Self = serde_json::from_slice(&bytes).ok()?;
        (trail.is_sound() && trail.texts.get(trail.at) == text_of(now).as_ref()).then_some(trail)
    }

    /// Keeps it.
    ///
    /// # Errors
    /// Where it cannot be written.
    pub fn write(&self, disk: &dyn Disk, path: &Path) -> Result<(), save::Failed> {
        let text = serde_json::to_string(self).unwrap_or_default();
        draft::write(disk, path, &text)
    }

    /// This one with a later one behind it that begins where this one stands.
    pub fn followed_by(mut self, later: Self) -> Self {
        if self.texts.get(self.at) != later.texts.first() {
            return later;
        }
        let mut others = later.others;
        others.resize(later.words.len(), false);
        self.others.resize(self.words.len(), false);
        self.others.truncate(self.at);
        self.others.extend(others);
        self.texts.truncate(self.at + 1);
        self.words.truncate(self.at);
        self.texts.extend(later.texts.into_iter().skip(1));
        self.words.extend(later.words);
        self.at += later.at;
        self
    }

    /// Lets the oldest steps go beyond the limits; the present version stays.
    pub fn shortened(mut self) -> Self {
        let size = |t: &Self| t.texts.iter().map(String::len).sum::<usize>();
        while self.at > 0 && (self.words.len() > MOST_STEPS || size(&self) > MOST_BYTES) {
            self.texts.remove(0);
            self.words.remove(0);
            if !self.others.is_empty() {
                self.others.remove(0);
            }
            self.at -= 1;
        }
        self
    }

    /// The seasons with the words between them and the place of the present one; `None` where
    /// one of them cannot be read any more.
    pub fn seasons(self, shared: &[TargetRow]) -> Option<Way> {
        let read = |text: &String| {
            season_file::read_beside(text, "an earlier version", shared)
                .ok()
                .map(|loaded| loaded.season)
        };
        let seasons = self.texts.iter().map(read).collect::<Option<_>>()?;
        Some((seasons, self.words, self.others, self.at))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::disk::RealDisk;
    use crate::store::practice;

    /// The practice season in so many versions, each named after its number.
    fn versions(from: usize, to: usize) -> (Vec<Season>, Vec<String>) {
        let season = practice::season().unwrap().season;
        let named = |i: usize| {
            let mut version = season.clone();
            version.orchard.name = format!("version {i}");
            version
        };
        let words = (from..to).map(|i| format!("step {i}")).collect();
        ((from..=to).map(named).collect(), words)
    }

    fn trail(from: usize, to: usize, at: usize) -> Trail {
        let (seasons, words) = versions(from, to);
        Trail::of(&seasons, &words, &vec![false; words.len()], at).unwrap()
    }

    #[test]
    fn it_is_read_for_its_own_season_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = path(folder.path(), Path::new("/orchard/a.toml"));
        let kept = trail(0, 3, 2);
        kept.write(&RealDisk, &path).unwrap();
        let (seasons, words) = versions(0, 3);
        assert_eq!(Trail::read(&RealDisk, &path, &seasons[1]), None);
        let read = Trail::read(&RealDisk, &path, &seasons[2]).unwrap();
        assert_eq!(
            read.seasons(&[]).unwrap(),
            (seasons, words, vec![false; 3], 2)
        );
        std::fs::write(&path, "{\"texts\":[],\"words\":[],\"at\":0}").unwrap();
        assert_eq!(Trail::read(&RealDisk, &path, &versions(0, 0).0[0]), None);
    }

    #[test]
    fn a_later_one_goes_on_where_it_stands_and_what_was_undone_there_is_gone() {
        let whole = trail(0, 4, 2).followed_by(trail(2, 5, 3));
        assert_eq!(whole, trail(0, 5, 5));
        // One that begins elsewhere stands alone.
        assert_eq!(trail(0, 4, 2).followed_by(trail(3, 5, 1)), trail(3, 5, 1));
    }

    #[test]
    fn it_keeps_the_last_steps_and_never_loses_the_present() {
        let kept = trail(0, 40, 40).shortened();
        assert_eq!(kept, trail(40 - MOST_STEPS, 40, MOST_STEPS));
        assert_eq!(trail(0, 40, 0).shortened(), trail(0, 40, 0));
    }
}
