//! What the model wishes of the world, done.

use super::Loop;
use super::watch::Watch;
use crate::tui::action::Effect;
use crate::tui::wishes;

impl Loop<'_> {
    /// Does one piece of work for the model.
    pub(super) fn work(&mut self, effect: Effect) {
        let moves = matches!(effect, Effect::Begin(_) | Effect::KeepAt(_));
        let Some(event) = wishes::answered(self.host, &self.model, effect) else {
            return;
        };
        if moves {
            // The season lives in another file from now on.
            self.watch = Watch::on(self.host.watched());
        }
        self.happen(event);
    }
}
