//! Saving an open season.

use super::super::lock::{self, PATIENCE, Taken};
use super::super::merge::{Collision, Side};
use super::super::save::{self, Failed, Step};
use super::super::season_file::LARGEST_BYTES;
use super::super::{backups, compare, season_file, writers};
use super::{Base, Joined, Outside, SaveError, Saved, Session, Unsure};
use crate::domain::season::Season;
use std::io;
use std::sync::Arc;
use std::time::{Duration, Instant};

/// How often a save that was overtaken by somebody who takes no lock begins anew.
const ROUNDS: usize = 20;
/// So many changes of others are named.
const NAMED: usize = 3;

impl Session {
    /// Saves a season: joined with what others wrote meanwhile, item by item. What the board
    /// showed as saved survives a crash at any point; on failure the work also goes to a recovery
    /// file where possible.
    ///
    /// # Errors
    /// [`SaveError`]; nothing is lost: the file holds the old version, or the
    /// new one where only the folder could not be put on the disk.
    pub fn save(&mut self, new: &Season) -> Result<Saved, SaveError> {
        if let Some(reason) = &self.read_only {
            return Err(SaveError::ReadOnly(reason.clone()));
        }
        let saved = self.locked(new);
        match &saved {
            Ok(_) => self.settle_aside(),
            // Kept at once: whatever ends this session now, the work is somewhere.
            Err(_) => self.kept_aside(new),
        }
        saved.map_err(|error| self.with_place(error))
    }

    fn locked(&mut self, new: &Season) -> Result<Saved, SaveError> {
        let disk = Arc::clone(&self.disk);
        // Reading and joining is most of the work, and keeps nobody waiting while it is done
        // without the lock. Where somebody saves meanwhile it is done once more, under the lock.
        let mut ready = self.ready(new)?;
        let asked = Instant::now();
        let mut lock = match lock::take(&*disk, &self.real, PATIENCE) {
            Ok(Taken::Held(lock)) => lock,
            Ok(Taken::Busy(who)) => return Err(SaveError::Busy(who)),
            Err(source) => return Err(self.failed(Step::Lock, source)),
        };
        let waited = asked.elapsed();
        lock.sign(&self.who);
        for round in 0..ROUNDS {
            if round > 0 || !self.still_stands(&ready.base) {
                ready = self.ready(new)?;
            }
            // Where somebody who takes no lock was quicker, look again.
            if let Some(saved) = self.put(&ready, new)? {
                drop(lock);
                if saved.backup.is_some() {
                    backups::thin(&*disk, &self.real);
                }
                let joined = ready.came.map(|came| came.words(&ready.base, ready.season));
                return Ok(Saved {
                    joined,
                    waited,
                    ..saved
                });
            }
        }
        Err(SaveError::Busy(
            "a program that writes without end".to_owned(),
        ))
    }

    /// What is to stand in the file: the season joined with what others wrote.
    fn ready(&self, new: &Season) -> Result<Ready, SaveError> {
        let mut base = self.base.clone();
        let mut season = new.clone();
        let mut came = None;
        match self.look(&mut base, new, Side::Ours) {
            Ok(None) => {}
            Ok(Some(outside)) if !outside.asks().is_empty() => {
                return Err(SaveError::ChangedOnDisk(Box::new(outside)));
            }
            Ok(Some(outside)) => {
                let Outside::Changed { merged, by, .. } = &outside else {
                    return Err(SaveError::ChangedOnDisk(Box::new(outside)));
                };
                season = merged.season.clone();
                came = Some(Came {
                    before: self.before(&base, &outside).clone(),
                    by: by.clone(),
                    collisions: merged.collisions.clone(),
                });
                base.take(outside);
            }
            Err(source) => return Err(self.failed(Step::ReadBack, source)),
        }
        let text = season_file::write(&base.text, &base.season, &season)?;
        Ok(Ready {
            base,
            season,
            text,
            came,
        })
    }

