//! Forms on the season as a whole: leaf drop, keeping it, not saved.

use super::{Field, Form, Kind, Purpose};
use crate::domain::season::edit;
use crate::tui::action::Effect;
use crate::tui::host::Stands;
use crate::tui::model::{Model, Saved};
use crate::tui::words;

impl Form {
    /// Enters when the leaves were seen down.
    pub fn leaf_drop(model: &Model) -> Self {
        let dates = &model.season.dates;
        let seen = dates
            .leaf_drop_seen
            .map_or_else(|| "today".to_owned(), |d| d.to_string());
        let fields = vec![Field::new(
            "date",
            "Seen on",
            "today, -2, 14 nov; empty takes it back",
            Kind::DayOrNone(model.today),
            &seen,
        )];
        let title = format!(
            "Leaves down (expected {})",
            words::full_day(dates.leaf_drop_expected)
        );
        Self::new(title, Purpose::LeafDrop, fields)
    }

    pub(super) fn apply_leaf_drop(&self, model: &mut Model) -> Result<Vec<Effect>, String> {
        let date = match self.optional("date") {
            Some(_) => Some(self.day("date", model)?),
            None => None,
        };
        if let Some(date) = date.filter(|d| *d > model.today) {
            return Err(format!("{} has not come yet", words::full_day(date)));
        }
        let words = match date {
            Some(date) => format!("leaves seen down {}", words::full_day(date)),
            None => "leaves not seen down yet".to_owned(),
        };
        let after = edit::leaf_drop_seen(&model.season, &[], date);
        Ok(model.edit(after, &words))
    }

    /// Keeps a practice season as the user's own.
    pub fn keep(model: &Model) -> Self {
        let field = Field::new(
            "place",
            "Where",
            "a file that does not exist yet, for instance my-season.toml",
            Kind::Required,
            &model.suggested_place,
        );
        Self::new(
            "Keep this practice season as your own",
            Purpose::Keep,
            vec![field],
        )
    }

    /// Decides what to do with a season that could not be saved.
    pub fn not_saved(model: &Model) -> Self {
        let why = match &model.saved {
            Saved::No(why) => why.clone(),
            _ => String::new(),
        };
        let ways = [
            ("again", "try again to save it where it was"),
            ("elsewhere", "save it to another file"),
            ("both", "join; where both changed one thing, yours stands"),
            ("disk", "join; where both changed one thing, theirs stands"),
            ("theirs", "take what is on the disk; your records stay too"),
            ("quit", "leave; yours is kept aside and offered next time"),
        ];
        let ways = ways
            .iter()
            .map(|(k, w)| ((*k).to_owned(), (*w).to_owned()))
            .collect();
        let fields = vec![
            Field::new(
                "way",
                "Do",
                "left and right change it",
                Kind::Choice(ways),
                "again",
            ),
            Field::new(
                "place",
                "Where",
                "a file that does not exist yet",
                Kind::Required,
                &model.suggested_place,
            ),
        ];
        let mut form = Self::new(format!("Not saved: {why}"), Purpose::NotSaved, fields);
        form.follow_not_saved();
        form
    }

    /// Decides what to do with work of an earlier session; `None` where there is none.
    pub fn kept_work(model: &Model) -> Option<Self> {
        let kept = model.kept.first()?;
        let ways = [
            ("join", "join it with the season, item by item"),
            ("compare", "show what differs"),
            ("drop", "drop it for good"),
        ];
        let ways = ways
            .iter()
            .map(|(k, w)| ((*k).to_owned(), (*w).to_owned()))
            .collect();
        let field = Field::new(
            "way",
            "Do",
            "left and right change it; esc leaves it kept",
            Kind::Choice(ways),
            "join",
        );
        let count = kept.differs.len();
        let title = format!(
            "Work of {} was not saved: {count} {}",
            kept.when,
            if count == 1 { "change" } else { "changes" }
        );
        Some(Self::new(
            title,
            Purpose::KeptWork(kept.id.clone()),
            vec![field],
        ))
    }

    pub(super) fn apply_kept_work(
        &self,
        model: &mut Model,
        id: &str,
    ) -> Result<Vec<Effect>, String> {
        match self.choice("way").as_str() {
            "join" => Ok(vec![Effect::TakeKept(id.to_owned())]),
            "compare" => {
                let kept = model.kept.iter().find(|k| k.id == id);
                let lines = kept.map_or(&[][..], |k| &k.differs);
                Err(if lines.is_empty() {
                    "nothing differs from the season as it is".to_owned()
                } else {
                    lines.join("; ")
                })
            }
            _ => {
                model.kept.retain(|kept| kept.id != id);
                model.say("dropped");
                Ok(vec![Effect::DropKept(id.to_owned())])
            }
        }
    }

    pub(super) fn follow_not_saved(&mut self) {
        let elsewhere = self.choice("way") == "elsewhere";
        for field in self.fields.iter_mut().filter(|f| f.key == "place") {
            field.is_shown = elsewhere;
        }
    }

    pub(super) fn apply_not_saved(&self, model: &mut Model) -> Vec<Effect> {
        match self.choice("way").as_str() {
            "elsewhere" => vec![Effect::KeepAt(self.text("place"))],
            "both" => vec![Effect::Join(Stands::Ours)],
            "disk" => vec![Effect::Join(Stands::Theirs)],
            "theirs" => vec![Effect::Join(Stands::DiskAlone)],
            "quit" => vec![Effect::KeepAsideAndQuit],
            _ => {
                model.saved = Saved::Saving;
                vec![Effect::Save]
            }
        }
    }
}
