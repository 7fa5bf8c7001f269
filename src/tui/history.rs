//! Undo and redo: each step keeps only what it changed. What others changed meanwhile is a step of
//! theirs: undo goes past it, and never takes it back.

use super::host::{Join, Trail};
use crate::domain::season::{RecordId, Season};

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
                // Whatever a season gains, undo must know: the compiler asks for it here. What is
                // shared by all seasons stands in no season file.
                let Season { $($list: _,)+ $($value: _,)+ shared_targets: _ } = after;
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
    (@item people) => { crate::domain::season::Person };
    (@item shed) => { crate::domain::season::ShedEntry };
    (@item lessons) => { crate::domain::season::Lesson };
    (@item estimates_noted) => { crate::domain::season::EstimateNoted };
}

change! {
    lists: blocks, targets, materials, sprayers, people, tasks, readings, records, shed, reviewed,
        lessons, estimates_noted;
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
    /// Somebody else's.
    foreign: bool,
}

/// So many steps are remembered.
const MOST: usize = 2000;

/// What was done and what was undone: the steps that lead to the season as it stands, and those
/// that lead on from it.
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
            foreign: false,
        });
        self.undone.clear();
        if self.done.len() > MOST {
            self.done.remove(0);
        }
        true
    }

    /// Keeps a step of somebody else's: undo and redo go past it.
    pub fn came_in(&mut self, before: &Season, after: &Season) {
        // Without steps of one's own there is nothing to go past.
        if !self.done.is_empty() {
            push_foreign(&mut self.done, before, after);
        }
        if !self.undone.is_empty() {
            push_foreign(&mut self.undone, before, after);
        }
    }

    /// Takes the last own step back; gives its words.
    pub fn undo(&mut self, season: &mut Season, join: Join) -> Option<String> {
        walk(&mut self.done, &mut self.undone, season, true, join)
    }

    /// Makes the last step taken back again; gives its words.
    pub fn redo(&mut self, season: &mut Season, join: Join) -> Option<String> {
        walk(&mut self.undone, &mut self.done, season, false, join)
    }

    /// The versions that the steps lead through, from the oldest to the last undone.
    pub fn trail(&self, now: &Season) -> Trail {
        let mut trail = Trail {
            seasons: vec![now.clone()],
            words: Vec::new(),
            others: Vec::new(),
            at: 0,
        };
        let mut season = now.clone();
        for step in self.done.iter().rev() {
            step.change.apply(&mut season, true);
            trail.seasons.push(season.clone());
            trail.words.push(step.words.clone());
            trail.others.push(step.foreign);
        }
        trail.seasons.reverse();
        trail.words.reverse();
        trail.others.reverse();
        trail.at = trail.words.len();
        let mut season = now.clone();
        // A foreign step is walked backwards on either side: it leads to the present.
        for step in self.undone.iter().rev() {
            step.change.apply(&mut season, step.foreign);
            trail.seasons.push(season.clone());
            trail.words.push(step.words.clone());
            trail.others.push(step.foreign);
        }
        trail
    }

    /// Puts the steps of earlier sessions before those of this one, which has none that can be
    /// undone; what this one undid can still be made again.
    pub fn come_from(&mut self, trail: &Trail) {
        let mut earlier = Self::default();
        let steps = trail.seasons.windows(2).zip(&trail.words).enumerate();
        for (i, (pair, words)) in steps {
            let [before, after] = pair else { continue };
            let change = Change::between(before, after);
            if change.is_empty() {
                continue;
            }
            let step = Step {
                words: words.clone(),
                change,
                foreign: trail.others.get(i).copied().unwrap_or(false),
            };
            if i < trail.at {
                earlier.done.push(step);
            } else if step.foreign {
                earlier.undone.insert(
                    0,
                    Step {
                        change: Change::between(after, before),
                        ..step
                    },
                );
            } else {
                earlier.undone.insert(0, step);
            }
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

    /// The words of the last own step done.
    pub fn last_words(&self) -> Option<&str> {
        let own = self.done.iter().rev().find(|s| !s.foreign);
        own.map(|s| s.words.as_str())
    }

    /// Forgets what was undone: it cannot be made again.
    pub fn forget_undone(&mut self) {
        self.undone.clear();
    }

    /// How many own steps can be undone.
    pub fn depth(&self) -> usize {
        self.done.iter().filter(|s| !s.foreign).count()
    }
}

fn push_foreign(steps: &mut Vec<Step>, before: &Season, after: &Season) {
    let change = Change::between(before, after);
    if !change.is_empty() {
        steps.push(Step {
            words: String::new(),
            change,
            foreign: true,
        });
    }
}

/// Walks one own step: back along the steps done, or on along those undone. The steps of others
/// that lie before it stay in force: the own step is taken out from under them.
fn walk(
    from: &mut Vec<Step>,
    to: &mut Vec<Step>,
    season: &mut Season,
    back: bool,
    join: Join,
) -> Option<String> {
    if from.iter().all(|step| step.foreign) {
        return None;
    }
    let now = season.clone();
    let mut near = now.clone();
    let mut passed = false;
    let own = loop {
        let step = from.pop()?;
        if !step.foreign {
            break step;
        }
        step.change.apply(&mut near, true);
        passed = true;
    };
    let mut far = near.clone();
    own.change.apply(&mut far, back);
    let after = if passed {
        // Where somebody changed the same thing since, theirs stands.
        let mut after = join(&near, &now, &far);
        // A join takes no record out; of one's own step it is for the records to say what then
        // holds.
        let has = |season: &Season, id: &RecordId| season.records.iter().any(|r| &r.id == id);
        after
            .records
            .retain(|r| !has(&near, &r.id) || has(&far, &r.id));
        after
    } else {
        far.clone()
    };
    if passed && !from.is_empty() {
        push_foreign(from, &far, &after);
    }
    let (first, second) = if back { (&after, &now) } else { (&now, &after) };
    to.push(Step {
        words: own.words.clone(),
        change: Change::between(first, second),
        foreign: false,
    });
    *season = after;
    Some(own.words)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::{merge, practice};

    fn join(base: &Season, now: &Season, other: &Season) -> Season {
        merge::onto(base, now, other, merge::Side::Theirs).season
    }

    fn versions() -> (Season, impl Fn(&Season, usize, &str) -> Season) {
        let season = practice::season().unwrap().season;
        let noted = |season: &Season, task: usize, words: &str| {
            let mut after = season.clone();
            after.tasks[task].notes = Some(words.to_owned());
            after
        };
        (season, noted)
    }

    #[test]
    fn undo_goes_past_what_others_did_and_leaves_it() {
        let (start, noted) = versions();
        let mut history = History::default();
        let mut season = noted(&start, 0, "mine");
        history.record(&start, &season, "mine");
        let theirs = noted(&season, 1, "theirs");
        history.came_in(&season, &theirs);
        season = theirs;
        assert_eq!(history.undo(&mut season, join).as_deref(), Some("mine"));
        assert_eq!(season, noted(&start, 1, "theirs"));
        assert_eq!(history.undo(&mut season, join), None);
        let later = noted(&season, 2, "theirs again");
        history.came_in(&season, &later);
        season = later;
        assert_eq!(history.redo(&mut season, join).as_deref(), Some("mine"));
        let all = noted(
            &noted(&noted(&start, 0, "mine"), 1, "theirs"),
            2,
            "theirs again",
        );
        assert_eq!(season, all);
        assert_eq!(history.undo(&mut season, join).as_deref(), Some("mine"));
        assert_eq!(season.tasks[0], start.tasks[0]);
        assert_eq!(season.tasks[2].notes.as_deref(), Some("theirs again"));
    }

    #[test]
    fn a_step_that_changes_lessons_alone_is_one_and_goes_back() {
        let (start, _) = versions();
        let mut whole = start.clone();
        whole.lessons.push(crate::domain::season::Lesson {
            text: "earlier".to_owned(),
            from: None,
            done: None,
        });
        let mut history = History::default();
        assert!(history.record(&start, &whole, "a version of before"));
        let mut season = whole.clone();
        assert!(history.undo(&mut season, join).is_some());
        assert_eq!(season, start);
        assert!(history.redo(&mut season, join).is_some());
        assert_eq!(season, whole);
    }

    #[test]
    fn what_somebody_changed_since_stands() {
        let (start, noted) = versions();
        let mut history = History::default();
        let mut season = noted(&start, 0, "mine");
        history.record(&start, &season, "mine");
        let theirs = noted(&season, 0, "theirs");
        history.came_in(&season, &theirs);
        season = theirs.clone();
        assert!(history.undo(&mut season, join).is_some());
        assert_eq!(season, theirs);
    }

    #[test]
    fn a_trail_with_steps_of_others_comes_back_as_it_was() {
        let (start, noted) = versions();
        let mut history = History::default();
        let one = noted(&start, 0, "one");
        history.record(&start, &one, "one");
        let two = noted(&one, 1, "two");
        history.came_in(&one, &two);
        let mut season = noted(&two, 2, "three");
        history.record(&two, &season, "three");
        history.undo(&mut season, join);
        let four = noted(&season, 3, "four");
        history.came_in(&season, &four);
        season = four;
        let mut again = History::default();
        again.come_from(&history.trail(&season));
        let (mut a, mut b) = (season.clone(), season);
        for back in [true, true, false, false, false, true, true, true] {
            let step = |h: &mut History, s: &mut Season| {
                if back {
                    h.undo(s, join)
                } else {
                    h.redo(s, join)
                }
            };
            assert_eq!(step(&mut history, &mut a), step(&mut again, &mut b));
            assert_eq!(a, b);
        }
        assert_eq!(a.tasks[3].notes.as_deref(), Some("four"));
        assert_eq!(a.tasks[0], start.tasks[0]);
    }
}
