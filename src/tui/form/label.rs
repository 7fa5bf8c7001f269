//! Forms on materials: the label field by field, a starting point, the stock.

use super::quantity::{self, Quantity};
use super::{Field, Form, Kind, Purpose, names};
use crate::domain::materials::{STARTERS, label_fields, starters};
use crate::domain::season::{Label, Material, MaterialId, edit, free_id};
use crate::tui::action::Effect;
use crate::tui::model::Model;
use crate::tui::overlay::Overlay;

/// The choice of a material that is no starting point.
const OWN: &str = "own";

fn blank(name: &str) -> Option<Material> {
    // Every field that a material has, none of them known.
    starters().into_iter().next().map(|m| Material {
        id: MaterialId::from(free_id(name, "material", |_| false).as_str()),
        name: name.to_owned(),
        active: name.to_lowercase(),
        formulation: None,
        active_share: None,
        metallic_copper: None,
        label: Label::default(),
        ..m
    })
}

/// What a label field reads as, in its own words; days may be said as people
/// say them.
pub fn read_field(place: usize, text: &str, model: &Model) -> Result<String, String> {
    let field = label_fields().get(place).ok_or("there is no such field")?;
    let text = iso(field.key, text, model)?;
    let mut material = blank("x").ok_or("there is no material to try it on")?;
    (field.set)(&mut material, &text).map_err(|fault| fault.to_string())?;
    match (field.get)(&material) {
        empty if empty.is_empty() => Ok("unknown, not fine".to_owned()),
        said => Ok(said),
    }
}

/// A day as the label field wants it.
fn iso(key: &str, text: &str, model: &Model) -> Result<String, String> {
    use crate::domain::season::{Calendar, read_day};
    let is_day = matches!(key, "expires" | "read_on");
    if !is_day || text.trim().is_empty() {
        return Ok(text.to_owned());
    }
    let calendar = Calendar {
        today: model.today,
        from: model.today,
        starts: model.season.starts(),
    };
    let day = read_day(text, &calendar).map_err(|fault| fault.to_string())?;
    if key == "read_on" && day > model.today {
        return Err(format!("{day} has not come yet"));
    }
    Ok(day.to_string())
}

impl Form {
    /// The label of a material, in the order a label is read.
    pub fn label(material: &Material) -> Self {
        let fields = label_fields()
            .iter()
            .enumerate()
            .map(|(place, field)| {
                let text = (field.get)(material);
                Field::new(
                    field.key,
                    field.title,
                    field.meaning,
                    Kind::Label(place),
                    &text,
                )
            })
            .collect();
        let title = format!("Label of {}, in the order it is read", material.name);
        Self::new(title, Purpose::Label(material.id.clone()), fields)
    }

    pub(super) fn apply_label(
        &self,
        model: &mut Model,
        id: &MaterialId,
    ) -> Result<Vec<Effect>, String> {
        let mut material = model
            .season
            .material(id)
            .cloned()
            .ok_or("the material is gone")?;
        for field in label_fields() {
            let text = iso(field.key, &self.text(field.key), model)?;
            (field.set)(&mut material, &text)
                .map_err(|fault| format!("{}: {fault}", field.title))?;
        }
        let words = format!("label written down: {}", material.name);
        let after = edit::replace_material(&model.season, material).map_err(|f| f.to_string())?;
        Ok(model.edit(after, &words))
    }

    /// Adds a material from a starting point or from a label at hand.
    pub fn add_material(model: &Model) -> Self {
        let mut options: Vec<(String, String)> = STARTERS
            .iter()
            .map(|s| {
                let here = model.season.material(&MaterialId::from(s.id)).is_some();
                let words = if here {
                    format!("{} (one is here already)", s.name)
                } else {
                    s.name.to_owned()
                };
                (s.id.to_owned(), words)
            })
            .collect();
        options.push((OWN.to_owned(), "none: from my own label alone".to_owned()));
        let fields = vec![
            Field::new(
                "from",
                "Start from",
                "left and right, or a first letter; a starting point is not a label",
                Kind::Choice(options),
                "",
            ),
            Field::new(
                "name",
                "Name",
                "what you call it; empty takes the name above",
                Kind::Text,
                "",
            ),
        ];
        Self::new("Add a material", Purpose::AddMaterial, fields)
    }

    pub(super) fn apply_add_material(&self, model: &mut Model) -> Result<Vec<Effect>, String> {
        let from = self.choice("from");
        let name = self.optional("name");
        let start = STARTERS.iter().find(|s| s.id == from);
        let material = match (start, &name) {
            (Some(start), _) => start.material(),
            (None, Some(name)) => blank(name).ok_or("there is no material to start from")?,
            (None, None) => return Err("write what you call it".to_owned()),
        };
        let material = Material {
            name: name.unwrap_or(material.name),
            ..material
        };
        let (after, id) = edit::add_material(&model.season, material.clone());
        let words = format!(
            "added: {}; now its label, in the order it is read",
            material.name
        );
        let effects = model.edit(after, &words);
        model.spray.materials.at = model.season.materials.len().saturating_sub(1);
        // What is added is gone through at once: an empty label helps nobody.
        model.overlay = model
            .season
            .material(&id)
            .map(|m| Overlay::Form(Self::label(m)));
        Ok(effects)
    }

    /// What is in the shed, and how it is sold.
    pub fn stock(material: &Material) -> Self {
        let text = |v: Option<String>| v.unwrap_or_default();
        let fields = vec![
            Field::new(
                "stock",
                "In the shed",
                "3 gal, 9 lb, 2 kg; empty: not counted",
                Kind::Quantity(Quantity::Amount),
                &text(material.stock.map(|a| a.to_string())),
            ),
            Field::new(
                "pack",
                "Pack",
                "the smallest pack sold: 2.5 gal, 10 lb",
                Kind::Quantity(Quantity::Amount),
                &text(material.pack.map(|a| a.to_string())),
            ),
            Field::new(
                "price",
                "A pack costs",
                "a number, in your own money",
                Kind::Quantity(Quantity::Price),
                &text(material.pack_price.map(crate::domain::units::plain_number)),
            ),
        ];
        let title = format!("Stock of {}", material.name);
        Self::new(title, Purpose::Stock(material.id.clone()), fields)
    }

    pub(super) fn apply_stock(
        &self,
        model: &mut Model,
        id: &MaterialId,
    ) -> Result<Vec<Effect>, String> {
        let mut material = model
            .season
            .material(id)
            .cloned()
            .ok_or("the material is gone")?;
        material.stock = quantity::optional(&self.text("stock"), quantity::amount)?;
        material.pack = quantity::optional(&self.text("pack"), quantity::amount)?;
        material.pack_price = quantity::optional(&self.text("price"), names::number)?;
        let words = format!("stock written down: {}", material.name);
        let after = edit::replace_material(&model.season, material).map_err(|f| f.to_string())?;
        Ok(model.edit(after, &words))
    }
}
