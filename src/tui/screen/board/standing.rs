//! How each task stands today as the board says it: its sign, its word, how urgent it is.
//!
//! The outlook says how a task stands; this adds what the list is sorted by. Worked out once
//! whenever the outlook is, because every row of the board asks for it.

use crate::domain::look_up::LookUp;
use crate::domain::outlook::{Estimates, Outlook};
use crate::domain::rules::{Level, Warning};
use crate::domain::season::{Season, Task, TaskId, TaskState};
pub use crate::domain::window::WindowState as State;
use chrono::{Days, NaiveDate};

/// Days within which an open task is due.
const WEEK_DAYS: u64 = 7;
/// The rule that says that a task is late: the board says it by a word of its own.
const LATE: &str = "overdue";

/// When a task presses.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Urgency {
    /// Its day is today or has passed, or its window has closed.
    Now,
    /// It is due, or its window closes, within a week.
    Week,
    /// All other open tasks.
    Later,
    /// Done or skipped.
    Done,
}

impl Urgency {
    /// The word in front of the group.
    pub fn words(self) -> &'static str {
        match self {
            Self::Now => "NOW",
            Self::Week => "WEEK",
            Self::Later => "LATER",
            Self::Done => "DONE",
        }
    }
}

/// How one task stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// Where its window stands; `None` for work that has none.
    pub state: Option<State>,
    /// Its gravest warning, notes apart.
    pub level: Option<Level>,
    /// Days its day has passed while it is open; 0 else.
    pub late: i64,
    /// When its window opens.
    pub opens: Option<NaiveDate>,
    /// The last safe day of its strictest part.
    pub last_safe: Option<NaiveDate>,
    /// The likely swell of that part's block: first and last likely day.
    pub swell: Option<(NaiveDate, NaiveDate)>,
    /// The only warning of that level says that it is late.
    only_late: bool,
    /// When it presses.
    pub urgency: Urgency,
}

/// How every task stands.
#[derive(Debug, Clone, Default)]
pub struct Standings {
    of: LookUp<TaskId, Standing>,
    in_order: Vec<(Urgency, TaskId)>,
}

impl Standings {
    /// Works out how every task stands.
    pub fn of(
        season: &Season,
        estimates: Option<&Estimates>,
        outlook: &Outlook,
        today: NaiveDate,
    ) -> Self {
        let of = season.tasks.iter().map(|task| {
            let told = outlook.standing(&task.id);
            let block = told.and_then(|s| s.last_safe_on.as_ref());
            let swell = block
                .and_then(|id| estimates?.of(id))
                .map(|e| (e.swell.p10(), e.swell.p90()));
            let edges = Edges {
                state: told.and_then(|s| s.state),
                opens: told.and_then(|s| s.opens),
                safe: told.and_then(|s| s.last_safe),
                swell,
            };
            (task.id.clone(), one(task, &edges, outlook, today))
        });
        let of: LookUp<TaskId, Standing> = of.collect();
        let mut all: Vec<(Urgency, &Task)> = season
            .tasks
            .iter()
            .filter_map(|task| Some((of.get(&task.id)?.urgency, task)))
            .collect();
        // Of what presses now a stop goes first: an old chore must not hide it.
        let waits = |task: &Task| {
            let standing = of.get(&task.id);
            standing.is_some_and(|s| s.urgency == Urgency::Now && s.level != Some(Level::Stop))
        };
        all.sort_by_cached_key(|(urgency, task)| (*urgency, waits(task), task.day(), &task.id));
        let in_order = all.into_iter().map(|(u, t)| (u, t.id.clone())).collect();
        Self { of, in_order }
    }

    /// Every task by urgency, what presses now by its stops, then by day.
    pub fn in_order(&self) -> &[(Urgency, TaskId)] {
        &self.in_order
    }

    /// How a task stands.
    pub fn get(&self, task: &TaskId) -> Option<&Standing> {
        self.of.get(task)
    }
}

