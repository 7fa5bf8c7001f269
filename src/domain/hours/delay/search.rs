//! The cheapest choice for each of several tasks, exactly, by branch and bound.
//!
//! The tasks are few (those of one season that follow each other), the choices of each some
//! hundreds. The search takes the task with the fewest choices left, tries them cheapest first,
//! strikes out what no longer goes with it, and stops a branch as soon as its cost with the
//! cheapest of what is left reaches the best found.

/// A choice for every task, and what it costs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Solution {
    /// For each task the place of its choice.
    pub picks: Vec<usize>,
    /// The sum of all costs.
    pub cost: u64,
}

/// What can be chosen and what goes together.
pub trait Problem {
    /// Number of tasks.
    fn tasks(&self) -> usize;
    /// Number of choices of a task.
    fn choices(&self, task: usize) -> usize;
    /// What a choice costs; `None` if it may not be taken.
    fn cost(&self, task: usize, choice: usize) -> Option<u64>;
    /// What two choices of two tasks cost together; `None` if they exclude each other. Called
    /// with the lower task first.
    fn pair(&self, one: (usize, usize), two: (usize, usize)) -> Option<u64>;
}

/// The cheapest solution; of equally cheap ones the first in the order of choices.
pub fn cheapest(problem: &impl Problem) -> Option<Solution> {
    let open: Vec<Vec<(u64, usize)>> = (0..problem.tasks())
        .map(|task| {
            let mut left: Vec<(u64, usize)> = (0..problem.choices(task))
                .filter_map(|choice| Some((problem.cost(task, choice)?, choice)))
                .collect();
            left.sort_unstable();
            left
        })
        .collect();
    let mut search = Search {
        problem,
        best: None,
        picks: vec![None; problem.tasks()],
    };
    search.branch(&open, 0);
    search.best
}

struct Search<'a, P> {
    problem: &'a P,
    best: Option<Solution>,
    picks: Vec<Option<usize>>,
}

impl<P: Problem> Search<'_, P> {
    /// `left` holds for each open task the choices that still go, with their cost beside what
    /// is taken, cheapest first.
    fn branch(&mut self, left: &[Vec<(u64, usize)>], spent: u64) {
        let open = |task: &usize| self.picks.get(*task).is_some_and(Option::is_none);
        let rest: Option<u64> = (0..left.len())
            .filter(open)
            .map(|task| left.get(task).and_then(|l| l.first()).map(|c| c.0))
            .sum();
        // Some task has nothing left to choose.
        let Some(rest) = rest else { return };
        if self.best.as_ref().is_some_and(|b| spent + rest >= b.cost) {
            return;
        }
        let next = (0..left.len())
            .filter(open)
            .min_by_key(|&task| left.get(task).map_or(0, Vec::len));
        let Some(task) = next else {
            self.best = Some(Solution {
                picks: self.picks.iter().map(|p| p.unwrap_or(0)).collect(),
                cost: spent,
            });
            return;
        };
        let choices = left.get(task).cloned().unwrap_or_default();
        let own_least = choices.first().map_or(0, |c| c.0);
        for (cost, choice) in choices {
            if self
                .best
                .as_ref()
                .is_some_and(|b| spent + rest - own_least + cost >= b.cost)
            {
                return;
            }
            let after = self.strike_out(left, task, choice);
            if let Some(slot) = self.picks.get_mut(task) {
                *slot = Some(choice);
            }
            self.branch(&after, spent + cost);
            if let Some(slot) = self.picks.get_mut(task) {
                *slot = None;
            }
        }
    }

    /// What is left of the open tasks once a choice is taken, each dearer by what the two cost
    /// together.
    fn strike_out(
        &self,
        left: &[Vec<(u64, usize)>],
        task: usize,
        choice: usize,
    ) -> Vec<Vec<(u64, usize)>> {
        left.iter()
            .enumerate()
            .map(|(other, choices)| {
                if other == task || self.picks.get(other).is_none_or(Option::is_some) {
                    return Vec::new();
                }
                let mut kept: Vec<(u64, usize)> = choices
                    .iter()
                    .filter_map(|&(cost, theirs)| {
                        let together = if task < other {
                            self.problem.pair((task, choice), (other, theirs))
                        } else {
                            self.problem.pair((other, theirs), (task, choice))
                        };
                        Some((cost + together?, theirs))
                    })
                    .collect();
                kept.sort_unstable();
                kept
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[derive(Debug, Clone)]
    struct Table {
        costs: Vec<Vec<Option<u64>>>,
        /// Cost of a pair by task, choice, task, choice, hashed into a short list.
        pairs: Vec<Option<u64>>,
    }

    impl Problem for Table {
        fn tasks(&self) -> usize {
            self.costs.len()
        }
        fn choices(&self, task: usize) -> usize {
            self.costs[task].len()
        }
        fn cost(&self, task: usize, choice: usize) -> Option<u64> {
            self.costs[task][choice]
        }
        fn pair(&self, one: (usize, usize), two: (usize, usize)) -> Option<u64> {
            assert!(one.0 < two.0);
            self.pairs[(one.0 * 31 + one.1 * 7 + two.0 * 13 + two.1 * 3) % self.pairs.len()]
        }
    }

    /// Every combination, one after the other.
    fn brute_force(table: &Table) -> Option<u64> {
        let n = table.tasks();
        let mut best = None;
        let mut picks = vec![0; n];
        if (0..n).any(|t| table.choices(t) == 0) {
            return None;
        }
        loop {
            let mut cost = Some(0);
            for t in 0..n {
                cost = cost.zip(table.cost(t, picks[t])).map(|(a, b)| a + b);
                for u in t + 1..n {
                    cost = cost
                        .zip(table.pair((t, picks[t]), (u, picks[u])))
                        .map(|(a, b)| a + b);
                }
            }
            best = match (best, cost) {
                (Some(b), Some(c)) => Some(std::cmp::min::<u64>(b, c)),
                (b, c) => b.or(c),
            };
            let mut t = 0;
            loop {
                if t == n {
                    return best;
                }
                picks[t] += 1;
                if picks[t] < table.choices(t) {
                    break;
                }
                picks[t] = 0;
                t += 1;
            }
        }
    }

    fn tables() -> impl Strategy<Value = Table> {
        let cost = prop_oneof![1 => Just(None), 5 => (0u64..40).prop_map(Some)];
        let pair = prop_oneof![2 => Just(None), 3 => Just(Some(0)), 1 => (1u64..30).prop_map(Some)];
        (
            prop::collection::vec(prop::collection::vec(cost, 0..7), 1..5),
            prop::collection::vec(pair, 1..23),
        )
            .prop_map(|(costs, pairs)| Table { costs, pairs })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]
        #[test]
        fn it_finds_what_trying_everything_finds(table in tables()) {
            let found = cheapest(&table);
            prop_assert_eq!(found.as_ref().map(|s| s.cost), brute_force(&table));
            if let Some(solution) = found {
                let mut cost = 0;
                for (t, &c) in solution.picks.iter().enumerate() {
                    cost += table.cost(t, c).unwrap();
                    for (u, &d) in solution.picks.iter().enumerate().skip(t + 1) {
                        cost += table.pair((t, c), (u, d)).unwrap();
                    }
                }
                prop_assert_eq!(cost, solution.cost);
            }
        }
    }

    #[test]
    fn no_task_costs_nothing() {
        let none = Table {
            costs: vec![],
            pairs: vec![None],
        };
        assert_eq!(cheapest(&none).map(|s| s.cost), Some(0));
    }
}
