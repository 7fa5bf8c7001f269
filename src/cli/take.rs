//! `take`: an answer to a numbered review, such as `2 done; 3 +2d; peaches tight; reviewed`.
//! Shown first; taken whole or not at all.

mod answer;

use super::args::TakeArgs;
use super::season_at::{At, Opened};
use super::{Exit, Failure};
use crate::domain::outlook::{self, Look};
use crate::domain::records::{self, Conditions};
use crate::domain::review;
use crate::domain::rules::Warning;
use crate::domain::season::{HowMany, Reading, Season, Task, TaskId, TaskKind, TaskState, edit};
use crate::report::wrap::wrapped;
use crate::store::disk::{Disk as _, RealDisk};
use crate::store::numbered::Numbered;
use crate::store::places::Places;
use answer::{Act, Item};
use std::io::{Read as _, Write};
use std::path::Path;

/// No answer is longer: a mail with all it quotes.
const MOST_BYTES: u64 = 1 << 20;
/// The reason noted with a day that was moved.
const WHY: &str = "by answer to the review";

/// Shows what an answer would do, and does it with `--yes`.
pub fn run(at: &At, args: &TakeArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let text = read(&args.answer)?;
    super::until_it_counts(out, |out| taken(at, args, &text, out))
}

fn taken(at: &At, args: &TakeArgs, text: &str, out: &mut dyn Write) -> Result<Exit, Failure> {
    let mut opened = if args.yes { at.change()? } else { at.look()? };
    let items = items(&opened, text)?;
    let before = opened.outlook();
    let mut after = opened.season.clone();
    let mut lines = Vec::new();
    let mut left = 0;
    for item in &items {
        let taken = done(&opened, &after, item)
            .map_err(|why| refused(&[format!("'{}': {why}", item.said)]))?;
        match taken {
            Taken::Yes(next, line) => {
                after = *next;
                lines.push(line);
            }
            Taken::Left(line) => {
                left += 1;
                lines.push(line);
            }
        }
    }
    for line in &lines {
        writeln!(out, "{line}")?;
    }
    let touched = outlook::touched(&opened.season, &after);
    if args.yes {
        opened.save(after)?;
        super::delay::write_changes(&before, &opened.outlook(), &touched, out)?;
        match left {
            0 => writeln!(out, "Taken, {} in all.", items.len())?,
            n => writeln!(
                out,
                "Taken, {} of {}; {n} left as it was (see Left above).",
                items.len() - n,
                items.len()
            )?,
        }
    } else {
        opened.season = after;
        super::delay::write_changes(&before, &opened.outlook(), &touched, out)?;
        writeln!(out, "Nothing is changed yet. To take all of it, add --yes.")?;
    }
    Ok(Exit::Fine)
}

/// What became of one item.
enum Taken {
    /// The season after it, and what that is in words.
    Yes(Box<Season>, String),
    /// It was left as it was, and why.
    Left(String),
}

fn read(path: &Path) -> Result<String, Failure> {
    let bytes = if path == Path::new("-") {
        let mut bytes = Vec::new();
        std::io::stdin()
            .take(MOST_BYTES)
            .read_to_end(&mut bytes)
            .map_err(|e| Failure::Disk(format!("standard input: {e}")))?;
        bytes
    } else {
        RealDisk
            .read(path, MOST_BYTES)
            .map_err(|e| Failure::Disk(format!("{}: {e}", path.display())))?
    };
    String::from_utf8(bytes).map_err(|_| {
        Failure::Input("The answer is not UTF-8 text; send it as plain text.".to_owned())
    })
}

/// Everything the answer asks for; one thing that is not understood refuses all of it.
fn items(opened: &Opened, text: &str) -> Result<Vec<Item>, Failure> {
    let code = answer::code(text);
    let ids = listed(opened, code.as_deref())?;
    let parts = answer::parts(text);
    if parts.is_empty() {
        return Err(refused(&["it holds no line of its own".to_owned()]));
    }
    let mut items = Vec::new();
    let mut problems = Vec::new();
    for part in parts {
        match answer::item(&part, &ids, &opened.season, opened.today) {
            Ok(item) => items.push(item),
            Err(why) => problems.push(format!("'{part}': {why}")),
        }
    }
    if problems.is_empty() {
        Ok(items)
    } else {
        Err(refused(&problems))
    }
}

fn refused(problems: &[String]) -> Failure {
    Failure::Input(format!(
        "The answer is not taken, nothing is changed:\n  {}\nWrite it such as: 2 done; 3 +2d; 4 skipped; peaches tight; reviewed",
        problems.join("\n  ")
    ))
}

