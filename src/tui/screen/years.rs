//! Seasons side by side, and what the grower's own dates do for the estimate.

use super::page;
use crate::report::history::{estimate_lines, own_lines, side_by_side};
use crate::tui::action::{Command, Effect};
use crate::tui::details::Row;
use crate::tui::model::Model;
use crate::tui::overlay::Overlay;
use crate::tui::theme::Tone;

/// Answers a command on the seasons; `None` where it is not for them.
pub fn update(model: &mut Model, command: Command) -> Option<Vec<Effect>> {
    if page::scroll(model, command) {
        return Some(Vec::new());
    }
    match command {
        Command::Find => model.overlay = Some(Overlay::find()),
        Command::FindNext => page::find(model, false),
        Command::FindPrevious => page::find(model, true),
        _ => return None,
    }
    Some(Vec::new())
}

/// The page as rows, laid out for so many columns.
pub fn rows(model: &Model, columns: u16) -> Vec<Row> {
    let Some(years) = &model.years else {
        return vec![Row::text("The seasons are being read..")];
    };
    let mut rows = vec![Row::head("Seasons side by side")];
    rows.extend(
        side_by_side(&years.rows, usize::from(columns))
            .into_iter()
            .map(Row::verbatim),
    );
    if years.rows.len() == 1 {
        rows.push(Row::text(
            "Only this season is here. Seasons of this orchard kept in the same folder stand beside it.",
        ));
    }
    rows.extend([
        Row::gap(),
        Row::head("Swell as it was estimated at each review, and what came"),
    ]);
    let said = estimate_lines(&years.rows);
    if said.is_empty() {
        rows.push(Row::text(
            "None noted yet: marking the week's review notes the estimates of the day.",
        ));
    }
    rows.extend(said.into_iter().map(|l| Row::signed("  ", Tone::Plain, l)));
    rows.extend([Row::gap(), Row::head("Your own dates and the estimate")]);
    rows.extend(
        own_lines(&years.own)
            .into_iter()
            .map(|l| Row::signed("  ", Tone::Plain, l)),
    );
    if !years.left_out.is_empty() {
        rows.extend([Row::gap(), Row::head("Left out")]);
        rows.extend(years.left_out.iter().map(|l| Row::text(l.as_str())));
    }
    rows
}
