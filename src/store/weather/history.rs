//! Years of daily weather in a compact form, kept next to the season.
//!
//! Layout, little-endian: magic (8 bytes), version (u16), columns present (u16, bit 0 rain, 1
//! wind, 2 humidity), first day (i32, days since 1 January of year 1, that day being 1), number
//! of days (u32), then each column as i16 (temperatures in hundredths of °C, the others in
//! tenths; −32768 = missing), then the CRC-32 of everything before. Values with up to two
//! (tenths: one) decimals come back exactly.

use chrono::{Datelike, NaiveDate};
use thiserror::Error;

use super::number::{FIRST_YEAR, LAST_YEAR};
use crate::domain::climate::daily::DailySeries;
use crate::domain::climate::daily_weather::{DailyColumn, DailyWeather};

/// First bytes: a name, and line ends that a text-mode copy would spoil.
pub(super) const MAGIC: [u8; 8] = *b"BWDAYS\r\n";
const VERSION: u16 = 1;
const HEAD_BYTES: usize = 20;
const MISSING: i16 = i16::MIN;
const TEMPERATURE_STEPS: f32 = 100.0;
const SIDE_STEPS: f32 = 10.0;

/// Why a packed history cannot be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum HistoryError {
    /// It does not begin as a packed history does.
    #[error("this is not a packed weather history")]
    NotHistory,
    /// It was written by a later program.
    #[error("this packed weather history has version {0}; this program knows version 1")]
    Newer(u16),
    /// Bytes are missing at the end, or there are too many.
    #[error("this packed weather history has {found} bytes where {expected} belong")]
    Length {
        /// Bytes the head announces.
        expected: u64,
        /// Bytes there are.
        found: u64,
    },
    /// The checksum does not match.
    #[error("this packed weather history is damaged: its checksum does not match")]
    Damaged,
    /// The checksum matches but the head makes no sense.
    #[error("this packed weather history holds no sensible dates or columns")]
    Nonsense,
}

fn pack(values: &[f32], steps: f32, out: &mut Vec<u8>) {
    for value in values {
        // A value too large for the form is as good as missing; none that was imported is.
        let step = (value * steps).round();
        let packed = if step.abs() < 32_767.5 {
            step as i16
        } else {
            MISSING
        };
        out.extend_from_slice(&packed.to_le_bytes());
    }
}

fn unpack(bytes: &[u8], steps: f32) -> Vec<f32> {
    let (pairs, _) = bytes.as_chunks::<2>();
    let value = |&pair: &[u8; 2]| match i16::from_le_bytes(pair) {
        MISSING => f32::NAN,
        packed => f32::from(packed) / steps,
    };
    pairs.iter().map(value).collect()
}

/// Packs daily weather.
pub fn encode(weather: &DailyWeather) -> Vec<u8> {
    let days = weather.temperatures();
    let present = |column: &DailyColumn| !weather.column(*column).is_empty();
    let side: Vec<DailyColumn> = DailyColumn::ALL.into_iter().filter(present).collect();
    let flags = DailyColumn::ALL
        .iter()
        .enumerate()
        .filter(|(_, c)| present(c))
        .map(|(bit, _)| 1_u16 << bit)
        .sum::<u16>();
    let mut out = Vec::with_capacity(HEAD_BYTES + days.len() * 2 * (2 + side.len()) + 4);
    out.extend_from_slice(&MAGIC);
    out.extend_from_slice(&VERSION.to_le_bytes());
    out.extend_from_slice(&flags.to_le_bytes());
    out.extend_from_slice(&days.first().num_days_from_ce().to_le_bytes());
    out.extend_from_slice(&(days.len() as u32).to_le_bytes());
    pack(days.tmin_c(), TEMPERATURE_STEPS, &mut out);
    pack(days.tmax_c(), TEMPERATURE_STEPS, &mut out);
    for column in side {
        pack(weather.column(column), SIDE_STEPS, &mut out);
    }
    let sum = crc32fast::hash(&out);
    out.extend_from_slice(&sum.to_le_bytes());
    out
}

