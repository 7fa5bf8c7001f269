//! An open season: read, locked, watched, saved, released.
//!
//! The session remembers the bytes it read. A save compares them with what is
//! on the disk and never replaces a version it has not seen.

mod error;
mod outside;
mod saving;

pub use error::{OpenError, ReadOnly, SaveError};
pub use outside::Outside;

use super::disk::{Disk, Kind, Meta, not_a_file};
use super::lock::{self, Lock, Standing, Taken};
use super::places::{self, PathError, Places};
use super::recovery::{self, Recovered};
use super::save;
use super::season_file::{self, LARGEST_BYTES, Problem};
use super::{backups, merge, shared_targets};
use crate::domain::season::{Season, TargetRow};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What an opener wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mode {
    /// Read and write; fails if another session holds the season.
    Write,
    /// Look only; never fails because of a lock.
    ReadOnly,
    /// Read and write although another session holds it: the owner knows.
    TakeOver,
}

/// What a save did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Saved {
    /// False if there was nothing to write.
    pub written: bool,
    /// The version before, kept here.
    pub backup: Option<PathBuf>,
    /// Why the version before could not be kept.
    pub no_backup: Option<String>,
}

/// An open season.
#[derive(Debug)]
pub struct Session {
    disk: Arc<dyn Disk>,
    places: Option<Places>,
    path: PathBuf,
    real: PathBuf,
    season: Season,
    /// The season's text, in the present format.
    text: String,
    /// What the disk held when last looked at.
    on_disk: Vec<u8>,
    /// Bytes that took their place but may not be on the disk for good.
    unsure: Option<Vec<u8>>,
    meta: Meta,
    may_recreate: bool,
    lock: Option<Lock>,
    read_only: Option<ReadOnly>,
    was_locked: Option<Standing>,
    notes: Vec<Problem>,
    leftovers: usize,
    recovered: Option<Recovered>,
}

impl Session {
    /// Opens a season file. `places` says where a recovery file may be; without
    /// it there is none.
    ///
    /// # Errors
    /// [`OpenError`]; the file is then untouched and not locked.
    pub fn open(
        disk: Arc<dyn Disk>,
        places: Option<Places>,
        path: &Path,
        mode: Mode,
    ) -> Result<Self, OpenError> {
        let unreadable = |source| OpenError::Unreadable {
            path: path.to_owned(),
            source,
        };
        let first = match disk.meta(path, false) {
            Ok(meta) => meta,
            Err(e) if e.kind() == io::ErrorKind::NotFound => {
                return Err(OpenError::NotFound(path.to_owned()));
            }
            Err(e) => return Err(unreadable(e)),
        };
        let real = disk.real_path(path).map_err(|e| {
            let dangling = first.kind == Kind::Link && e.kind() == io::ErrorKind::NotFound;
            unreadable(if dangling { not_a_file(Kind::Link) } else { e })
        })?;
        let meta = disk.meta(&real, true).map_err(unreadable)?;
        if meta.kind != Kind::File {
            return Err(unreadable(not_a_file(meta.kind)));
        }
        let mut read_only = None;
        let mut was_locked = None;
        let mut held = None;
        if mode == Mode::ReadOnly {
            read_only = Some(ReadOnly::Asked);
            was_locked = lock::standing(&*disk, &real).ok().flatten();
        } else if !disk.is_writable(&real) {
            read_only = Some(ReadOnly::Protected);
        } else {
            match lock::take(&*disk, &real, mode == Mode::TakeOver) {
                Ok(Taken::Held(lock, before)) => {
                    held = Some(lock);
                    was_locked = before;
                }
                Ok(Taken::Busy(standing)) => return Err(OpenError::Locked(standing)),
                Err(e) => read_only = Some(ReadOnly::NoLock(e.to_string())),
            }
        }
        // From here on a failure must let the lock go.
        let loaded = shared_targets::load(&*disk, places.as_ref())
            .and_then(|shared| Self::load(&*disk, &real, path, &shared));
        let (on_disk, meta, loaded) = match loaded {
            Ok(loaded) => loaded,
            Err(error) => {
                if let Some(lock) = held {
                    lock.release(&*disk);
                }
                return Err(error);
            }
        };
        let leftovers = held.as_ref().map_or(0, |_| save::clean(&*disk, &real));
        let recovered = places
            .as_ref()
            .and_then(|p| recovery::find(&*disk, &p.state, &real));
        let text = loaded.migrated.unwrap_or_else(|| text_of(&on_disk));
        Ok(Self {
            disk,
            places,
            path: path.to_owned(),
            real,
            season: loaded.season,
            text,
            on_disk,
            unsure: None,
            meta,
            may_recreate: false,
            lock: held,
            read_only,
            was_locked,
            notes: loaded.notes,
            leftovers,
            recovered,
        })
    }

