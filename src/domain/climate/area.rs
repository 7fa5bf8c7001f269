//! The area's normal weather: what the air of a place usually is, for places without a record.
//!
//! Monthly means 1981–2010 on a grid of 2.5°: NCEP-NCAR Reanalysis 1 (Kalnay et al. 1996, Bull.
//! Amer. Meteor. Soc. 77:437–471), long term means provided by the NOAA Physical Sciences
//! Laboratory, a work of the US Government. Beside each point stands the mean height of the land
//! around it, from open elevation data. `tests/bench/place_tables` packs both.
//!
//! Between four points the means are taken in proportion, then moved to the place's height and to
//! the climate of its year. Held against 27 stations of Europe, North Africa, Korea, Japan and
//! China (`tests/climate.rs`) winters miss by 1.25 °C (root mean square; on the warm side by 0.9).

use super::normals::{MonthlyNormals, NormalsFrom, Spread};

/// A point: height (m), January (fifths of °C), eleven steps from month to month.
const POINT_BYTES: usize = 15;
/// The grid: rows from 75° north to 60° south, columns from 0° to the east.
const NORTHERNMOST_DEG: f64 = 75.0;
const ROWS: usize = 55;
const COLUMNS: usize = 144;
const STEP_DEG: f64 = 2.5;
/// Steps of a degree that a value is kept in.
const PER_C: f64 = 5.0;

static POINTS: &[u8] = include_bytes!("area.bin");

/// Fall of temperature with height, °C a metre (the standard atmosphere, ISO 2533).
const FALL_PER_M_C: f64 = 0.0065;
/// Middle of the years the means stand for.
const MIDDLE_YEAR: f64 = 1995.5;
/// Land has warmed by this much a year, °C (rounded down from 0.36 °C a decade, the median of the
/// 27 stations named above, winters 1973–2024).
const WARMING_PER_YEAR_C: f64 = 0.03;
/// Last year that the warming is carried to: nobody has measured further.
const WARMED_UNTIL: i32 = 2035;

/// What one cell of air over a place stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Cell {
    height_m: f64,
    mean_c: [f64; 12],
}

impl Cell {
    fn point(row: usize, column: usize) -> Self {
        let at = (row * COLUMNS + column % COLUMNS) * POINT_BYTES;
        let bytes: &[u8] = POINTS
            .get(at..at + POINT_BYTES)
            .unwrap_or(&[0; POINT_BYTES]);
        let word = |i: usize| match bytes.get(i..i + 2) {
            Some(&[low, high]) => i16::from_le_bytes([low, high]),
            _ => 0,
        };
        let mut value = f64::from(word(2));
        let mut steps = bytes.iter().skip(4);
        let mean_c = std::array::from_fn(|month| {
            if month > 0 {
                value += steps.next().map_or(0.0, |&step| f64::from(step as i8));
            }
            value / PER_C
        });
        Self {
            height_m: f64::from(word(0)),
            mean_c,
        }
    }

    /// In proportion between the four points around a place.
    fn at(latitude_deg: f64, longitude_deg: f64) -> Self {
        let down = ((NORTHERNMOST_DEG - latitude_deg) / STEP_DEG).clamp(0.0, (ROWS - 1) as f64);
        let right = longitude_deg.rem_euclid(360.0) / STEP_DEG;
        let (row, column) = (down.floor().min((ROWS - 2) as f64), right.floor());
        let (south, east) = (down - row, right - column);
        let (row, column) = (row as usize, column as usize);
        let corners = [
            (Self::point(row, column), (1.0 - south) * (1.0 - east)),
            (Self::point(row, column + 1), (1.0 - south) * east),
            (Self::point(row + 1, column), south * (1.0 - east)),
            (Self::point(row + 1, column + 1), south * east),
        ];
        Self::mean_of(&corners)
    }

    /// All around the globe at a latitude.
    fn ring(latitude_deg: f64) -> Self {
        let all: Vec<(Self, f64)> = (0..COLUMNS)
            .map(|i| {
                let longitude_deg = i as f64 * STEP_DEG;
                (Self::at(latitude_deg, longitude_deg), 1.0 / COLUMNS as f64)
            })
            .collect();
        Self::mean_of(&all)
    }

