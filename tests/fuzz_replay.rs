//! Replays the fuzz corpus and thousands of its mutations: the fuzz targets' laws on every run of
//! the tests, without the fuzzer.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

#[path = "fuzz/bodies.rs"]
mod bodies;

use std::path::Path;

use barewood::store::weather::{ImportOptions, history, read_daily};

/// Pieces that break parsers: signs, borders, controls, half characters.
const PIECES: [&[u8]; 20] = [
    b",",
    b"\"",
    b"\n",
    b"\r\n",
    b";",
    b"\t",
    b"#",
    b"-",
    b"-9999",
    b"NaN",
    b"1e308",
    b"2024-02-30",
    b"9999-12-31",
    b"0000-00-00",
    b"\x1b[31m",
    b"\x00",
    b"\xff\xfe",
    b"\xe2\x80\xae",
    b"99999999999999999999",
    b"tmin_f",
];

/// A small generator with a fixed seed, so that a failure repeats.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % below.max(1) as u64) as usize
    }
}

fn mutate(seed: &[u8], dice: &mut Dice) -> Vec<u8> {
    let mut bytes = seed.to_vec();
    for _ in 0..=dice.roll(4) {
        let at = dice.roll(bytes.len() + 1);
        let until = (at + dice.roll(12)).min(bytes.len());
        match dice.roll(5) {
            0 => bytes.truncate(at),
            1 => drop(bytes.drain(at..until)),
            2 => drop(bytes.splice(at..until, PIECES[dice.roll(PIECES.len())].iter().copied())),
            3 => {
                let copy = bytes[at..until].to_vec();
                let to = dice.roll(bytes.len() + 1);
                drop(bytes.splice(to..to, copy));
            }
            _ => {
                if let Some(byte) = bytes.get_mut(at) {
                    *byte = dice.roll(256) as u8;
                }
            }
        }
    }
    bytes
}

fn corpus(name: &str) -> Vec<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/fuzz/corpus")
        .join(name);
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    assert!(!paths.is_empty(), "{name}: an empty corpus proves nothing");
    paths
        .iter()
        .map(|path| std::fs::read(path).unwrap())
        .collect()
}

/// The samples of every kind of weather file.
fn samples() -> Vec<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/weather");
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    paths.iter().map(|p| std::fs::read(p).unwrap()).collect()
}

fn replay(seeds: &[Vec<u8>], law: fn(&[u8])) {
    replay_times(seeds, 1500, law);
}

fn replay_times(seeds: &[Vec<u8>], times: usize, law: fn(&[u8])) {
    let mut dice = Dice(0x2545_F491_4F6C_DD1D);
    for seed in seeds {
        law(seed);
        for _ in 0..times {
            law(&mutate(seed, &mut dice));
        }
    }
}

#[test]
fn daily_files() {
    replay(&corpus("daily"), bodies::daily);
}

#[test]
fn hourly_files() {
    replay(&corpus("hourly"), bodies::hourly);
}

#[test]
fn forecasts() {
    replay(&corpus("forecast"), bodies::forecast);
}

#[test]
fn tables() {
    let mut seeds = corpus("table");
    seeds.extend(samples().into_iter().filter(|s| s.len() < 3000));
    replay_times(&seeds, 60, bodies::table);
}

#[test]
fn answers_of_the_archive() {
    replay_times(&corpus("archive"), 300, bodies::archive);
}

#[test]
fn season_files() {
    replay(&corpus("season"), bodies::season);
    let sample = include_bytes!("../sample-season.toml").to_vec();
    replay_times(&[sample], 150, bodies::season);
}

#[test]
fn quantities() {
    replay(&corpus("units"), bodies::units);
}

#[test]
fn days() {
    replay(&corpus("dates"), bodies::dates);
}

#[test]
fn settings() {
    replay(&corpus("settings"), bodies::settings);
}

#[test]
fn arguments() {
    // Each run works the practice season out: few, but whole.
    replay_times(&corpus("arguments"), 25, bodies::arguments);
}

/// Packed histories with a checksum made right again, so that the checks behind it are reached.
#[test]
fn packed_histories_with_a_valid_checksum() {
    let plain = b"date,tmin_c,tmax_c,rain_mm\n2024-01-01,1,5,0\n2024-01-02,2,6,1\n";
    let weather = read_daily(plain.as_slice(), "x", &ImportOptions::default())
        .unwrap()
        .data;
    let packed = history::encode(&weather);
    let body = &packed[..packed.len() - 4];
    let mut dice = Dice(88_172_645_463_325_252);
    for _ in 0..5000 {
        let mut bytes = mutate(body, &mut dice);
        let sum = crc32fast::hash(&bytes);
        bytes.extend_from_slice(&sum.to_le_bytes());
        if let Ok(found) = history::decode(&bytes) {
            assert!(found.temperatures().len() < 100);
        }
        bodies::daily(&bytes);
    }
}
