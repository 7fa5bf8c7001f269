//! A board beside other writers: what came from them, and work of earlier sessions.

use super::BoardHost;
use crate::domain::season::Season;
use crate::store::compare::{differences, in_short};
use crate::store::merge::{self, Collision, Side};
use crate::store::session::{self, Outside, Saved};
use crate::tui::host::{CameIn, Joined, Kept, SaveOutcome, Stands};

/// So many changes of others are named.
const NAMED: usize = 3;
/// And so many of work that was kept aside.
const LISTED: usize = 12;

/// What there is to say of a save.
pub(super) fn said_of(saved: Saved) -> SaveOutcome {
    let backup = saved
        .no_backup
        .map(|why| format!("saved, but the version before could not be kept: {why}"));
    match (saved.joined, backup) {
        (Some(joined), backup) => {
            let mut words = came_words(&joined.words, joined.by.as_deref());
            words.extend(met_words(&joined.collisions));
            words.extend(backup);
            SaveOutcome::Joined(Box::new(CameIn {
                season: *joined.season,
                words: words.join("; "),
            }))
        }
        (None, Some(words)) => SaveOutcome::SavedBut(words),
        (None, None) => SaveOutcome::Saved,
    }
}

fn came_words(words: &str, by: Option<&str>) -> Vec<String> {
    if words.is_empty() {
        return Vec::new();
    }
    vec![match by {
        Some(by) => format!("from {by}: {words}"),
        None => format!("from another program: {words}"),
    }]
}

/// Where two edits met without a question: the first, and how many more.
fn met_words(collisions: &[Collision]) -> Option<String> {
    let first = collisions.first()?;
    Some(match collisions.len() {
        1 => first.to_string(),
        n => format!("{first}; {} more", n - 1),
    })
}

impl BoardHost {
    /// What others wrote since the file was last read.
    pub(super) fn came_in(&mut self, season: &Season) -> Result<Option<CameIn>, String> {
        let session = self.session.as_mut().ok_or("practice has no file")?;
        let before = session.season().clone();
        let Some(outside) = session.changed_outside(season).map_err(|e| e.to_string())? else {
            return Ok(None);
        };
        let Outside::Changed {
            merged, theirs, by, ..
        } = &outside
        else {
            return Err(format!("{outside}; your season stays as it is here"));
        };
        let words = in_short(&differences(&before, theirs), NAMED);
        let came = CameIn {
            season: merged.season.clone(),
            words: came_words(&words, by.as_deref()).join("; "),
        };
        session.adopt(outside);
        Ok(Some(came))
    }

    /// Joins with what is on the disk as its owner chose.
    pub(super) fn joined(&mut self, season: &Season, stands: Stands) -> Result<Joined, String> {
        let place = self.place();
        let session = self.session.as_mut().ok_or("practice has no file")?;
        let base = session.season().clone();
        let outside = session
            .changed_outside(season)
            .map_err(|e| e.to_string())?
            .ok_or("the file on the disk is as it was; save again")?;
        let Outside::Changed { merged, theirs, .. } = &outside else {
            return Err(format!("{outside}; there is nothing to join with"));
        };
        let ours = merged.season.clone();
        let (chosen, words) = match stands {
            Stands::Ours => {
                let met: Vec<Collision> = merged.collisions.clone();
                let words = met_words(&met).unwrap_or_else(|| "both changes stand".to_owned());
                (ours.clone(), format!("joined: {words}"))
            }
            Stands::Theirs => {
                let joined = merge::onto(&base, theirs, season, Side::Theirs);
                let words = met_words(&joined.collisions)
                    .unwrap_or_else(|| "both changes stand".to_owned());
                (
                    joined.season,
                    format!("joined: {words}; undo brings yours back"),
                )
            }
            Stands::DiskAlone => {
                let added = season.records.len().saturating_sub(base.records.len());
                let joined = merge::disk_alone(&base, theirs, season);
                let words = match added {
                    0 => "what is on the disk".to_owned(),
                    1 => "what is on the disk, and your record".to_owned(),
                    n => format!("what is on the disk, and your {n} records"),
                };
                (joined.season, format!("{words}; undo brings yours back"))
            }
        };
        session.adopt(outside);
        if stands != Stands::Ours {
            // What was kept aside has more in it than what is saved now.
            session.leave_aside();
        }
        Ok(Joined {
            ours,
            chosen,
            place,
            words,
        })
    }

    /// Work of earlier sessions, and what differs from the season.
    pub(super) fn kept_work(&self, season: &Season) -> Vec<Kept> {
        let Some(session) = self.session.as_ref().filter(|s| s.read_only().is_none()) else {
            return Vec::new();
        };
        let kept = session.recovered().iter().map(|kept| Kept {
            id: kept.id(),
            when: kept.when(season.orchard.time_zone),
            differs: match session.join_recovered(kept, season) {
                Ok(joined) => listed(season, &joined),
                Err(why) => vec![why],
            },
        });
        kept.collect()
    }

    /// Kept work joined with the season; the words say what of it was left out.
    pub(super) fn joined_kept(&mut self, season: &Season, id: &str) -> Result<CameIn, String> {
        let session = self.session.as_mut().ok_or("practice has no file")?;
        let kept = session
            .recovered()
            .iter()
            .find(|kept| kept.id() == id)
            .cloned()
            .ok_or("it is not kept any more")?;
        let joined = session.join_recovered(&kept, season)?;
        let left_out = left_out(&joined.collisions);
        let words = match left_out.first() {
            None => String::new(),
            Some(first) => format!(
                "joined; it stays kept, for {} differ: {first}",
                left_out.len()
            ),
        };
        Ok(CameIn {
            season: joined.season,
            words,
        })
    }

    pub(super) fn let_go(&mut self, id: &str) {
        let Some(session) = &mut self.session else {
            return;
        };
        let path = session::kept_path(session, id);
        if let Some(path) = path {
            self.at.log.note(&format!("let go: {}", path.display()));
            session.discard_recovered(&path);
        }
    }
}

/// What of joined work does not stand: a value of its own gave way to the present one.
fn left_out(collisions: &[Collision]) -> Vec<&Collision> {
    let gone = |c: &&Collision| c.kept == merge::Kept::Theirs && c.ours != "nothing";
    collisions.iter().filter(gone).collect()
}

fn listed(season: &Season, joined: &merge::Merged) -> Vec<String> {
    let mut lines: Vec<String> = differences(season, &joined.season)
        .iter()
        .map(ToString::to_string)
        .chain(left_out(&joined.collisions).iter().map(ToString::to_string))
        .collect();
    if let Some(more) = lines.len().checked_sub(LISTED).filter(|n| *n > 0) {
        lines.truncate(LISTED);
        lines.push(format!("{more} more"));
    }
    lines
}
