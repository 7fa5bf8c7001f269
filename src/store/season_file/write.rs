//! Writes a changed season back into the text its owner wrote.

use super::super::tree;
use super::sync::sync;
use super::{Problems, read_beside};
use crate::domain::season::Season;
use thiserror::Error;
use toml_edit::DocumentMut;

/// Why a season was not turned into text.
#[derive(Debug, Error)]
pub enum WriteError {
    /// The text it should be put into is no TOML.
    #[error("the text to write into is not TOML: {0}")]
    NotToml(#[from] toml_edit::TomlError),
    /// A value has no form in a file.
    #[error("a value cannot be written: {0}")]
    NoForm(#[from] serde_json::Error),
    /// What came out could not be read again, so it was not used.
    #[error("the season cannot be written so that it could be read again:\n{0}")]
    Unreadable(Problems),
    /// What came out reads as another season, so it was not used.
    #[error("the season reads back differently from what was written")]
    ReadsDifferently,
}

/// Times the result is read back and corrected: a value left out in the text
/// may hang on another that changed.
const PASSES: usize = 4;

/// Puts the difference between two seasons into a text: `previous_text` reads
/// as `old`; the result reads as `new` (this is checked by reading it).
/// Comments, order, unknown keys and the layout of what did not change stay.
///
/// # Errors
/// [`WriteError`]; the text is then as it was.
pub fn write(previous_text: &str, old: &Season, new: &Season) -> Result<String, WriteError> {
    let (bom, body) = match previous_text.strip_prefix('\u{feff}') {
        Some(body) => ("\u{feff}", body),
        None => ("", previous_text),
    };
    if old == new {
        return Ok(previous_text.to_owned());
    }
    let crlf = body.contains("\r\n");
    let mut document: DocumentMut = if crlf {
        body.replace("\r\n", "\n").parse()?
    } else {
        body.parse()?
    };
    let wanted = tree::of(new)?;
    let mut before = tree::of(old)?;
    for pass in 0..PASSES {
        sync(&mut document, &before, &wanted, pass > 0);
        let text = document.to_string();
        // In a large season the document is by far the largest thing: it goes before the text is
        // read back, which makes as much again.
        drop(document);

        let got = read_beside(&text, "the new text", &new.shared_targets)
            .map_err(WriteError::Unreadable)?
            .season;
        // Compared as written where need be: quantities keep six decimals in a file.
        let reads = if got == *new {
            None
        } else {
            Some(tree::of(&got)?).filter(|reads| *reads != wanted)
        };
        let Some(reads) = reads else {
            let text = if crlf {
                text.replace('\n', "\r\n")
            } else {
                text
            };
            return Ok(format!("{bom}{text}"));
        };
        before = reads;
        document = text.parse()?;
    }
    Err(WriteError::ReadsDifferently)
}
