//! What outlives a session beside the season itself: an open form, and the way back.

use super::BoardHost;
use crate::domain::season::Season;
use crate::store::disk::RealDisk;
use crate::store::places::Places;
use crate::store::{draft, trail};
use crate::tui::host::{Draft, Trail};
use std::path::PathBuf;

impl BoardHost {
    /// The open season's file, links followed, unless nothing may be written.
    fn own_file(&self) -> Option<PathBuf> {
        let session = self.session.as_ref().filter(|s| s.read_only().is_none())?;
        Some(session.file().to_owned())
    }

    fn trail_path(&self) -> Option<PathBuf> {
        Some(trail::path(&Places::find()?.state, &self.own_file()?))
    }

    /// Where an open form is kept: for practice that one is kept with which a season is begun.
    fn draft_path(&self) -> Option<PathBuf> {
        let state = Places::find()?.state;
        match self.own_file() {
            Some(file) => Some(draft::path(&state, Some(&file))),
            None => (self.session.is_none() && self.newcomer).then(|| draft::path(&state, None)),
        }
    }

    pub(super) fn kept_draft(&mut self) -> Option<Draft> {
        let text = draft::read(&RealDisk, &self.draft_path()?)?;
        serde_json::from_str(&text).ok()
    }

    pub(super) fn keep_draft_aside(&mut self, draft: Option<&Draft>) {
        let Some(path) = self.draft_path() else {
            return;
        };
        // Practice is not written; the answers of somebody who begins a season are.
        let wanted = |d: &&Draft| self.session.is_some() || d.purpose == "begin";
        match draft.filter(wanted).map(serde_json::to_string) {
            Some(Ok(text)) => {
                self.at
                    .log
                    .note(&match draft::write(&RealDisk, &path, &text) {
                        Ok(()) => format!("an open form is kept: {}", path.display()),
                        Err(fault) => format!("error: an open form is lost: {fault}"),
                    });
            }
            Some(Err(_)) => {}
            None => draft::discard(&RealDisk, &path),
        }
    }

    pub(super) fn kept_trail(&mut self, now: &Season) -> Option<Trail> {
        let kept = trail::Trail::read(&RealDisk, &self.trail_path()?, now)?;
        let (seasons, words, others, at) = kept.seasons(&now.shared_targets)?;
        Some(Trail {
            seasons,
            words,
            others,
            at,
        })
    }

    pub(super) fn keep_trail_aside(&mut self, way: &Trail, is_whole: bool) {
        let (Some(path), Some(first)) = (self.trail_path(), way.seasons.first()) else {
            return;
        };
        let Some(this) = trail::Trail::of(&way.seasons, &way.words, &way.others, way.at) else {
            return;
        };
        let earlier = (!is_whole)
            .then(|| trail::Trail::read(&RealDisk, &path, first))
            .flatten();
        let whole = match earlier {
            Some(earlier) => earlier.followed_by(this),
            None => this,
        };
        if let Err(fault) = whole.shortened().write(&RealDisk, &path) {
            self.at.log.note(&format!("error: undo is lost: {fault}"));
        }
    }
}
