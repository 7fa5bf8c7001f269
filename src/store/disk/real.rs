//! The real machine.

mod attributes;
mod system;

pub use system::{ask_to_end, tell_of_limits};
pub(in super::super) use system::{folder_of_mode, never_waiting, new_of_mode};

use super::{Disk, FileLock, Kind, Meta, NewFile, not_a_file, queue};
use rustix::fs::{Access, OFlags};
use rustix::process::{Pid, test_kill_process};
use std::ffi::{OsStr, OsString};
use std::fs::{self, DirBuilder, File, Metadata, OpenOptions, TryLockError};
use std::io::{self, Read, Write};
use std::os::unix::ffi::OsStrExt;
use std::os::unix::fs::{
    DirBuilderExt, FileTypeExt, MetadataExt, OpenOptionsExt, PermissionsExt, fchown,
};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant, SystemTime};

/// The file system, process table and clock of this machine.
#[derive(Debug, Clone, Copy, Default)]
pub struct RealDisk;

#[derive(Debug)]
struct RealFile(File);

impl NewFile for RealFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.write(bytes)
    }

    fn set_mode(&mut self, mode: u32) -> io::Result<()> {
        self.0.set_permissions(fs::Permissions::from_mode(mode))
    }

    fn set_owner(&mut self, uid: Option<u32>, gid: u32) -> io::Result<()> {
        fchown(&self.0, uid, Some(gid))
    }

    fn sync(&mut self) -> io::Result<()> {
        self.0.sync_all()
    }
}

#[derive(Debug)]
struct RealLock(File);

impl FileLock for RealLock {
    fn inode(&self) -> Option<(u64, u64)> {
        let meta = self.0.metadata().ok()?;
        Some((meta.dev(), meta.ino()))
    }

    fn sign(&mut self, who: &str) -> io::Result<()> {
        self.0.set_len(0)?;
        self.0.write_all(who.as_bytes())
    }
}

/// A file to lock, in a folder that a group may share; one of somebody else's is locked as well.
fn lockable(path: &Path) -> io::Result<File> {
    let options = |write: bool| {
        let mut options = OpenOptions::new();
        options
            .read(true)
            .write(write)
            .create(write)
            .mode(0o666)
            .custom_flags(flags(OFlags::NOFOLLOW | OFlags::NONBLOCK | OFlags::CLOEXEC));
        options.open(path)
    };
    match options(true) {
        Err(e) if e.kind() == io::ErrorKind::PermissionDenied => options(false).map_err(|_| e),
        opened => opened,
    }
}

/// The file locked, in its turn; `None` where patience ends before.
fn locked(
    path: &Path,
    file: File,
    inode: (u64, u64),
    patience: Duration,
) -> io::Result<Option<File>> {
    match file.try_lock() {
        Ok(()) => Ok(Some(file)),
        Err(TryLockError::WouldBlock) if patience.is_zero() => Ok(None),
        Err(TryLockError::WouldBlock) => queue::wait(path, file, inode, patience),
        // ENOLCK, ENOSYS, EOPNOTSUPP: a network folder whose server knows no locks.
        Err(TryLockError::Error(e)) if matches!(e.raw_os_error(), Some(37 | 38 | 95)) => {
            Err(io::ErrorKind::Unsupported.into())
        }
        Err(TryLockError::Error(e)) => Err(e),
    }
}

/// The gate before the locks of a folder: a lock on the folder itself, which nobody takes away.
enum Gate {
    /// Kept shut behind oneself as long as this lives; a folder that cannot be locked has none.
    Passed(Option<File>),
    /// Patience ended before it.
    Shut,
}

fn at_gate(folder: &Path, patience: Duration) -> Gate {
    let folder = Some(folder).filter(|f| !f.as_os_str().is_empty());
    let folder = folder.unwrap_or(Path::new("."));
    let opened = File::open(folder).and_then(|file| Ok((file.metadata()?, file)));
    let Ok((meta, file)) = opened else {
        return Gate::Passed(None);
    };
    match locked(folder, file, (meta.dev(), meta.ino()), patience) {
        Ok(Some(gate)) => Gate::Passed(Some(gate)),
        Ok(None) => Gate::Shut,
        Err(_) => Gate::Passed(None),
    }
}

fn flags(flags: OFlags) -> i32 {
    i32::try_from(flags.bits()).unwrap_or(0)
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
            debug_assert!(
                kind.is_fifo()
                    || kind.is_socket()
                    || kind.is_block_device()
                    || kind.is_char_device()
            );
            Kind::Special
        },
        size: meta.len(),
        modified: meta.modified()?,
        mode: meta.mode() & 0o7777,
        uid: meta.uid(),
        gid: meta.gid(),
        inode: (meta.dev(), meta.ino()),
    })
}

