//! The way back: earlier versions by time, and what differs from them.

use super::{Field, Form, Kind, Purpose};
use crate::tui::action::Effect;
use crate::tui::host::Earlier;

/// So many differences are shown of a version.
const SHOWN: usize = 6;

impl Form {
    /// Chooses an earlier version; `None` where there is none.
    pub fn versions(versions: Vec<Earlier>) -> Option<Self> {
        if versions.is_empty() {
            return None;
        }
        let options = versions
            .iter()
            .map(|v| {
                let words = match &v.by {
                    _ if v.kept => format!("not saved, kept {}", v.until),
                    Some(by) => format!("until {}, replaced by {by}", v.until),
                    None => format!("until {}", v.until),
                };
                (v.id.clone(), words)
            })
            .collect();
        let field = Field::new(
            "version",
            "As it was",
            "left and right: newer, older; Enter goes back to it (joins what was kept), Esc leaves all",
            Kind::Choice(options),
            "",
        );
        let title = "Earlier versions: what was done since".to_owned();
        let mut form = Self::new(title, Purpose::Versions(versions), vec![field]);
        form.follow_version();
        Some(form)
    }

    /// The lines above the field say what differs from the version that is chosen.
    pub(super) fn follow_version(&mut self) {
        let Purpose::Versions(versions) = &self.purpose else {
            return;
        };
        let chosen = self.choice("version");
        let differs = versions
            .iter()
            .find(|v| v.id == chosen)
            .map_or(&[][..], |v| &v.differs);
        let mut about: Vec<String> = differs.iter().take(SHOWN).cloned().collect();
        match differs.len() {
            0 => about.push("Nothing differs from the season as it is.".to_owned()),
            n if n > SHOWN => about.push(format!("and {} more", n - SHOWN)),
            _ => {}
        }
        self.about = about;
    }

    pub(super) fn apply_version(&self, versions: &[Earlier]) -> Result<Vec<Effect>, String> {
        let chosen = self.choice("version");
        let version = versions.iter().find(|v| v.id == chosen);
        let version = version.ok_or("choose a version with left and right")?;
        if version.kept {
            return Ok(vec![Effect::TakeKept(version.id.clone())]);
        }
        Ok(vec![Effect::Restore(
            version.id.clone(),
            version.until.clone(),
        )])
    }
}