/// Unpacks daily weather, refusing anything damaged.
pub fn decode(bytes: &[u8]) -> Result<DailyWeather, HistoryError> {
    let rest = bytes.strip_prefix(&MAGIC).ok_or(HistoryError::NotHistory)?;
    let Some((&[v0, v1, f0, f1, d0, d1, d2, d3, n0, n1, n2, n3], _)) =
        rest.split_first_chunk::<12>()
    else {
        return Err(HistoryError::Length {
            expected: HEAD_BYTES as u64,
            found: bytes.len() as u64,
        });
    };
    let version = u16::from_le_bytes([v0, v1]);
    if version != VERSION {
        return Err(HistoryError::Newer(version));
    }
    let flags = u16::from_le_bytes([f0, f1]);
    let count = u64::from(u32::from_le_bytes([n0, n1, n2, n3]));
    let columns = 2 + u64::from(flags.count_ones());
    let expected = HEAD_BYTES as u64 + count * 2 * columns + 4;
    let found = bytes.len() as u64;
    let Some((body, sum)) = bytes.split_last_chunk::<4>().filter(|_| expected == found) else {
        return Err(HistoryError::Length { expected, found });
    };
    if crc32fast::hash(body) != u32::from_le_bytes(*sum) {
        return Err(HistoryError::Damaged);
    }
    let first = NaiveDate::from_num_days_from_ce_opt(i32::from_le_bytes([d0, d1, d2, d3]))
        .filter(|first| (FIRST_YEAR..=LAST_YEAR).contains(&first.year()))
        .ok_or(HistoryError::Nonsense)?;
    if flags >> DailyColumn::ALL.len() != 0 {
        return Err(HistoryError::Nonsense);
    }
    let width = usize::try_from(count * 2).map_err(|_| HistoryError::Nonsense)?;
    let mut parts = body
        .get(HEAD_BYTES..)
        .unwrap_or_default()
        .chunks(width.max(1));
    let mut next = |steps: f32| unpack(parts.next().unwrap_or_default(), steps);
    let (low, high) = (next(TEMPERATURE_STEPS), next(TEMPERATURE_STEPS));
    let days = DailySeries::new(first, low, high).map_err(|_| HistoryError::Nonsense)?;
    let mut weather = DailyWeather::new(days);
    for (bit, column) in DailyColumn::ALL.into_iter().enumerate() {
        if flags >> bit & 1 == 1 {
            weather = weather.with(column, next(SIDE_STEPS));
        }
    }
    Ok(weather)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn sample() -> DailyWeather {
        let first = "1965-01-01".parse().unwrap();
        let low = vec![-2.5, f32::NAN, 0.1, -40.0];
        let days = DailySeries::new(first, low, vec![3.7, 9.9, f32::NAN, 45.6]).unwrap();
        DailyWeather::new(days).with(DailyColumn::WindMs, vec![2.3, f32::NAN, 0.0, 31.4])
    }

    #[test]
    fn anything_damaged_is_refused() {
        let good = encode(&sample());
        assert_eq!(decode(&good), Ok(sample()));
        for byte in 0..good.len() {
            let mut bad = good.clone();
            bad[byte] ^= 0x20;
            assert!(decode(&bad).is_err(), "byte {byte}");
            assert!(decode(good.get(..byte).unwrap()).is_err(), "cut at {byte}");
        }
        let longer = [good.as_slice(), b"x"].concat();
        assert!(matches!(decode(&longer), Err(HistoryError::Length { .. })));
        assert_eq!(decode(b"date,tmin_c"), Err(HistoryError::NotHistory));
        let mut newer = good;
        newer[8] = 2;
        assert_eq!(decode(&newer), Err(HistoryError::Newer(2)));
    }

    proptest! {
        #[test]
        fn tenths_come_back_exactly(
            start in 0..150_000_u64,
            days in prop::collection::vec((-900..=600_i16, -900..=600_i16, prop::option::of(0..=20_000_i16)), 0..200),
        ) {
            let first = NaiveDate::from_ymd_opt(1700, 1, 1).unwrap() + chrono::Days::new(start);
            let tenths = |t: i16| f32::from(t) / 10.0;
            let low = days.iter().map(|d| tenths(d.0)).collect();
            let high = days.iter().map(|d| tenths(d.1)).collect();
            let rain = days.iter().map(|d| d.2.map_or(f32::NAN, tenths)).collect();
            let weather = DailyWeather::new(DailySeries::new(first, low, high).unwrap())
                .with(DailyColumn::RainMm, rain);
            prop_assert_eq!(decode(&encode(&weather)).unwrap(), weather);
        }

        #[test]
        fn any_bytes_are_survived(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
            prop_assert!(decode(&[MAGIC.as_slice(), &bytes].concat()).is_err());
        }
    }
}
