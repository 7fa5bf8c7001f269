//! Grid-point layers of the US national weather service.
//!
//! Each layer is `{"uom": "wmoUnit:degC", "values": [{"validTime": "…/PT3H", "value": 4.4}]}`:
//! equal values of consecutive hours are merged into one interval. A mean holds for each of its
//! hours; an amount of rain is spread evenly over them.

use serde_json::Value;

use super::grid::{Field, HourGrid, hour_number};
use super::interval::interval;
use super::unit::{Quantity, conversion};
use super::{Forecast, time};

struct Layer {
    name: &'static str,
    field: Field,
    quantity: Quantity,
    /// The unit where the layer names none, as older documents do.
    default_unit: &'static str,
}

const fn layer(
    name: &'static str,
    field: Field,
    quantity: Quantity,
    default_unit: &'static str,
) -> Layer {
    Layer {
        name,
        field,
        quantity,
        default_unit,
    }
}

static LAYERS: &[Layer] = &[
    layer("temperature", Field::Temp, Quantity::Temperature, "degC"),
    layer("dewpoint", Field::DewPoint, Quantity::Temperature, "degC"),
    layer(
        "relativeHumidity",
        Field::Humidity,
        Quantity::Percent,
        "percent",
    ),
    layer("windSpeed", Field::Wind, Quantity::Speed, "km_h-1"),
    layer("windGust", Field::Gust, Quantity::Speed, "km_h-1"),
    layer(
        "windDirection",
        Field::WindFrom,
        Quantity::Angle,
        "degree_(angle)",
    ),
    layer("skyCover", Field::Cloud, Quantity::Percent, "percent"),
    layer(
        "probabilityOfPrecipitation",
        Field::RainChance,
        Quantity::Percent,
        "percent",
    ),
    layer(
        "quantitativePrecipitation",
        Field::Rain,
        Quantity::Depth,
        "mm",
    ),
];

/// What of one layer could not be used.
#[derive(Default)]
struct Faults {
    times: usize,
    values: usize,
    impossible: usize,
}

pub(super) fn read(properties: &Value) -> Forecast {
    let mut grid = HourGrid::default();
    let mut skipped = Vec::new();
    for layer in LAYERS {
        let found = properties.get(layer.name);
        let Some(values) = found
            .and_then(|l| l.get("values"))
            .and_then(Value::as_array)
        else {
            skipped.push(format!("no layer {}", layer.name));
            continue;
        };
        let unit = found
            .and_then(|l| l.get("uom"))
            .and_then(Value::as_str)
            .unwrap_or(layer.default_unit);
        let Some((factor, offset)) = conversion(layer.quantity, unit) else {
            let unit: String = unit
                .chars()
                .filter(|c| !crate::domain::harmless::steers(*c))
                .take(40)
                .collect();
            skipped.push(format!(
                "layer {}: unit '{unit}' is not known here",
                layer.name
            ));
            continue;
        };
        let mut faults = Faults::default();
        for entry in values {
            put(&mut grid, layer, entry, (factor, offset), &mut faults);
        }
        for (count, what) in [
            (faults.times, "intervals that could not be read"),
            (faults.values, "values that are no numbers"),
            (faults.impossible, "values outside what is possible"),
        ] {
            if count > 0 {
                skipped.push(format!("layer {}: {count} {what}", layer.name));
            }
        }
    }
    if grid.far > 0 {
        skipped.push(format!("{} values over forty days from the rest", grid.far));
    }
    Forecast {
        series: grid.series(),
        issued: time(properties.get("updateTime")),
        credit: "US National Weather Service",
        skipped,
        place: None,
    }
}

fn put(
    grid: &mut HourGrid,
    layer: &Layer,
    entry: &Value,
    (factor, offset): (f64, f64),
    faults: &mut Faults,
) {
    let Some((start, hours)) = entry
        .get("validTime")
        .and_then(Value::as_str)
        .and_then(interval)
    else {
        faults.times += 1;
        return;
    };
    // "No applicable data" is written as null and is no fault.
    let Some(value) = entry.get("value").filter(|v| !v.is_null()) else {
        return;
    };
    let Some(value) = value.as_f64() else {
        faults.values += 1;
        return;
    };
    let value = value * factor + offset;
    if !layer.quantity.possible().contains(&value) {
        faults.impossible += 1;
        return;
    }
    let each = if layer.field == Field::Rain {
        value / hours as f64
    } else {
        value
    };
    for step in 0..hours {
        grid.put(hour_number(start) + step as i64, layer.field, each);
    }
}
