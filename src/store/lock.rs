//! One writer at a time: a lock file beside the season file that says who.
//!
//! The lock is a courtesy between sessions, not the safety: a save compares
//! what is on the disk with what was read before it replaces anything.

use super::disk::{Disk, write_all};
use chrono::{DateTime, Local, Utc};
use std::fmt;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::Duration;

/// Who holds a season.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Holder {
    /// Its process.
    pub pid: u32,
    /// When that process started; tells it from a later one with the same number.
    pub started: u64,
    /// Its machine.
    pub host: String,
    /// Since when, RFC 3339.
    pub since: String,
    /// Tells two sessions of one process apart.
    pub session: u32,
}

/// How a lock stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing {
    /// Its session runs on this machine.
    Running(Holder),
    /// Its session has ended without taking it away.
    Stale(Holder),
    /// It is from another machine, which cannot be asked.
    OtherHost(Holder),
    /// It was cut short: a crash of the machine came before its words were on the disk.
    CutShort,
    /// It does not say who.
    Unclear,
}

impl fmt::Display for Standing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Running(h) => write!(
                f,
                "open in another session on this machine (process {}, since {})",
                h.pid,
                h.since_local()
            ),
            Self::Stale(h) => write!(
                f,
                "left locked by a session that ended (process {}, since {})",
                h.pid,
                h.since_local()
            ),
            Self::OtherHost(h) => write!(
                f,
                "open on another machine, {} (process {}, since {}); whether that session still runs cannot be seen from here",
                shown(&h.host),
                h.pid,
                h.since_local()
            ),
            Self::CutShort => f.write_str("left locked when the machine or its power went down"),
            Self::Unclear => f.write_str("locked by a file that does not say who holds it"),
        }
    }
}

fn shown(text: &str) -> String {
    crate::domain::units::shown(text)
}

impl Holder {
    fn since_local(&self) -> String {
        DateTime::parse_from_rfc3339(&self.since).map_or_else(
            |_| shown(&self.since),
            |t| t.with_timezone(&Local).format("%Y-%m-%d %H:%M").to_string(),
        )
    }

    fn here(disk: &dyn Disk) -> Self {
        static SESSIONS: AtomicU32 = AtomicU32::new(1);
        let pid = disk.pid();
        Self {
            pid,
            started: disk.process_started(pid).unwrap_or(0),
            host: disk.host(),
            since: DateTime::<Utc>::from(disk.now()).to_rfc3339(),
            session: SESSIONS.fetch_add(1, Ordering::Relaxed),
        }
    }

    fn text(&self) -> String {
        let quoted = |text: &str| toml_edit::Value::from(text).to_string();
        format!(
            "{HEAD}pid = {}\nstarted = {}\nhost = {}\nsince = {}\nsession = {}\n",
            self.pid,
            self.started,
            quoted(&self.host),
            quoted(&self.since),
            self.session
        )
    }

    fn parse(bytes: &[u8]) -> Option<Self> {
        let text = std::str::from_utf8(bytes).ok()?;
        let table: toml::Table = text.parse().ok()?;
        let number = |key: &str| table.get(key)?.as_integer();
        let word = |key: &str| Some(table.get(key)?.as_str()?.to_owned());
        Some(Self {
            pid: u32::try_from(number("pid")?).ok()?,
            started: u64::try_from(number("started")?).ok()?,
            host: word("host")?,
            since: word("since")?,
            session: u32::try_from(number("session")?).ok()?,
        })
    }
}

/// How a lock file begins.
const HEAD: &str = "# This season is open. The file goes away when it is closed.\n";

/// How old a lock that says nothing must be to count as left behind: one that is being written
/// just now says who within this time.
const WRITTEN_BY: Duration = Duration::from_secs(2);

/// Are these the first bytes of a lock of ours, or none, and no more? What had not reached the
/// disk is missing or zero.
fn is_cut(bytes: &[u8]) -> bool {
    let length = bytes
        .iter()
        .rposition(|b| *b != 0)
        .map_or(0, |last| last + 1);
    let kept = bytes.get(..length).unwrap_or_default();
    HEAD.as_bytes().starts_with(kept) || kept.starts_with(HEAD.as_bytes())
}

/// A lock that is held; [`Lock::release`] takes it away.
#[derive(Debug)]
pub struct Lock {
    path: PathBuf,
    holder: Holder,
}

/// How often a lock that goes away meanwhile is tried again.
const ROUNDS: usize = 100;

