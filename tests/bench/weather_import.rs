//! How fast weather files are read, and how fast the sums of sixty years come.
//! Run with `cargo bench --bench weather_import`.
#![allow(missing_docs, clippy::unwrap_used)]

use std::fmt::Write as _;
use std::hint::black_box;

use barewood::domain::climate::daily::DailySeries;
use barewood::domain::climate::hours::HourlyShape;
use barewood::domain::phenology::chill::{ChillHours, DynamicModel, FastDynamicModel};
use barewood::domain::phenology::degree_days::{DegreeDays, Method};
use barewood::domain::phenology::heat::DegreeHours;
use barewood::domain::phenology::hourly_sum::per_day;
use barewood::store::weather::{ImportOptions, history, read_daily, read_hourly};
use chrono::{Days, NaiveDate, TimeDelta};
use criterion::{Criterion, Throughput, criterion_group, criterion_main};

fn day_of(i: u64) -> NaiveDate {
    NaiveDate::from_ymd_opt(1700, 1, 1).unwrap() + Days::new(i)
}

/// A made-up temperate climate: seasons and a wave of weather.
fn extremes(i: u64) -> (f64, f64) {
    let i = i as f64;
    let mean = 9.0 - 11.0 * (i * std::f64::consts::TAU / 365.25).cos() + 4.0 * (i / 3.7).sin();
    (
        (mean * 10.0).round() / 10.0 - 4.5,
        (mean * 10.0).round() / 10.0 + 5.5,
    )
}

fn daily_csv(days: u64) -> String {
    let mut text = String::from("date,tmin_c,tmax_c,prec_mm,wind_ms,rh_pct\n");
    for i in 0..days {
        let (low, high) = extremes(i);
        let _ = writeln!(text, "{},{low:.1},{high:.1},0.3,2.4,81.0", day_of(i));
    }
    text
}

fn station_csv(days: u64) -> String {
    let mut text = String::from(
        "\"STATION\",\"DATE\",\"LATITUDE\",\"LONGITUDE\",\"ELEVATION\",\"NAME\",\"PRCP\",\"PRCP_ATTRIBUTES\",\"TMAX\",\"TMAX_ATTRIBUTES\",\"TMIN\",\"TMIN_ATTRIBUTES\"\n",
    );
    for i in 0..days {
        let (low, high) = extremes(i);
        let _ = writeln!(
            text,
            "\"XX000000001\",\"{}\",\"43.1\",\"-77.5\",\"120.5\",\"A PLACE, NOWHERE\",\"    3\",\",,W\",\"{:5.0}\",\",,W\",\"{:5.0}\",\",,W\"",
            day_of(i),
            high * 10.0,
            low * 10.0
        );
    }
    text
}

fn hourly_csv(hours: i64) -> String {
    let mut text = String::from(
        "utc,local,temp_c,dewp_c,rh_pct,wind_ms,gust_ms,wind_dir_deg,precip_mm,pressure_hpa,visib_km\n",
    );
    let first = day_of(0).and_hms_opt(0, 0, 0).unwrap();
    for h in 0..hours {
        let time = (first + TimeDelta::hours(h)).format("%Y-%m-%dT%H:%MZ");
        let _ = writeln!(
            text,
            "{time},{time},3.9,-3.3,59.4,5.7,,260.0,0.0,1012.6,16.1"
        );
    }
    text
}

fn imports(c: &mut Criterion) {
    let options = ImportOptions::default();
    let mut group = c.benchmark_group("import");
    let days = 180_000;
    group.throughput(Throughput::Elements(days));
    let text = daily_csv(days);
    group.bench_function("daily CSV, six columns", |b| {
        b.iter(|| {
            read_daily(black_box(text.as_bytes()), "x", &options)
                .unwrap()
                .report
                .kept
        });
    });
    let text = station_csv(days);
    group.bench_function("station CSV", |b| {
        b.iter(|| {
            read_daily(black_box(text.as_bytes()), "x", &options)
                .unwrap()
                .report
                .kept
        });
    });
    let hours = 87_660;
    group.throughput(Throughput::Elements(hours as u64));
    let text = hourly_csv(hours);
    group.bench_function("hourly CSV, ten years", |b| {
        b.iter(|| {
            read_hourly(black_box(text.as_bytes()), "x", &options)
                .unwrap()
                .report
                .kept
        });
    });
    group.finish();
}

fn packed(c: &mut Criterion) {
    let text = daily_csv(21_915);
    let weather = read_daily(text.as_bytes(), "x", &ImportOptions::default())
        .unwrap()
        .data;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("home.days");
    std::fs::write(&path, history::encode(&weather)).unwrap();
    c.bench_function("packed history, sixty years from disk", |b| {
        b.iter(|| history::decode(&std::fs::read(black_box(&path)).unwrap()).unwrap());
    });
}

fn sums(c: &mut Criterion) {
    let mut daily = DailySeries::empty(day_of(90_000));
    daily
        .extend((0..21_915).map(extremes).map(|(a, b)| (a as f32, b as f32)))
        .unwrap();
    let mut group = c.benchmark_group("sixty years");
    group.bench_function("hourly shape of a latitude", |b| {
        b.iter(|| HourlyShape::new(black_box(43.0)));
    });
    let shape = HourlyShape::new(43.0);
    group.bench_function("hours", |b| {
        b.iter(|| shape.series(black_box(&daily)));
    });
    let hours = shape.series(&daily);
    group.bench_function("portions, exact", |b| {
        b.iter(|| per_day(&mut DynamicModel::new(), &hours));
    });
    group.bench_function("portions, tabled", |b| {
        b.iter(|| per_day(&mut FastDynamicModel::new(), &hours));
    });
    group.bench_function("Utah units", |b| {
        b.iter(|| per_day(&mut ChillHours::Utah, &hours));
    });
    group.bench_function("degree hours, curve", |b| {
        b.iter(|| per_day(&mut DegreeHours::Curve, &hours));
    });
    group.bench_function("degree hours, linear", |b| {
        b.iter(|| per_day(&mut DegreeHours::Linear, &hours));
    });
    let sine = DegreeDays::above(Method::SingleSine, 6.1).unwrap();
    group.bench_function("degree days, single sine", |b| {
        b.iter(|| sine.per_day(&daily));
    });
    group.finish();
}

criterion_group!(benches, imports, packed, sums);
criterion_main!(benches);
