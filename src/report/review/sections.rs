//! The review as named sections of sentences, shared by plain text and board.

use super::lines;
use crate::domain::records::Flaw;
use crate::domain::review::Review;
use crate::domain::season::Season;

/// One section of the review.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    /// Its name.
    pub name: &'static str,
    /// Its sentences; none where there is nothing to say.
    pub items: Vec<String>,
}

/// The name of the section with the estimates, which plain text shows as a table.
pub const SWELL: &str = "Swell";

/// Everything the review says, in order.
pub fn sections(season: &Season, review: &Review) -> Vec<Section> {
    let today = review.today;
    let section = |name, items| Section { name, items };
    let overdue = review.overdue.iter().map(|t| lines::overdue(t, today));
    let next = review.next.iter().map(|t| lines::next(t, today));
    let closing = lines::closing_groups(&review.closing)
        .into_iter()
        .map(|(names, c)| format!("{names}: {}", lines::closing(c)));
    let reentry = review.reentry.iter().map(|s| {
        let names = lines::names(season, &s.blocks);
        format!("{names}: {}", s.standing.words())
    });
    let incomplete = review
        .incomplete
        .iter()
        .map(|i| format!("incomplete: {}", i.words));
    vec![
        section(
            "Done",
            review.finished.iter().map(lines::finished).collect(),
        ),
        section("Moved", review.moved.iter().map(lines::moved).collect()),
        section("Due", overdue.chain(next).collect()),
        section("At risk", risk(review)),
        section(SWELL, swell(review)),
        section(
            "Noted",
            review
                .readings
                .iter()
                .map(|r| lines::reading(season, r))
                .collect(),
        ),
        section("Fit hours", windows(review)),
        section("Closing", closing.collect()),
        section("Re-entry", reentry.collect()),
        section(
            "Short",
            review
                .around
                .short
                .iter()
                .map(|s| s.words.clone())
                .collect(),
        ),
        section(
            "Records",
            review
                .flaws
                .iter()
                .map(Flaw::words)
                .chain(incomplete)
                .collect(),
        ),
        section(
            "Look at",
            review
                .look
                .iter()
                .map(|l| format!("{}: {}", l.what, l.how))
                .collect(),
        ),
    ]
}

fn risk(review: &Review) -> Vec<String> {
    let fresh = review
        .risks
        .iter()
        .filter(|r| r.is_new)
        .map(|r| format!("NEW {}", r.warning.line()));
    let cleared = review
        .cleared
        .iter()
        .map(|w| format!("gone: {}", w.message));
    let standing = Some(lines::standing(review)).filter(|s| !s.is_empty());
    let mut items: Vec<String> = fresh.chain(cleared).chain(standing).collect();
    // Two sprays with one material say the same of its label.
    let mut seen = std::collections::BTreeSet::new();
    items.retain(|item| seen.insert(item.clone()));
    items
}

fn swell(review: &Review) -> Vec<String> {
    if review.swell.is_empty() {
        return vec!["no estimate".to_owned()];
    }
    lines::grouped(&review.swell)
        .into_iter()
        .map(|(name, change)| {
            let then = match change.then {
                Some(then) if then.p50 == change.now.p50 => ", as before".to_owned(),
                Some(then) => format!(", was {}", lines::range(then)),
                None => String::new(),
            };
            let moved = change.days().is_some_and(|d| d != 0);
            let causes = lines::causes(change)
                .filter(|_| moved)
                .map_or_else(String::new, |c| format!("; {c}"));
            format!(
                "{name} {}{then}; last safe {}{causes}",
                lines::range(change.now),
                lines::short(change.last_safe)
            )
        })
        .chain(review.around.ground.lines())
        .collect()
}

fn windows(review: &Review) -> Vec<String> {
    match &review.around.windows {
        None => vec!["no hourly forecast".to_owned()],
        Some(windows) if windows.is_empty() => vec!["none in the forecast".to_owned()],
        Some(windows) => windows.iter().map(lines::window).collect(),
    }
}
