//! Stops the program the way the shell expects, and never where nobody could
//! make it go on.

use rustix::process::{Pid, Signal, getpgid, getppid, getsid, kill_current_process_group};

/// Stops this process and the others of its job; returns when it goes on.
/// Says whether it could stop: without a shell above there is none to wake it.
pub fn stop() -> bool {
    if !has_shell_above() {
        return false;
    }
    // Whatever started us (a build tool, a script) stops with us. Our own
    // handler takes this signal, so stop ourselves for good afterwards.
    let _ = kill_current_process_group(Signal::TSTP);
    signal_hook::low_level::emulate_default_handler(signal_hook::consts::SIGTSTP).is_ok()
}

/// Is there a process above in this session that is not part of our own job?
/// If not, the kernel calls the job orphaned and nobody would continue it.
fn has_shell_above() -> bool {
    let (Ok(session), Ok(group)) = (getsid(None), getpgid(None)) else {
        return false;
    };
    let mut above = getppid();
    for _ in 0..16 {
        let Some(pid) = above else {
            return false;
        };
        if getsid(Some(pid)) != Ok(session) {
            return false;
        }
        match getpgid(Some(pid)) {
            Ok(other) if other != group => return true,
            Ok(_) => above = parent_of(pid),
            Err(_) => return false,
        }
    }
    false
}

/// The parent of another process, where the system tells.
fn parent_of(pid: Pid) -> Option<Pid> {
    let text = std::fs::read_to_string(format!("/proc/{}/stat", pid.as_raw_nonzero())).ok()?;
    // `pid (name) state ppid …`; the name may hold anything.
    let (_, rest) = text.rsplit_once(')')?;
    let parent = rest.split_whitespace().nth(1)?.parse().ok()?;
    Pid::from_raw(parent)
}