    fn mean_of(cells: &[(Self, f64)]) -> Self {
        let sum = |of: &dyn Fn(&Self) -> f64| cells.iter().map(|(c, w)| w * of(c)).sum();
        Self {
            height_m: sum(&|c| c.height_m),
            mean_c: std::array::from_fn(|m| sum(&|c| c.mean_c.get(m).copied().unwrap_or(0.0))),
        }
    }

    /// Difference of the warmest and the coldest month, °C: how continental the place is.
    fn swing_c(&self) -> f64 {
        let most = self.mean_c.iter().copied().fold(f64::MIN, f64::max);
        let least = self.mean_c.iter().copied().fold(f64::MAX, f64::min);
        most - least
    }
}

/// Mean daily range in winter, °C, from latitude and yearly swing: least squares on the 27
/// stations, each region counting as one to three (they leave 1.4 °C).
fn winter_range_c(latitude_deg: f64, swing_c: f64) -> f64 {
    (18.84 - 0.263 * latitude_deg.abs() + 0.051 * swing_c).clamp(5.0, 14.0)
}

/// Daily range of the months as a share of the winter's (means of the same stations; January
/// first, northern): skies clear in spring.
const RANGE_SHARE: [f64; 12] = [
    0.94, 1.00, 1.10, 1.22, 1.20, 1.10, 1.00, 1.00, 1.03, 1.08, 1.01, 0.94,
];

/// How far a day, a whole winter and the means themselves may lie from what is said, by latitude
/// and yearly swing (the same stations; days 2.4 to 4.5 °C, winters 0.6 to 1.3 °C).
fn spread(latitude_deg: f64, swing_c: f64) -> Spread {
    let north_of_34 = latitude_deg.abs() - 34.0;
    Spread {
        level_sd_c: LEVEL_SD_C,
        season_sd_c: (0.55 + 0.025 * north_of_34).clamp(0.5, 1.3),
        day_sd_c: (2.6 + 0.1 * north_of_34 + 0.08 * (swing_c - 16.0)).clamp(2.2, 5.5),
    }
}

/// How far the means lie from those of a place in flat country, °C.
const LEVEL_SD_C: f64 = 1.1;
/// The same for each kilometre that a place lies above or below what its cell stands for.
const LEVEL_SD_PER_KM_C: f64 = 1.8;
/// The same where the height of the place is not known.
const HEIGHT_UNKNOWN_SD_C: f64 = 1.2;
/// The same where nothing but the latitude is known.
const LATITUDE_SD_C: f64 = 3.5;

/// A place on the earth, as far as its weather hangs on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Degrees north, south negative.
    pub latitude_deg: f64,
    /// Degrees east, west negative; without it the whole ring of the latitude is meant.
    pub longitude_deg: Option<f64>,
    /// Height above the sea.
    pub elevation_m: Option<f64>,
}

