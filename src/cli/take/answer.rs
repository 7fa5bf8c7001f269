//! Reads an answer: what each of its parts asks for.

use crate::domain::harmless::steers;
use crate::domain::season::{Block, BlockId, Calendar, HowMany, Season, TaskId, read_day};
use chrono::NaiveDate;

/// One thing asked for, and how it was said.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Item {
    pub(super) said: String,
    pub(super) act: Act,
}

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Act {
    /// On a day; with the reason where it was done against a stop.
    Done(TaskId, NaiveDate, Option<String>),
    /// With the reason, where one was given.
    Skipped(TaskId, Option<String>),
    Move(TaskId, NaiveDate),
    Look(Vec<BlockId>, u8, &'static str, HowMany),
    Reviewed,
}

/// Stages as they are said, with their BBCH number (Meier 2001) and name.
const STAGES: [(&str, u8, &str); 14] = [
    ("tight", 0, "tight"),
    ("dormant", 0, "tight"),
    ("swell", 51, "swelling"),
    ("swelling", 51, "swelling"),
    ("silver tip", 52, "at silver tip"),
    ("green tip", 53, "at green tip"),
    ("first green", 53, "at first green"),
    ("half-inch green", 54, "at half-inch green"),
    ("half inch green", 54, "at half-inch green"),
    ("tight cluster", 56, "at tight cluster"),
    ("pink", 57, "at pink"),
    ("white bud", 57, "at white bud"),
    ("first bloom", 60, "at first bloom"),
    ("full bloom", 65, "at full bloom"),
];

/// The code of the review that was answered, where it was left in, quoted or not.
pub(super) fn code(text: &str) -> Option<String> {
    text.lines().find_map(|line| {
        let (_, after) = line.split_once("Review code ")?;
        let code = after.split_whitespace().next()?;
        Some(code.to_owned())
    })
}

/// What the writer wrote: no quotation, no signature, not the review itself.
pub(super) fn parts(text: &str) -> Vec<String> {
    text.lines()
        .map(str::trim)
        .take_while(|line| *line != "--" && !line.contains("Review code ") && !begins_quote(line))
        .filter(|line| !line.starts_with('>'))
        .flat_map(|line| line.split(';'))
        .map(|part| {
            part.replace(steers, " ")
                .trim()
                .trim_end_matches('.')
                .to_owned()
        })
        .filter(|part| !part.is_empty())
        .collect()
}

/// The line that mail programs put before what they quote: `On .. somebody wrote:`.
fn begins_quote(line: &str) -> bool {
    line.ends_with(':') && line.contains(' ') || line.contains(": review of ")
}

/// What one part asks for.
pub(super) fn item(
    said: &str,
    ids: &[TaskId],
    season: &Season,
    today: NaiveDate,
) -> Result<Item, String> {
    let clean = said.to_lowercase();
    let of = |act| Item {
        said: said.to_owned(),
        act,
    };
    if clean == "reviewed" {
        return Ok(of(Act::Reviewed));
    }
    let Some((first, rest)) = clean.split_once(char::is_whitespace) else {
        return Err("not understood".to_owned());
    };
    let rest = rest.trim();
    if let Ok(number) = first.parse::<usize>() {
        let act = task(number, rest, ids, season, today)?;
        return Ok(of(in_own_words(act, said)));
    }
    look(&clean, season).map(of)
}

/// A reason as it was written: only what is looked for is read without regard to capitals.
fn in_own_words(act: Act, said: &str) -> Act {
    let own = |why: Option<String>| {
        why.map(|why| {
            let long = why.chars().count();
            let skipped = said.chars().count().saturating_sub(long);
            let tail: String = said.chars().skip(skipped).collect();
            if tail.to_lowercase() == why {
                tail
            } else {
                why
            }
        })
    };
    match act {
        Act::Done(id, day, why) => Act::Done(id, day, own(why)),
        Act::Skipped(id, why) => Act::Skipped(id, own(why)),
        other => other,
    }
}

fn task(
    number: usize,
    rest: &str,
    ids: &[TaskId],
    season: &Season,
    today: NaiveDate,
) -> Result<Act, String> {
    let id = number
        .checked_sub(1)
        .and_then(|at| ids.get(at))
        .ok_or_else(|| match ids.len() {
            0 => "no numbered review went out from here (barewood review --numbered)".to_owned(),
            n => format!("there is no number {number} in that review; it ends at {n}"),
        })?;
    let task = season
        .task(id)
        .ok_or_else(|| format!("the task '{id}' is gone from the season"))?;
    let day = |text: &str, from: NaiveDate| {
        let calendar = Calendar {
            today,
            from,
            starts: season.starts(),
        };
        read_day(text, &calendar).map_err(|e| e.to_string())
    };
    if !task.state.is_open() {
        return Err(format!("'{}' is not to do any more", task.title));
    }
    let (word, tail) = rest.split_once(' ').unwrap_or((rest, ""));
    // "3 done yesterday anyway the leaves were down": a reason goes to the end.
    let (tail, anyway) = match tail.strip_prefix("anyway") {
        Some(why) => ("", Some(why)),
        None => tail
            .split_once(" anyway")
            .map_or((tail, None), |(day, why)| (day, Some(why))),
    };
    let anyway = anyway
        .map(|why| why.trim_start_matches([':', ',']).trim().to_owned())
        .filter(|why| !why.is_empty());
    match (word, tail) {
        ("done", "") => Ok(Act::Done(id.clone(), today, anyway)),
        ("done", on) => {
            let on = on.trim().trim_start_matches("on ");
            // A weekday is the one before: it was done already.
            let said = day(on, today)?;
            let back = chrono::TimeDelta::days(7);
            let is_weekday = on.chars().all(char::is_alphabetic) && on.len() >= 3;
            let said = if said > today && is_weekday && on != "tomorrow" {
                said - back
            } else {
                said
            };
            Ok(Act::Done(id.clone(), said, anyway))
        }
        ("skipped" | "skip", why) => {
            let why = why.trim_start_matches([':', ',']).trim();
            let why = (!why.is_empty()).then(|| why.to_owned());
            Ok(Act::Skipped(id.clone(), why))
        }
        _ => day(rest, task.date)
            .map(|to| Act::Move(id.clone(), to))
            .map_err(|why| format!("not done, skipped or a day to move to: {why}")),
    }
}

/// A look at the buds: blocks, then a stage.
fn look(clean: &str, season: &Season) -> Result<Act, String> {
    // The longest name of a stage first: "tight cluster" ends in neither "tight" nor "cluster".
    let mut stages = STAGES.to_vec();
    stages.sort_by_key(|(name, ..)| std::cmp::Reverse(name.len()));
    let found = stages.iter().find_map(|(name, bbch, words)| {
        let before = clean.strip_suffix(name)?;
        before
            .ends_with(char::is_whitespace)
            .then(|| (before.trim(), *bbch, *words))
    });
    let Some((blocks, bbch, words)) = found else {
        let names: Vec<&str> = STAGES.iter().map(|(name, ..)| *name).collect();
        return Err(format!(
            "not understood: begin with a number of the review, or write a block and a stage ({})",
            names.join(", ")
        ));
    };
    // "peaches first few swelling": the observer's doubt stands before the stage.
    let doubt = [HowMany::FirstFew, HowMany::Most]
        .into_iter()
        .find_map(|h| Some((blocks.strip_suffix(h.words())?.trim(), h)));
    let (blocks, how_many) = doubt.unwrap_or((blocks, HowMany::All));
    let found = named(blocks, season);
    if found.is_empty() {
        let names: Vec<&str> = season.blocks.iter().map(|b| b.name.as_str()).collect();
        return Err(format!(
            "there is no block '{blocks}'; the blocks are: {}",
            names.join(", ")
        ));
    }
    Ok(Act::Look(found, bbch, words, how_many))
}

/// The blocks of a name, an id, or a kind of tree, in the singular or the plural.
fn named(said: &str, season: &Season) -> Vec<BlockId> {
    let is = |name: &str| {
        let name = name.to_lowercase();
        let stem = name.strip_suffix('y').map(|stem| format!("{stem}ies"));
        name == said
            || format!("{name}s") == said
            || format!("{name}es") == said
            || stem.is_some_and(|plural| plural == said)
    };
    let pick = |matches: &dyn Fn(&Block) -> bool| -> Vec<BlockId> {
        let blocks = season.blocks.iter().filter(|b| matches(b));
        blocks.map(|b| b.id.clone()).collect()
    };
    let own = pick(&|b| is(b.id.as_str()) || is(&b.name));
    if own.is_empty() {
        pick(&|b| is(b.species.words()))
    } else {
        own
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_the_writer_wrote_is_read() {
        let mail = "2 done; 3 +2d.\npeaches tight\n\nOn Mon 8 Feb the shed wrote:\n> 4. Sat 13 Feb\n> Review code 2027-02-08-ab12 (leave it in the answer)\n";
        assert_eq!(parts(mail), ["2 done", "3 +2d", "peaches tight"]);
        assert_eq!(code(mail).as_deref(), Some("2027-02-08-ab12"));
        assert_eq!(parts("reviewed\n-- \nsent from a phone\n"), ["reviewed"]);
        assert!(parts("> 2 done\n").is_empty());
    }
}
