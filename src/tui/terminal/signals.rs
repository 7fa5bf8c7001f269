//! Signals as something that can be polled together with the terminal.

use rustix::fd::{AsFd, BorrowedFd};
use signal_hook::SigId;
use signal_hook::consts::{
    SIGABRT, SIGBUS, SIGCONT, SIGHUP, SIGINT, SIGQUIT, SIGSEGV, SIGTERM, SIGTSTP, SIGWINCH,
};
use std::io::{self, Read as _};
use std::os::unix::net::UnixStream;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// What the system wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Signal {
    /// End, by the signal of this number.
    End(i32),
    /// The window has another size.
    Size,
    /// Stop and give the terminal back.
    Stop,
    /// Go on after a stop.
    Continue,
}

const WATCHED: [(i32, Signal); 8] = [
    (SIGTERM, Signal::End(SIGTERM)),
    (SIGHUP, Signal::End(SIGHUP)),
    (SIGINT, Signal::End(SIGINT)),
    (SIGQUIT, Signal::End(SIGQUIT)),
    (SIGABRT, Signal::End(SIGABRT)),
    (SIGWINCH, Signal::Size),
    (SIGTSTP, Signal::Stop),
    (SIGCONT, Signal::Continue),
];

/// Signals waiting to be taken.
#[derive(Debug)]
pub struct Signals {
    pipe: UnixStream,
    came: Vec<(Signal, Arc<AtomicBool>)>,
    ids: Vec<SigId>,
    /// The fault signals that the runtime caught when we began.
    guarded: u64,
}

/// Signals of a fault in memory: no safe code can catch them.
const FAULTS: [i32; 2] = [SIGSEGV, SIGBUS];

/// The signals caught now, as the kernel lists them: bit 0 is signal 1.
fn caught() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let mask = status.lines().find_map(|l| l.strip_prefix("SigCgt:"));
    mask.and_then(|m| u64::from_str_radix(m.trim(), 16).ok())
        .unwrap_or(0)
}

fn bit(signal: i32) -> u64 {
    1 << (signal - 1)
}

impl Signals {
    /// Catches the signals that matter to a full-screen program.
    pub fn catch() -> io::Result<Self> {
        let (read, write) = UnixStream::pair()?;
        read.set_nonblocking(true)?;
        write.set_nonblocking(true)?;
        let (mut came, mut ids) = (Vec::new(), Vec::new());
        for (number, signal) in WATCHED {
            let flag = Arc::new(AtomicBool::new(false));
            // The flag first: whoever is woken finds it set.
            ids.push(signal_hook::flag::register(number, Arc::clone(&flag))?);
            ids.push(signal_hook::low_level::pipe::register(
                number,
                write.try_clone()?,
            )?);
            came.push((signal, flag));
        }
        Ok(Self {
            pipe: read,
            came,
            ids,
            guarded: caught(),
        })
    }

    /// The fault signal that somebody sent us, if so. The language's runtime catches these to
    /// tell of a full stack; a first one that tells of nothing of the kind it lets pass, but
    /// catches no more. That can be seen where the kernel lists what is caught, and is as good
    /// as an order to end. A real fault ends us there and then; the watcher does the rest.
    pub fn struck(&self) -> Option<i32> {
        if self.guarded == 0 {
            return None;
        }
        let now = caught();
        FAULTS
            .into_iter()
            .find(|s| self.guarded & bit(*s) != 0 && now & bit(*s) == 0)
    }

    /// The signals that came since the last call.
    pub fn take(&mut self) -> Vec<Signal> {
        let mut bytes = [0; 64];
        while self.pipe.read(&mut bytes).is_ok_and(|n| n > 0) {}
        self.came
            .iter()
            .filter(|(_, flag)| flag.swap(false, Ordering::SeqCst))
            .map(|(signal, _)| *signal)
            .collect()
    }
}

impl AsFd for Signals {
    fn as_fd(&self) -> BorrowedFd<'_> {
        self.pipe.as_fd()
    }
}

impl Drop for Signals {
    fn drop(&mut self) {
        for id in self.ids.drain(..) {
            signal_hook::low_level::unregister(id);
        }
    }
}
