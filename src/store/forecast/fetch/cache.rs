//! The last forecast, kept in a folder: the document as it came, and a note beside it.

use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use chrono::{DateTime, Utc};
use serde::{Deserialize, Serialize};

use super::super::MOST_BYTES;
use super::config::{FetchConfig, Place};
use super::http::Document;
use super::{Fetched, Origin};
use crate::store::whole::put_private as put;

/// The note beside a kept document.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct Note {
    base_url: String,
    latitude: f64,
    longitude: f64,
    url: String,
    etag: Option<String>,
    last_modified: Option<String>,
    received: DateTime<Utc>,
}

/// A document kept.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Kept {
    pub document: Vec<u8>,
    pub url: String,
    pub etag: Option<String>,
    pub last_modified: Option<String>,
    pub received: DateTime<Utc>,
}

/// A forecast kept, if there is one for the place.
pub type Cached = Option<Fetched>;

/// The forecast kept in a folder, without asking anyone: what the board shows when it opens.
pub fn cached(folder: &Path, config: &FetchConfig, place: Place) -> Cached {
    let kept = load(folder, config, place)?;
    Some(Fetched {
        forecast: super::super::read(&kept.document).ok()?,
        received: kept.received,
        origin: Origin::Kept("not asked".to_owned()),
    })
}

fn paths(folder: &Path, config: &FetchConfig) -> (PathBuf, PathBuf) {
    let key = config.service.key();
    (
        folder.join(format!("forecast-{key}.json")),
        folder.join(format!("forecast-{key}.note.json")),
    )
}

/// Reads a file of at most so many bytes.
fn read_limited(path: &Path, most: usize) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    fs::File::open(path)
        .ok()?
        .take(most as u64 + 1)
        .read_to_end(&mut bytes)
        .ok()?;
    (bytes.len() <= most).then_some(bytes)
}

/// What is kept for this service and place, if it is whole.
pub(super) fn load(folder: &Path, config: &FetchConfig, place: Place) -> Option<Kept> {
    let (document_path, note_path) = paths(folder, config);
    let note: Note = serde_json::from_slice(&read_limited(&note_path, 1 << 16)?).ok()?;
    let near = |a: f64, b: f64| (a - b).abs() < 5e-5;
    let same = note.base_url == config.base_url
        && near(note.latitude, place.latitude)
        && near(note.longitude, place.longitude);
    if !same {
        return None;
    }
    let document = read_limited(&document_path, MOST_BYTES)?;
    // A half-written or spoilt document must not be held against the service's "not modified".
    super::super::read(&document).ok()?;
    Some(Kept {
        document,
        url: note.url,
        etag: note.etag,
        last_modified: note.last_modified,
        received: note.received,
    })
}

/// Keeps a document: each file is put in place whole, the note first taken away, so that a note
/// never stands beside another document than its own.
pub(super) fn keep(
    folder: &Path,
    config: &FetchConfig,
    place: Place,
    document: &Document,
    now: DateTime<Utc>,
) -> io::Result<()> {
    let (document_path, note_path) = paths(folder, config);
    let note = Note {
        base_url: config.base_url.clone(),
        latitude: place.latitude,
        longitude: place.longitude,
        url: document.url.clone(),
        etag: document.etag.clone(),
        last_modified: document.last_modified.clone(),
        received: now,
    };
    match fs::remove_file(&note_path) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
        _ => {}
    }
    put(&document_path, &document.body)?;
    put(&note_path, &serde_json::to_vec_pretty(&note)?)
}
