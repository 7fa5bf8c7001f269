//! How fast hours are judged: sixteen days, fifty tasks; and the air and the windows beside it.
//! Run with `cargo bench --bench hours`.
#![allow(missing_docs, clippy::unwrap_used)]

use std::hint::black_box;

use barewood::domain::climate::hourly_series::{Hour, HourlySeries, Provenance};
use barewood::domain::hours::air::{Air, Settings, Site};
use barewood::domain::hours::job::Job;
use barewood::domain::hours::limits::Limits;
use barewood::domain::hours::verdict::Grid;
use barewood::domain::hours::windows;
use barewood::domain::season::Season;
use barewood::store::season_file;
use criterion::{Criterion, criterion_group, criterion_main};

/// A made-up fortnight of fronts and bright spells.
fn hours(n: usize) -> Vec<Hour> {
    (0..n)
        .map(|i| {
            let t = i as f64;
            let front = (t / 60.0).sin();
            Hour {
                temp_c: Some(7.0 + 5.0 * (t * std::f64::consts::TAU / 24.0).sin() + 3.0 * front),
                rh_pct: Some(75.0 - 15.0 * (t * std::f64::consts::TAU / 24.0).sin()),
                wind_ms: Some(2.5 + 2.0 * (t / 17.0).sin()),
                gust_ms: Some(4.0 + 3.0 * (t / 17.0).sin()),
                rain_mm: Some(if front > 0.9 { 0.7 } else { 0.0 }),
                rain_chance_pct: Some(if front > 0.7 { 60.0 } else { 10.0 }),
                cloud_pct: Some(50.0 + 50.0 * front),
                provenance: Provenance::Forecast,
                ..Hour::default()
            }
        })
        .collect()
}

fn season(tasks: usize) -> Season {
    use std::fmt::Write;
    let mut text = String::from(
        "format = 1\nseason = \"2026\"\n[orchard]\nname = \"Trial\"\nlatitude = 47.45\nlongitude = -122.31\n\
         time_zone = \"America/Los_Angeles\"\ntolerance = \"10 %\"\nguard_days = 3\nwork_hours = [8, 18]\n\
         [dates]\nleaf_drop_expected = 2025-11-15\n[[block]]\nid = \"peach\"\nname = \"Peach\"\nspecies = \"peach\"\ntrees = 9\n\
         [[material]]\nid = \"copper\"\nname = \"Copper\"\nactive = \"fixed copper\"\n\
         [[material]]\nid = \"oil\"\nname = \"Oil\"\nactive = \"horticultural oil\"\n",
    );
    for i in 0..tasks {
        let _ = write!(
            text,
            "[[task]]\nid = \"t{i}\"\ntitle = \"Task {i}\"\nlane = \"before-swell\"\nkind = \"spray\"\ndate = 2026-02-10\n\
             mix = [{{ material = \"copper\" }}, {{ material = \"oil\" }}]\n"
        );
    }
    season_file::read(&text, "trial.toml").unwrap().season
}

fn bench(c: &mut Criterion) {
    let first = "2026-02-09T08:00:00Z".parse().unwrap();
    let season = season(50);
    let site = Site::of(&season.orchard);
    let series = HourlySeries::new(first, hours(16 * 24));
    c.bench_function("air, 16 days", |b| {
        b.iter(|| Air::new(black_box(series.clone()), site, Settings::default()));
    });
    let air = Air::new(series, site, Settings::default());
    c.bench_function("verdicts, 16 days x 24 h x 50 tasks", |b| {
        b.iter(|| {
            season
                .tasks
                .iter()
                .map(|t| {
                    Grid::new(&air, Limits::of(&season, t), 0..air.len())
                        .hours()
                        .len()
                })
                .sum::<usize>()
        });
    });
    c.bench_function("verdicts and windows, 16 days x 24 h x 50 tasks", |b| {
        b.iter(|| {
            season
                .tasks
                .iter()
                .map(|t| {
                    let grid = Grid::new(&air, Limits::of(&season, t), 0..air.len());
                    windows::find(&grid, &air, &Job::of(&season, t)).len()
                })
                .sum::<usize>()
        });
    });
}

criterion_group!(benches, bench);
criterion_main!(benches);
