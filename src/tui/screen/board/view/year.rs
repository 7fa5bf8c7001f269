//! The year on top: three lanes as tracks that step down, each task a sign on its day; below
//! them each block's time left as a line to its last safe day, and its swell as a curtain.

use super::axis::Axis;
use crate::domain::outlook::BlockEstimate;
use crate::domain::phenology::distribution::StageDate;
use crate::domain::rules::Level;
use crate::domain::season::{Block, Lane, Task, TaskKind};
use crate::report::ribbon::span;
use crate::tui::action::Spot;
use crate::tui::canvas::Canvas;
use crate::tui::model::Model;
use crate::tui::screen::board::standing::Mark;
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::words;
use chrono::{Datelike, Days, Months, NaiveDate};
use ratatui::layout::Rect;
use std::collections::BTreeMap;

/// Columns from which the range of swell stands behind the track.
const RANGES: u16 = 72;
/// Blocks from which a row stands for a kind of tree.
const MANY: usize = 12;

/// The tone of a mark's sign.
pub fn tone(mark: Mark) -> Tone {
    match mark {
        Mark::Stop => Tone::Stop,
        Mark::Caution | Mark::Closing | Mark::Late(true) => Tone::Caution,
        Mark::Open | Mark::Late(false) => Tone::Head,
        Mark::NotYet | Mark::Done | Mark::Skipped => Tone::Plain,
    }
}

/// One row below the lanes: a block, or a kind of tree with its number of blocks.
struct Row<'a> {
    name: String,
    blocks: Vec<&'a Block>,
    estimate: &'a BlockEstimate,
    safe: NaiveDate,
}

/// The rows that can be drawn: blocks by last safe day, kinds of tree where there are many.
fn rows(model: &Model) -> Vec<Row<'_>> {
    let Some(estimates) = &model.estimates else {
        return Vec::new();
    };
    let orchard = &model.season.orchard;
    let mut rows: Vec<Row<'_>> = model
        .season
        .blocks
        .iter()
        .filter_map(|block| {
            let estimate = estimates.of(&block.id)?;
            let guard = block.guard_days.unwrap_or(orchard.guard_days);
            Some(Row {
                name: block.name.clone(),
                blocks: vec![block],
                estimate,
                safe: estimate
                    .swell
                    .last_safe(orchard.tolerance.fraction(), guard),
            })
        })
        .collect();
    rows.sort_by_key(|r| r.safe);
    if rows.len() < MANY {
        return rows;
    }
    let mut kinds: Vec<Row<'_>> = Vec::new();
    for row in rows {
        let Some(kind) = row.blocks.first().map(|b| b.species) else {
            continue;
        };
        let known = kinds
            .iter_mut()
            .find(|k| k.blocks.first().is_some_and(|b| b.species == kind));
        match known {
            Some(known) => known.blocks.extend(row.blocks),
            None => kinds.push(row),
        }
    }
    for kind in &mut kinds {
        let n = kind.blocks.len();
        if let Some(first) = kind.blocks.first()
            && n > 1
        {
            kind.name = format!("{n} {}", plural(first.species.words()));
        }
    }
    kinds
}

fn plural(kind: &str) -> String {
    match kind.strip_suffix('y') {
        Some(stem) => format!("{stem}ies"),
        None if kind.ends_with("ch") => format!("{kind}es"),
        None => format!("{kind}s"),
    }
}

/// How many rows of blocks there are to show.
pub fn block_rows(model: &Model) -> usize {
    rows(model).len()
}

/// The days the year spans: from the month of leaf drop to a week after the last likely swell.
pub fn days(model: &Model) -> (NaiveDate, NaiveDate) {
    let (from, to) = span(&model.season, &model.outlook.swells);
    let tasks = model.season.tasks.iter().map(|t| t.date);
    let swells = model.outlook.swells.iter().map(|s| {
        let [.., late] = s.dates;
        late
    });
    let last = tasks
        .chain(swells)
        .filter(|d| *d < to)
        .max()
        .map_or(to, |d| d + Days::new(8));
    // Today is on it, whatever the plan.
    (
        from,
        last.max(model.today + Days::new(3))
            .min(to)
            .max(from + Days::new(120)),
    )
}

