//! Generated seasons: the rules and the second telling agree.

use super::fixture::*;
use super::slow;
use barewood::domain::outlook::{BlockEstimate, Estimates};
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::{self, Facts, Level, RULES};
use barewood::domain::season::*;
use chrono::TimeDelta;
use proptest::prelude::*;
use std::cell::RefCell;
use std::collections::BTreeMap;

/// Choices, drawn from the generator's tape.
struct Tape<'a> {
    left: std::slice::Iter<'a, u16>,
}

impl Tape<'_> {
    fn one(&mut self) -> usize {
        usize::from(*self.left.next().unwrap_or(&0))
    }

    fn of<T: Clone>(&mut self, choices: &[T]) -> T {
        choices[self.one() % choices.len()].clone()
    }

    /// True one time in `n`.
    fn rare(&mut self, n: usize) -> bool {
        self.one() % n == n - 1
    }

    fn some<T: Clone>(&mut self, choices: &[T]) -> Vec<T> {
        let n = self.one() % 3;
        (0..n).map(|_| self.of(choices)).collect()
    }

    fn day(&mut self) -> chrono::NaiveDate {
        // Half of the days crowd together, so that tasks meet.
        let span = if self.rare(2) { 8 } else { 130 };
        day("2026-11-18") + TimeDelta::days((self.one() % span) as i64)
    }

    fn parsed<T: std::str::FromStr>(&mut self, choices: &[&str]) -> Option<T>
    where
        T::Err: std::fmt::Debug,
    {
        match self.of(choices) {
            "" => None,
            text => Some(of(text)),
        }
    }
}

const ACTIVES: &[&str] = &[
    "copper hydroxide",
    "cuprous oxide",
    "fixed copper",
    "horticultural oil",
    "refined petroleum distillate",
    "mystery dust",
    "lime sulfur",
    "sulfur",
    "captan",
    "chlorothalonil",
    "urea",
    "bordeaux mixture",
    "citric acid",
    "kaolin",
];
const TARGETS: &[&str] = &[
    "leaf-curl",
    "scale",
    "apple-scab",
    "bacterial-canker",
    "brown-rot",
    "aphid-eggs",
];
const RATES: &[&str] = &[
    "4 lb/acre",
    "8 lb/acre",
    "5 lb/100 gal",
    "2 % v/v",
    "0.05 lb/tree",
    "6 oz/gal",
    "",
];

fn make_block(t: &mut Tape<'_>, id: &str) -> Block {
    let species = [
        Species::Peach,
        Species::Apple,
        Species::SweetCherry,
        Species::Apricot,
        Species::Walnut,
        Species::Other,
        Species::Grape,
    ];
    let mut b = block(id, t.of(&species));
    (b.height, b.spread, b.row_spacing) = (None, None, None);
    b.cultivar = t.rare(3).then(|| "black walnut".to_owned());
    b.trees = 1 + (t.one() % 200) as u32;
    b.area = t.parsed(&["1 acre", "0.5 ha", "2 acre", "30 a", ""]);
    b.measured_volume = t.parsed(&["100 gal", "300 L", "250 gal", ""]);
    b.organic = t.rare(3);
    b.leaf_drop_seen = t.rare(4).then(|| day("2026-11-25"));
    b.site = t
        .of(&[
            None,
            None,
            Some("drought since June"),
            Some("slopes to a creek"),
            Some("the neighbour's fence"),
        ])
        .map(str::to_owned);
    b.guard_days = t.rare(3).then(|| (t.one() % 12) as u32);
    let sightings = t.some(TARGETS);
    for target in sightings {
        let count = t.of(&[
            None,
            Some((0.0, 20.0)),
            Some((3.0, 20.0)),
            Some((4.0, 20.0)),
            Some((6.0, 40.0)),
            Some((0.0, 10.0)),
        ]);
        b.seen
            .push(seen(target, t.of(&["2025-26", "2026-27"]), count));
    }
    b
}

