//! Draws the materials: the list, and what is entered of the chosen one's
//! label in the order a label is read.

use super::chosen;
use crate::domain::materials::label_fields;
use crate::domain::season::{Material, Organic, Season};
use crate::tui::action::Spot;
use crate::tui::canvas::{Canvas, top_of_list};
use crate::tui::details::Row;
use crate::tui::model::Model;
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::view::lists_rows;
use crate::tui::words;
use ratatui::layout::Rect;

/// From this width on the list stands beside the label.
const WIDE: u16 = 76;

/// Draws the materials.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let materials = &model.season.materials;
    let head = format!(
        "Materials: {}",
        text::count(materials.len() as i64, "material", "materials")
    );
    canvas.put(area.x, area.y, area.width, &head, Tone::Head);
    let rest = Rect::new(
        area.x,
        area.y + 1,
        area.width,
        area.height.saturating_sub(1),
    );
    if materials.is_empty() {
        let words = "There are no materials yet: a adds one from a starting point. What is in your shed, and what its label says, is entered here.";
        lists_rows(canvas, rest, &[Row::text(words)], 0);
        return;
    }
    let (left, right) = if area.width >= WIDE {
        let wide = (area.width * 2 / 5).min(48);
        let x = rest.x + wide + 2;
        (
            Rect {
                width: wide,
                ..rest
            },
            Rect::new(x, rest.y, rest.right() - x, rest.height.saturating_sub(1)),
        )
    } else {
        let high = (rest.height / 3).min(u16::try_from(materials.len()).unwrap_or(6));
        (
            Rect {
                height: high,
                ..rest
            },
            Rect::new(
                rest.x,
                rest.y + high + 1,
                rest.width,
                rest.height.saturating_sub(high + 2),
            ),
        )
    };
    list(model, canvas, left);
    if let Some(material) = chosen(model) {
        lists_rows(canvas, right, &brief(&model.season, material), 0);
    }
}

/// How its label stands this season: sign, a word or two, a sentence.
fn standing(season: &Season, material: &Material) -> (&'static str, &'static str, String) {
    let label = &material.label;
    let start = season.starts();
    match label.read_on {
        _ if label.generic => (
            "!",
            "not a label",
            "A starting point, not a label: hold it against your own.".to_owned(),
        ),
        Some(day) if day >= start => (
            " ",
            "read",
            format!("Label read on {}.", words::full_day(day)),
        ),
        Some(day) => (
            "!",
            "read again",
            format!(
                "Label read last on {}: read it again.",
                words::full_day(day)
            ),
        ),
        None => ("!", "not read", "The label was not read yet.".to_owned()),
    }
}

fn list(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let at = model.spray.materials.at;
    let rows = usize::from(area.height);
    let top = top_of_list(at, model.season.materials.len(), rows);
    let shown = model.season.materials.iter().enumerate().skip(top);
    for (y, (n, material)) in (area.y..area.bottom()).zip(shown) {
        let chosen = n == at;
        let mark = if chosen { ">" } else { " " };
        let tone = if chosen { Tone::Chosen } else { Tone::Plain };
        let (sign, short, _) = standing(&model.season, material);
        let sign = format!("{sign} ");
        let room = usize::from(area.width).saturating_sub(short.len() + 5);
        let name = text::cut(&material.name, room).into_owned();
        canvas.pieces(
            area.x,
            y,
            area.width,
            &[(mark, Tone::Key), (&sign, Tone::Caution), (&name, tone)],
        );
        canvas.put_right(
            Rect {
                y,
                height: 1,
                ..area
            },
            short,
            Tone::Plain,
        );
        canvas
            .spots
            .push((Rect::new(area.x, y, area.width, 1), Spot::Line(n)));
        if chosen {
            canvas.cursor = Some((area.x, y));
        }
    }
}

fn organic(material: &Material) -> &'static str {
    match material.label.organic {
        Organic::Allowed => "Organic rules: allowed; the certifier's rules are final.",
        Organic::Restricted => {
            "Organic rules: allowed under conditions only; the certifier's rules are final."
        }
        Organic::Not => "Organic rules: not allowed; the certifier's rules are final.",
        Organic::Unknown => "Organic rules: not known; ask the certifier, whose rules are final.",
    }
}

/// The chosen material: how it stands, what is entered, what is not.
fn brief(season: &Season, material: &Material) -> Vec<Row> {
    let (sign, _, words) = standing(season, material);
    let mut rows = vec![Row::head(material.name.as_str())];
    let sign = format!("{sign} ");
    rows.push(Row::signed(sign.trim_start(), Tone::Caution, words));
    rows.push(Row::text(organic(material)));
    let stock = material
        .stock
        .map_or_else(|| "not counted".to_owned(), |s| s.to_string());
    let pack = material
        .pack
        .map_or_else(String::new, |p| format!("; sold in packs of {p}"));
    let price = material
        .pack_price
        .map_or_else(String::new, |p| format!(" at {p:.2}"));
    rows.push(Row::text(format!("In the shed: {stock}{pack}{price}.")));
    let mut unknown = Vec::new();
    for field in label_fields() {
        let text = (field.get)(material);
        match field.key {
            // Said above in words.
            "name" | "generic" | "organic" | "read_on" => {}
            _ if text.is_empty() => unknown.push(field.title.to_lowercase()),
            _ => rows.push(Row::signed(&format!("{}: ", field.title), Tone::Head, text)),
        }
    }
    if !unknown.is_empty() {
        rows.push(Row::text(format!(
            "Not entered, so unknown and not fine: {}.",
            unknown.join(", ")
        )));
    }
    rows
}

/// Everything about the chosen material, each field with its plain meaning.
pub fn about(model: &Model) -> Vec<Row> {
    let Some(material) = chosen(model) else {
        return Vec::new();
    };
    let mut rows = brief(&model.season, material);
    rows.truncate(4);
    rows.push(Row::text(
        "The label of the product in your shed is the law; what stands here is your copy of it.",
    ));
    rows.push(Row::gap());
    for field in label_fields() {
        let text = (field.get)(material);
        let text = if text.is_empty() {
            "not entered"
        } else {
            text.as_str()
        };
        rows.push(Row::signed(&format!("{}: ", field.title), Tone::Head, text));
        rows.push(Row::signed("   ", Tone::Plain, field.meaning));
    }
    rows
}
