//! What must hold for any bytes whatever; shared by the fuzz targets and the plain test.

use barewood::domain::climate::temperature::TemperatureScale;
use barewood::domain::season::{Calendar, read_day};
use barewood::domain::units::{
    Area, Length, Mass, Percent, Rate, Span, Speed, Temperature, Volume,
};
use barewood::store::forecast::fetch::history::try_answer;
use barewood::store::settings::Settings;
use barewood::store::weather::any;
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
                    read.data.len() <= 60 * 366 * 24,
                    "{} hours",
                    read.data.len()
                );
                let temps = read.data.hours().filter_map(|hour| hour.temp_c);
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

/// Any bytes as a table in whatever form: no panic, harmless words; what is taken is sane.
pub fn table(bytes: &[u8]) {
    let orchard = any::Orchard {
        zone: "America/New_York".parse().expect("a zone"),
        monthly_means_c: Some([
            -4.0, -3.0, 1.0, 8.0, 14.0, 19.0, 22.0, 21.0, 17.0, 11.0, 5.0, -1.0,
        ]),
    };
    for options in manners() {
        let Ok(looked) =
            any::look(bytes, "any\u{1b}[2J.csv", &options, &orchard).inspect_err(refused)
        else {
            continue;
        };
        for line in &looked.understood.lines {
            harmless(line);
        }
        for cell in looked.understood.first_rows.iter().flatten() {
            harmless(cell);
        }
        for ask in &looked.asks {
            harmless(&ask.to_string());
        }
        match any::take(vec![looked], &options) {
            Ok(read) => {
                if let Some(days) = &read.days {
                    harmless(&days.report.to_string());
                    let days = days.data.temperatures();
                    assert!(days.iter().filter_map(|(_, d)| d).all(|(l, h)| l <= h));
                }
                if let Some(hours) = &read.hours {
                    assert!(hours.data.len() <= 60 * 366 * 24);
                    let temps = hours.data.hours().filter_map(|h| h.temp_c);
                    assert!(temps.into_iter().all(|t| (-90.0..=60.0).contains(&t)));
                }
            }
            Err(error) => harmless(&error.to_string()),
        }
    }
}

/// Any bytes as an answer of the archive of past weather.
pub fn archive(bytes: &[u8]) {
    for hours in [false, true] {
        match try_answer(bytes, hours) {
            Ok(count) => assert!(count < 20_000, "{count} days or hours"),
            Err(error) => harmless(&error.to_string()),
        }
    }
}

/// Any bytes as a forecast document of a public service.
pub fn forecast(bytes: &[u8]) {
    match barewood::store::forecast::read(bytes) {
        Ok(read) => {
            assert!(read.series.len() <= 24 * 400, "{} hours", read.series.len());
            for line in &read.skipped {
                harmless(line);
            }
            for hour in read.series.hours() {
                assert!(hour.temp_c.is_none_or(|t| (-90.0..=60.0).contains(&t)));
                assert!(hour.rain_mm.is_none_or(|r| (0.0..=500.0).contains(&r)));
                assert!(hour.rh_pct.is_none_or(|h| (0.0..=105.0).contains(&h)));
            }
        }
        Err(error) => harmless(&error.to_string()),
    }
}

/// Any text as a season file: no panic, harmless messages; what is read is written and read back
/// as itself.
pub fn season(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    match barewood::store::season_file::read(text, "any\u{1b}[2J.toml") {
        Ok(loaded) => {
            let season = loaded.season;
            let mut other = season.clone();
            other.orchard.name.push('x');
            if let Ok(written) = barewood::store::season_file::write(text, &season, &other) {
                let again = barewood::store::season_file::read(&written, "again")
                    .expect("what was written is read");
                assert_eq!(again.season.orchard.name, other.orchard.name);
                assert_eq!(again.season.tasks.len(), season.tasks.len());
                assert_eq!(again.season.records.len(), season.records.len());
            }
        }
        Err(problems) => {
            harmless(&problems.to_string());
            assert!(!problems.list.is_empty() || problems.newer_format.is_some());
        }
    }
}

/// A quantity that is read is written so that it reads back as itself.
fn quantity<T>(text: &str)
where
    T: std::str::FromStr + std::fmt::Display + PartialEq + std::fmt::Debug,
    T::Err: std::fmt::Display,
{
    match text.parse::<T>() {
        Ok(value) => {
            let shown = value.to_string();
            harmless(&shown);
            let again = shown.parse::<T>();
            assert!(
                again.is_ok(),
                "{text:?} is shown as {shown:?}, which is not read"
            );
        }
        Err(fault) => harmless(&fault.to_string()),
    }
}

/// Any text as a quantity with its unit.
pub fn units(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    quantity::<Rate>(text);
    quantity::<Volume>(text);
    quantity::<Mass>(text);
    quantity::<Area>(text);
    quantity::<Length>(text);
    quantity::<Speed>(text);
    quantity::<Temperature>(text);
    quantity::<Percent>(text);
    quantity::<Span>(text);
}

/// Any text as a day the way people say it.
pub fn dates(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    for today in [
        "2027-02-14",
        "2028-02-29",
        "1899-12-31",
        "9999-12-31",
        "0001-01-01",
    ] {
        let today: chrono::NaiveDate = today.parse().expect("a day");
        let calendar = Calendar {
            today,
            from: today,
            starts: today,
        };
        if let Err(fault) = read_day(text, &calendar) {
            harmless(&fault.to_string());
        }
    }
}

/// Any lines as the arguments of a command line that only looks: no panic, a known exit code.
pub fn arguments(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    // Only commands that neither write nor open the board; no file of anybody's is touched.
    let mut words = text.lines().map(str::to_owned);
    let first = words.next().unwrap_or_default();
    let look = [
        "due", "check", "swell", "mix", "buy", "review", "hours", "weather", "shell", "history",
    ];
    let command = look.get(first.len() % look.len()).copied().unwrap_or("due");
    let rest = words.filter(|w| {
        !["add", "fetch", "remove", "undo", "--done", "-s", "--season"]
            .iter()
            .any(|no| w.starts_with(no))
    });
    let args = ["barewood", command]
        .map(str::to_owned)
        .into_iter()
        .chain(rest.take(12))
        .map(std::ffi::OsString::from);
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let code = barewood::cli::run(args, &mut out, &mut err);
    assert!((0..=3).contains(&code), "exit {code}");
}

/// Any text as settings.
pub fn settings(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    if let Err(fault) = Settings::read(text, "settings.toml") {
        harmless(&fault.to_string());
    }
}
