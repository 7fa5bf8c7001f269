//! Draws the lanes and their cards.

use super::year;
use crate::domain::rules::Level;
use crate::domain::season::{Lane, Task};
use crate::tui::action::{Command, Spot};
use crate::tui::canvas::{Canvas, top_of_list};
use crate::tui::details::tone;
use crate::tui::model::Model;
use crate::tui::screen::board::lane_at;
use crate::tui::screen::board::standing::Mark;
use crate::tui::screen::hours;
use crate::tui::theme::Tone;
use crate::tui::words;
use ratatui::layout::Rect;

/// Blank columns between lanes.
const GAP: u16 = 1;
/// From this width on a card has room for long words.
const ROOMY: u16 = 36;

/// The columns of one of three lanes.
fn lane_columns(width: u16) -> u16 {
    width.saturating_sub(2 * GAP) / 3
}

/// Three lanes side by side.
pub fn three(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let columns = lane_columns(area.width);
    let lanes: Vec<Vec<&Task>> = Lane::ALL
        .iter()
        .map(|l| model.board.cards(&model.season, *l))
        .collect();
    let most = lanes.iter().map(Vec::len).max().unwrap_or(0);
    let lines = card_lines(most, area.height.saturating_sub(1));
    for (place, lane) in lanes.iter().enumerate() {
        let x = area.x + u16::try_from(place).unwrap_or(0) * (columns + GAP);
        let room = Rect::new(x, area.y, columns, area.height);
        let head = lane_at(place).words();
        draw_lane(model, canvas, room, place, lane, head, lines);
    }
}

/// One lane, the others named above it.
pub fn one(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let place = model.board.lane;
    let lane = model.board.cards(&model.season, lane_at(place));
    let room = Rect::new(
        area.x,
        area.y + 1,
        area.width,
        area.height.saturating_sub(1),
    );
    let mut x = area.x;
    for (i, other) in Lane::ALL.iter().enumerate() {
        let short = match other {
            Lane::AfterLeafDrop => "After leaf drop",
            Lane::MidWinter => "Mid-winter",
            Lane::BeforeSwell => "Before swell",
        };
        let open = model
            .board
            .cards(&model.season, *other)
            .iter()
            .filter(|t| t.state.is_open())
            .count();
        let (left, right, tone) = if i == place {
            ("[", "]", Tone::Head)
        } else {
            (" ", " ", Tone::Plain)
        };
        let words = format!("{left}{short} {open}{right} ");
        x = canvas.put(x, area.y, area.right().saturating_sub(x), &words, tone);
    }
    let lines = card_lines(lane.len(), room.height);
    draw_cards(model, canvas, room, place, &lane, lines.min(2));
}

/// Lines a card gets: four with a blank one if all cards fit so, two at least.
fn card_lines(most: usize, rows: u16) -> u16 {
    let rows = usize::from(rows);
    match most.max(1) {
        n if n * 4 <= rows => 4,
        n if n * 3 <= rows => 3,
        _ if rows >= 2 => 2,
        _ => 1,
    }
}

fn draw_lane(
    model: &Model,
    canvas: &mut Canvas<'_>,
    area: Rect,
    place: usize,
    lane: &[&Task],
    head: &str,
    lines: u16,
) {
    let per = usize::from(lines.max(1));
    let fit = (usize::from(area.height.saturating_sub(1)) / per).max(1);
    let mut words = head.to_owned();
    if lane.len() > fit {
        let chosen = row_of(model, place, lane).unwrap_or(0);
        let top = top_of_list(chosen, lane.len(), fit);
        let short = head.split(" (").next().unwrap_or(head);
        words = format!("{short}, {}-{} of {}", top + 1, top + fit, lane.len());
    }
    canvas.put(area.x, area.y, area.width, &words, Tone::Head);
    let room = Rect::new(
        area.x,
        area.y + 1,
        area.width,
        area.height.saturating_sub(1),
    );
    draw_cards(model, canvas, room, place, lane, lines);
}

fn row_of(model: &Model, place: usize, lane: &[&Task]) -> Option<usize> {
    (model.board.lane == place)
        .then(|| {
            lane.iter()
                .position(|t| Some(&t.id) == model.board.chosen.as_ref())
        })
        .flatten()
}

