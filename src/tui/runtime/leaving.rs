//! Ends and pauses: signals, stops, a line that drops, and what is kept then.

use super::{DRAFT_AFTER, Exit, Loop, RunError, SAVE_AGAIN};
use crate::tui::action::{Effect, Event};
use crate::tui::host::{Draft, SaveOutcome};
use crate::tui::model::Saved;
use crate::tui::overlay::Overlay;
use crate::tui::terminal::input::Input;
use crate::tui::terminal::signals::Signal;
use crate::tui::terminal::{Line, held, stop};
use rustix::event::{PollFd, PollFlags, Timespec, poll};
use std::io;
use std::time::{Duration, Instant};

/// How long leaving waits at most for answers that are still on their way: nobody sees the
/// farewell before the line has carried what stands before it.
pub(super) const FAREWELL: Duration = Duration::from_secs(3);
/// The same where a signal asks to be gone.
pub(super) const HASTY_FAREWELL: Duration = Duration::from_millis(100);

impl Loop<'_> {
    /// Reads the answers the terminal still owes: the shell would take them for keys.
    pub(super) fn await_answers(&mut self, at_most: Duration) {
        let until = Instant::now() + at_most;
        while let Some(owed) = self.tty.owed_for() {
            let left = until.saturating_duration_since(Instant::now()).min(owed);
            let timeout = Timespec {
                tv_sec: i64::try_from(left.as_secs()).unwrap_or(0),
                tv_nsec: left.subsec_nanos().into(),
            };
            let mut fds = [PollFd::new(&self.tty, PollFlags::IN)];
            let (mut bytes, mut inputs) = (Vec::new(), Vec::new());
            if !poll(&mut fds, Some(&timeout)).is_ok_and(|n| n > 0)
                || self.tty.read(&mut bytes) == Line::Down
            {
                return;
            }
            self.parser.feed(&bytes, &mut inputs);
            let answers = inputs.iter().filter(|i| **i == Input::Answer);
            for _ in answers {
                self.tty.answered();
            }
        }
    }

    pub(super) fn take_signals(&mut self) -> Result<Option<Exit>, RunError> {
        for signal in self.signals.take() {
            match signal {
                Signal::End(number) => {
                    self.save_unsaved();
                    return Ok(Some(Exit::Signal(number)));
                }
                Signal::Size => {
                    let (columns, rows) = self.tty.size();
                    // What is still on its way was drawn for another size.
                    self.tty.drop_pending();
                    self.painter.forget();
                    self.happen(Event::Size(columns, rows));
                }
                Signal::Stop => self.suspend()?,
                // Somebody stopped and continued us from outside: paint anew.
                Signal::Continue => {
                    self.painter.forget();
                    self.dirty = true;
                }
            }
        }
        Ok(None)
    }

    /// Gives the terminal back, stops, and comes back at whatever size it has then.
    pub(super) fn suspend(&mut self) -> Result<(), RunError> {
        self.await_answers(FAREWELL);
        self.tty.drop_pending();
        self.tty.forget();
        held::give_back();
        let stopped = stop();
        // The stop and its end were signals as well.
        self.signals.take();
        held::take(rustix::io::fcntl_dupfd_cloexec(&self.tty, 3).map_err(io::Error::from)?)?;
        self.painter.forget();
        self.announce = true;
        let (columns, rows) = self.tty.size();
        self.happen(Event::Size(columns, rows));
        if !stopped {
            self.model.say("there is no shell here to stop to; q quits");
        }
        Ok(())
    }

    /// The terminal is gone: save, and leave without a word.
    pub(super) fn hang_up(&mut self) -> Exit {
        self.save_unsaved();
        Exit::HangUp
    }

    /// What stands in an open form is kept for the next start.
    pub(super) fn keep_draft(&mut self) {
        let draft = match &self.model.overlay {
            Some(Overlay::Form(form)) => form.draft(&self.model),
            Some(Overlay::Delay(delay)) => Some(delay.draft(&self.model)),
            _ => None,
        };
        if let Some(draft) = draft {
            self.host.keep_draft(Some(&draft));
            self.drafted = true;
        }
    }

    /// The line dropped: what is open, or where one was, is kept for the next start.
    pub(super) fn keep_place(&mut self) {
        self.keep_draft();
        if !self.drafted && !self.model.season.practice {
            let place = Draft::here(&self.model);
            self.host.keep_draft(Some(&place));
        }
    }

    /// The form of the draft was kept or dropped: so is the draft.
    pub(super) fn settle_draft(&mut self) {
        let open = matches!(
            self.model.overlay,
            Some(Overlay::Form(_) | Overlay::Delay(_))
        );
        if self.drafted && !open {
            self.drafted = false;
            self.host.keep_draft(None);
        }
    }

    /// Leaves although the season could not be saved: the work is kept aside. Where not even that
    /// can be done it is told first, and the second wish to leave is granted.
    pub(super) fn leave_unsaved(&mut self) -> Option<Exit> {
        self.save_unsaved();
        let lost =
            matches!(self.model.saved, Saved::No(_)) && !self.host.keep_aside(&self.model.season);
        if lost && !self.warned {
            self.warned = true;
            self.model
                .alert("it cannot even be kept aside: leaving once more loses it");
            self.dirty = true;
            return None;
        }
        Some(Exit::Quit)
    }

    /// Keeps what a power cut would take: words in an open form after a moment, and work that
    /// could not be saved by trying again, which keeps it aside.
    pub(super) fn keep_what_is_due(&mut self) {
        let now = Instant::now();
        let form = matches!(self.model.overlay, Some(Overlay::Form(_)));
        if self.draft_due.is_some_and(|due| due <= now) {
            self.draft_due = None;
            if form {
                self.keep_draft();
            }
        }
        match (&self.model.saved, self.save_due) {
            (Saved::No(_), None) => self.save_due = Some(now + SAVE_AGAIN),
            (Saved::No(_), Some(due)) if due <= now => {
                self.save_due = Some(now + SAVE_AGAIN);
                if !form {
                    self.later.push(Effect::Save);
                }
            }
            (Saved::No(_), _) => {}
            _ => self.save_due = None,
        }
    }

    /// Something was typed: an open form is to be kept soon.
    pub(super) fn typed(&mut self) {
        if matches!(self.model.overlay, Some(Overlay::Form(_))) {
            self.draft_due.get_or_insert(Instant::now() + DRAFT_AFTER);
        }
    }

    pub(super) fn save_unsaved(&mut self) {
        if matches!(self.model.saved, Saved::Saving | Saved::No(_)) {
            self.later.clear();
            let outcome = self.host.save(&self.model.season);
            if outcome != SaveOutcome::Practice {
                self.model.take_saved(outcome);
            }
        }
    }
}
