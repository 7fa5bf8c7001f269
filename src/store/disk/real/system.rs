//! What only a Unix system has, for the files of ours that are no season, and between processes.

use rustix::fs::OFlags;
use rustix::process::{Pid, Signal, kill_process};
use std::fs::{DirBuilder, OpenOptions, Permissions};
use std::os::unix::fs::{DirBuilderExt, OpenOptionsExt, PermissionsExt};

/// Opening never waits for whoever is to write into a pipe.
pub(in super::super::super) fn never_waiting(options: &mut OpenOptions) {
    options.custom_flags(super::flags(OFlags::NONBLOCK));
}

/// A folder is made with this mode.
pub(in super::super::super) fn folder_of_mode(builder: &mut DirBuilder, mode: u32) {
    builder.mode(mode);
}

/// A new file is made with this mode.
pub(in super::super::super) fn new_of_mode(builder: &mut tempfile::Builder<'_, '_>, mode: u32) {
    builder.permissions(Permissions::from_mode(mode));
}

/// Asks a process to end as if its line had dropped; says whether it could be asked.
pub fn ask_to_end(pid: u32) -> bool {
    let pid = i32::try_from(pid).ok().and_then(Pid::from_raw);
    pid.is_some_and(|pid| kill_process(pid, Signal::HUP).is_ok())
}

/// From now on a write beyond the limit of file sizes fails and is told, in place of a kill.
pub fn tell_of_limits() {
    let _ = signal_hook::flag::register(signal_hook::consts::SIGXFSZ, std::sync::Arc::default());
}
