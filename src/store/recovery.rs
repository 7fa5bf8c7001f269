//! Work that could not be saved in its place goes to a file of its own elsewhere, with what it was
//! made from, and is offered at the next start. Nothing takes it away but its owner's word.

use super::disk::Disk;
use super::save;
use super::season_file::LARGEST_BYTES;
use crate::domain::zone::Zone;
use chrono::{DateTime, Utc};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

/// Work that could not be saved in its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recovered {
    /// The recovery file.
    pub path: PathBuf,
    /// When it was written, RFC 3339.
    pub written: String,
    /// The whole text of the season.
    pub text: String,
    /// The text of the season it was made from, where that was kept with it.
    pub base: Option<String>,
}

impl Recovered {
    /// Its name among the versions: `kept-2026-11-27T08-14-00-4711-1-0`.
    pub fn id(&self) -> String {
        let stem = self.path.file_stem().unwrap_or_default().to_string_lossy();
        let rest = stem.split_once('-').map_or("", |(_, rest)| rest);
        let id: String = rest
            .chars()
            .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
            .collect();
        format!("kept-{id}")
    }

    /// When it was written, by the orchard's clock.
    pub fn when(&self, zone: Zone) -> String {
        DateTime::parse_from_rfc3339(&self.written).map_or_else(
            |_| "an unknown time".to_owned(),
            |t| t.with_timezone(&zone).format("%Y-%m-%d %H:%M").to_string(),
        )
    }
}

const HEAD: &str = "#barewood-recovery ";
/// Before the season it was made from, whose lines are comments: the file reads as a season.
const BASE: &str = "\n#barewood-base\n";
const BASE_LINE: &str = "#|";
/// The longest recovery file that is looked at.
const MOST: u64 = 3 * LARGEST_BYTES as u64;

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

fn folder(state: &Path) -> PathBuf {
    state.join("recovery")
}

/// A free name for work on a season: no two sessions share one.
pub fn new_path(disk: &dyn Disk, state: &Path, season: &Path) -> PathBuf {
    static FILES: AtomicU32 = AtomicU32::new(1);
    let time = DateTime::<Utc>::from(disk.now()).format("%Y-%m-%dT%H-%M-%S");
    let (pid, n) = (disk.pid(), FILES.fetch_add(1, Ordering::Relaxed));
    let folder = folder(state);
    let name = |m: u32| {
        folder.join(format!(
            "{:016x}-{time}-{pid}-{n}-{m}.toml",
            short_name(season)
        ))
    };
    // A number of an earlier process may come again, here or in another container.
    (0..1000)
        .map(name)
        .find(|path| disk.meta(path, false).is_err())
        .unwrap_or_else(|| name(1000))
}

/// Writes a recovery file.
///
/// # Errors
/// Where even that fails.
pub fn write(
    disk: &dyn Disk,
    path: &Path,
    season: &Path,
    text: &str,
    base: &str,
) -> Result<(), save::Failed> {
    let time = DateTime::<Utc>::from(disk.now()).to_rfc3339();
    let mut whole = format!("{HEAD}{time} {}\n{text}{BASE}", one_line(season));
    for line in base.split('\n') {
        let _ = writeln!(whole, "{BASE_LINE}{line}");
    }
    save::put_aside(disk, path, whole.as_bytes())
}

fn parse(path: PathBuf, text: &str, season: &Path) -> Option<Recovered> {
    let (head, body) = text.strip_prefix(HEAD)?.split_once('\n')?;
    let (written, of) = head.split_once(' ')?;
    if of != one_line(season) {
        return None;
    }
    let (text, base) = match body.rsplit_once(BASE) {
        Some((text, base)) => {
            let lines: Vec<&str> = base
                .strip_suffix('\n')
                .unwrap_or(base)
                .split('\n')
                .map(|line| line.strip_prefix(BASE_LINE).unwrap_or(line))
                .collect();
            (text, Some(lines.join("\n")))
        }
        None => (body, None),
    };
    Some(Recovered {
        path,
        written: written.to_owned(),
        text: text.to_owned(),
        base,
    })
}

/// Every recovery file of a season, newest first.
pub fn all(disk: &dyn Disk, state: &Path, season: &Path) -> Vec<Recovered> {
    let folder = folder(state);
    let prefix = format!("{:016x}-", short_name(season));
    let mut found: Vec<Recovered> = disk
        .list(&folder)
        .unwrap_or_default()
        .iter()
        .filter(|name| name.to_string_lossy().starts_with(&prefix))
        .filter_map(|name| {
            let path = folder.join(name);
            let text = String::from_utf8(disk.read(&path, MOST).ok()?).ok()?;
            parse(path, &text, season)
        })
        .collect();
    found.sort_by(|a, b| (&b.written, &b.path).cmp(&(&a.written, &a.path)));
    found
}

/// Lets a recovery file go, by its owner's word.
pub fn discard(disk: &dyn Disk, path: &Path) {
    let _ = disk.remove(path);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::disk::RealDisk;

    #[test]
    fn what_was_kept_comes_back_with_what_it_was_made_from() {
        let state = tempfile::tempdir().unwrap();
        let season = Path::new("/o/a season.toml");
        let bases = [
            "",
            "format = 1\n",
            "a\r\n\n\"\"\"\nno end",
            "#barewood-base\n#|x",
        ];
        let mut paths = Vec::new();
        for base in bases {
            let path = new_path(&RealDisk, state.path(), season);
            write(&RealDisk, &path, season, "format = 1\n", base).unwrap();
            let text = std::fs::read_to_string(&path).unwrap();
            let read = parse(path.clone(), &text, season).unwrap();
            assert_eq!(read.text, "format = 1\n");
            assert_eq!(read.base.as_deref(), Some(base));
            assert!(toml::from_str::<toml::Table>(&text).is_ok(), "{text}");
            assert_eq!(parse(path.clone(), &text, Path::new("/o/b.toml")), None);
            paths.push(path);
        }
        assert_eq!(all(&RealDisk, state.path(), season).len(), bases.len());
        discard(&RealDisk, &paths[0]);
        assert_eq!(all(&RealDisk, state.path(), season).len(), bases.len() - 1);
    }

    #[test]
    fn one_of_an_earlier_form_is_found() {
        let state = tempfile::tempdir().unwrap();
        let season = Path::new("/o/a.toml");
        let path = folder(state.path()).join(format!("{:016x}-a.toml", short_name(season)));
        std::fs::create_dir_all(folder(state.path())).unwrap();
        std::fs::write(
            &path,
            format!("{HEAD}2026-11-27T08:14:00+00:00 /o/a.toml\nx = 1\n"),
        )
        .unwrap();
        let found = all(&RealDisk, state.path(), season);
        assert_eq!((found[0].text.as_str(), &found[0].base), ("x = 1\n", &None));
    }
}
