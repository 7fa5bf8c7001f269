//! `blocks`: what stands where, from a table and as one; sprayers and people with it.

use super::args::{BlocksArgs, BlocksWhat};
use super::season_at::{At, Opened, edit_failure};
use super::{Exit, Failure};
use crate::domain::outlook::{Estimates, swells_of_blocks};
use crate::domain::season::edit;
use crate::domain::season::table::{self, Taken};
use crate::domain::season::{BlockId, Season, replan};
use crate::store::rows;
use csv::{Terminator, WriterBuilder};
use std::io::Write;

/// Adds, splits, retires or prints blocks.
pub fn run(at: &At, args: &BlocksArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    match &args.what {
        BlocksWhat::Show { csv } => {
            let read = at.read_alone(crate::store::session::Mode::ReadOnly, false)?;
            write!(out, "{}", shown(&read.season, *csv)?)?;
        }
        BlocksWhat::Add {
            file,
            preview,
            replace,
        } => {
            let mut opened = if *preview { at.look()? } else { at.change()? };
            let rows = rows::read(file).map_err(Failure::Input)?;
            let taken = table::take_rows(&opened.season, &rows).map_err(|problems| {
                let lines: Vec<String> = problems
                    .iter()
                    .map(|p| format!("{}: {p}", file.display()))
                    .collect();
                Failure::Input(format!(
                    "{}\nNothing was changed: mend these rows and add the table again.",
                    lines.join("\n")
                ))
            })?;
            add(&mut opened, taken, (*preview, *replace), out)?;
        }
        BlocksWhat::Set { cells } => {
            let mut opened = at.change()?;
            let mut rows = [Vec::new(), Vec::new()];
            for cell in cells {
                let (head, value) = cell.split_once('=').ok_or_else(|| {
                    Failure::Input(format!("'{cell}': write a heading, = and its value"))
                })?;
                let [heads, values] = &mut rows;
                heads.push(head.to_owned());
                values.push(value.to_owned());
            }
            let taken = table::take_rows(&opened.season, &rows).map_err(|problems| {
                let lines = problems.iter().map(|p| format!("{}: {}", p.column, p.what));
                let lines: Vec<String> = lines.collect();
                Failure::Input(lines.join("\n").trim_start_matches(": ").to_owned())
            })?;
            if let Some(unknown) = taken.unknown.first() {
                return Err(Failure::Input(format!(
                    "'{unknown}' is no heading here; blocks show --csv prints them all"
                )));
            }
            add(&mut opened, taken, (false, false), out)?;
        }
        BlocksWhat::Split { block, name, trees } => {
            let mut opened = at.change()?;
            let id = one(&opened, block)?;
            let (after, new) =
                edit::split_block(&opened.season, &id, name, *trees).map_err(edit_failure)?;
            opened.save(after)?;
            writeln!(out, "{id} split: {new} has {trees} trees")?;
        }
        BlocksWhat::Retire { block } => {
            let mut opened = at.change()?;
            let id = one(&opened, block)?;
            let after = edit::retire_block(&opened.season, &id).map_err(edit_failure)?;
            let gone = opened.season.tasks.len() - after.tasks.len();
            opened.save(after)?;
            writeln!(
                out,
                "{id} retired; its records stay; {gone} open tasks for it alone are gone"
            )?;
        }
    }
    Ok(Exit::Fine)
}

fn one(opened: &Opened, text: &str) -> Result<BlockId, Failure> {
    let ids = opened.block_ids(&[text.to_owned()])?;
    match ids.as_slice() {
        [only] => Ok(only.clone()),
        _ => Err(Failure::Input(format!(
            "'{text}' names {} blocks; name one",
            ids.len()
        ))),
    }
}

fn add(
    opened: &mut Opened,
    mut taken: Taken,
    (preview, replace): (bool, bool),
    out: &mut dyn Write,
) -> Result<(), Failure> {
    // A plan nobody has touched yet is laid out for the new trees.
    let untouched = opened.season.records.is_empty()
        && swells_of_blocks(&opened.season, &opened.estimates).is_some_and(|swells| {
            replan::laid_out_anew(&opened.season, &swells, &swells).is_some()
        });
    if replace {
        let gone: Vec<BlockId> = taken
            .season
            .blocks
            .iter()
            .map(|b| b.id.clone())
            .filter(|id| !taken.blocks.contains(id))
            .collect();
        for id in gone {
            taken.season = edit::retire_block(&taken.season, &id).map_err(edit_failure)?;
            taken.changes.push(format!("retired: {id}"));
        }
    }
    if untouched && taken.season.blocks != opened.season.blocks {
        // The sprayer a first season is given makes way for one's own.
        let own = taken.season.sprayers.len() > opened.season.sprayers.len();
        if own {
            taken
                .season
                .sprayers
                .retain(|s| !s.calibration.is_empty() || opened.season.sprayer(&s.id).is_none());
        }
        let estimates = Estimates::compute(&taken.season, &opened.weather, opened.today);
        if let Some(swells) = swells_of_blocks(&taken.season, &estimates) {
            taken.season = replan::first_plan(&taken.season, &swells, opened.today);
            taken.changes.push(format!(
                "plan laid out anew: {} tasks",
                taken.season.tasks.len()
            ));
        }
    }
    for change in &taken.changes {
        writeln!(out, "{change}")?;
    }
    let unknown = &taken.unknown;
    if !unknown.is_empty() {
        writeln!(out, "not read, no meaning here: {}", unknown.join(", "))?;
    }
    if taken.same > 0 {
        writeln!(out, "{} rows as they were", taken.same)?;
    }
    let s = &taken.season;
    writeln!(
        out,
        "{} blocks, {} sprayers, {} people.",
        s.blocks.len(),
        s.sprayers.len(),
        s.people.len()
    )?;
    if preview {
        writeln!(out, "Preview only: nothing was changed.")?;
    } else {
        opened.save(taken.season)?;
    }
    Ok(())
}

fn shown(season: &Season, csv: bool) -> Result<String, Failure> {
    let rows = table::rows_of(season);
    if csv {
        let wide = rows.iter().map(Vec::len).max().unwrap_or(0);
        let mut out = WriterBuilder::new()
            .terminator(Terminator::CRLF)
            .from_writer(Vec::new());
        for row in rows {
            let mut row = row;
            row.resize(wide, String::new());
            out.write_record(&row)
                .map_err(|e| Failure::Input(e.to_string()))?;
        }
        let bytes = out
            .into_inner()
            .map_err(|e| Failure::Input(e.to_string()))?;
        return Ok(String::from_utf8_lossy(&bytes).into_owned());
    }
    Ok(crate::report::blocks::text(season))
}
