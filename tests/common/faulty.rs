//! A disk that fails on order: the n-th call fails, is cut short, or kills the
//! process (that call and every later one do nothing).

use barewood::store::disk::{Disk, FileLock, Meta, NewFile, RealDisk};
use std::ffi::OsString;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::{Duration, SystemTime};

/// What happens at the chosen call.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// It fails with this error number and does nothing.
    Once(i32),
    /// It and every later one fail with this error number.
    FromNow(i32),
    /// A write takes only half; other calls work.
    Short,
    /// A write takes half and says it took all; other calls work.
    Lie,
    /// The process dies: a write may have taken half, nothing else happens any more.
    Kill,
}

/// The error numbers of the platform's manual: EIO, ENOSPC, EACCES, EROFS,
/// EDQUOT, EMFILE, EINTR.
pub const ERRORS: [i32; 7] = [5, 28, 13, 30, 122, 24, 4];

#[derive(Debug, Default)]
struct State {
    calls: usize,
    fault: Option<(usize, Fault)>,
    log: Vec<String>,
    now: Option<SystemTime>,
    dead_pids: bool,
}

/// The disk.
#[derive(Debug, Clone, Default)]
pub struct FaultyDisk {
    state: Arc<Mutex<State>>,
}

enum Go {
    Work,
    Half,
    HalfAndDie,
    HalfAndLie,
}

const KILLED: &str = "killed";

impl FaultyDisk {
    /// From now on, count calls anew and fail at the `n`-th (from 1).
    pub fn fail_at(&self, n: usize, fault: Fault) {
        let mut state = self.state.lock().unwrap();
        state.calls = 0;
        state.log.clear();
        state.fault = Some((n, fault));
    }

    /// Works again.
    pub fn heal(&self) {
        self.fail_at(usize::MAX, Fault::Short);
    }

    /// The changing calls since the last order, by name.
    pub fn log(&self) -> Vec<String> {
        self.state.lock().unwrap().log.clone()
    }

    /// Calls since the last order.
    pub fn calls(&self) -> usize {
        self.state.lock().unwrap().calls
    }

    /// Sets the clock.
    pub fn set_now(&self, now: SystemTime) {
        self.state.lock().unwrap().now = Some(now);
    }

    /// Every other process counts as ended.
    pub fn end_all_processes(&self) {
        self.state.lock().unwrap().dead_pids = true;
    }

    fn go(&self, name: &str) -> io::Result<Go> {
        let mut state = self.state.lock().unwrap();
        state.calls += 1;
        state.log.push(name.to_owned());
        let Some((at, fault)) = state.fault else {
            return Ok(Go::Work);
        };
        let error = |number| Err(io::Error::from_raw_os_error(number));
        match fault {
            Fault::Once(number) if state.calls == at => error(number),
            Fault::FromNow(number) if state.calls >= at => error(number),
            Fault::Short if state.calls == at => Ok(Go::Half),
            Fault::Lie if state.calls == at => Ok(Go::HalfAndLie),
            Fault::Kill if state.calls == at && name == "write" => Ok(Go::HalfAndDie),
            Fault::Kill if state.calls >= at => Err(io::Error::other(KILLED)),
            _ => Ok(Go::Work),
        }
    }
}

#[derive(Debug)]
struct FaultyFile {
    disk: FaultyDisk,
    file: Box<dyn NewFile>,
}

impl NewFile for FaultyFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let half = bytes.len() / 2;
        match self.disk.go("write")? {
            Go::Work => self.file.write(bytes),
            Go::Half => self.file.write(&bytes[..half.max(1)]),
            Go::HalfAndLie => {
                self.file.write(&bytes[..half])?;
                Ok(bytes.len())
            }
            Go::HalfAndDie => {
                self.file.write(&bytes[..half])?;
                Err(io::Error::other(KILLED))
            }
        }
    }

    fn set_mode(&mut self, mode: u32) -> io::Result<()> {
        self.disk.go("mode")?;
        self.file.set_mode(mode)
    }

    fn set_owner(&mut self, uid: Option<u32>, gid: u32) -> io::Result<()> {
        self.disk.go("owner")?;
        self.file.set_owner(uid, gid)
    }

    fn sync(&mut self) -> io::Result<()> {
        self.disk.go("sync")?;
        self.file.sync()
    }
}

impl Disk for FaultyDisk {
    fn read(&self, path: &Path, most: u64) -> io::Result<Vec<u8>> {
        self.go("read")?;
        RealDisk.read(path, most)
    }

    fn create_new(&self, path: &Path, mode: u32) -> io::Result<Box<dyn NewFile>> {
        self.go("create")?;
        Ok(Box::new(FaultyFile {
            disk: self.clone(),
            file: RealDisk.create_new(path, mode)?,
        }))
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.go("rename")?;
        RealDisk.rename(from, to)
    }

    fn link(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.go("link")?;
        RealDisk.link(from, to)
    }

    fn copy_attributes(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.go("attributes")?;
        RealDisk.copy_attributes(from, to)
    }

    fn lock(&self, path: &Path) -> io::Result<Option<Box<dyn FileLock>>> {
        self.go("lock")?;
        RealDisk.lock(path)
    }

    fn lock_within(
        &self,
        path: &Path,
        _patience: Duration,
    ) -> io::Result<Option<Box<dyn FileLock>>> {
        // Time passes in no time.
        self.lock(path)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.go("remove")?;
        RealDisk.remove(path)
    }

    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>> {
        self.go("list")?;
        RealDisk.list(folder)
    }

    fn meta(&self, path: &Path, follow: bool) -> io::Result<Meta> {
        self.go("meta")?;
        RealDisk.meta(path, follow)
    }

    fn real_path(&self, path: &Path) -> io::Result<PathBuf> {
        self.go("real_path")?;
        RealDisk.real_path(path)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        self.go("sync_folder")?;
        RealDisk.sync_folder(folder)
    }

    fn create_folder(&self, folder: &Path, mode: u32) -> io::Result<()> {
        self.go("create_folder")?;
        RealDisk.create_folder(folder, mode)
    }

    fn is_writable(&self, path: &Path) -> bool {
        RealDisk.is_writable(path)
    }

    fn pid(&self) -> u32 {
        RealDisk.pid()
    }

    fn host(&self) -> String {
        RealDisk.host()
    }

    fn process_started(&self, pid: u32) -> Option<u64> {
        if self.state.lock().unwrap().dead_pids {
            return None;
        }
        RealDisk.process_started(pid)
    }

    fn now(&self) -> SystemTime {
        self.state
            .lock()
            .unwrap()
            .now
            .unwrap_or_else(SystemTime::now)
    }
}
