//! The ledger: what was used where over all seasons on file, narrowed by block, active, person
//! and days.

use super::page;
use crate::domain::ledger::{self, Filter};
use crate::report;
use crate::tui::action::{Command, Effect};
use crate::tui::details::Row;
use crate::tui::form::Form;
use crate::tui::model::Model;
use crate::tui::overlay::Overlay;

/// What is asked for, and the page it came to.
#[derive(Debug, Clone, Default)]
pub struct LedgerPage {
    /// What is asked for.
    pub filter: Filter,
    made: Option<(u64, Filter)>,
    text: String,
}

/// Makes the page anew where the seasons or the question changed.
pub fn refresh(model: &mut Model) {
    let Some(years) = &model.years else {
        model.ledger.made = None;
        return;
    };
    let key = (model.revision, model.ledger.filter.clone());
    if model.ledger.made.as_ref() == Some(&key) {
        return;
    }
    let text = report::ledger::page(&years.seasons, &key.1, model.today);
    model.ledger.text = text.unwrap_or_else(|fault| format!("{fault}\n"));
    model.ledger.made = Some(key);
}

/// Answers a command on the ledger; `None` where it is not for it.
pub fn update(model: &mut Model, command: Command) -> Option<Vec<Effect>> {
    if page::scroll(model, command) {
        return Some(Vec::new());
    }
    match command {
        Command::Narrow | Command::Open => {
            model.overlay = Some(Overlay::Form(Form::ledger(model)));
        }
        Command::Find => model.overlay = Some(Overlay::find()),
        Command::FindNext => page::find(model, false),
        Command::FindPrevious => page::find(model, true),
        _ => return None,
    }
    Some(Vec::new())
}

/// Checks what is asked for before it is taken.
///
/// # Errors
/// Where no season knows the blocks that are named.
pub fn ask(model: &mut Model, filter: Filter) -> Result<(), String> {
    if let Some(years) = &model.years {
        ledger::entries(&years.seasons, &filter)?;
    }
    model.ledger.filter = filter;
    model.top = 0;
    refresh(model);
    Ok(())
}

/// The page as rows.
pub fn rows(model: &Model) -> Vec<Row> {
    if model.ledger.made.is_none() {
        return vec![Row::text("The seasons are being read..")];
    }
    let mut rows: Vec<Row> = Vec::new();
    for line in model.ledger.text.lines() {
        if line.is_empty() {
            rows.push(Row::gap());
        } else if line.starts_with(' ') {
            rows.push(Row::verbatim(line));
        } else {
            rows.push(Row::head(line));
        }
    }
    if let Some(years) = &model.years
        && !years.left_out.is_empty()
    {
        rows.extend([Row::gap(), Row::head("Left out")]);
        rows.extend(years.left_out.iter().map(|l| Row::text(l.as_str())));
    }
    rows
}
