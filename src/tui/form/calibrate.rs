//! The form that takes down how a sprayer was measured, and what that comes to.

use super::quantity::{self, Quantity};
use super::{Field, Form, Kind, Purpose};
use crate::domain::mix::calibration::{self, Course, Method, Outcome};
use crate::domain::season::{Sprayer, SprayerId, SprayerKind, UnitSystem, edit};
use crate::domain::units::plain_number;
use crate::tui::action::Effect;
use crate::tui::model::Model;
use crate::tui::words;

const CATCH: &str = "catch";
const PLOT: &str = "plot";
const REFILL: &str = "refill";
const AIRBLAST: &str = "airblast";

/// Which fields belong to which method, besides day and note.
const OF: [(&str, &[&str]); 4] = [
    (
        CATCH,
        &["caught", "seconds", "nominal", "course", "pace", "width"],
    ),
    (PLOT, &["used", "length", "width"]),
    (REFILL, &["used", "ground"]),
    (
        AIRBLAST,
        &["used", "minutes", "course", "pace", "width", "wanted"],
    ),
];

impl Form {
    /// Measures a sprayer.
    pub fn calibrate(model: &Model, sprayer: &Sprayer) -> Self {
        let methods = [
            (CATCH, "catch what each nozzle or the gun gives in a time"),
            (PLOT, "spray a measured plot"),
            (REFILL, "fill up again after known ground"),
            (AIRBLAST, "air-blast: output, pace and rows"),
        ];
        let start = match sprayer.kind {
            SprayerKind::Airblast => AIRBLAST,
            SprayerKind::Hand | SprayerKind::Backpack => PLOT,
            SprayerKind::Handgun | SprayerKind::Boom | SprayerKind::HoseEnd | SprayerKind::Cart => {
                CATCH
            }
        };
        let methods = methods
            .iter()
            .map(|(k, w)| ((*k).to_owned(), (*w).to_owned()))
            .collect();
        let of = |key, label, help, what| Field::new(key, label, help, Kind::Quantity(what), "");
        let fields = vec![
            Field::new(
                "method",
                "How",
                "left and right change it; use plain water",
                Kind::Choice(methods),
                start,
            ),
            Field::new(
                "date",
                "Measured on",
                "today, yesterday, -2, 14 nov",
                Kind::Day(model.today),
                "today",
            ),
            of(
                "caught",
                "Caught",
                "one volume a nozzle, commas between: 20 fl oz, 21 fl oz",
                Quantity::Volumes,
            ),
            of(
                "seconds",
                "In seconds",
                "how long each was caught: 60",
                Quantity::Time,
            ),
            of(
                "nominal",
                "New nozzle",
                "what a new one gives in a minute: 20 fl oz; it shows wear",
                Quantity::Volumes,
            ),
            of(
                "used",
                "Water used",
                "for the plot, to fill up again, or sprayed out standing still: 3 gal",
                Quantity::Volumes,
            ),
            of(
                "minutes",
                "In minutes",
                "how long it ran standing still: 2",
                Quantity::Time,
            ),
            of("length", "Plot length", "100 ft or 30 m", Quantity::Length),
            of("ground", "Ground", "0.1 acre or 400 m2", Quantity::Area),
            of(
                "course",
                "Course",
                "a measured course walked or driven: 100 ft",
                Quantity::Length,
            ),
            of(
                "pace",
                "Took seconds",
                "how long the course took: 34",
                Quantity::Time,
            ),
            of(
                "width",
                "Width",
                "the width sprayed at once; air-blast: from row to row: 18 ft",
                Quantity::Length,
            ),
            of(
                "wanted",
                "Wanted",
                "spray wanted on the ground, if you like: 100 gal/acre",
                Quantity::SprayPerArea,
            ),
            Field::new("note", "Note", "nozzles, pressure, gear", Kind::Text, ""),
        ];
        let title = format!("Calibrate: {}", sprayer.name);
        let mut form = Self::new(title, Purpose::Calibrate(sprayer.id.clone()), fields);
        form.follow_method();
        form
    }

