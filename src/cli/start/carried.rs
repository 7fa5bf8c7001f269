//! The season after an earlier one: what is carried, what is asked, what was skipped.

use super::super::Failure;
use super::super::args::StartArgs;
use super::super::season_at::At;
use super::earliest_swell;
use crate::domain::next_season::{self, StageSeen};
use crate::domain::outlook::Estimates;
use crate::domain::phenology::stage::Stage;
use crate::domain::season::starter::tasks_again;
use crate::domain::season::{BlockId, Season};
use crate::store::disk::RealDisk;
use crate::store::places::Places;
use crate::store::session::{Mode, Session};
use crate::store::{season_weather, whole};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// The season after an earlier one.
pub(super) fn season(
    at: &At,
    args: &StartArgs,
    from: &str,
    places: Option<&Places>,
) -> Result<(Season, Vec<String>), Failure> {
    let path = if from == "last" {
        places
            .and_then(|p| p.latest_season(&RealDisk))
            .ok_or_else(|| {
                Failure::Input(
                    "there is no earlier season in the data folder; name its file with --from FILE"
                        .to_owned(),
                )
            })?
    } else {
        PathBuf::from(from)
    };
    let session = Session::open(Arc::new(RealDisk), None, &path, Mode::ReadOnly)
        .map_err(|e| Failure::from_open(&e))?;
    let last = session.season().clone();
    let leaf_drop_expected =
        super::super::season_at::iso_day(args.leaf_drop.as_deref(), "--leaf-drop")?;
    let seen = args
        .seen
        .iter()
        .map(|t| stage_seen(&last, t))
        .collect::<Result<Vec<_>, _>>()?;
    let answers = next_season::Answers {
        name: None,
        leaf_drop_expected,
        seen,
        lessons: args.lesson.clone(),
    };
    let carried =
        next_season::from_last(&last, &answers).map_err(|e| Failure::Input(e.to_string()))?;
    let mut season = carried.season;
    let mut notes = carried.notes;
    notes.extend(next_season::skipped(&last));
    for ask in next_season::asks(&last) {
        if !answers
            .seen
            .iter()
            .any(|s| s.block == ask.block && s.stage == ask.stage)
        {
            let proposed = ask
                .proposed
                .map_or_else(String::new, |d| format!(" (your looks suggest about {d})"));
            notes.push(format!(
                "when did {} reach {}{proposed}? add it with --seen {}:{}:DATE; each date sharpens the estimate",
                ask.name,
                ask.stage.words(),
                ask.block,
                ask.stage.words().replace(' ', "-"),
            ));
        }
    }
    let folder = session.folder();
    let target = match (at.season.as_deref(), places) {
        (Some(path), _) => path.parent().map(|p| {
            if p.as_os_str().is_empty() {
                PathBuf::from(".")
            } else {
                p.to_path_buf()
            }
        }),
        (None, Some(places)) => Some(places.seasons.clone()),
        (None, None) => None,
    };
    carry_weather(&mut season, &folder, target.as_deref(), &mut notes);
    let weather = season_weather::load(&last, &folder, None);
    let today = season.dates.leaf_drop_expected;
    let swell_of = |s: &Season, day| earliest_swell(&Estimates::compute(s, &weather, day));
    let was = last
        .dates
        .leaf_drop_seen
        .unwrap_or(last.dates.leaf_drop_expected);
    if let (Some(old), Some(new)) = (swell_of(&last, was), swell_of(&season, today)) {
        season.tasks = tasks_again(&last, old, &season, new);
    }
    Ok((season, notes))
}

/// Weather files are named relative to the season file: where the new one lies in another folder
/// they are copied beside it, and what cannot be copied is said and left out.
fn carry_weather(season: &mut Season, old: &Path, new: Option<&Path>, notes: &mut Vec<String>) {
    let same = new.is_some_and(|new| {
        let whole = |p: &Path| p.canonicalize().ok();
        whole(new).is_some() && whole(new) == whole(old)
    });
    let Some(new) = new.filter(|_| !same) else {
        return;
    };
    let allow_outside = season.weather.allow_outside;
    let mut copied = 0;
    let mut copy = |names: &mut Vec<String>| {
        names.retain_mut(|name| {
            let is_plain = Path::new(name.as_str())
                .components()
                .all(|c| matches!(c, std::path::Component::Normal(_)));
            if !is_plain {
                // A path of its own: as it leads somewhere, or nowhere, it stays.
                return allow_outside && Path::new(name.as_str()).is_absolute();
            }
            let from = old.join(&*name);
            match copy_beside(&from, new, name) {
                Ok(kept_as) => {
                    copied += 1;
                    *name = kept_as;
                    true
                }
                Err(fault) => {
                    notes.push(format!(
                        "weather file {name} was not taken along ({}); bring it in with: barewood weather add {}",
                        fault.kind(),
                        from.display()
                    ));
                    false
                }
            }
        });
    };
    copy(&mut season.weather.daily);
    copy(&mut season.weather.hourly);
    if copied > 0 {
        notes.push(format!(
            "{copied} weather files were copied from {} to {}",
            old.display(),
            new.display()
        ));
    }
}

/// Copies a file into a folder under its name, or one like it where another file has that.
fn copy_beside(from: &Path, folder: &Path, name: &str) -> std::io::Result<String> {
    let bytes = whole::read_plain(from)?;
    let (stem, ending) = name.split_once('.').unwrap_or((name, ""));
    for number in 1..1000 {
        let kept_as = match number {
            1 => name.to_owned(),
            n => format!("{stem}-{n}.{ending}"),
        };
        let to = folder.join(&kept_as);
        match whole::read_plain(&to) {
            Ok(there) if there == bytes => return Ok(kept_as),
            Ok(_) => {}
            Err(_) => {
                if let Some(parent) = to.parent() {
                    std::fs::create_dir_all(parent)?;
                }
                whole::put(&to, &bytes)?;
                return Ok(kept_as);
            }
        }
    }
    Err(std::io::Error::from(std::io::ErrorKind::AlreadyExists))
}

/// `block:stage:date`, with the stage in words joined by hyphens.
fn stage_seen(last: &Season, text: &str) -> Result<StageSeen, Failure> {
    let wrong = |why: &str| {
        Failure::Input(format!(
            "--seen {text}: {why}; write block:stage:date, for instance peaches:swell:2027-03-14"
        ))
    };
    let mut parts = text.splitn(3, ':');
    let (Some(block), Some(stage), Some(date)) = (parts.next(), parts.next(), parts.next()) else {
        return Err(wrong("three parts are needed"));
    };
    let block = BlockId::from(block);
    if last.block(&block).is_none() {
        return Err(wrong("there is no such block"));
    }
    Ok(StageSeen {
        block,
        stage: Stage::from_text(&stage.replace('-', " "))
            .ok_or_else(|| wrong("there is no such stage"))?,
        date: date.parse().map_err(|_| wrong("there is no such day"))?,
    })
}
