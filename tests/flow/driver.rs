//! Types keys into a model and answers its wishes as the loop would.

use crate::common::{MemoryHost, season};
use barewood::domain::season::{Season, Task, TaskId};
use barewood::tui::action::{Effect, Event};
use barewood::tui::host::{Host, News};
use barewood::tui::keymap::Keymap;
use barewood::tui::model::Model;
use barewood::tui::update::update;

/// The keys as shipped, and keys of the owner's own for what ships without one.
fn keymap() -> Keymap {
    let own = [
        ("week-later", "]"),
        ("week-earlier", "["),
        ("lane-right", "}"),
        ("lane-left", "{"),
        ("copy", "alt-c"),
        ("repeat", "alt-s"),
    ];
    Keymap::with_overrides(&own).expect("sound keys")
}

pub struct Driver {
    pub model: Model,
    pub host: MemoryHost,
    pub ended: bool,
    pub wishes: Vec<Effect>,
}

impl Driver {
    pub fn new() -> Self {
        Self::with(season())
    }

    pub fn with(season: Season) -> Self {
        Self::on(MemoryHost::new(season))
    }

    pub fn on(mut host: MemoryHost) -> Self {
        let opening = host.open().unwrap();
        Self {
            model: Model::new(opening, keymap(), (80, 24)),
            host,
            ended: false,
            wishes: Vec::new(),
        }
    }

    /// The season with invented hours of weather, its copper planned into the rain.
    pub fn with_hours() -> Self {
        let mut season = season();
        for task in season
            .tasks
            .iter_mut()
            .filter(|t| t.id.as_str() == "copper-fall")
        {
            task.date = crate::common::day(2026, 11, 28);
        }
        let mut host = MemoryHost::new(season.clone());
        host.air = Some(crate::common::air(&season));
        let opening = host.open().unwrap();
        Self {
            model: Model::new(opening, keymap(), (80, 24)),
            host,
            ended: false,
            wishes: Vec::new(),
        }
    }

    /// A season of the user's own, which is saved.
    pub fn owned() -> Self {
        let mut season = season();
        season.practice = false;
        Self::with(season)
    }

    pub fn happen(&mut self, event: Event) {
        let mut queue = update(&mut self.model, event);
        while !queue.is_empty() {
            let effect = queue.remove(0);
            self.wishes.push(effect.clone());
            let answer = match effect {
                Effect::Save => Event::Saved(self.host.save(&self.model.season)),
                Effect::Estimate => Event::Estimates(
                    self.host
                        .estimates(&self.model.season, self.model.today)
                        .unwrap(),
                ),
                Effect::Curves(id) => {
                    let curves = self.host.curves(&self.model.season, &id, self.model.today);
                    Event::Curves(id, curves)
                }
                Effect::Fetch => match self.host.fetch(&self.model.season) {
                    Ok(words) => Event::News(News::Progress(words)),
                    Err(why) => Event::News(News::Failed(why)),
                },
                Effect::Asked(id) => {
                    let asked = self.host.asked(&self.model.season, &id, self.model.today);
                    Event::Asked(id, asked)
                }
                Effect::TakeIn => Event::CameIn(self.host.take_in(&self.model.season)),
                Effect::Join(stands) => {
                    let joined = self.host.join(&self.model.season, stands).map(Box::new);
                    Event::Joined(joined)
                }
                Effect::TakeKept(id) => {
                    let took = self.host.take_kept(&self.model.season, &id);
                    Event::TookKept(took, id)
                }
                Effect::DropKept(id) => {
                    self.host.drop_kept(&id);
                    continue;
                }
                Effect::Versions => Event::Versions(self.host.versions(&self.model.season)),
                Effect::Restore(id, until) => {
                    let version = self.host.version(&self.model.season, &id);
                    Event::Version(version.map(Box::new), until)
                }
                Effect::KeepAsideAndQuit => {
                    self.host.keep_aside(&self.model.season);
                    self.ended = true;
                    continue;
                }
                Effect::Begin(answers) => Event::Begun(self.host.begin(&answers)),
                Effect::KeepAt(place) => Event::Kept(self.host.keep_at(&self.model.season, &place)),
                Effect::Review => {
                    let now = self.host.now();
                    let review = self.host.review(&self.model.season, now).map(Box::new);
                    Event::Review(review)
                }
                Effect::Years => Event::Years(self.host.years(&self.model.season)),
                Effect::Chances => Event::Chances(Vec::new()),
                Effect::Trail(back) => {
                    let trail = self.host.trail(&self.model.season).map(Box::new);
                    Event::Trail(trail, back)
                }
                Effect::Air(from, to) => {
                    let (air, said) = self.host.air(&self.model.season, from, to);
                    Event::Air(Box::new(air), said)
                }
                Effect::Table(ask) => Event::Table(self.host.table(&self.model.season, &ask)),
                Effect::WriteNew(files) => Event::Written(self.host.write_new(&files)),
                Effect::Quit => {
                    self.ended = true;
                    continue;
                }
                Effect::Repaint | Effect::Mouse(_) | Effect::Suspend | Effect::CopyOut(_) => {
                    continue;
                }
            };
            queue.extend(update(&mut self.model, answer));
        }
    }

    /// Keys by name with blanks between; `"text"` types its letters.
    pub fn keys(&mut self, script: &str) -> &mut Self {
        let mut rest = script.trim();
        while !rest.is_empty() {
            if let Some(text) = rest.strip_prefix('"') {
                let (text, after) = text.split_once('"').expect("closing quote");
                for c in text.chars() {
                    self.happen(Event::Key(barewood::tui::key::Key::char(c)));
                }
                rest = after.trim_start();
                continue;
            }
            let (key, after) = rest.split_once(' ').unwrap_or((rest, ""));
            self.happen(Event::Key(key.parse().expect("a key")));
            rest = after.trim_start();
        }
        // The hand rests: the card follows the mark.
        self.happen(Event::Rest);
        self
    }

    pub fn task(&self, id: &str) -> &Task {
        self.model.season.task(&TaskId::from(id)).expect("a task")
    }

    pub fn chosen(&self) -> &str {
        self.model.board.chosen.as_ref().map_or("", TaskId::as_str)
    }

    pub fn choose(&mut self, id: &str) -> &mut Self {
        let id = TaskId::from(id);
        self.model.board.choose(&self.model.season, &id);
        self.model.board.rest();
        self
    }

    pub fn notice(&self) -> &str {
        self.model.notice.as_ref().map_or("", |n| n.text.as_str())
    }
}
