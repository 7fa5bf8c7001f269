//! Which rows train and which are answered.

use std::collections::{BTreeMap, BTreeSet};
use std::time::Instant;

use barewood::domain::phenology::hindcast::{
    Answer, Observation, Scored, Scores, SeriesName, Settings, Wanted, answer,
};
use chrono::NaiveDate;

use crate::baselines::{Baseline, Baselines};
use crate::data::Set;
use crate::tally::{Outcome, table};

const BOTH: &[Baseline] = &[Baseline::Sequential, Baseline::DegreeDays];
const NAMES: &[&str] = &["calendar mean", "chill then heat", "degree days"];

/// All tables.
pub fn all(bloom: &Set, korea: &Set) {
    println!("Errors are root-mean-square, days.");
    for (name, set) in [
        ("Bloom at three sites of Europe and Africa", bloom),
        ("Bud burst and bloom at twelve Korean stations", korea),
    ] {
        leave_one_year_out(name, set);
    }
    let simple = Baselines::new(bloom);
    for years in [20, 10, 5, 3] {
        let outcomes = few_years(bloom, &simple, years);
        let title = format!("Bloom, {years} years of own dates, season known");
        table(&title, NAMES, &outcomes, false);
    }
    table(
        "Bloom, cultivars that have no dates at all, season known",
        NAMES,
        &left_out(
            bloom,
            &simple,
            |name| &name.cultivar,
            5,
            None,
            |_| true,
            |_| true,
        ),
        false,
    );
    let simple = Baselines::new(korea);
    for issue in [None, Some((3, 1))] {
        let when = words(issue);
        table(
            &format!("Korea, two thirds of the years fitted, {when}"),
            NAMES,
            &two_thirds(korea, &simple, issue),
            true,
        );
        table(
            &format!("Korea, stations left out whole, {when}"),
            NAMES,
            &left_out(
                korea,
                &simple,
                |name| &name.site,
                4,
                issue,
                |_| true,
                |_| true,
            ),
            true,
        );
        let (before, after) = (|year| year < 2000, |year| year >= 2000);
        table(
            &format!(
                "Korea, stations left out whole, fitted before 2000 and answered from 2000 on, {when}"
            ),
            NAMES,
            &left_out(korea, &simple, |name| &name.site, 4, issue, before, after),
            true,
        );
    }
}

fn words(issue: Option<(u32, u32)>) -> String {
    issue.map_or_else(
        || "season known".to_owned(),
        |(month, day)| format!("issued on {month:02}-{day:02}"),
    )
}

fn wanted(of: &Observation, issue: Option<(u32, u32)>) -> Wanted {
    Wanted {
        series: of.series.clone(),
        year: of.year,
        issue_on: issue.and_then(|(month, day)| NaiveDate::from_ymd_opt(of.year, month, day)),
    }
}

fn answers(set: &Set, train: &[Observation], want: &[Wanted]) -> Vec<Option<Answer>> {
    answer(&set.places, train, want, &Settings::default(), &|_| {})
}

fn leave_one_year_out(name: &str, set: &Set) {
    let issues = [
        None,
        Some((1, 1)),
        Some((1, 15)),
        Some((2, 1)),
        Some((2, 15)),
        Some((3, 1)),
    ];
    let want: Vec<Wanted> = issues
        .iter()
        .flat_map(|issue| set.observations.iter().map(move |o| wanted(o, *issue)))
        .collect();
    let begun = Instant::now();
    let answers = answers(set, &set.observations, &want);
    let seconds = begun.elapsed().as_secs();
    println!(
        "\n{name}: {} dates, one year left out after another ({seconds} s)\n",
        set.observations.len()
    );
    println!(
        "| issued | RMSE | calendar | CRPS | calendar | in P10–P90 | width | too late | given away |"
    );
    println!("|---|---|---|---|---|---|---|---|---|");
    for (issue, part) in issues.iter().zip(answers.chunks(set.observations.len())) {
        let mut sum = Scores::default();
        for (answer, seen) in part.iter().zip(&set.observations) {
            if let Some(answer) = answer {
                sum.add(&Scored::new(answer, seen.date));
            }
        }
        println!(
            "| {} | {:.1} | {:.1} | {:.2} | {:.2} | {:.0} % | {:.0} d | {:.0} % | {:.1} d |",
            words(*issue),
            sum.rmse_days(),
            sum.calendar_rmse_days(),
            sum.crps_days(),
            sum.calendar_crps_days(),
            100.0 * sum.coverage(),
            sum.width_days(),
            100.0 * sum.too_late(),
            sum.given_away_days()
        );
    }
}

/// A number that hangs on series, year and round alone, as good as drawn (Knuth's multiplicative
/// hash over the bytes).
fn drawn(name: &SeriesName, year: i32, round: u32) -> u64 {
    let text = format!("{name:?}{year}{round}");
    let mixed = text.bytes().fold(0x9e37_79b9_7f4a_7c15_u64, |sum, byte| {
        (sum ^ u64::from(byte))
            .wrapping_mul(0x0100_0000_01b3)
            .rotate_left(17)
    });
    (mixed ^ (mixed >> 29)).wrapping_mul(0xbf58_476d_1ce4_e5b9)
}

fn by_series<'a>(of: &[&'a Observation]) -> BTreeMap<&'a SeriesName, Vec<&'a Observation>> {
    let mut out: BTreeMap<&SeriesName, Vec<&Observation>> = BTreeMap::new();
    for o in of {
        out.entry(&o.series).or_default().push(o);
    }
    out
}

