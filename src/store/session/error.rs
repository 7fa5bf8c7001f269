//! Why a season could not be opened or saved, in words for its owner.

use super::super::save::Failed;
use super::super::season_file::{Problems, WriteError};
use super::Outside;
use std::fmt;
use std::io;
use std::path::PathBuf;
use thiserror::Error;

/// Why a season was not opened.
#[derive(Debug, Error)]
pub enum OpenError {
    /// There is no such file.
    #[error("there is no file {}; `barewood start` makes a season", .0.display())]
    NotFound(PathBuf),
    /// There is one already.
    #[error("{} is there already and was left alone; name another file", .0.display())]
    Exists(PathBuf),
    /// It cannot be read, or is no plain file.
    #[error("cannot open {}: {source}", path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// A new file could not be made.
    #[error(transparent)]
    Create(Failed),
    /// It is no season without problems.
    #[error("{0}")]
    Problems(Problems),
    /// Another program writes it all the time.
    #[error("another program is saving it ({0}); try again")]
    Busy(String),
}

/// Why an open season cannot be saved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ReadOnly {
    /// It was opened to look only.
    Asked,
    /// The file is write-protected for this user.
    Protected,
    /// No lock could be made: commonly a folder or disk that is read-only.
    NoLock(String),
}

impl fmt::Display for ReadOnly {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Asked => f.write_str("opened read-only"),
            Self::Protected => f.write_str("read-only: the file is write-protected"),
            Self::NoLock(why) => {
                write!(f, "read-only: no lock can be made beside the file ({why})")
            }
        }
    }
}

/// Why a season was not saved. Nothing of it is lost.
#[derive(Debug, Error)]
pub enum SaveError {
    /// The file was changed by something else since it was read.
    #[error("not saved: {0}")]
    ChangedOnDisk(Box<Outside>),
    /// Another program saved it all the time.
    #[error("not saved: another program is saving it ({0})")]
    Busy(String),
    /// It cannot be saved at all.
    #[error("not saved: {0}")]
    ReadOnly(ReadOnly),
    /// The season has no text that could be read again.
    #[error("not saved: {0}")]
    Unwritable(#[from] WriteError),
    /// The disk refused.
    #[error("{failed}{}", .recovery.as_ref().map(|p| format!("; the work is kept in {}", p.display())).unwrap_or_default())]
    Failed {
        /// What failed.
        failed: Failed,
        /// Where the work is kept meanwhile.
        recovery: Option<PathBuf>,
    },
    /// There is no folder for a recovery file.
    #[error("there is no folder for a recovery file")]
    NoRecoveryPlace,
}
