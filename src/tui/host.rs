//! What the board needs from the outside: one small seam, so that it knows no file.

use crate::domain::chance::JobChance;
use crate::domain::climate::weather::Fetched;
use crate::domain::history::{OwnDates, SeasonRow};
use crate::domain::hours::air::Air;
use crate::domain::hours::fits::Fits;
use crate::domain::outlook::{Asked, Estimates};
use crate::domain::records::Conditions;
use crate::domain::review::Review;
use crate::domain::run_sheet::RunSheet;
use crate::domain::season::{BlockId, Season};
use chrono::{NaiveDate, NaiveDateTime};
use std::path::PathBuf;
use std::sync::Arc;

/// How a save went.
#[derive(Debug, Clone, PartialEq)]
pub enum SaveOutcome {
    /// It is on the disk.
    Saved,
    /// It is on the disk, and there is something to say of it.
    SavedBut(String),
    /// It is on the disk, joined with what others wrote meanwhile.
    Joined(Box<CameIn>),
    /// Practice: nothing is written.
    Practice,
    /// It failed, with the cause in plain words; the old file is whole.
    Failed(String),
    /// Someone else changed the same thing since it was read; nothing was written.
    Conflict(String),
}

/// What came from others.
#[derive(Debug, Clone, PartialEq)]
pub struct CameIn {
    /// The season with it.
    pub season: Season,
    /// What it is and from whom, in words.
    pub words: String,
}

/// Joins, onto a season as it is now, what led from a base to another version of it; where both
/// changed one thing the present one stands.
pub type Join = fn(base: &Season, now: &Season, other: &Season) -> Season;

/// What is to stand where two edits met.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    /// Ours where both changed one thing.
    Ours,
    /// That of the disk where both changed one thing.
    Theirs,
    /// What is on the disk alone, and our records.
    DiskAlone,
}

/// Two edits joined as their owner chose.
#[derive(Debug, Clone, PartialEq)]
pub struct Joined {
    /// Both, with ours where they collide: what undo leads back to.
    pub ours: Season,
    /// As chosen.
    pub chosen: Season,
    /// Where it is kept, as shown to the user.
    pub place: String,
    /// How it went.
    pub words: String,
}

/// Work of an earlier session that is not in the season.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// Its name among the versions.
    pub id: String,
    /// When it was kept.
    pub when: String,
    /// What differs from the season as it is, one line each.
    pub differs: Vec<String>,
}

/// An earlier version of the season.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Earlier {
    /// Its name among the versions.
    pub id: String,
    /// Until when it stood, or when it was kept, by the orchard's clock.
    pub until: String,
    /// Work that no save took: it is joined, and takes nothing's place.
    pub kept: bool,
    /// Who replaced it, where that was noted.
    pub by: Option<String>,
    /// What differs from it in the season as it is, one line each.
    pub differs: Vec<String>,
}

/// What the board is opened with.
#[derive(Debug, Clone)]
pub struct Opening {
    /// The season.
    pub season: Season,
    /// The day.
    pub today: NaiveDate,
    /// Its estimates, where they are ready at once.
    pub estimates: Option<Estimates>,
    /// Where it is kept, as shown to the user; empty for practice.
    pub place: String,
    /// A place to suggest for keeping a practice season.
    pub suggested_place: String,
    /// Something to say at once: work recovered, read-only, a lock.
    pub notice: Option<String>,
    /// It can be looked at only: what is changed cannot be saved here.
    pub read_only: bool,
    /// The time, on the orchard's clock.
    pub now: NaiveDateTime,
    /// The hours of weather, where they are ready at once.
    pub air: Option<Arc<Air>>,
    /// There is no season of the user's own yet.
    pub newcomer: bool,
    /// The time zone of this machine, to suggest.
    pub here: String,
    /// How two edits are joined.
    pub join: Join,
    /// Work of earlier sessions that is not in the season, newest first.
    pub kept: Vec<Kept>,
}

