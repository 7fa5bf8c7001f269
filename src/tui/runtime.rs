//! The loop: waits for the terminal, signals and the file; draws when
//! something changed; ends clean in every way there is to end.
//!
//! There is no timer. Everything that came in is taken before a frame is
//! drawn, a frame is one write, and no frame is begun while the one before is
//! still on its way: on a slow line the latest state wins.

mod leaving;
mod watch;
mod work;

use super::action::{Effect, Event};
use super::host::{Host, Waker};
use super::key::{Code, Key};
use super::keymap::Keymap;
use super::model::{Model, Saved};
use super::overlay::Overlay;
use super::screen::Screen;
use super::terminal::input::{Input, Parser};
use super::terminal::paint::Painter;
use super::terminal::setting::Setting;
use super::terminal::signals::Signals;
use super::terminal::{Line, Tty, Watcher, held};
use super::update::update;
use super::view::{Drawn, view};
use super::{copy_out, mouse};
use crate::domain::records::Standing;
use chrono::Timelike as _;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use rustix::event::{PollFd, PollFlags, Timespec, poll};
use std::io::{self, Read as _, Write as _};
use std::os::unix::net::UnixStream;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::{Duration, Instant};
use thiserror::Error;
use watch::Watch;

/// How the board ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exit {
    /// The user quit.
    Quit,
    /// A signal of this number asked for it.
    Signal(i32),
    /// The terminal went away.
    HangUp,
    /// A thread panicked; its message is on the screen.
    Panic,
}

impl Exit {
    /// The exit code: 0 after quitting, 128 and the signal's number, 129 after
    /// the line dropped (as for a hang-up signal), 101 after a panic.
    pub fn code(self) -> u8 {
        match self {
            Self::Quit => 0,
            Self::Signal(n) => u8::try_from(128 + n).unwrap_or(255),
            Self::HangUp => 129,
            Self::Panic => 101,
        }
    }
}

/// Why the board could not be opened or kept open.
#[derive(Debug, Error)]
pub enum RunError {
    /// The season could not be opened.
    #[error("{0}")]
    Host(String),
    /// The terminal could not be used.
    #[error("the terminal cannot be used: {0}")]
    Terminal(#[from] io::Error),
}

/// How long a lone Esc waits for the rest of a sequence.
const ESC_MS: i64 = 25;
/// How long at most until the date is looked at again.
const DATE_S: i64 = 900;

/// What stands in an open form is kept this long after the first letter.
const DRAFT_AFTER: Duration = Duration::from_secs(3);
/// What could not be saved is tried again after so long, and kept aside where it fails again.
const SAVE_AGAIN: Duration = Duration::from_secs(60);
/// How long no key may wait before the card follows the mark.
const REST_MS: i64 = 60;

/// How long at most until a countdown is drawn again.
const COUNT_S: i64 = 30;

/// Does something on the screen count down by the minute?
fn counts_down(model: &Model) -> bool {
    super::screen::records::closed(model)
        .iter()
        .any(|s| matches!(s.standing, Standing::Runs { .. }))
}

/// Opens the board and stays until it ends.
pub fn run(host: &mut dyn Host, setting: &Setting, keymap: Keymap) -> Result<Exit, RunError> {
    let opening = host.open().map_err(RunError::Host)?;
    let mut tty = Tty::open()?;
    tty.keep_to(setting.line);
    let signals = Signals::catch()?;
    let (woken, waker) = UnixStream::pair()?;
    woken.set_nonblocking(true)?;
    waker.set_nonblocking(true)?;
    let waker = Waker::new(move || {
        // A full pipe wakes it as well.
        let _ = (&waker).write(b"w");
    });
    held::guard_panics(waker.clone());
    host.attach(waker);
    let estimated = opening.estimates.is_some();
    let mut model = Model::new(opening, keymap, tty.size());
    model.mouse = setting.mouse;
    model.now = host.now();
    let draft = host.draft();
    if let Some(draft) = &draft {
        model.take_up(draft);
    }
    let mut board = Loop {
        watch: Watch::on(host.watched()),
        host,
        setting,
        model,
        tty,
        signals,
        woken,
        parser: Parser::default(),
        painter: Painter::new(),
        sheet: Buffer::default(),
        drawn: Drawn::default(),
        later: Vec::new(),
        watcher: None,
        dirty: true,
        pressed: (0, 0),
        announce: true,
        drafted: draft.is_some(),
        draft_due: None,
        save_due: None,
        warned: false,
    };
    let ended = catch_unwind(AssertUnwindSafe(|| {
        let ended = board.live(estimated);
        match ended {
            Ok(Exit::Quit) => board.await_answers(leaving::FAREWELL),
            Ok(Exit::Signal(_)) => board.await_answers(leaving::HASTY_FAREWELL),
            _ => {}
        }
        ended
    }));
    held::give_back();
    if !matches!(ended, Ok(Ok(Exit::Quit))) {
        board.keep_place();
    }
    if !board.model.season.practice && !board.model.history.is_empty() {
        let trail = board.model.history.trail(&board.model.season);
        let is_whole = board.model.trail_asked;
        board.host.keep_trail(&trail, is_whole);
    }
    match ended {
        Ok(exit) => exit,
        Err(_) => {
            // Its message is on the screen. An edit is made whole or not at all, so the season
            // can be trusted.
            board.save_unsaved();
            Ok(Exit::Panic)
        }
    }
}

struct Loop<'a> {
    host: &'a mut dyn Host,
    setting: &'a Setting,
    model: Model,
    tty: Tty,
    signals: Signals,
    woken: UnixStream,
    watch: Watch,
    parser: Parser,
    painter: Painter,
    sheet: Buffer,
    drawn: Drawn,
    /// Effects that wait until the frame is out.
    later: Vec<Effect>,
    watcher: Option<Watcher>,
    dirty: bool,
    /// Where the mouse button went down.
    pressed: (u16, u16),
    /// The terminal is to be entered with the next frame.
    announce: bool,
    /// A draft is kept: it goes when its form is closed.
    drafted: bool,
    /// When what stands in an open form is kept next.
    draft_due: Option<Instant>,
    /// When what could not be saved is tried again.
    save_due: Option<Instant>,
    /// It was told that the work cannot even be kept aside.
    warned: bool,
}

