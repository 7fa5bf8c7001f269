//! An open season: read, watched, joined, saved.
//!
//! The session remembers the bytes it read and holds no lock while it is open: others write beside
//! it. A save takes the lock, compares those bytes with what is on the disk, joins what came there
//! meanwhile with its own edit, and never replaces a version it has not seen.

mod aside;
mod error;
mod outside;
mod saving;

pub use aside::kept_path;
pub use error::{OpenError, ReadOnly, SaveError};
pub use outside::Outside;

use super::disk::{Disk, Kind, Meta, not_a_file};
use super::lock::{self, Taken};
use super::merge::{Collision, Side};
use super::places::{self, PathError, Places};
use super::recovery::{self, Recovered};
use super::save;
use super::season_file::{self, LARGEST_BYTES, Problem};
use super::{backups, merge, shared_targets, writers};
use crate::domain::season::{Season, TargetRow};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

/// What an opener wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mode {
    /// Read and write.
    Write,
    /// Look only.
    ReadOnly,
}

/// What a save did.
#[derive(Debug, Clone, PartialEq)]
pub struct Saved {
    /// False if there was nothing to write.
    pub written: bool,
    /// The version before, kept here.
    pub backup: Option<PathBuf>,
    /// Why the version before could not be kept.
    pub no_backup: Option<String>,
    /// What came from others meanwhile and was joined.
    pub joined: Option<Joined>,
    /// How long another save was waited for.
    pub waited: Duration,
}

/// What came from others and stands in the season now.
#[derive(Debug, Clone, PartialEq)]
pub struct Joined {
    /// The season with their edit and ours.
    pub season: Box<Season>,
    /// What they changed, in one line.
    pub words: String,
    /// Who wrote it, where that was noted.
    pub by: Option<String>,
    /// Where they met ours, without a question: what both removed and changed, records of both.
    pub collisions: Vec<Collision>,
}

/// What an edit starts from: the season as last read or saved.
#[derive(Debug, Clone)]
struct Base {
    season: Season,
    /// The season's text, in the present format.
    text: String,
    /// What the disk held when last looked at.
    on_disk: Vec<u8>,
    meta: Meta,
}

/// A version that took its place but may not be on the disk for good.
#[derive(Debug)]
struct Unsure {
    bytes: Vec<u8>,
    /// What was to be saved, and what it was joined to with the edits of others.
    sent: Season,
    written: Season,
}

