use barewood::domain::climate::hours::{Extremes, HourlyShape};
use barewood::domain::climate::sun::{daylight, declination_rad};

use crate::table::{close, rows};

#[test]
fn declination_sunrise_sunset_and_day_length() {
    for row in rows("daylength.csv") {
        let (latitude, j) = (row.number("lat"), row.number("jday") as u32);
        let sun = daylight(latitude, j);
        let what = format!("{latitude} N day {j}");
        close(
            declination_rad(j),
            row.number("declination_rad"),
            6e-9,
            &what,
        );
        close(sun.length_h, row.number("daylength_h"), 6e-7, &what);
        if let (Some(sunrise), Some(sunset)) = (row.maybe("sunrise_h"), row.maybe("sunset_h")) {
            close(sun.sunrise_h, sunrise, 6e-7, &what);
            close(sun.sunset_h, sunset, 6e-7, &what);
        } else {
            assert!(!sun.rises_and_sets(), "{what}");
        }
    }
}

#[test]
fn hours_of_a_day_between_its_neighbours() {
    for row in rows("hourly.csv") {
        let j = row.number("jday") as u32;
        let day = |low: &str, high: f64| Extremes {
            tmin_c: row.number(low),
            tmax_c: high,
        };
        let hours = HourlyShape::new(row.number("lat")).day(
            j,
            Some(day("prev_tmin", row.number("prev_tmax"))),
            day("tmin", row.number("tmax")),
            Some(day("next_tmin", f64::NAN)),
        );
        for (hour, found) in hours.iter().enumerate() {
            close(
                *found,
                row.number(&format!("h{hour}")),
                6e-7,
                &format!("day {j} hour {hour}"),
            );
        }
    }
}
