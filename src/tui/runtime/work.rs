//! What the model wishes of the world, done.

use super::Loop;
use super::watch::Watch;
use crate::tui::action::{Effect, Event};
use crate::tui::host::News;

impl Loop<'_> {
    /// Does one piece of work for the model.
    pub(super) fn work(&mut self, effect: Effect) {
        match effect {
            Effect::Save => {
                let outcome = self.host.save(&self.model.season);
                self.happen(Event::Saved(outcome));
            }
            Effect::Estimate => {
                let made = self.host.estimates(&self.model.season, self.model.today);
                if let Some(estimates) = made {
                    self.happen(Event::Estimates(estimates));
                }
            }
            Effect::Curves(block) => {
                let curves = self
                    .host
                    .curves(&self.model.season, &block, self.model.today);
                self.happen(Event::Curves(block, curves));
            }
            Effect::Asked(block) => {
                let asked = self
                    .host
                    .asked(&self.model.season, &block, self.model.today);
                self.happen(Event::Asked(block, asked));
            }
            Effect::Fetch => {
                let news = match self.host.fetch(&self.model.season) {
                    Ok(words) => News::Progress(words),
                    Err(why) => News::Failed(why),
                };
                self.happen(Event::News(news));
            }
            Effect::Table(ask) => {
                let answer = self.host.table(&self.model.season, &ask);
                self.happen(Event::Table(answer));
            }
            Effect::Review => {
                let now = self.host.now();
                let review = self.host.review(&self.model.season, now).map(Box::new);
                self.happen(Event::Review(review));
            }
            Effect::Trail(back) => {
                let trail = self.host.trail(&self.model.season).map(Box::new);
                self.happen(Event::Trail(trail, back));
            }
            Effect::Years => {
                let years = self.host.years(&self.model.season);
                self.happen(Event::Years(years));
            }
            Effect::Air(from, to) => {
                let (air, said) = self.host.air(&self.model.season, from, to);
                self.happen(Event::Air(Box::new(air), said));
            }
            Effect::Reload => {
                let reloaded = self.host.reload();
                self.happen(Event::Reloaded(reloaded));
            }
            Effect::Join => {
                let joined = self.host.join(&self.model.season);
                self.happen(Event::Joined(joined));
            }
            Effect::Begin(answers) => {
                let begun = self.host.begin(&answers);
                self.watch = Watch::on(self.host.watched());
                self.happen(Event::Begun(begun));
            }
            Effect::KeepAt(place) => {
                let kept = self.host.keep_at(&self.model.season, &place);
                self.watch = Watch::on(self.host.watched());
                self.happen(Event::Kept(kept));
            }
            Effect::WriteNew(files) => {
                let written = self.host.write_new(&files);
                self.happen(Event::Written(written));
            }
            Effect::Quit
            | Effect::Suspend
            | Effect::Repaint
            | Effect::Mouse(_)
            | Effect::CopyOut(_) => {}
        }
    }
}
