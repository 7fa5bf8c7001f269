//! Real disks that fail under the real program: killed, stopped or refused at any system call of
//! a save, a power cut, a disk that is full or out of inodes, read-only, immutable. What must
//! hold is that the season opens and is the old one or the new, and that what was called saved is
//! there. Where the machine gives no root, no loop device or no tracer, a test says that it is
//! skipped.
#![cfg(target_os = "linux")]
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout
)]

#[path = "disk_faults/calls.rs"]
mod calls;
#[path = "disk_faults/disks.rs"]
mod disks;
#[path = "disk_faults/orchard.rs"]
mod orchard;
#[path = "disk_faults/power.rs"]
mod power;
#[path = "disk_faults/reach.rs"]
mod reach;
