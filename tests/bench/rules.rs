//! How long the rules take over a large orchard: 50 blocks, 200 tasks.
#![allow(clippy::unwrap_used, missing_docs)]

#[path = "../rules/fixture.rs"]
mod fixture;

use barewood::domain::coverage;
use barewood::domain::mix;
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::{self, Facts};
use barewood::domain::season::{BlockId, Lane, Season, TargetId};
use chrono::TimeDelta;
use criterion::{Criterion, criterion_group, criterion_main};
use fixture::{block, day, estimates, material, seen, spray};
use std::hint::black_box;

/// Fifty blocks, twelve materials, two hundred sprays of two materials on
/// `wide` blocks each; half of them aim at something their materials miss.
fn large(wide: usize) -> Season {
    let mut s = fixture::season();
    let kinds = [
        Species::Peach,
        Species::Apple,
        Species::SweetCherry,
        Species::Pear,
    ];
    s.blocks = (0..50)
        .map(|i| block(&format!("block-{i}"), kinds[i % kinds.len()]))
        .collect();
    for b in &mut s.blocks {
        b.seen = vec![
            seen("scale", "2025-26", None),
            seen("brown-rot", "2025-26", None),
        ];
    }
    let actives = ["copper hydroxide", "horticultural oil", "kaolin", "urea"];
    s.materials = (0..12)
        .map(|i| {
            let mut m = material(&format!("material-{i}"), actives[i % actives.len()]);
            m.metallic_copper = Some(fixture::percent(30.0));
            m.label.crops = vec!["fruit trees".to_owned()];
            m.label.interval = Some(fixture::of("7 d"));
            m.label.max_uses = Some(200);
            m.label.max_copper_per_season = Some(fixture::of("900 lb/acre"));
            m.label.last_stage = Some(54);
            m.stock = Some(fixture::of("9999 lb"));
            m
        })
        .collect();
    s.tasks = (0..200_usize)
        .map(|i| {
            let mix = [
                format!("material-{}", i % 12),
                format!("material-{}", (i + 4) % 12),
            ];
            let mut t = spray(&format!("task-{i}"), "2026-11-25", &[], &[&mix[0], &mix[1]]);
            t.date = day("2026-11-25") + TimeDelta::days((i * 8 / 20) as i64);
            t.lane = Lane::ALL[i % 3];
            t.blocks = (0..wide)
                .map(|k| BlockId::from(format!("block-{}", (i * wide + k) % 50).as_str()))
                .collect();
            t.targets = vec![TargetId::from("scale")];
            t
        })
        .collect();
    s
}

fn bench(c: &mut Criterion) {
    for wide in [1, 4, 10] {
        let s = large(wide);
        let e = estimates(&s);
        let today = day("2026-11-25");
        let facts = Facts::new(&s, &e, today);
        let n = rules::check(&facts).len();
        c.bench_function(
            &format!("all rules, 50 blocks, 200 sprays on {wide} blocks, {n} warnings"),
            |b| b.iter(|| rules::check(&Facts::new(black_box(&s), &e, today)).len()),
        );
    }
    let mut bare = large(2);
    bare.tasks.clear();
    let e = estimates(&bare);
    let today = day("2026-11-25");
    c.bench_function("all rules, 50 blocks, nothing planned", |b| {
        b.iter(|| rules::check(&Facts::new(black_box(&bare), &e, today)).len());
    });
    let s = large(4);
    let e = estimates(&s);
    let today = day("2026-11-25");
    c.bench_function("coverage grid, 50 blocks, 200 sprays", |b| {
        b.iter(|| coverage::grid(black_box(&s), &e, today).rows.len());
    });
    c.bench_function("one mix sheet in it", |b| {
        b.iter(|| {
            mix::sheet(black_box(&s), &s.tasks[0], Some(&e), today)
                .products
                .len()
        });
    });
}

criterion_group!(benches, bench);
criterion_main!(benches);
