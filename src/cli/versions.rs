//! `versions`: earlier versions of a season, what differs between them, and the way back.

use super::args::{VersionsArgs, VersionsWhat};
use super::season_at::{At, Opened};
use super::{Exit, Failure};
use crate::domain::harmless::Shown;
use crate::domain::records;
use crate::domain::season::Season;
use crate::report::wrap::wrapped;
use crate::store::backups::Backup;
use crate::store::compare::{differences, in_short};
use crate::store::recovery::Recovered;
use crate::store::season_file::{self, LARGEST_BYTES};
use crate::store::session::Session;
use crate::store::{disk::Disk, disk::RealDisk, writers};
use chrono::{NaiveDateTime, NaiveTime, TimeZone, Utc};
use std::io::Write;

/// So many changes are named in a line of the list.
const NAMED: usize = 2;

/// Lists, compares, restores.
pub fn run(at: &At, args: &VersionsArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    match &args.what {
        None => list(at, out),
        Some(VersionsWhat::Show { from, to }) => show(at, from, to, out),
        Some(VersionsWhat::Restore { which }) => restore(at, which, out),
        Some(VersionsWhat::Drop { kept }) => drop_kept(at, kept, out),
    }
}

fn session(opened: &Opened) -> Result<&Session, Failure> {
    opened
        .session
        .as_ref()
        .ok_or_else(|| Failure::Input("the practice season has no versions".to_owned()))
}

/// The name of a version: when it was replaced, and a number where a second saw several.
fn name(backup: &Backup) -> String {
    backup
        .path
        .file_stem()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned()
}

fn read(text: &[u8], name: &str, like: &Season) -> Option<Season> {
    season_file::read_bytes_beside(text, name, &like.shared_targets)
        .ok()
        .map(|loaded| loaded.season)
}

fn list(at: &At, out: &mut dyn Write) -> Result<Exit, Failure> {
    let opened = at.look()?;
    let session = session(&opened)?;
    let zone = opened.season.orchard.time_zone;
    for kept in session.recovered() {
        let words = match session.join_recovered(kept, &opened.season) {
            Ok(joined) => in_short(&differences(&opened.season, &joined.season), NAMED),
            Err(_) => "it cannot be read".to_owned(),
        };
        write!(
            out,
            "{}",
            wrapped(
                &format!(
                    "kept {}, not saved: {}; {}",
                    kept.when(zone),
                    Shown::line(&words),
                    kept.id()
                ),
                5
            )
        )?;
    }
    let mut after = opened.season.clone();
    let all = session.backups();
    if all.is_empty() {
        writeln!(
            out,
            "No earlier versions: the season has not been changed yet."
        )?;
    }
    for (i, backup) in all.iter().enumerate() {
        let bytes = RealDisk
            .read(&backup.path, LARGEST_BYTES as u64)
            .unwrap_or_default();
        let by = writers::of(&RealDisk, session.file(), &bytes);
        let words = match read(&bytes, "version", &opened.season) {
            Some(before) => {
                let words = in_short(&differences(&before, &after), NAMED);
                after = before;
                words
            }
            None => "it cannot be read".to_owned(),
        };
        let by = by.map_or_else(String::new, |by| format!(" ({by})"));
        write!(
            out,
            "{}",
            wrapped(
                &format!(
                    "{:>3}  until {}{by}; then: {}",
                    i + 1,
                    backup
                        .replaced
                        .and_utc()
                        .with_timezone(&zone)
                        .format("%a %-d %b %H:%M:%S"),
                    Shown::line(&words),
                ),
                5
            )
        )?;
    }
    Ok(Exit::Fine)
}

/// A version by what it is called.
enum Found<'s> {
    Now,
    Earlier(&'s Backup),
    Kept(&'s Recovered),
}

fn find<'s>(
    all: &'s [Backup],
    kept: &'s [Recovered],
    named: &str,
    opened: &Opened,
) -> Result<Found<'s>, Failure> {
    let named = named.trim();
    if named == "now" {
        return Ok(Found::Now);
    }
    if let Some(kept) = kept.iter().find(|k| k.id() == named) {
        return Ok(Found::Kept(kept));
    }
    let by_number = named.parse::<usize>().ok();
    let by_number = by_number.and_then(|n| all.get(n.checked_sub(1)?));
    let by_name = || all.iter().find(|b| name(b) == named);
    // As it stood at that time: the first that was replaced later.
    let by_time = || {
        let time = time_of(named, opened)?;
        all.iter().rev().find(|b| b.replaced > time)
    };
    if let Some(found) = by_number.or_else(by_name).or_else(by_time) {
        return Ok(Found::Earlier(found));
    }
    if time_of(named, opened).is_some() && !all.is_empty() {
        return Ok(Found::Now);
    }
    Err(Failure::Input(format!(
        "there is no version '{named}'; barewood versions lists them"
    )))
}

