//! Blocks, sprayers and people from the rows of a table, as a spreadsheet keeps them, and out
//! again. A table begins with a row of headings whose first cell says what it lists: `block`,
//! `sprayer` or `person`; several may follow on each other.
//!
//! Nothing is taken unless every row is right; an empty cell leaves what is known.

mod columns;
mod write;

pub use write::rows_of;

use super::edit::{add_block, put_person, put_sprayer, replace_block};
use super::free_id;
use super::{
    Block, BlockId, Calibration, Canopy, PastCopper, Person, PersonId, Season, Sprayer, SprayerId,
    SprayerKind, WorkTime,
};
use crate::domain::phenology::species::Species;
use crate::domain::units::{Volume, VolumeUnit};
use columns::{Cells, Heads, What};

/// What is wrong with a cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RowProblem {
    /// The row, counted from one.
    pub row: usize,
    /// The heading of its column; empty where it is the row as a whole.
    pub column: String,
    /// What was wrong and what to do.
    pub what: String,
}

impl std::fmt::Display for RowProblem {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let column = if self.column.is_empty() {
            String::new()
        } else {
            format!(", {}", self.column)
        };
        write!(f, "row {}{column}: {}", self.row, self.what)
    }
}

/// What a table does to a season.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    /// The season after.
    pub season: Season,
    /// What changes, one line each.
    pub changes: Vec<String>,
    /// Rows that change nothing.
    pub same: usize,
    /// Columns that mean nothing here.
    pub unknown: Vec<String>,
    /// The ids of the blocks in the table.
    pub blocks: Vec<BlockId>,
}

/// Takes the rows of a table into a season.
///
/// # Errors
/// With everything that is wrong, row by row.
pub fn take_rows(season: &Season, rows: &[Vec<String>]) -> Result<Taken, Vec<RowProblem>> {
    let mut problems = Vec::new();
    let mut taken = Taken {
        season: season.clone(),
        changes: Vec::new(),
        same: 0,
        unknown: Vec::new(),
        blocks: Vec::new(),
    };
    let mut heads: Option<Heads> = None;
    let mut named: Vec<(What, String)> = Vec::new();
    for (ix, row) in rows.iter().enumerate() {
        if row.iter().all(|c| c.trim().is_empty()) {
            continue;
        }
        if let Some(found) = Heads::of(row) {
            taken.unknown.extend(found.unknown());
            heads = Some(found);
            continue;
        }
        let Some(heads) = &heads else {
            problems.push(RowProblem {
                row: ix + 1,
                column: String::new(),
                what: "there is no row of headings above it; begin with: block, kind, cultivar, trees, area ha, row spacing m, tree spacing m, height m, spread m".to_owned(),
            });
            break;
        };
        let mut cells = Cells::new(heads, row, ix + 1, season.orchard.units);
        let name = cells.name();
        if let Some(name) = &name {
            let key = (heads.what, name.to_lowercase());
            if named.contains(&key) {
                cells.wrong(
                    heads.first(),
                    format!("'{name}' stands in the table twice; name each once"),
                );
            }
            named.push(key);
        }
        match (heads.what, name) {
            (_, None) => cells.wrong(heads.first(), "a name is needed".to_owned()),
            (What::Block, Some(name)) => take_block(&mut taken, &mut cells, &name),
            (What::Sprayer, Some(name)) => take_sprayer(&mut taken, &mut cells, &name),
            (What::Person, Some(name)) => take_person(&mut taken, &mut cells, &name),
        }
        problems.append(&mut cells.problems);
    }
    if rows.is_empty() {
        problems.push(RowProblem {
            row: 1,
            column: String::new(),
            what: "the table is empty".to_owned(),
        });
    }
    if problems.is_empty() {
        Ok(taken)
    } else {
        Err(problems)
    }
}

fn is_called(text: &str, id: &str, name: &str) -> bool {
    let wanted = text.to_lowercase();
    id.to_lowercase() == wanted || name.to_lowercase() == wanted
}

