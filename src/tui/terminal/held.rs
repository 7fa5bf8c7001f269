//! Takes the terminal and gives it back exactly once, whoever asks first.
//!
//! What must be undone lies in one place that every thread can reach, so that
//! a panic anywhere restores the screen before its message is printed.

use crossterm::Command;
use crossterm::cursor::Show;
use crossterm::event::{DisableBracketedPaste, EnableBracketedPaste};
use crossterm::terminal::{EndSynchronizedUpdate, EnterAlternateScreen, LeaveAlternateScreen};
use rustix::fd::OwnedFd;
use rustix::termios::{OptionalActions, Termios, tcgetattr, tcsetattr};
use std::fmt::Write as _;
use std::fs::File;
use std::io::{self, Read as _, Seek as _, SeekFrom};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{LazyLock, Mutex, PoisonError};
use std::time::{Duration, Instant};

/// Other screen, pastes in brackets.
pub static ENTER: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let mut out = String::new();
    add(&mut out, EnterAlternateScreen);
    add(&mut out, EnableBracketedPaste);
    out.into_bytes()
});
/// Everything that may have been switched on, off again: mouse, frame in one,
/// pastes, looks, hidden cursor, other screen.
pub static LEAVE: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let mut out = String::from("\x1b[?1006l\x1b[?1002l\x1b[?1000l");
    add(&mut out, EndSynchronizedUpdate);
    add(&mut out, DisableBracketedPaste);
    out.push_str("\x1b[m");
    add(&mut out, Show);
    add(&mut out, LeaveAlternateScreen);
    out.into_bytes()
});

fn add(out: &mut String, command: impl Command) {
    // Writing to a text cannot fail.
    let _ = command.write_ansi(out);
}

/// Mouse reports: clicks, wheel, motion while a button is held; not every motion, which would
/// fill a slow line.
pub const MOUSE_ON: &[u8] = b"\x1b[?1000h\x1b[?1002h\x1b[?1006h";
/// No mouse reports.
pub const MOUSE_OFF: &[u8] = b"\x1b[?1006l\x1b[?1002l\x1b[?1000l";

struct Held {
    fd: OwnedFd,
    before: Termios,
    errors: Option<(OwnedFd, File)>,
}

static HELD: Mutex<Option<Held>> = Mutex::new(None);
static PANICKED: AtomicBool = AtomicBool::new(false);
static STRAYS: Mutex<Strays> = Mutex::new(Strays {
    said: String::new(),
    panics: String::new(),
});

/// No more than this is kept of stray messages.
const MOST_STRAYS: usize = 64 * 1024;

/// What came up while the terminal was ours.
#[derive(Debug, Default, Clone, PartialEq, Eq)]
pub struct Strays {
    /// Written to standard error by this program or a library.
    pub said: String,
    /// Told by panics; their messages were shown already.
    pub panics: String,
}

impl Strays {
    /// Is there nothing?
    pub fn is_empty(&self) -> bool {
        self.said.is_empty() && self.panics.is_empty()
    }
}

/// What came up so far, once.
pub fn take_strays() -> Strays {
    std::mem::take(&mut *STRAYS.lock().unwrap_or_else(PoisonError::into_inner))
}

/// Takes the terminal: raw, and stray messages kept off the screen. The caller
/// sends [`ENTER`]. Gives the settings from before.
pub fn take(fd: OwnedFd) -> io::Result<Termios> {
    // Ready before it is needed: a panic is no time to build it.
    LazyLock::force(&LEAVE);
    let before = tcgetattr(&fd)?;
    let mut raw = before.clone();
    raw.make_raw();
    tcsetattr(&fd, OptionalActions::Now, &raw)?;
    let errors = catch_errors();
    let mut held = HELD.lock().unwrap_or_else(PoisonError::into_inner);
    *held = Some(Held {
        fd,
        before: before.clone(),
        errors,
    });
    Ok(before)
}

/// Whatever this program or a library writes to standard error would land in
/// the middle of the screen: it waits in a nameless file instead.
#[allow(clippy::disallowed_methods)]
fn catch_errors() -> Option<(OwnedFd, File)> {
    let stderr = rustix::stdio::stderr();
    if !rustix::termios::isatty(stderr) {
        return None;
    }
    let file = nameless().ok()?;
    let kept = rustix::io::fcntl_dupfd_cloexec(stderr, 3).ok()?;
    rustix::stdio::dup2_stderr(&file).ok()?;
    Some((kept, file))
}

/// A file without a name: in memory where the system has such, so that nothing is written
/// anywhere.
fn nameless() -> io::Result<File> {
    #[cfg(target_os = "linux")]
    {
        let flags = rustix::fs::MemfdFlags::CLOEXEC;
        Ok(rustix::fs::memfd_create("barewood-stray", flags)?.into())
    }
    #[cfg(not(target_os = "linux"))]
    tempfile::tempfile()
}

/// Gives the terminal back; does nothing if that was done already.
#[allow(clippy::disallowed_methods)]
pub fn give_back() {
    let held = HELD.lock().unwrap_or_else(PoisonError::into_inner).take();
    let Some(held) = held else {
        return;
    };
    // A line that takes nothing any more must not keep us.
    let until = Instant::now() + Duration::from_millis(100);
    let mut rest = LEAVE.as_slice();
    while !rest.is_empty() && Instant::now() < until {
        match rustix::io::write(&held.fd, rest) {
            Ok(n) => rest = rest.get(n..).unwrap_or_default(),
            Err(rustix::io::Errno::AGAIN | rustix::io::Errno::INTR) => {
                std::thread::sleep(Duration::from_millis(2));
            }
            Err(_) => break,
        }
    }
    let _ = tcsetattr(&held.fd, OptionalActions::Now, &held.before);
    if let Some((kept, mut file)) = held.errors {
        let _ = rustix::stdio::dup2_stderr(&kept);
        let mut said = Vec::new();
        let read = file
            .seek(SeekFrom::Start(0))
            .and_then(|_| file.take(MOST_STRAYS as u64).read_to_end(&mut said));
        if read.is_ok() {
            let mut strays = STRAYS.lock().unwrap_or_else(PoisonError::into_inner);
            if strays.said.len() < MOST_STRAYS {
                strays.said.push_str(&String::from_utf8_lossy(&said));
            }
        }
    }
}

/// Does something with the terminal, and nobody gives it back meanwhile; nothing where it is not
/// ours: after a panic on another thread no frame is to land on the normal screen.
pub fn while_ours<T>(work: impl FnOnce() -> T) -> Option<T> {
    let held = HELD.lock().unwrap_or_else(PoisonError::into_inner);
    let done = held.is_some().then(work);
    drop(held);
    done
}

/// Is the terminal ours now?
pub fn is_ours() -> bool {
    HELD.lock()
        .unwrap_or_else(PoisonError::into_inner)
        .is_some()
}

/// Did any thread panic?
pub fn panicked() -> bool {
    PANICKED.load(Ordering::SeqCst)
}

/// From now on a panic on any thread gives the terminal back before it speaks,
/// and wakes the board so that it ends.
pub fn guard_panics(waker: crate::tui::host::Waker) {
    let before = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        give_back();
        {
            let mut strays = STRAYS.lock().unwrap_or_else(PoisonError::into_inner);
            if strays.panics.len() < MOST_STRAYS {
                let thread = std::thread::current();
                let name = thread.name().unwrap_or("without a name");
                let _ = writeln!(strays.panics, "thread {name}: {info}");
            }
        }
        PANICKED.store(true, Ordering::SeqCst);
        waker.wake();
        before(info);
    }));
}
