//! The week's review: one plain screen, Markdown, JSON.

mod brief;
mod json;
mod lines;
mod markdown;
mod numbered;
mod sections;
mod text;

pub use brief::{COLUMNS, LINES, brief, some_blocks};
pub use json::json;
pub use markdown::markdown;
pub use numbered::{numbered, text as numbered_text};
pub use sections::{SWELL, Section, sections};
pub use text::text;
