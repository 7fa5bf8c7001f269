//! The label, field by field, in the order a label is read.
//!
//! The editing form is drawn from [`label_fields`]: title, plain meaning,
//! example, and how to read and write each. An empty text clears a field; an
//! absent limit is unknown, not fine.

mod parse;
mod table;

use crate::domain::season::Material;
use crate::domain::units::UnitError;

/// One field of a label.
#[derive(Clone, Copy)]
pub struct LabelField {
    /// Its key, as in the season file.
    pub key: &'static str,
    /// Its title.
    pub title: &'static str,
    /// What it means, in plain words.
    pub meaning: &'static str,
    /// A text that would do.
    pub example: &'static str,
    /// The field as text; empty where it is not known.
    pub get: fn(&Material) -> String,
    /// Reads the field from text; an empty text makes it unknown.
    pub set: fn(&mut Material, &str) -> Result<(), UnitError>,
}

/// Every field, in the order a label is read.
pub fn label_fields() -> &'static [LabelField] {
    table::FIELDS
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::materials::starters;
    use std::collections::BTreeSet;

    #[test]
    fn every_example_is_read_and_written_back() {
        let mut keys = BTreeSet::new();
        for field in label_fields() {
            assert!(keys.insert(field.key), "{} twice", field.key);
            let mut material = starters().remove(0);
            (field.set)(&mut material, field.example)
                .unwrap_or_else(|e| panic!("{}: {e}", field.key));
            assert_eq!((field.get)(&material), field.example, "{}", field.key);
        }
    }

    #[test]
    fn an_empty_text_makes_a_field_unknown() {
        for field in label_fields() {
            let mut material = starters().remove(0);
            (field.set)(&mut material, field.example).unwrap();
            let cleared = (field.set)(&mut material, "  ");
            if matches!(field.key, "name" | "active") {
                assert!(cleared.is_err(), "{} must stay", field.key);
            } else {
                cleared.unwrap();
                let text = (field.get)(&material);
                assert!(
                    text.is_empty() || text == "unknown" || text == "no",
                    "{}: {text}",
                    field.key
                );
            }
        }
    }

    #[test]
    fn nonsense_is_refused_and_changes_nothing() {
        for (key, text) in [
            ("expires", "someday"),
            ("rate_max", "plenty"),
            ("last_stage", "300"),
            ("interval", "-3 d"),
            ("water_ph_min", "15"),
            ("max_uses", "2.5"),
            ("keep_apart", "captan"),
            ("last_stage_by_crop", "peach"),
            ("organic", "perhaps"),
            ("formulation", "lump"),
        ] {
            let field = label_fields().iter().find(|f| f.key == key).unwrap();
            let mut material = starters().remove(0);
            let before = material.clone();
            assert!(
                (field.set)(&mut material, text).is_err(),
                "{key} took {text}"
            );
            assert_eq!(material, before, "{key}");
        }
    }
}
