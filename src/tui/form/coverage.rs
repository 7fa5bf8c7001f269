//! Forms on coverage: what was seen, what is left alone on purpose; and where
//! a mix sheet is written to.

use super::quantity::{self, Quantity};
use super::{Field, Form, Kind, Purpose, names};
use crate::domain::rules;
use crate::domain::season::{Block, BlockId, QuietHere, TargetId, TargetSeen, edit};
use crate::domain::targets;
use crate::domain::units::plain_number;
use crate::report::mix_sheet;
use crate::tui::action::Effect;
use crate::tui::model::Model;
use crate::tui::screen::coverage;

impl Form {
    /// What was seen on the block in view: of one target, or of any.
    pub fn seen(model: &Model, target: Option<&TargetId>) -> Option<Self> {
        Some(Self::seen_on(model, coverage::block(model)?, target))
    }

    /// What was seen on a block.
    pub(super) fn seen_on(model: &Model, block: &Block, target: Option<&TargetId>) -> Self {
        let season = &model.season;
        let known = target.and_then(|id| {
            coverage::sightings(season, block, id)
                .first()
                .copied()
                .cloned()
        });
        let number = |n: Option<f64>| n.map(plain_number).unwrap_or_default();
        let name = target.map_or_else(String::new, |id| names::target_name(id, season));
        let known = known.as_ref();
        let fields = vec![
            Field::new(
                "target",
                "Seen",
                "names with commas between; right completes",
                Kind::Targets,
                &name,
            ),
            Field::new(
                "season",
                "In season",
                "this one, or a past one such as 2024-25",
                Kind::Required,
                known.map_or(season.season.as_str(), |s| s.season.as_str()),
            ),
            Field::new(
                "count",
                "Count",
                "spurs infested, eggs, adults, knots; empty: not counted",
                Kind::Quantity(Quantity::Count),
                &number(known.and_then(|s| s.count)),
            ),
            Field::new(
                "of",
                "Out of",
                "how many you looked at: 20 spurs, 100 beats",
                Kind::Quantity(Quantity::Count),
                &number(known.and_then(|s| s.of)),
            ),
            Field::new(
                "note",
                "Note",
                "where, how bad, if you like",
                Kind::Text,
                known.and_then(|s| s.note.as_deref()).unwrap_or(""),
            ),
        ];
        let title = format!("Seen on {}", block.name);
        let mut form = Self::new(title, Purpose::Seen(block.id.clone()), fields);
        form.focus = if target.is_some() { 2 } else { 0 };
        form
    }

    pub(super) fn apply_seen(
        &self,
        model: &mut Model,
        block: &BlockId,
    ) -> Result<Vec<Effect>, String> {
        let ids = names::targets(
            &self.text("target"),
            &model.season,
            std::slice::from_ref(block),
        )?;
        let count = quantity::optional(&self.text("count"), names::number)?;
        let of = quantity::optional(&self.text("of"), names::number)?;
        if ids.is_empty() {
            return Err("write what was seen: leaf curl, scale, mite eggs".to_owned());
        }
        if ids.len() > 1 && count.is_some() {
            return Err("a count is of one target: write them one by one".to_owned());
        }
        if let (Some(count), Some(of)) = (count, of)
            && of > 0.0
            && count > of
        {
            // Adults in beats may outnumber the beats; spurs cannot.
            let is_share = ids.iter().any(|id| {
                targets::find(&model.season, id).and_then(|v| v.threshold())
                    == Some(targets::Threshold::SpurSample)
            });
            if is_share {
                return Err(format!(
                    "{} infested out of {} looked at cannot be",
                    plain_number(count),
                    plain_number(of)
                ));
            }
        }
        let mut after = model.season.clone();
        for target in &ids {
            let seen = TargetSeen {
                target: target.clone(),
                season: self.text("season").trim().to_owned(),
                count,
                of,
                note: self.optional("note"),
            };
            after = edit::see_target(&after, block, seen).map_err(|f| f.to_string())?;
        }
        let all = names::join(ids.iter().map(|id| names::target_name(id, &model.season)));
        let name = model
            .season
            .block(block)
            .map_or_else(String::new, |b| b.name.clone());
        Ok(model.edit(after, &format!("seen on {name}: {all}")))
    }

