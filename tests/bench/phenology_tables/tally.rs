//! Sums over answered dates, and their tables.

use std::collections::BTreeMap;

use barewood::domain::phenology::hindcast::{Answer, Observation, Scored};

/// One answered date beside what the baselines said; errors in days.
pub struct Outcome<'a> {
    pub of: &'a Observation,
    pub scored: Scored,
    pub baselines: Vec<Option<f64>>,
}

impl<'a> Outcome<'a> {
    pub fn new(of: &'a Observation, answer: &Answer, baselines: Vec<Option<f64>>) -> Self {
        Self {
            of,
            scored: Scored::new(answer, of.date),
            baselines,
        }
    }
}

/// Fewest dates worth a line.
const FEWEST: usize = 15;

fn root_mean_square(errors: &[f64]) -> f64 {
    (errors.iter().map(|e| e * e).sum::<f64>() / errors.len().max(1) as f64).sqrt()
}

/// A table by species (and stage), all pooled last. `names` are the baselines; only rows that
/// every baseline answers are counted.
pub fn table(title: &str, names: &[&str], outcomes: &[Outcome<'_>], by_stage: bool) {
    let mut groups: BTreeMap<(bool, String), Vec<&Outcome<'_>>> = BTreeMap::new();
    for outcome in outcomes
        .iter()
        .filter(|o| o.baselines.iter().all(Option::is_some))
    {
        let series = &outcome.of.series;
        let mut keys = vec![(true, "all".to_owned())];
        if by_stage {
            keys.push((false, format!("{}, {}", series.species, series.stage)));
            keys.push((true, format!("all, {}", series.stage)));
        } else {
            keys.push((false, series.species.clone()));
        }
        for key in keys {
            groups.entry(key).or_default().push(outcome);
        }
    }
    println!("\n{title}\n");
    println!(
        "| | dates | estimate | {} | estimate / best | in P10–P90 | width | last safe day too late |",
        names.join(" | ")
    );
    println!(
        "|---|---|---|{}---|---|---|---|",
        "---|".repeat(names.len())
    );
    for ((_, name), group) in groups.iter().filter(|(_, group)| group.len() >= FEWEST) {
        let count = group.len() as f64;
        let mean =
            |of: &dyn Fn(&Outcome<'_>) -> f64| group.iter().map(|o| of(o)).sum::<f64>() / count;
        let own: Vec<f64> = group.iter().map(|o| o.scored.error_days).collect();
        let own = root_mean_square(&own);
        let others: Vec<f64> = (0..names.len())
            .map(|i| {
                let errors: Vec<f64> = group
                    .iter()
                    .filter_map(|o| o.baselines.get(i).copied().flatten())
                    .collect();
                root_mean_square(&errors)
            })
            .collect();
        let best = others.iter().copied().fold(f64::INFINITY, f64::min);
        let shown: Vec<String> = others.iter().map(|e| format!("{e:.1}")).collect();
        println!(
            "| {name} | {} | {own:.1} | {} | {:.2} | {:.0} % | {:.0} d | {:.0} % |",
            group.len(),
            shown.join(" | "),
            own / best,
            100.0 * mean(&|o| f64::from(u8::from(o.scored.held))),
            mean(&|o| o.scored.width_days),
            100.0 * mean(&|o| f64::from(u8::from(o.scored.too_late))),
        );
    }
}
