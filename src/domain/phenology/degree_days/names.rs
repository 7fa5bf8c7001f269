//! Names of methods and cut-offs, as written on a command line or in a file.

use super::{Cutoff, Method};
use std::str::FromStr;

const METHODS: [(&str, Method); 8] = [
    ("simple-average", Method::SimpleAverage),
    ("clamped-average", Method::ClampedAverage),
    ("unfloored-average", Method::UnflooredAverage),
    ("single-triangle", Method::SingleTriangle),
    ("double-triangle", Method::DoubleTriangle),
    ("single-sine", Method::SingleSine),
    ("double-sine", Method::DoubleSine),
    ("four-case", Method::FourCase),
];

const CUTOFFS: [(&str, Cutoff); 4] = [
    ("none", Cutoff::None),
    ("horizontal", Cutoff::Horizontal),
    ("intermediate", Cutoff::Intermediate),
    ("vertical", Cutoff::Vertical),
];

fn find<T: Copy>(known: &[(&str, T)], text: &str) -> Result<T, String> {
    let wanted = text.trim().to_lowercase().replace([' ', '_'], "-");
    known
        .iter()
        .find(|(name, _)| *name == wanted)
        .map(|(_, value)| *value)
        .ok_or_else(|| {
            let names: Vec<&str> = known.iter().map(|(name, _)| *name).collect();
            let shown: String = text
                .chars()
                .filter(|c| !crate::domain::harmless::steers(*c))
                .take(40)
                .collect();
            format!("'{shown}' is not known; write one of: {}", names.join(", "))
        })
}

impl FromStr for Method {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        find(&METHODS, text)
    }
}

impl FromStr for Cutoff {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        find(&CUTOFFS, text)
    }
}
