//! `merge`: another copy of the season, or work that was kept, joined item by item.

use super::args::MergeArgs;
use super::season_at::{At, Opened};
use super::{Exit, Failure, told};
use crate::domain::harmless::Shown;
use crate::domain::season::Season;
use crate::report::wrap::wrapped;
use crate::store::compare::differences;
use crate::store::disk::{Disk, RealDisk};
use crate::store::merge::{self, Collision, Kept, Merged, Side};
use crate::store::save::{self, Failed};
use crate::store::season_file::{self, LARGEST_BYTES, Loaded};
use crate::store::session;
use std::io::Write;
use std::path::Path;

/// Joins another copy.
pub fn run(at: &At, args: &MergeArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    if let [base, ours, theirs] = args.driver.as_slice() {
        return driver(base, ours, theirs);
    }
    let Some(other) = &args.other else {
        return Err(Failure::Input(
            "which copy? barewood merge OTHER.toml".to_owned(),
        ));
    };
    let mut opened = at.change()?;
    let stands = if args.theirs {
        Side::Ours
    } else {
        Side::Theirs
    };
    let session = opened
        .session
        .as_ref()
        .ok_or_else(|| Failure::Input("the practice season is not written".to_owned()))?;
    let named = other.to_string_lossy();
    let kept = session
        .recovered()
        .iter()
        .find(|k| k.id() == named)
        .cloned();
    let (merged, from) = match &kept {
        Some(kept) => (
            session
                .join_recovered(kept, &opened.season)
                .map_err(Failure::Input)?,
            String::new(),
        ),
        None => {
            let theirs = read(other)?.season;
            joined(&opened, &theirs, args.base.as_deref(), stands)?
        }
    };
    let came = differences(&opened.season, &merged.season);
    if came.is_empty() {
        writeln!(out, "Nothing to join: all of it is in the season.")?;
    } else {
        opened.save(merged.season)?;
        writeln!(out, "Joined{from}:")?;
        lines(out, came.iter().map(ToString::to_string))?;
    }
    let left_out: Vec<&Collision> = merged
        .collisions
        .iter()
        .filter(|c| c.kept != Kept::Both)
        .collect();
    if !merged.collisions.is_empty() {
        writeln!(
            out,
            "Both changed (here: this season, there: the other copy):"
        )?;
        // A collision is told from the side of the other copy.
        lines(out, merged.collisions.iter().map(words))?;
    }
    if let (Some(kept), true) = (kept, left_out.is_empty())
        && let Some(session) = &mut opened.session
        && let Some(path) = session::kept_path(session, &kept.id())
    {
        session.discard_recovered(&path);
    }
    Ok(if left_out.is_empty() {
        Exit::Fine
    } else {
        Exit::Warned
    })
}

fn words(collision: &Collision) -> String {
    let kept = match collision.kept {
        Kept::Ours => "there stands",
        Kept::Theirs => "here stands",
        Kept::Both => "both are kept",
    };
    format!(
        "{} {}: here {}, there {}; {kept}",
        collision.item, collision.field, collision.theirs, collision.ours
    )
}

fn lines(out: &mut dyn Write, lines: impl Iterator<Item = String>) -> Result<(), Failure> {
    for line in lines {
        write!(out, "{}", wrapped(&format!("  {}", Shown::line(&line)), 4))?;
    }
    Ok(())
}

fn read(path: &Path) -> Result<Loaded, Failure> {
    let name = path.display().to_string();
    let bytes = RealDisk
        .read(path, LARGEST_BYTES as u64)
        .map_err(|e| Failure::Disk(format!("{name}: {e}")))?;
    season_file::read_bytes(&bytes, &name).map_err(|e| Failure::Input(e.to_string()))
}

/// Two copies joined, on the version named, else on the earlier version that is likest to the
/// other copy.
fn joined(
    opened: &Opened,
    theirs: &Season,
    base: Option<&Path>,
    stands: Side,
) -> Result<(Merged, String), Failure> {
    let now = &opened.season;
    if let Some(base) = base {
        let base = read(base)?.season;
        return Ok((merge::onto(&base, now, theirs, stands), String::new()));
    }
    let backups = opened.session.as_ref().map(session::Session::backups);
    let likest = backups
        .unwrap_or_default()
        .into_iter()
        .filter_map(|backup| {
            let season = read(&backup.path).ok()?.season;
            Some((differences(&season, theirs).len(), season, backup))
        })
        .min_by_key(|(count, _, _)| *count);
    Ok(match likest {
        Some((count, season, backup)) if count < differences(now, theirs).len() => {
            let from = backup
                .replaced
                .and_utc()
                .with_timezone(&now.orchard.time_zone);
            (
                merge::onto(&season, now, theirs, stands),
                format!(", from the version of {}", from.format("%Y-%m-%d %H:%M")),
            )
        }
        _ => (merge::without_base(now, theirs, stands), String::new()),
    })
}

/// A merge driver of git: exit code 0 where all went together, else 1 and the places on standard
/// error; ours stands there.
fn driver(base: &Path, ours: &Path, theirs: &Path) -> Result<Exit, Failure> {
    let (base, mine, other) = (read(base)?, read(ours)?, read(theirs)?);
    let merged = merge::merge(&base.season, &mine.season, &other.season);
    let old = RealDisk
        .read(ours, LARGEST_BYTES as u64)
        .map_err(|e| Failure::Disk(format!("{}: {e}", ours.display())))?;
    let text = mine
        .migrated
        .unwrap_or_else(|| String::from_utf8_lossy(&old).into_owned());
    let text = season_file::write(&text, &mine.season, &merged.season)
        .map_err(|e| Failure::Input(e.to_string()))?;
    let meta = RealDisk
        .meta(ours, true)
        .map_err(|e| Failure::Disk(format!("{}: {e}", ours.display())))?;
    save::put(&RealDisk, ours, text.as_bytes(), Some(&meta), || {
        Ok::<(), Failed>(())
    })
    .map_err(|e| Failure::Disk(e.to_string()))?;
    for collision in &merged.collisions {
        writeln!(told(), "barewood: {collision}")?;
    }
    let collided = merged.collisions.iter().any(|c| c.kept != Kept::Both);
    Ok(if collided { Exit::Warned } else { Exit::Fine })
}
