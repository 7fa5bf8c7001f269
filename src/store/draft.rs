//! Words that stood in an open form when the line dropped: kept among the state, and offered at
//! the next start.

use super::disk::Disk;
use super::recovery::short_name;
use super::save;
use std::path::{Path, PathBuf};

/// No draft is longer.
const MOST_BYTES: u64 = 1 << 20;

/// Where the draft of a season is, under the state folder; that of somebody without a season
/// where none is named.
pub fn path(state: &Path, season: Option<&Path>) -> PathBuf {
    let name = season.map_or_else(
        || "no-season".to_owned(),
        |path| format!("{:016x}", short_name(path)),
    );
    state.join("drafts").join(format!("{name}.json"))
}

/// Keeps a draft, in place of the one before.
///
/// # Errors
/// Where it cannot be written.
pub fn write(disk: &dyn Disk, path: &Path, text: &str) -> Result<(), save::Failed> {
    save::put_aside(disk, path, text.as_bytes())
}

/// The draft kept, if there is one.
pub fn read(disk: &dyn Disk, path: &Path) -> Option<String> {
    String::from_utf8(disk.read(path, MOST_BYTES).ok()?).ok()
}

/// Lets it go.
pub fn discard(disk: &dyn Disk, path: &Path) {
    let _ = disk.remove(path);
}
