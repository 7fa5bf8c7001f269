//! Which boards of this user are open on a season, here: so that whoever comes back over a new
//! line can have the board of the dead one hand over what is open in it.
//!
//! A board holds the operating system's lock on a small file among the state as long as it lives:
//! whoever can take that lock knows that the board has ended, however it did.

use super::disk::{Disk, FileLock, RealDisk, ask_to_end};
use super::recovery::short_name;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// A key is noted no more often than this.
const NOTED_EVERY: Duration = Duration::from_secs(10);
/// How long a board that was asked to hand over is waited for.
const PATIENCE: Duration = Duration::from_secs(2);

/// A board that is open here.
#[derive(Debug)]
pub struct Presence {
    path: PathBuf,
    held: Box<dyn FileLock>,
    noted: Instant,
}

/// Another board of this user.
#[derive(Debug)]
pub struct Other {
    path: PathBuf,
    /// Its process.
    pub pid: u32,
    started: u64,
    /// How long it has had no key.
    pub idle: Duration,
}

fn folder(state: &Path) -> PathBuf {
    state.join("boards")
}

fn prefix(season: &Path) -> String {
    format!("{:016x}-", short_name(season))
}

impl Presence {
    /// Says that a board is open on a season; nothing where that cannot be said.
    pub fn enter(state: &Path, season: &Path) -> Option<Self> {
        let disk = RealDisk;
        let folder = folder(state);
        disk.create_folder(&folder, 0o700).ok()?;
        let pid = disk.pid();
        let path = folder.join(format!("{}{pid}", prefix(season)));
        let mut held = disk.lock(&path).ok()??;
        let started = disk.process_started(pid).unwrap_or(0);
        held.sign(&format!("{pid} {started}\n")).ok()?;
        Some(Self {
            path,
            held,
            noted: Instant::now(),
        })
    }

    /// A key was typed.
    pub fn key(&mut self) {
        if self.noted.elapsed() >= NOTED_EVERY {
            self.noted = Instant::now();
            if let Ok(file) = fs::File::options().write(true).open(&self.path) {
                let _ = file.set_modified(std::time::SystemTime::now());
            }
        }
    }
}

impl Drop for Presence {
    fn drop(&mut self) {
        // Gone only while it is ours: the lock goes with the file.
        if self.held.inode().is_some() {
            let _ = fs::remove_file(&self.path);
        }
    }
}

/// The boards that are open on a season; what ended ones left is swept away.
pub fn others(state: &Path, season: &Path) -> Vec<Other> {
    let disk = RealDisk;
    let folder = folder(state);
    let prefix = prefix(season);
    let names = disk.list(&folder).unwrap_or_default();
    let mut found = Vec::new();
    for name in names {
        if !name.to_string_lossy().starts_with(&prefix) {
            continue;
        }
        let path = folder.join(&name);
        match disk.lock(&path) {
            Ok(Some(_ended)) => {
                let _ = fs::remove_file(&path);
            }
            Ok(None) => found.extend(other(path)),
            Err(_) => {}
        }
    }
    found
}

fn other(path: PathBuf) -> Option<Other> {
    let text = fs::read_to_string(&path).ok()?;
    let (pid, started) = text.trim().split_once(' ')?;
    let modified = fs::metadata(&path).ok()?.modified().ok()?;
    Some(Other {
        pid: pid.parse().ok()?,
        started: started.parse().ok()?,
        idle: modified.elapsed().unwrap_or_default(),
        path,
    })
}

impl Other {
    /// Asks it to hand over, as a dropped line would: it saves, keeps what is open in it, and ends.
    /// Says whether it did.
    pub fn hand_over(&self) -> bool {
        let disk = RealDisk;
        // A number from another container may be anybody's here.
        if disk.process_started(self.pid) != Some(self.started) {
            return false;
        }
        if !ask_to_end(self.pid) {
            return false;
        }
        let begun = Instant::now();
        while begun.elapsed() < PATIENCE {
            if matches!(disk.lock(&self.path), Ok(Some(_))) {
                let _ = fs::remove_file(&self.path);
                return true;
            }
            std::thread::sleep(Duration::from_millis(20));
        }
        false
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_board_is_seen_while_it_lives_and_its_traces_go_with_it() {
        let state = tempfile::tempdir().unwrap();
        let season = Path::new("/orchard/a.toml");
        assert!(others(state.path(), season).is_empty());
        let here = Presence::enter(state.path(), season).unwrap();
        let found = others(state.path(), season);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].pid, std::process::id());
        assert!(others(state.path(), Path::new("/orchard/b.toml")).is_empty());
        drop(here);
        assert!(others(state.path(), season).is_empty());
        // One that was killed left its file, and holds no lock.
        let left = folder(state.path()).join(format!("{}99999", prefix(season)));
        fs::write(&left, "99999 1\n").unwrap();
        assert!(others(state.path(), season).is_empty());
        assert!(!left.exists());
    }
}
