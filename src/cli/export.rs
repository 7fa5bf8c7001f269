//! `export`: calendar, tables, a printable page, everything as JSON.

use super::args::{ExportArgs, ExportForm};
use super::season_at::At;
use super::{Exit, Failure};
use crate::domain::phenology::stage::Stage;
use crate::report::season_page::{self, HeatAhead, HeatCurve, SeasonPage};
use crate::report::{calendar, csv_export, outlook_json};
use crate::store::disk::{Disk, Kind, RealDisk};
use crate::store::save::{self, Failed};
use crate::store::season_file::LARGEST_BYTES;
use chrono::Utc;
use std::io::Write;
use std::path::Path;

/// Writes what was asked for, to a file or to standard output.
pub fn run(at: &At, args: &ExportArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let opened = at.look()?;
    let table =
        |text: csv::Result<String>| text.map_err(|e| Failure::Write(std::io::Error::other(e)));
    let text = match args.form {
        ExportForm::Ics => calendar::ics(&opened.season, &opened.estimates, Utc::now()),
        ExportForm::Csv => table(csv_export::records(&opened.season))?,
        ExportForm::Materials => table(csv_export::materials_used(&opened.season))?,
        ExportForm::Json => outlook_json::json(
            &opened.season,
            &opened.estimates,
            &opened.outlook(),
            opened.now(),
        )?,
        ExportForm::Html => {
            let heat = heat(&opened);
            season_page::html(&SeasonPage {
                season: &opened.season,
                estimates: &opened.estimates,
                outlook: &opened.outlook(),
                heat: &heat,
                now: opened.now(),
            })
        }
    };
    match &args.to {
        Some(path) => write_file(path, &text, args.force)?,
        None => out.write_all(text.as_bytes())?,
    }
    Ok(Exit::Fine)
}

/// A heat curve for each kind of tree, from its first block.
fn heat(opened: &super::season_at::Opened) -> Vec<HeatCurve> {
    let mut kinds = Vec::new();
    let mut curves = Vec::new();
    for block in &opened.season.blocks {
        if kinds.contains(&block.species) {
            continue;
        }
        kinds.push(block.species);
        let Some(answer) = opened.estimates.answer(&block.id, Stage::Swell) else {
            continue;
        };
        let heat = &answer.heat;
        let known = heat.known_days.min(heat.median.len());
        let day = |i: usize| heat.first + chrono::TimeDelta::days(i as i64);
        let wide = |v: &f32| f64::from(*v);
        curves.push(HeatCurve {
            name: block.species.words().to_owned(),
            unit: heat.unit.to_owned(),
            seen: heat
                .median
                .iter()
                .take(known)
                .enumerate()
                .map(|(i, v)| (day(i), wide(v)))
                .collect(),
            ahead: heat
                .p10
                .iter()
                .zip(heat.median.iter())
                .zip(heat.p90.iter())
                .enumerate()
                .skip(known)
                .map(|(i, ((low, middle), high))| HeatAhead {
                    date: day(i),
                    low: wide(low),
                    middle: wide(middle),
                    high: wide(high),
                })
                .collect(),
            need: Some([heat.requirement.0, heat.requirement.1, heat.requirement.2].map(f64::from)),
        });
    }
    curves
}

/// All or nothing: an export never leaves half a file. It replaces one by its owner's word alone,
/// follows links to it, keeps its owner and mode, and never replaces a season.
fn write_file(path: &Path, text: &str, force: bool) -> Result<(), Failure> {
    let name = path.display();
    let disk = &RealDisk;
    let Ok(there) = disk.meta(path, false) else {
        let made = save::put_all_new(disk, &[(path.to_owned(), text.as_bytes())]);
        return made.map_err(|e| Failure::Disk(e.to_string()));
    };
    let real = disk.real_path(path).map_err(|e| {
        Failure::Disk(match there.kind {
            Kind::Link => format!("{name} is a link that leads nowhere"),
            _ => format!("{name}: {e}"),
        })
    })?;
    let old = disk
        .meta(&real, true)
        .map_err(|e| Failure::Disk(format!("{name}: {e}")))?;
    match old.kind {
        Kind::File => {}
        Kind::Folder => return Err(Failure::Disk(format!("{name} is a folder"))),
        Kind::Link | Kind::Special => {
            return Err(Failure::Disk(format!(
                "{name} is a pipe, socket or device; without --to the answer goes to standard output"
            )));
        }
    }
    let bytes = disk.read(&real, LARGEST_BYTES as u64).unwrap_or_default();
    if is_season(&bytes) {
        return Err(Failure::Disk(format!(
            "{name} is a season and is never replaced by an export; name another file"
        )));
    }
    if !force {
        return Err(Failure::Disk(format!(
            "{name} is there already and was left alone; name another file, or add --force"
        )));
    }
    save::put(disk, &real, text.as_bytes(), Some(&old), || {
        Ok::<(), Failed>(())
    })
    .map_err(|e| Failure::Disk(e.to_string()))
}

/// Is this a season, whole or with mistakes in it?
fn is_season(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    let begins = |key: &str| text.lines().any(|line| line.trim_start().starts_with(key));
    begins("format =") && begins("[orchard]")
}