/// The tasks behind the numbers of the review that was answered.
fn listed(opened: &Opened, code: Option<&str>) -> Result<Vec<TaskId>, Failure> {
    let (Some(session), Some(places)) = (&opened.session, Places::find()) else {
        return Ok(Vec::new());
    };
    let kept = Numbered::of(&places, session.path());
    match (kept.list(code), code) {
        (Some(ids), _) => Ok(ids.iter().map(|id| TaskId::from(id.as_str())).collect()),
        (None, Some(code)) => Err(refused(&[format!(
            "the review with the code {code} did not go out from here, or long ago; answer a newer one (barewood review --numbered)"
        )])),
        (None, None) => Ok(Vec::new()),
    }
}

/// The season after one item, and what that is in words.
fn done(opened: &Opened, season: &Season, item: &Item) -> Result<Taken, String> {
    let today = opened.today;
    let yes = |(after, line)| Ok(Taken::Yes(Box::new(after), line));
    match &item.act {
        Act::Done(id, day, anyway) => {
            let task = season.task(id).ok_or("that task is gone")?;
            if *day > today {
                return Err(format!("{day} is after today; give the day it was done"));
            }
            if task.kind != TaskKind::Spray {
                let after = edit::set_state(season, id, TaskState::Done(*day));
                return yes((words(after)?, format!("{}: done {day}", task.title)));
            }
            let amounts = records::amounts(season, task, Some(&opened.estimates), today);
            let conditions = Conditions::default();
            let mut record =
                records::prefill(season, task, *day, opened.now(), &amounts, &conditions);
            let stops = records::stops(season, &opened.estimates, opened.fits.as_ref(), &record);
            if let (Some(stop), None) = (stops.first(), anyway) {
                return Ok(Taken::Left(left_as_it_was(task, stop)));
            }
            record.judged = records::judgements(&stops);
            record.anyway = anyway.clone().filter(|_| !stops.is_empty());
            let kept = words(records::finish(season, record, today))?;
            let line = format!(
                "{}: done {day}, record {} (fill in on the records screen what is missing)",
                task.title, kept.record
            );
            yes((kept.season, line))
        }
        Act::Skipped(id, why) => {
            let task = season.task(id).ok_or("that task is gone")?;
            let state = TaskState::Skipped(today);
            let after = edit::set_state_because(season, id, state, why.as_deref());
            let because = why.as_ref().map_or_else(String::new, |w| format!(": {w}"));
            yes((words(after)?, format!("{}: skipped{because}", task.title)))
        }
        Act::Move(id, day) => {
            let task = season.task(id).ok_or("that task is gone")?;
            let after = edit::move_task(season, id, *day, today, WHY);
            yes((
                words(after)?,
                format!("{}: {} -> {day}", task.title, task.date),
            ))
        }
        Act::Look(blocks, bbch, what, how_many) => {
            let names: Vec<&str> = blocks
                .iter()
                .filter_map(|id| season.block(id))
                .map(|b| b.name.as_str())
                .collect();
            let look = Look {
                date: today,
                bbch: *bbch,
                how_many: *how_many,
                blocks,
            };
            if let Some(why) = look.refused(season, today) {
                return Err(why);
            }
            let reading = Reading::Buds {
                date: today,
                bbch: *bbch,
                blocks: blocks.clone(),
                note: Some(item.said.clone()),
                how_many: *how_many,
                photo: None,
            };
            yes((
                edit::add_reading(season, reading),
                format!(
                    "Look: {}{} {what} (BBCH {bbch})",
                    names.join(", "),
                    match how_many {
                        HowMany::All => "",
                        HowMany::Most => ", most",
                        HowMany::FirstFew => ", first few",
                    }
                ),
            ))
        }
        Act::Reviewed => yes((
            review::mark(season, &opened.estimates, today),
            format!("Marked as reviewed on {today}"),
        )),
    }
}

/// A spray said to be done against a stop: nothing is written, and how it can be.
fn left_as_it_was(task: &Task, stop: &Warning) -> String {
    let said = format!(
        "Left, {} is not marked as done: stop: {}. Do: {} If it was done all the same, answer \"done anyway REASON\", or: barewood finish {} --anyway \"REASON\"",
        task.title, stop.message, stop.todo, task.id
    );
    wrapped(&said, 2).trim().to_owned()
}

fn words<T, E: std::fmt::Display>(result: Result<T, E>) -> Result<T, String> {
    result.map_err(|e| e.to_string())
}