fn draw_cards(
    model: &Model,
    canvas: &mut Canvas<'_>,
    area: Rect,
    place: usize,
    lane: &[&Task],
    lines: u16,
) {
    if lane.is_empty() {
        let here = model.board.lane == place;
        let mark = if here { ">" } else { " " };
        let key = model.keymap.first(Command::Add);
        let words = format!("nothing here; {key} adds a task");
        canvas.pieces(
            area.x,
            area.y,
            area.width,
            &[(mark, Tone::Key), (&words, Tone::Plain)],
        );
        if here {
            canvas.cursor = Some((area.x, area.y));
        }
        return;
    }
    let fit = (area.height / lines.max(1)).max(1);
    let chosen = row_of(model, place, lane);
    let top = top_of_list(chosen.unwrap_or(0), lane.len(), usize::from(fit));
    for (i, task) in (0..fit).zip(lane.iter().skip(top)) {
        let room = Rect::new(area.x, area.y + i * lines, area.width, lines).intersection(area);
        let is_chosen = chosen == Some(top + usize::from(i));
        draw_card(model, canvas, room, task, is_chosen);
        // The cards are the season's own tasks: no name is compared.
        let mut tasks = model.season.tasks.iter();
        if let Some(place) = tasks.position(|t| std::ptr::eq(t, *task)) {
            canvas.spots.push((room, Spot::Card(place)));
        }
        if is_chosen {
            canvas.cursor = Some((room.x, room.y));
        }
    }
}

fn draw_card(model: &Model, canvas: &mut Canvas<'_>, room: Rect, task: &Task, chosen: bool) {
    let mark = if chosen { ">" } else { " " };
    let title = if chosen { Tone::Chosen } else { Tone::Plain };
    let state = Mark::of(task, model.standings.get(&task.id));
    canvas.put(room.x, room.y, 1, mark, Tone::Key);
    canvas.sign(room.x + 1, room.y, state.sign(), year::tone(state));
    let left = room.width.saturating_sub(3);
    canvas.put(room.x + 3, room.y, left, &task.title, title);
    let worst: Option<Level> = model.outlook.worst_of(&task.id);
    let short = room.width < ROOMY;
    let indent = if short { 1 } else { 3 };
    let (x, columns) = (room.x + indent, room.width.saturating_sub(indent));
    let day = words::card_day(task, model.today, short);
    if room.height >= 2 {
        let next = canvas.put(x, room.y + 1, columns, &day, Tone::Plain);
        if room.height == 2 {
            let left = room.right().saturating_sub(next + 1);
            warn(
                canvas,
                next + 1,
                room.y + 1,
                left,
                worst,
                &last_words(model, task, left),
            );
        }
    }
    if room.height >= 3 {
        let words = last_words(model, task, columns);
        warn(canvas, x, room.y + 2, columns, worst, &words);
    }
}

/// The next fit hours of a spray the forecast reaches, else the blocks.
fn last_words(model: &Model, task: &Task, columns: u16) -> String {
    let blocks = words::blocks_within(&model.season, task, columns.into());
    let reached = hours::reach(model).is_some_and(|last| task.date <= last);
    match hours::next_words(model, &task.id).filter(|_| reached) {
        Some(fit) => format!("{fit}  {blocks}"),
        None => blocks,
    }
}

/// The worst warning as sign and word, then the blocks.
fn warn(canvas: &mut Canvas<'_>, x: u16, y: u16, columns: u16, worst: Option<Level>, blocks: &str) {
    let end = x + columns;
    let mut at = x;
    if let Some(level) = worst {
        // The word is dropped before the sign, and neither is cut.
        let word = format!(" {}", words::level_word(level));
        at = canvas.put(at, y, columns, words::level_sign(level), tone(level));
        if usize::from(end.saturating_sub(at)) >= word.len() {
            at = canvas.put(at, y, end.saturating_sub(at), &word, Tone::Plain);
        }
        at += 2;
    }
    let left = end.saturating_sub(at);
    if left >= 6 {
        canvas.put(at, y, left, blocks, Tone::Plain);
    }
}
