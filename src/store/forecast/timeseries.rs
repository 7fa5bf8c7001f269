//! Point time series of the Norwegian national weather service.
//!
//! Each step holds values at its moment (`instant`) and amounts for the hours after it
//! (`next_1_hours`, `next_6_hours`). The finest amount given counts; steps farther than an hour
//! apart are joined by straight lines, amounts spread evenly.

use serde_json::Value;

use super::grid::{Field, HourGrid, hour_number};
use super::unit::{Quantity, conversion};
use super::{Forecast, time};

struct Series {
    name: &'static str,
    field: Field,
    quantity: Quantity,
}

static INSTANT: &[Series] = &[
    Series {
        name: "air_temperature",
        field: Field::Temp,
        quantity: Quantity::Temperature,
    },
    Series {
        name: "dew_point_temperature",
        field: Field::DewPoint,
        quantity: Quantity::Temperature,
    },
    Series {
        name: "relative_humidity",
        field: Field::Humidity,
        quantity: Quantity::Percent,
    },
    Series {
        name: "wind_speed",
        field: Field::Wind,
        quantity: Quantity::Speed,
    },
    Series {
        name: "wind_speed_of_gust",
        field: Field::Gust,
        quantity: Quantity::Speed,
    },
    Series {
        name: "wind_from_direction",
        field: Field::WindFrom,
        quantity: Quantity::Angle,
    },
    Series {
        name: "cloud_area_fraction",
        field: Field::Cloud,
        quantity: Quantity::Percent,
    },
];
static AMOUNT: Series = Series {
    name: "precipitation_amount",
    field: Field::Rain,
    quantity: Quantity::Depth,
};
static CHANCE: Series = Series {
    name: "probability_of_precipitation",
    field: Field::RainChance,
    quantity: Quantity::Percent,
};

/// The longest step joined by a line, hours.
const LONGEST_STEP_H: i64 = 6;

pub(super) fn read(properties: &Value) -> Forecast {
    let steps = properties
        .get("timeseries")
        .and_then(Value::as_array)
        .map_or(&[][..], Vec::as_slice);
    let mut reader = Reader {
        units: properties.get("meta").and_then(|m| m.get("units")),
        grid: HourGrid::default(),
        impossible: 0,
        unknown_units: Vec::new(),
    };
    let mut timed: Vec<(i64, &Value)> = Vec::with_capacity(steps.len());
    let mut untimed = 0;
    for step in steps {
        match (time(step.get("time")), step.get("data")) {
            (Some(at), Some(data)) => timed.push((hour_number(at), data)),
            _ => untimed += 1,
        }
    }
    timed.sort_by_key(|(hour, _)| *hour);
    for (i, &(hour, data)) in timed.iter().enumerate() {
        let next = timed.get(i + 1).copied();
        reader.instants(hour, data, next);
        reader.amounts(hour, data, next.map(|(h, _)| h));
    }
    let mut skipped = Vec::new();
    if untimed > 0 {
        skipped.push(format!("{untimed} steps without a readable time"));
    }
    if reader.impossible > 0 {
        skipped.push(format!(
            "{} values outside what is possible",
            reader.impossible
        ));
    }
    if reader.grid.far > 0 {
        skipped.push(format!(
            "{} values over forty days from the rest",
            reader.grid.far
        ));
    }
    skipped.extend(reader.unknown_units);
    Forecast {
        series: reader.grid.series(),
        issued: time(properties.get("meta").and_then(|m| m.get("updated_at"))),
        credit: "MET Norway, CC BY 4.0",
        skipped,
        place: None,
    }
}

struct Reader<'a> {
    units: Option<&'a Value>,
    grid: HourGrid,
    impossible: usize,
    unknown_units: Vec<String>,
}

impl Reader<'_> {
    /// A value of a step in the series' unit.
    fn value(&mut self, details: Option<&Value>, series: &Series) -> Option<f64> {
        let value = details?.get(series.name)?.as_f64()?;
        let default = match series.quantity {
            Quantity::Temperature => "celsius",
            Quantity::Speed => "m/s",
            Quantity::Depth => "mm",
            Quantity::Percent => "%",
            Quantity::Angle => "degrees",
        };
        let unit = self
            .units
            .and_then(|u| u.get(series.name))
            .and_then(Value::as_str)
            .unwrap_or(default);
        let Some((factor, offset)) = conversion(series.quantity, unit) else {
            let unit: String = unit
                .chars()
                .filter(|c| !crate::domain::harmless::steers(*c))
                .take(40)
                .collect();
            let line = format!("{}: unit '{unit}' is not known here", series.name);
            if !self.unknown_units.contains(&line) {
                self.unknown_units.push(line);
            }
            return None;
        };
        let value = value * factor + offset;
        if series.quantity.possible().contains(&value) {
            Some(value)
        } else {
            self.impossible += 1;
            None
        }
    }

    fn instants(&mut self, hour: i64, data: &Value, next: Option<(i64, &Value)>) {
        let details = data.get("instant").and_then(|i| i.get("details"));
        let next_details = next
            .and_then(|(_, d)| d.get("instant"))
            .and_then(|i| i.get("details"));
        for series in INSTANT {
            let Some(value) = self.value(details, series) else {
                continue;
            };
            self.grid.put(hour, series.field, value);
            // A direction has no straight line, and a gust between two steps is a guess.
            if matches!(series.field, Field::WindFrom | Field::Gust) {
                continue;
            }
            let Some((end, _)) = next.filter(|(h, _)| (2..=LONGEST_STEP_H).contains(&(h - hour)))
            else {
                continue;
            };
            let Some(after) = self.value(next_details, series) else {
                continue;
            };
            for step in 1..end - hour {
                let share = step as f64 / (end - hour) as f64;
                self.grid
                    .put(hour + step, series.field, value + (after - value) * share);
            }
        }
    }

    fn amounts(&mut self, hour: i64, data: &Value, next: Option<i64>) {
        let spans = [
            ("next_1_hours", 1),
            ("next_6_hours", 6),
            ("next_12_hours", 12),
        ];
        for series in [&AMOUNT, &CHANCE] {
            for (name, hours) in spans {
                let details = data.get(name).and_then(|n| n.get("details"));
                let Some(value) = self.value(details, series) else {
                    continue;
                };
                // A longer span counts only as far as the next step, which has its own.
                let until = next.map_or(hours, |n| hours.min((n - hour).max(1)));
                let each = if series.field == Field::Rain {
                    value / hours as f64
                } else {
                    value
                };
                for step in 0..until {
                    self.grid.put(hour + step, series.field, each);
                }
                break;
            }
        }
    }
}
