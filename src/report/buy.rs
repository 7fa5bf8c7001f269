//! The buy list as text.

use crate::domain::mix::buy::BuyList;
use crate::domain::mix::measure::Measured;
use std::fmt::Write;

/// One line a material that is short, then those that suffice.
pub fn text(list: &BuyList) -> String {
    let mut out = String::new();
    let shown = |m: &Option<Measured>| {
        m.as_ref()
            .map_or_else(|| "not known".to_owned(), |m| m.amount.to_string())
    };
    for row in &list.rows {
        let stock = row
            .stock
            .map_or_else(|| "not counted".to_owned(), |s| s.to_string());
        let buy = match (&row.short, row.packs, row.cost) {
            (Some(short), Some(packs), Some(cost)) => {
                format!("BUY {} ({packs} packs, {cost:.2})", short.amount)
            }
            (Some(short), Some(packs), None) => format!("BUY {} ({packs} packs)", short.amount),
            (Some(short), None, _) => format!("BUY {}", short.amount),
            (None, ..) if row.need.is_some() && row.stock.is_some() => "enough".to_owned(),
            _ => "look".to_owned(),
        };
        let line = format!(
            "{}: need {}, in the shed {stock}; first needed {}: {buy}",
            row.name,
            shown(&row.need),
            row.first_needed
        );
        out.push_str(&super::wrap::wrapped(&line, 0));
        for unknown in &row.unknown {
            out.push_str(&super::wrap::wrapped(unknown, 4));
        }
    }
    if list.rows.is_empty() {
        out.push_str("No open spray needs anything.\n");
    } else if list.cost > 0.0 {
        let partial = if list.cost_is_partial {
            ", not all prices known"
        } else {
            ""
        };
        let _ = writeln!(out, "To spend: {:.2}{partial}", list.cost);
    }
    out
}