/// Where the year's columns lie.
struct Layout {
    axis: Axis,
    /// Columns of a name.
    names: u16,
    /// Where the words behind the track begin, if there is room for any.
    behind: Option<(u16, u16)>,
}

impl Layout {
    fn of(area: Rect, days: (NaiveDate, NaiveDate)) -> Self {
        let names = if area.width >= 110 { 19 } else { 18 }.min(area.width / 3);
        let wide = match area.width {
            150.. => 27,
            110.. => 25,
            RANGES.. => 24,
            48.. => 11,
            _ => 0,
        };
        let gap = if wide == 0 { 0 } else { 2 };
        let columns = area.width.saturating_sub(names + wide + gap);
        let axis = Axis::new(days, area.x + names, columns);
        Self {
            axis,
            names,
            behind: (wide > 0).then_some((axis.right() + gap, wide)),
        }
    }
}

/// Draws months, lanes and as many rows of blocks as there is room for.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let layout = Layout::of(area, days(model));
    months(model, canvas, area, &layout);
    let lanes = lane_days(model);
    for (y, lane) in (area.y + 1..area.bottom()).zip(Lane::ALL) {
        lane_row(model, canvas, y, &layout, lane, lanes);
    }
    let rows = rows(model);
    for (y, row) in (area.y + 4..area.bottom()).zip(&rows) {
        block_row(model, canvas, y, &layout, row);
    }
}

/// The month names, today's date, and the heads of the columns behind the track.
fn months(model: &Model, canvas: &mut Canvas<'_>, area: Rect, layout: &Layout) {
    let (axis, y) = (&layout.axis, area.y);
    let day = words::day(model.today);
    let label = if area.width >= 100 {
        format!("today {day}")
    } else {
        day
    };
    let wide = u16::try_from(label.len()).unwrap_or(0);
    let least = axis.left();
    let most = axis.right().saturating_sub(wide).max(least);
    let today = axis
        .column(model.today)
        .map(|x| x.saturating_sub(wide / 2).clamp(least, most));
    let mut month = axis.from();
    let mut free = axis.left();
    while month < axis.to() {
        if let Some(x) = axis.column(month) {
            let name = if area.width < 60 {
                words::month(month).get(..1).unwrap_or("")
            } else {
                words::month(month)
            };
            let columns = u16::try_from(name.len()).unwrap_or(0);
            let meets = today.is_some_and(|t| x < t + wide + 1 && t < x + columns + 1);
            if x >= free && x + columns <= axis.right() && !meets {
                canvas.put(x, y, columns, name, Tone::Plain);
                free = x + columns + 1;
            }
        }
        match month
            .with_day(1)
            .and_then(|d| d.checked_add_months(Months::new(1)))
        {
            Some(next) => month = next,
            None => break,
        }
    }
    if let Some(x) = today {
        canvas.put(x, y, wide, &label, Tone::Today);
    }
    if let Some((x, columns)) = layout.behind {
        canvas.put(x, y, columns, "last safe", Tone::Plain);
        if columns >= 24 {
            let room = Rect::new(x, y, columns, 1);
            canvas.put_right(room, "likely swell", Tone::Plain);
        }
    }
}

/// Where each lane begins and ends: each one step further down the year.
pub fn lane_days(model: &Model) -> [(NaiveDate, NaiveDate); 3] {
    let dates = &model.season.dates;
    let drop = dates.leaf_drop_seen.unwrap_or(dates.leaf_drop_expected);
    let swells = &model.outlook.swells;
    let first = swells.iter().map(|s| s.safe).min();
    let last = swells.iter().map(|s| s.safe).max();
    // The month that begins about six weeks after leaf drop: the turn of the year in the north.
    let about = drop + Days::new(46);
    let turn = match about.with_day(1) {
        Some(first) if about.day() <= 15 => first,
        Some(first) => first.checked_add_months(Months::new(1)).unwrap_or(about),
        None => about,
    };
    let late = first
        .map_or(turn + Days::new(45), |d| d - Days::new(21))
        .max(turn);
    let end = last.unwrap_or(late + Days::new(30)).max(late);
    [
        (drop, turn - Days::new(1)),
        (turn, late - Days::new(1)),
        (late, end),
    ]
}

