//! `hours` and `repeat`: fit hours for a spray, and a spray once more after wash-off.

use super::args::{HoursArgs, RepeatArgs};
use super::delay::write_changes;
use super::season_at::{At, Opened};
use super::{Exit, Failure};
use crate::domain::fit_hours::NextHours;
use crate::domain::hours::fits::Fits;
use crate::domain::hours::washoff;
use crate::domain::outlook::{gauge_against, gauge_mm, gauge_words, reckoned_mm};
use crate::domain::season::TaskKind;
use crate::report::hours::{HoursReport, json, text};
use crate::report::schemas;
use std::io::Write;

/// Prints a spray's hours, its windows, and what is asked of an hour.
pub fn run(at: &At, args: &HoursArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let opened = at.look()?;
    let id = opened.task_id(&args.task)?;
    let Some(task) = opened.season.task(&id) else {
        return Ok(Exit::Fine);
    };
    if task.kind != TaskKind::Spray || !task.state.is_open() {
        return Err(Failure::Input(format!(
            "'{}' is not an open spray: only such a one has fit hours",
            task.title
        )));
    }
    let fits = opened
        .fits
        .as_ref()
        .filter(|f| f.reach_ahead())
        .ok_or_else(|| {
            Failure::Input(
                "no hours of weather reach from today on; fetch a forecast with: barewood weather fetch, or bring in a file with: barewood weather add FILE".to_owned(),
            )
        })?;
    let Some(fit) = fits.of(&id) else {
        return Ok(Exit::Fine);
    };
    let outlook = opened.outlook();
    let (stretches, next) = outlook.standing(&id).map_or_else(
        || (Vec::new(), NextHours::None),
        |s| (s.stretches.clone(), s.hours.clone()),
    );
    let report = HoursReport {
        task,
        air: fits.air(),
        grid: &fit.grid,
        job: &fit.job,
        windows: &stretches,
        next: &next,
        units: opened.season.orchard.units,
        gauge: gauge(&opened),
    };
    if args.output.json {
        schemas::HOURS.write(&json(&report)?, out)?;
    } else {
        if let Some(fetched) = &opened.weather.fetched {
            writeln!(
                out,
                "Forecast {}, data of {}.",
                fetched.age_words(opened.moment()),
                fetched.credit
            )?;
        }
        write!(out, "{}", text(&report))?;
    }
    Ok(Exit::Fine)
}

/// The gauge of yesterday and today beside the weather on file, where they differ.
fn gauge(opened: &Opened) -> Option<String> {
    let air = opened.fits.as_ref().map(Fits::air);
    let reckoned = |day| reckoned_mm(&opened.estimates, air, day);
    let since = opened.today.pred_opt()?;
    let both = gauge_against(&gauge_mm(&opened.season), reckoned, since..=opened.today)?;
    let words = gauge_words(both, opened.season.orchard.units);
    Some(words.replace("; the gauge counts", " since yesterday"))
}

/// Plans a done spray once more.
pub fn repeat(at: &At, args: &RepeatArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = at.change()?;
    let id = opened.task_id(&args.task)?;
    let (after, new, words) = washoff::plan_repeat(
        &opened.season,
        &opened.estimates,
        opened.fits.as_ref(),
        &id,
        opened.today,
    )
    .map_err(|e| Failure::Input(e.to_string()))?;
    let before = opened.outlook();
    opened.save(after)?;
    writeln!(out, "{new}: {words}")?;
    write_changes(&before, &opened.outlook(), &[new], out)?;
    Ok(Exit::Fine)
}
