//! `receive` and `count`: what comes into the shed, and what is there.

use super::args::{CountArgs, ReceiveArgs};
use super::season_at::{At, Opened, edit_failure};
use super::{Exit, Failure};
use crate::domain::season::{MaterialId, edit};
use crate::domain::units::Amount;
use std::io::Write;

fn material(opened: &Opened, text: &str) -> Result<MaterialId, Failure> {
    let wanted = text.trim().to_lowercase();
    let materials = &opened.season.materials;
    let found = materials
        .iter()
        .find(|m| m.id.as_str().to_lowercase() == wanted || m.name.to_lowercase() == wanted);
    found.map(|m| m.id.clone()).ok_or_else(|| {
        let known: Vec<&str> = materials.iter().map(|m| m.id.as_str()).collect();
        Failure::Input(format!(
            "there is no material '{text}'; the materials are: {}",
            known.join(", ")
        ))
    })
}

fn amount(text: &str) -> Result<Amount, Failure> {
    text.parse()
        .map_err(|e: crate::domain::units::UnitError| Failure::Input(e.to_string()))
}

/// Notes that a material came in.
pub fn receive(at: &At, args: &ReceiveArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = at.change()?;
    let id = material(&opened, &args.material)?;
    let day = opened.day_or_today(args.date.as_deref())?;
    let more = (args.lot.clone(), args.paid, args.note.clone());
    let after = edit::receive(&opened.season, &id, amount(&args.amount)?, day, more)
        .map_err(edit_failure)?;
    opened.save(after)?;
    let stock = opened.season.material(&id).and_then(|m| m.stock);
    let stock = stock.map_or_else(String::new, |s| format!("; in stock now {s}"));
    writeln!(out, "{id}: {} received {day}{stock}", args.amount)?;
    Ok(Exit::Fine)
}

/// Notes what was counted.
pub fn count(at: &At, args: &CountArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = at.change()?;
    let id = material(&opened, &args.material)?;
    let day = opened.day_or_today(args.date.as_deref())?;
    let after = edit::count(
        &opened.season,
        &id,
        amount(&args.amount)?,
        day,
        args.note.clone(),
    )
    .map_err(edit_failure)?;
    opened.save(after)?;
    let last = opened.season.shed.last();
    let differs = last.and_then(|e| Some((e.expected?, e.difference()?)));
    let words = differs.map_or_else(String::new, |(expected, difference)| {
        format!("; {expected} by receipts and records, differs by {difference}")
    });
    writeln!(out, "{id}: {} counted {day}{words}", args.amount)?;
    Ok(Exit::Fine)
}
