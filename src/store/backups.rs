//! Earlier versions of a season file, in a folder beside it: the last ten, and before them the
//! first of each five minutes of the last hour, each hour of the last day, each day of the last
//! month, and each week.

use super::disk::Disk;
use super::save;
use chrono::{DateTime, NaiveDateTime, Utc};
use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};

/// Versions kept whatever their age.
const LAST: usize = 10;
/// Minutes of a week.
const WEEK: i64 = 7 * 24 * 60;
/// Within so many minutes before the newest one version stays of every so many minutes.
const SPANS: [(i64, i64); 3] = [(60, 5), (24 * 60, 60), (30 * 24 * 60, 24 * 60)];
/// How a backup is named: the time it was replaced, UTC, then a number where a
/// second saw several.
const NAME: &str = "%Y-%m-%dT%H-%M-%S";

/// One earlier version.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
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

/// Those that the rule lets go, from all, newest first: of each span of time the first version
/// stays, the one before whatever was done then.
pub fn to_prune(all: &[Backup]) -> Vec<&Backup> {
    let Some(newest) = all.first().map(|b| b.replaced) else {
        return Vec::new();
    };
    let mut first_of = BTreeMap::new();
    for backup in all {
        // Newest first: the last one put in is the first of its span.
        first_of.insert(span(newest, backup.replaced), backup);
    }
    all.iter()
        .skip(LAST)
        .filter(|b| first_of.get(&span(newest, b.replaced)) != Some(b))
        .collect()
}

/// The span of time of which one version stays: its length in minutes, and which of them.
fn span(newest: NaiveDateTime, time: NaiveDateTime) -> (i64, i64) {
    let age = (newest - time).num_minutes();
    let minutes = SPANS
        .iter()
        .find(|(within, _)| age < *within)
        .map_or(WEEK, |(_, minutes)| *minutes);
    (minutes, time.and_utc().timestamp().div_euclid(60 * minutes))
}

/// Keeps the version that is about to be replaced.
///
/// # Errors
/// Where the version could not be kept.
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
    Ok(path)
}

/// Lets old versions go: after a save, when nobody waits for it any more.
pub fn thin(disk: &dyn Disk, season: &Path) {
    for gone in to_prune(&list(disk, season)) {
        // It goes with the next save.
        let _ = disk.remove(&gone.path);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::{NaiveDate, TimeDelta};

    fn at(minutes: i64) -> Backup {
        let start = NaiveDate::from_ymd_opt(2026, 12, 1).unwrap();
        Backup {
            replaced: start.and_hms_opt(0, 0, 0).unwrap() + TimeDelta::minutes(minutes),
            number: 1,
            path: PathBuf::from(minutes.to_string()),
        }
    }

    #[test]
    fn versions_grow_thinner_with_age_and_the_first_of_each_span_stays() {
        // A version each minute for sixty days.
        let newest = 60 * 24 * 60 - 1;
        let all: Vec<Backup> = (0..=newest).rev().map(at).collect();
        let gone: std::collections::HashSet<&Backup> = to_prune(&all).into_iter().collect();
        let kept: Vec<i64> = all
            .iter()
            .filter(|b| !gone.contains(b))
            .map(|b| b.path.to_str().unwrap().parse().unwrap())
            .collect();
        let within = |from: i64, to: i64| {
            let ages = kept.iter().map(|minute| newest - minute);
            ages.filter(|age| (from..to).contains(age)).count()
        };
        assert_eq!(within(0, 10), 10, "the last ten");
        assert_eq!(within(10, 60), 10, "one of each five minutes: {kept:?}");
        assert!((23..=24).contains(&within(60, 24 * 60)), "one an hour");
        assert!(
            (29..=30).contains(&within(24 * 60, 30 * 24 * 60)),
            "one a day"
        );
        assert!(
            (4..=6).contains(&within(30 * 24 * 60, 60 * 24 * 60)),
            "one a week"
        );
        // The first of its hour, day, week: the state before whatever was done then.
        assert!(kept.contains(&(newest + 1 - 5 * 60)));
        assert!(kept.contains(&(45 * 24 * 60)));
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
