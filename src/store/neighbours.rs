//! Other seasons of the same orchard, kept in the same folder.

use super::disk::Disk;
use super::season_file::{LARGEST_BYTES, read_bytes};
use crate::domain::season::Season;
use std::path::Path;

/// The seasons found beside one, that one among them, oldest first.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Neighbours {
    /// The seasons.
    pub seasons: Vec<Season>,
    /// Files that look like seasons and were left out, with the reason.
    pub left_out: Vec<String>,
}

/// Every season of the same orchard in the folder of a season file. Files that
/// cannot be read are left out and named: one bad file must not hide the rest.
pub fn beside(disk: &dyn Disk, path: &Path, season: &Season) -> Neighbours {
    let mut found = Neighbours {
        seasons: vec![season.clone()],
        left_out: Vec::new(),
    };
    let folder = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let own = disk.real_path(path).ok();
    let mut names = disk.list(folder).unwrap_or_default();
    names.sort();
    for name in names {
        let hidden = name.to_string_lossy().starts_with('.');
        let file = folder.join(&name);
        let is_toml = file.extension().is_some_and(|e| e == "toml");
        if hidden || !is_toml || file == path || disk.real_path(&file).ok() == own {
            continue;
        }
        let shown = crate::domain::units::shown(&name.to_string_lossy());
        let read = disk
            .read(&file, LARGEST_BYTES as u64)
            .map_err(|e| e.to_string())
            .and_then(|bytes| read_bytes(&bytes, &shown).map_err(|e| e.to_string()));
        match read {
            Ok(loaded) if loaded.season.practice => {}
            Ok(loaded) if is_same_orchard(season, &loaded.season) => {
                found.seasons.push(loaded.season);
            }
            Ok(_) => found
                .left_out
                .push(format!("{shown}: another orchard's season")),
            Err(why) => {
                let first = why.lines().next().unwrap_or_default();
                found.left_out.push(format!("{shown}: {first}"));
            }
        }
    }
    found
        .seasons
        .sort_by(|a, b| (a.starts(), &a.season).cmp(&(b.starts(), &b.season)));
    found
}

/// The same name, or the same place within about a kilometre.
fn is_same_orchard(a: &Season, b: &Season) -> bool {
    let (a, b) = (&a.orchard, &b.orchard);
    a.name.trim().eq_ignore_ascii_case(b.name.trim())
        || (a.latitude - b.latitude).abs() < 0.01 && (a.longitude - b.longitude).abs() < 0.01
}
