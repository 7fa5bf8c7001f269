//! When a season cannot be saved in its place, the work goes to a recovery
//! file elsewhere, and is offered at the next start.

use super::disk::Disk;
use super::save;
use super::season_file::LARGEST_BYTES;
use chrono::{DateTime, Utc};
use std::path::{Path, PathBuf};

/// Work that could not be saved in its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recovered {
    /// The recovery file.
    pub path: PathBuf,
    /// When it was written, RFC 3339.
    pub written: String,
    /// The whole text of the season.
    pub text: String,
}

const HEAD: &str = "#barewood-recovery ";

/// 64-bit FNV-1a: a stable short name for a path.
pub(super) fn short_name(path: &Path) -> u64 {
    path.as_os_str()
        .as_encoded_bytes()
        .iter()
        .fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
            (hash ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3)
        })
}

/// A path on one line, whatever its characters.
fn one_line(path: &Path) -> String {
    path.to_string_lossy().escape_debug().to_string()
}

/// Where the recovery file of a season is, under the state folder.
pub fn path(state: &Path, season: &Path) -> PathBuf {
    let name = season.file_name().unwrap_or_default().to_string_lossy();
    state
        .join("recovery")
        .join(format!("{:016x}-{name}", short_name(season)))
}

/// Writes the recovery file.
///
/// # Errors
/// Where even that fails.
pub fn write(
    disk: &dyn Disk,
    state: &Path,
    season: &Path,
    text: &str,
) -> Result<PathBuf, save::Failed> {
    let path = path(state, season);
    let time = DateTime::<Utc>::from(disk.now()).to_rfc3339();
    let bytes = format!("{HEAD}{time} {}\n{text}", one_line(season));
    save::put_aside(disk, &path, bytes.as_bytes())?;
    Ok(path)
}

/// The recovery file of a season, if there is one.
pub fn find(disk: &dyn Disk, state: &Path, season: &Path) -> Option<Recovered> {
    let path = path(state, season);
    let bytes = disk.read(&path, LARGEST_BYTES as u64 + 4096).ok()?;
    let text = String::from_utf8(bytes).ok()?;
    let (head, body) = text.strip_prefix(HEAD)?.split_once('\n')?;
    let (written, of) = head.split_once(' ')?;
    (of == one_line(season)).then(|| Recovered {
        path,
        written: written.to_owned(),
        text: body.to_owned(),
    })
}

/// Lets the recovery file of a season go.
pub fn discard(disk: &dyn Disk, state: &Path, season: &Path) {
    let _ = disk.remove(&path(state, season));
}
