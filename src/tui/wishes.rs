//! What the model wishes of the world, done through the host. The full-screen board and the board
//! line by line share it.

use super::action::{Effect, Event};
use super::host::{Host, News};
use super::model::Model;

/// Does one wish; what came of it is an event. `None` where the terminal has to do it, or where
/// the answer comes later.
pub(super) fn answered(host: &mut dyn Host, model: &Model, wish: Effect) -> Option<Event> {
    Some(match wish {
        Effect::Save => Event::Saved(host.save(&model.season)),
        Effect::Estimate => Event::Estimates(host.estimates(&model.season, model.today)?),
        Effect::Curves(block) => {
            let curves = host.curves(&model.season, &block, model.today);
            Event::Curves(block, curves)
        }
        Effect::Asked(block) => {
            let asked = host.asked(&model.season, &block, model.today);
            Event::Asked(block, asked)
        }
        Effect::Fetch => Event::News(match host.fetch(&model.season) {
            Ok(words) => News::Progress(words),
            Err(why) => News::Failed(why),
        }),
        Effect::Table(ask) => Event::Table(host.table(&model.season, &ask)),
        Effect::Review => {
            let now = host.now();
            Event::Review(host.review(&model.season, now).map(Box::new))
        }
        Effect::Trail(back) => Event::Trail(host.trail(&model.season).map(Box::new), back),
        Effect::Years => Event::Years(host.years(&model.season)),
        Effect::Chances => {
            let sheet = model.run.sheet();
            let made = sheet.map(|sheet| host.chances(&model.season, sheet, model.today));
            Event::Chances(made.unwrap_or_default())
        }
        Effect::Air(from, to) => {
            let (air, said) = host.air(&model.season, from, to);
            Event::Air(Box::new(air), said)
        }
        Effect::TakeIn => Event::CameIn(host.take_in(&model.season)),
        Effect::Join(stands) => Event::Joined(host.join(&model.season, stands).map(Box::new)),
        Effect::TakeKept(id) => Event::TookKept(host.take_kept(&model.season, &id), id),
        Effect::DropKept(id) => {
            host.drop_kept(&id);
            return None;
        }
        Effect::Versions => Event::Versions(host.versions(&model.season)),
        Effect::Restore(id, until) => {
            let version = host.version(&model.season, &id).map(Box::new);
            Event::Version(version, until)
        }
        Effect::Begin(answers) => Event::Begun(host.begin(&answers)),
        Effect::KeepAt(place) => Event::Kept(host.keep_at(&model.season, &place)),
        Effect::WriteNew(files) => Event::Written(host.write_new(&files)),
        Effect::Quit
        | Effect::KeepAsideAndQuit
        | Effect::Suspend
        | Effect::Repaint
        | Effect::Mouse(_)
        | Effect::CopyOut(_) => return None,
    })
}