/// What a newcomer answered, as it was written; empty answers take what is usual.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Begin {
    /// Name of the place.
    pub name: String,
    /// A town, a pair of degrees, the link of a map.
    pub place: String,
    /// Time zone.
    pub zone: String,
    /// `us` or `metric`.
    pub units: String,
    /// Kinds of trees: `6 redhaven peach, 20 apples`.
    pub trees: String,
    /// When the leaves were or will be down.
    pub leaf_drop: Option<String>,
    /// A file of daily temperatures.
    pub weather: Option<String>,
    /// Fetch the weather of the place since 1981.
    pub history: bool,
}

/// A weather file to be looked at, or brought in, with what was said of it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TableAsk {
    /// The file, as it was written.
    pub file: String,
    /// What was said, by the option's name: `unit`, `dates`, `day`, `low`, `high`, `temp`, `zone`.
    pub said: Vec<(&'static str, String)>,
    /// Take it although it seems to be of elsewhere.
    pub anyway: bool,
    /// Bring it in; else only look.
    pub bring: bool,
}

/// What a weather file was understood to be.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TableSeen {
    /// What was looked at.
    pub ask: TableAsk,
    /// What was understood, in short lines.
    pub lines: Vec<String>,
    /// Names of the columns.
    pub columns: Vec<String>,
    /// The first rows.
    pub rows: Vec<Vec<String>>,
    /// What has to be answered before it can be brought in.
    pub asks: Vec<String>,
    /// What speaks against its being of this orchard.
    pub against: Option<String>,
}

/// What came of it.
#[derive(Debug, Clone, PartialEq)]
pub enum TableAnswer {
    /// It was looked at.
    Seen(Box<TableSeen>),
    /// It was brought in: the season that names it, and the account.
    Brought(Box<Season>, String),
}

/// What became ready beside the board.
#[derive(Debug, Clone)]
pub enum News {
    /// Weather was read or fetched, and what follows from it worked out.
    Weather(Box<WeatherNews>),
    /// A fetch goes on: a line to show.
    Progress(String),
    /// A fetch or a file failed: why, and what still holds.
    Failed(String),
    /// The season now names weather fetched beside the board: the season, and what came.
    Brought(Box<Season>, String),
}

/// Weather with what follows from it.
#[derive(Debug, Clone, Default)]
pub struct WeatherNews {
    /// The open sprays judged in the hours; `None` where there are none.
    pub fits: Option<Fits>,
    /// Where the forecast among them comes from.
    pub fetched: Option<Fetched>,
    /// The estimates; `None` while they are still being worked out.
    pub estimates: Option<Estimates>,
    /// Something to say.
    pub words: Option<String>,
}

/// A new state of affairs after reading the file again or moving to another place.
#[derive(Debug, Clone)]
pub struct Reloaded {
    /// The season as it is on disk now.
    pub season: Season,
    /// Where it is kept, as shown to the user.
    pub place: String,
    /// The day, where it is another one from now on.
    pub today: Option<NaiveDate>,
}

/// The curves of one block, for the swell screen.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Curves {
    /// The first day of the curve.
    pub first: NaiveDate,
    /// Accumulated heat by the end of each day observed, from `first`.
    pub observed: Vec<f64>,
    /// Accumulated heat by the end of each day to come, after the observed
    /// ones: low (1 in 10), middle, high (9 in 10).
    pub ahead: Vec<[f64; 3]>,
    /// Heat that swell wants: low (1 in 10), middle, high (9 in 10).
    pub wanted: [f64; 3],
    /// The unit of heat, for instance `growing degree hours`.
    pub unit: String,
    /// Chill so far and how much is wanted, in words.
    pub chill: Option<String>,
    /// The model and why it was chosen.
    pub model: String,
    /// How many years or traces the days to come are drawn from.
    pub members: usize,
    /// The last day with observed temperatures.
    pub data_through: Option<NaiveDate>,
    /// What the estimate rests on, what widens it, what would narrow it.
    pub notes: Vec<String>,
    /// The estimate as it would have been given earlier this season, oldest first.
    pub asked: Vec<Asked>,
    /// How good it has been on this block: past seasons, predicted and seen.
    pub record: Vec<String>,
}

