//! Names for calendar entries that stay the same from one export to the next.

use crate::domain::season::Season;
use sha2::{Digest, Sha256};
use std::fmt::Write;

/// A name that depends only on orchard, season, kind and id, so that a
/// calendar replaces an entry instead of doubling it. Two orchards differ by
/// their names.
pub(super) fn stable_id(season: &Season, kind: &str, id: &str) -> String {
    let mut hash = Sha256::new();
    for part in [season.orchard.name.trim(), &season.season, kind, id] {
        hash.update(part.as_bytes());
        hash.update([0]);
    }
    let mut uid = format!("{kind}-");
    for byte in hash.finalize().iter().take(12) {
        let _ = write!(uid, "{byte:02x}");
    }
    uid.push_str("@barewood");
    uid
}
