//! The work by urgency: one line a task, its sign on its lane's rail, its title whole before
//! anything else is cut.

use super::year::tone;
use crate::domain::rules::short;
use crate::domain::season::{BlockId, Lane, Task, TaskId};
use crate::tui::action::{Command, Spot};
use crate::tui::canvas::{Canvas, top_of_list};
use crate::tui::model::Model;
use crate::tui::screen::board::standing::{Mark, Urgency, gravest};
use crate::tui::screen::board::{BoardView, order};
use crate::tui::screen::board::{farm, marks};
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::words;
use ratatui::layout::Rect;

/// Columns of a block's name where the work is shown block by block.
const BLOCK_NAMES: u16 = 15;
/// Columns of a reason behind the titles.
const REASON: u16 = 16;
/// Columns of the kinds of tree behind the reasons.
const KINDS: u16 = 18;

/// Where the columns of a row begin.
struct Columns {
    group: bool,
    rails: u16,
    word: Option<u16>,
    date: u16,
    weekday: bool,
    title: u16,
    reason: Option<u16>,
    kinds: Option<u16>,
    right: u16,
}

impl Columns {
    fn of(area: Rect, longest: usize, names: u16) -> Self {
        let wide = area.width;
        // Below 80 the group's word goes, then the weekday, then the word of the state.
        let group = wide >= 64;
        let weekday = wide >= 52;
        let rails = if group { names + 3 } else { 2 };
        let after = rails + 6;
        let word = (wide >= 44).then_some(after);
        let roomy = u16::from(wide >= 110);
        let date = if word.is_some() {
            after + 8 + roomy
        } else {
            after
        };
        let title = date + if weekday { 11 } else { 7 };
        let longest = u16::try_from(longest).unwrap_or(u16::MAX);
        let left = wide.saturating_sub(title);
        let kinds =
            wide >= 118 && left >= longest.saturating_add(REASON + KINDS + 1) && wide >= 122;
        let reason = left >= longest.saturating_add(REASON);
        let right = wide - if reason { REASON } else { 0 } - if kinds { KINDS } else { 0 };
        Self {
            group,
            rails: area.x + rails,
            word: word.map(|x| area.x + x),
            date: area.x + date,
            weekday,
            title: area.x + title,
            reason: reason.then_some(area.x + right),
            kinds: kinds.then_some(area.x + right + REASON),
            right: area.x + right,
        }
    }
}

/// Where the list begins and how many rows there are of how many: `1-7 of 13`.
pub fn position(model: &Model, rows: u16) -> String {
    let all = order(model);
    let open = all.iter().filter(|(u, _)| *u != Urgency::Done).count();
    let done = model.season.tasks.len() - open;
    let (top, shown) = span(model, &all, rows);
    let n = all.len();
    let part = if shown < n {
        format!("{}-{} of {n}", top + 1, top + shown)
    } else {
        format!("{open} open")
    };
    if n > open || done == 0 {
        part
    } else {
        format!("{part}, {done} done")
    }
}

/// The first task shown and how many are.
fn span(model: &Model, all: &[(Urgency, TaskId)], rows: u16) -> (usize, usize) {
    let rows = usize::from(rows);
    let marked = all
        .iter()
        .position(|(_, id)| Some(id) == model.board.chosen.as_ref())
        .unwrap_or(0);
    let top = top_of_list(marked, all.len(), rows);
    (top, all.len().min(rows))
}

