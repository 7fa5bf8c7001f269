//! Stops the program the way the shell expects, and never where nobody could
//! make it go on.

use rustix::process::{Pid, Signal, getpid, getppid, kill_current_process_group};

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
    let Some(ours) = Ids::of(getpid()) else {
        return false;
    };
    let mut above = getppid();
    for _ in 0..16 {
        let Some(pid) = above else {
            return false;
        };
        match Ids::of(pid) {
            Some(ids) if ids.session != ours.session => return false,
            Some(ids) if ids.group != ours.group => return true,
            Some(ids) => above = ids.parent,
            None => return false,
        }
    }
    false
}

/// Where a process stands among the others. A session or group led from outside
/// our pid namespace (a container) has the number 0, which the typed calls of
/// `rustix` cannot hold: hence plain numbers.
struct Ids {
    parent: Option<Pid>,
    group: i32,
    session: i32,
}

impl Ids {
    #[cfg(target_os = "linux")]
    fn of(pid: Pid) -> Option<Self> {
        let text = std::fs::read_to_string(format!("/proc/{}/stat", pid.as_raw_nonzero())).ok()?;
        Self::from_stat(&text)
    }

    /// Reads `pid (name) state parent group session …`; the name may hold anything.
    #[cfg(target_os = "linux")]
    fn from_stat(text: &str) -> Option<Self> {
        let (_, rest) = text.rsplit_once(')')?;
        let mut numbers = rest.split_whitespace().skip(1).map(str::parse::<i32>);
        let mut next = || numbers.next()?.ok();
        let parent = next()?;
        Some(Self {
            parent: (parent > 0).then(|| Pid::from_raw(parent)).flatten(),
            group: next()?,
            session: next()?,
        })
    }

    #[cfg(not(target_os = "linux"))]
    fn of(pid: Pid) -> Option<Self> {
        Some(Self {
            parent: None,
            group: rustix::process::getpgid(Some(pid)).ok()?.as_raw_pid(),
            session: rustix::process::getsid(Some(pid)).ok()?.as_raw_pid(),
        })
    }
}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use super::Ids;

    #[test]
    fn a_session_led_from_outside_the_container_is_a_number_like_any_other() {
        let ids = Ids::from_stat("7 (a ) b (c)) S 0 0 0 34816 7 4194560 1").unwrap();
        assert!(ids.parent.is_none());
        assert_eq!((ids.group, ids.session), (0, 0));
        assert!(Ids::from_stat("7 (cut").is_none());
        assert!(Ids::from_stat("7 (cut) S 1").is_none());
    }
}