/// A time as written, by the orchard's clock, in universal time; a time of day is one of today.
fn time_of(text: &str, opened: &Opened) -> Option<NaiveDateTime> {
    let today = opened.today;
    let clock = ["%H:%M:%S", "%H:%M"]
        .iter()
        .find_map(|form| NaiveTime::parse_from_str(text, form).ok())
        .or_else(|| (text == "this morning").then(|| NaiveTime::from_hms_opt(6, 0, 0))?)
        .map(|time| today.and_time(time));
    let whole = || {
        ["%Y-%m-%dT%H:%M:%S", "%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M"]
            .iter()
            .find_map(|form| NaiveDateTime::parse_from_str(text, form).ok())
    };
    let local = clock.or_else(whole)?;
    let zone = opened.season.orchard.time_zone;
    let at = zone.from_local_datetime(&local).earliest()?;
    Some(at.with_timezone(&Utc).naive_utc())
}

fn season_of(found: &Found<'_>, opened: &Opened) -> Result<Season, Failure> {
    let unreadable = |what: String| Failure::Input(format!("{what} cannot be read as a season"));
    match found {
        Found::Now => Ok(opened.season.clone()),
        Found::Kept(kept) => read(kept.text.as_bytes(), &kept.id(), &opened.season)
            .ok_or_else(|| unreadable(kept.id())),
        Found::Earlier(backup) => {
            let bytes = RealDisk
                .read(&backup.path, LARGEST_BYTES as u64)
                .map_err(|e| Failure::Disk(format!("{}: {e}", backup.path.display())))?;
            read(&bytes, &name(backup), &opened.season).ok_or_else(|| unreadable(name(backup)))
        }
    }
}

fn show(at: &At, from: &str, to: &str, out: &mut dyn Write) -> Result<Exit, Failure> {
    let opened = at.look()?;
    let session = session(&opened)?;
    let (all, kept) = (session.backups(), session.recovered());
    let season = |named: &str| season_of(&find(&all, kept, named, &opened)?, &opened);
    let (before, after) = (season(from)?, season(to)?);
    let found = differences(&before, &after);
    if found.is_empty() {
        writeln!(out, "Nothing differs.")?;
    }
    for difference in found {
        write!(
            out,
            "{}",
            wrapped(Shown::line(&difference.to_string()).as_str(), 2)
        )?;
    }
    Ok(Exit::Fine)
}

fn restore(at: &At, named: &str, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = at.change()?;
    let session = session(&opened)?;
    let (all, kept) = (session.backups(), session.recovered().to_vec());
    let found = find(&all, &kept, named, &opened)?;
    if let Found::Kept(kept) = found {
        return Err(Failure::Input(format!(
            "{0} is work that was not saved; barewood merge {0} joins it",
            kept.id()
        )));
    }
    let version = season_of(&found, &opened)?;
    let now = opened.season.clone();
    // What was applied stays on record, and is taken back in words.
    let after = records::undone(&now, version, now.records.len(), opened.today);
    let found = differences(&now, &after);
    if found.is_empty() {
        writeln!(out, "Nothing differs: the season is as it was then.")?;
        return Ok(Exit::Fine);
    }
    opened.save(after)?;
    writeln!(
        out,
        "Restored; the season as it was until now is a version."
    )?;
    for difference in found {
        write!(
            out,
            "{}",
            wrapped(&format!("  {}", Shown::line(&difference.to_string())), 4)
        )?;
    }
    Ok(Exit::Fine)
}

fn drop_kept(at: &At, named: &str, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = at.look()?;
    let session = opened
        .session
        .as_mut()
        .ok_or_else(|| Failure::Input("the practice season has no versions".to_owned()))?;
    let Some(path) = crate::store::session::kept_path(session, named) else {
        return Err(Failure::Input(format!(
            "nothing is kept under the name '{named}'; barewood versions lists what is"
        )));
    };
    session.discard_recovered(&path);
    writeln!(out, "Dropped {named}.")?;
    Ok(Exit::Fine)
}
