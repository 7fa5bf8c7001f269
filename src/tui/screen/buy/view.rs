//! Draws the buy list: one line a material, the chosen one's sprays below.

use super::Buy;
use crate::domain::mix::buy::BuyRow;
use crate::domain::mix::measure::Measured;
use crate::tui::action::Spot;
use crate::tui::canvas::{Canvas, top_of_list};
use crate::tui::details::Row;
use crate::tui::model::Model;
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::view::lists_rows;
use crate::tui::words;
use ratatui::layout::Rect;

/// The most columns for names: beyond, the eye would lose the row.
const MOST_NAMES: u16 = 36;

/// Draws the buy list.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let buy = &model.spray.buy;
    let short = buy.list.rows.iter().filter(|r| r.short.is_some()).count();
    let head = match short {
        0 => "Buy list: nothing is short, as far as it can be reckoned".to_owned(),
        n => format!("Buy list: {n} short over all sprays to do"),
    };
    let row = Rect { height: 1, ..area };
    canvas.put(row.x, row.y, row.width, &head, Tone::Head);
    let cost = cost(buy);
    if usize::from(row.width) > text::width(&head) + text::width(&cost) + 2 {
        canvas.put_right(row, &cost, Tone::Plain);
    }
    let rest = Rect::new(
        area.x,
        area.y + 1,
        area.width,
        area.height.saturating_sub(1),
    );
    if buy.list.rows.is_empty() {
        let words = "No open spray needs anything.";
        lists_rows(canvas, rest, &[Row::text(words)], 0);
        return;
    }
    let lines = u16::try_from(buy.list.rows.len()).unwrap_or(u16::MAX);
    let high = lines.min(rest.height / 2);
    let upper = Rect {
        height: high,
        ..rest
    };
    list(buy, canvas, upper);
    let y = rest.y + high + 1;
    let lower = Rect::new(rest.x, y, rest.width, rest.bottom().saturating_sub(y + 1));
    if let Some(row) = buy.row() {
        lists_rows(canvas, lower, &about(model, row), 0);
    }
}

fn cost(buy: &Buy) -> String {
    let partial = if buy.list.cost_is_partial {
        ", not all prices known"
    } else {
        ""
    };
    format!("to spend {:.2}{partial}", buy.list.cost)
}

fn amount(m: Option<&Measured>) -> String {
    m.map_or_else(|| "not known".to_owned(), |m| m.amount.to_string())
}

/// Sign and words of what to do.
fn todo(row: &BuyRow) -> (&'static str, String) {
    match (&row.short, row.packs, row.cost) {
        (Some(short), Some(packs), cost) => {
            let cost = cost.map_or_else(String::new, |c| format!(", {c:.2}"));
            (
                "! ",
                format!(
                    "BUY {}: {}{cost}",
                    short.amount,
                    text::count(i64::from(packs), "pack", "packs")
                ),
            )
        }
        (Some(short), None, _) => ("! ", format!("BUY {}", short.amount)),
        (None, ..) if row.need.is_some() && row.stock.is_some() => ("  ", "enough".to_owned()),
        _ => ("? ", "look: not all is known".to_owned()),
    }
}

fn list(buy: &Buy, canvas: &mut Canvas<'_>, area: Rect) {
    let rows = usize::from(area.height);
    let names = (area.width / 3).min(MOST_NAMES);
    let top = top_of_list(buy.at, buy.list.rows.len(), rows);
    let shown = buy.list.rows.iter().enumerate().skip(top);
    for (y, (n, row)) in (area.y..area.bottom()).zip(shown) {
        let chosen = n == buy.at;
        let mark = if chosen { ">" } else { " " };
        let tone = if chosen { Tone::Chosen } else { Tone::Plain };
        let (sign, words) = todo(row);
        let name = text::cut(&row.name, usize::from(names)).into_owned();
        canvas.pieces(
            area.x,
            y,
            names + 3,
            &[(mark, Tone::Key), (sign, Tone::Caution), (&name, tone)],
        );
        let x = area.x + names + 4;
        let stock = row
            .stock
            .map_or_else(|| "not counted".to_owned(), |s| s.to_string());
        let room = area.right().saturating_sub(x);
        let long = format!(
            "need {}, in the shed {stock}: {words}",
            amount(row.need.as_ref())
        );
        let text = if text::width(&long) <= usize::from(room) {
            long
        } else {
            words
        };
        canvas.put(x, y, room, &text, Tone::Plain);
        canvas
            .spots
            .push((Rect::new(area.x, y, area.width, 1), Spot::Line(n)));
        if chosen {
            canvas.cursor = Some((area.x, y));
        }
    }
}

/// Everything about the chosen line.
pub fn chosen(model: &Model) -> Option<Vec<Row>> {
    model.spray.buy.row().map(|row| about(model, row))
}

fn about(model: &Model, row: &BuyRow) -> Vec<Row> {
    let stock = row
        .stock
        .map_or_else(|| "not counted".to_owned(), |s| s.to_string());
    let mut rows = vec![
        Row::head(row.name.as_str()),
        Row::text(format!(
            "Needed for all sprays to do: {}. In the shed: {stock}. {}.",
            amount(row.need.as_ref()),
            words::capital(&todo(row).1)
        )),
        Row::text(format!(
            "First needed {}, {}.",
            words::full_day(row.first_needed),
            words::away(row.first_needed, model.today)
        )),
    ];
    for id in &row.tasks {
        if let Some(task) = model.season.task(id) {
            rows.push(Row::signed(
                "- ",
                Tone::Plain,
                format!("{}: {}", words::weekday_day(task.date), task.title),
            ));
        }
    }
    for unknown in &row.unknown {
        rows.push(Row::signed("? ", Tone::Caution, unknown.as_str()));
    }
    rows
}
