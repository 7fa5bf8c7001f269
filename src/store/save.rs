//! Puts bytes under a name so that at any moment the name stands for all of
//! the old or all of the new, and never for anything else.
//!
//! A new file beside the old one, written, put on the disk, read back and
//! compared; the old version kept as a backup; then the new one takes the name
//! and the folder is put on the disk. What fails before the name changes
//! leaves the old file whole; the new one is made afresh each time, because a
//! file whose `fsync` failed once says nothing true afterwards.

use super::disk::{Disk, Meta, NewFile, write_all};
use std::fmt;
use std::io;
use std::path::{Path, PathBuf};
use thiserror::Error;

/// The steps of a save, for messages and tests.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// Taking the lock beside it.
    Lock,
    /// Making the new file.
    Create,
    /// Writing it.
    Write,
    /// Giving it the owner and permissions of the old one.
    Permissions,
    /// Putting it on the disk.
    Sync,
    /// Reading it back.
    ReadBack,
    /// Putting it in the place of the old one.
    Rename,
    /// Putting the folder on the disk: the new file is in its place, but may
    /// not outlast a power cut.
    SyncFolder,
}

impl Step {
    /// What was being done, in plain words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Lock => "taking the lock beside it",
            Self::Create => "making a new file beside the old one",
            Self::Write => "writing it",
            Self::Permissions => "giving it the permissions of the old one",
            Self::Sync => "putting it on the disk",
            Self::ReadBack => "reading it back",
            Self::Rename => "putting it in the place of the old one",
            Self::SyncFolder => "putting the folder on the disk",
        }
    }
}

/// A save that failed. The old file is whole, but at [`Step::SyncFolder`] the
/// new one has its place.
#[derive(Debug, Error)]
pub struct Failed {
    /// Where it should have gone.
    pub path: PathBuf,
    /// What was being done.
    pub step: Step,
    /// What the system said.
    pub source: io::Error,
}

impl fmt::Display for Failed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (path, words, source) = (self.path.display(), self.step.words(), &self.source);
        match self.step {
            Step::SyncFolder => write!(
                f,
                "{path} has the change now, but a power cut may take it back: {words} failed ({source})"
            ),
            _ => write!(f, "could not save {path}: {words} failed ({source})"),
        }
    }
}

/// How names of files that are being written begin and end.
const TEMP_MARK: &str = ".barewood-";
const TEMP_END: &str = ".tmp";

/// The name of the file written first: `.season.toml.barewood-4711.tmp`.
fn temp_path(disk: &dyn Disk, path: &Path) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!(".{name}{TEMP_MARK}{}{TEMP_END}", disk.pid()))
}

/// Removes what earlier sessions of this file left half done, new files and
/// locks in the making; only the holder of the lock may do this. Tells how
/// many there were.
pub fn clean(disk: &dyn Disk, path: &Path) -> usize {
    let Some(folder) = path.parent() else {
        return 0;
    };
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let (file, lock) = (format!(".{name}{TEMP_MARK}"), format!(".{name}.lock."));
    disk.list(folder)
        .unwrap_or_default()
        .iter()
        .filter_map(|name| name.to_str())
        .filter(|name| {
            (name.starts_with(&file) && name.ends_with(TEMP_END)) || name.starts_with(&lock)
        })
        .filter(|name| disk.remove(&folder.join(name)).is_ok())
        .count()
}

/// Permission bits of a file that has no older version.
const NEW_MODE: u32 = 0o666;