    /// Quietens a warning of the block in view that no task answers for, or
    /// lets it speak again.
    pub fn quieten_here(model: &Model) -> Option<Self> {
        let block = coverage::block(model)?;
        let mut options: Vec<(String, String)> = Vec::new();
        let key = |rule: &str, target: Option<&TargetId>| {
            format!("{rule} {}", target.map_or("", TargetId::as_str))
        };
        let stood_on = model.spray.coverage.cell().map(|c| c.target.clone());
        let mut loud: Vec<_> = model
            .outlook
            .warnings
            .iter()
            .filter(|w| w.task.is_none() && w.block.as_ref() == Some(&block.id))
            .collect();
        loud.sort_by_key(|w| w.target != stood_on);
        for w in loud {
            options.push((
                key(w.rule, w.target.as_ref()),
                format!("{}: {}", w.level.words(), w.message),
            ));
        }
        for q in &block.quiet {
            let title = rules::rule(&q.rule).map_or(q.rule.as_str(), |r| r.title);
            let about = q.target.as_ref().map_or_else(String::new, |id| {
                format!(", {}", names::target_name(id, &model.season))
            });
            options.push((
                key(&q.rule, q.target.as_ref()),
                format!("let speak again: {title}{about}"),
            ));
        }
        if options.is_empty() {
            return None;
        }
        let fields = vec![
            Field::new(
                "rule",
                "Rule",
                "left and right change it",
                Kind::Choice(options),
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
        let title = format!("Quieten a warning on {}", block.name);
        Some(Self::new(
            title,
            Purpose::QuietenHere(block.id.clone()),
            fields,
        ))
    }

    pub(super) fn apply_quieten_here(
        &self,
        model: &mut Model,
        block: &BlockId,
    ) -> Result<Vec<Effect>, String> {
        let choice = self.choice("rule");
        let (rule, target) = choice.split_once(' ').unwrap_or((&choice, ""));
        let quiet = QuietHere {
            rule: rule.to_owned(),
            target: (!target.is_empty()).then(|| TargetId::from(target)),
            why: self.text("why").trim().to_owned(),
            on: model.today,
        };
        let after = edit::toggle_quiet_here(&model.season, block, quiet.clone())
            .map_err(|f| f.to_string())?;
        let is_quiet = after.block(block).is_some_and(|b| b.quiet.contains(&quiet));
        let title = rules::rule(rule).map_or(rule, |r| r.title);
        let words = if is_quiet {
            "quietened"
        } else {
            "speaks again"
        };
        Ok(model.edit(after, &format!("{words}: {title}")))
    }

    /// Where the sheet in view is written to.
    pub fn sheet(model: &Model) -> Option<Self> {
        let sheet = model.spray.mix.sheet.as_ref()?;
        let ways = [
            ("both", "text and a page to print"),
            ("text", "text of 80 columns (.txt)"),
            ("page", "a page to print (.html)"),
        ];
        let fields = vec![
            Field::new(
                "place",
                "Where",
                "a new file, without its ending; nothing is ever overwritten",
                Kind::Required,
                &format!("~/mix-{}-{}", sheet.task, sheet.date),
            ),
            Field::new(
                "as",
                "As",
                "left and right change it",
                Kind::Choice(
                    ways.iter()
                        .map(|(k, w)| ((*k).to_owned(), (*w).to_owned()))
                        .collect(),
                ),
                "both",
            ),
        ];
        let title = format!("Write the mix sheet: {}", sheet.title);
        Some(Self::new(title, Purpose::Sheet, fields))
    }

    pub(super) fn apply_sheet(&self, model: &Model) -> Result<Vec<Effect>, String> {
        let sheet = model.spray.mix.sheet.as_ref().ok_or("the sheet is gone")?;
        let place = self.text("place").trim().to_owned();
        let stem = place
            .strip_suffix(".html")
            .or_else(|| place.strip_suffix(".txt"))
            .unwrap_or(&place);
        if stem.is_empty() || stem.ends_with('/') {
            return Err("write a file name, for instance ~/mix-late-oil".to_owned());
        }
        let way = self.choice("as");
        let mut files = Vec::new();
        if way != "page" {
            files.push((format!("{stem}.txt"), mix_sheet::text(sheet)));
        }
        if way != "text" {
            files.push((format!("{stem}.html"), mix_sheet::html(sheet)));
        }
        Ok(vec![Effect::WriteNew(files)])
    }
}
