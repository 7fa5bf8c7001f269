//! Rows by words, and rows in groups.

use super::{FarmRow, Purpose, State, by_danger};
use crate::domain::season::Season;
use chrono::{Datelike, NaiveDate, Weekday};

/// What rows are put together by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Group {
    /// Not at all: by danger.
    #[default]
    None,
    /// Kind of tree.
    Kind,
    /// Week of the last safe day.
    Window,
    /// Sprayer.
    Sprayer,
    /// Planned day.
    Day,
}

impl Group {
    /// Every one.
    pub const ALL: [Self; 5] = [
        Self::None,
        Self::Kind,
        Self::Window,
        Self::Sprayer,
        Self::Day,
    ];

    /// The next one, round about.
    #[must_use]
    pub fn next(self) -> Self {
        match self {
            Self::None => Self::Kind,
            Self::Kind => Self::Window,
            Self::Window => Self::Sprayer,
            Self::Sprayer => Self::Day,
            Self::Day => Self::None,
        }
    }

    /// Its name.
    pub fn words(self) -> &'static str {
        match self {
            Self::None => "danger",
            Self::Kind => "kind",
            Self::Window => "window",
            Self::Sprayer => "sprayer",
            Self::Day => "day",
        }
    }
}

/// The rows that fit every word: a kind (`peach`, `peaches`), a block's name or number, a purpose
/// (`copper`), a state (`open`, `closing`, `done`), a weekday or date planned for, a sprayer,
/// `late`, `none` (nothing planned). A row keeps only the purposes that fit; its state is theirs.
pub fn filtered(season: &Season, rows: &[FarmRow], words: &str) -> Vec<FarmRow> {
    let words: Vec<String> = words
        .to_lowercase()
        .split([' ', ','])
        .filter(|w| !w.is_empty() && *w != "and")
        .map(str::to_owned)
        .collect();
    let mut found: Vec<FarmRow> = rows
        .iter()
        .filter_map(|row| {
            let of_purpose: Vec<&String> = words.iter().filter(|w| !is_of_row(row, w)).collect();
            if of_purpose.is_empty() {
                return Some(row.clone());
            }
            if row.purposes.is_empty() {
                let is_none = of_purpose
                    .iter()
                    .all(|w| ["none", "no", "use"].contains(&w.as_str()));
                return is_none.then(|| row.clone());
            }
            let kept: Vec<Purpose> = row
                .purposes
                .iter()
                .filter(|p| of_purpose.iter().all(|w| is_of_purpose(season, p, w)))
                .cloned()
                .collect();
            (!kept.is_empty()).then(|| FarmRow {
                purposes: kept,
                ..row.clone()
            })
        })
        .collect();
    by_danger(&mut found);
    found
}

fn is_of_row(row: &FarmRow, word: &str) -> bool {
    let name = row.name.to_lowercase();
    let number = |t: &str| t.trim_start_matches('0').parse::<u32>().ok();
    let one = word
        .strip_suffix("ies")
        .map(|w| format!("{w}y"))
        .or_else(|| word.strip_suffix("es").map(str::to_owned))
        .or_else(|| word.strip_suffix('s').map(str::to_owned));
    let kind_is = |w: &str| row.kind.split(' ').any(|k| k == w);
    let plain = word.strip_suffix('s').unwrap_or(word);
    kind_is(word)
        || kind_is(plain)
        || one.as_deref().is_some_and(kind_is)
        || row.block.as_str() == word
        || name.split(|c: char| !c.is_alphanumeric()).any(|part| {
            part == word
                || (part.len() > 3 && word.len() > 3 && part.starts_with(word))
                || (number(word).is_some() && number(part) == number(word))
        })
}

