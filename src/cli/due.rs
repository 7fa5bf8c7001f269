//! `due`: what is overdue, due today, due this week, and where to keep out.

mod hand_on;

use super::args::DueArgs;
use super::season_at::{At, Opened};
use super::{Exit, Failure};
use crate::report::due::{self, Thing};
use crate::report::schemas;
use crate::store::places::Places;
use crate::store::told::Told;
use std::io::Write;

/// Prints what is due. Nothing due prints nothing, so that cron mails only news.
pub fn run(at: &At, args: &DueArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let opened = at.look()?;
    let outlook = opened.outlook();
    let exit = super::check::exit(outlook.due_tasks().filter_map(|t| t.worst));
    if args.output.json {
        let answer = due::json(&opened.season, &outlook, opened.now());
        schemas::DUE.write(&answer.to_string(), out)?;
        return Ok(exit);
    }
    let things = due::things(&opened.season, &outlook, opened.now());
    if !(args.new || args.run.is_some()) {
        write!(out, "{}", due::text(&things, &outlook.ground))?;
        return Ok(exit);
    }
    let told = told(&opened)?;
    let new: Vec<&Thing> = things.iter().filter(|t| !told.holds(&t.news)).collect();
    let mut said: Vec<&str> = things
        .iter()
        .filter(|t| told.holds(&t.news))
        .map(|t| t.news.as_str())
        .collect();
    let mut fault = None;
    match &args.run {
        Some(command) => {
            for thing in new {
                // What could not be handed on is new the next time as well.
                match hand_on::to(command, thing) {
                    Ok(()) => said.push(&thing.news),
                    Err(why) => {
                        fault.get_or_insert(why);
                    }
                }
            }
        }
        None => {
            let new: Vec<Thing> = new.into_iter().cloned().collect();
            write!(out, "{}", due::text(&new, &outlook.ground))?;
            out.flush()?;
            said = things.iter().map(|t| t.news.as_str()).collect();
        }
    }
    told.keep(&said).map_err(|e| {
        Failure::Disk(format!(
            "What was said could not be kept, so it will be said again: {e}"
        ))
    })?;
    fault.map_or(Ok(exit), |why| Err(Failure::Disk(why)))
}

/// What was said of this season before. Practice leaves no trace: there, all is new.
fn told(opened: &Opened) -> Result<Told, Failure> {
    let Some(session) = &opened.session else {
        return Ok(Told::nowhere());
    };
    let places = Places::find().ok_or_else(|| {
        Failure::Disk(
            "No home folder is set, so there is no place to keep what was said; set HOME or XDG_STATE_HOME.".to_owned(),
        )
    })?;
    Ok(Told::of(&places, session.path()))
}