/// Puts what is kept aside for its owner alone under `path`, in a folder that is made if need be.
///
/// # Errors
/// [`Failed`] with the step.
pub fn put_aside(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> Result<(), Failed> {
    let folder = path.parent().unwrap_or(path);
    disk.create_folder(folder, 0o700).map_err(|source| Failed {
        path: folder.to_owned(),
        step: Step::Create,
        source,
    })?;
    put(disk, path, bytes, None, || Ok::<(), Failed>(()))
}

/// Puts `bytes` under `path`. With `old`, the new file gets its permissions and
/// owner; `before_rename` runs when all is ready and only the name is missing.
///
/// # Errors
/// [`Failed`] with the step, or what `before_rename` said.
pub fn put<E: From<Failed>>(
    disk: &dyn Disk,
    path: &Path,
    bytes: &[u8],
    old: Option<&Meta>,
    before_rename: impl FnOnce() -> Result<(), E>,
) -> Result<(), E> {
    let failed = |step: Step| {
        let path = path.to_owned();
        move |source: io::Error| Failed { path, step, source }
    };
    let temp = temp_path(disk, path);
    // A bare name lies in the folder one is in.
    let folder = path
        .parent()
        .filter(|f| !f.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    // An own leftover of an earlier failure: nobody else has this process id.
    let _ = disk.remove(&temp);
    let ready = fill(disk, &temp, bytes, old.map(|old| (old, path)))
        .map_err(|(step, source)| E::from(failed(step)(source)))
        .and_then(|()| before_rename())
        .and_then(|()| {
            disk.rename(&temp, path)
                .map_err(|e| E::from(failed(Step::Rename)(e)))
        });
    if let Err(error) = ready {
        let _ = disk.remove(&temp);
        return Err(error);
    }
    disk.sync_folder(folder)
        .map_err(|e| E::from(failed(Step::SyncFolder)(e)))
}

fn fill(
    disk: &dyn Disk,
    temp: &Path,
    bytes: &[u8],
    old: Option<(&Meta, &Path)>,
) -> Result<(), (Step, io::Error)> {
    let at = |step: Step| move |source: io::Error| (step, source);
    let mode = old.map_or(NEW_MODE, |_| 0o600);
    let mut file = disk.create_new(temp, mode).map_err(at(Step::Create))?;
    write_all(&mut *file, bytes).map_err(at(Step::Write))?;
    if let Some((old, path)) = old {
        keep_owner(&mut *file, old).map_err(at(Step::Permissions))?;
        file.set_mode(old.mode).map_err(at(Step::Permissions))?;
        disk.copy_attributes(path, temp)
            .map_err(at(Step::Permissions))?;
    }
    file.sync().map_err(at(Step::Sync))?;
    drop(file);
    let back = disk
        .read(temp, bytes.len() as u64)
        .map_err(at(Step::ReadBack))?;
    if back != bytes {
        let error = io::Error::other("what is on the disk is not what was written");
        return Err((Step::ReadBack, error));
    }
    Ok(())
}

/// Gives a file the owner and group of the old one. Only the system's own user may give files
/// away: of somebody else's file in a shared folder the group is kept, or the save is refused,
/// since without it the others would be locked out.
fn keep_owner(file: &mut dyn NewFile, old: &Meta) -> io::Result<()> {
    let refused = |e: &io::Error| e.kind() == io::ErrorKind::PermissionDenied;
    match file.set_owner(Some(old.uid), old.gid) {
        Err(e) if refused(&e) => {}
        other => return other,
    }
    file.set_owner(None, old.gid).map_err(|e| {
        if refused(&e) {
            io::Error::new(
                e.kind(),
                "the file belongs to a group that you are not in, whose members would be locked out",
            )
        } else {
            e
        }
    })
}

/// Puts new files under names that must all be free, whole: all of them or none.
///
/// # Errors
/// [`NotNew`]; then no file was made.
pub fn put_all_new(disk: &dyn Disk, files: &[(PathBuf, &[u8])]) -> Result<(), NotNew> {
    if let Some((path, _)) = files.iter().find(|(p, _)| disk.meta(p, false).is_ok()) {
        return Err(NotNew::Taken(path.clone()));
    }
    for (n, (path, bytes)) in files.iter().enumerate() {
        if let Err(fault) = put_new(disk, path, bytes) {
            for (earlier, _) in files.iter().take(n) {
                // Ours, made a moment ago.
                let _ = disk.remove(earlier);
            }
            return Err(fault);
        }
    }
    Ok(())
}

fn put_new(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> Result<(), NotNew> {
    let failed = |step: Step| {
        let path = path.to_owned();
        move |source: io::Error| NotNew::Failed(Failed { path, step, source })
    };
    let folder = path.parent().filter(|f| !f.as_os_str().is_empty());
    if let Some(folder) = folder.filter(|f| disk.meta(f, true).is_err()) {
        disk.create_folder(folder, 0o755)
            .map_err(failed(Step::Create))?;
    }
    let temp = temp_path(disk, path);
    let _ = disk.remove(&temp);
    let made = fill(disk, &temp, bytes, None)
        .map_err(|(step, source)| failed(step)(source))
        // A second name is refused where there is one already, unlike a rename.
        .and_then(|()| match disk.link(&temp, path) {
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {
                Err(NotNew::Taken(path.to_owned()))
            }
            other => other.map_err(failed(Step::Rename)),
        });
    let _ = disk.remove(&temp);
    made?;
    disk.sync_folder(folder.unwrap_or(Path::new(".")))
        .map_err(failed(Step::SyncFolder))
}

/// Why a new file was not made.
#[derive(Debug, Error)]
pub enum NotNew {
    /// There is one already.
    #[error("{} is there already and was left alone; write another name", .0.display())]
    Taken(PathBuf),
    /// The disk said no.
    #[error(transparent)]
    Failed(Failed),
}
