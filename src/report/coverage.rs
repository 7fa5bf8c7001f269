//! The coverage grid and what would close its gaps, as text and JSON.

use super::wrap::wrapped;
use crate::domain::coverage::{CLOSING_DAYS, Grid, GridRow, Proposal};
use crate::domain::outlook::Estimates;
use crate::domain::season::{Lane, Season};
use chrono::NaiveDate;
use serde_json::json;
use std::fmt::Write;

/// `{"on","weather":[…],"cells":[…],"gaps":[{block,target}],"proposals":[…]}`. Stable.
///
/// # Errors
/// None is expected: everything in it is text and numbers.
pub fn json(
    estimates: &Estimates,
    grid: &Grid,
    proposals: &[Proposal],
    today: NaiveDate,
) -> serde_json::Result<String> {
    let gaps: Vec<_> = grid
        .gaps()
        .into_iter()
        .map(|(block, target)| json!({ "block": block, "target": target }))
        .collect();
    serde_json::to_string_pretty(&json!({
        "on": today.to_string(),
        "weather": estimates.ground.lines(),
        "cells": grid.rows,
        "gaps": gaps,
        "proposals": proposals,
    }))
}

/// The same as text: a line a target, every cell in words.
pub fn text(season: &Season, estimates: &Estimates, grid: &Grid, proposals: &[Proposal]) -> String {
    let mut out = String::new();
    for block in &season.blocks {
        let swell = estimates.of(&block.id).map_or_else(String::new, |e| {
            format!(
                ", first swell {}, 80 % between {} and {}{}",
                e.swell.p50(),
                e.swell.p10(),
                e.swell.p90(),
                estimates.ground.beside()
            )
        });
        let _ = write!(
            out,
            "{}",
            wrapped(
                &format!("{} ({}){swell}", block.name, block.species.words()),
                0
            )
        );
        let mut any = false;
        for cells in grid.rows.chunks(Lane::ALL.len()) {
            if cells.first().is_some_and(|c| c.block == block.id) {
                any = true;
                out.push_str(&wrapped(&line(cells), 2));
            }
        }
        if !any {
            out.push_str("  nothing seen, nothing aimed at\n");
        }
    }
    out.push('\n');
    let gaps = grid.gaps();
    if gaps.is_empty() {
        out.push_str("No gap: every target seen that a dormant spray controls is covered.\n");
    }
    for (block, target) in gaps {
        let cell = grid
            .rows
            .iter()
            .find(|c| &c.block == block && &c.target == target);
        if let Some(cell) = cell {
            let last = cell
                .last_safe
                .map_or_else(String::new, |d| format!("; last safe day against it {d}"));
            out.push_str(&wrapped(
                &format!("GAP: {} on {}{last}", cell.target_name, cell.block_name),
                0,
            ));
        }
    }
    for cell in grid.closing() {
        if let (Some(day), Some(left)) = (cell.last_safe, cell.closing_in_days) {
            out.push_str(&wrapped(
                &format!(
                    "CLOSING within {CLOSING_DAYS} days: {} on {}, last safe day {day}, {left} days left",
                    cell.target_name, cell.block_name
                ),
                0,
            ));
        }
    }
    for proposal in proposals {
        let task = &proposal.task;
        let blocks: Vec<&str> = season.blocks_of(task).map(|b| b.name.as_str()).collect();
        out.push_str(&wrapped(
            &format!(
                "PROPOSED: {} {} ({})",
                task.date,
                task.title,
                blocks.join(", ")
            ),
            0,
        ));
        for reason in &proposal.reasons {
            out.push_str(&wrapped(reason, 4));
        }
        for w in &proposal.warnings {
            out.push_str(&wrapped(&format!("{}: {}", w.level.words(), w.message), 4));
        }
    }
    out
}

/// `peach leaf curl: after leaf drop done; mid-winter nothing planned; …`.
fn line(cells: &[GridRow]) -> String {
    let name = cells.first().map_or("", |c| c.target_name.as_str());
    let each: Vec<String> = cells
        .iter()
        .map(|c| format!("{} {}", c.lane.words().to_lowercase(), c.state.words()))
        .collect();
    format!("{name}: {}", each.join("; "))
}
