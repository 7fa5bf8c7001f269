//! The one place that keeps unsaved work aside, and offers it again. Nothing takes it away but its
//! owner's word, or a save that has it in.

use super::super::merge::{self, Merged, Side};
use super::super::recovery::{self, Recovered};
use super::super::{save, season_file};
use super::{SaveError, Session};
use crate::domain::season::Season;
use std::path::{Path, PathBuf};

/// The file of kept work by its name.
pub fn kept_path(session: &Session, id: &str) -> Option<PathBuf> {
    let kept = session.recovered.iter().find(|kept| kept.id() == id)?;
    Some(kept.path.clone())
}

impl Session {
    /// Work of earlier sessions that could not be saved in its place, newest first.
    pub fn recovered(&self) -> &[Recovered] {
        &self.recovered
    }

    /// Lets such work go: it was taken in, or is not wanted.
    pub fn discard_recovered(&mut self, path: &Path) {
        if self.recovered.iter().any(|r| r.path == path) {
            recovery::discard(&*self.disk, path);
            self.recovered.retain(|r| r.path != path);
        }
    }

    /// Such work joined with the season as it stands now; where both have another value of one
    /// thing, the present one stands and is told.
    ///
    /// # Errors
    /// Where it cannot be read as a season any more.
    pub fn join_recovered(&self, kept: &Recovered, now: &Season) -> Result<Merged, String> {
        let read = |text: &str| {
            season_file::read_beside(text, &kept.path.display().to_string(), &now.shared_targets)
                .map(|loaded| loaded.season)
                .map_err(|problems| problems.to_string())
        };
        let work = read(&kept.text)?;
        Ok(match kept.base.as_deref().map(read) {
            Some(Ok(base)) => merge::onto(&base, now, &work, Side::Theirs),
            _ => merge::without_base(now, &work, Side::Theirs),
        })
    }

    /// Writes the work to the recovery file of this session, whatever the state of the season
    /// file: for a lost line, a collision nobody could look at, a disk that refuses.
    ///
    /// # Errors
    /// Where that fails too, or there is no place for it.
    pub fn keep_aside(&mut self, new: &Season) -> Result<PathBuf, SaveError> {
        self.aside_is_whole = false;
        let Some(places) = &self.places else {
            return Err(SaveError::NoRecoveryPlace);
        };
        let text = season_file::write(&self.base.text, &self.base.season, new)?;
        let path = self
            .aside
            .clone()
            .unwrap_or_else(|| recovery::new_path(&*self.disk, &places.state, &self.real));
        recovery::write(&*self.disk, &path, &self.real, &text, &self.base.text).map_err(
            |failed: save::Failed| SaveError::Failed {
                failed,
                recovery: None,
            },
        )?;
        self.aside = Some(path.clone());
        self.aside_is_whole = true;
        Ok(path)
    }

    /// Where the unsaved work of this session is kept, if all of it is.
    pub fn aside(&self) -> Option<&Path> {
        self.aside.as_deref().filter(|_| self.aside_is_whole)
    }

    pub(super) fn kept_aside(&mut self, new: &Season) {
        let _ = self.keep_aside(new);
    }

    /// The work kept aside is in the season now.
    pub(super) fn settle_aside(&mut self) {
        if let Some(path) = self.aside.take() {
            recovery::discard(&*self.disk, &path);
        }
    }

    /// The work of this session is not wanted: a command that failed is run again, or not.
    pub fn drop_aside(&mut self) {
        self.settle_aside();
    }

    /// The owner went on with another version: what was kept aside is not in it and stays kept.
    pub fn leave_aside(&mut self) {
        self.aside = None;
    }

    /// An error of a save, with the place of the work kept aside.
    pub(super) fn with_place(&self, error: SaveError) -> SaveError {
        match error {
            SaveError::Failed { failed, .. } => SaveError::Failed {
                failed,
                recovery: self.aside().map(Path::to_owned),
            },
            other => other,
        }
    }
}