/// What woke the loop: what each of the things waited for has to say.
struct Woken([PollFlags; 4]);

impl Woken {
    fn says(&self, place: usize, flags: PollFlags) -> bool {
        self.0.get(place).is_some_and(|f| f.intersects(flags))
    }

    fn tty(&self) -> bool {
        self.says(0, PollFlags::IN)
    }

    fn hung_up(&self) -> bool {
        self.says(0, PollFlags::HUP | PollFlags::ERR | PollFlags::NVAL)
    }

    fn signal(&self) -> bool {
        self.says(1, PollFlags::IN)
    }

    fn news(&self) -> bool {
        self.says(2, PollFlags::IN)
    }

    fn file(&self) -> bool {
        self.says(3, PollFlags::IN)
    }

    /// Nothing came: the time was up.
    fn is_quiet(&self) -> bool {
        self.0.iter().all(PollFlags::is_empty)
    }
}

impl Loop<'_> {
    fn live(&mut self, estimated: bool) -> Result<Exit, RunError> {
        let before =
            held::take(rustix::io::fcntl_dupfd_cloexec(&self.tty, 3).map_err(io::Error::from)?)?;
        if !estimated {
            self.later.push(Effect::Estimate);
        }
        loop {
            if self.dirty && self.tty.is_ready() {
                self.draw();
            }
            if self.tty.flush() == Line::Down {
                return Ok(self.hang_up());
            }
            // What was on its way is out now: the frame that waited for it comes next.
            if self.dirty && self.tty.is_ready() {
                continue;
            }
            if self.watcher.is_none() && self.setting.watcher && self.tty.is_idle() {
                self.watcher = Some(Watcher::start(&before));
            }
            // Saving never waits for the screen.
            if !self.later.is_empty() {
                let later = std::mem::take(&mut self.later);
                for effect in later {
                    self.work(effect);
                }
                continue;
            }
            // Looked at when the frame is out and when a wait was broken: it costs a little.
            if let Some(number) = self.signals.struck() {
                self.save_unsaved();
                return Ok(Exit::Signal(number));
            }
            let woken = self.wait()?;
            if held::panicked() {
                self.save_unsaved();
                return Ok(Exit::Panic);
            }
            if woken.signal()
                && let Some(exit) = self.take_signals()?
            {
                return Ok(exit);
            }
            let mut inputs = Vec::new();
            if woken.tty() {
                let mut bytes = Vec::new();
                let line = self.tty.read(&mut bytes);
                self.parser.feed(&bytes, &mut inputs);
                if line == Line::Down {
                    return Ok(self.hang_up());
                }
            } else if self.parser.is_waiting() && !woken.signal() && !woken.news() && !woken.file()
            {
                self.parser.pause(&mut inputs);
            }
            if woken.hung_up() && inputs.is_empty() {
                return Ok(self.hang_up());
            }
            self.notice_world(&woken);
            if woken.is_quiet() && inputs.is_empty() && self.awaits_rest() && self.tty.is_ready() {
                self.happen(Event::Rest);
            }
            let mut inputs = inputs.into_iter().peekable();
            while let Some(input) = inputs.next() {
                // Of a hand that moved on only the last place counts.
                if matches!(
                    (&input, inputs.peek()),
                    (Input::Drag(..), Some(Input::Drag(..)))
                ) {
                    continue;
                }
                if let Some(exit) = self.take_input(input)? {
                    return Ok(exit);
                }
            }
            self.settle_draft();
            self.keep_what_is_due();
        }
    }

    /// Is the card to follow the mark as soon as no key waits?
    fn awaits_rest(&self) -> bool {
        !self.dirty && self.model.board.is_card_behind()
    }

    /// Blocks until something happens.
    fn wait(&mut self) -> Result<Woken, RunError> {
        let millis = if self.parser.is_waiting() {
            self.parser
                .pause_in(Duration::from_millis(ESC_MS as u64))
                .as_millis() as i64
        } else {
            let longest = if counts_down(&self.model) {
                COUNT_S
            } else {
                DATE_S
            };
            self.millis_to_midnight().min(longest * 1000)
        };
        let millis = [self.draft_due, self.save_due]
            .into_iter()
            .flatten()
            .map(|due| due.saturating_duration_since(Instant::now()).as_millis() as i64 + 1)
            .fold(millis, i64::min);
        let millis = if self.awaits_rest() {
            let busy = self.tty.busy_for().map_or(0, |b| b.as_millis() as i64 + 1);
            millis.min(busy.max(REST_MS))
        } else {
            millis
        };
        let millis = match self
            .tty
            .busy_for()
            .filter(|_| self.dirty && !self.parser.is_waiting())
        {
            Some(busy) => millis.min(busy.as_millis() as i64 + 1),
            None => millis,
        };
        let timeout = Timespec {
            tv_sec: millis / 1000,
            tv_nsec: (millis % 1000) * 1_000_000,
        };
        let mut wanted = PollFlags::IN;
        if !self.tty.is_idle() {
            wanted |= PollFlags::OUT;
        }
        let mut fds = vec![
            PollFd::new(&self.tty, wanted),
            PollFd::new(&self.signals, PollFlags::IN),
            PollFd::new(&self.woken, PollFlags::IN),
        ];
        if let Some(fd) = self.watch.fd() {
            fds.push(PollFd::from_borrowed_fd(fd, PollFlags::IN));
        }
        match poll(&mut fds, Some(&timeout)) {
            Ok(_) | Err(rustix::io::Errno::INTR) => {}
            Err(fault) => return Err(RunError::Terminal(fault.into())),
        }
        let mut woken = [PollFlags::empty(); 4];
        for (said, fd) in woken.iter_mut().zip(&fds) {
            *said = fd.revents();
        }
        Ok(Woken(woken))
    }

    /// News from other threads, the file and the calendar.
    fn notice_world(&mut self, woken: &Woken) {
        if woken.news() {
            let mut bytes = [0; 64];
            while self.woken.read(&mut bytes).is_ok_and(|n| n > 0) {}
            while let Some(news) = self.host.news(&self.model.season, self.model.today) {
                self.happen(Event::News(news));
            }
        }
        if woken.file() && self.watch.take() && self.host.changed_outside() {
            self.happen(Event::ChangedOutside);
        }
        let today = self.host.today();
        if today != self.model.today {
            self.happen(Event::Day(today));
        }
        let now = self.host.now();
        let same_minute = now.time().minute() == self.model.now.time().minute()
            && now - self.model.now < chrono::TimeDelta::hours(1);
        let same_hour = same_minute || now.time().hour() == self.model.now.time().hour();
        let minute_shows = counts_down(&self.model) && !same_minute;
        let hour_shows = self.model.fits.is_some() && !same_hour;
        if minute_shows || hour_shows {
            self.happen(Event::Clock(now));
        } else {
            // Nothing on the screen hangs on it: no new frame.
            self.model.now = now;
        }
    }

    fn take_input(&mut self, input: Input) -> Result<Option<Exit>, RunError> {
        let event = match input {
            Input::Key(key) => {
                self.tty.wake();
                Event::Key(key)
            }
            Input::Paste(text) => Event::Paste(text),
            Input::Press(x, y) => {
                self.pressed = (x, y);
                match self.under(x, y) {
                    Some(spot) => Event::Click(spot),
                    None => return Ok(None),
                }
            }
            Input::Wheel(_, _, step) => Event::Wheel(step),
            Input::Drag(..) | Input::Release(..) if self.model.grabbed.is_none() => {
                return Ok(None);
            }
            Input::Answer => {
                if let Some(took) = self.tty.answered() {
                    self.parser.line_took(took);
                }
                return Ok(None);
            }
            Input::Drag(x, y) => Event::Drag(mouse::days(self.pressed, (x, y))),
            Input::Release(..) => Event::Release,
        };
        let mut exit = None;
        let esc = matches!(&event, Event::Key(key) if *key == Key::plain(Code::Esc));
        let idle = esc && self.model.overlay.is_none() && self.model.screen == Screen::Board;
        let effects = self.happen_with(event);
        if idle {
            self.parser.esc_was_idle();
        }
        self.host.somebody_is_here();
        self.typed();
        for effect in effects {
            match effect {
                Effect::Quit => {
                    self.save_unsaved();
                    // A failed save on the way out is told, not swallowed.
                    if matches!(self.model.saved, Saved::No(_)) {
                        self.model.overlay =
                            Some(Overlay::Form(super::form::Form::not_saved(&self.model)));
                        self.dirty = true;
                    } else {
                        exit = Some(Exit::Quit);
                    }
                }
                Effect::KeepAsideAndQuit => exit = self.leave_unsaved(),
                Effect::Suspend => self.suspend()?,
                Effect::Repaint => self.painter.forget(),
                Effect::Mouse(on) => {
                    self.tty
                        .send(if on { held::MOUSE_ON } else { held::MOUSE_OFF });
                }
                Effect::CopyOut(text) => match copy_out::sequence(&text) {
                    Some(bytes) => self.tty.send(&bytes),
                    None => self
                        .model
                        .alert("that is too much for a clipboard; choose less"),
                },
                // What the frame shows must be known before it is drawn; the
                // rest waits until the frame is out.
                Effect::Curves(_) | Effect::Air(..) => self.work(effect),
                other if self.later.contains(&other) => {}
                other => self.later.push(other),
            }
        }
        Ok(exit)
    }

    fn under(&self, x: u16, y: u16) -> Option<super::action::Spot> {
        let spots = self.drawn.spots.iter().rev();
        spots
            .filter(|(area, _)| area.contains((x, y).into()))
            .map(|(_, spot)| spot.clone())
            .next()
    }

    fn happen_with(&mut self, event: Event) -> Vec<Effect> {
        self.dirty = true;
        update(&mut self.model, event)
    }

    /// An event from the world; what it wishes for is done later.
    fn happen(&mut self, event: Event) {
        let wishes = self.happen_with(event);
        self.later.extend(wishes);
    }

    /// How long until the day turns in the orchard, whatever the clock of this machine says.
    fn millis_to_midnight(&self) -> i64 {
        let gone = i64::from(self.host.now().time().num_seconds_from_midnight()) * 1000;
        (86_400_000 - gone).max(1000) + 500
    }

    fn draw(&mut self) {
        self.dirty = false;
        let (columns, rows) = self.model.size;
        let area = Rect::new(0, 0, columns, rows);
        if self.sheet.area == area {
            self.sheet.reset();
        } else {
            self.sheet = Buffer::empty(area);
        }
        self.drawn = view(&self.model, self.setting.theme, &mut self.sheet);
        let mut out = Vec::with_capacity(4096);
        if std::mem::take(&mut self.announce) {
            out.extend_from_slice(&held::ENTER);
            if self.model.mouse {
                out.extend_from_slice(held::MOUSE_ON);
            }
        }
        let start = out.len();
        self.painter
            .frame(&mut self.sheet, self.drawn.cursor, &mut out);
        if self.setting.sync && out.len() > start {
            out.splice(start..start, *b"\x1b[?2026h");
            out.extend_from_slice(b"\x1b[?2026l");
        }
        self.tty.send_frame(&out);
    }
}
