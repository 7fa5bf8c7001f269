//! What all records together taught: requirements, members' shares and leftover spread per species
//! and stage, carried in `fitted.csv` for places that have no dates of their own yet.
//!
//! The figures were fitted by this program on the stage dates and temperatures named in the front
//! page of [`crate::domain::phenology`]; the records themselves are not part of the project.

use std::fmt::Write as _;
use std::sync::LazyLock;

use super::calibrate::MEMBERS;
use super::drift::Drift;
use super::models::LIBRARY;
use super::species::Species;
use super::stage::Stage;

/// The pooled fit of one species and stage.
#[derive(Debug, Clone, PartialEq)]
pub struct FittedGroup {
    /// Species.
    pub species: Species,
    /// Stage.
    pub stage: Stage,
    /// Series fitted.
    pub series: usize,
    /// Dates fitted.
    pub dates: usize,
    /// Places they come from.
    pub sites: usize,
    /// Requirement of every library model.
    pub requirement: Vec<f64>,
    /// Shares of the members where a series has dates of its own, the calendar mean last.
    pub shares: Vec<f32>,
    /// Leftovers of such a series.
    pub drift: Drift,
    /// Shares where it has none.
    pub between_shares: Vec<f32>,
    /// Leftovers of a series without dates.
    pub between: Drift,
}

static GROUPS: LazyLock<Vec<FittedGroup>> =
    LazyLock::new(|| parse(include_str!("fitted.csv")).unwrap_or_default());

/// Every fitted species and stage.
pub fn groups() -> &'static [FittedGroup] {
    &GROUPS
}

/// The fit for a species and stage, if there were records.
pub fn group(species: Species, stage: Stage) -> Option<&'static FittedGroup> {
    GROUPS
        .iter()
        .find(|g| g.species == species && g.stage == stage)
}

/// Writes groups as a table: one line per group and part.
pub fn to_csv(groups: &[FittedGroup]) -> String {
    let mut out = String::from("species,stage,series,dates,sites,part,values\n");
    for g in groups {
        let mut line = |part: &str, values: Vec<String>| {
            let _ = writeln!(
                out,
                "{},{},{},{},{},{part},{}",
                g.species.words(),
                g.stage.words(),
                g.series,
                g.dates,
                g.sites,
                values.join(" ")
            );
        };
        let short = |v: f64| {
            format!("{v:.4}")
                .trim_end_matches('0')
                .trim_end_matches('.')
                .to_owned()
        };
        line(
            "requirement",
            g.requirement.iter().map(|&v| short(v)).collect(),
        );
        let shares = |s: &[f32]| s.iter().map(|&v| short(f64::from(v))).collect();
        line("shares", shares(&g.shares));
        line("between_shares", shares(&g.between_shares));
        let drift = |d: &Drift| {
            [
                d.offset_days,
                d.drift_days,
                d.length_years,
                d.slope,
                d.noise_days,
            ]
            .map(short)
            .to_vec()
        };
        line("drift", drift(&g.drift));
        line("between", drift(&g.between));
    }
    out
}

/// Reads the table back; `None` when it does not fit the library.
pub fn parse(text: &str) -> Option<Vec<FittedGroup>> {
    let mut groups: Vec<FittedGroup> = Vec::new();
    for line in text.lines().skip(1) {
        let fields: Vec<&str> = line.split(',').collect();
        let [species, stage, series, dates, sites, part, values] = fields.as_slice() else {
            return None;
        };
        let (species, stage) = (
            Species::from_text(species).unwrap_or(Species::Other),
            Stage::from_text(stage)?,
        );
        let values: Vec<f64> = values
            .split(' ')
            .map(str::parse)
            .collect::<Result<_, _>>()
            .ok()?;
        if !groups
            .last()
            .is_some_and(|g| g.species == species && g.stage == stage)
        {
            groups.push(FittedGroup {
                species,
                stage,
                series: series.parse().ok()?,
                dates: dates.parse().ok()?,
                sites: sites.parse().ok()?,
                requirement: Vec::new(),
                shares: Vec::new(),
                drift: NO_DRIFT,
                between_shares: Vec::new(),
                between: NO_DRIFT,
            });
        }
        let group = groups.last_mut()?;
        let shares = || values.iter().map(|&v| v as f32).collect::<Vec<f32>>();
        match *part {
            "requirement" => group.requirement.clone_from(&values),
            "shares" => group.shares = shares(),
            "between_shares" => group.between_shares = shares(),
            "drift" => group.drift = drift(&values)?,
            "between" => group.between = drift(&values)?,
            _ => return None,
        }
    }
    let fits = |g: &FittedGroup| {
        g.requirement.len() == LIBRARY.len()
            && g.shares.len() == MEMBERS
            && g.between_shares.len() == MEMBERS
    };
    groups.iter().all(fits).then_some(groups)
}

const NO_DRIFT: Drift = Drift {
    offset_days: 0.0,
    drift_days: 0.0,
    length_years: 1.0,
    slope: 0.0,
    noise_days: 1.0,
};

fn drift(values: &[f64]) -> Option<Drift> {
    let &[offset_days, drift_days, length_years, slope, noise_days] = values else {
        return None;
    };
    Some(Drift {
        offset_days,
        drift_days,
        length_years,
        slope,
        noise_days,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_carried_table_fits_the_library_and_is_read_back() {
        assert!(
            groups().len() >= 15,
            "the table is missing or does not fit the library"
        );
        for g in groups() {
            let sum: f32 = g.shares.iter().sum();
            assert!((sum - 1.0).abs() < 0.01, "{} {}", g.species, g.stage);
            assert!(g.drift.noise_days > 0.5 && g.between.noise_days > 0.5);
        }
        let again = parse(&to_csv(groups())).unwrap();
        assert_eq!(again, groups());
    }
}
