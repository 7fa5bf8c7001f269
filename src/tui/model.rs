//! What the board knows. A plain value: no file, no clock, no terminal.

mod notice;
pub mod told;

use super::action::{Command, Effect};
use super::form::Form;
use super::history::History;
use super::host::{
    CameIn, Curves, Draft, Join, Joined, Kept, Opening, SaveOutcome, Trail, WeatherNews, Years,
};
use super::keymap::Keymap;
use super::overlay::Overlay;
use super::overlay::delay::{self, DelayView};
use super::screen::{
    Screen,
    board::{Board, standing::Standings},
    hours::Hours,
    records::Records,
    spray_work::SprayWork,
    swell::Swell,
};
use super::tour::Tour;
use crate::domain::climate::weather::Fetched;
use crate::domain::farm::Folds;
use crate::domain::hours::fits::Fits;
use crate::domain::outlook::{Basis, Estimates, Outlook, outlook_with};
use crate::domain::records;
use crate::domain::review::Review;
use crate::domain::season::{BlockId, Lane, Season, TaskId};
use chrono::{DateTime, NaiveDate, NaiveDateTime, TimeZone, Utc};

pub use notice::{Notice, Saved};

/// Everything the board knows.
#[derive(Debug, Clone)]
pub struct Model {
    /// The plan.
    pub season: Season,
    /// The estimates; `None` while they are being made.
    pub estimates: Option<Estimates>,
    /// The fit hours of the open sprays, where there is hourly weather.
    pub fits: Option<Fits>,
    /// Where the forecast among the hours comes from.
    pub fetched: Option<Fetched>,
    /// What follows from all of them today.
    pub outlook: Outlook,
    /// The curves of the block last asked for.
    pub curves: Option<(BlockId, Curves)>,
    /// The day.
    pub today: NaiveDate,
    /// What was done and undone.
    pub history: History,
    /// Was it asked what earlier sessions did? It is only where undo goes that far.
    pub trail_asked: bool,
    /// Is it on the disk?
    pub saved: Saved,
    /// Where it is kept, as shown.
    pub place: String,
    /// A place to suggest for a practice season.
    pub suggested_place: String,
    /// One line for the user.
    pub notice: Option<Notice>,
    /// The season can be looked at only.
    pub read_only: bool,
    /// The screen in view.
    pub screen: Screen,
    /// The time in the orchard, for counting down.
    pub now: NaiveDateTime,
    /// The week's review; `None` until it is asked for.
    pub review: Option<Box<Review>>,
    /// The seasons side by side; `None` until they are asked for.
    pub years: Option<Years>,
    /// How many records are on the disk: undo leaves those there.
    pub records_kept: usize,
    /// The records screen's own state.
    pub records: Records,
    /// The first line in view of a screen that is a page of text.
    pub top: usize,
    /// The board's own state.
    pub board: Board,
    /// How each task stands.
    pub standings: Standings,
    /// Sprays of one mix planned block by block, which the list shows as one line.
    pub folds: Folds,
    /// The swell screen's own state.
    pub swell: Swell,
    /// The hours screen's own state.
    pub hours: Hours,
    /// The states of the screens on the spray work.
    pub spray: SprayWork,
    /// Counts every time something is derived anew.
    pub revision: u64,
    /// What is open above the screen.
    pub overlay: Option<Overlay>,
    /// Words last looked for.
    pub find: String,
    /// The line of a page of text that they were found on.
    pub found: Option<usize>,
    /// The count typed before a command.
    pub count: Option<u32>,
    /// Columns and rows.
    pub size: (u16, u16),
    /// Are mouse reports on?
    pub mouse: bool,
    /// The card under the mouse button, until it is let go or a key is typed.
    pub grabbed: Option<TaskId>,
    /// Which key does what.
    pub keymap: Keymap,
    /// The tour, while it goes on.
    pub tour: Option<Tour>,
    /// The time zone of this machine, to suggest.
    pub here: String,
    /// The run sheet as it was last made.
    pub run: crate::tui::screen::run_sheet::RunPage,
    /// The ledger's own state.
    pub ledger: crate::tui::screen::ledger::LedgerPage,
    /// The form a season is being begun with.
    pub begun: Option<Box<Form>>,
    /// What the last change did to the warnings, and what it waits for.
    pub told: told::Told,
    /// How two edits are joined.
    pub join: Join,
    /// Work of earlier sessions that is not in the season, newest first.
    pub kept: Vec<Kept>,
    /// Kept work that was taken in: let go once the season is saved with it.
    pub taken: Vec<String>,
    /// Others changed the file while something was open above the screen.
    pub waiting: bool,
}

