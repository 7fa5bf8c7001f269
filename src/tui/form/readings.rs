//! Forms for readings: a degree-day total, a look at the buds.

use super::{Field, Form, Kind, Purpose, names};
use crate::domain::hours::fits::Fits;
use crate::domain::outlook::{Estimates, Look, gauge_against, gauge_mm, gauge_words, reckoned_mm};
use crate::domain::season::{HowMany, Reading, UnitSystem, edit};
use crate::domain::units::UnitError;
use crate::tui::action::Effect;
use crate::tui::model::Model;
use crate::tui::screen::swell;
use crate::tui::words;

impl Form {
    fn block_in_view(model: &Model) -> String {
        swell::block(model)
            .map(|b| b.name.clone())
            .unwrap_or_default()
    }

    /// Enters a degree-day total, with the base and start used last.
    pub fn total(model: &Model) -> Self {
        let last = model.season.readings.iter().rev().find_map(|r| match r {
            Reading::DegreeDays { base, since, .. } => Some((base.to_string(), since.to_string())),
            Reading::Buds { .. } | Reading::Rain { .. } => None,
        });
        let (base, since) = last.unwrap_or_else(|| {
            let base = match model.season.orchard.units {
                UnitSystem::Us => "43 F",
                UnitSystem::Metric => "6 C",
            };
            (base.to_owned(), "1 jan".to_owned())
        });
        let fields = vec![
            Field::new(
                "date",
                "As of",
                "the end of this day: today, yesterday, 10 feb",
                Kind::Day(model.today),
                "today",
            ),
            Field::new(
                "total",
                "Degree days",
                "the total as the station gives it, in degrees of its base",
                Kind::Number,
                "",
            ),
            Field::new("base", "Base", "43 F or 6 C", Kind::Temperature, &base),
            Field::new(
                "since",
                "Counted from",
                "the day the count began: 1 jan",
                Kind::Day(model.today),
                &since,
            ),
            Field::new(
                "blocks",
                "Blocks",
                "names with commas between; empty means all; right completes",
                Kind::Blocks,
                "",
            ),
            Field::new(
                "note",
                "From",
                "which station or newsletter, if you like",
                Kind::Text,
                "",
            ),
        ];
        let mut form = Self::new("Enter a degree-day total", Purpose::Total, fields);
        form.focus = 1;
        form
    }

    pub(super) fn apply_total(&self, model: &mut Model) -> Result<Vec<Effect>, String> {
        let date = self.day("date", model)?;
        let since = self.day("since", model)?;
        if date > model.today {
            return Err(format!("{} has not come yet", words::full_day(date)));
        }
        if since > date {
            return Err(format!(
                "the count begins {}, after its end",
                words::full_day(since)
            ));
        }
        let reading = Reading::DegreeDays {
            date,
            total: names::number(&self.text("total"))?,
            base: self
                .text("base")
                .parse()
                .map_err(|f: UnitError| f.to_string())?,
            since,
            blocks: names::blocks(&self.text("blocks"), &model.season)?,
            note: self.optional("note"),
        };
        let words = format!("degree days entered for {}", words::full_day(date));
        Ok(model.edit(edit::add_reading(&model.season, reading), &words))
    }

    /// Enters the rain of a day from the grower's gauge.
    pub fn rain(model: &Model) -> Self {
        let example = match model.season.orchard.units {
            UnitSystem::Us => "0.5 in; of the whole day named above",
            UnitSystem::Metric => "12 mm; of the whole day named above",
        };
        let fields = vec![
            Field::new(
                "date",
                "Fell on",
                "today, yesterday, -2, 10 feb",
                Kind::Day(model.today),
                "today",
            ),
            Field::new("rain", "Rain", example, Kind::Rain, ""),
            Field::new("note", "Note", "if you like", Kind::Text, ""),
        ];
        let mut form = Self::new("Enter rain from your gauge", Purpose::Rain, fields);
        form.focus = 1;
        form
    }

    pub(super) fn apply_rain(&self, model: &mut Model) -> Result<Vec<Effect>, String> {
        let date = self.day("date", model)?;
        if date > model.today {
            return Err(format!("{} has not come yet", words::full_day(date)));
        }
        let rain = self
            .text("rain")
            .parse()
            .map_err(|f: UnitError| f.to_string())?;
        let note = self.optional("note");
        let words = format!("rain entered for {}", words::full_day(date));
        let after = edit::add_reading(&model.season, Reading::Rain { date, rain, note });
        let none = Estimates::default();
        let estimates = model.estimates.as_ref().unwrap_or(&none);
        let air = model.fits.as_ref().map(Fits::air);
        let reckoned = |day| reckoned_mm(estimates, air, day);
        let words = match gauge_against(&gauge_mm(&after), reckoned, date..=date) {
            Some(both) => format!("{words}. {}", gauge_words(both, model.season.orchard.units)),
            None => words,
        };
        Ok(model.edit(after, &words))
    }

    /// Enters what the buds look like.
    pub fn buds(model: &Model) -> Self {
        let fields = vec![
            Field::new(
                "date",
                "Seen on",
                "today, yesterday, -2, 10 feb",
                Kind::Day(model.today),
                "today",
            ),
            Field::new(
                "stage",
                "Stage",
                "BBCH number or words: still tight, swelling, bud burst; right completes",
                Kind::Stage,
                "",
            ),
            Field::new(
                "blocks",
                "Blocks",
                "names with commas between; empty means all; right completes",
                Kind::Blocks,
                &Self::block_in_view(model),
            ),
            Field::new(
                "note",
                "Note",
                "where you looked, how many buds, if you like",
                Kind::Text,
                "",
            ),
            Field::new(
                "how-many",
                "How many",
                "of the buds show it; the first few: half of them are still to come",
                Kind::Choice(
                    HowMany::ALL
                        .map(|h| (h.words().to_owned(), h.words().to_owned()))
                        .to_vec(),
                ),
                HowMany::All.words(),
            ),
        ];
        let mut form = Self::new("Enter what the buds look like", Purpose::Buds, fields);
        form.focus = 1;
        form
    }

    pub(super) fn apply_buds(&self, model: &mut Model) -> Result<Vec<Effect>, String> {
        let date = self.day("date", model)?;
        let (bbch, stage) = names::stage(&self.text("stage"))?;
        let blocks = names::blocks(&self.text("blocks"), &model.season)?;
        let how_many = HowMany::from_words(&self.choice("how-many")).unwrap_or_default();
        let look = Look {
            date,
            bbch,
            how_many,
            blocks: &blocks,
        };
        if let Some(why) = look.refused(&model.season, model.today) {
            return Err(why);
        }
        let doubts = model
            .estimates
            .as_ref()
            .map_or_else(Vec::new, |e| look.told(&model.season, e));
        let words = match doubts.as_slice() {
            [] => format!("buds {stage} on {}", words::full_day(date)),
            [first, ..] => format!("buds {stage}, kept; {first}"),
        };
        let reading = Reading::Buds {
            date,
            bbch,
            blocks,
            note: self.optional("note"),
            how_many,
            photo: None,
        };
        Ok(model.edit(edit::add_reading(&model.season, reading), &words))
    }
}
