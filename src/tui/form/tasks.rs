//! Forms on tasks: add, edit, finish, move, notes, quieten, label read.

use super::{Field, Form, Kind, Purpose, names};
use crate::domain::records;
use crate::domain::season::{Lane, MaterialId, SprayerId, Task, TaskId, TaskKind, TaskState, edit};
use crate::tui::action::Effect;
use crate::tui::model::Model;
use crate::tui::screen::board;
use crate::tui::words;

fn lanes() -> Kind {
    Kind::Choice(
        Lane::ALL
            .iter()
            .map(|l| (l.key().to_owned(), l.words().to_owned()))
            .collect(),
    )
}

fn kinds() -> Kind {
    Kind::Choice(
        TaskKind::ALL
            .iter()
            .map(|k| (k.key().to_owned(), k.key().replace('-', " ")))
            .collect(),
    )
}

/// Fields that only a spray has.
const OF_SPRAYS: [&str; 4] = ["mix", "targets", "volume", "sprayer"];

impl Form {
    /// Adds a task to the lane in view.
    pub fn add(model: &Model) -> Self {
        let lane = board::lane_at(model.board.lane);
        let blank = Task {
            id: TaskId::from(""),
            title: String::new(),
            lane,
            kind: TaskKind::Spray,
            date: model.today,
            hour: None,
            blocks: Vec::new(),
            targets: Vec::new(),
            mix: Vec::new(),
            volume: None,
            water_ph: None,
            sprayer: None,
            state: TaskState::Planned,
            notes: None,
            why: None,
            part_of: None,
            moved: Vec::new(),
            quiet: Vec::new(),
        };
        let mut form = Self::of_task(model, &blank, "Add a task", Purpose::Add);
        if let Some(date) = form.fields.iter_mut().find(|f| f.key == "date") {
            date.line.set("");
        }
        form
    }

    /// Edits a task.
    pub fn edit(model: &Model, task: &Task) -> Self {
        let title = format!("Edit: {}", task.title);
        Self::of_task(model, task, &title, Purpose::Edit(task.id.clone()))
    }

    fn of_task(model: &Model, task: &Task, title: &str, purpose: Purpose) -> Self {
        let season = &model.season;
        let blocks = names::join(
            task.blocks
                .iter()
                .map(|id| season.block(id).map_or(id.as_str(), |b| b.name.as_str())),
        );
        let targets = names::join(task.targets.iter().map(|id| names::target_name(id, season)));
        let mut sprayers = vec![(String::new(), "not chosen".to_owned())];
        sprayers.extend(
            season
                .sprayers
                .iter()
                .map(|s| (s.id.to_string(), s.name.clone())),
        );
        let sprayer = task.sprayer.as_ref().map_or("", SprayerId::as_str);
        let volume = task.volume.map(|v| v.to_string()).unwrap_or_default();
        let fields = vec![
            Field::new(
                "title",
                "Title",
                "what is to be done, in a few words",
                Kind::Required,
                &task.title,
            ),
            Field::new(
                "date",
                "Date",
                "+3, -1w, sat, 14 feb or 2027-02-14",
                Kind::Day(task.date),
                &task.date.to_string(),
            ),
            Field::new(
                "lane",
                "Lane",
                "left and right change it",
                lanes(),
                task.lane.key(),
            ),
            Field::new(
                "kind",
                "Kind",
                "left and right change it",
                kinds(),
                task.kind.key(),
            ),
            Field::new(
                "blocks",
                "Blocks",
                "names with commas between; empty means all; right completes",
                Kind::Blocks,
                &blocks,
            ),
            Field::new(
                "mix",
                "Materials",
                "name and rate, commas between: oil 2 % v/v; without a rate the label's",
                Kind::Mix,
                &names::mix_text(&task.mix, season),
            ),
            Field::new(
                "targets",
                "Against",
                "what overwinters: names with commas between; right completes",
                Kind::Targets,
                &targets,
            ),
            Field::new(
                "volume",
                "Volume",
                "spray for the whole task, 25 gal or 100 L; empty: from the trees' size",
                Kind::Volume,
                &volume,
            ),
            Field::new(
                "sprayer",
                "Sprayer",
                "left and right change it",
                Kind::Choice(sprayers),
                sprayer,
            ),
        ];
        let mut form = Self::new(title, purpose, fields);
        form.follow_kind();
        form
    }

    /// Only sprays have materials, targets, volume and sprayer.
    pub(super) fn follow_kind(&mut self) {
        let spray = self.choice("kind") == TaskKind::Spray.key();
        for field in &mut self.fields {
            field.is_shown = spray || !OF_SPRAYS.contains(&field.key);
        }
    }