    fn load(
        disk: &dyn Disk,
        real: &Path,
        path: &Path,
        shared: &[TargetRow],
    ) -> Result<(Vec<u8>, Meta, season_file::Loaded), OpenError> {
        let unreadable = |source| OpenError::Unreadable {
            path: path.to_owned(),
            source,
        };
        let meta = disk.meta(real, true).map_err(unreadable)?;
        let bytes = disk.read(real, LARGEST_BYTES as u64).map_err(unreadable)?;
        let loaded = season_file::read_bytes_beside(&bytes, &path.display().to_string(), shared)
            .map_err(OpenError::Problems)?;
        Ok((bytes, meta, loaded))
    }

    /// Makes a new season file and opens it; never replaces one.
    ///
    /// # Errors
    /// [`OpenError::Exists`] if there is one, else as [`Session::open`].
    pub fn create(
        disk: Arc<dyn Disk>,
        places: Option<Places>,
        path: &Path,
        text: &str,
    ) -> Result<Self, OpenError> {
        let name = path.display().to_string();
        let shared = shared_targets::load(&*disk, places.as_ref())?;
        season_file::read_beside(text, &name, &shared).map_err(OpenError::Problems)?;
        let unreadable = |source| OpenError::Unreadable {
            path: path.to_owned(),
            source,
        };
        let folder = match path.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        if disk.meta(folder, true).is_err() {
            disk.create_folder(folder, 0o700).map_err(unreadable)?;
        }
        let file_name = path
            .file_name()
            .ok_or_else(|| unreadable(not_a_file(Kind::Folder)))?;
        let real = disk.real_path(folder).map_err(unreadable)?.join(file_name);
        let lock = match lock::take(&*disk, &real, false).map_err(unreadable)? {
            Taken::Held(lock, _) => lock,
            Taken::Busy(standing) => return Err(OpenError::Locked(standing)),
        };
        let made = if disk.meta(&real, false).is_ok() {
            Err(OpenError::Exists(path.to_owned()))
        } else {
            save::put(&*disk, &real, text.as_bytes(), None, || Ok(())).map_err(OpenError::Create)
        };
        lock.release(&*disk);
        made?;
        Self::open(disk, places, path, Mode::Write)
    }

    /// The season as last read or saved.
    pub fn season(&self) -> &Season {
        &self.season
    }

    /// The file as its owner names it.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The folder the file lives in, links followed.
    pub fn folder(&self) -> PathBuf {
        self.real
            .parent()
            .map_or_else(|| PathBuf::from("/"), Path::to_path_buf)
    }

    /// Gentle notes on the file: unknown keys and the like.
    pub fn notes(&self) -> &[Problem] {
        &self.notes
    }

    /// Why nothing can be saved, if so: to be said before anybody types.
    pub fn read_only(&self) -> Option<&ReadOnly> {
        self.read_only.as_ref()
    }

    /// How the lock stood before: taken over, stale, or held by another.
    pub fn was_locked(&self) -> Option<&Standing> {
        self.was_locked.as_ref()
    }

    /// Half-written files of earlier crashes that were cleaned away.
    pub fn leftovers(&self) -> usize {
        self.leftovers
    }

