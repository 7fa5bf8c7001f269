//! Ends and pauses: signals, stops, a line that drops, and what is kept then.

use super::{Exit, Loop, RunError};
use crate::tui::action::Event;
use crate::tui::host::SaveOutcome;
use crate::tui::model::Saved;
use crate::tui::overlay::Overlay;
use crate::tui::terminal::signals::Signal;
use crate::tui::terminal::{held, stop};
use std::io;

impl Loop<'_> {
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
        self.tty.drop_pending();
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
        if let Some(Overlay::Form(form)) = &self.model.overlay
            && let Some(draft) = form.draft(&self.model)
        {
            self.host.keep_draft(Some(&draft));
        }
    }

    /// The form of the draft was kept or dropped: so is the draft.
    pub(super) fn settle_draft(&mut self) {
        if self.drafted && !matches!(self.model.overlay, Some(Overlay::Form(_))) {
            self.drafted = false;
            self.host.keep_draft(None);
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