fn make_material(t: &mut Tape<'_>, id: &str) -> Material {
    let mut m = material(id, t.of(ACTIVES));
    m.formulation = t.of(&[Some(Formulation::Wp), Some(Formulation::Ec), None]);
    m.metallic_copper = t.of(&[Some(50.0), Some(50.0), None]).map(percent);
    m.density_kg_per_l = t.of(&[None, Some(1.2)]);
    m.stock = t.parsed(&["", "3 lb", "20 lb", "4 gal", "1 kg"]);
    let l = &mut m.label;
    l.read_on = t
        .of(&[Some("2026-11-01"), Some("2026-08-01"), None])
        .map(day);
    l.generic = t.rare(6);
    l.expires = t.of(&[None, None, Some("2026-12-31")]).map(day);
    l.crops = t.some(&[
        "peach".to_owned(),
        "apple".to_owned(),
        "stone fruit".to_owned(),
        "walnut".to_owned(),
    ]);
    l.rate = t.parsed(RATES);
    l.rate_min = t.parsed(&["", "2 lb/acre", "6 lb/acre", "1 % v/v"]);
    l.rate_max = t.parsed(&["", "8 lb/acre", "6 lb/100 gal", "2 % v/v"]);
    l.last_stage = t.of(&[None, Some(51), Some(54), Some(57)]);
    if t.rare(4) {
        l.last_stage_by_crop
            .insert("apple".to_owned(), t.of(&[51, 53, 56]));
    }
    l.first_stage = t.of(&[None, None, Some(95), Some(97), Some(52)]);
    l.interval = t.parsed(&["", "7 d", "21 d", "60 h"]);
    l.max_uses = t.of(&[None, Some(1), Some(2)]);
    l.max_per_season = t.parsed(&["", "10 lb/acre", "3 % v/v", "0.1 lb/tree"]);
    l.max_copper_per_use = t.parsed(&["", "3 lb/acre", "2 kg/ha"]);
    l.max_copper_per_season = t.parsed(&["", "6 lb/acre", "4.2 lb/acre"]);
    l.reentry = t.of(&[
        None,
        Some(Reentry::UntilDry),
        Some(Reentry::After(of("4 h"))),
        Some(Reentry::After(of("48 h"))),
        Some(Reentry::After(of("72 h"))),
    ]);
    l.never_with = t.some(&["oil".to_owned(), "captan".to_owned(), "sulfur".to_owned()]);
    let apart = t.some(&["oil", "captan", "sulfur"]);
    l.keep_apart = apart
        .into_iter()
        .map(|a| KeepApart {
            active: a.to_owned(),
            days: (t.one() % 45) as u32,
        })
        .collect();
    l.water_ph_min = t.of(&[None, None, Some(6.0)]);
    l.water_ph_max = t.of(&[None, None, Some(7.0)]);
    l.organic = t.of(&[
        Organic::Allowed,
        Organic::Restricted,
        Organic::Not,
        Organic::Unknown,
    ]);
    m
}

fn make_task(t: &mut Tape<'_>, id: &str, blocks: &[Block], materials: &[Material]) -> Task {
    let mut task = spray(id, "2027-01-01", &[], &[]);
    task.date = t.day();
    task.kind = t.of(&[
        TaskKind::Spray,
        TaskKind::Spray,
        TaskKind::Spray,
        TaskKind::Prune,
        TaskKind::Order,
    ]);
    task.lane = t.of(&Lane::ALL);
    task.hour = t.of(&[None, Some(8), Some(14)]);
    task.water_ph = t.of(&[None, None, Some(6.2), Some(7.5), Some(8.5)]);
    task.sprayer = t.of(&[Some("gun"), Some("old"), None]).map(SprayerId::from);
    for b in blocks {
        if t.rare(2) {
            task.blocks.push(b.id.clone());
        }
    }
    for m in materials {
        if t.rare(2) {
            let own: Option<barewood::domain::units::Rate> =
                if t.rare(3) { t.parsed(RATES) } else { None };
            task.mix.push(MixPart {
                material: m.id.clone(),
                rate: own,
            });
        }
    }
    for target in TARGETS {
        if t.rare(4) {
            task.targets.push(TargetId::from(*target));
        }
    }
    task.state = match t.one() % 6 {
        0 => TaskState::Done(task.date + TimeDelta::days((t.one() % 3) as i64)),
        1 => TaskState::Skipped(task.date),
        _ => TaskState::Planned,
    };
    if t.rare(4) {
        task.quiet.push(Quiet {
            rule: t
                .of(RULES.iter().map(|r| r.id).collect::<Vec<_>>().as_slice())
                .to_owned(),
            why: "generated".to_owned(),
            on: day(TODAY),
        });
    }
    task
}