/// The seasons side by side, and what the own dates do for the estimate.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Years {
    /// The seasons themselves, oldest first.
    pub seasons: Vec<Season>,
    /// One row a season, oldest first.
    pub rows: Vec<SeasonRow>,
    /// The dates seen, asked for again without and with the others.
    pub own: Vec<OwnDates>,
    /// Season files beside this one that were left out, with the reason.
    pub left_out: Vec<String>,
}

/// A form left open when the line dropped, in words.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct Draft {
    /// What the form was for.
    pub purpose: String,
    /// What it was about, by its id.
    pub subject: String,
    /// Its title.
    pub title: String,
    /// What stood in its fields: key and words, or the key of a choice.
    pub fields: Vec<(String, String)>,
    /// The field with the cursor.
    pub focus: usize,
    /// The screen one was on, by its name.
    #[serde(default)]
    pub screen: String,
    /// The card one was on, by its id.
    #[serde(default)]
    pub chosen: String,
}

impl Draft {
    /// The purpose of one that only tells where one was.
    pub const PLACE: &'static str = "place";

    /// Where one is, without a form.
    pub fn here(model: &super::model::Model) -> Self {
        let chosen = model.board.chosen.as_ref();
        Self {
            purpose: Self::PLACE.to_owned(),
            subject: String::new(),
            title: String::new(),
            fields: Vec::new(),
            focus: 0,
            screen: model.screen.words().to_owned(),
            chosen: chosen.map(ToString::to_string).unwrap_or_default(),
        }
    }
}

/// The way a season came: its versions, oldest first, and the words of the steps between them.
#[derive(Debug, Clone, PartialEq)]
pub struct Trail {
    /// The versions.
    pub seasons: Vec<Season>,
    /// One fewer: what each step was.
    pub words: Vec<String>,
    /// As many: was it somebody else's?
    pub others: Vec<bool>,
    /// Which version is the present one; those behind it were undone.
    pub at: usize,
}

/// The world outside the board.
pub trait Host {
    /// What to open with. Called once, before the first frame.
    fn open(&mut self) -> Result<Opening, String>;

    /// The day it is now.
    fn today(&self) -> NaiveDate;

    /// The time it is now in the orchard; its day is [`Host::today`].
    fn now(&self) -> NaiveDateTime;

    /// The week's review; `None` where it cannot be made.
    fn review(&mut self, season: &Season, now: NaiveDateTime) -> Option<Review>;

    /// This season beside others of the orchard.
    fn years(&mut self, season: &Season) -> Years;

    /// The chance to finish what is on a run sheet, past winters replayed; empty where no hours of
    /// past winters are on file.
    fn chances(
        &mut self,
        _season: &Season,
        _sheet: &RunSheet,
        _today: NaiveDate,
    ) -> Vec<JobChance> {
        Vec::new()
    }

