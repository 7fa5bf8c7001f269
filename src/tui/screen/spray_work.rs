//! What the screens on the spray work hold in common: their states, and what is
//! worked out for the one in view.

use super::Screen;
use super::buy::Buy;
use super::coverage::Coverage;
use super::materials::Materials;
use super::mix::Mix;
use super::sprayers::Sprayers;
use super::{buy, coverage, materials, mix, sprayers};
use crate::tui::model::Model;

/// The states of the screens on the spray work.
#[derive(Debug, Clone, Default)]
pub struct SprayWork {
    /// The coverage grid and what would close its gaps.
    pub coverage: Coverage,
    /// The mix sheet of one task.
    pub mix: Mix,
    /// The materials.
    pub materials: Materials,
    /// What is short.
    pub buy: Buy,
    /// The sprayers.
    pub sprayers: Sprayers,
}

/// Works out anew what the screen in view shows, if the season, the estimates
/// or the day moved on since: moving a card must not wait for a grid nobody sees.
pub fn refresh(model: &mut Model) {
    match model.screen {
        Screen::Coverage => coverage::refresh(model),
        Screen::Mix => mix::refresh(model),
        Screen::Materials => materials::settle(model),
        Screen::Buy => buy::refresh(model),
        Screen::Sprayers => sprayers::settle(model),
        _ => {}
    }
}

/// A place in a list moved by a command for moving about; `None` where it is
/// none of those.
pub(super) fn moved(
    at: usize,
    items: usize,
    command: crate::tui::action::Command,
    (count, page): (usize, usize),
) -> Option<usize> {
    use crate::tui::action::Command;
    let last = items.saturating_sub(1);
    Some(match command {
        Command::Up => at.saturating_sub(count),
        Command::Down => (at + count).min(last),
        Command::PageUp => at.saturating_sub(page),
        Command::PageDown => (at + page).min(last),
        Command::First => 0,
        Command::Last => last,
        _ => return None,
    })
}

/// The next place whose text holds the words looked for, round about.
pub(super) fn next_holding(texts: &[String], at: usize, wanted: &str, back: bool) -> Option<usize> {
    let n = texts.len();
    let wanted = wanted.to_lowercase();
    (1..=n)
        .map(|i| {
            if back {
                (at + n - i % n.max(1)) % n.max(1)
            } else {
                (at + i) % n
            }
        })
        .find(|place| {
            texts
                .get(*place)
                .is_some_and(|t| t.to_lowercase().contains(&wanted))
        })
}

/// To the next line of the screen in view that holds the words looked for.
pub fn find(model: &mut Model, back: bool) {
    if model.find.is_empty() {
        model.say("nothing to find yet; / asks for words");
        return;
    }
    let work = &model.spray;
    let (texts, at) = match model.screen {
        Screen::Coverage => coverage::texts(&model.season, &work.coverage),
        Screen::Materials => materials::texts(&model.season, &work.materials),
        Screen::Buy => buy::texts(&work.buy),
        Screen::Sprayers => sprayers::texts(&model.season, &work.sprayers),
        _ => {
            model.say("there is no list here to look through");
            return;
        }
    };
    let Some(place) = next_holding(&texts, at, &model.find, back) else {
        let text = format!("nothing found for '{}'", model.find);
        model.say(text);
        return;
    };
    let work = &mut model.spray;
    match model.screen {
        Screen::Coverage => work.coverage.go_to(place),
        Screen::Materials => work.materials.at = place,
        Screen::Buy => work.buy.at = place,
        Screen::Sprayers => work.sprayers.at = place,
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::next_holding;

    #[test]
    fn looks_round_about_both_ways() {
        let texts = ["Oil", "fixed copper", "lime sulfur", "oil again"].map(str::to_owned);
        assert_eq!(next_holding(&texts, 0, "oil", false), Some(3));
        assert_eq!(next_holding(&texts, 3, "OIL", false), Some(0));
        assert_eq!(next_holding(&texts, 0, "oil", true), Some(3));
        assert_eq!(next_holding(&texts, 0, "urea", false), None);
        assert_eq!(next_holding(&[], 0, "x", true), None);
    }
}