    pub(super) fn apply_task(
        &self,
        model: &mut Model,
        id: Option<&TaskId>,
    ) -> Result<Vec<Effect>, String> {
        let season = &model.season;
        let title = self.text("title").trim().to_owned();
        let date = self.day("date", model)?;
        let kind = TaskKind::from_key(&self.choice("kind")).unwrap_or(TaskKind::Other);
        let spray = kind == TaskKind::Spray;
        let old = id.and_then(|id| season.task(id)).cloned();
        let mut task = match &old {
            Some(task) => task.clone(),
            None => Task {
                id: season.free_task_id(&title),
                title: String::new(),
                lane: Lane::BeforeSwell,
                kind,
                date,
                hour: None,
                blocks: Vec::new(),
                targets: Vec::new(),
                mix: Vec::new(),
                volume: None,
                water_ph: None,
                sprayer: None,
                state: TaskState::Planned,
                notes: None,
                why: None,
                part_of: None,
                moved: Vec::new(),
                quiet: Vec::new(),
            },
        };
        task.title = title;
        task.lane = Lane::from_key(&self.choice("lane")).unwrap_or(task.lane);
        task.kind = kind;
        task.blocks = names::blocks(&self.text("blocks"), season)?;
        if spray {
            task.mix = names::mix(&self.text("mix"), season)?;
            task.targets = names::targets(&self.text("targets"), season, &task.blocks)?;
            task.volume = match self.optional("volume") {
                Some(text) => Some(
                    text.parse()
                        .map_err(|f: crate::domain::units::UnitError| f.to_string())?,
                ),
                None => None,
            };
            let sprayer = self.choice("sprayer");
            task.sprayer = (!sprayer.is_empty()).then(|| SprayerId::from(sprayer.as_str()));
        }
        let id = task.id.clone();
        let words = if old.is_some() { "changed" } else { "added" };
        let words = format!("{words}: {}", task.title);
        let after = match &old {
            // A changed date is a move, kept on record like every other.
            Some(old) if old.date != date && old.state.is_open() => {
                edit::replace_task(season, task)
                    .and_then(|s| edit::move_task(&s, &id, date, model.today, "edited"))
            }
            Some(_) => {
                task.date = date;
                edit::replace_task(season, task)
            }
            None => edit::add_task(season, task),
        };
        let after = after.map_err(|fault| fault.to_string())?;
        let effects = model.edit(after, &words);
        model.board.choose(&model.season, &id);
        Ok(effects)
    }

    /// Finishes a task; a spray gets its record, also later.
    pub fn finish(model: &mut Model, task: &Task) -> Option<Self> {
        let without_record = records::done_without_record(&model.season).any(|t| t.id == task.id);
        if without_record || task.kind == TaskKind::Spray && task.state.is_open() {
            return Some(Self::spray(model, task));
        }
        if !task.state.is_open() {
            let key = model.keymap.first(crate::tui::action::Command::Reopen);
            model.say(format!(
                "'{}' is {} already; {key} opens it again",
                task.title,
                words::state(&task.state)
            ));
            return None;
        }
        let how = vec![
            ("done".to_owned(), "done".to_owned()),
            (
                "skipped".to_owned(),
                "skipped: left out on purpose".to_owned(),
            ),
        ];
        let fields = vec![
            Field::new(
                "how",
                "How",
                "left and right change it",
                Kind::Choice(how),
                "done",
            ),
            Field::new(
                "date",
                "When",
                "today, yesterday, -2, sat, 14 feb",
                Kind::Day(model.today),
                "today",
            ),
            super::against::why_skipped(),
        ];
        let title = format!("Finish: {}", task.title);
        Some(Self::new(title, Purpose::Finish(task.id.clone()), fields))
    }

    pub(super) fn apply_finish(
        &self,
        model: &mut Model,
        id: &TaskId,
    ) -> Result<Vec<Effect>, String> {
        self.apply_state(model, id, self.choice("how") == "skipped")
    }

    /// Moves a task to a typed date.
    pub fn move_to(model: &mut Model, task: &Task) -> Option<Self> {
        if !task.state.is_open() {
            model.say(format!(
                "'{}' is {}; open it again before moving it",
                task.title,
                words::state(&task.state)
            ));
            return None;
        }
        let fields = vec![
            Field::new(
                "date",
                "To",
                "+3, -1w, sat, 14 feb or 2027-02-14",
                Kind::Day(task.date),
                "",
            ),
            Field::new(
                "why",
                "Why",
                "a word for the record, if you like",
                Kind::Text,
                "",
            ),
        ];
        let title = format!("Move: {} (now {})", task.title, words::full_day(task.date));
        Some(Self::new(title, Purpose::MoveTo(task.id.clone()), fields))
    }

    pub(super) fn apply_move(&self, model: &mut Model, id: &TaskId) -> Result<Vec<Effect>, String> {
        let to = self.day("date", model)?;
        let after = edit::move_task(&model.season, id, to, model.today, self.text("why").trim())
            .map_err(|f| f.to_string())?;
        let title = after.task(id).map(|t| t.title.clone()).unwrap_or_default();
        let words = format!("moved to {}: {title}", words::full_day(to));
        Ok(model.edit(after, &words))
    }

