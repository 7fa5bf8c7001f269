//! Earlier versions of a season file, in a folder beside it: the last ten, and
//! of the thirty days before the newest the last of each day.

use super::disk::Disk;
use super::save;
use chrono::{DateTime, Days, NaiveDate, NaiveDateTime, Utc};
use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};

/// Versions kept whatever their age.
const LAST: usize = 10;
/// Days before the newest of which the last version is kept.
const DAYS: u64 = 30;
/// How a backup is named: the time it was replaced, UTC, then a number where a
/// second saw several.
const NAME: &str = "%Y-%m-%dT%H-%M-%S";

/// One earlier version.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Backup {
    /// When it was replaced, UTC.
    pub replaced: NaiveDateTime,
    /// Which of several in that second.
    pub number: u32,
    /// Where it is.
    pub path: PathBuf,
}

/// The folder of a season's backups: `season.toml.backups`.
pub fn folder(season: &Path) -> PathBuf {
    let mut name = season.file_name().unwrap_or_default().to_owned();
    name.push(".backups");
    season.with_file_name(name)
}

fn parse(folder: &Path, name: &str) -> Option<Backup> {
    let stem = name.strip_suffix(".toml")?;
    let (time, number) = match stem.split_once('_') {
        Some((time, number)) => (time, number.parse().ok()?),
        None => (stem, 1),
    };
    Some(Backup {
        replaced: NaiveDateTime::parse_from_str(time, NAME).ok()?,
        number,
        path: folder.join(name),
    })
}

/// Every backup of a season, newest first.
pub fn list(disk: &dyn Disk, season: &Path) -> Vec<Backup> {
    let folder = folder(season);
    let mut found: Vec<Backup> = disk
        .list(&folder)
        .unwrap_or_default()
        .iter()
        .filter_map(|name| parse(&folder, name.to_str()?))
        .collect();
    found.sort_by(|a, b| b.cmp(a));
    found
}

/// Those that the rule lets go, from all, newest first.
pub fn to_prune(all: &[Backup]) -> Vec<&Backup> {
    let Some(newest) = all.first().map(|b| b.replaced.date()) else {
        return Vec::new();
    };
    let since = newest.checked_sub_days(Days::new(DAYS)).unwrap_or(newest);
    let mut last_of_day: BTreeMap<NaiveDate, &Backup> = BTreeMap::new();
    for backup in all {
        last_of_day.entry(backup.replaced.date()).or_insert(backup);
    }
    all.iter()
        .skip(LAST)
        .filter(|b| {
            let day = b.replaced.date();
            day < since || last_of_day.get(&day) != Some(b)
        })
        .collect()
}

/// Keeps the version that is about to be replaced, and lets old ones go.
///
/// # Errors
/// Where the version could not be kept; pruning never fails a save.
pub fn keep(disk: &dyn Disk, season: &Path, bytes: &[u8], mode: u32) -> io::Result<PathBuf> {
    let folder = folder(season);
    if disk.meta(&folder, true).is_err() {
        // Whoever may read the season may read its past; nobody else.
        disk.create_folder(&folder, 0o700 | (mode & 0o077) | ((mode & 0o044) >> 2))?;
    }
    let time = DateTime::<Utc>::from(disk.now()).naive_utc();
    let stamp = time.format(NAME).to_string();
    let all = list(disk, season);
    let number = all
        .iter()
        .filter(|b| b.replaced.format(NAME).to_string() == stamp)
        .map(|b| b.number)
        .max();
    let name = match number {
        None => format!("{stamp}.toml"),
        Some(n) => format!("{stamp}_{}.toml", n + 1),
    };
    let path = folder.join(name);
    // A second name for the old file costs nothing; where the file system has
    // no such thing, a copy.
    if disk.link(season, &path).is_err() {
        save::put(disk, &path, bytes, None, || Ok::<(), save::Failed>(())).map_err(|e| e.source)?;
    }
    let _ = disk.sync_folder(&folder);
    for gone in to_prune(&list(disk, season)) {
        let _ = disk.remove(&gone.path);
    }
    Ok(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(day: u32, hour: u32, number: u32) -> Backup {
        Backup {
            replaced: NaiveDate::from_ymd_opt(2026, 12, 1)
                .unwrap()
                .and_hms_opt(hour, 0, 0)
                .unwrap()
                + Days::new(u64::from(day)),
            number,
            path: PathBuf::from(format!("{day}-{hour}-{number}")),
        }
    }

    #[test]
    fn keeps_the_last_ten_and_one_a_day() {
        let mut all: Vec<Backup> = (0..50)
            .flat_map(|d| [at(d, 8, 1), at(d, 18, 1), at(d, 18, 2)])
            .collect();
        all.sort_by(|a, b| b.cmp(a));
        let gone = to_prune(&all);
        let kept: Vec<&Backup> = all.iter().filter(|b| !gone.contains(b)).collect();
        // Ten newest: days 49, 48, 47 whole and the last of day 46; then the
        // last of each day back to day 19 (thirty days before day 49).
        assert_eq!(kept.len(), 10 + (46 - 19));
        assert!(
            kept.iter()
                .skip(10)
                .all(|b| b.number == 2 && b.replaced.format("%H").to_string() == "18")
        );
        assert!(to_prune(&all[..10]).is_empty());
        assert!(to_prune(&[]).is_empty());
    }

    #[test]
    fn names_order_as_times_do() {
        let folder = Path::new("f");
        let one = parse(folder, "2026-12-01T08-00-00.toml").unwrap();
        let two = parse(folder, "2026-12-01T08-00-00_2.toml").unwrap();
        let ten = parse(folder, "2026-12-01T08-00-00_10.toml").unwrap();
        assert!(one < two && two < ten);
        assert_eq!(parse(folder, "notes.toml"), None);
    }
}
