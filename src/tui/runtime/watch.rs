//! Watches the season file's folder, so that a change by others is noticed
//! without ever looking in vain.

use rustix::fd::BorrowedFd;
#[cfg(target_os = "linux")]
use rustix::fd::{AsFd as _, OwnedFd};
use std::path::PathBuf;

/// A watch on one file, by its folder: the file itself is replaced by saves.
#[derive(Debug, Default)]
pub struct Watch {
    #[cfg(target_os = "linux")]
    inner: Option<(OwnedFd, std::ffi::OsString)>,
}

#[cfg(target_os = "linux")]
impl Watch {
    /// Watches a file, if there is one and the system allows it.
    pub fn on(path: Option<PathBuf>) -> Self {
        Self {
            inner: path.and_then(|path| Self::begin(&path)),
        }
    }

    fn begin(path: &std::path::Path) -> Option<(OwnedFd, std::ffi::OsString)> {
        use rustix::fs::inotify::{CreateFlags, WatchFlags, add_watch, init};
        let fd = init(CreateFlags::NONBLOCK | CreateFlags::CLOEXEC).ok()?;
        let folder = path.parent().filter(|p| !p.as_os_str().is_empty());
        let folder = folder.unwrap_or_else(|| std::path::Path::new("."));
        add_watch(&fd, folder, WatchFlags::CLOSE_WRITE | WatchFlags::MOVED_TO).ok()?;
        Some((fd, path.file_name()?.to_owned()))
    }

    /// What to poll.
    pub fn fd(&self) -> Option<BorrowedFd<'_>> {
        self.inner.as_ref().map(|(fd, _)| fd.as_fd())
    }

    /// Takes what was reported; says whether it concerns the file.
    pub fn take(&mut self) -> bool {
        use std::os::unix::ffi::OsStrExt as _;
        let Some((fd, name)) = &self.inner else {
            return false;
        };
        let mut space = [std::mem::MaybeUninit::uninit(); 4096];
        let mut reader = rustix::fs::inotify::Reader::new(fd, &mut space);
        let mut ours = false;
        while let Ok(event) = reader.next() {
            ours |= event
                .file_name()
                .is_some_and(|n| n.to_bytes() == name.as_bytes());
        }
        ours
    }
}

#[cfg(not(target_os = "linux"))]
impl Watch {
    /// There is no cheap watch here; a save notices the change.
    pub fn on(_path: Option<PathBuf>) -> Self {
        Self::default()
    }

    /// Nothing to poll.
    pub fn fd(&self) -> Option<BorrowedFd<'_>> {
        None
    }

    /// Nothing was reported.
    pub fn take(&mut self) -> bool {
        false
    }
}