    /// Each method asks for its own figures.
    pub(super) fn follow_method(&mut self) {
        let method = self.choice("method");
        let wanted = OF
            .iter()
            .find(|(key, _)| *key == method)
            .map_or(&[][..], |(_, fields)| fields);
        for field in &mut self.fields {
            field.is_shown =
                matches!(field.key, "method" | "date" | "note") || wanted.contains(&field.key);
        }
    }

    fn measured(&self) -> Result<Method, String> {
        use quantity::{above_nothing, hectares, litres, litres_per_ha, metres};
        let need = |key: &str, what: &str| {
            let text = self.text(key);
            if text.trim().is_empty() {
                return Err(format!("{what} is missing"));
            }
            Ok(text)
        };
        let one = |key: &str, what: &str| -> Result<f64, String> {
            Ok(litres(&need(key, what)?)?.iter().sum())
        };
        let course = || -> Result<Option<Course>, String> {
            let parts = ["course", "pace", "width"].map(|k| self.text(k));
            if parts.iter().all(|p| p.trim().is_empty()) {
                return Ok(None);
            }
            Ok(Some(Course {
                length_m: metres(&need("course", "the course")?)?,
                seconds: above_nothing(&need("pace", "how long the course took")?)?,
                width_m: metres(&need("width", "the width")?)?,
            }))
        };
        match self.choice("method").as_str() {
            PLOT => Ok(Method::Plot {
                used_l: one("used", "the water used")?,
                length_m: metres(&need("length", "the length of the plot")?)?,
                width_m: metres(&need("width", "the width")?)?,
            }),
            REFILL => Ok(Method::Refill {
                used_l: one("used", "the water filled up")?,
                area_ha: hectares(&need("ground", "the ground")?)?,
            }),
            AIRBLAST => Ok(Method::Airblast {
                used_l: one("used", "the water sprayed out")?,
                minutes: above_nothing(&need("minutes", "how long it ran")?)?,
                course: course()?.ok_or("the course is missing")?,
                wanted_l_per_ha: quantity::optional(&self.text("wanted"), litres_per_ha)?,
            }),
            _ => Ok(Method::Catch {
                caught_l: litres(&need("caught", "what was caught")?)?,
                seconds: above_nothing(&need("seconds", "how long it was caught")?)?,
                nominal_l_per_min: quantity::optional(&self.text("nominal"), litres)?
                    .map(|all| all.iter().sum::<f64>() / all.len() as f64),
                course: course()?,
            }),
        }
    }

    fn outcome(&self) -> Result<Outcome, String> {
        self.measured()?
            .work_out()
            .ok_or_else(|| "these figures come to nothing".to_owned())
    }

    /// What the figures so far come to, for showing while one types.
    pub fn preview(&self, model: &Model) -> Option<String> {
        matches!(self.purpose, Purpose::Calibrate(_)).then(|| {
            self.outcome().map_or_else(
                |missing| missing,
                |out| in_words(&out, model.season.orchard.units),
            )
        })
    }

    pub(super) fn apply_calibrate(
        &self,
        model: &mut Model,
        id: &SprayerId,
    ) -> Result<Vec<Effect>, String> {
        let date = self.day("date", model)?;
        if date > model.today {
            return Err(format!("{} has not come yet", words::full_day(date)));
        }
        let out = self.outcome()?;
        let said = in_words(&out, model.season.orchard.units);
        let entry = calibration::entry(
            date,
            out.l_per_min,
            out.l_per_ha,
            &out.checks,
            self.optional("note"),
        );
        let after =
            edit::add_calibration(&model.season, id, entry).map_err(|fault| fault.to_string())?;
        Ok(model.edit(after, &format!("calibrated: {said}")))
    }
}

fn in_words(out: &Outcome, units: UnitSystem) -> String {
    let mut parts = words::output(out.l_per_min, out.l_per_ha, units);
    if let Some(wanted) = out.wanted_l_per_min {
        let said = words::output(Some(wanted), None, units).join("");
        parts.push(format!("{said} is wanted"));
    }
    let worn: Vec<String> = out
        .worn()
        .map(|c| {
            format!(
                "nozzle {} is {} % off: replace it",
                c.number,
                plain_number(c.off_percent.round())
            )
        })
        .collect();
    if worn.is_empty() && !out.checks.is_empty() {
        parts.push("no nozzle is worn".to_owned());
    }
    parts.extend(worn);
    parts.join("; ")
}