    /// Writes notes on a task.
    pub fn notes(task: &Task) -> Option<Self> {
        let field = Field::new(
            "notes",
            "Notes",
            "enter begins a new line; tab, then enter keeps it",
            Kind::Notes,
            task.notes.as_deref().unwrap_or(""),
        );
        let title = format!("Notes: {}", task.title);
        Some(Self::new(
            title,
            Purpose::Notes(task.id.clone()),
            vec![field],
        ))
    }

    pub(super) fn apply_notes(
        &self,
        model: &mut Model,
        id: &TaskId,
    ) -> Result<Vec<Effect>, String> {
        let mut task = model.season.task(id).cloned().ok_or("the task is gone")?;
        task.notes = Some(self.text("notes").trim_end().to_owned()).filter(|n| !n.is_empty());
        let words = format!("notes written: {}", task.title);
        let after = edit::replace_task(&model.season, task).map_err(|f| f.to_string())?;
        Ok(model.edit(after, &words))
    }

    /// Quietens a rule for a task, or lets it speak again.
    pub fn quieten(model: &mut Model, task: &Task) -> Option<Self> {
        let mut rules: Vec<(String, String)> = Vec::new();
        for warning in model.outlook.warnings_of(&task.id) {
            if rules.iter().all(|(id, _)| id != warning.rule) {
                let words = format!("{}: {}", warning.level.words(), warning.message);
                rules.push((warning.rule.to_owned(), words));
            }
        }
        for quiet in &task.quiet {
            let title =
                crate::domain::rules::rule(&quiet.rule).map_or(quiet.rule.as_str(), |r| r.title);
            rules.push((quiet.rule.clone(), format!("let speak again: {title}")));
        }
        if rules.is_empty() {
            model.say("no rule speaks on this task");
            return None;
        }
        let fields = vec![
            Field::new(
                "rule",
                "Rule",
                "left and right change it",
                Kind::Choice(rules),
                "",
            ),
            Field::new(
                "why",
                "Why",
                "your reason; it is kept on record",
                Kind::Required,
                "",
            ),
        ];
        let title = format!("Quieten a warning: {}", task.title);
        Some(Self::new(title, Purpose::Quieten(task.id.clone()), fields))
    }

    pub(super) fn apply_quieten(
        &self,
        model: &mut Model,
        id: &TaskId,
    ) -> Result<Vec<Effect>, String> {
        let rule = self.choice("rule");
        let why = self.text("why").trim().to_owned();
        let after = edit::toggle_quiet(&model.season, id, &rule, &why, model.today)
            .map_err(|f| f.to_string())?;
        let quiet = after
            .task(id)
            .is_some_and(|t| t.quiet.iter().any(|q| q.rule == rule));
        let title = crate::domain::rules::rule(&rule).map_or(rule.as_str(), |r| r.title);
        let words = if quiet { "quietened" } else { "speaks again" };
        Ok(model.edit(after, &format!("{words}: {title}")))
    }

    /// Enters that a label was read: the materials of the task first.
    pub fn label_read(model: &mut Model, task: &Task) -> Option<Self> {
        Self::label_read_of(model, |id| task.mix.iter().any(|p| p.material == *id))
    }

    /// Enters that a label was read: the materials that pass first.
    pub fn label_read_of(model: &mut Model, used: impl Fn(&MaterialId) -> bool) -> Option<Self> {
        let season = &model.season;
        let mut materials: Vec<_> = season.materials.iter().collect();
        materials.sort_by_key(|m| !used(&m.id));
        let options: Vec<(String, String)> = materials
            .iter()
            .map(|m| {
                let read = match m.label.read_on {
                    Some(day) => format!("read {}", words::full_day(day)),
                    None => "not read yet".to_owned(),
                };
                (m.id.to_string(), format!("{} ({read})", m.name))
            })
            .collect();
        if options.is_empty() {
            model.say("this season has no materials yet");
            return None;
        }
        let fields = vec![
            Field::new(
                "material",
                "Label of",
                "left and right change it",
                Kind::Choice(options),
                "",
            ),
            Field::new(
                "date",
                "Read on",
                "today, yesterday, -2, 14 nov",
                Kind::Day(model.today),
                "today",
            ),
        ];
        Some(Self::new("A label was read", Purpose::LabelRead, fields))
    }

    pub(super) fn apply_label_read(&self, model: &mut Model) -> Result<Vec<Effect>, String> {
        let date = self.day("date", model)?;
        if date > model.today {
            return Err(format!("{} has not come yet", words::full_day(date)));
        }
        let id = MaterialId::from(self.choice("material").as_str());
        let after = edit::label_read(&model.season, &id, date).map_err(|f| f.to_string())?;
        let name = after
            .material(&id)
            .map(|m| m.name.clone())
            .unwrap_or_default();
        Ok(model.edit(
            after,
            &format!("label read {}: {name}", words::full_day(date)),
        ))
    }
}
