//! Where things live: seasons and recovery files under the platform's own
//! folders, and which paths a season file may name.

use super::disk::{Disk, Kind};
use directories::ProjectDirs;
use std::path::{Component, Path, PathBuf};
use thiserror::Error;

/// The folders this program may write to besides that of an open season.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Places {
    /// Where `start` puts seasons and `open` looks for them.
    pub seasons: PathBuf,
    /// Settings.
    pub config: PathBuf,
    /// Recovery files.
    pub state: PathBuf,
    /// What can be fetched again: the last forecast.
    pub cache: PathBuf,
}

impl Places {
    /// The platform's folders: `XDG_DATA_HOME`, `XDG_CONFIG_HOME` and
    /// `XDG_STATE_HOME` where set and not empty, else those under the home
    /// folder. `None` without any home folder.
    pub fn find() -> Option<Self> {
        let dirs = ProjectDirs::from("", "", "barewood")?;
        Some(Self {
            seasons: dirs.data_dir().join("seasons"),
            config: dirs.config_dir().to_owned(),
            state: dirs
                .state_dir()
                .unwrap_or_else(|| dirs.data_local_dir())
                .to_owned(),
            cache: dirs.cache_dir().to_owned(),
        })
    }

    /// Folders under one folder, for tests and for `--home`.
    pub fn under(folder: &Path) -> Self {
        Self {
            seasons: folder.join("seasons"),
            config: folder.join("config"),
            state: folder.join("state"),
            cache: folder.join("cache"),
        }
    }

    /// The season file worked on last.
    pub fn latest_season(&self, disk: &dyn Disk) -> Option<PathBuf> {
        let names = disk.list(&self.seasons).ok()?;
        names
            .iter()
            .filter(|n| {
                Path::new(n).extension().is_some_and(|e| e == "toml")
                    && !n.to_string_lossy().starts_with('.')
            })
            .filter_map(|n| {
                let path = self.seasons.join(n);
                let meta = disk.meta(&path, true).ok()?;
                (meta.kind == Kind::File).then_some((meta.modified, path))
            })
            .max()
            .map(|(_, path)| path)
    }
}

/// Why a path in a season file is not followed.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PathError {
    /// It leads out of the folder of the season file.
    #[error(
        "'{0}' leads out of the season's folder; copy the file there, or write allow_outside = true under [weather] if that is meant"
    )]
    Outside(String),
    /// It names nothing.
    #[error("a file name belongs here, not an empty text")]
    Empty,
}

/// The file that a path in a season file names: relative to the folder of the
/// season file, and inside it unless its owner allows more.
///
/// # Errors
/// [`PathError`].
pub fn resolve(
    disk: &dyn Disk,
    folder: &Path,
    written: &str,
    allow_outside: bool,
) -> Result<PathBuf, PathError> {
    if written.trim().is_empty() || written.contains('\0') {
        return Err(PathError::Empty);
    }
    let path = folder.join(written);
    if allow_outside {
        return Ok(path);
    }
    let outside = || PathError::Outside(crate::domain::units::shown(written));
    let stays = Path::new(written)
        .components()
        .all(|c| matches!(c, Component::Normal(_) | Component::CurDir));
    if !stays {
        return Err(outside());
    }
    // A link inside the folder may still lead out of it.
    let real_folder = disk.real_path(folder).unwrap_or_else(|_| folder.to_owned());
    match disk.real_path(&path) {
        Ok(real) if !real.starts_with(&real_folder) => Err(outside()),
        _ => Ok(path),
    }
}
