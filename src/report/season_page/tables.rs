//! The tables of the page.

use super::ribbon::numbered;
use super::{SeasonPage, escaped};
use crate::domain::phenology::stage::Stage;
use crate::domain::review::{Range, stage_date};
use crate::domain::season::{HowMany, Reading, TaskState};
use std::fmt::Write;

/// A word longer than this may be broken inside.
const LONG_WORD: usize = 24;

/// A table of texts; the columns named in `numbers` stand to the right.
pub(super) fn table(heads: &[&str], numbers: &[usize], rows: &[Vec<String>]) -> String {
    let class = |i: usize| {
        if numbers.contains(&i) {
            " class=\"n\""
        } else {
            ""
        }
    };
    let mut out = String::from("<table>\n<thead><tr>");
    for (i, head) in heads.iter().enumerate() {
        let _ = write!(out, "<th scope=\"col\"{}>{}</th>", class(i), escaped(head));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for row in rows {
        out.push_str("<tr>");
        for (i, cell) in row.iter().enumerate() {
            let _ = write!(out, "<td{}>{}</td>", class(i), kept_whole(cell));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table>\n");
    out
}

/// A cell in which dates are not broken at their hyphens, and only words too
/// long for any column are broken inside.
fn kept_whole(cell: &str) -> String {
    let words: Vec<String> = cell
        .split(' ')
        .map(|word| {
            let bare = word.trim_matches(|c: char| !c.is_ascii_digit());
            let class = if bare.parse::<chrono::NaiveDate>().is_ok() {
                "d"
            } else if word.chars().count() > LONG_WORD {
                "l"
            } else {
                return escaped(word);
            };
            format!("<span class=\"{class}\">{}</span>", escaped(word))
        })
        .collect();
    words.join(" ")
}

pub(super) fn note(text: &str) -> String {
    format!("<p class=\"note\">{}</p>\n", escaped(text))
}

pub(super) fn swell(page: &SeasonPage<'_>) -> String {
    let season = page.season;
    let rows: Vec<Vec<String>> = season
        .blocks
        .iter()
        .map(|block| {
            let guard = block.guard_days.unwrap_or(season.orchard.guard_days);
            let range = |stage| {
                stage_date(page.estimates, &block.id, stage)
                    .map(Range::of)
                    .map_or_else(
                        || "no estimate".to_owned(),
                        |r| format!("{} ({} to {})", r.p50, r.p10, r.p90),
                    )
            };
            let safe = stage_date(page.estimates, &block.id, Stage::Swell)
                .map(|d| d.last_safe(season.orchard.tolerance.fraction(), guard));
            vec![
                block.name.clone(),
                block.species.words().to_owned(),
                block.trees.to_string(),
                range(Stage::Swell),
                range(Stage::FirstBloom),
                safe.map_or_else(String::new, |d| d.to_string()),
            ]
        })
        .collect();
    let heads = [
        "block",
        "kind",
        "trees",
        "swell: middle (80 %)",
        "bloom: middle (80 %)",
        "last safe day",
    ];
    table(&heads, &[2], &rows)
}

pub(super) fn tasks(page: &SeasonPage<'_>) -> String {
    let season = page.season;
    let rows: Vec<Vec<String>> = numbered(season)
        .into_iter()
        .enumerate()
        .filter_map(|(i, id)| {
            let task = season.task(id)?;
            let state = match task.state {
                TaskState::Planned => "planned".to_owned(),
                TaskState::Done(day) => format!("done {day}"),
                TaskState::Skipped(day) => format!("left out {day}"),
            };
            let state = match &task.why {
                Some(why) => format!("{state}: {why}"),
                None => state,
            };
            let moves: Vec<String> = task
                .moved
                .iter()
                .map(|m| format!("{} to {} ({})", m.from, m.to, m.why))
                .collect();
            let blocks: Vec<&str> = season.blocks_of(task).map(|b| b.name.as_str()).collect();
            Some(vec![
                (i + 1).to_string(),
                task.date.to_string(),
                task.title.clone(),
                task.lane.words().to_owned(),
                blocks.join(", "),
                state,
                moves.join("; "),
            ])
        })
        .collect();
    if rows.is_empty() {
        return note("No tasks.");
    }
    let heads = ["no.", "day", "task", "lane", "blocks", "state", "moved"];
    table(&heads, &[0], &rows)
}

pub(super) fn warnings(page: &SeasonPage<'_>) -> String {
    let rows: Vec<Vec<String>> = page
        .outlook
        .warnings
        .iter()
        .map(|w| {
            let title = w
                .task
                .as_ref()
                .and_then(|id| page.season.task(id))
                .map_or("", |t| t.title.as_str());
            vec![
                w.level.words().to_owned(),
                title.to_owned(),
                w.message.clone(),
                w.todo.clone(),
                w.source.line(),
            ]
        })
        .collect();
    if rows.is_empty() {
        return note("Nothing to warn of.");
    }
    let heads = ["level", "task", "what", "what to do", "source"];
    table(&heads, &[], &rows)
}

pub(super) fn lessons(page: &SeasonPage<'_>) -> String {
    let rows: Vec<Vec<String>> = page
        .season
        .lessons
        .iter()
        .map(|l| {
            vec![
                l.text.clone(),
                l.from.clone().unwrap_or_default(),
                l.done
                    .map_or_else(|| "open".to_owned(), |d| format!("done {d}")),
            ]
        })
        .collect();
    if rows.is_empty() {
        return note("None noted.");
    }
    table(&["lesson", "from", "state"], &[], &rows)
}

fn of_buds(how_many: HowMany) -> &'static str {
    match how_many {
        HowMany::All => "",
        HowMany::Most => ", most buds",
        HowMany::FirstFew => ", first few buds",
    }
}

/// What was seen at the buds, by block, day and stage, with notes and pictures.
pub(super) fn looks(page: &SeasonPage<'_>) -> String {
    let season = page.season;
    let rows: Vec<Vec<String>> = season
        .readings
        .iter()
        .filter_map(|reading| {
            let Reading::Buds {
                date,
                bbch,
                how_many,
                blocks,
                note,
                photo,
            } = reading
            else {
                return None;
            };
            let names: Vec<&str> = blocks
                .iter()
                .map(|id| season.block(id).map_or(id.as_str(), |b| b.name.as_str()))
                .collect();
            let names = if names.is_empty() {
                "all blocks".to_owned()
            } else {
                names.join(", ")
            };
            Some(vec![
                date.to_string(),
                names,
                format!("BBCH {bbch}{}", of_buds(*how_many)),
                note.clone().unwrap_or_default(),
                photo.clone().unwrap_or_default(),
            ])
        })
        .collect();
    if rows.is_empty() {
        return note("No look at the buds was added.");
    }
    table(&["Day", "Blocks", "Stage", "Seen", "Picture"], &[], &rows)
}