/// The worst mark in each cell.
type Signs = BTreeMap<u16, (Mark, usize)>;

fn signs<'a>(
    model: &'a Model,
    axis: &Axis,
    tasks: impl Iterator<Item = (usize, &'a Task)>,
) -> Signs {
    let mut signs = Signs::new();
    for (place, task) in tasks {
        let Some(x) = axis.column(task.day()) else {
            continue;
        };
        let mark = Mark::of(task, model.standings.get(&task.id));
        let cell = signs.entry(x).or_insert((mark, place));
        if mark.rank() < cell.0.rank() {
            *cell = (mark, place);
        }
    }
    signs
}

fn put_signs(canvas: &mut Canvas<'_>, y: u16, signs: &Signs) {
    for (x, (mark, place)) in signs {
        canvas.sign(*x, y, mark.sign(), tone(*mark));
        canvas
            .spots
            .push((Rect::new(*x, y, 1, 1), Spot::Card(*place)));
    }
}

/// The bar of a lane.
pub fn span_row(canvas: &mut Canvas<'_>, y: u16, axis: &Axis, (from, to): (NaiveDate, NaiveDate)) {
    if to >= axis.from() && from < axis.to() {
        for x in axis.clamped(from)..=axis.clamped(to) {
            canvas.sign(x, y, '░', Tone::Plain);
        }
    }
}

/// What a row of time left shows: the swell and the last safe day.
pub struct Span<'a> {
    /// When buds swell.
    pub swell: Option<&'a StageDate>,
    /// The last safe day.
    pub safe: Option<NaiveDate>,
}

/// Time left as a line from today to the last safe day, and the swell as a curtain.
pub fn time_row(model: &Model, canvas: &mut Canvas<'_>, y: u16, axis: &Axis, span: &Span<'_>) {
    if let Some(swell) = span.swell {
        curtain(canvas, y, axis, swell);
    }
    let today = axis.column(model.today);
    let Some(safe) = span.safe else { return };
    if safe >= model.today {
        for x in axis.clamped(model.today)..axis.clamped(safe) {
            canvas.sign(x, y, '─', Tone::Plain);
        }
        if safe >= axis.to() {
            canvas.sign(axis.right() - 1, y, '─', Tone::Plain);
        }
        if let Some(x) = today {
            canvas.sign(x, y, '├', Tone::TodayLine);
        }
    } else if let Some(x) = today {
        canvas.sign(x, y, '│', Tone::TodayLine);
    }
    if let Some(x) = axis.column(safe) {
        let closed = safe < model.today;
        canvas.sign(x, y, ']', if closed { Tone::Stop } else { Tone::Safe });
    }
}

fn lane_row(
    model: &Model,
    canvas: &mut Canvas<'_>,
    y: u16,
    layout: &Layout,
    lane: Lane,
    days: [(NaiveDate, NaiveDate); 3],
) {
    let axis = &layout.axis;
    let place = Lane::ALL.iter().position(|l| *l == lane).unwrap_or(0);
    let x = axis.left() - layout.names;
    canvas.put(x, y, layout.names - 1, super::lane_name(lane), Tone::Head);
    let [.., last] = days;
    let (from, to) = days.get(place).copied().unwrap_or(last);
    span_row(canvas, y, axis, (from, to));
    if let Some(x) = axis.column(model.today) {
        canvas.sign(x, y, '│', Tone::TodayLine);
    }
    let tasks = model.season.tasks.iter().enumerate();
    put_signs(
        canvas,
        y,
        &signs(model, axis, tasks.filter(|(_, t)| t.lane == lane)),
    );
    if let Some((x, columns)) = layout.behind {
        counts(model, canvas, Rect::new(x, y, columns, 1), lane);
    }
}

