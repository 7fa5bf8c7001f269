//! The grid of `domain::climate::area`: per point height (m), January (fifths of °C) and eleven
//! steps from month to month.

use std::collections::BTreeMap;
use std::fs;

/// Rows from 75° north to 60° south.
const ROWS: std::ops::Range<i32> = 0..55;

/// The packed grid.
pub fn pack(air: &str, heights: &str) -> Result<Vec<u8>, String> {
    let air = read(air)?;
    let heights = read(heights)?;
    let mut out = Vec::new();
    for row in ROWS {
        for column in 0..144 {
            let point = (750 - 25 * row, 25 * column);
            let missing = || format!("no value for {point:?} (tenths of a degree)");
            let months = air.get(&point).ok_or_else(missing)?;
            let height = heights.get(&point).ok_or_else(missing)?;
            if months.len() != 12 {
                return Err(format!("{} months for {point:?}", months.len()));
            }
            let fifths: Vec<i32> = months.iter().map(|c| (c * 5.0).round() as i32).collect();
            let height = height.first().copied().unwrap_or(0.0).round() as i16;
            out.extend(height.to_le_bytes());
            out.extend((fifths[0] as i16).to_le_bytes());
            for pair in fifths.windows(2) {
                let step = i8::try_from(pair[1] - pair[0])
                    .map_err(|_| format!("too large a step at {point:?}"))?;
                out.push(step as u8);
            }
        }
    }
    Ok(out)
}

/// Rows of numbers by latitude and longitude in tenths of a degree.
fn read(path: &str) -> Result<BTreeMap<(i32, i32), Vec<f64>>, String> {
    let text = fs::read_to_string(path).map_err(|e| format!("{path}: {e}"))?;
    text.lines()
        .skip(1)
        .map(|line| {
            let values: Result<Vec<f64>, _> = line.split(',').map(str::parse).collect();
            let values = values.map_err(|e| format!("{path}: {line}: {e}"))?;
            match values.split_first_chunk::<2>() {
                Some((&[lat, lon], rest)) => {
                    let tenths = |v: f64| (v * 10.0).round() as i32;
                    Ok(((tenths(lat), tenths(lon)), rest.to_vec()))
                }
                None => Err(format!("{path}: {line}: too short")),
            }
        })
        .collect()
}
