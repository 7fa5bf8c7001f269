//! One page of a sheet, as text for a printer or as a page to print.

use crate::domain::harmless::steers;
use crate::report::wrap::{WIDTH, wrapped};
use std::fmt::Write as _;

/// Lines on a printed page.
pub(super) const LINES: usize = 60;

#[derive(Debug, Clone, PartialEq, Eq)]
enum Line {
    Strong(String),
    Head(String),
    Plain(String),
    Item(String, String),
}

/// A sheet under way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Page {
    language: String,
    title: String,
    lines: Vec<Line>,
}

/// Large type for what hangs on a gate; the rest is read in the hand.
const STYLE: &str = "@page{size:auto;margin:14mm}*{box-sizing:border-box}\
body{font:12pt/1.35 system-ui,sans-serif;color:#000;background:#fff;max-width:180mm;margin:0 auto;padding:4mm}\
h1{font-size:20pt;margin:0 0 3mm}h2{font-size:12pt;margin:4mm 0 1mm;border-bottom:1px solid #000}\
p{margin:1mm 0;overflow-wrap:anywhere}.strong{border:2px solid #000;padding:2mm;font-size:14pt;font-weight:bold;text-align:center}\
.item{padding-left:8mm;text-indent:-8mm}";

impl Page {
    pub(super) fn new(language: &str, title: &str) -> Self {
        Self {
            language: language.to_owned(),
            title: title.to_owned(),
            lines: Vec::new(),
        }
    }

    /// What must be seen first.
    pub(super) fn strong(&mut self, text: &str) {
        self.lines.push(Line::Strong(clean(text)));
    }

    pub(super) fn head(&mut self, text: &str) {
        self.lines.push(Line::Head(clean(text)));
    }

    pub(super) fn line(&mut self, text: &str) {
        self.lines.push(Line::Plain(clean(text)));
    }

    pub(super) fn item(&mut self, mark: &str, text: &str) {
        self.lines.push(Line::Item(clean(mark), clean(text)));
    }

    /// As text of at most eighty columns.
    pub fn text(&self) -> String {
        let mut out = wrapped(&clean(&self.title), 0);
        out.push_str(&"=".repeat(WIDTH));
        out.push('\n');
        for line in &self.lines {
            match line {
                Line::Strong(text) => {
                    for part in wrapped(text, 0).lines() {
                        let _ = writeln!(out, "*** {part}");
                    }
                }
                Line::Head(text) => {
                    out.push('\n');
                    out.push_str(&wrapped(text, 0));
                }
                Line::Plain(text) => out.push_str(&wrapped(text, 0)),
                Line::Item(mark, text) => {
                    let folded = wrapped(&format!("{mark} {text}"), 2);
                    for (i, part) in folded.lines().enumerate() {
                        let pad = if i == 0 { "" } else { "  " };
                        let _ = writeln!(out, "{}", format!("{pad}{part}").trim_end());
                    }
                }
            }
        }
        out
    }

    /// Does its text fit a printed page?
    pub fn fits(&self) -> bool {
        self.text().lines().count() <= LINES
    }

    /// As a self-contained page: nothing is fetched, all text is escaped.
    pub fn html(&self) -> String {
        let escaped = |text: &str| html_escape::encode_safe(text).into_owned();
        let title = escaped(&clean(&self.title));
        // Writing to a string cannot fail.
        let mut out = String::new();
        let _ = write!(
            out,
            "<!doctype html>\n<html lang=\"{}\"><head><meta charset=\"utf-8\">\
             <meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\
             <title>{title}</title><style>{STYLE}</style></head><body>\n<h1>{title}</h1>\n",
            escaped(&self.language)
        );
        for line in &self.lines {
            let _ = match line {
                Line::Strong(text) => writeln!(out, "<p class=\"strong\">{}</p>", escaped(text)),
                Line::Head(text) => writeln!(out, "<h2>{}</h2>", escaped(text)),
                Line::Plain(text) => writeln!(out, "<p>{}</p>", escaped(text)),
                Line::Item(mark, text) => writeln!(
                    out,
                    "<p class=\"item\">{} {}</p>",
                    escaped(mark),
                    escaped(text)
                ),
            };
        }
        out.push_str("</body></html>\n");
        out
    }
}

fn clean(text: &str) -> String {
    text.replace(steers, " ")
}