/// Draws the list.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let all = order(model);
    if all.is_empty() {
        let key = model.keymap.first(Command::Add);
        let words = if model.season.tasks.is_empty() {
            format!(">Nothing is planned yet. Press {key} to add a task.")
        } else {
            let tab = model.keymap.first(Command::NextPart);
            format!(">Nothing is open. {tab} shows what is done, {key} adds a task.")
        };
        canvas.put(area.x, area.y, area.width, &words, Tone::Plain);
        canvas.cursor = Some((area.x, area.y));
        return;
    }
    let (top, shown) = span(model, &all, area.height);
    let tasks: Vec<(Urgency, usize, &Task)> = all
        .iter()
        .skip(top)
        .take(shown)
        .filter_map(|(urgency, id)| {
            let place = model.season.tasks.iter().position(|t| t.id == *id)?;
            Some((*urgency, place, model.season.tasks.get(place)?))
        })
        .collect();
    let longest = tasks.iter().map(|(_, _, t)| text::width(&t.title)).max();
    let by_block = model.board.view == BoardView::Blocks;
    let names = if by_block { BLOCK_NAMES } else { 5 };
    let columns = Columns::of(area, longest.unwrap_or(0), names);
    let mut before: Option<String> = None;
    let blocks = if by_block {
        farm::by_danger(model)
    } else {
        Vec::new()
    };
    let mut y = area.y;
    for (urgency, place, task) in tasks {
        let group = if by_block {
            pressing_block(model, &blocks, task)
        } else {
            urgency.words().to_owned()
        };
        let first = before.as_ref() != Some(&group);
        before = Some(group.clone());
        let row = Rect::new(area.x, y, area.width, 1);
        let group = first.then_some(text::cut(&group, usize::from(names)));
        draw_row(model, canvas, row, &columns, task, group.as_deref());
        canvas.spots.push((row, Spot::Card(place)));
        if Some(&task.id) == model.board.chosen.as_ref() {
            canvas.cursor = Some((row.x, y));
        }
        y += 1;
    }
    if y < area.bottom() && !model.board.unfolded {
        folded(model, canvas, Rect::new(area.x, y, area.width, 1));
    }
}

/// The most pressing of a task's blocks, by name.
fn pressing_block(model: &Model, blocks: &[(BlockId, String)], task: &Task) -> String {
    if task.blocks.is_empty() {
        return "all blocks".to_owned();
    }
    let of = |(block, _): &&(BlockId, String)| task.blocks.contains(block);
    blocks.iter().find(of).map_or_else(
        || words::blocks_within(&model.season, task, 20),
        |(_, name)| name.clone(),
    )
}

/// What is done, in one row.
fn folded(model: &Model, canvas: &mut Canvas<'_>, row: Rect) {
    let number = |skipped: bool| {
        let tasks = model.season.tasks.iter();
        tasks
            .filter(|t| !t.state.is_open())
            .filter(|t| matches!(t.state, crate::domain::season::TaskState::Skipped(_)) == skipped)
            .count()
    };
    let (done, skipped) = (number(false), number(true));
    if done + skipped == 0 {
        return;
    }
    let key = model.keymap.first(Command::NextPart);
    let words = format!("{done} done, {skipped} skipped   {key} shows them");
    canvas.put(row.x + 1, row.y, row.width, "DONE", Tone::Head);
    let x = row.x + 14.min(row.width / 3);
    canvas.put(x, row.y, row.right().saturating_sub(x), &words, Tone::Plain);
}

fn draw_row(
    model: &Model,
    canvas: &mut Canvas<'_>,
    row: Rect,
    columns: &Columns,
    task: &Task,
    group: Option<&str>,
) {
    let (x, y) = (row.x, row.y);
    let chosen = Some(&task.id) == model.board.chosen.as_ref();
    let standing = model.standings.get(&task.id);
    let mark = Mark::of(task, standing);
    let is_marked = marks::is_marked(model, &task.id, None);
    pointer(canvas, (x, y), chosen, is_marked);
    if columns.group
        && let Some(group) = group
    {
        let room = columns.rails.saturating_sub(x + 2);
        canvas.put(x + 1, y, room, group, Tone::Head);
    }
    let rails = columns.rails;
    for (place, lane) in (0_u16..).zip(Lane::ALL) {
        let at = rails + place * 2;
        if lane == task.lane {
            canvas.sign(at, y, mark.sign(), tone(mark));
        } else {
            canvas.sign(at, y, '│', Tone::Frame);
        }
    }
    if let Some(at) = columns.word {
        canvas.put(at, y, 8, mark.words(), word_tone(mark));
    }
    let day = if columns.weekday {
        padded(&words::weekday_day(task.day()))
    } else {
        words::day(task.day())
    };
    let date = if chosen { Tone::Chosen } else { Tone::Plain };
    canvas.put(columns.date, y, 10, &day, date);
    let due = standing.is_some_and(|s| s.urgency == Urgency::Now);
    let title = if due { Tone::Head } else { Tone::Plain };
    let room = columns.right.saturating_sub(columns.title);
    let room = usize::from(room);
    let shown = titled(model, task, room);
    canvas.put(columns.title, y, room as u16, &shown, title);
    if let Some(at) = columns.reason {
        canvas.put(at, y, REASON - 1, &reason(model, task, mark), Tone::Plain);
    }
    if let Some(at) = columns.kinds {
        canvas.put(at, y, KINDS, &kinds(model, task), Tone::Plain);
    }
}

