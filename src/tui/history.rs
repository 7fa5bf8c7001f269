//! Undo and redo without limit: each step keeps only what it changed.

use super::host::Trail;
use crate::domain::season::Season;

/// Part of a list replaced by other items.
#[derive(Debug, Clone, PartialEq)]
struct Splice<T> {
    at: usize,
    before: Vec<T>,
    after: Vec<T>,
}

impl<T: Clone + PartialEq> Splice<T> {
    /// The shortest splice from one list to the other; `None` if they are alike.
    fn between(before: &[T], after: &[T]) -> Option<Self> {
        let head = before.iter().zip(after).take_while(|(a, b)| a == b).count();
        let (rest_before, rest_after) = (before.get(head..)?, after.get(head..)?);
        let tail = rest_before
            .iter()
            .rev()
            .zip(rest_after.iter().rev())
            .take_while(|(a, b)| a == b)
            .count();
        let cut = |list: &[T]| list.get(..list.len() - tail).unwrap_or_default().to_vec();
        let (before, after) = (cut(rest_before), cut(rest_after));
        (!before.is_empty() || !after.is_empty()).then_some(Self {
            at: head,
            before,
            after,
        })
    }

    fn apply(&self, list: &mut Vec<T>, back: bool) {
        let (gone, come) = if back {
            (&self.after, &self.before)
        } else {
            (&self.before, &self.after)
        };
        let start = self.at.min(list.len());
        let end = (start + gone.len()).min(list.len());
        list.splice(start..end, come.iter().cloned());
    }
}

macro_rules! change {
    (lists: $($list:ident),+; values: $($value:ident: $type:ty),+;) => {
        /// What one edit changed in a season.
        #[derive(Debug, Clone, PartialEq)]
        struct Change {
            $($list: Option<Splice<change!(@item $list)>>,)+
            $($value: Option<Box<($type, $type)>>,)+
        }

        impl Change {
            fn between(before: &Season, after: &Season) -> Self {
                Self {
                    $($list: Splice::between(&before.$list, &after.$list),)+
                    $($value: (before.$value != after.$value)
                        .then(|| Box::new((before.$value.clone(), after.$value.clone()))),)+
                }
            }

            fn is_empty(&self) -> bool {
                true $(&& self.$list.is_none())+ $(&& self.$value.is_none())+
            }

            fn apply(&self, season: &mut Season, back: bool) {
                $(if let Some(splice) = &self.$list { splice.apply(&mut season.$list, back); })+
                $(if let Some(pair) = &self.$value {
                    season.$value = if back { pair.0.clone() } else { pair.1.clone() };
                })+
            }
        }
    };
    (@item blocks) => { crate::domain::season::Block };
    (@item targets) => { crate::domain::season::TargetRow };
    (@item materials) => { crate::domain::season::Material };
    (@item sprayers) => { crate::domain::season::Sprayer };
    (@item tasks) => { crate::domain::season::Task };
    (@item readings) => { crate::domain::season::Reading };
    (@item records) => { crate::domain::season::Record };
    (@item reviewed) => { chrono::NaiveDate };
    (@item estimates_noted) => { crate::domain::season::EstimateNoted };
}

change! {
    lists: blocks, targets, materials, sprayers, tasks, readings, records, reviewed, estimates_noted;
    values: format: u32, season: String, practice: bool,
        orchard: crate::domain::season::Orchard,
        dates: crate::domain::season::SeasonDates,
        weather: crate::domain::season::WeatherFiles,
        records_head: Option<crate::domain::season::RecordsHead>;
}

/// One step, with the words shown when it is undone.
#[derive(Debug, Clone, PartialEq)]
struct Step {
    words: String,
    change: Change,
}

/// What was done and what was undone.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct History {
    done: Vec<Step>,
    undone: Vec<Step>,
}

impl History {
    /// Keeps the way from one season to the next; says whether anything changed.
    pub fn record(&mut self, before: &Season, after: &Season, words: &str) -> bool {
        let change = Change::between(before, after);
        if change.is_empty() {
            return false;
        }
        self.done.push(Step {
            words: words.to_owned(),
            change,
        });
        self.undone.clear();
        true
    }

    /// Takes the last step back; gives its words.
    pub fn undo(&mut self, season: &mut Season) -> Option<String> {
        let step = self.done.pop()?;
        step.change.apply(season, true);
        let words = step.words.clone();
        self.undone.push(step);
        Some(words)
    }

    /// Makes the last step taken back again; gives its words.
    pub fn redo(&mut self, season: &mut Season) -> Option<String> {
        let step = self.undone.pop()?;
        step.change.apply(season, false);
        let words = step.words.clone();
        self.done.push(step);
        Some(words)
    }

    /// The versions that the steps lead through, from the oldest to the last undone.
    pub fn trail(&self, now: &Season) -> Trail {
        let (mut seasons, mut words) = (vec![now.clone()], Vec::new());
        let (mut way, mut season) = (self.clone(), now.clone());
        while let Some(step) = way.undo(&mut season) {
            seasons.push(season.clone());
            words.push(step);
        }
        seasons.reverse();
        words.reverse();
        let at = words.len();
        let (mut way, mut season) = (self.clone(), now.clone());
        while let Some(step) = way.redo(&mut season) {
            seasons.push(season.clone());
            words.push(step);
        }
        Trail { seasons, words, at }
    }

    /// Puts the steps of earlier sessions before those of this one, which has none that can be
    /// undone; what this one undid can still be made again.
    pub fn come_from(&mut self, trail: &Trail) {
        let mut earlier = Self::default();
        let mut ahead = 0;
        let pairs = trail.seasons.windows(2).zip(&trail.words);
        for (i, (pair, words)) in pairs.enumerate() {
            if let [before, after] = pair
                && earlier.record(before, after, words)
                && i >= trail.at
            {
                ahead += 1;
            }
        }
        for _ in 0..ahead {
            earlier.undone.extend(earlier.done.pop());
        }
        if !self.undone.is_empty() {
            earlier.undone = std::mem::take(&mut self.undone);
        }
        *self = earlier;
    }

    /// Has nothing been done or undone?
    pub fn is_empty(&self) -> bool {
        self.done.is_empty() && self.undone.is_empty()
    }

    /// The words of the last step done.
    pub fn last_words(&self) -> Option<&str> {
        self.done.last().map(|s| s.words.as_str())
    }

    /// Forgets what was undone: it cannot be made again.
    pub fn forget_undone(&mut self) {
        self.undone.clear();
    }

    /// How many steps can be undone.
    pub fn depth(&self) -> usize {
        self.done.len()
    }
}
