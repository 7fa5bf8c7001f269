//! The chance to finish, scored on winters left out, and how quickly forty are replayed.
//!
//! The winters are invented: spells of fit and unfit hours that hold on, early springs after dry
//! winters. Score: Brier, Monthly Weather Review 78, 1950 (mean square of chance less outcome).

use crate::made::Dice;
use barewood::domain::chance::{Winter, Work, WorkHours, chances, replay};
use chrono::{Days, NaiveDate};
use std::time::Instant;

const DAYS: usize = 70;

fn first() -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 1, 20).unwrap()
}

fn day(n: u64) -> NaiveDate {
    first().checked_add_days(Days::new(n)).unwrap()
}

/// A winter: dry ones have more fit hours, and their buds swell sooner.
fn winter(seed: u64, blocks: usize) -> Winter {
    let d = &mut Dice::new(seed);
    let dry = d.under(100);
    let mut is_fit = false;
    let fit = (0..DAYS * 24)
        .map(|h| {
            let turns = if is_fit { 25 } else { 4 + dry / 20 };
            if d.chance(turns) {
                is_fit = !is_fit;
            }
            is_fit && (9..17).contains(&(h % 24))
        })
        .collect();
    let spring = 45 - dry / 6 + d.under(12);
    Winter {
        year: 1980 + i32::try_from(seed % 100).unwrap(),
        first: first(),
        days: DAYS,
        swell: (0..blocks)
            .map(|b| Some(day(u64::from(spring) + b as u64 % 7)))
            .collect(),
        fit: vec![fit],
    }
}

/// Thirty blocks whose sprays take from half an hour to many hours and close one by one.
fn work(blocks: usize) -> Vec<Work> {
    (0..blocks)
        .map(|b| Work {
            minutes: vec![
                Some(40 + 35 * (b as u32 % 9)),
                Some(40 + 35 * (b as u32 % 9)),
            ],
            mix: 0,
            block: b,
            opens: day(3 + b as u64 % 5),
            last_safe: day(20 + b as u64 % 18),
            days_from_swell: -3 - (b as i64 % 11) * 2,
        })
        .collect()
}

#[test]
fn the_chance_told_beats_the_mere_frequency_on_winters_left_out() {
    let blocks = 30;
    let winters: Vec<Winter> = (0..40).map(|n| winter(500 + n, blocks)).collect();
    let work = work(blocks);
    let crews = [WorkHours::daily(8, 17), WorkHours::daily(8, 14)];
    let done: Vec<Vec<bool>> = winters
        .iter()
        .map(|w| replay(w, &work, &crews, first()))
        .collect();
    let (mut told, mut frequency, mut n) = (0.0, 0.0, 0.0);
    let mut bins = [(0.0, 0.0, 0.0); 5];
    for (out, came) in done.iter().enumerate() {
        let others: Vec<&Vec<bool>> = done
            .iter()
            .enumerate()
            .filter(|(i, _)| *i != out)
            .map(|(_, d)| d)
            .collect();
        let all: f64 = others.iter().flat_map(|d| d.iter()).filter(|d| **d).count() as f64
            / (others.len() * blocks) as f64;
        for (job, came) in came.iter().enumerate() {
            let chance = others.iter().filter(|d| d[job]).count() as f64 / others.len() as f64;
            let came = f64::from(u8::from(*came));
            told += (chance - came).powi(2);
            frequency += (all - came).powi(2);
            n += 1.0;
            let bin = &mut bins[((chance * 5.0) as usize).min(4)];
            bin.0 += chance;
            bin.1 += came;
            bin.2 += 1.0;
        }
    }
    println!(
        "Brier score on winters left out: {:.3}; of the frequency alone {:.3}",
        told / n,
        frequency / n
    );
    assert!(told < 0.95 * frequency, "{} {}", told / n, frequency / n);
    for (chance, came, n) in bins.iter().filter(|b| b.2 >= 60.0) {
        println!("told {:.2}, came {:.2} ({n} times)", chance / n, came / n);
        assert!(
            (chance - came).abs() / n < 0.12,
            "told {} came {}",
            chance / n,
            came / n
        );
    }
}

/// What `chances` says is what replaying winter after winter says.
#[test]
fn the_chance_is_the_share_of_winters_in_which_it_was_done() {
    let winters: Vec<Winter> = (0..12).map(|n| winter(900 + n, 8)).collect();
    let (work, crews) = (work(8), [WorkHours::daily(8, 17), WorkHours::daily(8, 14)]);
    let found = chances(&winters, &work, &crews, first());
    for (job, chance) in found.iter().enumerate() {
        let done = winters
            .iter()
            .filter(|w| replay(w, &work, &crews, first())[job])
            .count();
        assert_eq!((chance.done, chance.of), (done, winters.len()));
    }
}

/// The bound is for a build without optimisation on a busy machine; the figure that counts is
/// printed and measured on the release build.
#[test]
fn forty_winters_are_replayed_at_once() {
    let winters: Vec<Winter> = (0..40).map(|n| winter(700 + n, 30)).collect();
    let (work, crews) = (work(30), [WorkHours::daily(8, 17), WorkHours::daily(8, 14)]);
    let begun = Instant::now();
    for winter in &winters {
        assert_eq!(replay(winter, &work, &crews, first()).len(), 30);
    }
    let took = begun.elapsed();
    println!("forty winters with thirty blocks replayed in {took:?}");
    assert!(took.as_secs() < 20);
}
