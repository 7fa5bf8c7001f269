//! The estimates of the day, kept between two openings: working them out anew from decades of
//! temperatures takes longer than all the rest of opening the board.
//!
//! They are kept in the cache folder, one file a season, and are believed only where everything
//! they hang on is the same: this program, the day, the parts of the season that matter, every
//! weather file. Whatever is amiss with a kept file, the estimates are worked out anew.

use super::places::{Places, resolve};
use super::{settings, whole};
use crate::domain::outlook::{Basis, BlockEstimate, Estimates, Ground, Hatch};
use crate::domain::season::Season;
use crate::store::disk::RealDisk;
use chrono::NaiveDate;
use serde::Serialize;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fs::{self, Metadata};
use std::io::Read;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// What a set of estimates hangs on, as a digest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Key([u8; 32]);

/// Which weather a season was read with: its files as they stood, by size and times.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct WeatherFound(Vec<FileFound>);

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
struct FileFound {
    path: PathBuf,
    state: Option<(u64, Option<SystemTime>, Option<SystemTime>)>,
}

impl FileFound {
    fn at(path: PathBuf) -> Self {
        let state = |m: Metadata| (m.len(), m.modified().ok(), m.created().ok());
        Self {
            state: fs::metadata(&path).ok().map(state),
            path,
        }
    }
}

impl WeatherFound {
    /// The weather files of a season in a folder, and the forecast fetched last.
    pub fn of(season: &Season, folder: &Path) -> Self {
        let named = &season.weather;
        let mut found: Vec<FileFound> = [&named.daily, &named.hourly, &named.forecast]
            .into_iter()
            .flatten()
            .filter_map(|name| resolve(&RealDisk, folder, name, named.allow_outside).ok())
            .map(FileFound::at)
            .collect();
        if let Some(places) = Places::find() {
            found.push(FileFound::at(settings::path(&places)));
            let mut fetched: Vec<PathBuf> = fs::read_dir(&places.cache)
                .into_iter()
                .flatten()
                .filter_map(|entry| Some(entry.ok()?.path()))
                .filter(|path| path.is_file())
                .collect();
            fetched.sort();
            found.extend(fetched.into_iter().map(FileFound::at));
        }
        Self(found)
    }
}

impl Key {
    /// What the estimates of a season on a day hang on.
    pub fn of(season: &Season, today: NaiveDate, weather: &WeatherFound) -> Self {
        let program = std::env::current_exe().map(FileFound::at).ok();
        let all = (program, today, Basis::of(season), weather);
        let text = serde_json::to_vec(&all).unwrap_or_default();
        Self(Sha256::digest(text).into())
    }
}

/// What stands in a file.
type Kept = (
    [u8; 32],
    Vec<BlockEstimate>,
    Ground,
    BTreeMap<NaiveDate, f32>,
    Hatch,
);

/// Longest file read: far more than the largest orchard's.
const MOST_BYTES: u64 = 64 << 20;

/// The file that holds a season's estimates.
fn file_of(places: &Places, season: &Path) -> PathBuf {
    let digest: [u8; 32] = Sha256::digest(season.as_os_str().as_encoded_bytes()).into();
    let number = digest
        .first_chunk()
        .map_or(0, |head| u64::from_be_bytes(*head));
    places
        .cache
        .join("estimates")
        .join(format!("{number:016x}"))
}

/// The estimates kept for a season, where they were made from the very same.
pub fn find(places: &Places, season: &Path, key: Key) -> Option<Estimates> {
    let file = fs::File::open(file_of(places, season)).ok()?;
    let mut bytes = Vec::new();
    file.take(MOST_BYTES).read_to_end(&mut bytes).ok()?;
    let (sum, bytes) = bytes.split_first_chunk::<4>()?;
    if crc32fast::hash(bytes) != u32::from_le_bytes(*sum) {
        return None;
    }
    let (known, blocks, ground, rain_mm, hatch): Kept = postcard::from_bytes(bytes).ok()?;
    (known == key.0).then(|| Estimates {
        blocks,
        ground,
        rain_mm,
        hatch,
        ..Estimates::default()
    })
}

/// Keeps the estimates of a season for the next opening. That it cannot be done is nobody's
/// trouble: they are worked out again.
pub fn keep(places: &Places, season: &Path, key: Key, estimates: &Estimates) {
    let kept: Kept = (
        key.0,
        estimates.blocks.clone(),
        estimates.ground.clone(),
        estimates.rain_mm.clone(),
        estimates.hatch.clone(),
    );
    let Ok(bytes) = postcard::to_allocvec(&kept) else {
        return;
    };
    let mut file = crc32fast::hash(&bytes).to_le_bytes().to_vec();
    file.extend(bytes);
    let _ = whole::put_private(&file_of(places, season), &file);
}