fn take_block(taken: &mut Taken, cells: &mut Cells<'_>, name: &str) {
    let known = taken
        .season
        .blocks
        .iter()
        .find(|b| is_called(name, b.id.as_str(), &b.name))
        .cloned();
    let kind = cells.read("kind", |text| {
        super::planted::species(text).ok_or_else(|| {
            let all: Vec<&str> = Species::ALL.iter().map(|s| s.words()).collect();
            format!(
                "'{text}' is no kind of tree known here; write one of: {}",
                all.join(", ")
            )
        })
    });
    let is_new = known.is_none();
    let mut block = match (known, kind) {
        (Some(block), _) => block,
        (None, Some(kind)) => new_block(&taken.season, name, kind),
        (None, None) => {
            if !cells.has_problem("kind") {
                cells.wrong(
                    "kind",
                    format!("'{name}' is new: say what trees stand there"),
                );
            }
            return;
        }
    };
    let before = block.clone();
    if let Some(kind) = kind {
        block.species = kind;
    }
    if let Some(text) = cells.text("cultivar") {
        block.cultivar = Some(text);
    }
    if let Some(n) = cells.whole("trees", 1..=10_000_000) {
        block.trees = n;
    }
    block.area = cells.area("area").or(block.area);
    block.row_spacing = cells.length("row spacing").or(block.row_spacing);
    block.tree_spacing = cells.length("tree spacing").or(block.tree_spacing);
    block.height = cells.length("height").or(block.height);
    block.spread = cells.length("spread").or(block.spread);
    block.measured_volume = cells.volume("volume").or(block.measured_volume);
    if let Some(canopy) = cells.read("canopy", canopy) {
        block.canopy = canopy;
    }
    if let Some(organic) = cells.read("organic", yes_or_no) {
        block.organic = organic;
    }
    block.guard_days = cells.whole("guard days", 0..=365).or(block.guard_days);
    block.site = cells.text("site").or(block.site.take());
    if let Some(years) = cells.read("past copper", past_copper) {
        block.copper_past_kg_per_ha = years;
    }
    taken.blocks.push(block.id.clone());
    note(taken, is_new, before == block, || changed(&before, &block));
    let after = if is_new {
        add_block(&taken.season, block)
    } else {
        replace_block(&taken.season, block)
    };
    match after {
        Ok(after) => taken.season = after,
        Err(fault) => cells.wrong("block", fault.to_string()),
    }
}

fn note(taken: &mut Taken, is_new: bool, is_same: bool, words: impl Fn() -> String) {
    if !is_new && is_same {
        taken.same += 1;
        return;
    }
    let sign = if is_new { "new" } else { "changed" };
    taken.changes.push(format!("{sign}: {}", words()));
}

fn changed(before: &Block, after: &Block) -> String {
    let was = write::block_cells(before);
    let is = write::block_cells(after);
    let fields: Vec<String> = write::BLOCK_HEADS
        .iter()
        .zip(was.iter().zip(&is))
        .skip(1)
        .filter(|(_, (was, is))| was != is && !is.is_empty())
        .map(|(head, (was, is))| match was.as_str() {
            "" => format!("{head} {is}"),
            was => format!("{head} {was} -> {is}"),
        })
        .collect();
    let kind = if fields.iter().any(|f| f.starts_with("kind")) {
        String::new()
    } else {
        format!(", {}", after.species.words())
    };
    if fields.is_empty() {
        format!("{}{kind}", after.name)
    } else {
        format!("{}{kind}: {}", after.name, fields.join(", "))
    }
}

fn new_block(season: &Season, name: &str, species: Species) -> Block {
    let id = free_id(name, "block", |text| {
        season.block(&BlockId::from(text)).is_some()
    });
    Block::new(BlockId::from(id.as_str()), name.to_owned(), species)
}

fn canopy(text: &str) -> Result<Canopy, String> {
    match text.to_lowercase().as_str() {
        "open" => Ok(Canopy::Open),
        "middling" | "medium" => Ok(Canopy::Middling),
        "dense" | "unpruned" => Ok(Canopy::Dense),
        _ => Err(format!(
            "'{text}' is no canopy; write open, middling or dense"
        )),
    }
}

/// Metallic copper of past years, kg/ha, latest first: `4.4 3.9 ? 4`.
fn past_copper(text: &str) -> Result<Vec<PastCopper>, String> {
    let year = |piece: &str| match columns::decimal(piece) {
        Some(kg) if (0.0..=1000.0).contains(&kg) => Ok(PastCopper::KgPerHa(kg)),
        None if piece == "?" || piece.eq_ignore_ascii_case(PastCopper::UNKNOWN) => {
            Ok(PastCopper::Unknown)
        }
        _ => Err(format!(
            "'{piece}' is no copper of a year; write kg/ha of metal with spaces between, latest year first, and ? for a year not known: 4.4 3.9 ? 4"
        )),
    };
    text.split([' ', ';', '\t'])
        .map(|piece| piece.trim_end_matches(','))
        .filter(|piece| !piece.is_empty())
        .map(year)
        .collect()
}

fn yes_or_no(text: &str) -> Result<bool, String> {
    match text.to_lowercase().as_str() {
        "yes" | "y" | "true" | "1" | "x" => Ok(true),
        "no" | "n" | "false" | "0" | "-" => Ok(false),
        _ => Err(format!("'{text}' is neither yes nor no")),
    }
}

/// How a sprayer works, in words.
pub const SPRAYER_KINDS: [(&str, SprayerKind); 7] = [
    ("hand", SprayerKind::Hand),
    ("hose-end", SprayerKind::HoseEnd),
    ("cart", SprayerKind::Cart),
    ("backpack", SprayerKind::Backpack),
    ("handgun", SprayerKind::Handgun),
    ("airblast", SprayerKind::Airblast),
    ("boom", SprayerKind::Boom),
];

