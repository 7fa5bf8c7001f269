//! A picture of the buds, copied beside the season.

use crate::cli::Failure;
use crate::cli::season_at::Opened;
use crate::domain::season::BlockId;
use crate::store::disk::{Disk as _, RealDisk};
use crate::store::save::{self, NotNew};
use chrono::NaiveDate;
use std::path::{Path, PathBuf};

/// No picture is larger.
const MOST_BYTES: u64 = 64 << 20;
/// So many pictures of one block, day and stage have a name.
const MOST_ALIKE: u32 = 99;

/// Copies a picture into the folder of pictures beside the season, under a name that says block,
/// day and stage; gives its path from the season's folder.
pub(super) fn copied(
    opened: &Opened,
    file: &Path,
    date: NaiveDate,
    bbch: u8,
    blocks: &[BlockId],
) -> Result<String, Failure> {
    let failed = |why: String| Failure::Disk(format!("--photo {}: {why}", file.display()));
    let bytes = RealDisk
        .read(file, MOST_BYTES)
        .map_err(|e| failed(e.to_string()))?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(failed(format!(
            "larger than {} MB; give its path without --copy",
            MOST_BYTES >> 20
        )));
    }
    let folder = opened.folder()?;
    let season = opened.session.as_ref().map(|s| s.path().to_path_buf());
    let stem = season.as_deref().and_then(Path::file_stem);
    let stem = stem.map_or_else(|| "season".to_owned(), |s| s.to_string_lossy().into_owned());
    let block = match blocks {
        [one] => one.as_str().to_owned(),
        _ => "blocks".to_owned(),
    };
    let end = file
        .extension()
        .map(|e| e.to_string_lossy().to_lowercase())
        .filter(|e| !e.is_empty() && e.len() < 6 && e.chars().all(char::is_alphanumeric))
        .unwrap_or_else(|| "jpg".to_owned());
    for n in 1..=MOST_ALIKE {
        let more = if n == 1 {
            String::new()
        } else {
            format!("-{n}")
        };
        let name = PathBuf::from(format!("{stem}.photos"))
            .join(format!("{date}-{block}-bbch{bbch}{more}.{end}"));
        match save::put_all_new(&RealDisk, &[(folder.join(&name), bytes.as_slice())]) {
            Ok(()) => return Ok(name.to_string_lossy().into_owned()),
            Err(NotNew::Taken(_)) => {}
            Err(fault) => return Err(failed(fault.to_string())),
        }
    }
    Err(failed(
        "there are too many pictures of that block, day and stage".to_owned(),
    ))
}