fn is_of_purpose(season: &Season, p: &Purpose, word: &str) -> bool {
    let sprayer = || {
        let own = p.sprayer.as_ref().map(|id| {
            season
                .sprayer(id)
                .map_or_else(|| id.to_string(), |s| s.name.clone())
        });
        own.is_some_and(|name| {
            name.to_lowercase()
                .split_whitespace()
                .any(|part| part.starts_with(word))
        })
    };
    let state = match word {
        "open" => p.state.is_open(),
        "late" => {
            matches!(p.state, State::Late | State::Stop)
                && p.last_safe.is_none_or(|l| l >= p.planned)
        }
        "stop" => p.state == State::Stop,
        _ => p.state.words().to_lowercase().split(' ').any(|w| w == word),
    };
    let day = |date: NaiveDate| {
        word.parse::<Weekday>().is_ok_and(|w| w == date.weekday())
            || word.parse::<NaiveDate>().is_ok_and(|d| d == date)
            || date.format("%-d%b").to_string().to_lowercase() == word
    };
    state || p.name.split(' ').any(|n| n == word) || sprayer() || day(p.planned)
}

/// Rows in groups, each with its name; within a group by danger, groups by their worst row.
pub fn grouped(season: &Season, rows: &[FarmRow], group: Group) -> Vec<(String, Vec<FarmRow>)> {
    let name = |row: &FarmRow| -> String {
        let worst = row.worst();
        match group {
            Group::None => String::new(),
            Group::Kind => row.kind.to_owned(),
            Group::Window => worst.and_then(|p| p.last_safe).map_or_else(
                || "no last safe day".to_owned(),
                |d| {
                    let monday = d.week(Weekday::Mon).first_day();
                    format!("last safe in the week of {}", monday.format("%-d %b"))
                },
            ),
            Group::Sprayer => worst.and_then(|p| p.sprayer.as_ref()).map_or_else(
                || "no sprayer".to_owned(),
                |id| {
                    season
                        .sprayer(id)
                        .map_or_else(|| id.to_string(), |s| s.name.clone())
                },
            ),
            Group::Day => worst.map_or_else(
                || "nothing planned".to_owned(),
                |p| p.planned.format("%a %-d %b").to_string(),
            ),
        }
    };
    let mut groups: Vec<(String, Vec<FarmRow>)> = Vec::new();
    for row in rows {
        let name = name(row);
        match groups.iter_mut().find(|g| g.0 == name) {
            Some(g) => g.1.push(row.clone()),
            None => groups.push((name, vec![row.clone()])),
        }
    }
    groups
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::hours::testing::season_with;
    use crate::domain::season::{BlockId, TaskId};

    fn row(name: &str, kind: &'static str, purposes: &[(&str, State, &str)]) -> FarmRow {
        FarmRow {
            block: BlockId::from(name),
            name: name.to_owned(),
            kind,
            swell: None,
            purposes: purposes
                .iter()
                .map(|(name, state, day)| Purpose {
                    name: (*name).to_owned(),
                    task: TaskId::from("t"),
                    state: *state,
                    opens: day.parse().unwrap(),
                    last_safe: None,
                    planned: day.parse().unwrap(),
                    hour: None,
                    sprayer: None,
                    minutes: 60,
                    done: None,
                    wrong: None,
                })
                .collect(),
            keep_out: None,
        }
    }

    fn names(words: &str) -> Vec<String> {
        let rows = [
            row(
                "01 Tilton",
                "apricot",
                &[("copper", State::Stop, "2027-03-01")],
            ),
            row(
                "02 Redhaven",
                "peach",
                &[
                    ("copper", State::Open, "2027-03-09"),
                    ("oil", State::Done, "2027-02-01"),
                ],
            ),
            row(
                "03 Bing",
                "sweet cherry",
                &[("oil", State::Closing, "2027-03-10")],
            ),
            row("04 Walnut", "walnut", &[]),
        ];
        filtered(&season_with(Vec::new()), &rows, words)
            .into_iter()
            .map(|r| r.name)
            .collect()
    }

    #[test]
    fn words_narrow_the_table() {
        assert_eq!(names("").len(), 4);
        assert_eq!(names("peach copper open"), ["02 Redhaven"]);
        assert_eq!(names("peaches"), ["02 Redhaven"]);
        assert_eq!(names("cherries"), ["03 Bing"]);
        assert_eq!(names("copper"), ["01 Tilton", "02 Redhaven"]);
        assert_eq!(names("done"), ["02 Redhaven"]);
        assert_eq!(names("2"), ["02 Redhaven"]);
        assert_eq!(names("none"), ["04 Walnut"]);
        // 10 March 2027 is a Wednesday.
        assert_eq!(names("wed"), ["03 Bing"]);
        assert!(names("peach stop").is_empty());
    }
}
