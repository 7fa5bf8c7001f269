//! Earlier versions, for the way back on the board.

use super::BoardHost;
use crate::domain::harmless::Shown;
use crate::domain::season::Season;
use crate::store::backups::Backup;
use crate::store::compare::differences;
use crate::store::disk::{Disk as _, RealDisk};
use crate::store::season_file::{self, LARGEST_BYTES};
use crate::store::writers;
use crate::tui::host::Earlier;

/// So many differences are told of a version.
const TOLD: usize = 40;

impl BoardHost {
    /// Work that was kept, then every earlier version that can be read, newest first.
    pub(super) fn earlier(&mut self, season: &Season) -> Result<Vec<Earlier>, String> {
        let session = self.session.as_ref().ok_or("practice has no versions")?;
        // Who wrote what came behind a version is who replaced it.
        let mut after = RealDisk
            .read(session.file(), LARGEST_BYTES as u64)
            .unwrap_or_default();
        let kept = self.kept_work(season).into_iter().map(|kept| Earlier {
            id: kept.id,
            until: kept.when,
            kept: true,
            by: None,
            differs: kept.differs,
        });
        let mut found: Vec<Earlier> = kept.collect();
        for backup in session.backups() {
            let Some((bytes, version)) = read(&backup, season) else {
                continue;
            };
            let replaced = backup
                .replaced
                .and_utc()
                .with_timezone(&season.orchard.time_zone);
            found.push(Earlier {
                kept: false,
                id: name(&backup),
                until: replaced.format("%a %-d %b %H:%M:%S").to_string(),
                by: writers::of(&RealDisk, session.file(), &after),
                differs: differences(&version, season)
                    .iter()
                    .take(TOLD)
                    .map(|d| Shown::line(&d.to_string()).to_string())
                    .collect(),
            });
            after = bytes;
        }
        Ok(found)
    }

    /// One of them by its name.
    pub(super) fn earlier_version(&mut self, season: &Season, id: &str) -> Result<Season, String> {
        let session = self.session.as_ref().ok_or("practice has no versions")?;
        let backups = session.backups();
        let backup = backups.iter().find(|b| name(b) == id);
        let version = backup.and_then(|b| read(b, season));
        let version = version.ok_or("that version is gone or cannot be read; look again")?;
        Ok(version.1)
    }
}

fn name(backup: &Backup) -> String {
    let stem = backup.path.file_stem().unwrap_or_default();
    stem.to_string_lossy().into_owned()
}

fn read(backup: &Backup, like: &Season) -> Option<(Vec<u8>, Season)> {
    let bytes = RealDisk.read(&backup.path, LARGEST_BYTES as u64).ok()?;
    let loaded = season_file::read_bytes_beside(&bytes, "version", &like.shared_targets).ok()?;
    Some((bytes, loaded.season))
}
