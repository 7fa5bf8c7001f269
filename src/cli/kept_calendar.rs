//! The calendar file that is kept fresh with every save, where its owner wishes one.

use super::Failure;
use super::put_file::{Replace, put_file};
use crate::report::calendar::{self, CalendarOf};
use crate::store::disk::{Disk as _, RealDisk};
use crate::store::places::Places;
use crate::store::settings::Settings;
use std::path::{Path, PathBuf};

/// No calendar of ours is larger.
const MOST_BYTES: u64 = 64 << 20;

/// The file that `[calendar] file` of the settings names.
pub(super) fn wished() -> Result<Option<PathBuf>, Failure> {
    let Some(places) = Places::find() else {
        return Ok(None);
    };
    let settings = Settings::load(&places).map_err(|e| Failure::Input(e.to_string()))?;
    settings
        .calendar
        .map(|file| super::board_host::expand(&file).map_err(Failure::Input))
        .transpose()
}

/// A calendar in the light of what the file held before, where there is one.
pub(super) fn text(of: &CalendarOf<'_>, file: Option<&Path>) -> String {
    let before = file
        .and_then(|file| RealDisk.read(file, MOST_BYTES).ok())
        .and_then(|bytes| String::from_utf8(bytes).ok());
    calendar::ics(&CalendarOf {
        before: before.as_deref(),
        ..*of
    })
}

/// Puts it in its place, whole or not at all; the words say what went wrong.
pub(super) fn put(file: &Path, text: &str) -> Result<(), String> {
    put_file(file, text, Replace::OwnCalendar).map_err(|fault| {
        format!(
            "The season is saved, but its calendar could not be written: {fault}. Change [calendar] file in settings.toml."
        )
    })
}
