//! The rules told a second time: brute force, own arithmetic in pounds,
//! gallons and acres, own tables for the few names the generator uses.
//! Slow on purpose, and written without looking things up in `Facts`.

mod aim;
mod amounts;
mod calendar;
mod near;
mod people;
mod tank;
mod window;

use barewood::domain::outlook::{BlockEstimate, Estimates};
use barewood::domain::rules::Level;
use barewood::domain::season::*;
use chrono::NaiveDate;

/// One finding without its words: rule, level, task, block, material.
pub type Found = (
    String,
    Level,
    Option<String>,
    Option<String>,
    Option<String>,
);

/// What is looked at.
pub struct Plan<'a> {
    pub season: &'a Season,
    pub estimates: &'a Estimates,
    pub today: NaiveDate,
}

/// One use: planned, done, or from a record of no task here.
#[derive(Clone)]
pub struct Hit<'a> {
    pub day: NaiveDate,
    pub task: Option<&'a Task>,
    pub block: &'a Block,
    pub material: Option<&'a Material>,
    pub material_id: String,
    pub active: String,
    pub rate: Option<barewood::domain::units::Rate>,
    pub recorded_copper: Option<f64>,
    /// The record that no task here stands behind, with the line of it that is meant.
    pub record: Option<(&'a Record, &'a RecordedMaterial)>,
}

impl Hit<'_> {
    pub fn open(&self) -> bool {
        self.task
            .is_some_and(|t| matches!(t.state, TaskState::Planned))
    }

    /// Place in time: records stand before tasks of the same day.
    pub fn place(&self) -> (NaiveDate, Option<String>) {
        (self.day, self.task.map(|t| t.id.to_string()))
    }

    pub fn task_id(&self) -> Option<String> {
        self.task.map(|t| t.id.to_string())
    }
}

impl<'a> Plan<'a> {
    pub fn live(&self) -> Vec<&'a Task> {
        let season = self.season;
        season
            .tasks
            .iter()
            .filter(|t| t.kind == TaskKind::Spray)
            .filter(|t| !matches!(t.state, TaskState::Skipped(_)))
            .collect()
    }

    pub fn open(&self) -> Vec<&'a Task> {
        self.live()
            .into_iter()
            .filter(|t| matches!(t.state, TaskState::Planned))
            .collect()
    }

    pub fn blocks(&self, task: &Task) -> Vec<&'a Block> {
        let season = self.season;
        season
            .blocks
            .iter()
            .filter(|b| task.blocks.is_empty() || task.blocks.contains(&b.id))
            .filter(|b| self.reached(task, b))
            .collect()
    }

    /// What is done is done on the blocks that its records name.
    fn reached(&self, task: &Task, block: &Block) -> bool {
        let mut records = self
            .season
            .records
            .iter()
            .filter(|r| r.task.as_ref() == Some(&task.id) && !self.corrected(r))
            .peekable();
        let done = task.kind == TaskKind::Spray && matches!(task.state, TaskState::Done(_));
        !done || records.peek().is_none() || records.any(|r| r.blocks.contains(&block.id))
    }

    pub fn parts(&self, task: &'a Task) -> Vec<(&'a MixPart, &'a Material)> {
        let season = self.season;
        task.mix
            .iter()
            .filter_map(|p| {
                season
                    .materials
                    .iter()
                    .find(|m| m.id == p.material)
                    .map(|m| (p, m))
            })
            .collect()
    }

    pub fn corrected(&self, record: &Record) -> bool {
        self.season
            .records
            .iter()
            .any(|r| r.corrects.as_ref() == Some(&record.id))
    }

    /// Everything on one block, records of this plan's own tasks left out.
    pub fn on(&self, block: &'a Block) -> Vec<Hit<'a>> {
        let mut all = Vec::new();
        for task in self.live() {
            if !self.blocks(task).iter().any(|b| b.id == block.id) {
                continue;
            }
            for (part, material) in self.parts(task) {
                all.push(Hit {
                    day: match task.state {
                        TaskState::Done(d) => d,
                        _ => task.date.max(self.today),
                    },
                    task: Some(task),
                    block,
                    material: Some(material),
                    material_id: material.id.to_string(),
                    active: material.active.clone(),
                    rate: part.rate.or(material.label.rate),
                    recorded_copper: self.recorded(task, material),
                    record: None,
                });
            }
        }
        for record in &self.season.records {
            let own = record
                .task
                .as_ref()
                .is_some_and(|t| self.season.tasks.iter().any(|x| &x.id == t));
            if own || self.corrected(record) || !record.blocks.contains(&block.id) {
                continue;
            }
            for m in &record.materials {
                all.push(Hit {
                    day: record.date,
                    task: None,
                    block,
                    material: None,
                    material_id: m.material.to_string(),
                    active: m.active.clone(),
                    rate: None,
                    recorded_copper: m.copper_kg_per_ha,
                    record: Some((record, m)),
                });
            }
        }
        all
    }

    fn recorded(&self, task: &Task, material: &Material) -> Option<f64> {
        self.season
            .records
            .iter()
            .filter(|r| r.task.as_ref() == Some(&task.id) && !self.corrected(r))
            .flat_map(|r| &r.materials)
            .filter(|m| m.material == material.id)
            .filter_map(|m| m.copper_kg_per_ha)
            .next_back()
    }

    pub fn estimate(&self, block: &Block) -> Option<&'a BlockEstimate> {
        let estimates = self.estimates;
        estimates.blocks.iter().find(|e| e.block == block.id)
    }

    pub fn tolerance(&self) -> f64 {
        self.season.orchard.tolerance.value / 100.0 + 1e-6
    }

    pub fn start(&self) -> NaiveDate {
        let d = &self.season.dates;
        d.leaf_drop_seen.unwrap_or(d.leaf_drop_expected) - chrono::TimeDelta::days(91)
    }
}

