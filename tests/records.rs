//! Application records: what they hold, what they lack, and that they stay as written.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::float_cmp,
    missing_docs
)]

#[path = "common/orchard.rs"]
mod orchard;

#[path = "records/keeping.rs"]
mod keeping;
#[path = "records/reentry.rs"]
mod reentry;
#[path = "records/sealing.rs"]
mod sealing;
#[path = "records/sums.rs"]
mod sums;

use barewood::domain::records::{Conditions, MixAmounts, PartAmount, prefill};
use barewood::domain::season::{MaterialId, Record, Season, TaskId};
use orchard::{day, of, time};

/// A full record of a task: what was used is made up.
pub fn full(season: &Season, task: &str, on: &str) -> Record {
    let task = season.task(&TaskId::from(task)).unwrap();
    let parts = task
        .mix
        .iter()
        .map(|part| PartAmount {
            material: part.material.clone(),
            rate: None,
            total: Some(if part.material == MaterialId::from("oil") {
                of("0.5 gal")
            } else {
                of("1.2 kg")
            }),
        })
        .collect();
    let amounts = MixAmounts {
        volume: Some(of("90 L")),
        mixing: Some("6 tanks: water, copper, oil, water".to_owned()),
        gear: Vec::new(),
        parts,
    };
    let conditions = Conditions {
        wind: Some(of("2 m/s")),
        wind_from: Some("NW".to_owned()),
        temperature: Some(of("9 C")),
        humidity_percent: Some(70.0),
        sky: None,
        rain: None,
    };
    let mut record = prefill(
        season,
        task,
        day(on),
        time(&format!("{on} 11:00")),
        &amounts,
        &conditions,
    );
    record.started = Some(time(&format!("{on} 08:00")));
    record.who = Some("the grower".to_owned());
    record.licence = Some("0000".to_owned());
    record.bbch = Some(0);
    record
}