fn make_records(t: &mut Tape<'_>, s: &Season) -> Vec<Record> {
    let n = t.one() % 4;
    (0..n)
        .map(|i| {
            let m = t.of(&s.materials);
            let b = t.of(&s.blocks);
            let mut r = record(
                &format!("r{i}"),
                "2026-11-01",
                &[b.id.as_str()],
                m.id.as_str(),
                &m.active,
            );
            r.date = day("2026-04-01") + TimeDelta::days((t.one() % 270) as i64);
            r.materials[0].copper_kg_per_ha = t.of(&[None, Some(1.0), Some(2.5)]);
            r.materials[0].total = t.parsed(&["", "", "3 lb", "1 gal"]);
            r.materials[0].rate = t.parsed(&["", "2 lb/acre", "1 % v/v"]);
            r.area = t.parsed(&["", "", "0.5 acre"]);
            r.volume = t.parsed(&["", "80 gal"]);
            r.trees = t.of(&[None, Some(40)]);
            if t.rare(2) {
                let done: Vec<TaskId> = s
                    .tasks
                    .iter()
                    .filter(|x| matches!(x.state, TaskState::Done(_)))
                    .map(|x| x.id.clone())
                    .collect();
                r.task = (!done.is_empty()).then(|| t.of(&done));
            }
            if i > 0 && t.rare(4) {
                r.corrects = Some(RecordId::from(format!("r{}", i - 1).as_str()));
            }
            r
        })
        .collect()
}

/// A season, its estimates and a day, made from a tape of choices.
pub fn make(tape: &[u16]) -> (Season, Estimates, chrono::NaiveDate) {
    let mut t = Tape { left: tape.iter() };
    let mut s = season();
    s.orchard.copper_regime = t.of(&[
        CopperRegime::Label,
        CopperRegime::UsTables,
        CopperRegime::EuSevenYears,
    ]);
    s.orchard.copper_past_kg_per_ha = (0..t.one() % 8).map(|_| t.of(&[4.0, 4.5, 5.0])).collect();
    s.orchard.time_zone = of(t.of(&[
        "America/Chicago",
        "America/Los_Angeles",
        "America/Los_Angeles",
        "Europe/London",
        "Europe/Berlin",
    ]));
    s.orchard.longitude = t.of(&[-93.0, -121.0]);
    s.orchard.latitude = t.of(&[45.0, 38.5]);
    s.orchard.guard_days = (t.one() % 10) as u32;
    s.orchard.tolerance = percent(t.of(&[5.0, 10.0, 20.0]));
    s.dates.leaf_drop_seen = t.rare(2).then(|| day("2026-11-20"));
    let (blocks, materials, tasks) = (1 + t.one() % 4, 1 + t.one() % 6, 1 + t.one() % 8);
    s.blocks = (0..blocks)
        .map(|i| make_block(&mut t, &format!("b{i}")))
        .collect();
    // Blocks have pasts of their own: some tell all years, some a few, some leave it to the orchard.
    let mut own = Tape { left: tape.iter() };
    for block in &mut s.blocks {
        if own.rare(2) {
            block.copper_past_kg_per_ha = (0..own.one() % 8)
                .map(|_| {
                    own.of(&[Some(0.0), Some(3.0), Some(5.5), Some(4.8), None])
                        .into()
                })
                .collect();
        }
    }
    s.materials = (0..materials)
        .map(|i| make_material(&mut t, &format!("m{i}")))
        .collect();
    s.sprayers.push(sprayer("old"));
    // Volumes come from the blocks alone here; calibrated output has tests of its own.
    for sprayer in &mut s.sprayers {
        sprayer.calibration[0].l_per_ha = None;
    }
    s.sprayers[1].calibration[0].date = day("2025-11-01");
    s.sprayers[1].calibration[0].worst_nozzle_percent = t.of(&[Some(12.0), Some(-10.0), None]);
    s.tasks = (0..tasks)
        .map(|i| make_task(&mut t, &format!("t{i}"), &s.blocks, &s.materials))
        .collect();
    // Work is often planned together: on one day, at one hour, with one sprayer.
    for i in 1..s.tasks.len() {
        if t.rare(4) {
            let before = s.tasks[i - 1].clone();
            let task = &mut s.tasks[i];
            (task.date, task.hour, task.sprayer) = (before.date, before.hour, before.sprayer);
        }
    }
    s.sprayers[0].refill_minutes = t.of(&[None, Some(10.0), Some(45.0), Some(1440.0)]);
    s.orchard.work_hours = t.of(&[None, Some([8, 16]), Some([20, 2])]);
    s.orchard.work_days = t
        .of(&[&[][..], &["Mon", "Tue", "Wed"][..]])
        .iter()
        .map(|d| (*d).to_owned())
        .collect();
    s.records = make_records(&mut t, &s);
    let mut e = Estimates::default();
    for b in &s.blocks {
        if t.rare(8) {
            continue;
        }
        let shift = TimeDelta::days((t.one() % 30) as i64);
        let first = day("2027-02-05") + shift;
        let text = |d: i64| (first + TimeDelta::days(d)).to_string();
        e.blocks.push(BlockEstimate {
            block: b.id.clone(),
            swell: even(&text(0), 20),
            burst: even(&text(14), 20),
            bloom: even(&text(28), 25),
            seen: None,
            few: Vec::new(),
        });
    }
    (s, e, t.day())
}

