//! The terminal itself: taken and given back, read, written, painted.

mod backlog;
pub mod held;
pub mod input;
pub mod paint;
pub mod setting;
pub mod signals;
mod suspend;
mod watcher;

pub use suspend::stop;
pub use watcher::Watcher;

use backlog::{Ask, Backlog};
use rustix::fd::{AsFd, BorrowedFd, OwnedFd};
use rustix::fs::{Mode, OFlags};
use rustix::io::Errno;
use std::io;
use std::time::{Duration, Instant};

/// The terminal, opened anew so that what is set on it is ours alone.
#[derive(Debug)]
pub struct Tty {
    fd: OwnedFd,
    pending: Vec<u8>,
    written: usize,
    pace: Option<Pace>,
    backlog: Backlog,
}

/// What a slow line still has to carry, by its speed: what was handed over is not there yet.
#[derive(Debug)]
struct Pace {
    bytes_per_s: f64,
    on_its_way: f64,
    at: Instant,
}

/// Lines faster than this, in bits a second, are not waited for: nobody sees their queue.
const FAST_LINE: u32 = 19_200;
/// A frame is begun when the line has at most this much left to carry, in seconds.
const SHORT_QUEUE_S: f64 = 0.2;
/// Bits on the line for a byte: start, eight, stop.
const BITS_A_BYTE: f64 = 10.0;

impl Pace {
    fn carry(&mut self, more: usize) {
        let now = Instant::now();
        let gone = now.duration_since(self.at).as_secs_f64() * self.bytes_per_s;
        self.on_its_way = (self.on_its_way - gone).max(0.0) + more as f64;
        self.at = now;
    }

    /// How long until a frame may be begun.
    fn wait(&self) -> Duration {
        let since = self.at.elapsed().as_secs_f64();
        let left = self.on_its_way / self.bytes_per_s - since - SHORT_QUEUE_S;
        Duration::from_secs_f64(left.max(0.0))
    }
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
    #[allow(clippy::disallowed_methods)]
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
            pace: None,
            backlog: Backlog::default(),
        })
    }

    /// Keeps to the speed of a slow line, in bits a second: the one told, else the one set on a
    /// serial terminal.
    pub fn keep_to(&mut self, told: Option<u32>) {
        let set = || {
            let speed = rustix::termios::tcgetattr(&self.fd).ok()?.output_speed();
            (speed > 0 && speed <= FAST_LINE).then_some(speed)
        };
        self.pace = told.filter(|s| *s > 0).or_else(set).map(|bits| Pace {
            bytes_per_s: f64::from(bits) / BITS_A_BYTE,
            on_its_way: 0.0,
            at: Instant::now(),
        });
    }

    /// How long until the line can take another frame; nothing where it can now.
    pub fn busy_for(&mut self) -> Option<Duration> {
        match &self.pace {
            Some(pace) => Some(pace.wait()).filter(|wait| !wait.is_zero()),
            None => self.backlog.wait(Instant::now()),
        }
    }

    /// Is the frame before out, and the line free for another?
    pub fn is_ready(&mut self) -> bool {
        self.is_idle() && self.busy_for().is_none()
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

    /// Puts a frame behind what is still on its way, with questions about it where the terminal
    /// is to tell when it has come to them.
    pub fn send_frame(&mut self, frame: &[u8]) {
        let ask = if self.pace.is_some() || frame.is_empty() {
            Ask::Not
        } else {
            self.backlog.ask(frame.len(), Instant::now())
        };
        if ask == Ask::Around {
            self.send(backlog::ASK);
        }
        self.send(frame);
        if ask != Ask::Not {
            self.send(backlog::ASK);
        }
    }

    /// A key came: there is somebody to whom a late frame would matter.
    pub fn wake(&mut self) {
        self.backlog.wake(Instant::now());
    }

    /// The terminal answered the question behind a frame: how long the line needs for that at best.
    pub fn answered(&mut self) -> Option<Duration> {
        self.backlog.answered(Instant::now())
    }

    /// How long an answer may still be on its way, if any.
    pub fn owed_for(&self) -> Option<Duration> {
        self.backlog.owed_for(Instant::now())
    }

    /// Nothing is known any more of the terminal's answers: it may be another one now.
    pub fn forget(&mut self) {
        self.backlog = Backlog::default();
    }

    /// What is on its way is not wanted any more.
    pub fn drop_pending(&mut self) {
        if !self.is_idle() {
            // A question among it will not be answered.
            self.forget();
        }
        self.pending.clear();
        self.written = 0;
    }

    /// Writes as much as the line takes now: mostly all, in one piece.
    pub fn flush(&mut self) -> Line {
        while let Some(rest) = self.pending.get(self.written..).filter(|r| !r.is_empty()) {
            let Some(wrote) = held::while_ours(|| rustix::io::write(&self.fd, rest)) else {
                self.drop_pending();
                return Line::Up;
            };
            match wrote {
                Ok(0) => return Line::Down,
                Ok(n) => {
                    self.written += n;
                    if let Some(pace) = &mut self.pace {
                        pace.carry(n);
                    }
                }
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