    /// Work of an earlier session that could not be saved in its place.
    pub fn recovered(&self) -> Option<&Recovered> {
        self.recovered.as_ref()
    }

    /// Lets that work go: it was taken over, or is not wanted.
    pub fn discard_recovered(&mut self) {
        if self.recovered.take().is_some()
            && let Some(places) = &self.places
        {
            recovery::discard(&*self.disk, &places.state, &self.real);
        }
    }

    /// Earlier versions, newest first.
    pub fn backups(&self) -> Vec<backups::Backup> {
        backups::list(&*self.disk, &self.real)
    }

    /// The weather or other file that a path in this season names.
    ///
    /// # Errors
    /// [`PathError`] if it leads out of the season's folder without its owner's word.
    pub fn resolve(&self, written: &str) -> Result<PathBuf, PathError> {
        let folder = self.real.parent().unwrap_or(Path::new("/"));
        places::resolve(
            &*self.disk,
            folder,
            written,
            self.season.weather.allow_outside,
        )
    }

    /// Has the file changed since it was last read or saved? Costs one look at
    /// the folder while nothing changed. `ours` is what the board shows.
    ///
    /// # Errors
    /// Where the file cannot be looked at.
    pub fn changed_outside(&mut self, ours: &Season) -> io::Result<Option<Outside>> {
        match self.disk.meta(&self.real, true) {
            Ok(meta) if meta == self.meta => return Ok(None),
            Ok(_) => {}
            Err(e) if e.kind() == io::ErrorKind::NotFound => {
                return Ok((!self.may_recreate).then_some(Outside::Gone));
            }
            Err(e) => return Err(e),
        }
        self.look(ours)
    }

    /// Reads the file and compares it with what was read or saved last.
    fn look(&mut self, ours: &Season) -> io::Result<Option<Outside>> {
        let read = self
            .disk
            .meta(&self.real, true)
            .and_then(|meta| Ok((meta, self.disk.read(&self.real, LARGEST_BYTES as u64)?)));
        let (meta, bytes) = match read {
            Ok(read) => read,
            Err(e) if e.kind() == io::ErrorKind::NotFound => {
                return Ok((!self.may_recreate).then_some(Outside::Gone));
            }
            Err(e) => return Err(e),
        };
        if bytes == self.on_disk || self.unsure.as_ref() == Some(&bytes) {
            self.meta = meta;
            self.on_disk = bytes;
            return Ok(None);
        }
        let name = self.path.display().to_string();
        Ok(Some(
            match season_file::read_bytes_beside(&bytes, &name, &self.season.shared_targets) {
                Ok(loaded) => Outside::Changed {
                    merged: Box::new(merge::merge(&self.season, ours, &loaded.season)),
                    text: loaded.migrated.unwrap_or_else(|| text_of(&bytes)),
                    theirs: Box::new(loaded.season),
                    bytes,
                },
                Err(problems) => Outside::Broken { problems, bytes },
            },
        ))
    }

    /// Takes note of a change from outside; the next [`Session::save`] goes on
    /// from there. The owner has seen it: a version that cannot be read is
    /// then replaced (and kept as a backup), a file that is gone made again.
    pub fn adopt(&mut self, outside: Outside) {
        match outside {
            Outside::Changed {
                theirs,
                text,
                bytes,
                ..
            } => {
                self.season = *theirs;
                self.text = text;
                self.on_disk = bytes;
            }
            Outside::Broken { bytes, .. } => self.on_disk = bytes,
            Outside::Gone => self.may_recreate = true,
        }
    }

    /// Lets the season go; dropping the session does the same.
    pub fn release(&mut self) {
        if let Some(lock) = self.lock.take() {
            lock.release(&*self.disk);
        }
    }
}

impl Drop for Session {
    fn drop(&mut self) {
        self.release();
    }
}

/// The text of bytes that were read as a season: UTF-8 for sure.
fn text_of(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}