impl Model {
    /// The board as it opens.
    pub fn new(opening: Opening, keymap: Keymap, size: (u16, u16)) -> Self {
        let Opening {
            season,
            today,
            estimates,
            place,
            suggested_place,
            notice,
            read_only,
            now,
            air,
            newcomer,
            here,
            join,
            kept,
        } = opening;
        let fits = air.map(|air| Fits::new(air, &season, moment(&season, now)));
        let derived = derive(&season, estimates.as_ref(), fits.as_ref(), today);
        let saved = if season.practice {
            Saved::Practice
        } else {
            Saved::Yes
        };
        // Practice is never written: undo may take its records away.
        let records_kept = if season.practice {
            0
        } else {
            season.records.len()
        };
        let board = Board::opening(&season, &derived);
        let standings = Standings::of(&season, estimates.as_ref(), &derived, today);
        let folds = Folds::new(&season);
        let mut model = Self {
            estimates,
            fits,
            fetched: None,
            outlook: derived,
            curves: None,
            today,
            now,
            history: History::default(),
            trail_asked: season.practice,
            saved,
            place,
            suggested_place,
            notice: notice.map(|text| Notice { text, alert: false }),
            read_only,
            screen: Screen::default(),
            board,
            standings,
            folds,
            swell: Swell::default(),
            hours: Hours::default(),
            review: None,
            years: None,
            run: crate::tui::screen::run_sheet::RunPage::default(),
            ledger: crate::tui::screen::ledger::LedgerPage::default(),
            records_kept,
            records: Records::default(),
            top: 0,
            spray: SprayWork::default(),
            revision: 0,
            overlay: None,
            find: String::new(),
            found: None,
            count: None,
            size,
            mouse: false,
            grabbed: None,
            keymap,
            season,
            tour: None,
            here,
            begun: None,
            told: told::Told::default(),
            join,
            kept,
            taken: Vec::new(),
            waiting: false,
        };
        if newcomer {
            model.overlay = Some(Overlay::Form(Form::begin(&model)));
        } else if let Some(form) = Form::kept_work(&model) {
            model.overlay = Some(Overlay::Form(form));
        }
        model
    }

    /// Goes where one was when the line dropped: the screen, the card.
    fn go_where(&mut self, draft: &Draft) {
        let chosen = TaskId::from(draft.chosen.as_str());
        if let Some(task) = self.season.task(&chosen) {
            let lane = Lane::ALL.iter().position(|lane| *lane == task.lane);
            self.board.lane = lane.unwrap_or_default();
            self.board.chosen = Some(chosen);
            self.board.settle(&self.season);
        }
        if let Some(screen) = Screen::by_words(&draft.screen) {
            self.screen = screen;
        }
    }

    /// Opens the form again that was open when the board ended without its owner's word.
    pub fn take_up(&mut self, draft: &Draft) {
        self.go_where(draft);
        let begun = self.notice.take();
        let again = if draft.purpose == delay::DRAFT {
            DelayView::from_draft(self, draft).map(|view| Overlay::Delay(Box::new(view)))
        } else {
            Form::from_draft(self, draft).map(Overlay::Form)
        };
        let Some(overlay) = again else {
            self.notice = begun;
            return;
        };
        self.overlay = Some(overlay);
        let key = |c| self.keymap.first(c);
        let text = format!(
            "this was still open when the board last ended: {} keeps it, {} drops it",
            key(Command::Accept),
            key(Command::Back)
        );
        self.say(match begun {
            Some(notice) => format!("{text}; {}", notice.text),
            None => text,
        });
    }

    /// Says something until the next key.
    pub fn say(&mut self, text: impl Into<String>) {
        self.notice = Some(Notice {
            text: text.into(),
            alert: false,
        });
    }

    /// Says that something went wrong, until the next key.
    pub fn alert(&mut self, text: impl Into<String>) {
        self.notice = Some(Notice {
            text: text.into(),
            alert: true,
        });
    }