/// What stands against a lane's tasks, the worst first, as far as there is room.
fn counts(model: &Model, canvas: &mut Canvas<'_>, row: Rect, lane: Lane) {
    let mut number = [0_usize; 5];
    for task in model.season.tasks.iter().filter(|t| t.lane == lane) {
        let mark = Mark::of(task, model.standings.get(&task.id));
        if let Some(n) = number.get_mut(usize::from(mark.rank())) {
            *n += 1;
        }
    }
    let words = ["STOP", "caution", "open", "done", "skipped"];
    let mut x = row.x;
    for (i, (n, word)) in number
        .iter()
        .zip(words)
        .enumerate()
        .filter(|(_, (n, _))| **n > 0)
    {
        let gap = match (x == row.x, i) {
            (true, _) => "",
            (_, 0..=3) => "  ",
            _ => ", ",
        };
        let said = format!("{gap}{n} {word}");
        let room = row.right().saturating_sub(x);
        if text::width(&said) > usize::from(room) {
            break;
        }
        let tone = if i == 0 { Tone::Head } else { Tone::Plain };
        x = canvas.put(x, row.y, room, &said, tone);
    }
    if x == row.x {
        canvas.put(x, row.y, row.width, "nothing planned", Tone::Plain);
    }
}

/// The shade of a chance.
pub fn shade(chance: f64) -> char {
    match chance {
        c if c < 0.25 => '░',
        c if c < 0.5 => '▒',
        c if c < 0.75 => '▓',
        _ => '█',
    }
}

/// The curtain of likely swell, darker with the chance, from one in ten to nine in ten.
fn curtain(canvas: &mut Canvas<'_>, y: u16, axis: &Axis, swell: &StageDate) {
    let (first, last) = (swell.p10(), swell.p90());
    if last < axis.from() || first >= axis.to() {
        return;
    }
    for x in axis.clamped(first)..=axis.clamped(last) {
        let chance = swell.chance_by(axis.last_day(x).min(last));
        canvas.sign(x, y, shade(chance), Tone::Band);
    }
}

fn block_row(model: &Model, canvas: &mut Canvas<'_>, y: u16, layout: &Layout, row: &Row<'_>) {
    let axis = &layout.axis;
    let x = axis.left() - layout.names;
    canvas.put(x, y, layout.names - 2, &row.name, Tone::Plain);
    if let Some(worst) = loose(model, row) {
        let sign = words::level_sign(worst);
        canvas.put(
            axis.left() - 2,
            y,
            1,
            sign,
            crate::tui::details::tone(worst),
        );
    }
    let span = Span {
        swell: Some(&row.estimate.swell),
        safe: Some(row.safe),
    };
    time_row(model, canvas, y, axis, &span);
    let tasks = model.season.tasks.iter().enumerate().filter(|(_, task)| {
        task.kind == TaskKind::Spray
            && row
                .blocks
                .iter()
                .any(|b| task.blocks.is_empty() || task.blocks.contains(&b.id))
    });
    put_signs(canvas, y, &signs(model, axis, tasks));
    if let Some((x, columns)) = layout.behind {
        let day = if columns >= 24 {
            words::weekday_day(row.safe)
        } else {
            words::day(row.safe)
        };
        let tone = if row.safe < model.today {
            Tone::Stop
        } else {
            Tone::Head
        };
        canvas.put(x, y, columns, &day, tone);
        if columns >= 24 {
            let swell = &row.estimate.swell;
            let range = format!("{}-{}", words::day(swell.p10()), words::day(swell.p90()));
            canvas.put_right(Rect::new(x, y, columns, 1), &range, Tone::Plain);
        }
    }
}

/// The gravest warning on a row's blocks that belongs to no task.
fn loose(model: &Model, row: &Row<'_>) -> Option<Level> {
    let of_row = |id: &crate::domain::season::BlockId| row.blocks.iter().any(|b| b.id == *id);
    model
        .outlook
        .loose()
        .filter(|w| w.block.as_ref().is_some_and(of_row))
        .map(|w| w.level)
        .max()
        .filter(|level| *level > Level::Note)
}
