//! A file that an answer is written to by its owner's wish.

use crate::store::disk::{Disk, Kind, RealDisk};
use crate::store::save::{self, Failed};
use crate::store::season_file::LARGEST_BYTES;
use std::path::Path;

/// What may be replaced.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Replace {
    /// A calendar that this program wrote before.
    OwnCalendar,
    /// Any file that is no season.
    Anything,
}

/// Puts a text into a file, all or nothing. It replaces one by its owner's word alone, follows
/// links to it, keeps its owner and mode, and never replaces a season. The words of an error say
/// what stands in the way.
pub(super) fn put_file(path: &Path, text: &str, replace: Replace) -> Result<(), String> {
    let name = path.display();
    let disk = &RealDisk;
    let Ok(there) = disk.meta(path, false) else {
        let made = save::put_all_new(disk, &[(path.to_owned(), text.as_bytes())]);
        return made.map_err(|e| e.to_string());
    };
    let real = disk.real_path(path).map_err(|e| match there.kind {
        Kind::Link => format!("{name} is a link that leads nowhere"),
        _ => format!("{name}: {e}"),
    })?;
    let old = disk.meta(&real, true).map_err(|e| format!("{name}: {e}"))?;
    match old.kind {
        Kind::File => {}
        Kind::Folder => return Err(format!("{name} is a folder")),
        Kind::Link | Kind::Special => {
            return Err(format!(
                "{name} is a pipe, socket or device; without --to the answer goes to standard output"
            ));
        }
    }
    let bytes = disk.read(&real, LARGEST_BYTES as u64).unwrap_or_default();
    if is_season(&bytes) {
        return Err(format!(
            "{name} is a season and is never replaced by an export; name another file"
        ));
    }
    // A calendar that is exported again to its own file is kept fresh.
    if replace == Replace::OwnCalendar && !is_our_calendar(&bytes) {
        return Err(format!(
            "{name} is there already and was left alone; name another file"
        ));
    }
    save::put(disk, &real, text.as_bytes(), Some(&old), || {
        Ok::<(), Failed>(())
    })
    .map_err(|e| e.to_string())
}

/// Is this a calendar that this program wrote?
fn is_our_calendar(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    text.starts_with("BEGIN:VCALENDAR") && text.contains("PRODID:-//barewood//")
}

/// Is this a season, whole or with mistakes in it?
fn is_season(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    let begins = |key: &str| text.lines().any(|line| line.trim_start().starts_with(key));
    (begins("format =") || begins("format=")) && begins("[orchard]")
}