    /// Puts an edited season in place of this one, as one step that can be undone.
    pub fn edit(&mut self, after: Season, words: &str) -> Vec<Effect> {
        if self.read_only && !self.season.practice {
            self.say("this board is read-only: nothing was changed");
            return Vec::new();
        }
        if !self.history.record(&self.season, &after, words) {
            self.say("nothing changed");
            return Vec::new();
        }
        let before = std::mem::replace(&mut self.season, after);
        self.say(words);
        self.changed(&before)
    }

    /// Like [`Model::edit`], or the reason why it cannot be.
    pub fn try_edit<E: std::fmt::Display>(
        &mut self,
        after: Result<Season, E>,
        words: &str,
    ) -> Vec<Effect> {
        match after {
            Ok(after) => self.edit(after, words),
            Err(fault) => {
                self.alert(fault.to_string());
                Vec::new()
            }
        }
    }

    /// Takes the last change back, or makes it again.
    pub fn step(&mut self, back: bool) -> Vec<Effect> {
        let beyond = if back {
            self.history.depth() == 0
        } else {
            self.history.is_empty()
        };
        if beyond && !self.trail_asked {
            self.trail_asked = true;
            return vec![Effect::Trail(back)];
        }
        let before = self.season.clone();
        let join = self.join;
        let words = if back {
            self.history.undo(&mut self.season, join)
        } else {
            self.history.redo(&mut self.season, join)
        };
        let kept = self.keep_records(&before);
        match words {
            Some(words) if kept => self.say(format!(
                "undone: {words}; the record was saved, so it stays and a new one takes it back"
            )),
            Some(words) if back => self.say(format!("undone: {words}")),
            Some(words) => self.say(format!("made again: {words}")),
            None if back => self.say("nothing to undo"),
            None => self.say("nothing to make again"),
        }
        if before == self.season {
            return Vec::new();
        }
        self.changed(&before)
    }

    /// The steps of earlier sessions came in: the one wished for is taken.
    pub fn take_trail(&mut self, trail: Option<&Trail>, back: bool) -> Vec<Effect> {
        if let Some(trail) = trail {
            self.history.come_from(trail);
        }
        self.step(back)
    }

    /// Puts back the saved records that a step took out; says whether there were any.
    fn keep_records(&mut self, before: &Season) -> bool {
        let stepped = self.season.clone();
        let whole = records::undone(before, stepped, self.records_kept, self.today);
        let kept = whole != self.season;
        if kept {
            // Made again it would not fit the records any more.
            self.history.forget_undone();
            self.season = whole;
        }
        kept
    }

    /// Derives anew what follows from a changed season, and has it saved.
    fn changed(&mut self, before: &Season) -> Vec<Effect> {
        let after = &self.season;
        // The estimates hang on these parts only: moving a card must not compute them again.
        let weather_moved = Basis::of(before) != Basis::of(after);
        let practice = after.practice;
        self.saved = if practice {
            Saved::Practice
        } else {
            Saved::Saving
        };
        let mut effects = Vec::new();
        if weather_moved {
            self.put_in_order();
            self.await_estimates(before);
            effects.push(Effect::Estimate);
        } else {
            let was = self.derive();
            self.tell(before, &was);
        }
        if !practice {
            effects.push(Effect::Save);
        }
        self.settle();
        effects.extend(self.wants());
        effects
    }

    /// What the screen in view wants to know anew after a change.
    pub fn wants(&mut self) -> Vec<Effect> {
        self.review = None;
        self.years = None;
        match self.screen {
            Screen::Review => vec![Effect::Review],
            Screen::Years | Screen::Ledger => vec![Effect::Years],
            _ => Vec::new(),
        }
    }

    /// The moment in universal time.
    pub fn moment(&self) -> DateTime<Utc> {
        moment(&self.season, self.now)
    }

    /// Works out the outlook again; answers the one before.
    pub fn derive(&mut self) -> Outlook {
        if let Some(fits) = &self.fits {
            self.fits = Some(fits.renewed(&self.season, self.moment()));
        }
        let now = self.outlook_of(&self.season);
        let was = std::mem::replace(&mut self.outlook, now);
        self.put_in_order();
        self.revision += 1;
        was
    }

    /// The tasks as the season has them now stand in the list, by what is known of them.
    fn put_in_order(&mut self) {
        self.standings = Standings::of(
            &self.season,
            self.estimates.as_ref(),
            &self.outlook,
            self.today,
        );
        self.folds = Folds::new(&self.season);
    }

