//! `swell`: the estimate of a stage, block by block.

use super::args::SwellArgs;
use super::season_at::{At, Opened};
use super::{Exit, Failure};
use crate::domain::hours::fits::Fits;
use crate::domain::outlook::to_come;
use crate::domain::phenology::stage::Stage;
use crate::report::schemas;
use crate::report::swell::{self, pictures};
use std::io::Write;

/// The pictures of one block as text.
fn curves(opened: &Opened, row: &swell::Row) -> String {
    let block = opened
        .season
        .blocks
        .iter()
        .find(|b| b.id.as_str() == row.block);
    let estimate = block.and_then(|b| opened.estimates.answer(&b.id, row.stage));
    let Some((block, estimate)) = block.zip(estimate) else {
        return String::new();
    };
    let mut parts = vec![
        pictures::heat(estimate),
        pictures::chance(&estimate.date, row.stage),
    ];
    let seen = pictures::seen(&block.past, row.stage, &estimate.date);
    if !seen.is_empty() {
        parts.push(format!(
            "{} seen in past seasons (x), and this season's range\n{}\n",
            row.stage.words(),
            seen.join("\n")
        ));
    }
    format!("\n{}\n", parts.join("\n"))
}

/// Prints the estimate of a stage for every block asked for.
pub fn run(at: &At, args: &SwellArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let opened = at.look()?;
    let stage = Stage::from_text(&args.stage).ok_or_else(|| {
        Failure::Input(format!(
            "'{}' is no stage; write swell, burst or bloom",
            args.stage
        ))
    })?;
    for id in &args.block {
        if !opened.season.blocks.iter().any(|b| b.id.as_str() == id) {
            let known: Vec<&str> = opened.season.blocks.iter().map(|b| b.id.as_str()).collect();
            return Err(Failure::Input(format!(
                "there is no block '{id}'; the blocks are: {}",
                known.join(", ")
            )));
        }
    }
    let rows = swell::rows(
        &opened.season,
        &opened.estimates,
        opened.today,
        stage,
        &args.block,
    );
    let mut lines = to_come(
        &opened.season,
        &opened.estimates,
        opened.fits.as_ref().map(Fits::air),
        opened.moment(),
        opened.today,
    );
    lines.retain(|l| {
        rows.iter()
            .any(|r| l.blocks.iter().any(|b| b.as_str() == r.block))
    });
    let unknown = swell::unknown(&opened.season, &opened.estimates, &args.block);
    if args.output.json {
        let answer = swell::json(opened.today, &rows, &unknown, &lines)?;
        schemas::SWELL.write(&answer, out)?;
    } else {
        write!(
            out,
            "{}",
            crate::report::ground::text(&opened.estimates.ground)
        )?;
        for row in &rows {
            write!(
                out,
                "{}",
                swell::text(opened.today, std::slice::from_ref(row))
            )?;
            if args.curves {
                write!(out, "{}", curves(&opened, row))?;
            }
        }
        write!(out, "{}", swell::unknown_text(&unknown))?;
        write!(out, "{}", swell::to_come_text(&lines))?;
    }
    Ok(Exit::Fine)
}