/// An open season.
#[derive(Debug)]
pub struct Session {
    disk: Arc<dyn Disk>,
    places: Option<Places>,
    path: PathBuf,
    real: PathBuf,
    base: Base,
    unsure: Option<Unsure>,
    may_recreate: bool,
    read_only: Option<ReadOnly>,
    notes: Vec<Problem>,
    leftovers: usize,
    /// Work of earlier sessions, newest first.
    recovered: Vec<Recovered>,
    /// Where the unsaved work of this session is kept.
    aside: Option<PathBuf>,
    /// Is all of it in there? A later try may have failed.
    aside_is_whole: bool,
    who: String,
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
        let mut leftovers = 0;
        if mode == Mode::ReadOnly {
            read_only = Some(ReadOnly::Asked);
        } else if !disk.is_writable(&real) {
            read_only = Some(ReadOnly::Protected);
        } else {
            match lock::take(&*disk, &real, Duration::ZERO) {
                Ok(Taken::Held(_lock)) => leftovers = save::clean(&*disk, &real),
                Err(e) if is_closed(&e) => read_only = Some(ReadOnly::NoLock(e.to_string())),
                // Somebody saves just now, or the disk is full: it may have room when it is
                // saved, and else it is told then.
                Ok(Taken::Busy(_)) | Err(_) => {}
            }
        }
        let shared = shared_targets::load(&*disk, places.as_ref())?;
        let (on_disk, meta, loaded) = Self::load(&*disk, &real, path, &shared)?;
        let recovered = places
            .as_ref()
            .map(|p| recovery::all(&*disk, &p.state, &real))
            .unwrap_or_default();
        let text = loaded.migrated.unwrap_or_else(|| text_of(&on_disk));
        let who = writers::here(&*disk, "barewood");
        Ok(Self {
            disk,
            places,
            path: path.to_owned(),
            real,
            base: Base {
                season: loaded.season,
                text,
                on_disk,
                meta,
            },
            unsure: None,
            may_recreate: false,
            read_only,
            notes: loaded.notes,
            leftovers,
            recovered,
            aside: None,
            aside_is_whole: false,
            who,
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
        let lock = match lock::take(&*disk, &real, lock::PATIENCE).map_err(unreadable)? {
            Taken::Held(lock) => lock,
            Taken::Busy(who) => return Err(OpenError::Busy(who)),
        };
        let made = if disk.meta(&real, false).is_ok() {
            Err(OpenError::Exists(path.to_owned()))
        } else {
            save::put(&*disk, &real, text.as_bytes(), None, || Ok(())).map_err(OpenError::Create)
        };
        drop(lock);
        made?;
        Self::open(disk, places, path, Mode::Write)
    }

    /// The season as last read or saved.
    pub fn season(&self) -> &Season {
        &self.base.season
    }

    /// Says what is being done here, for whoever finds the change: `move`, `board`.
    pub fn doing(&mut self, what: &str) {
        self.who = writers::here(&*self.disk, what);
    }

    /// The file as its owner names it.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The file itself, links followed.
    pub fn file(&self) -> &Path {
        &self.real
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

    /// Half-written files of earlier crashes that were cleaned away.
    pub fn leftovers(&self) -> usize {
        self.leftovers
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
            self.base.season.weather.allow_outside,
        )
    }

    /// Has the file changed since it was last read or saved? Costs one look at
    /// the folder while nothing changed. `ours` is what the board shows.
    ///
    /// # Errors
    /// Where the file cannot be looked at.
    pub fn changed_outside(&mut self, ours: &Season) -> io::Result<Option<Outside>> {
        match self.disk.meta(&self.real, true) {
            Ok(meta) if meta == self.base.meta => return Ok(None),
            Ok(_) => {}
            Err(e) if e.kind() == io::ErrorKind::NotFound => {
                return Ok((!self.may_recreate).then_some(Outside::Gone));
            }
            Err(e) => return Err(e),
        }
        let mut base = self.base.clone();
        let found = self.look(&mut base, ours, Side::Ours);
        self.base.meta = base.meta;
        self.base.on_disk = base.on_disk;
        found
    }

    /// Reads the file and compares it with what was read or saved last.
    fn look(&self, base: &mut Base, ours: &Season, stands: Side) -> io::Result<Option<Outside>> {
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
        let unsure = self.unsure.as_ref().filter(|unsure| unsure.bytes == bytes);
        if let Some(unsure) = unsure.filter(|unsure| unsure.sent != unsure.written) {
            // Nobody was told of what others had in it: it comes in now.
            let merged = merge::onto(&unsure.sent, &unsure.written, ours, stands);
            return Ok(Some(Outside::Changed {
                merged: Box::new(merged),
                text: text_of(&bytes),
                theirs: Box::new(unsure.written.clone()),
                by: None,
                meta,
                bytes,
            }));
        }
        if bytes == base.on_disk || unsure.is_some() {
            base.meta = meta;
            base.on_disk = bytes;
            return Ok(None);
        }
        let name = self.path.display().to_string();
        Ok(Some(
            match season_file::read_bytes_beside(&bytes, &name, &base.season.shared_targets) {
                Ok(loaded) => Outside::Changed {
                    merged: Box::new(merge::onto(&base.season, &loaded.season, ours, stands)),
                    text: loaded.migrated.unwrap_or_else(|| text_of(&bytes)),
                    theirs: Box::new(loaded.season),
                    by: writers::of(&*self.disk, &self.real, &bytes),
                    meta,
                    bytes,
                },
                Err(problems) => Outside::Broken {
                    problems,
                    meta,
                    bytes,
                },
            },
        ))
    }

    /// Takes note of a change from outside; the next [`Session::save`] goes on
    /// from there. The owner has seen it: a version that cannot be read is
    /// then replaced (and kept as a backup), a file that is gone made again.
    pub fn adopt(&mut self, outside: Outside) {
        match outside {
            Outside::Gone => self.may_recreate = true,
            other => self.base.take(other),
        }
    }
}

impl Base {
    fn take(&mut self, outside: Outside) {
        match outside {
            Outside::Changed {
                theirs,
                text,
                bytes,
                meta,
                ..
            } => {
                *self = Self {
                    season: *theirs,
                    text,
                    on_disk: bytes,
                    meta,
                };
            }
            Outside::Broken { bytes, meta, .. } => {
                self.on_disk = bytes;
                self.meta = meta;
            }
            Outside::Gone => {}
        }
    }
}

/// Will a folder take no file, whatever happens?
fn is_closed(e: &io::Error) -> bool {
    matches!(
        e.kind(),
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem
    )
}

/// The text of bytes that were read as a season: UTF-8 for sure.
fn text_of(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}