/// Rows that train, and rows to answer with their places.
type Rows<'a> = (Vec<&'a Observation>, Vec<(usize, &'a Observation)>);

/// Answers `test` from `train`; baselines fitted per `key` of a series.
fn compare<'a, K: Ord>(
    set: &Set,
    simple: &Baselines,
    train: &[&'a Observation],
    test: &[&'a Observation],
    issue: Option<(u32, u32)>,
    key: impl Fn(&'a SeriesName) -> K,
) -> Vec<Outcome<'a>> {
    let owned: Vec<Observation> = train.iter().map(|o| (*o).clone()).collect();
    let want: Vec<Wanted> = test.iter().map(|o| wanted(o, issue)).collect();
    let mut groups: BTreeMap<K, Rows<'_>> = BTreeMap::new();
    for o in train {
        groups.entry(key(&o.series)).or_default().0.push(o);
    }
    for (i, o) in test.iter().enumerate() {
        groups.entry(key(&o.series)).or_default().1.push((i, o));
    }
    let mut errors: Vec<Vec<Option<f64>>> = vec![vec![None; 1 + BOTH.len()]; test.len()];
    for (seen, asked) in groups.values().filter(|(seen, _)| !seen.is_empty()) {
        let mean = seen.iter().map(|o| simple.day(o)).sum::<f64>() / seen.len() as f64;
        let rows: Vec<&Observation> = asked.iter().map(|(_, o)| *o).collect();
        let said: Vec<Vec<Option<f64>>> = BOTH
            .iter()
            .map(|which| simple.answers(*which, seen, &rows))
            .collect();
        for (place, (i, o)) in asked.iter().enumerate() {
            let day = simple.day(o);
            let all = std::iter::once(Some(mean)).chain(said.iter().map(|s| s[place]));
            errors[*i] = all.map(|said| said.map(|said| said - day)).collect();
        }
    }
    answers(set, &owned, &want)
        .iter()
        .zip(test)
        .zip(errors)
        .filter_map(|((answer, o), errors)| Some(Outcome::new(o, answer.as_ref()?, errors)))
        .collect()
}

/// Rounds of drawing years. Six, for where most years train few are left to be answered.
const ROUNDS: u32 = 6;

fn few_years<'a>(set: &'a Set, simple: &Baselines, years: usize) -> Vec<Outcome<'a>> {
    drawn_years(set, simple, None, |count| (count > years).then_some(years))
}

fn two_thirds<'a>(set: &'a Set, simple: &Baselines, issue: Option<(u32, u32)>) -> Vec<Outcome<'a>> {
    drawn_years(set, simple, issue, |count| {
        (count >= 9).then_some(count * 2 / 3)
    })
}

fn drawn_years<'a>(
    set: &'a Set,
    simple: &Baselines,
    issue: Option<(u32, u32)>,
    kept: impl Fn(usize) -> Option<usize>,
) -> Vec<Outcome<'a>> {
    let all: Vec<&Observation> = set.observations.iter().collect();
    let mut out = Vec::new();
    for round in 0..ROUNDS {
        let (mut train, mut test) = (Vec::new(), Vec::new());
        for (name, mut rows) in by_series(&all) {
            if let Some(kept) = kept(rows.len()) {
                rows.sort_by_key(|o| drawn(name, o.year, round));
                test.extend(rows.split_off(kept));
                train.extend(rows);
            }
        }
        out.extend(compare(set, simple, &train, &test, issue, |name| name));
    }
    out
}

/// Whole sites or cultivars left out, one part of them after another; baselines are fitted on the
/// other series of the species and stage (and of the site, where cultivars are left out).
fn left_out<'a>(
    set: &'a Set,
    simple: &Baselines,
    what: impl Fn(&SeriesName) -> &String,
    parts: usize,
    issue: Option<(u32, u32)>,
    trains: impl Fn(i32) -> bool,
    tests: impl Fn(i32) -> bool,
) -> Vec<Outcome<'a>> {
    let mut names: BTreeMap<&String, BTreeSet<&String>> = BTreeMap::new();
    let sites = set
        .observations
        .iter()
        .any(|o| o.series.cultivar.is_empty());
    let none = String::new();
    for o in &set.observations {
        let of = if sites { &none } else { &o.series.species };
        names.entry(of).or_default().insert(what(&o.series));
    }
    let mut outcomes = Vec::new();
    for part in 0..parts {
        let out: BTreeSet<(&String, &String)> = names
            .iter()
            .flat_map(|(of, all)| {
                let chosen = all.iter().skip(part).step_by(parts);
                chosen.map(move |name| (*of, *name))
            })
            .collect();
        let is_out = |o: &Observation| {
            let of = if sites { &none } else { &o.series.species };
            out.contains(&(of, what(&o.series)))
        };
        let rows = |keep: &dyn Fn(&Observation) -> bool| -> Vec<&'a Observation> {
            set.observations.iter().filter(|o| keep(o)).collect()
        };
        let train = rows(&|o| !is_out(o) && trains(o.year));
        let test = rows(&|o| is_out(o) && tests(o.year));
        outcomes.extend(compare(set, simple, &train, &test, issue, |name| {
            let site = if sites { "" } else { name.site.as_str() };
            (name.species.as_str(), name.stage.as_str(), site)
        }));
    }
    outcomes
}
