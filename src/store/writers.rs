//! Who wrote a version of a season: a short list beside the versions, so that a board can say from
//! whom a change came. A courtesy: nothing hangs on it.

use super::disk::{Disk, write_all};
use super::{backups, recovery};
use crate::domain::harmless::Shown;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// So many lines are kept.
const MOST: usize = 200;
const MOST_BYTES: u64 = 64 * 1024;

fn path(season: &Path) -> PathBuf {
    backups::folder(season).join("who")
}

/// A short name for a text.
fn digest(bytes: &[u8]) -> String {
    use sha2::{Digest as _, Sha256};
    let hash = Sha256::digest(bytes);
    hash.iter().take(8).fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// Who works here: a user on a machine.
pub fn here(disk: &dyn Disk, doing: &str) -> String {
    let name = ["LOGNAME", "USER"]
        .iter()
        .find_map(|key| std::env::var(key).ok())
        .filter(|name| !name.trim().is_empty());
    let host = disk.host();
    let who = match name {
        Some(name) => format!("{doing} by {name} on {host}"),
        None => format!("{doing} on {host}"),
    };
    Shown::line(&who).as_str().chars().take(100).collect()
}

/// Notes who wrote these bytes.
pub fn note(disk: &dyn Disk, season: &Path, bytes: &[u8], who: &str) {
    let path = path(season);
    let before = disk.read(&path, MOST_BYTES).unwrap_or_default();
    let before = String::from_utf8_lossy(&before).into_owned();
    let line = format!("{} {}", digest(bytes), Shown::line(who));
    let lines: Vec<&str> = before.lines().chain([line.as_str()]).collect();
    let from = lines.len().saturating_sub(MOST);
    let text = lines.get(from..).unwrap_or_default().join("\n") + "\n";
    let temp = path.with_file_name(format!(
        ".who-{}-{:x}.tmp",
        disk.pid(),
        recovery::short_name(&path)
    ));
    let _ = disk.remove(&temp);
    let written = disk
        .create_new(&temp, 0o666)
        .and_then(|mut file| write_all(&mut *file, text.as_bytes()))
        .and_then(|()| disk.rename(&temp, &path));
    if written.is_err() {
        let _ = disk.remove(&temp);
    }
}

/// Who wrote these bytes, where that was noted.
pub fn of(disk: &dyn Disk, season: &Path, bytes: &[u8]) -> Option<String> {
    let text = disk.read(&path(season), MOST_BYTES).ok()?;
    let text = String::from_utf8_lossy(&text).into_owned();
    let name = digest(bytes);
    text.lines()
        .rev()
        .find_map(|line| line.strip_prefix(&name)?.strip_prefix(' '))
        .map(|who| Shown::line(who).to_string())
}
