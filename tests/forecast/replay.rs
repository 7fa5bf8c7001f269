//! Spoilt documents: cut, flipped, stretched and stirred samples never panic, never grow
//! without bound, and never give a value outside what is possible.

use barewood::store::forecast::read;
use proptest::prelude::*;

use super::formats::{GRIDPOINT, TIMESERIES};

/// Pieces that have broken readers before.
const PIECES: &[&str] = &[
    "null",
    "-1e308",
    "1e999",
    "\"\"",
    "{}",
    "[]",
    "NaN",
    "\\u0000",
    "/P99999D",
    "/PT-3H",
    "2026-02-30T00:00:00Z",
    "+00:00/PT0S",
    "9999-12-31T23:59:59+00:00/P31D",
    "-9999-01-01T00:00:00Z",
    "\"value\":",
    "wmoUnit:",
    "é",
    "\u{202E}",
];

#[derive(Debug, Clone)]
enum Spoil {
    Cut(usize),
    Flip(usize, u8),
    Insert(usize, usize),
    Repeat(usize, usize),
    Remove(usize, usize),
}

fn spoils() -> impl Strategy<Value = Vec<Spoil>> {
    let place = 0usize..8192;
    prop::collection::vec(
        prop_oneof![
            1 => place.clone().prop_map(Spoil::Cut),
            4 => (place.clone(), any::<u8>()).prop_map(|(p, b)| Spoil::Flip(p, b)),
            4 => (place.clone(), 0..PIECES.len()).prop_map(|(p, i)| Spoil::Insert(p, i)),
            2 => (place.clone(), 1usize..400).prop_map(|(p, n)| Spoil::Repeat(p, n)),
            2 => (place, 1usize..40).prop_map(|(p, n)| Spoil::Remove(p, n)),
        ],
        1..6,
    )
}

fn spoil(sample: &str, spoils: &[Spoil]) -> Vec<u8> {
    let mut bytes = sample.as_bytes().to_vec();
    for s in spoils {
        let at = |p: usize, len: usize| if len == 0 { 0 } else { p % len };
        let len = bytes.len();
        match *s {
            Spoil::Cut(p) => bytes.truncate(at(p, len)),
            Spoil::Flip(p, b) => {
                if let Some(byte) = bytes.get_mut(at(p, len)) {
                    *byte = b;
                }
            }
            Spoil::Insert(p, i) => {
                let p = at(p, len);
                bytes.splice(p..p, PIECES[i].bytes());
            }
            Spoil::Repeat(p, n) => {
                let p = at(p, len);
                let piece = bytes[p..(p + n).min(len)].to_vec();
                bytes.splice(p..p, piece);
            }
            Spoil::Remove(p, n) => {
                let p = at(p, len);
                bytes.drain(p..(p + n).min(len));
            }
        }
    }
    bytes
}

/// Only the numbers are changed: the document stays whole, so the importers' own checks are met.
fn with_number(sample: &str, nth: usize, number: &str) -> String {
    let spots: Vec<usize> = sample
        .match_indices("\"value\": ")
        .map(|(i, m)| i + m.len())
        .collect();
    if spots.is_empty() {
        return sample.to_owned();
    }
    let start = spots[nth % spots.len()];
    let end = start + sample[start..].find(['}', ',']).unwrap();
    format!("{}{number}{}", &sample[..start], &sample[end..])
}

fn check(document: &[u8]) -> Result<(), TestCaseError> {
    let Ok(forecast) = read(document) else {
        return Ok(());
    };
    prop_assert!(
        forecast.series.len() <= 80 * 24,
        "{} hours",
        forecast.series.len()
    );
    for hour in forecast.series.hours() {
        let within =
            |v: Option<f64>, low: f64, high: f64| v.is_none_or(|v| (low..=high).contains(&v));
        prop_assert!(within(hour.temp_c, -90.0, 60.0) && within(hour.rh_pct, 0.0, 100.0));
        prop_assert!(within(hour.rain_mm, 0.0, 500.0) && within(hour.wind_ms, 0.0, 120.0));
    }
    prop_assert!(
        forecast
            .skipped
            .iter()
            .all(|s| !s.chars().any(char::is_control))
    );
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]
    #[test]
    fn spoilt_documents_do_no_harm(which in any::<bool>(), spoils in spoils()) {
        check(&spoil(if which { GRIDPOINT } else { TIMESERIES }, &spoils))?;
    }

    #[test]
    fn any_number_in_any_place_does_no_harm(nth in 0usize..64, number in prop_oneof![
        any::<f64>().prop_filter("JSON has no such number", |f| f.is_finite()).prop_map(|f| format!("{f:e}")),
        any::<i64>().prop_map(|i| i.to_string()),
        Just("null".to_owned()), Just("true".to_owned()), Just("[4]".to_owned()),
    ]) {
        check(with_number(GRIDPOINT, nth, &number).as_bytes())?;
    }
}
