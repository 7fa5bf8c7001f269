//! One save at a time: the operating system's own lock on a file beside the season file, held
//! for the length of a save.
//!
//! The system's lock and not a lease with a time: it goes with its process, however that ends, so
//! that none is ever left behind; it needs no clock that two machines share, and no process that
//! renews it while the board is at rest; process numbers, which mean nothing in another container
//! or on another machine, play no part. Linux passes such a lock on to the server of a network
//! folder. Where a file system knows no locks the save goes on without: it still compares what is
//! on the disk with what was read before it replaces anything.
//!
//! Whoever waits is served in turn (`disk/queue.rs`): a gate, which is a lock on the folder, is kept
//! by the one whose turn comes next, and those behind wait at the gate.

use super::disk::{Disk, FileLock};
use crate::domain::harmless::Shown;
use std::io;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// How long a save waits for another one.
pub const PATIENCE: Duration = Duration::from_secs(2);
/// How often a lock whose file goes away meanwhile is tried again at once.
const ROUNDS: usize = 100;
/// The most that is read of who holds it.
const MOST: u64 = 512;

/// A lock that is held; dropping it lets it go.
#[derive(Debug)]
pub struct Lock<'d> {
    disk: &'d dyn Disk,
    path: PathBuf,
    /// `None` where the file system knows no locks.
    held: Option<Box<dyn FileLock>>,
}

/// The lock file of a season: `season.toml.lock`.
pub fn path(season: &Path) -> PathBuf {
    let mut name = season.file_name().unwrap_or_default().to_owned();
    name.push(".lock");
    season.with_file_name(name)
}

/// What taking a lock came to.
#[derive(Debug)]
pub enum Taken<'d> {
    /// It is held now.
    Held(Lock<'d>),
    /// Somebody else saves, and did so all the time; who, where that is known.
    Busy(String),
}

/// Takes the lock, and waits for it in turn up to so long.
///
/// # Errors
/// Where no lock file can be made: a folder that cannot be written to.
pub fn take<'d>(disk: &'d dyn Disk, season: &Path, patience: Duration) -> io::Result<Taken<'d>> {
    let path = path(season);
    let begun = Instant::now();
    let mut rounds = 0;
    loop {
        match disk.lock_within(&path, patience.saturating_sub(begun.elapsed())) {
            Ok(Some(held)) => {
                // It may have been taken away between its opening and its locking.
                let there = disk.meta(&path, false).map(|meta| meta.inode);
                if there.ok() == held.inode() {
                    return Ok(Taken::Held(Lock {
                        disk,
                        path,
                        held: Some(held),
                    }));
                }
                rounds += 1;
                if rounds < ROUNDS {
                    continue;
                }
            }
            Ok(None) => {}
            Err(e) if e.kind() == io::ErrorKind::Unsupported => {
                return Ok(Taken::Held(Lock {
                    disk,
                    path,
                    held: None,
                }));
            }
            Err(e) if e.kind() == io::ErrorKind::Interrupted && rounds < ROUNDS => {
                rounds += 1;
                continue;
            }
            Err(e) => return Err(e),
        }
        return Ok(Taken::Busy(who(disk, &path)));
    }
}

fn who(disk: &dyn Disk, path: &Path) -> String {
    let said = disk.read(path, MOST).unwrap_or_default();
    let said = String::from_utf8_lossy(&said);
    match said.trim() {
        "" => "another program".to_owned(),
        who => Shown::line(who).to_string(),
    }
}

impl Lock<'_> {
    /// Writes into the lock file who holds it, for whoever waits in vain.
    pub fn sign(&mut self, who: &str) {
        if let Some(held) = &mut self.held {
            // A courtesy: the lock holds without.
            let _ = held.sign(who);
        }
    }
}

impl Drop for Lock<'_> {
    fn drop(&mut self) {
        // Taken away while it is held: whoever opened it meanwhile finds it gone and tries anew.
        // One that cannot be taken away holds nobody up.
        if self.held.is_some() && self.disk.remove(&self.path).is_err() {
            let _ = self.disk.remove(&self.path);
        }
    }
}
