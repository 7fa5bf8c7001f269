//! The one seam between the store and the machine: every call that can fail on
//! a disk goes through [`Disk`], so that a test can make any of them fail.
//!
//! It is also the seam to systems that are no Unix: `plain` does there what the standard library
//! can, and says what it cannot.

#[cfg(not(unix))]
mod plain;
mod queue;
#[cfg(unix)]
mod real;

#[cfg(not(unix))]
pub use plain::{RealDisk, ask_to_end, tell_of_limits};
#[cfg(not(unix))]
pub(super) use plain::{folder_of_mode, never_waiting, new_of_mode};
#[cfg(unix)]
pub use real::{RealDisk, ask_to_end, tell_of_limits};
#[cfg(unix)]
pub(super) use real::{folder_of_mode, never_waiting, new_of_mode};

use std::ffi::OsString;
use std::fmt::Debug;
use std::io;
use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

/// What stands under a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A plain file.
    File,
    /// A folder.
    Folder,
    /// A symbolic link (only told where links are not followed).
    Link,
    /// A pipe, socket or device.
    Special,
}

/// What is known about a file without reading it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Meta {
    /// What it is.
    pub kind: Kind,
    /// Its length, bytes.
    pub size: u64,
    /// When it was last written.
    pub modified: SystemTime,
    /// Permission bits.
    pub mode: u32,
    /// Owner.
    pub uid: u32,
    /// Group.
    pub gid: u32,
    /// Device and inode: the identity of the file itself.
    pub inode: (u64, u64),
}

/// A file being written.
pub trait NewFile: Debug {
    /// Writes some of the bytes and says how many.
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize>;
    /// Gives it the permission bits.
    fn set_mode(&mut self, mode: u32) -> io::Result<()>;
    /// Gives it an owner, where one is named, and a group.
    fn set_owner(&mut self, uid: Option<u32>, gid: u32) -> io::Result<()>;
    /// Puts it on the disk; after an error this file must not be used again.
    fn sync(&mut self) -> io::Result<()>;
}

/// A file locked by the operating system; dropping it lets the lock go.
pub trait FileLock: Debug + Send {
    /// The file that is locked: device and inode.
    fn inode(&self) -> Option<(u64, u64)>;
    /// Writes who holds it.
    fn sign(&mut self, who: &str) -> io::Result<()>;
}

/// The machine: files, the process, the clock.
pub trait Disk: Debug + Send + Sync {
    /// Reads a plain file, at most `most` bytes and one more; never waits on a pipe.
    fn read(&self, path: &Path, most: u64) -> io::Result<Vec<u8>>;
    /// Makes a file that must not exist yet, with these permission bits (less
    /// the process's mask).
    fn create_new(&self, path: &Path, mode: u32) -> io::Result<Box<dyn NewFile>>;
    /// Puts a file in the place of another, at once.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Gives a file a second name that must not exist yet.
    fn link(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Gives a file the extended attributes of another, its access list among them; a file that
    /// is not there has none.
    fn copy_attributes(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Makes the file if need be and takes the operating system's lock on it; `None` where
    /// somebody else has it. [`io::ErrorKind::Unsupported`] where the file system knows none.
    fn lock(&self, path: &Path) -> io::Result<Option<Box<dyn FileLock>>>;
    /// The same, and waits for it in turn up to so long.
    fn lock_within(&self, path: &Path, patience: Duration)
    -> io::Result<Option<Box<dyn FileLock>>>;
    /// Removes a name.
    fn remove(&self, path: &Path) -> io::Result<()>;
    /// The names in a folder.
    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>>;
    /// What a name stands for, links followed or not.
    fn meta(&self, path: &Path, follow: bool) -> io::Result<Meta>;
    /// The path with every link resolved.
    fn real_path(&self, path: &Path) -> io::Result<PathBuf>;
    /// Puts the names of a folder on the disk.
    fn sync_folder(&self, folder: &Path) -> io::Result<()>;
    /// Makes a folder and those above it.
    fn create_folder(&self, folder: &Path, mode: u32) -> io::Result<()>;
    /// May this process write here? (A hint: only writing tells.)
    fn is_writable(&self, path: &Path) -> bool;
    /// This process.
    fn pid(&self) -> u32;
    /// This machine.
    fn host(&self) -> String;
    /// When a process of this machine started, as a number that another
    /// process with the same id would not have; `None` if it does not run.
    fn process_started(&self, pid: u32) -> Option<u64>;
    /// Now.
    fn now(&self) -> SystemTime;
}

/// How often a write that a signal interrupts is tried again.
const INTERRUPTIONS: usize = 100;

/// Writes all of the bytes, however little is taken at a time.
pub(super) fn write_all(file: &mut dyn NewFile, bytes: &[u8]) -> io::Result<()> {
    let mut rest = bytes;
    let mut interruptions = 0;
    while !rest.is_empty() {
        match file.write(rest) {
            Ok(0) => return Err(io::ErrorKind::WriteZero.into()),
            Ok(n) => rest = rest.get(n..).unwrap_or_default(),
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {
                interruptions += 1;
                if interruptions > INTERRUPTIONS {
                    return Err(error);
                }
            }
            Err(error) => return Err(error),
        }
    }
    Ok(())
}

/// What is in the way when a path is no plain file.
pub(super) fn not_a_file(kind: Kind) -> io::Error {
    let what = match kind {
        Kind::Folder => "it is a folder",
        Kind::Link => "it is a link that leads nowhere",
        Kind::Special => "it is a pipe, socket or device",
        Kind::File => "it is a file",
    };
    io::Error::new(io::ErrorKind::InvalidInput, what)
}