/// The kinds of the few actives that the generator uses.
pub fn kinds(active: &str) -> &'static [&'static str] {
    match active {
        "horticultural oil" | "refined petroleum distillate" => &["oil"],
        "copper hydroxide" => &["copper", "hydroxide"],
        "fixed copper" => &["copper", "of a form not named"],
        "cuprous oxide" => &["copper"],
        "bordeaux mixture" => &["copper", "lime"],
        "sulfur" => &["sulfur"],
        "lime sulfur" => &["lime sulfur"],
        "captan" => &["captan"],
        "chlorothalonil" => &["chlorothalonil"],
        "urea" => &["urea"],
        "citric acid" => &["acid"],
        "kaolin" | "mystery dust" => &[],
        other => panic!("the second telling does not know '{other}'"),
    }
}

pub fn is(active: &str, kind: &str) -> bool {
    kinds(active).contains(&kind)
}

/// East of the Rocky Mountains, of the places that the generator uses.
pub fn in_the_east(plan: &Plan<'_>) -> bool {
    let o = &plan.season.orchard;
    o.longitude > -105.0
        && matches!(
            o.time_zone.name(),
            "America/Chicago" | "America/Los_Angeles"
        )
}

/// Does a word on a label mean this active? "Sulfur" means either form.
pub fn means(word: &str, active: &str) -> bool {
    is(active, word) || (word == "sulfur" && is(active, "lime sulfur"))
}

pub fn found(
    rule: &str,
    level: Level,
    task: Option<&Task>,
    block: Option<&Block>,
    material: Option<&Material>,
) -> Found {
    (
        rule.to_owned(),
        level,
        task.map(|t| t.id.to_string()),
        block.map(|b| b.id.to_string()),
        material.map(|m| m.id.to_string()),
    )
}

/// The season with every task that has records told part by part: a task of its own for each
/// record, named `task#n`, and one for what is left.
fn in_parts(season: &Season) -> Season {
    let mut told = season.clone();
    told.tasks.clear();
    for task in &season.tasks {
        let places: Vec<usize> = (0..season.records.len())
            .filter(|i| {
                let r = &season.records[*i];
                let corrected = season
                    .records
                    .iter()
                    .any(|x| x.corrects.as_ref() == Some(&r.id) && x.id != r.id);
                r.task.as_ref() == Some(&task.id) && !corrected && !r.taken_back
            })
            .collect();
        if places.is_empty() {
            told.tasks.push(task.clone());
            continue;
        }
        let mut left: Vec<BlockId> = season
            .blocks
            .iter()
            .map(|b| b.id.clone())
            .filter(|b| task.blocks.is_empty() || task.blocks.contains(b))
            .collect();
        for i in places {
            let record = &season.records[i];
            let mut part = task.clone();
            part.id = TaskId::from(format!("{}#{i}", task.id).as_str());
            part.state = TaskState::Done(record.date);
            part.blocks.clone_from(&record.blocks);
            left.retain(|b| !record.blocks.contains(b));
            told.records[i].task = Some(part.id.clone());
            told.tasks.push(part);
        }
        if matches!(task.state, TaskState::Planned) && !left.is_empty() {
            let mut rest = task.clone();
            rest.blocks = left;
            told.tasks.push(rest);
        }
    }
    told
}

/// Every finding, sorted; those quietened for their task left out.
pub fn tell(season: &Season, estimates: &Estimates, today: NaiveDate) -> Vec<Found> {
    let parts = in_parts(season);
    let plan = Plan {
        season: &parts,
        estimates,
        today,
    };
    let mut all = Vec::new();
    calendar::tell(&plan, &mut all);
    amounts::tell(&plan, &mut all);
    tank::tell(&plan, &mut all);
    people::tell(&plan, &mut all);
    aim::tell(&plan, &mut all);
    near::tell(&plan, &mut all);
    for found in &mut all {
        found.2 = found
            .2
            .as_ref()
            .and_then(|id| id.split('#').next().map(str::to_owned));
    }
    all.retain(|f| {
        let task = season.tasks.iter().find(|t| Some(t.id.to_string()) == f.2);
        !task.is_some_and(|t| t.quiet.iter().any(|q| q.rule == f.0))
    });
    all.sort();
    all
}
