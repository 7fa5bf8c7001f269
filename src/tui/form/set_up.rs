//! Set-up on the board: blocks, sprayers and people, each as a row of the table that a
//! spreadsheet would bring; what is wrong with a field is told by the same reader.

use super::{Field, Form, Kind, Purpose};
use crate::domain::season::edit;
use crate::domain::season::table::{SPRAYER_KINDS, rows_of, take_rows};
use crate::domain::season::{BlockId, PersonId, Season, SprayerId, SprayerKind};
use crate::tui::action::Effect;
use crate::tui::model::Model;

/// What is set up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SetUp {
    /// A block, new or known.
    Block(Option<BlockId>),
    /// A sprayer, new or known.
    Sprayer(Option<SprayerId>),
    /// A person, new or known.
    Person(Option<PersonId>),
    /// A block made two.
    Split(BlockId),
    /// Where the orchard lies.
    Place,
}

/// Headings as the fields of a form, with what to write.
const BLOCK: [(&str, &str); 14] = [
    ("block", "its name, as on the post"),
    ("kind", "peach, apple, sweet cherry .."),
    ("cultivar", "may stay empty"),
    ("trees", "how many"),
    ("area", "1.2 ha, 3 acre"),
    ("row spacing", "5 m, 18 ft"),
    ("tree spacing", "3 m, 10 ft"),
    ("height", "of the trees: 4 m, 13 ft"),
    ("spread", "of the crowns: 3 m, 10 ft"),
    ("canopy", "open, middling or dense"),
    (
        "volume",
        "spray measured on it, where you know better than its size says",
    ),
    ("organic", "yes or no"),
    ("site", "slope, frost pocket, well, hives"),
    (
        "past copper",
        "metal of past years, kg/ha, latest first, ? not known: 4.4 3.9 ? 4",
    ),
];
const SPRAYER: [(&str, &str); 11] = [
    ("sprayer", "its name"),
    ("type", "left and right choose"),
    (
        "tank",
        "what it holds: 1000 L, 250 gal; of a hose-end sprayer the bottle: 32 fl oz",
    ),
    ("refill min", "minutes to fill and mix a tank"),
    ("way min", "minutes of way for each tank"),
    ("speed", "along the rows: 5 km/h, 3 mph"),
    ("output per min", "of all nozzles: 30 L, 8 gal"),
    ("volume per area", "900 L/ha, 100 gal/acre"),
    ("calibrated", "the day the output was measured: 2027-01-15"),
    ("hours", "hours of the day it can be had: 7-17"),
    ("days", "mon-sat; empty means the orchard's"),
];
const PERSON: [(&str, &str); 5] = [
    ("person", "the name, as it stands in records"),
    ("hours", "hours of the day: 7-17"),
    ("days", "mon-fri; empty means the orchard's"),
    ("sprayers", "which this person drives; empty means all"),
    ("licence", "certificate or licence number"),
];

/// The type that a new sprayer is taken for until another is chosen.
const USUAL_SPRAYER: &str = "backpack";

/// Every type of sprayer by its word, and what it is.
fn sprayer_kinds() -> Vec<(String, String)> {
    let both = |(word, kind): &(&str, SprayerKind)| {
        let words = match kind {
            SprayerKind::Hand => "hand: pumped up and carried",
            SprayerKind::HoseEnd => "hose-end: a bottle with a dial",
            SprayerKind::Cart => "cart: a 12 V tank on wheels",
            SprayerKind::Backpack => "backpack",
            SprayerKind::Handgun => "handgun on a hose",
            SprayerKind::Airblast => "airblast",
            SprayerKind::Boom => "boom",
        };
        ((*word).to_owned(), words.to_owned())
    };
    SPRAYER_KINDS.iter().map(both).collect()
}

fn fields(heads: &[(&'static str, &'static str)], row: &[String]) -> Vec<Field> {
    heads
        .iter()
        .enumerate()
        .map(|(i, (key, help))| {
            let text = row.get(i).map_or("", String::as_str);
            let kind = match (i, *key) {
                (0, _) => Kind::Required,
                (_, "type") => Kind::Choice(sprayer_kinds()),
                _ => Kind::Text,
            };
            let text = if text.is_empty() && *key == "type" {
                USUAL_SPRAYER
            } else {
                text
            };
            let mut label = (*key).to_owned();
            if let Some(first) = label.get_mut(0..1) {
                first.make_ascii_uppercase();
            }
            Field::new(key, label, *help, kind, text)
        })
        .collect()
}