thread_local! {
    static SPOKEN: RefCell<BTreeMap<&'static str, usize>> = const { RefCell::new(BTreeMap::new()) };
}

#[test]
fn rules_and_second_telling_agree_on_generated_seasons() {
    const SEASONS: u32 = 400;
    let mut runner = proptest::test_runner::TestRunner::new(ProptestConfig {
        cases: SEASONS,
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(20_261_125),
        ..ProptestConfig::default()
    });
    let tape = proptest::collection::vec(any::<u16>(), 1000);
    runner
        .run(&tape, |tape| {
            let (s, e, today) = make(&tape);
            let facts = Facts::new(&s, &e, today);
            let found = rules::check(&facts);
            let mut fast: Vec<slow::Found> = found
                .iter()
                .map(|w| {
                    (
                        w.rule.to_owned(),
                        w.level,
                        w.task.as_ref().map(ToString::to_string),
                        w.block.as_ref().map(ToString::to_string),
                        w.material.as_ref().map(ToString::to_string),
                    )
                })
                .collect();
            fast.sort();
            SPOKEN.with(|s| {
                for w in &found {
                    *s.borrow_mut().entry(w.rule).or_default() += 1;
                }
            });
            let told = slow::tell(&s, &e, today);
            let only_fast: Vec<_> = left(&fast, &told);
            let only_slow: Vec<_> = left(&told, &fast);
            prop_assert!(
                only_fast.is_empty() && only_slow.is_empty(),
                "only the rules: {only_fast:#?}\nonly the second telling: {only_slow:#?}"
            );
            for w in &found {
                prop_assert!(
                    !w.message.is_empty() && !w.why.is_empty() || w.level == Level::Caution,
                    "{w:?}"
                );
            }
            Ok(())
        })
        .unwrap_or_else(|e| panic!("{e}"));
    let spoken = SPOKEN.with(|s| s.borrow().clone());
    for rule in RULES.iter().filter(|r| !NEED_HOURS.contains(&r.id)) {
        let n = spoken.get(rule.id).copied().unwrap_or(0);
        assert!(
            n >= 10,
            "'{}' spoke {n} times only in {SEASONS} seasons: {spoken:#?}",
            rule.id
        );
    }
}

/// The rules that need the hours of weather: they have their own cases beside them and in
/// the real years of `tests/hours`, and the generated seasons have no hours.
const NEED_HOURS: [&str; 8] = [
    // Needs a place in California; its cases are in `near.rs`.
    "advice-differs-here",
    "copper-before-frost",
    "temperature-out-of-range",
    "frost-before-or-after",
    "rain-before-dry",
    "wind-or-layered-air",
    "wet-or-frozen-trees",
    "washed-off",
];

/// What is in `a` and not in `b`, each as often as it is there too often.
fn left(a: &[slow::Found], b: &[slow::Found]) -> Vec<slow::Found> {
    let mut rest = b.to_vec();
    a.iter()
        .filter(|x| match rest.iter().position(|y| y == *x) {
            Some(i) => {
                rest.remove(i);
                false
            }
            None => true,
        })
        .cloned()
        .collect()
}