/// What the outlook says of a task's window.
struct Edges {
    state: Option<State>,
    opens: Option<NaiveDate>,
    safe: Option<NaiveDate>,
    swell: Option<(NaiveDate, NaiveDate)>,
}

fn one(task: &Task, edges: &Edges, outlook: &Outlook, today: NaiveDate) -> Standing {
    let open = task.state.is_open();
    let level = outlook
        .worst_of(&task.id)
        .filter(|level| *level > Level::Note);
    let graves = || {
        outlook
            .warnings_of(&task.id)
            .filter(|w| Some(w.level) == level)
    };
    let late = if open {
        (today - task.date).num_days().max(0)
    } else {
        0
    };
    let week = today
        .checked_add_days(Days::new(WEEK_DAYS))
        .unwrap_or(today);
    let pressing = edges.safe.map_or(task.date, |safe| safe.min(task.date));
    let urgency = match pressing {
        _ if !open => Urgency::Done,
        day if day <= today => Urgency::Now,
        day if day <= week => Urgency::Week,
        _ => Urgency::Later,
    };
    Standing {
        state: edges.state,
        level: level.filter(|_| open),
        late,
        opens: edges.opens,
        last_safe: edges.safe,
        swell: edges.swell,
        only_late: level.is_some() && graves().all(|w| w.rule == LATE),
        urgency,
    }
}

/// The word and the sign of a state, and what it looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// Do not spray as planned.
    Stop,
    /// Look again.
    Caution,
    /// Its window is closing.
    Closing,
    /// Its day has passed; the flag says whether that is a caution.
    Late(bool),
    /// Nothing against it.
    Open,
    /// Its window has not opened.
    NotYet,
    /// Done.
    Done,
    /// Skipped.
    Skipped,
}

impl Mark {
    /// The mark of a task.
    pub fn of(task: &Task, standing: Option<&Standing>) -> Self {
        match task.state {
            TaskState::Done(_) => return Self::Done,
            TaskState::Skipped(_) => return Self::Skipped,
            TaskState::Planned => {}
        }
        let Some(s) = standing else {
            return Self::Open;
        };
        match (s.level, s.state) {
            (Some(Level::Stop), _) => Self::Stop,
            (Some(Level::Caution), _) if s.only_late => Self::Late(true),
            (Some(_), _) => Self::Caution,
            (None, Some(State::Closing | State::Closed)) => Self::Closing,
            _ if s.late > 0 => Self::Late(false),
            (None, Some(State::NotYet)) => Self::NotYet,
            _ => Self::Open,
        }
    }

    /// Its sign.
    pub fn sign(self) -> char {
        match self {
            Self::Stop => 'X',
            Self::Caution | Self::Closing | Self::Late(true) => '!',
            Self::Late(false) | Self::Open => 'o',
            Self::NotYet => '.',
            Self::Done => '▌',
            Self::Skipped => '-',
        }
    }

    /// Its word; nothing where nothing need be said.
    pub fn words(self) -> &'static str {
        match self {
            Self::Stop => "STOP",
            Self::Caution => "caution",
            Self::Closing => "closing",
            Self::Late(_) => "late",
            Self::Open => "",
            Self::NotYet => "not yet",
            Self::Done => "done",
            Self::Skipped => "skipped",
        }
    }

    /// Of several in one cell the lowest is shown.
    pub fn rank(self) -> u8 {
        match self {
            Self::Stop => 0,
            Self::Caution | Self::Closing | Self::Late(true) => 1,
            Self::Late(false) | Self::Open | Self::NotYet => 2,
            Self::Done => 3,
            Self::Skipped => 4,
        }
    }
}

/// The gravest warning of a task that does not only say that it is late, else that one.
pub fn gravest<'a>(outlook: &'a Outlook, task: &TaskId) -> Option<&'a Warning> {
    let worst = outlook.worst_of(task)?;
    let mut graves = outlook.warnings_of(task).filter(|w| w.level == worst);
    let first = graves.next()?;
    if first.rule == LATE {
        return graves.find(|w| w.rule != LATE).or(Some(first));
    }
    Some(first)
}