/// The row of a thing as the table has it.
fn row_of(season: &Season, head: &str, name: &str) -> Vec<String> {
    let rows = rows_of(season);
    let mut own = rows
        .iter()
        .skip_while(|r| r.first().map(String::as_str) != Some(head))
        .skip(1)
        .take_while(|r| !r.is_empty());
    own.find(|r| r.first().map(String::as_str) == Some(name))
        .cloned()
        .unwrap_or_default()
}

impl Form {
    /// A form to set something up or change it.
    pub fn set_up(model: &Model, what: SetUp) -> Self {
        let season = &model.season;
        let (title, fields) = match &what {
            SetUp::Block(id) => {
                let known = id.as_ref().and_then(|id| season.block(id));
                let name = known.map_or("", |b| b.name.as_str());
                (
                    titled("block", name),
                    fields(&BLOCK, &row_of(season, "block", name)),
                )
            }
            SetUp::Sprayer(id) => {
                let known = id.as_ref().and_then(|id| season.sprayer(id));
                let name = known.map_or("", |s| s.name.as_str());
                (
                    titled("sprayer", name),
                    fields(&SPRAYER, &row_of(season, "sprayer", name)),
                )
            }
            SetUp::Person(id) => {
                let known = season.people.iter().find(|p| Some(&p.id) == id.as_ref());
                let name = known.map_or("", |p| p.name.as_str());
                (
                    titled("person", name),
                    fields(&PERSON, &row_of(season, "person", name)),
                )
            }
            SetUp::Split(id) => {
                let name = season.block(id).map_or(id.as_str(), |b| b.name.as_str());
                let fields = vec![
                    Field::new("name", "New block", "its name", Kind::Required, ""),
                    Field::new("trees", "Trees", "how many go to it", Kind::Number, ""),
                ];
                (format!("Split {name} in two"), fields)
            }
            SetUp::Place => return Self::place(season),
        };
        Self::new(title, Purpose::SetUp(what), fields)
    }

    pub(super) fn apply_set_up(
        &self,
        model: &mut Model,
        what: &SetUp,
    ) -> Result<Vec<Effect>, String> {
        if let SetUp::Split(id) = what {
            let trees = super::names::number(&self.text("trees"))?.round() as u32;
            let (after, _) = edit::split_block(&model.season, id, &self.text("name"), trees)
                .map_err(|fault| fault.to_string())?;
            return Ok(model.edit(after, "block split in two"));
        }
        if *what == SetUp::Place {
            return self.apply_place(model);
        }
        let mut season = model.season.clone();
        let name = self.fields.first().map(Field::text).unwrap_or_default();
        rename(&mut season, what, name.trim());
        let heads: Vec<String> = self.fields.iter().map(|f| f.key.to_owned()).collect();
        let cell = |field: &Field| match field.kind {
            Kind::Choice(_) => field.chosen(),
            _ => field.text(),
        };
        let cells: Vec<String> = self.fields.iter().map(cell).collect();
        let taken = take_rows(&season, &[heads, cells]).map_err(|problems| {
            let first = problems.first();
            first.map_or_else(String::new, |p| {
                if p.column.is_empty() {
                    p.what.clone()
                } else {
                    format!("{}: {}", p.column, p.what)
                }
            })
        })?;
        let words = taken
            .changes
            .first()
            .cloned()
            .unwrap_or_else(|| format!("as it was: {name}"));
        if taken.season == model.season {
            model.say(words);
            return Ok(Vec::new());
        }
        Ok(model.edit(taken.season, &words))
    }
}

fn titled(what: &str, name: &str) -> String {
    if name.is_empty() {
        format!("Add a {what}")
    } else {
        format!("Change: {name}")
    }
}

/// A changed name is the same thing under another name, not a new one.
fn rename(season: &mut Season, what: &SetUp, name: &str) {
    match what {
        SetUp::Block(Some(id)) => {
            for block in season.blocks.iter_mut().filter(|b| &b.id == id) {
                name.clone_into(&mut block.name);
            }
        }
        SetUp::Sprayer(Some(id)) => {
            for sprayer in season.sprayers.iter_mut().filter(|s| &s.id == id) {
                name.clone_into(&mut sprayer.name);
            }
        }
        SetUp::Person(Some(id)) => {
            for person in season.people.iter_mut().filter(|p| &p.id == id) {
                name.clone_into(&mut person.name);
            }
        }
        _ => {}
    }
}
