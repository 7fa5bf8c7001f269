//! The review as plain text: one screen of 80 × 24 in a quiet week.

use super::lines;
use super::sections::{SWELL, sections};
use crate::domain::records;
use crate::domain::review::Review;
use crate::domain::season::Season;
use crate::report::wrap::{WIDTH, wrapped};
use std::fmt::Write;
use unicode_width::UnicodeWidthStr;

/// Names of blocks get this many columns before the estimates.
const NAME_COLUMNS: usize = 20;
/// An estimate with its range needs this many.
const RANGE_COLUMNS: usize = 23;

/// The review as plain text, no line wider than 80 columns. Sections with
/// nothing in them share one line, so that a quiet week fits a screen.
pub fn text(season: &Season, review: &Review) -> String {
    let mut page = Page::default();
    page.out
        .push_str(&wrapped(&lines::headline(season, review), 0));
    for section in sections(season, review) {
        if section.name == SWELL && !review.swell.is_empty() {
            swell(&mut page.out, review);
            page.out
                .push_str(&crate::report::ground::text(&review.around.ground));
        } else {
            page.section(section.name, section.items.into_iter());
        }
    }
    if !page.empty.is_empty() {
        let empty = format!("under {}", page.empty.join(", "));
        page.out
            .push_str(&hanging("Nothing", &empty.to_lowercase()));
    }
    if let Some(head) = records::head_of(season) {
        page.out
            .push_str(&hanging("Records", &format!("head {head}")));
    }
    page.out
        .push_str("Then mark it reviewed. The label decides; this is a plan only.\n");
    page.out
}

/// The page so far, and the sections that had nothing.
#[derive(Default)]
struct Page {
    out: String,
    empty: Vec<&'static str>,
}

impl Page {
    /// One item a line, with the name before the first.
    fn section(&mut self, name: &'static str, items: impl Iterator<Item = String>) {
        let mut lead = name;
        for item in items {
            self.out.push_str(&hanging(lead, &item));
            lead = "";
        }
        if lead == name {
            self.empty.push(name);
        }
    }
}

/// A text broken at 80 columns, ten columns in, with a name in front.
fn hanging(lead: &str, item: &str) -> String {
    let block = wrapped(item, 10);
    let rest = block.strip_prefix("          ").unwrap_or(&block);
    format!("{lead:<10}{rest}")
}

fn swell(out: &mut String, review: &Review) {
    let _ = writeln!(
        out,
        "{:<NAME_COLUMNS$} {:<RANGE_COLUMNS$} {:<RANGE_COLUMNS$} last safe",
        "Swell (80 % range)", "then", "now"
    );
    for (name, change) in lines::grouped(&review.swell) {
        let then = change.then.map_or_else(|| "-".to_owned(), lines::range);
        let _ = writeln!(
            out,
            "  {} {then:<RANGE_COLUMNS$} {:<RANGE_COLUMNS$} {}",
            fitted(&name, NAME_COLUMNS - 2),
            lines::range(change.now),
            lines::short(change.last_safe)
        );
        if let Some(causes) = lines::causes(change) {
            out.push_str(&wrapped(&causes, 6));
        }
    }
}

/// A name cut or filled to a width, counted in columns.
fn fitted(name: &str, columns: usize) -> String {
    let mut cut = String::new();
    for c in name
        .chars()
        .filter(|c| !crate::domain::harmless::steers(*c))
    {
        let with = format!("{cut}{c}");
        if with.width() > columns {
            while cut.width() + 1 > columns {
                cut.pop();
            }
            cut.push('~');
            break;
        }
        cut = with;
    }
    let fill = columns.saturating_sub(cut.width());
    debug_assert!(cut.width() <= WIDTH);
    cut.push_str(&" ".repeat(fill));
    cut
}
