//! A target as it holds for one season: built in, the grower's, or both.

use super::{Control, Kind, Sanitation, Target, Threshold, built_in};
use crate::domain::materials::named_alike;
use crate::domain::materials::on_label;
use crate::domain::phenology::species::Species;
use crate::domain::season::{Lane, Season, TargetId, TargetRow};
use crate::domain::sources::{self, Source};

/// A target as it holds for one season. The grower's row wins field by field:
/// an empty list or an absent stage there leaves what stands below it. The
/// season's own row goes before the one of the grower's file for every season,
/// and that before the built-in table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TargetView<'a> {
    built_in: Option<&'static Target>,
    own: [Option<&'a TargetRow>; 2],
}

fn own<'a>(season: &'a Season, id: &str) -> [Option<&'a TargetRow>; 2] {
    [&season.targets, &season.shared_targets].map(|rows| rows.iter().find(|t| t.id.as_str() == id))
}

/// The target with this id, from the grower's rows and the built-in table.
pub fn find<'a>(season: &'a Season, id: &TargetId) -> Option<TargetView<'a>> {
    let own = own(season, id.as_str());
    let built_in = built_in().find(|t| t.id == id.as_str());
    let is_known = built_in.is_some() || own.iter().any(Option::is_some);
    is_known.then_some(TargetView { built_in, own })
}

/// Every target of a season: the built-in ones as changed, then the grower's.
pub fn all(season: &Season) -> Vec<TargetView<'_>> {
    let mut views: Vec<TargetView<'_>> = built_in()
        .map(|t| TargetView {
            built_in: Some(t),
            own: own(season, t.id),
        })
        .collect();
    for row in season.targets.iter().chain(&season.shared_targets) {
        if !views.iter().any(|v| v.key() == row.id.as_str()) {
            views.push(TargetView {
                built_in: None,
                own: own(season, row.id.as_str()),
            });
        }
    }
    views
}

impl<'a> TargetView<'a> {
    /// The grower's rows, the one that wins first.
    fn rows(&self) -> impl Iterator<Item = &'a TargetRow> {
        self.own.into_iter().flatten()
    }

    /// Its id.
    pub fn id(&self) -> TargetId {
        TargetId::from(self.key())
    }

    /// Its id as text.
    pub fn key(&self) -> &'a str {
        match (self.rows().next(), self.built_in) {
            (Some(own), _) => own.id.as_str(),
            (None, Some(row)) => row.id,
            (None, None) => "",
        }
    }

    /// Its name.
    pub fn name(&self) -> &'a str {
        // A row without a name is called by its id when it is read.
        let named = |row: &&TargetRow| !row.name.is_empty() && row.name != row.id.as_str();
        match (self.rows().find(named), self.built_in) {
            (Some(own), _) => &own.name,
            (None, Some(row)) => row.name,
            (None, None) => match self.key() {
                "" => "unnamed target",
                key => key,
            },
        }
    }

    /// What it is.
    pub fn kind(&self) -> Kind {
        self.built_in.map_or(Kind::Other, |t| t.kind)
    }

    /// Is it the grower's own row, or changed by one?
    pub fn is_own(&self) -> bool {
        self.rows().next().is_some()
    }

    /// Does it live on this kind of tree?
    pub fn lives_on(&self, species: Species) -> bool {
        if let Some(own) = self.rows().find(|o| !o.hosts.is_empty()) {
            return own.hosts.iter().any(|h| on_label(h, species));
        }
        self.built_in
            .is_none_or(|t| t.hosts.is_empty() || t.hosts.contains(&species))
    }

    /// Does this active work on it when dormant? Where the grower's own row
    /// names no actives, nothing is known to work.
    pub fn works(&self, active: &str) -> bool {
        self.actives().iter().any(|a| named_alike(a, active))
    }

    /// Actives that work on it when dormant.
    pub fn actives(&self) -> Vec<&'a str> {
        match (self.rows().find(|o| !o.actives.is_empty()), self.built_in) {
            (Some(own), _) => own.actives.iter().map(String::as_str).collect(),
            (None, Some(row)) => row.actives.to_vec(),
            (None, None) => Vec::new(),
        }
    }

    /// Is this a lane in which a treatment covers it (`true`), helps (`false`),
    /// or does neither?
    pub fn lane(&self, lane: Lane) -> Option<bool> {
        if let Some(own) = self.rows().find(|o| !o.lanes.is_empty()) {
            return own.lanes.contains(&lane).then_some(true);
        }
        match self.built_in {
            Some(row) => row.lanes.iter().find(|l| l.lane == lane).map(|l| l.key),
            None => None,
        }
    }

    /// When in the lane, in the words of the trade.
    pub fn lane_words(&self, lane: Lane) -> &'static str {
        self.built_in
            .and_then(|t| t.lanes.iter().find(|l| l.lane == lane))
            .map_or("", |l| l.words)
    }

    /// BBCH stage from which a treatment in this lane works, where bare wood is too early.
    pub fn opens(&self, lane: Lane) -> Option<u8> {
        self.built_in?.lanes.iter().find(|l| l.lane == lane)?.opens
    }

    /// BBCH stage in autumn from which its window opens, where that is before
    /// the leaves are down.
    pub fn first_stage(&self) -> Option<u8> {
        self.built_in.and_then(|t| t.first_stage)
    }

    /// BBCH stage from which treating it is too late, and who says so.
    pub fn last_stage(&self) -> Option<(u8, &'static Source)> {
        if let Some(stage) = self.rows().find_map(|o| o.last_stage) {
            return Some((stage, &sources::GROWER));
        }
        self.built_in
            .and_then(|t| t.last_stage.map(|s| (s, t.source)))
    }

    /// How far a dormant spray gets. A grower who names actives for a target
    /// has said that they work.
    pub fn control(&self) -> Control {
        match self.built_in {
            Some(row) => row.control,
            None if self.actives().is_empty() => Control::None,
            None => Control::Good,
        }
    }

    /// Work other than spraying that helps.
    pub fn sanitation(&self) -> &'static [Sanitation] {
        self.built_in.map_or(&[], |t| t.sanitation)
    }

    /// The published count that decides whether to treat.
    pub fn threshold(&self) -> Option<Threshold> {
        self.built_in.and_then(|t| t.threshold)
    }

    /// Where it overwinters.
    pub fn overwinters(&self) -> &'static str {
        self.built_in.map_or("", |t| t.overwinters)
    }

    /// What to know before relying on it.
    pub fn caveat(&self) -> &'a str {
        match (self.rows().find_map(|o| o.note.as_deref()), self.built_in) {
            (Some(note), _) => note,
            (None, Some(row)) => row.caveat,
            (None, None) => "",
        }
    }

    /// Where the row comes from.
    pub fn source(&self) -> &'static Source {
        match (self.rows().next(), self.built_in) {
            (None, Some(row)) => row.source,
            _ => &sources::GROWER,
        }
    }
}