fn take_sprayer(taken: &mut Taken, cells: &mut Cells<'_>, name: &str) {
    let known = taken
        .season
        .sprayers
        .iter()
        .find(|s| is_called(name, s.id.as_str(), &s.name))
        .cloned();
    let kind = cells.read("type", |text| {
        let wanted = text.to_lowercase();
        let found = SPRAYER_KINDS.iter().find(|(word, _)| *word == wanted);
        found.map(|(_, kind)| *kind).ok_or_else(|| {
            let all: Vec<&str> = SPRAYER_KINDS.iter().map(|(w, _)| *w).collect();
            format!(
                "'{text}' is no type of sprayer; write one of: {}",
                all.join(", ")
            )
        })
    });
    let tank = cells.volume("tank");
    let is_new = known.is_none();
    let mut sprayer = match known {
        Some(sprayer) => sprayer,
        None => {
            let (Some(kind), Some(tank)) = (kind, tank) else {
                if cells.problems.is_empty() {
                    cells.wrong(
                        "type",
                        format!("'{name}' is new: say its type and what its tank holds"),
                    );
                }
                return;
            };
            let season = &taken.season;
            let id = free_id(name, "sprayer", |t| {
                season.sprayer(&SprayerId::from(t)).is_some()
            });
            Sprayer {
                id: SprayerId::from(id.as_str()),
                name: name.to_owned(),
                kind,
                tank,
                volume_factor: None,
                refill_minutes: None,
                way_minutes: None,
                speed: None,
                time: WorkTime::default(),
                calibration: Vec::new(),
            }
        }
    };
    let before = sprayer.clone();
    sprayer.kind = kind.unwrap_or(sprayer.kind);
    sprayer.tank = tank
        .filter(|t| t.l() > 0.0)
        .unwrap_or(if sprayer.tank.l() > 0.0 {
            sprayer.tank
        } else {
            Volume::new(1.0, VolumeUnit::L)
        });
    sprayer.refill_minutes = cells.number("refill min").or(sprayer.refill_minutes);
    sprayer.way_minutes = cells.number("way min").or(sprayer.way_minutes);
    sprayer.speed = cells.speed("speed").or(sprayer.speed);
    cells.work_time(&mut sprayer.time);
    let l_per_min = cells.volume("output per min").map(Volume::l);
    let l_per_ha = cells.per_area("volume per area");
    if l_per_min.is_some() || l_per_ha.is_some() {
        match cells.day("calibrated") {
            Some(date) => {
                sprayer.calibration.retain(|c| c.date != date);
                sprayer.calibration.push(Calibration {
                    date,
                    l_per_min,
                    l_per_ha,
                    worst_nozzle_percent: None,
                    note: None,
                });
            }
            None if !cells.has_problem("calibrated") => cells.wrong(
                "calibrated",
                "an output counts from the day it was measured: write it as 2027-01-15".to_owned(),
            ),
            None => {}
        }
    }
    note(taken, is_new, before == sprayer, || {
        format!("sprayer {}", sprayer.name)
    });
    taken.season = put_sprayer(&taken.season, sprayer);
}

fn take_person(taken: &mut Taken, cells: &mut Cells<'_>, name: &str) {
    let known = taken
        .season
        .people
        .iter()
        .find(|p| is_called(name, p.id.as_str(), &p.name))
        .cloned();
    let is_new = known.is_none();
    let mut person = known.unwrap_or_else(|| {
        let people = &taken.season.people;
        let id = free_id(name, "person", |t| {
            people.iter().any(|p| p.id.as_str() == t)
        });
        Person {
            id: PersonId::from(id.as_str()),
            name: name.to_owned(),
            time: WorkTime::default(),
            sprayers: Vec::new(),
            licence: None,
        }
    });
    let before = person.clone();
    cells.work_time(&mut person.time);
    person.licence = cells.text("licence").or(person.licence.take());
    if let Some(text) = cells.text("sprayers") {
        let mut found = Vec::new();
        for piece in text
            .split([',', ';', '+'])
            .map(str::trim)
            .filter(|p| !p.is_empty())
        {
            match taken
                .season
                .sprayers
                .iter()
                .find(|s| is_called(piece, s.id.as_str(), &s.name))
            {
                Some(s) => found.push(s.id.clone()),
                None => cells.wrong(
                    "sprayers",
                    format!("there is no sprayer '{piece}'; list sprayers before people"),
                ),
            }
        }
        person.sprayers = found;
    }
    note(taken, is_new, before == person, || {
        format!("person {}", person.name)
    });
    taken.season = put_person(&taken.season, person);
}
