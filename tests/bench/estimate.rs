//! What an estimate costs: many blocks on one place's weather, by blocks and by years of history,
//! the calibration of one series, and laying out a season.
#![allow(missing_docs, clippy::unwrap_used)]

use barewood::domain::climate::daily::DailySeries;
use barewood::domain::phenology::climatology::Climatology;
use barewood::domain::phenology::estimate::{ModelChoice, Question, StageSeen, estimates_on};
use barewood::domain::phenology::species::Species;
use barewood::domain::phenology::stage::Stage;
use chrono::{Datelike, NaiveDate};
use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};

/// Invented weather: a cosine year with wobbles.
fn weather(years: i32) -> DailySeries {
    let first = NaiveDate::from_ymd_opt(2024 - years - 1, 9, 1).unwrap();
    let mut series = DailySeries::empty(first);
    let last = NaiveDate::from_ymd_opt(2024, 2, 1).unwrap();
    for (i, date) in first.iter_days().take_while(|d| *d <= last).enumerate() {
        let angle = (f64::from(date.ordinal()) - 20.0) / 365.25 * std::f64::consts::TAU;
        let wobble = 3.0 * (i as f64 / 9.0).sin() + 2.0 * (i as f64 / 171.0).sin();
        let mean = 10.0 - 9.0 * angle.cos() + wobble;
        series
            .push((mean - 5.0) as f32, (mean + 5.0) as f32)
            .unwrap();
    }
    series
}

fn question<'a>(
    observed: &'a DailySeries,
    species: Species,
    seen: &'a [StageSeen],
) -> Question<'a> {
    Question {
        species,
        cultivar: None,
        stage: Stage::Swell,
        latitude_deg: 48.0,
        leaf_drop: NaiveDate::from_ymd_opt(2023, 11, 15).unwrap(),
        today: NaiveDate::from_ymd_opt(2024, 2, 1).unwrap(),
        observed,
        forecast: None,
        normals: None,
        degree_day_readings: &[],
        bud_readings: &[],
        seen,
        model: ModelChoice::Auto,
    }
}

fn seen(years: i32) -> Vec<StageSeen> {
    (2024 - years..2024)
        .map(|year| StageSeen {
            stage: Stage::FirstBloom,
            date: NaiveDate::from_ymd_opt(year, 4, 15 + (year % 9) as u32).unwrap(),
        })
        .collect()
}

fn blocks(c: &mut Criterion) {
    let mut group = c.benchmark_group("estimate: season laid out and blocks answered");
    for (count, years) in [(25, 60), (50, 60), (100, 15), (100, 30), (100, 60)] {
        let observed = weather(years);
        let climatology = Climatology::prepare(48.0, &observed);
        group.bench_function(
            BenchmarkId::new(format!("{count} blocks"), format!("{years} years")),
            |b| {
                b.iter(|| {
                    let questions: Vec<Question<'_>> = (0..count)
                        .map(|i| question(&observed, Species::ALL[i % Species::ALL.len()], &[]))
                        .collect();
                    std::hint::black_box(estimates_on(&climatology, &questions));
                });
            },
        );
    }
    group.finish();
}

fn calibration(c: &mut Criterion) {
    let observed = weather(60);
    let climatology = Climatology::prepare(48.0, &observed);
    let dates = seen(25);
    let asked = question(&observed, Species::Apple, &dates);
    c.bench_function("estimate: one block calibrated on 25 years, alone", |b| {
        b.iter(|| std::hint::black_box(estimates_on(&climatology, &[asked])));
    });
    c.bench_function("estimate: 60 years of weather worked out", |b| {
        b.iter(|| std::hint::black_box(Climatology::prepare(48.0, &observed)));
    });
}

criterion_group!(benches, blocks, calibration);
criterion_main!(benches);
