//! Blocks, sprayers and people as text.

use super::wrap::wrapped;
use crate::domain::season::Season;
use crate::domain::season::table::rows_of;

/// One line a block, sprayer or person, with what is known of it.
pub fn text(season: &Season) -> String {
    let mut out = String::new();
    let mut heads: Vec<String> = Vec::new();
    for row in rows_of(season) {
        if row.is_empty() {
            continue;
        }
        let is_head = matches!(
            row.first().map(String::as_str),
            Some("block" | "sprayer" | "person")
        );
        if is_head {
            let title = match row.first().map(String::as_str) {
                Some("block") => "Blocks",
                Some("sprayer") => "Sprayers",
                _ => "People",
            };
            if !heads.is_empty() {
                out.push('\n');
            }
            out.push_str(title);
            out.push('\n');
            heads = row;
            continue;
        }
        let known: Vec<String> = heads
            .iter()
            .zip(&row)
            .skip(1)
            .filter(|(_, cell)| !cell.is_empty())
            .map(|(head, cell)| format!("{head} {cell}"))
            .collect();
        let name = row.first().cloned().unwrap_or_default();
        out.push_str(&wrapped(&format!("{name}: {}", known.join(", ")), 2));
    }
    out
}
