//! The terminal itself: taken and given back, read, written, painted.

pub mod held;
pub mod input;
pub mod paint;
pub mod setting;
pub mod signals;
mod suspend;
mod watcher;

pub use suspend::stop;
pub use watcher::Watcher;

use rustix::fd::{AsFd, BorrowedFd, OwnedFd};
use rustix::fs::{Mode, OFlags};
use rustix::io::Errno;
use std::io;

/// The terminal, opened anew so that what is set on it is ours alone.
#[derive(Debug)]
pub struct Tty {
    fd: OwnedFd,
    pending: Vec<u8>,
    written: usize,
}

/// What the terminal had to say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Line {
    /// It works.
    Up,
    /// It has gone away.
    Down,
}

impl Tty {
    /// Opens the terminal that standard output goes to. A separate opening
    /// keeps "do not block" from leaking to the shell.
    pub fn open() -> io::Result<Self> {
        let stdout = rustix::stdio::stdout();
        let flags = OFlags::RDWR | OFlags::NONBLOCK | OFlags::NOCTTY | OFlags::CLOEXEC;
        let by_name = rustix::termios::ttyname(stdout, Vec::new())
            .and_then(|name| rustix::fs::open(name.as_c_str(), flags, Mode::empty()));
        let fd = by_name.or_else(|_| rustix::fs::open("/dev/tty", flags, Mode::empty()))?;
        Ok(Self {
            fd,
            pending: Vec::new(),
            written: 0,
        })
    }

    /// Columns and rows; what a terminal that does not know is taken for.
    pub fn size(&self) -> (u16, u16) {
        match rustix::termios::tcgetwinsize(&self.fd) {
            Ok(size) if size.ws_col > 0 && size.ws_row > 0 => (size.ws_col, size.ws_row),
            _ => (80, 24),
        }
    }

    /// Is everything out?
    pub fn is_idle(&self) -> bool {
        self.written >= self.pending.len()
    }

    /// Puts bytes behind those still on their way.
    pub fn send(&mut self, bytes: &[u8]) {
        if self.is_idle() {
            self.pending.clear();
            self.written = 0;
        }
        self.pending.extend_from_slice(bytes);
    }

    /// What is on its way is not wanted any more.
    pub fn drop_pending(&mut self) {
        self.pending.clear();
        self.written = 0;
    }

    /// Writes as much as the line takes now: mostly all, in one piece.
    pub fn flush(&mut self) -> Line {
        while let Some(rest) = self.pending.get(self.written..).filter(|r| !r.is_empty()) {
            match rustix::io::write(&self.fd, rest) {
                Ok(0) => return Line::Down,
                Ok(n) => self.written += n,
                Err(Errno::INTR) => {}
                Err(Errno::AGAIN) => return Line::Up,
                Err(_) => return Line::Down,
            }
        }
        Line::Up
    }

    /// Reads everything that has come in.
    pub fn read(&mut self, into: &mut Vec<u8>) -> Line {
        let mut chunk = [0_u8; 4096];
        // Bounded, so that an endless stream cannot hold up the screen.
        for _ in 0..64 {
            match rustix::io::read(&self.fd, &mut chunk) {
                Ok(0) => return Line::Down,
                Ok(n) => into.extend_from_slice(chunk.get(..n).unwrap_or_default()),
                Err(Errno::INTR) => {}
                Err(Errno::AGAIN) => return Line::Up,
                Err(_) => return Line::Down,
            }
        }
        Line::Up
    }
}

impl AsFd for Tty {
    fn as_fd(&self) -> BorrowedFd<'_> {
        self.fd.as_fd()
    }
}
