//! Every row of the table of conversions against the units as built.
//! Source: NIST Handbook 44 appendix C and SP 811 appendix B, named row by row
//! in the file; degrees and pressure follow from definitions.

use approx::assert_relative_eq;
use barewood::domain::mix::dose::{Ground, amount};
use barewood::domain::mix::volume::{L_PER_HA_OF_GPA, ML_PER_M3_OF_GAL_PER_1000_CUFT};
use barewood::domain::rules::copper::KG_PER_HA_OF_LB_PER_ACRE;
use barewood::domain::units::*;

fn length(unit: &str) -> f64 {
    format!("1 {unit}").parse::<Length>().unwrap().m()
}

fn volume_l(unit: &str) -> f64 {
    format!("1 {unit}").parse::<Volume>().unwrap().l()
}

fn mass_kg(unit: &str) -> f64 {
    format!("1 {unit}").parse::<Mass>().unwrap().kg()
}

fn area_ha(unit: &str) -> f64 {
    format!("1 {unit}").parse::<Area>().unwrap().ha()
}

fn speed_ms(unit: &str) -> f64 {
    format!("1 {unit}").parse::<Speed>().unwrap().ms()
}

/// Product in one litre of spray at a rate, mL or g.
fn per_litre(rate: &str) -> f64 {
    let ground = Ground {
        water_l: Some(1.0),
        ..Ground::default()
    };
    match amount(rate.parse().unwrap(), ground).unwrap() {
        Amount::Volume(v) => v.l() * 1000.0,
        Amount::Mass(m) => m.kg() * 1000.0,
    }
}

/// The factor as this program has it; none for the units it does not use.
fn ours(from: &str, to: &str) -> Option<f64> {
    Some(match (from, to) {
        ("inch", "cm") => length("in") * 100.0,
        ("foot", "m") => length("ft"),
        ("yard", "m") => length("ft") * 3.0,
        ("mile", "km") => length("ft") * 5.28,
        ("mph", "m/s") => speed_ms("mph"),
        ("mph", "km/h") => speed_ms("mph") * 3.6,
        ("knot", "km/h") => speed_ms("kn") * 3.6,
        ("US gallon", "L") => volume_l("gal"),
        ("US quart", "L") => volume_l("qt"),
        ("US pint", "mL") => volume_l("pt") * 1000.0,
        ("US cup", "mL") => volume_l("pt") * 500.0,
        ("US fl oz", "mL") => volume_l("fl oz") * 1000.0,
        ("US tablespoon", "mL") => volume_l("tbsp") * 1000.0,
        ("US teaspoon", "mL") => volume_l("tsp") * 1000.0,
        ("acre (international)", "m2") => area_ha("acre") * 10_000.0,
        ("acre (international)", "ha") => area_ha("acre"),
        ("sq ft", "m2") => area_ha("sq ft") * 10_000.0,
        ("cu ft", "m3") => length("ft").powi(3),
        ("pound avdp", "kg") => mass_kg("lb"),
        ("ounce avdp", "g") => mass_kg("oz") * 1000.0,
        ("gal/acre", "L/ha") => L_PER_HA_OF_GPA,
        ("lb/acre", "kg/ha") => KG_PER_HA_OF_LB_PER_ACRE,
        ("fl oz/acre", "mL/ha") => volume_l("fl oz") * 1000.0 / area_ha("acre"),
        ("fl oz/gal", "mL/L") => per_litre("1 fl oz/gal"),
        ("% v/v", "mL/L") => per_litre("1 % v/v"),
        ("% v/v", "fl oz/gal") => per_litre("1 % v/v") / per_litre("1 fl oz/gal"),
        ("% v/v", "tbsp/gal") => per_litre("1 % v/v") / per_litre("1 tbsp/gal"),
        ("% v/v", "gal/100 gal") => per_litre("1 % v/v") / per_litre("1 gal/100 gal"),
        ("oz/100 gal", "g/100 L") => per_litre("1 oz/100 gal") * 100.0,
        ("lb/100 gal", "g/L") => per_litre("1 lb/100 gal"),
        ("gal/1000 cu ft", "mL/m3") => ML_PER_M3_OF_GAL_PER_1000_CUFT,
        ("inch of rain", "mm") => "1 in".parse::<RainDepth>().unwrap().mm(),
        ("delta 1 deg F", "delta deg C") => {
            let at = |f: f64| Temperature::new(f, TemperatureUnit::F).c();
            at(51.0) - at(50.0)
        }
        // Gallons are always the US ones here; pressure is not used.
        ("imperial gallon", "L") | ("psi" | "bar", "kPa") => return None,
        other => panic!("a row without a check: {other:?}"),
    })
}

#[test]
fn every_row_of_the_table() {
    let mut rows = csv::Reader::from_path("tests/data/conversions.csv").unwrap();
    let mut checked = 0;
    for row in rows.records() {
        let row = row.unwrap();
        if (&row[0], &row[1]) == ("deg F", "deg C") {
            assert_relative_eq!(
                "50 F".parse::<Temperature>().unwrap().c(),
                (50.0 - 32.0) / 1.8,
                epsilon = 1e-12
            );
            checked += 1;
            continue;
        }
        let printed: f64 = row[2].parse().unwrap();
        if let Some(ours) = ours(&row[0], &row[1]) {
            assert_relative_eq!(ours, printed, max_relative = 1e-7);
            checked += 1;
        }
    }
    assert_eq!(checked, 34, "37 rows, three of units not used here");
}