/// The largest lock file looked into.
const MOST: u64 = 4096;

/// The lock file of a season: `season.toml.lock`.
pub fn path(season: &Path) -> PathBuf {
    let mut name = season.file_name().unwrap_or_default().to_owned();
    name.push(".lock");
    season.with_file_name(name)
}

/// How the lock of a season stands; `None` if there is none.
///
/// # Errors
/// Where the lock file is there and cannot be read.
pub fn standing(disk: &dyn Disk, season: &Path) -> io::Result<Option<Standing>> {
    let path = path(season);
    let bytes = match disk.read(&path, MOST) {
        Ok(bytes) => bytes,
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(e) => return Err(e),
    };
    let Some(holder) = Holder::parse(&bytes) else {
        let written = disk.meta(&path, true)?.modified;
        let is_old = disk
            .now()
            .duration_since(written)
            .is_ok_and(|age| age >= WRITTEN_BY);
        return Ok(Some(if is_old && is_cut(&bytes) {
            Standing::CutShort
        } else {
            Standing::Unclear
        }));
    };
    if holder.host != disk.host() {
        return Ok(Some(Standing::OtherHost(holder)));
    }
    let runs = match disk.process_started(holder.pid) {
        None => false,
        // Where start times are not told, a process with this number counts.
        Some(started) => started == holder.started || started == 0 || holder.started == 0,
    };
    Ok(Some(if runs {
        Standing::Running(holder)
    } else {
        Standing::Stale(holder)
    }))
}

/// What taking a lock came to.
#[derive(Debug)]
pub enum Taken {
    /// It is held now; what stood there before, if it was stale.
    Held(Lock, Option<Standing>),
    /// Somebody has it.
    Busy(Standing),
}

/// Takes the lock. A stale lock is replaced, any other only with `over`.
///
/// # Errors
/// Where no lock file can be made: a folder that cannot be written to.
pub fn take(disk: &dyn Disk, season: &Path, over: bool) -> io::Result<Taken> {
    let path = path(season);
    let holder = Holder::here(disk);
    let temp = temp(&path, &holder);
    write(disk, &temp, &holder)?;
    let mut before = None;
    let mut result = Ok(false);
    // More than one round only if a lock goes away just then.
    for _ in 0..ROUNDS {
        // A link appears whole or not at all, and never over another name.
        let made = match disk.link(&temp, &path) {
            Err(e) if e.kind() != io::ErrorKind::AlreadyExists => write(disk, &path, &holder),
            made => made,
        };
        match made {
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {}
            made => {
                result = made.map(|()| true);
                break;
            }
        }
        match standing(disk, season) {
            Ok(None) => {}
            Ok(Some(stands)) => {
                if over || matches!(stands, Standing::Stale(_) | Standing::CutShort) {
                    result = disk.rename(&temp, &path).map(|()| true);
                }
                before = Some(stands);
                break;
            }
            Err(e) => {
                result = Err(e);
                break;
            }
        }
    }
    let _ = disk.remove(&temp);
    match (result?, before) {
        (true, before) => Ok(Taken::Held(Lock { path, holder }, before)),
        (false, Some(stands)) => Ok(Taken::Busy(stands)),
        (false, None) => Ok(Taken::Busy(Standing::Unclear)),
    }
}

fn temp(path: &Path, holder: &Holder) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!(".{name}.{}-{}", holder.pid, holder.session))
}

fn write(disk: &dyn Disk, path: &Path, holder: &Holder) -> io::Result<()> {
    let text = holder.text();
    let mut file = disk.create_new(path, 0o644)?;
    write_all(&mut *file, text.as_bytes()).inspect_err(|_| {
        let _ = disk.remove(path);
    })
}

impl Lock {
    /// Is it still ours? If not, how it stands now.
    ///
    /// # Errors
    /// Where the lock file cannot be read.
    pub fn is_ours(&self, disk: &dyn Disk) -> io::Result<bool> {
        match disk.read(&self.path, MOST) {
            Ok(bytes) => Ok(Holder::parse(&bytes).as_ref() == Some(&self.holder)),
            Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(false),
            Err(e) => Err(e),
        }
    }

    /// Takes the lock away, if it is still ours.
    pub fn release(&self, disk: &dyn Disk) {
        if self.is_ours(disk).unwrap_or(false) {
            let _ = disk.remove(&self.path);
        }
    }
}
