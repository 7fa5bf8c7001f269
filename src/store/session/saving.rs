//! Saving an open season.

use super::super::save::{self, Failed, Step};
use super::super::{backups, lock, recovery, season_file};
use super::{ReadOnly, SaveError, Saved, Session};
use crate::domain::season::Season;
use std::io;
use std::path::PathBuf;
use std::sync::Arc;

impl Session {
    /// Saves a season. What the board showed as saved survives a crash at any
    /// point; on failure the work also goes to a recovery file where possible.
    ///
    /// # Errors
    /// [`SaveError`]; nothing is lost: the file holds the old version, or the
    /// new one where only the folder could not be put on the disk.
    pub fn save(&mut self, new: &Season) -> Result<Saved, SaveError> {
        if let Some(reason) = &self.read_only {
            return Err(SaveError::ReadOnly(reason.clone()));
        }
        let disk = Arc::clone(&self.disk);
        let Some(lock) = &self.lock else {
            return Err(SaveError::ReadOnly(ReadOnly::Released));
        };
        if !lock.is_ours(&*disk).unwrap_or(false) {
            let standing = lock::standing(&*disk, &self.real).ok().flatten();
            return Err(SaveError::LostLock(standing));
        }
        match self.look(new) {
            Ok(None) => {}
            Ok(Some(outside)) => return Err(SaveError::ChangedOnDisk(Box::new(outside))),
            Err(source) => {
                let failed = Failed {
                    path: self.path.clone(),
                    step: Step::ReadBack,
                    source,
                };
                return Err(self.failed(new, failed));
            }
        }
        let text = season_file::write(&self.text, &self.season, new)?;
        if text.as_bytes() == self.on_disk && self.unsure.is_none() && !self.may_recreate {
            self.season = new.clone();
            self.text = text;
            return Ok(Saved {
                written: false,
                backup: None,
                no_backup: None,
            });
        }
        let (real, seen, recreate) = (self.real.clone(), self.meta, self.may_recreate);
        let mut backup = None;
        let put = save::put(&*disk, &real, text.as_bytes(), Some(&seen), || {
            match disk.meta(&real, true) {
                Ok(meta) if meta == seen => {}
                Err(e) if recreate && e.kind() == io::ErrorKind::NotFound => return Ok(()),
                // Somebody was quicker: look again.
                _ => return Err(PutError::Raced),
            }
            backup = Some(backups::keep(&*disk, &real, &self.on_disk, seen.mode));
            Ok(())
        });
        if let (Err(_), Some(Ok(kept))) = (&put, &backup)
            && !matches!(&put, Err(PutError::Failed(f)) if f.step == Step::SyncFolder)
        {
            // The version "before" is still the present one.
            let _ = disk.remove(kept);
        }
        match put {
            Ok(()) => {}
            Err(PutError::Raced) => {
                return match self.look(new) {
                    Ok(Some(outside)) => Err(SaveError::ChangedOnDisk(Box::new(outside))),
                    // Touched, but the same: now known.
                    Ok(None) => self.save(new),
                    Err(source) => Err(self.failed(
                        new,
                        Failed {
                            path: self.path.clone(),
                            step: Step::ReadBack,
                            source,
                        },
                    )),
                };
            }
            Err(PutError::Failed(failed)) => {
                if failed.step == Step::SyncFolder {
                    self.unsure = Some(text.into_bytes());
                }
                return Err(self.failed(new, failed));
            }
        }
        self.on_disk = text.as_bytes().to_vec();
        self.text = text;
        self.season = new.clone();
        self.unsure = None;
        self.may_recreate = false;
        if let Ok(meta) = disk.meta(&real, true) {
            self.meta = meta;
        }
        self.discard_recovered();
        let (backup, no_backup) = match backup {
            Some(Ok(path)) => (Some(path), None),
            Some(Err(error)) => (None, Some(error.to_string())),
            None => (None, None),
        };
        Ok(Saved {
            written: true,
            backup,
            no_backup,
        })
    }

    fn failed(&mut self, new: &Season, failed: Failed) -> SaveError {
        SaveError::Failed {
            failed,
            recovery: self.keep_aside(new).ok(),
        }
    }

    /// Writes the work to the recovery file, whatever the state of the season
    /// file: for a lost line, a lost lock, a collision nobody could look at.
    ///
    /// # Errors
    /// Where that fails too, or there is no place for it.
    pub fn keep_aside(&mut self, new: &Season) -> Result<PathBuf, SaveError> {
        let Some(places) = &self.places else {
            return Err(SaveError::NoRecoveryPlace);
        };
        let text = season_file::write(&self.text, &self.season, new)?;
        let path =
            recovery::write(&*self.disk, &places.state, &self.real, &text).map_err(|failed| {
                SaveError::Failed {
                    failed,
                    recovery: None,
                }
            })?;
        self.recovered = recovery::find(&*self.disk, &places.state, &self.real);
        Ok(path)
    }
}

/// Why a file did not take its place.
enum PutError {
    Failed(Failed),
    Raced,
}

impl From<Failed> for PutError {
    fn from(failed: Failed) -> Self {
        Self::Failed(failed)
    }
}