    /// What would follow, were the season this one: tasks may differ.
    pub fn outlook_of(&self, season: &Season) -> Outlook {
        let fits = self.fits.as_ref().map(|f| f.renewed(season, self.moment()));
        derive(season, self.estimates.as_ref(), fits.as_ref(), self.today)
    }

    /// Weather came in, and what follows from it.
    pub fn take_weather(&mut self, news: WeatherNews) {
        self.fits = news.fits;
        self.fetched = news.fetched;
        if let Some(estimates) = news.estimates {
            self.note_estimates(estimates);
        }
        self.derive();
        if let Some(words) = news.words {
            self.say(words);
        }
    }

    /// New estimates came in.
    pub fn take_estimates(&mut self, estimates: Estimates) {
        if self.note_estimates(estimates) {
            let was = self.derive();
            self.tell_awaited(&was);
        }
    }

    /// Takes estimates over; are they others than before?
    fn note_estimates(&mut self, estimates: Estimates) -> bool {
        let others = self.estimates.as_ref() != Some(&estimates);
        if others {
            self.estimates = Some(estimates);
            self.curves = None;
        }
        others
    }

    /// Puts what was chosen back onto something that exists.
    pub fn settle(&mut self) {
        self.board.settle(&self.season);
        self.swell.settle(&self.season);
        self.records.settle(&self.season);
    }

    /// How the last save went.
    pub fn take_saved(&mut self, outcome: SaveOutcome) {
        self.saved = match outcome {
            SaveOutcome::Saved => {
                self.records_kept = self.season.records.len();
                Saved::Yes
            }
            SaveOutcome::SavedBut(words) => {
                self.records_kept = self.season.records.len();
                self.alert(words);
                Saved::Yes
            }
            SaveOutcome::Joined(came) => {
                self.came_in(*came);
                Saved::Yes
            }
            SaveOutcome::Practice => Saved::Practice,
            SaveOutcome::Failed(why) | SaveOutcome::Conflict(why) => Saved::No(why),
        };
    }

    /// What others wrote stands in the season now, and on the disk. It is no step of ours: undo
    /// leaves it alone.
    pub fn came_in(&mut self, came: CameIn) {
        self.history.came_in(&self.season, &came.season);
        self.season = came.season;
        self.records_kept = self.season.records.len();
        self.waiting = false;
        self.derive();
        self.settle();
        if !came.words.is_empty() {
            self.say(came.words);
        }
    }

    /// Ours and theirs are one season now, as the owner chose; it is still to be saved. Undo
    /// leads back to ours joined with theirs.
    pub fn joined(&mut self, joined: Joined) {
        self.history.came_in(&self.season, &joined.ours);
        self.history
            .record(&joined.ours, &joined.chosen, "took what is on the disk");
        self.season = joined.chosen;
        self.place = joined.place;
        self.saved = Saved::Saving;
        self.derive();
        self.settle();
        self.say(joined.words);
    }

    /// The season lives at a new place from now on.
    pub fn moved_to(&mut self, season: Season, place: String) {
        self.season = season;
        if !self.season.practice {
            self.records_kept = self.season.records.len();
        }
        self.saved = if self.season.practice {
            Saved::Practice
        } else {
            Saved::Yes
        };
        self.read_only = false;
        self.say(format!("kept at {place}; every change is saved there"));
        self.place = place;
        self.derive();
        self.settle();
    }

    /// Takes the count typed before a command; one where there was none.
    pub fn take_count(&mut self) -> u32 {
        self.count.take().unwrap_or(1)
    }

    /// Rows a page moves by.
    pub fn page(&self) -> usize {
        usize::from(self.size.1 / 2).max(1)
    }
}

/// A time on the orchard's clock as a moment; the earlier one where clocks were set back.
fn moment(season: &Season, local: NaiveDateTime) -> DateTime<Utc> {
    let zone = season.orchard.time_zone;
    zone.from_local_datetime(&local)
        .earliest()
        .map_or_else(|| local.and_utc(), |t| t.with_timezone(&Utc))
}

fn derive(
    season: &Season,
    estimates: Option<&Estimates>,
    fits: Option<&Fits>,
    today: NaiveDate,
) -> Outlook {
    match estimates {
        Some(estimates) => outlook_with(season, estimates, fits, today),
        None => outlook_with(season, &Estimates::default(), fits, today),
    }
}
