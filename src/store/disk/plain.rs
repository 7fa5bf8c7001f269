//! A machine that is no Unix, as far as the standard library reaches.
//!
//! What is missing there: permission bits, owners and links of a file are not kept; the names of a
//! folder cannot be put on the disk by themselves, so that a power cut can lose a save that was
//! called saved; another process cannot be looked up.

use super::{Disk, FileLock, Kind, Meta, NewFile, not_a_file, queue};
use std::ffi::OsString;
use std::fs::{self, DirBuilder, File, Metadata, OpenOptions, TryLockError};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

/// The file system and clock of this machine.
#[derive(Debug, Clone, Copy, Default)]
pub struct RealDisk;

/// Opening never waits here.
pub(in super::super) fn never_waiting(_options: &mut OpenOptions) {}

/// A folder has no mode here.
pub(in super::super) fn folder_of_mode(_builder: &mut DirBuilder, _mode: u32) {}

/// A file has no mode here.
pub(in super::super) fn new_of_mode(_builder: &mut tempfile::Builder<'_, '_>, _mode: u32) {}

/// No process can be asked here.
pub fn ask_to_end(_pid: u32) -> bool {
    false
}

/// There are no such limits here.
pub fn tell_of_limits() {}

#[derive(Debug)]
struct PlainFile(File);

impl NewFile for PlainFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.write(bytes)
    }

    fn set_mode(&mut self, _mode: u32) -> io::Result<()> {
        Ok(())
    }

    fn set_owner(&mut self, _uid: Option<u32>, _gid: u32) -> io::Result<()> {
        Ok(())
    }

    fn sync(&mut self) -> io::Result<()> {
        self.0.sync_all()
    }
}

#[derive(Debug)]
struct PlainLock(File);

impl FileLock for PlainLock {
    fn inode(&self) -> Option<(u64, u64)> {
        // Files have no number here: the name stands for the file while it is held.
        Some((0, 0))
    }

    fn sign(&mut self, who: &str) -> io::Result<()> {
        self.0.set_len(0)?;
        self.0.write_all(who.as_bytes())
    }
}

fn meta_of(meta: &Metadata) -> io::Result<Meta> {
    let kind = meta.file_type();
    Ok(Meta {
        kind: if kind.is_file() {
            Kind::File
        } else if kind.is_dir() {
            Kind::Folder
        } else if kind.is_symlink() {
            Kind::Link
        } else {
            Kind::Special
        },
        size: meta.len(),
        modified: meta.modified()?,
        mode: if meta.permissions().readonly() {
            0o444
        } else {
            0o644
        },
        uid: 0,
        gid: 0,
        inode: (0, 0),
    })
}

impl Disk for RealDisk {
    fn read(&self, path: &Path, most: u64) -> io::Result<Vec<u8>> {
        let meta = meta_of(&fs::metadata(path)?)?;
        if meta.kind != Kind::File {
            return Err(not_a_file(meta.kind));
        }
        let mut bytes = Vec::new();
        File::open(path)?
            .take(most.saturating_add(1))
            .read_to_end(&mut bytes)?;
        Ok(bytes)
    }

    fn create_new(&self, path: &Path, _mode: u32) -> io::Result<Box<dyn NewFile>> {
        let file = OpenOptions::new().write(true).create_new(true).open(path)?;
        Ok(Box::new(PlainFile(file)))
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::hard_link(from, to)
    }

    fn copy_attributes(&self, _from: &Path, _to: &Path) -> io::Result<()> {
        Ok(())
    }

    fn lock(&self, path: &Path) -> io::Result<Option<Box<dyn FileLock>>> {
        self.lock_within(path, Duration::ZERO)
    }

    fn lock_within(
        &self,
        path: &Path,
        patience: Duration,
    ) -> io::Result<Option<Box<dyn FileLock>>> {
        let file = OpenOptions::new()
            .read(true)
            .write(true)
            .create(true)
            .truncate(false)
            .open(path)?;
        match file.try_lock() {
            Ok(()) => Ok(Some(Box::new(PlainLock(file)))),
            Err(TryLockError::WouldBlock) if patience.is_zero() => Ok(None),
            Err(TryLockError::WouldBlock) => {
                let locked = queue::wait(path, file, (0, 0), patience)?;
                Ok(locked.map(|file| Box::new(PlainLock(file)) as Box<dyn FileLock>))
            }
            Err(TryLockError::Error(e)) => Err(e),
        }
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>> {
        let mut names = fs::read_dir(folder)?
            .map(|entry| entry.map(|e| e.file_name()))
            .collect::<io::Result<Vec<_>>>()?;
        names.sort();
        Ok(names)
    }

    fn meta(&self, path: &Path, follow: bool) -> io::Result<Meta> {
        meta_of(&if follow {
            fs::metadata(path)?
        } else {
            fs::symlink_metadata(path)?
        })
    }

    fn real_path(&self, path: &Path) -> io::Result<PathBuf> {
        fs::canonicalize(path)
    }

    fn sync_folder(&self, _folder: &Path) -> io::Result<()> {
        Ok(())
    }

    fn create_folder(&self, folder: &Path, _mode: u32) -> io::Result<()> {
        DirBuilder::new().recursive(true).create(folder)
    }

    fn is_writable(&self, path: &Path) -> bool {
        fs::metadata(path).is_ok_and(|meta| !meta.permissions().readonly())
    }

    fn pid(&self) -> u32 {
        std::process::id()
    }

    fn host(&self) -> String {
        std::env::var("COMPUTERNAME").unwrap_or_default()
    }

    fn process_started(&self, _pid: u32) -> Option<u64> {
        // Not known here: every process counts as running.
        Some(0)
    }

    fn now(&self) -> SystemTime {
        SystemTime::now()
    }
}