    /// Is the version that was joined with still the one on the disk?
    fn still_stands(&self, base: &Base) -> bool {
        match self.disk.meta(&self.real, true) {
            Ok(meta) if meta == base.meta => {
                let bytes = self.disk.read(&self.real, LARGEST_BYTES as u64);
                bytes.is_ok_and(|bytes| bytes == base.on_disk)
            }
            Err(e) => self.may_recreate && e.kind() == io::ErrorKind::NotFound,
            Ok(_) => false,
        }
    }

    /// What somebody else's edit starts from: the version read last, or what was sent when that
    /// was joined with it and nobody could be told.
    fn before<'s>(&'s self, base: &'s Base, outside: &Outside) -> &'s Season {
        match (&self.unsure, outside) {
            (Some(unsure), Outside::Changed { bytes, .. }) if unsure.bytes == *bytes => {
                &unsure.sent
            }
            _ => &base.season,
        }
    }

    /// Puts the season, `sent` joined with what others wrote, in the place of the version seen;
    /// `None` where that is not there any more.
    fn put(&mut self, ready: &Ready, sent: &Season) -> Result<Option<Saved>, SaveError> {
        let disk = Arc::clone(&self.disk);
        let Ready {
            base, season, text, ..
        } = ready;
        let mut saved = Saved {
            written: false,
            backup: None,
            no_backup: None,
            joined: None,
            waited: Duration::ZERO,
        };
        if text.as_bytes() == base.on_disk && self.unsure.is_none() && !self.may_recreate {
            self.base = Base {
                season: season.clone(),
                text: text.clone(),
                ..base.clone()
            };
            return Ok(Some(saved));
        }
        let (real, seen, recreate) = (self.real.clone(), base.meta, self.may_recreate);
        let mut backup = None;
        let put = save::put(&*disk, &real, text.as_bytes(), Some(&seen), || {
            match disk.meta(&real, true) {
                Ok(meta) if meta == seen => {}
                Err(e) if recreate && e.kind() == io::ErrorKind::NotFound => return Ok(()),
                _ => return Err(PutError::Raced),
            }
            backup = Some(backups::keep(&*disk, &real, &base.on_disk, seen.mode));
            writers::note(&*disk, &real, text.as_bytes(), &self.who);
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
            Err(PutError::Raced) => return Ok(None),
            Err(PutError::Failed(failed)) => {
                if failed.step == Step::SyncFolder {
                    self.unsure = Some(Unsure {
                        bytes: text.clone().into_bytes(),
                        sent: sent.clone(),
                        written: season.clone(),
                    });
                }
                return Err(SaveError::Failed {
                    failed,
                    recovery: None,
                });
            }
        }
        self.unsure = None;
        self.may_recreate = false;
        self.base = Base {
            on_disk: text.as_bytes().to_vec(),
            text: text.clone(),
            season: season.clone(),
            meta: disk.meta(&real, true).unwrap_or(base.meta),
        };
        saved.written = true;
        match backup {
            Some(Ok(path)) => saved.backup = Some(path),
            Some(Err(error)) => saved.no_backup = Some(error.to_string()),
            None => {}
        }
        Ok(Some(saved))
    }

    fn failed(&self, step: Step, source: io::Error) -> SaveError {
        SaveError::Failed {
            failed: Failed {
                path: self.path.clone(),
                step,
                source,
            },
            recovery: None,
        }
    }
}

/// A season ready to take its place.
struct Ready {
    /// The version it is to replace.
    base: Base,
    season: Season,
    text: String,
    /// What others wrote in that version.
    came: Option<Came>,
}

/// What came from others with the version that is replaced.
struct Came {
    /// What their edit started from.
    before: Season,
    by: Option<String>,
    collisions: Vec<Collision>,
}

impl Came {
    /// What others did meanwhile, in words.
    fn words(self, theirs: &Base, season: Season) -> Joined {
        let differences = compare::differences(&self.before, &theirs.season);
        Joined {
            season: Box::new(season),
            words: compare::in_short(&differences, NAMED),
            by: self.by,
            collisions: self.collisions,
        }
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
