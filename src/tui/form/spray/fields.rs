//! The fields of a record.

use super::super::measure::{self, Measure};
use super::super::{Field, Kind, names};
use crate::domain::season::{Record, Season};
use crate::domain::units::plain_number;

/// Materials with fields of their own; more are kept as they were filled in.
pub(super) const PARTS: [[&str; 3]; 6] = [
    ["used-1", "registration-1", "lot-1"],
    ["used-2", "registration-2", "lot-2"],
    ["used-3", "registration-3", "lot-3"],
    ["used-4", "registration-4", "lot-4"],
    ["used-5", "registration-5", "lot-5"],
    ["used-6", "registration-6", "lot-6"],
];

/// The fields of a record, in the order one tells them.
pub(in crate::tui::form) fn fields_of(season: &Season, r: &Record) -> Vec<Field> {
    use Kind::{Measured, Text};
    let text = |v: Option<String>| v.unwrap_or_default();
    let f = |key, label: &'static str, help, kind, text: String| {
        Field::new(key, label, help, kind, &text)
    };
    let blocks = names::join(
        r.blocks
            .iter()
            .map(|id| season.block(id).map_or(id.as_str(), |b| b.name.as_str())),
    );
    let targets = names::join(r.targets.iter().map(|id| names::target_name(id, season)));
    let mut sprayers = vec![(String::new(), "not chosen".to_owned())];
    sprayers.extend(
        season
            .sprayers
            .iter()
            .map(|s| (s.id.to_string(), s.name.clone())),
    );
    let sprayer = r.sprayer.as_ref().map(ToString::to_string);
    let mut fields = vec![
        f(
            "started",
            "Started",
            "time of day: 9:30",
            Measured(Measure::Clock),
            text(r.started.map(measure::clock_text)),
        ),
        f(
            "ended",
            "Ended",
            "time of day: 11:40; re-entry counts from here",
            Measured(Measure::Clock),
            text(r.ended.map(measure::clock_text)),
        ),
        f(
            "who",
            "Who sprayed",
            "a name; right completes one on record",
            Kind::Person(true),
            text(r.who.clone()),
        ),
        f(
            "licence",
            "Certificate",
            "certificate or licence number, where one is needed",
            Text,
            text(r.licence.clone()),
        ),
    ];
    for (used, [amount, registration, lot]) in r.materials.iter().zip(PARTS) {
        fields.push(Field::new(
            amount,
            used.name.clone(),
            format!("{}: product used in all, 3.2 lb or 1.5 kg", used.name),
            Measured(Measure::Amount),
            &text(used.total.map(|t| t.to_string())),
        ));
        fields.push(f(
            registration,
            "  number",
            "registration number on its label",
            Text,
            text(used.registration.clone()),
        ));
        fields.push(f(
            lot,
            "  lot",
            "lot number on the pack, if you keep it",
            Text,
            text(used.lot.clone()),
        ));
    }
    fields.extend([
        f(
            "volume",
            "Spray used",
            "finished spray in all: 40 gal, 150 L",
            Measured(Measure::Spray),
            text(r.volume.map(|v| v.to_string())),
        ),
        f(
            "wind",
            "Wind",
            "speed: 4 mph, 2 m/s",
            Measured(Measure::Wind),
            text(r.wind.map(|v| v.to_string())),
        ),
        f(
            "wind-from",
            "Wind from",
            "NW, or in words",
            Text,
            text(r.wind_from.clone()),
        ),
        f(
            "temperature",
            "Temperature",
            "air: 46 F, 8 C",
            Measured(Measure::Air),
            text(r.temperature.map(|v| v.to_string())),
        ),
        f(
            "humidity",
            "Humidity",
            "percent, 0 to 100",
            Measured(Measure::Percent),
            text(r.humidity_percent.map(plain_number)),
        ),
        f(
            "sky",
            "Sky",
            "cloud, and whether the air stood still",
            Text,
            text(r.sky.clone()),
        ),
        f(
            "rain",
            "Rain",
            "before and after",
            Text,
            text(r.rain.clone()),
        ),
        f(
            "stage",
            "Stage seen",
            "BBCH number or words; 0 is tight, 97 leaves down",
            Measured(Measure::Stage),
            text(r.bbch.map(|b| b.to_string())),
        ),
        f(
            "targets",
            "Against",
            "names with commas between; right completes",
            Kind::Targets,
            targets,
        ),
        f(
            "reason",
            "Why",
            "what scouting found",
            Text,
            text(r.reason.clone()),
        ),
        f(
            "blocks",
            "Blocks",
            "names with commas between; right completes",
            Kind::Blocks,
            blocks,
        ),
        f(
            "site",
            "Where",
            "words or a map reference that find it again",
            Text,
            text(r.site.clone()),
        ),
        f(
            "crops",
            "Crop",
            "names with commas between",
            Text,
            r.crops.join(", "),
        ),
        f(
            "area",
            "Ground",
            "treated: 0.35 acre, 0.2 ha",
            Measured(Measure::Area),
            text(r.area.map(|v| v.to_string())),
        ),
        f(
            "trees",
            "Trees",
            "how many were treated",
            Measured(Measure::Count),
            text(r.trees.map(|v| v.to_string())),
        ),
        f(
            "mixing",
            "Mixing",
            "tanks, and the order things went in",
            Text,
            text(r.mixing.clone()),
        ),
        f(
            "sprayer",
            "Sprayer",
            "left and right change it",
            Kind::Choice(sprayers),
            text(sprayer),
        ),
        f(
            "setup",
            "Set-up",
            "nozzles, pressure, speed",
            Text,
            text(r.setup.clone()),
        ),
        f(
            "gear",
            "Gear worn",
            "names with commas between",
            Text,
            r.gear.join(", "),
        ),
        f(
            "notices",
            "Notices",
            "who was told; signs up and down",
            Text,
            text(r.notices.clone()),
        ),
        f(
            "leftover",
            "Left over",
            "what became of the rest and the rinse water",
            Text,
            text(r.leftover.clone()),
        ),
        f(
            "supervisor",
            "Supervisor",
            "a name, where somebody supervised",
            Kind::Person(true),
            text(r.supervisor.clone()),
        ),
        f(
            "check",
            "Look again",
            "the day to see whether it held; may stay empty",
            Kind::DayOrNone(r.date),
            text(r.next_check.map(|d| d.to_string())),
        ),
        f(
            "notes",
            "Remarks",
            "anything else",
            Text,
            text(r.notes.clone()),
        ),
    ]);
    fields
}
