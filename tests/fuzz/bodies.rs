//! What must hold for any bytes whatever; shared by the fuzz targets and the plain test.

use barewood::domain::climate::temperature::TemperatureScale;
use barewood::store::weather::{ImportError, ImportOptions, history, read_daily, read_hourly};

/// Both manners of reading: as the file says, and strict with a unit given.
fn manners() -> [ImportOptions; 2] {
    [
        ImportOptions::default(),
        ImportOptions {
            scale: Some(TemperatureScale::Fahrenheit),
            strict: true,
            ..ImportOptions::default()
        },
    ]
}

fn harmless(message: &str) {
    let steers = |c: char| c != '\n' && (c.is_control() || ('\u{202A}'..='\u{202E}').contains(&c));
    assert!(
        !message.contains(steers),
        "a message would steer the terminal: {message:?}"
    );
    assert!(
        message.len() < 64 * 1024,
        "a message of {} bytes",
        message.len()
    );
}

fn refused(error: &ImportError) {
    harmless(&error.to_string());
    assert!(error.problems().len() <= 20);
    for problem in error.problems() {
        assert!(
            !problem.what.is_empty() && !problem.instead.is_empty(),
            "{problem:?}"
        );
    }
}

/// Any bytes as a daily file: no panic; what is taken is sane and survives packing.
pub fn daily(bytes: &[u8]) {
    for options in manners() {
        match read_daily(bytes, "any\u{1b}[2J.csv", &options) {
            Ok(read) => {
                harmless(&read.report.to_string());
                let days = read.data.temperatures();
                assert!(days.len() <= 183_000, "{} days", days.len());
                assert!(days.iter().filter_map(|(_, day)| day).all(|(low, high)| {
                    low <= high || read.report.format.to_string().contains("packed")
                }));
                assert_eq!(read.report.kept + read.report.days_missing(), days.len());
                let packed =
                    history::decode(&history::encode(&read.data)).expect("own packing is read");
                assert_eq!(packed.temperatures().len(), days.len());
                assert_eq!(packed.temperatures().gaps(), days.gaps());
            }
            Err(error) => refused(&error),
        }
    }
}

/// Any bytes as an hourly file: no panic; what is taken is sane.
pub fn hourly(bytes: &[u8]) {
    for options in manners() {
        match read_hourly(bytes, "any\u{1b}[2J.csv", &options) {
            Ok(read) => {
                harmless(&read.report.to_string());
                assert!(
                    read.data.len() <= 200 * 366 * 24,
                    "{} hours",
                    read.data.len()
                );
                let temps = read.data.hours().iter().filter_map(|hour| hour.temp_c);
                assert!(
                    temps
                        .into_iter()
                        .all(|temp_c| (-90.0..=60.0).contains(&temp_c))
                );
            }
            Err(error) => refused(&error),
        }
    }
}