/// What stands before a row: where one is, and whether it is marked.
pub fn pointer(canvas: &mut Canvas<'_>, (x, y): (u16, u16), chosen: bool, marked: bool) {
    match (chosen, marked) {
        (true, true) => canvas.put(x, y, 1, "*", Tone::Chosen),
        (false, true) => canvas.put(x, y, 1, "*", Tone::Head),
        (true, false) => canvas.put(x, y, 1, ">", Tone::Head),
        (false, false) => x,
    };
}

/// The title, and how much of the spray is done where it stands for several or is done in part.
fn titled(model: &Model, task: &Task, room: usize) -> String {
    let by_urgency = model.board.view == BoardView::Urgency && !model.board.unfolded;
    let progress = match model.folds.of(&task.id).filter(|_| by_urgency) {
        Some(fold) => fold.progress(&model.season),
        None if task.state.is_open() => {
            let progress = model.season.progress(task);
            let words = || format!("{} of {} done", progress.done, progress.of);
            progress.is_partly().then(words)
        }
        None => None,
    };
    let Some(progress) = progress else {
        return task.title.clone();
    };
    let left = room.saturating_sub(text::width(&progress) + 2);
    format!("{}, {progress}", text::cut(&task.title, left))
}

/// The tone of a state's word: a ground for what is wrong, nothing else.
pub fn word_tone(mark: Mark) -> Tone {
    match mark {
        Mark::Stop => Tone::Stop,
        Mark::Caution | Mark::Closing | Mark::Late(true) => Tone::Caution,
        _ => Tone::Plain,
    }
}

/// `Sat  6 Feb`: days of one digit are set so that months stand below each other.
pub fn padded(day: &str) -> String {
    match day.split(' ').collect::<Vec<_>>().as_slice() {
        [weekday, day, month] => format!("{weekday} {day:>2} {month}"),
        _ => day.to_owned(),
    }
}

/// Why, in two or three words.
pub fn reason(model: &Model, task: &Task, mark: Mark) -> String {
    let late = model.standings.get(&task.id).map_or(0, |s| s.late);
    match mark {
        Mark::Late(_) => format!("{late} d late"),
        Mark::Closing => model
            .standings
            .get(&task.id)
            .and_then(|s| s.last_safe)
            .map_or_else(String::new, |day| format!("by {}", words::day(day))),
        Mark::Done | Mark::Skipped => String::new(),
        _ => {
            gravest(&model.outlook, &task.id).map_or_else(String::new, |w| short::tag(w).to_owned())
        }
    }
}

/// The kinds of tree of a task.
fn kinds(model: &Model, task: &Task) -> String {
    if task.blocks.is_empty() {
        return "all".to_owned();
    }
    let mut names: Vec<&str> = model
        .season
        .blocks_of(task)
        .map(|b| b.species.words())
        .collect();
    names.sort_unstable();
    names.dedup();
    text::cut(&names.join(", "), usize::from(KINDS)).into_owned()
}