impl Disk for RealDisk {
    fn read(&self, path: &Path, most: u64) -> io::Result<Vec<u8>> {
        let file = OpenOptions::new()
            .read(true)
            .custom_flags(flags(OFlags::NONBLOCK | OFlags::CLOEXEC))
            .open(path)?;
        let meta = meta_of(&file.metadata()?)?;
        if meta.kind != Kind::File {
            return Err(not_a_file(meta.kind));
        }
        let mut bytes = Vec::new();
        file.take(most.saturating_add(1)).read_to_end(&mut bytes)?;
        Ok(bytes)
    }

    fn create_new(&self, path: &Path, mode: u32) -> io::Result<Box<dyn NewFile>> {
        let file = OpenOptions::new()
            .write(true)
            .create_new(true)
            .mode(mode)
            .custom_flags(flags(OFlags::NOFOLLOW | OFlags::CLOEXEC))
            .open(path)?;
        Ok(Box::new(RealFile(file)))
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::hard_link(from, to)
    }

    fn copy_attributes(&self, from: &Path, to: &Path) -> io::Result<()> {
        attributes::copy(from, to)
    }

    fn lock(&self, path: &Path) -> io::Result<Option<Box<dyn FileLock>>> {
        self.lock_within(path, Duration::ZERO)
    }

    fn lock_within(
        &self,
        path: &Path,
        patience: Duration,
    ) -> io::Result<Option<Box<dyn FileLock>>> {
        let until = Instant::now() + patience;
        let left = || until.saturating_duration_since(Instant::now());
        // Whoever waits for the lock keeps the gate, so that nobody who comes later is quicker.
        let gate = path.parent().filter(|_| !patience.is_zero());
        let gate = gate.map_or(Gate::Passed(None), |folder| at_gate(folder, left()));
        let Gate::Passed(_kept) = gate else {
            return Ok(None);
        };
        loop {
            let file = lockable(path)?;
            let meta = file.metadata()?;
            if !meta.is_file() {
                return Err(not_a_file(Kind::Special));
            }
            let inode = (meta.dev(), meta.ino());
            let Some(file) = locked(path, file, inode, left())? else {
                return Ok(None);
            };
            // It may have been taken away by whoever held it.
            let there = fs::symlink_metadata(path).map(|meta| (meta.dev(), meta.ino()));
            if there.ok() == Some(inode) || left().is_zero() {
                return Ok(Some(Box::new(RealLock(file))));
            }
        }
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>> {
        // The standard library panics where closing a folder fails.
        let flags = OFlags::RDONLY | OFlags::DIRECTORY | OFlags::CLOEXEC | OFlags::NONBLOCK;
        let opened = rustix::fs::open(folder, flags, rustix::fs::Mode::empty())?;
        let mut names = Vec::new();
        for entry in rustix::fs::Dir::new(opened)? {
            let entry = entry?;
            let name = entry.file_name().to_bytes();
            if name != b"." && name != b".." {
                names.push(OsStr::from_bytes(name).to_owned());
            }
        }
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

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        File::open(folder)?.sync_all()
    }

    fn create_folder(&self, folder: &Path, mode: u32) -> io::Result<()> {
        DirBuilder::new().recursive(true).mode(mode).create(folder)
    }

    fn is_writable(&self, path: &Path) -> bool {
        rustix::fs::access(path, Access::WRITE_OK).is_ok()
    }

    fn pid(&self) -> u32 {
        std::process::id()
    }

    fn host(&self) -> String {
        rustix::system::uname()
            .nodename()
            .to_string_lossy()
            .into_owned()
    }

    fn process_started(&self, pid: u32) -> Option<u64> {
        let id = Pid::from_raw(i32::try_from(pid).ok()?)?;
        match test_kill_process(id) {
            Ok(()) | Err(rustix::io::Errno::PERM) => {}
            Err(_) => return None,
        }
        // The 22nd field of the process's status line, counted behind the name,
        // which stands in brackets; zero where the system does not tell.
        let status = fs::read_to_string(format!("/proc/{pid}/stat")).unwrap_or_default();
        let mut fields = status
            .rsplit_once(')')
            .map(|(_, rest)| rest.split_whitespace())
            .into_iter()
            .flatten();
        // One that ended and was not yet taken off the list by its parent (Z, X) holds nothing.
        if matches!(fields.next(), Some("Z" | "X")) {
            return None;
        }
        let started = fields.nth(18).and_then(|field| field.parse().ok());
        Some(started.unwrap_or(0))
    }

    fn now(&self) -> SystemTime {
        SystemTime::now()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::process::Command;

    #[test]
    fn a_process_that_ended_is_gone_though_its_parent_has_not_looked() {
        let disk = RealDisk;
        let own = disk.process_started(disk.pid());
        assert!(own.is_some_and(|started| started > 0));
        let mut child = Command::new("sleep").arg("30").spawn().unwrap();
        assert!(disk.process_started(child.id()).is_some());
        child.kill().unwrap();
        // Not waited for yet: it stays on the list as a zombie.
        let gone = (0..100).any(|_| {
            std::thread::sleep(Duration::from_millis(20));
            disk.process_started(child.id()).is_none()
        });
        assert!(gone);
        child.wait().unwrap();
    }
}
