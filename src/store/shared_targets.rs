//! The grower's own targets for every season: `targets.toml` among the
//! settings, with `[[target]]` tables as in a season file.

use super::disk::Disk;
use super::places::Places;
use super::season_file::{LARGEST_BYTES, read_targets};
use super::session::OpenError;
use crate::domain::season::TargetRow;
use std::io;

/// The file's name in the folder of settings.
pub const NAME: &str = "targets.toml";

/// The rows of the file; none where there is no such file.
///
/// # Errors
/// Where it cannot be read, or something in it is wrong: with file, line and field.
pub fn load(disk: &dyn Disk, places: Option<&Places>) -> Result<Vec<TargetRow>, OpenError> {
    let Some(places) = places else {
        return Ok(Vec::new());
    };
    let path = places.config.join(NAME);
    let unreadable = |source| OpenError::Unreadable {
        path: path.clone(),
        source,
    };
    let bytes = match disk.read(&path, LARGEST_BYTES as u64) {
        Ok(bytes) => bytes,
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(e) => return Err(unreadable(e)),
    };
    let text = String::from_utf8(bytes).map_err(|_| {
        unreadable(io::Error::new(
            io::ErrorKind::InvalidData,
            "it is not UTF-8 text; save it as UTF-8",
        ))
    })?;
    read_targets(&text, &path.display().to_string()).map_err(OpenError::Problems)
}
