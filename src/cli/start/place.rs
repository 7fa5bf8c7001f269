//! Where a new season's orchard is.

use super::super::Failure;
use super::super::args::StartArgs;
use super::super::start_ask::Asker;
use crate::domain::place::{self, Found, Place, Town};
use crate::domain::season::UnitSystem;
use crate::domain::units::Length;
use crate::domain::zone::Zone;

/// How many towns of one name are listed.
const MOST_LISTED: usize = 8;

/// Where the orchard is: by name, by coordinates, or asked; with what to say of it.
pub(super) fn where_is(
    asker: &mut Asker<'_>,
    args: &StartArgs,
) -> Result<(Place, Vec<String>), Failure> {
    let degrees = |option: &'static str, text: &str, most: f64| {
        let value: f64 = text.trim().parse().map_err(|_| {
            Failure::Input(format!(
                "--{option}: '{text}' is no number of degrees; write for instance 43.1"
            ))
        })?;
        if value.abs() <= most {
            Ok(value)
        } else {
            Err(Failure::Input(format!(
                "--{option}: {value} lies outside -{most} to {most}"
            )))
        }
    };
    let pair = match (&args.latitude, &args.longitude) {
        (Some(north), Some(east)) => Some((
            degrees("latitude", north, 90.0)?,
            degrees("longitude", east, 180.0)?,
        )),
        (None, None) => None,
        _ => {
            return Err(Failure::Input(
                "--latitude and --longitude belong together; or name the town: --place \"Geneva, New York\""
                    .to_owned(),
            ));
        }
    };
    let written = args
        .place
        .clone()
        .or_else(|| pair.map(|(north, east)| format!("{north}, {east}")));
    let place = asker.text(
        "place",
        written.as_deref(),
        "Where? A town with its state or country, or latitude and longitude:",
        None,
        |text| match place::find(text, MOST_LISTED) {
            Found::One(place) => Ok(place),
            Found::Several(towns, all) => Err(several(text, &towns, all)),
            Found::None(why) => Err(why),
        },
    )?;
    // Coordinates given beside a town are those of the orchard; height and clock are the town's.
    let place = match pair.filter(|_| args.place.is_some()) {
        Some((latitude_deg, longitude_deg)) => Place {
            latitude_deg,
            longitude_deg,
            ..place
        },
        None => place,
    };
    let height = place.elevation_m.map_or_else(
        || "height not known (write elevation under [orchard])".to_owned(),
        |m| format!("{m:.0} m high"),
    );
    let zone = place.zone.map_or("", Zone::name);
    let told = vec![format!(
        "Place: {} ({:.2}, {:.2}), {height} {zone}",
        place.words, place.latitude_deg, place.longitude_deg
    )];
    Ok((place, told))
}

/// Several towns of one name, to choose from.
fn several(text: &str, towns: &[Town], all: usize) -> String {
    let mut lines = format!("{all} towns are called '{text}'; add the state or country:");
    for town in towns {
        lines.push_str("\n  ");
        lines.push_str(&town.words());
    }
    if all > towns.len() {
        lines.push_str("\n  ..");
    }
    lines
}

/// A height in the owner's units.
pub(super) fn height(elevation_m: f64, units: UnitSystem) -> Option<Length> {
    let text = match units {
        UnitSystem::Us => format!("{:.0} ft", elevation_m / 0.3048),
        UnitSystem::Metric => format!("{elevation_m:.0} m"),
    };
    text.parse().ok()
}
