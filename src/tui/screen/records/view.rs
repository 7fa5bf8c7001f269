//! Draws the records.
//!
//! ```text
//! how they stand   how many hold, what they lack, whether they are as written
//! keep out         where re-entry is open, counting down
//! list             latest first
//! below            the chosen record | the season's totals
//! ```

use super::{Part, chosen, closed, holds, shown};
use crate::domain::records::{self, Flaw, Law, Missing, Standing};
use crate::domain::season::Record;
use crate::report::records as report;
use crate::tui::action::Spot;
use crate::tui::canvas::{Canvas, top_of_list};
use crate::tui::details::Row;
use crate::tui::model::Model;
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::view::lists_rows;
use crate::tui::words;
use chrono::NaiveDate;
use ratatui::layout::Rect;

/// From this width on the season's totals stand beside the chosen record.
const BESIDE: u16 = 150;

/// Draws the records screen.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let mut rest = area;
    let mut take = |rows: u16| {
        let rows = rows.min(rest.height);
        let part = Rect {
            height: rows,
            ..rest
        };
        rest = Rect::new(rest.x, rest.y + rows, rest.width, rest.height - rows);
        part
    };
    standing(model, canvas, take(1));
    keep_out(model, canvas, take(u16::from(!closed(model).is_empty())));
    let list = shown(&model.season);
    if list.is_empty() {
        canvas.cursor = Some((area.x, area.y));
        lists_rows(canvas, take(u16::MAX), &none(model), 0);
        return;
    }
    let high = u16::try_from(list.len()).unwrap_or(u16::MAX);
    draw_list(model, canvas, take(high.min(area.height / 3).max(1)), &list);
    let head = take(1);
    if head.width >= BESIDE
        && let Some(record) = chosen(model)
    {
        let below = take(u16::MAX);
        let half = head.width / 2;
        for (x, name, rows) in [
            (head.x, "this record", of_record(model, record)),
            (head.x + half, "the season's totals", of_season(model)),
        ] {
            let room = Rect::new(x, below.y, half.saturating_sub(2), below.height);
            canvas.put(x, head.y, room.width, name, Tone::Head);
            lists_rows(canvas, room, &rows, 0);
        }
        return;
    }
    let (tab, name) = match model.records.part {
        Part::Record => ("tab: the season's totals", "this record"),
        Part::Season => ("tab: this record", "the season's totals"),
    };
    canvas.put(head.x, head.y, head.width, name, Tone::Head);
    canvas.put_right(head, tab, Tone::Plain);
    let rows = match (model.records.part, chosen(model)) {
        (Part::Record, Some(record)) => of_record(model, record),
        _ => of_season(model),
    };
    lists_rows(canvas, take(u16::MAX), &rows, 0);
}

fn none(model: &Model) -> Vec<Row> {
    let mut rows = vec![Row::text(
        "No records yet. Finishing a spray on the board makes one: date, who, where, what, how much, the air, re-entry. Records are only ever added; a correction is a new one.",
    )];
    rows.extend(without_record(model));
    rows
}

/// How the records stand, in one line.
fn standing(model: &Model, canvas: &mut Canvas<'_>, row: Rect) {
    let season = &model.season;
    let held = records::current(season).count();
    let old = season.records.len() - held;
    let lacking = records::current(season)
        .filter(|r| {
            records::missing(r, &Law::of_place(&model.season.orchard))
                .iter()
                .any(Missing::is_law)
        })
        .count();
    let mut parts = vec![match held {
        0 => "no record holds".to_owned(),
        n => text::count(n as i64, "record holds", "records hold"),
    }];
    if old > 0 {
        parts.push(format!("{old} corrected or taken back"));
    }
    match (held, lacking) {
        (0, _) => {}
        (_, 0) => parts.push("none lacks what a law asks for".to_owned()),
        (_, n) => parts.push(format!("{n} lacking what a law asks for")),
    }
    let flaws = records::integrity(season, &[]).len();
    let over = records::over_label(season).len();
    if over > 0 {
        parts.insert(0, format!("{over} over the label"));
    }
    let (sign, tone) = match flaws + over {
        0 => ("", Tone::Plain),
        _ => ("!! ", Tone::Stop),
    };
    match flaws {
        0 if season.records.is_empty() => {}
        0 => parts.push("all as written".to_owned()),
        n => parts.insert(0, text::count(n as i64, "flaw", "flaws")),
    }
    canvas.pieces(
        row.x,
        row.y,
        row.width,
        &[(sign, tone), (&parts.join("; "), Tone::Head)],
    );
}

/// Where others must stay out, the longest first; also on the board.
pub fn keep_out(model: &Model, canvas: &mut Canvas<'_>, row: Rect) {
    if row.height == 0 {
        return;
    }
    let open = closed(model);
    let said = |words: fn(&Standing, NaiveDate) -> String| -> String {
        let each = open.iter().map(|state| {
            let names: Vec<&str> = state
                .blocks
                .iter()
                .map(|id| {
                    model
                        .season
                        .block(id)
                        .map_or(id.as_str(), |b| b.name.as_str())
                })
                .collect();
            let left = words(&state.standing, model.today);
            format!("{left}: {}", names.join(", "))
        });
        each.collect::<Vec<_>>().join("; ")
    };
    let head = "!! keep out ";
    let mut where_to = said(words::standing);
    if text::width(&where_to) + head.len() > usize::from(row.width) {
        where_to = said(words::standing_short);
    }
    canvas.pieces(
        row.x,
        row.y,
        row.width,
        &[(head, Tone::Stop), (&where_to, Tone::Head)],
    );
}

