//! How a season comes upon the board: opened, kept under a name, begun by answers.

use super::BoardHost;
use super::clock::Clock;
use super::keep::{expand, season_text, write_practice_weather};
use crate::cli::args::StartArgs;
use crate::cli::season_at::{At, Read, set_back};
use crate::cli::start;
use crate::domain::season::Season;
use crate::store::disk::RealDisk;
use crate::store::merge::{self, Side};
use crate::store::places::Places;
use crate::store::session::Session;
use crate::tui::host::{Begin, Opening, Reloaded};
use std::path::Path;
use std::sync::Arc;

impl BoardHost {
    fn notice(session: &Session) -> Option<String> {
        let mut parts = Vec::new();
        if let Some(why) = session.read_only() {
            parts.push(why.to_string());
        }
        if let Some(note) = session.notes().first() {
            parts.push(note.to_string());
        }
        (!parts.is_empty()).then(|| parts.join("; "))
    }

    pub(super) fn opened(&mut self) -> Result<Opening, String> {
        // Whoever asks for practice is shown practice.
        let newcomer = !self.practice && self.at.path().is_none();
        let Read {
            season,
            today,
            session,
            ..
        } = self
            .at
            .read_alone(self.mode, self.practice)
            .map_err(|e| e.to_string())?;
        self.practice = session.is_none();
        self.newcomer = newcomer;
        let is_fixed = self.practice || self.at.on.is_some();
        self.clock = Clock::of(&season, is_fixed.then_some(today));
        let set_back = if is_fixed {
            None
        } else {
            set_back(&season, today)
        };
        let notice = [set_back, session.as_ref().and_then(Self::notice)]
            .into_iter()
            .flatten()
            .reduce(|a, b| format!("{a}; {b}"));
        self.work_on(session);
        let kept = self.kept_work(&season);
        self.begin_knowing(&season, today);
        let estimates = self.latest().cloned();
        self.at.log.note(&match self.place() {
            place if place.is_empty() => "the board opened the practice season".to_owned(),
            place => format!("the board opened {place}"),
        });
        let read_only = self
            .session
            .as_ref()
            .is_some_and(|s| s.read_only().is_some());
        let suggested_place = Places::find()
            .map(|p| {
                p.seasons
                    .join(format!("{}.toml", season.season))
                    .display()
                    .to_string()
            })
            .unwrap_or_default();
        Ok(Opening {
            season,
            today,
            estimates,
            place: self.place(),
            suggested_place,
            notice,
            read_only,
            now: self.clock_time(),
            air: None,
            newcomer,
            here: iana_time_zone::get_timezone().unwrap_or_else(|_| "UTC".to_owned()),
            join: |base, now, other| merge::onto(base, now, other, Side::Theirs).season,
            kept,
        })
    }

    pub(super) fn kept_at(&mut self, season: &Season, place: &str) -> Result<Reloaded, String> {
        let path = expand(place)?;
        // From here on it is the owner's: what was invented stands in its own comments.
        let season = Season {
            practice: false,
            ..season.clone()
        };
        let text = season_text(&season)?;
        let disk = Arc::new(RealDisk);
        let folder = path
            .parent()
            .filter(|p| !p.as_os_str().is_empty())
            .unwrap_or(Path::new("."))
            .to_owned();
        let mut session =
            Session::create(disk, Places::find(), &path, &text).map_err(|e| e.to_string())?;
        write_practice_weather(&season, &folder)?;
        self.practice = false;
        session.doing("board");
        self.work_on(Some(session));
        self.begin_knowing(&season, self.clock_day());
        Ok(Reloaded {
            season,
            place: self.place(),
            today: None,
        })
    }

    pub(super) fn begun(&mut self, answers: &Begin) -> Result<Reloaded, String> {
        let some = |text: &str| Some(text.trim().to_owned()).filter(|t| !t.is_empty());
        let args = StartArgs {
            name: some(&answers.name),
            place: some(&answers.place),
            zone: some(&answers.zone),
            units: some(&answers.units),
            leaf_drop: answers.leaf_drop.clone(),
            block: some(&answers.trees).into_iter().collect(),
            weather: answers
                .weather
                .as_deref()
                .map(expand)
                .transpose()?
                .into_iter()
                .collect(),
            yes: true,
            ..StartArgs::default()
        };
        let at = At {
            season: None,
            on: self.at.on.clone(),
            log: self.at.log.clone(),
            doing: "board",
        };
        let path = start::make(&at, &args, &mut std::io::sink()).map_err(|e| e.to_string())?;
        self.at.season = Some(path);
        let Read {
            season,
            today,
            session,
            ..
        } = self
            .at
            .read_alone(self.mode, false)
            .map_err(|e| e.to_string())?;
        self.practice = false;
        self.clock = Clock::of(&season, self.at.on.is_some().then_some(today));
        self.work_on(session);
        self.begin_knowing(&season, today);
        if answers.history {
            self.beside.history(&season, true);
        }
        Ok(Reloaded {
            season,
            place: self.place(),
            today: Some(today),
        })
    }
}