    /// The air between two local times, and where it comes from.
    fn air(
        &mut self,
        season: &Season,
        from: NaiveDateTime,
        to: NaiveDateTime,
    ) -> (Conditions, Option<&'static str>);

    /// Computes the estimates. `None` where the work goes on beside the board:
    /// the waker is called when it is done, then [`Host::news`] gives them.
    fn estimates(&mut self, season: &Season, today: NaiveDate) -> Option<Estimates>;

    /// The curves of one block, for the swell screen; `None` where there is
    /// nothing to draw.
    fn curves(&mut self, _season: &Season, _block: &BlockId, _today: NaiveDate) -> Option<Curves> {
        None
    }

    /// What the estimate of a block would have been on earlier days; slow, so asked for only
    /// where it is shown.
    fn asked(&mut self, _season: &Season, _block: &BlockId, _today: NaiveDate) -> Vec<Asked> {
        Vec::new()
    }

    /// Saves the season. Called after the frame that shows the change is out.
    fn save(&mut self, season: &Season) -> SaveOutcome;

    /// What came from others since it was last read, joined with the season in view; `None` where
    /// nothing came.
    fn take_in(&mut self, season: &Season) -> Result<Option<CameIn>, String>;

    /// Joins the version on the disk with this one, item by item, without writing
    /// yet; the words tell how many changes collide and what was kept.
    fn join(&mut self, season: &Season, stands: Stands) -> Result<Joined, String>;

    /// A key was typed: somebody sits here.
    fn somebody_is_here(&mut self) {}

    /// Keeps the work aside, to be offered at the next start; says whether it could.
    fn keep_aside(&mut self, _season: &Season) -> bool {
        false
    }

    /// Takes kept work into the season, without writing yet.
    fn take_kept(&mut self, _season: &Season, _id: &str) -> Result<CameIn, String> {
        Err("nothing is kept here".to_owned())
    }

    /// Lets kept work go, by its owner's word.
    fn drop_kept(&mut self, _id: &str) {}

    /// The earlier versions of the season, newest first.
    fn versions(&mut self, _season: &Season) -> Result<Vec<Earlier>, String> {
        Ok(Vec::new())
    }

    /// An earlier version by its name.
    fn version(&mut self, _season: &Season, _id: &str) -> Result<Season, String> {
        Err("there are no versions here".to_owned())
    }

    /// Writes the season to a new place and works there from now on. Must not
    /// overwrite anything.
    fn keep_at(&mut self, season: &Season, place: &str) -> Result<Reloaded, String>;

    /// Writes new files, path and content; none of them may exist yet, and all
    /// are written or none. The words say where they are now.
    fn write_new(&mut self, files: &[(String, String)]) -> Result<String, String>;

    /// The file to watch for changes by others.
    fn watched(&self) -> Option<PathBuf> {
        None
    }

    /// Did somebody else change the file? Called when the watch reports something.
    fn changed_outside(&mut self) -> bool {
        false
    }

    /// The form that was open when the line dropped; it stays kept until [`Host::keep_draft`]
    /// says otherwise.
    fn draft(&mut self) -> Option<Draft> {
        None
    }

    /// Keeps an open form for the next start, or lets the one kept go.
    fn keep_draft(&mut self, _draft: Option<&Draft>) {}

    /// How the season came to what it is in earlier sessions, where that is known.
    fn trail(&mut self, _now: &Season) -> Option<Trail> {
        None
    }

    /// Keeps the way this session took, behind that of earlier ones unless it holds them already.
    fn keep_trail(&mut self, _trail: &Trail, _is_whole: bool) {}

    /// Takes the means to wake the board from another thread.
    fn attach(&mut self, _waker: Waker) {}

    /// What became ready since the last call, for the season as it is in view; asked until there
    /// is no more.
    fn news(&mut self, _season: &Season, _today: NaiveDate) -> Option<News> {
        None
    }

    /// Makes a season of the user's own and works there from now on.
    fn begin(&mut self, _answers: &Begin) -> Result<Reloaded, String> {
        Err("no season can be begun here".to_owned())
    }

    /// Looks at a weather file, or brings it in.
    fn table(&mut self, _season: &Season, _ask: &TableAsk) -> Result<TableAnswer, String> {
        Err("no weather file can be brought in here".to_owned())
    }

    /// Begins to fetch the forecast beside the board; its news follow. The words say that it
    /// began, or why it cannot.
    fn fetch(&mut self, _season: &Season) -> Result<String, String> {
        Err("no forecast can be fetched here".to_owned())
    }
}

/// Wakes the board from any thread, so that it calls [`Host::news`].
#[derive(Clone)]
pub struct Waker(Arc<dyn Fn() + Send + Sync>);

impl Waker {
    /// Wakes the board by doing this, which must never wait.
    pub fn new(wake: impl Fn() + Send + Sync + 'static) -> Self {
        Self(Arc::new(wake))
    }

    /// Wakes the board.
    pub fn wake(&self) {
        (self.0)();
    }
}

impl std::fmt::Debug for Waker {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Waker")
    }
}
