//! Draws the sprayers: the list, and what was measured on the chosen one.

use super::{calibrations, chosen};
use crate::domain::season::{Calibration, Season, Sprayer, UnitSystem};
use crate::report::shed;
use crate::tui::action::Spot;
use crate::tui::canvas::{Canvas, top_of_list};
use crate::tui::details::Row;
use crate::tui::model::Model;
use crate::tui::text;
use crate::tui::theme::Tone;
use crate::tui::view::lists_rows;
use crate::tui::words;
use ratatui::layout::Rect;

/// Draws the sprayers.
pub fn draw(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let sprayers = &model.season.sprayers;
    let head = format!(
        "Sprayers: {}",
        text::count(sprayers.len() as i64, "sprayer", "sprayers")
    );
    canvas.put(area.x, area.y, area.width, &head, Tone::Head);
    let rest = Rect::new(
        area.x,
        area.y + 1,
        area.width,
        area.height.saturating_sub(1),
    );
    if sprayers.is_empty() {
        let words = "There are no sprayers yet: the season file names them.";
        lists_rows(canvas, rest, &[Row::text(words)], 0);
        return;
    }
    let lines = u16::try_from(sprayers.len()).unwrap_or(u16::MAX);
    let high = lines.min(rest.height / 3);
    list(
        model,
        canvas,
        Rect {
            height: high,
            ..rest
        },
    );
    let y = rest.y + high + 1;
    let lower = Rect::new(rest.x, y, rest.width, rest.bottom().saturating_sub(y + 1));
    if let Some(sprayer) = chosen(model) {
        lists_rows(canvas, lower, &about(model, sprayer), 0);
    }
}

/// Is a nozzle of this calibration more than a tenth off?
fn worn(calibration: &Calibration) -> bool {
    calibration
        .worst_nozzle_percent
        .is_some_and(|p| p.abs() > 10.0 + 1e-9)
}

fn standing(season: &Season, sprayer: &Sprayer) -> (&'static str, String) {
    match calibrations(sprayer).first() {
        None => ("! ", "never calibrated".to_owned()),
        Some(c) if c.date < season.starts() => (
            "! ",
            format!(
                "not calibrated this season, last {}",
                words::full_day(c.date)
            ),
        ),
        Some(c) if worn(c) => (
            "! ",
            format!("measured {}, a nozzle is worn", words::day(c.date)),
        ),
        Some(c) => ("  ", format!("calibrated {}", words::full_day(c.date))),
    }
}

fn list(model: &Model, canvas: &mut Canvas<'_>, area: Rect) {
    let at = model.spray.sprayers.at;
    let rows = usize::from(area.height);
    let top = top_of_list(at, model.season.sprayers.len(), rows);
    let shown = model.season.sprayers.iter().enumerate().skip(top);
    for (y, (n, sprayer)) in (area.y..area.bottom()).zip(shown) {
        let chosen = n == at;
        let mark = if chosen { ">" } else { " " };
        let tone = if chosen { Tone::Chosen } else { Tone::Plain };
        let (sign, words) = standing(&model.season, sprayer);
        let words = format!(": {words}");
        canvas.pieces(
            area.x,
            y,
            area.width,
            &[
                (mark, Tone::Key),
                (sign, Tone::Caution),
                (&sprayer.name, tone),
                (&words, Tone::Plain),
            ],
        );
        canvas
            .spots
            .push((Rect::new(area.x, y, area.width, 1), Spot::Line(n)));
        if chosen {
            canvas.cursor = Some((area.x, y));
        }
    }
}

/// Everything about the chosen sprayer.
pub fn chosen_rows(model: &Model) -> Option<Vec<Row>> {
    chosen(model).map(|sprayer| about(model, sprayer))
}

fn about(model: &Model, sprayer: &Sprayer) -> Vec<Row> {
    let mut rows = vec![
        Row::head(sprayer.name.as_str()),
        Row::text(format!(
            "{}; the tank holds {}.",
            words::capital(shed::kind(sprayer.kind)),
            sprayer.tank
        )),
    ];
    let all = calibrations(sprayer);
    if all.is_empty() {
        rows.push(Row::text(
            "Nothing was measured on it yet. Catch its output with plain water before the first spray: c enters it.",
        ));
    }
    for calibration in all {
        rows.extend(measured(calibration, model.season.orchard.units));
    }
    rows.push(Row::text(
        "Measure with plain water, in gloves and goggles: a sprayer is never quite clean.",
    ));
    rows
}

fn measured(c: &Calibration, units: UnitSystem) -> Vec<Row> {
    let mut rows = vec![Row::signed(
        &format!("{}: ", words::full_day(c.date)),
        Tone::Head,
        shed::measured(c, units),
    )];
    if worn(c) {
        rows.push(Row::signed(
            "! ",
            Tone::Caution,
            "more than 10 % off either way: put a new nozzle in and measure again",
        ));
    }
    rows
}