/// One record in one line.
pub fn line(model: &Model, record: &Record) -> String {
    let season = &model.season;
    let title = record
        .task
        .as_ref()
        .and_then(|id| season.task(id))
        .map_or("no task", |t| t.title.as_str());
    let blocks: Vec<&str> = records::blocks_of(season, record)
        .iter()
        .map(|b| b.name.as_str())
        .collect();
    let state = if record.taken_back {
        "takes back ".to_owned()
            + record
                .corrects
                .as_ref()
                .map_or("", crate::domain::season::RecordId::as_str)
            + ", "
    } else if holds(season, record) {
        match records::missing(record, &Law::of_place(&model.season.orchard))
            .iter()
            .filter(|m| m.is_law())
            .count()
        {
            0 => String::new(),
            n => format!("lacks {n}, "),
        }
    } else {
        "no longer holds, ".to_owned()
    };
    format!(
        "{:<4} {}  {state}{title}, {}",
        record.id.as_str(),
        words::weekday_day(record.date),
        blocks.join(", ")
    )
}

fn draw_list(model: &Model, canvas: &mut Canvas<'_>, area: Rect, list: &[&Record]) {
    let at = model.records.chosen;
    let top = top_of_list(at, list.len(), usize::from(area.height));
    for (y, (place, record)) in (area.y..area.bottom()).zip(list.iter().enumerate().skip(top)) {
        let is_chosen = place == at;
        let mark = if is_chosen { "> " } else { "  " };
        let tone = if is_chosen { Tone::Chosen } else { Tone::Plain };
        canvas.pieces(
            area.x,
            y,
            area.width,
            &[(mark, Tone::Key), (&line(model, record), tone)],
        );
        canvas
            .spots
            .push((Rect::new(area.x, y, area.width, 1), Spot::Line(place)));
        if is_chosen {
            canvas.cursor = Some((area.x, y));
        }
    }
}

fn of_record(model: &Model, record: &Record) -> Vec<Row> {
    let mut rows: Vec<Row> = report::facts(&model.season, record)
        .into_iter()
        .map(|(name, words)| Row::signed(&format!("{name}: "), Tone::Head, words))
        .collect();
    if !holds(&model.season, record) {
        return rows;
    }
    if let Some(state) = records::reentries(&model.season, model.now)
        .iter()
        .find(|s| s.record == record.id)
    {
        let tone = if state.standing.is_open() {
            ("!! re-entry: ", Tone::Stop)
        } else {
            ("re-entry: ", Tone::Head)
        };
        rows.push(Row::signed(
            tone.0,
            tone.1,
            words::standing(&state.standing, model.today),
        ));
        let dry = model
            .fits
            .as_ref()
            .filter(|_| state.standing.is_open())
            .and_then(|fits| records::expected_dry(fits.air(), record));
        if let Some(dry) = dry {
            rows.push(Row::signed("   estimate: ", Tone::Plain, dry));
        }
    }
    // What a law asks for comes first.
    let mut missing = records::missing(record, &Law::of_place(&model.season.orchard));
    missing.sort_by_key(|m| !m.is_law());
    for m in missing {
        let (sign, tone) = if m.is_law() {
            ("! lacks ", Tone::Caution)
        } else {
            (". lacks ", Tone::Note)
        };
        rows.push(Row::signed(
            sign,
            tone,
            format!("{} [{}]", m.words, m.regulation()),
        ));
    }
    rows
}

fn without_record(model: &Model) -> Vec<Row> {
    records::done_without_record(&model.season)
        .map(|task| {
            Row::signed(
                "! ",
                Tone::Caution,
                format!(
                    "{} was done {} and has no record; f on its card makes one",
                    task.title,
                    words::weekday_day(task.day())
                ),
            )
        })
        .collect()
}

fn of_season(model: &Model) -> Vec<Row> {
    let mut rows: Vec<Row> = report::totals(&model.season)
        .into_iter()
        .map(Row::text)
        .collect();
    rows.extend(without_record(model));
    rows.extend(records::over_label(&model.season).iter().map(|over| {
        let said = format!("stop: {}: over the label: {}", over.record, over.words);
        Row::signed("!! ", Tone::Stop, said)
    }));
    let flaws = records::integrity(&model.season, &[]);
    rows.extend(
        flaws
            .iter()
            .map(|f: &Flaw| Row::signed("!! ", Tone::Stop, f.words())),
    );
    if flaws.is_empty() {
        rows.push(Row::text("Every record is as it was written."));
    }
    if let Some(head) = &model.season.records_head {
        rows.push(Row::text(format!(
            "{} sealed, the last seal is {}: note it elsewhere, and records cut from the end are missed.",
            text::count(i64::from(head.count), "record", "records"),
            head.seal
        )));
    }
    rows
}

/// Everything about the chosen record and the season, for the window.
pub fn whole(model: &Model) -> (String, Vec<Row>) {
    let mut rows = Vec::new();
    let title = chosen(model).map_or_else(
        || "Records of the season".to_owned(),
        |record| format!("Record {}", record.id),
    );
    if let Some(record) = chosen(model) {
        rows.extend(of_record(model, record));
        rows.extend([Row::gap(), Row::head("The season")]);
    }
    rows.extend(of_season(model));
    rows.extend([Row::gap(), Row::head("Who asks for what")]);
    for law in Law::of_place(&model.season.orchard) {
        rows.push(Row::signed(
            &format!("{}: ", law.words()),
            Tone::Head,
            law.source().line(),
        ));
    }
    (title, rows)
}