impl Spot {
    /// The area's normals in the climate of a year.
    pub fn normals(&self, year: i32) -> MonthlyNormals {
        let finite = |v: f64, or: f64| if v.is_finite() { v } else { or };
        let latitude_deg = finite(self.latitude_deg, 45.0).clamp(-90.0, 90.0);
        let longitude_deg = self.longitude_deg.filter(|v| v.is_finite());
        let cell = longitude_deg.map_or_else(
            || Cell::ring(latitude_deg),
            |longitude_deg| Cell::at(latitude_deg, longitude_deg),
        );
        let elevation_m = self.elevation_m.filter(|v| v.is_finite());
        let above_m = elevation_m.map_or(0.0, |m| m.clamp(-500.0, 6000.0) - cell.height_m);
        let warmed = WARMING_PER_YEAR_C * (f64::from(year.min(WARMED_UNTIL)) - MIDDLE_YEAR);
        let moved_c = warmed.max(-1.5) - FALL_PER_M_C * above_m;
        let swing_c = cell.swing_c();
        let half_range = winter_range_c(latitude_deg, swing_c) / 2.0;
        let half = |month: usize| {
            let northern = if latitude_deg < 0.0 { month + 6 } else { month };
            half_range * RANGE_SHARE.get(northern % 12).copied().unwrap_or(1.0)
        };
        let mean = |month: usize| cell.mean_c.get(month).copied().unwrap_or(0.0) + moved_c;
        let mut spread = spread(latitude_deg, swing_c);
        spread.level_sd_c = match (longitude_deg, elevation_m) {
            (None, _) => LATITUDE_SD_C,
            (_, None) => LEVEL_SD_C.hypot(HEIGHT_UNKNOWN_SD_C),
            _ => LEVEL_SD_C.hypot(LEVEL_SD_PER_KM_C * above_m / 1000.0),
        };
        MonthlyNormals {
            tmin_c: std::array::from_fn(|m| mean(m) - half(m)),
            tmax_c: std::array::from_fn(|m| mean(m) + half(m)),
            spread,
            from: NormalsFrom::Area,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    fn spot(latitude_deg: f64, longitude_deg: f64, elevation_m: Option<f64>) -> Spot {
        Spot {
            latitude_deg,
            longitude_deg: Some(longitude_deg),
            elevation_m,
        }
    }

    #[test]
    fn points_of_the_grid_come_back_and_halfway_is_the_middle() {
        assert_eq!(POINTS.len(), ROWS * COLUMNS * POINT_BYTES);
        // Two points of the published table, °C: 50 N 5 E and 35 S 295 E, January and July.
        for (latitude, longitude, january, july) in
            [(50.0, 5.0, 2.6, 18.5), (-35.0, 295.0, 25.5, 9.8)]
        {
            let cell = Cell::at(latitude, longitude);
            assert_abs_diff_eq!(cell.mean_c[0], january, epsilon = 0.11);
            assert_abs_diff_eq!(cell.mean_c[6], july, epsilon = 0.11);
        }
        let (a, b) = (Cell::at(50.0, 5.0), Cell::at(50.0, 7.5));
        let half = Cell::at(50.0, 6.25);
        assert_abs_diff_eq!(
            half.mean_c[0],
            f64::midpoint(a.mean_c[0], b.mean_c[0]),
            epsilon = 1e-9
        );
        // Round the globe and past its ends.
        assert_eq!(Cell::at(50.0, -0.5), Cell::at(50.0, 359.5));
        assert_eq!(Cell::at(89.0, 0.0), Cell::at(75.0, 0.0));
    }

    #[test]
    fn a_kilometre_is_six_and_a_half_degrees_and_less_sure() {
        let low = spot(46.5, 11.3, Some(300.0)).normals(2026);
        let high = spot(46.5, 11.3, Some(1300.0)).normals(2026);
        assert_abs_diff_eq!(low.tmin_c[0] - high.tmin_c[0], 6.5, epsilon = 1e-9);
        let flat = spot(47.0, -0.5, Some(40.0)).normals(2026);
        assert!(flat.spread.level_sd_c < low.spread.level_sd_c);
        assert!(spot(47.0, -0.5, None).normals(2026).spread.level_sd_c > flat.spread.level_sd_c);
    }

    #[test]
    fn winter_lies_opposite_in_the_two_hemispheres_and_latitude_alone_is_wide() {
        let north = spot(48.0, 2.0, None).normals(2026);
        let south = spot(-34.0, 19.0, None).normals(2026);
        assert!(north.tmin_c[0] < north.tmin_c[6] && south.tmin_c[6] < south.tmin_c[0]);
        let ring = Spot {
            latitude_deg: 45.0,
            longitude_deg: None,
            elevation_m: None,
        };
        assert!(ring.normals(2026).spread.level_sd_c > 3.0);
        let nowhere = Spot {
            latitude_deg: f64::NAN,
            longitude_deg: Some(f64::INFINITY),
            elevation_m: Some(f64::NAN),
        };
        assert!(
            nowhere
                .normals(i32::MIN)
                .tmin_c
                .iter()
                .all(|t| t.is_finite())
        );
    }

    #[test]
    fn later_years_are_warmer_up_to_where_it_is_known() {
        let at = |year| spot(43.2, -77.6, Some(150.0)).normals(year).tmin_c[0];
        assert_abs_diff_eq!(at(2026) - at(1996), 0.9, epsilon = 1e-9);
        assert_abs_diff_eq!(at(2035), at(2099), epsilon = 1e-9);
    }
}
