//! `check --file`: the season file, its weather, kept work and earlier versions; `--mend`
//! writes a mended copy beside it.

use super::args::CheckArgs;
use super::season_at::At;
use super::{Exit, Failure};
use crate::domain::zone::Zone;
use crate::store::disk::{Disk, RealDisk};
use crate::store::mend::{Mended, mend};
use crate::store::places::Places;
use crate::store::{backups, recovery, season_file, season_weather};
use std::io::Write;
use std::path::{Path, PathBuf};

/// Says what is wrong with a season on the disk, and what can be done; exit 1 if anything is.
pub fn run(at: &At, args: &CheckArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let disk = RealDisk;
    let path = at.path().ok_or_else(|| {
        Failure::Input("there is no season file yet; begin one with: barewood start".to_owned())
    })?;
    let bytes = disk
        .read(&path, season_file::LARGEST_BYTES as u64)
        .map_err(|e| Failure::Disk(format!("{}: {e}", path.display())))?;
    let name = path.display().to_string();
    let mut sound = true;
    match season_file::read_bytes(&bytes, &name) {
        Ok(loaded) => {
            writeln!(
                out,
                "{name}: reads, {} blocks, {} tasks, {} records.",
                loaded.season.blocks.len(),
                loaded.season.tasks.len(),
                loaded.season.records.len()
            )?;
            for note in &loaded.notes {
                writeln!(out, "  note: {note}")?;
            }
            let folder = path.parent().unwrap_or(Path::new("."));
            let weather = season_weather::load(&loaded.season, folder, None);
            for fault in &weather.lost {
                sound = false;
                writeln!(out, "Weather: {fault}")?;
            }
            let days = weather.daily.as_ref().map_or(0, |d| d.len());
            let hours = weather.hourly.as_ref().map_or(0, |h| h.len());
            if weather.lost.is_empty() {
                writeln!(out, "Weather: reads, {days} days, {hours} hours.")?;
            } else {
                writeln!(
                    out,
                    "  {days} days and {hours} hours read in all; the season opens without the rest.\n  do: bring the file in again with: barewood weather add FILE"
                )?;
            }
        }
        Err(problems) => {
            sound = false;
            writeln!(out, "{problems}")?;
            let hint = if args.mend {
                ""
            } else {
                "; --mend writes a mended copy beside it"
            };
            writeln!(out, "  do: mend these places with any editor{hint}.")?;
        }
    }
    around(&disk, &path, out)?;
    if args.mend && !sound {
        write_mended(&disk, &path, &bytes, out)?;
    }
    Ok(if sound { Exit::Fine } else { Exit::Warned })
}

/// Work kept aside, earlier versions.
fn around(disk: &RealDisk, path: &Path, out: &mut dyn Write) -> Result<(), Failure> {
    let real = disk.real_path(path).unwrap_or_else(|_| path.to_owned());
    if let Some(places) = Places::find() {
        for found in recovery::all(disk, &places.state, &real) {
            writeln!(
                out,
                "Unsaved work of {} UTC lies in {}.",
                found.when(Zone::UTC),
                found.path.display()
            )?;
        }
    }
    let kept = backups::list(disk, path);
    match kept.first() {
        Some(newest) => writeln!(
            out,
            "Earlier versions: {}, newest {}.",
            kept.len(),
            newest.path.display()
        )?,
        None => writeln!(out, "Earlier versions: none.")?,
    }
    Ok(())
}

fn write_mended(
    disk: &RealDisk,
    path: &Path,
    bytes: &[u8],
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let text = String::from_utf8_lossy(bytes);
    let Some(mended) = mend(disk, path, &text) else {
        return Err(Failure::Input(
            "it cannot be mended, and no earlier version reads; nothing was written".to_owned(),
        ));
    };
    let place = free_place(path);
    let text = match &mended {
        Mended::PutAside { text, lines } => {
            writeln!(out, "Put aside as comments, nothing is lost:")?;
            for (line, held) in lines {
                writeln!(out, "  line {line}: {}", crate::tui::text::clean(held))?;
            }
            text
        }
        Mended::Earlier { text, path } => {
            writeln!(
                out,
                "Its own text cannot be mended; this is the earlier version {}.",
                path.display()
            )?;
            text
        }
    };
    let write = || -> std::io::Result<()> {
        let mut file = std::fs::File::create_new(&place)?;
        file.write_all(text.as_bytes())?;
        file.sync_all()
    };
    write().map_err(|e| Failure::Disk(format!("{}: {e}", place.display())))?;
    writeln!(
        out,
        "Mended copy: {}. Look at it, then open it with: barewood --season {}",
        place.display(),
        place.display()
    )?;
    Ok(())
}

/// A name beside the file that nothing has yet: `season.mended.toml`, `season.mended-2.toml`.
fn free_place(path: &Path) -> PathBuf {
    let stem = path
        .file_stem()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned();
    (1..10_000)
        .map(|n| {
            let number = if n == 1 {
                String::new()
            } else {
                format!("-{n}")
            };
            path.with_file_name(format!("{stem}.mended{number}.toml"))
        })
        .find(|p| !p.exists())
        .unwrap_or_else(|| path.with_extension("mended.toml"))
}
