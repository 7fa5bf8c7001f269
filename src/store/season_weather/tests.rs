//! Every kind of file growers have, brought into a season and read back; and what is refused.
//!
//! The samples in `tests/data/weather` are invented values in the forms that the archives and
//! programs publish: descriptions named in [`crate::store::weather::any`]. The expected values
//! are those the samples were written from, in °C, worked out apart from this program.

use super::*;
use crate::domain::climate::daily_weather::DailyColumn;
use crate::domain::climate::hourly_series::Provenance;
use crate::domain::season::{MonthlyNormals, WeatherKind};
use crate::domain::units::{Length, LengthUnit, Temperature, TemperatureUnit};
use crate::store::practice;
use crate::store::weather::any::dates::DateOrder;
use crate::store::weather::any::forms::Degrees;
use chrono::{DateTime, NaiveDate, Utc};
use std::fmt::Write;
use std::fs;

/// Days of the samples: minimum, maximum, rain.
const DAYS: [(&str, f64, f64, f64); 6] = [
    ("2026-01-10", -3.5, 4.4, 0.0),
    ("2026-01-11", 0.0, 6.7, 5.1),
    ("2026-01-12", -7.2, 0.0, 0.0),
    ("2026-01-13", 1.1, 8.9, 12.7),
    ("2026-01-14", -10.0, -1.5, 0.0),
    ("2026-01-15", -2.4, 3.3, 0.3),
];

fn data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/weather")
}

fn today() -> NaiveDate {
    "2026-11-27".parse().unwrap()
}

/// An orchard without any weather, at the place the samples are of.
fn season() -> Season {
    let mut season = practice::season().unwrap().season;
    season.practice = false;
    season.weather = crate::domain::season::WeatherFiles::default();
    season.orchard.latitude = 43.1;
    season.orchard.longitude = -77.5;
    season.orchard.elevation = Some(Length::new(120.0, LengthUnit::M));
    season.orchard.time_zone = "America/New_York".parse().unwrap();
    season
}

struct Brought {
    folder: tempfile::TempDir,
    season: Season,
    account: String,
}

fn bring(names: &[&str], import: ImportOptions) -> Result<Brought, String> {
    bring_into(
        &season(),
        tempfile::tempdir().unwrap(),
        names,
        import,
        false,
    )
}

fn bring_into(
    season: &Season,
    folder: tempfile::TempDir,
    names: &[&str],
    import: ImportOptions,
    anyway: bool,
) -> Result<Brought, String> {
    let files: Vec<PathBuf> = names.iter().map(|n| data().join(n)).collect();
    let options = AddOptions {
        import,
        anyway,
        ..AddOptions::on(today())
    };
    add(season, folder.path(), &files, &options)
        .map(|added| Brought {
            folder,
            season: added.season,
            account: added.account,
        })
        .map_err(|e| e.to_string())
}

fn unit(degrees: Degrees) -> ImportOptions {
    let mut options = ImportOptions::default();
    options.set_degrees(degrees);
    options
}

fn columns(day: &str, low: &str, high: &str) -> ImportOptions {
    ImportOptions {
        date_column: Some(day.into()),
        tmin_column: Some(low.into()),
        tmax_column: Some(high.into()),
        ..unit(Degrees::Celsius)
    }
}

/// The kinds of daily files, the options they need, and how exactly they hold the values.
fn daily_kinds() -> Vec<(Vec<&'static str>, ImportOptions, f64)> {
    let none = ImportOptions::default;
    let f = || unit(Degrees::Fahrenheit);
    let c = || unit(Degrees::Celsius);
    let mut kinds = vec![
        (vec!["order_whole_f.csv"], f(), 0.3),
        (vec!["order_c.csv"], c(), 0.01),
        (vec!["order_full_f.csv"], f(), 0.3),
        (vec!["order_tenths.csv"], unit(Degrees::Tenths), 0.01),
        (vec!["australia_max.csv", "australia_min.csv"], none(), 0.01),
        (vec!["europe_min.txt", "europe_max.txt"], none(), 0.01),
        (vec!["sweden_min.csv", "sweden_max.csv"], none(), 0.01),
        (vec!["bulk_daily.csv"], c(), 0.01),
        (vec!["service_f.csv"], f(), 0.3),
        (
            vec!["own_names.csv"],
            columns("when", "coldest", "warmest"),
            0.01,
        ),
        (vec!["no_names.csv"], columns("1", "2", "3"), 0.01),
    ];
    for plain in [
        "plain.csv",
        "archive_attributes.csv",
        "archive.dly",
        "archive_by_year.csv",
        "archive_by_year.csv.gz",
        "canada_daily.csv",
        "canada_old.csv",
        "germany_daily.txt",
        "france_daily.csv",
        "netherlands_daily.txt",
        "japan_daily.csv",
        "korea_daily.csv",
        "prism.csv",
        "daymet.csv",
        "california_daily.csv",
        "power_daily.csv",
        "power_daily_month.csv",
        "power_daily.json",
        "reference_daily.txt",
        "open_daily.csv",
        "open_daily.json",
        "home_daily_us.csv",
        "sheet_german.csv",
        "sheet_french.csv",
        "sheet_spanish.csv",
        "sheet_italian.csv",
        "sheet_portuguese.csv",
        "sheet_dutch.csv",
        "sheet_swedish.csv",
        "sheet_norwegian.csv",
        "sheet_finnish.csv",
        "sheet_czech.csv",
        "sheet_polish.csv",
        "sheet_russian.csv",
        "sheet_hungarian.csv",
        "sheet_chinese.csv",
        "utf16.txt",
        "workbook.xlsx",
        "workbook.ods",
        "two_lines.csv",
        "units_below.csv",
        "comments.csv",
        "tabs.txt",
        "parts.csv",
        "month_names.csv",
        "units_in_cells.csv",
        "sums_below.csv",
        "fixed_spaces.txt",
        "ambiguous_settled.csv",
    ] {
        kinds.push((vec![plain], none(), 0.06));
    }
    kinds
}

#[test]
fn daily_files_of_every_kind_are_read_rightly() {
    let mut wrong = Vec::new();
    let kinds = daily_kinds();
    for (names, options, exact) in &kinds {
        match bring(names, options.clone()) {
            Err(why) => wrong.push(format!("{names:?} refused: {why}")),
            Ok(brought) => {
                let read = load_days(&brought.season, brought.folder.path());
                let Some(days) = read.daily else {
                    wrong.push(format!("{names:?} gave no days\n{}", brought.account));
                    continue;
                };
                for (date, low, high, _) in DAYS {
                    let found = days.day(date.parse().unwrap());
                    let near = found.is_some_and(|(l, h)| {
                        (l - low).abs() <= *exact && (h - high).abs() <= *exact
                    });
                    if !near {
                        wrong.push(format!(
                            "{names:?} {date}: {found:?}, not {low} {high}\n{}",
                            brought.account
                        ));
                        break;
                    }
                }
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {}:\n{}",
        wrong.len(),
        kinds.len(),
        wrong.join("\n")
    );
}

/// Rain in millimetres, inches, tenths, with a trace and a "less than".
#[test]
fn rain_comes_along_in_millimetres() {
    for (name, options) in [
        ("plain.csv", ImportOptions::default()),
        ("order_c.csv", unit(Degrees::Celsius)),
        ("order_full_f.csv", unit(Degrees::Fahrenheit)),
        ("netherlands_daily.txt", ImportOptions::default()),
        ("archive.dly", ImportOptions::default()),
        ("archive_by_year.csv", ImportOptions::default()),
        ("france_daily.csv", ImportOptions::default()),
        ("prism.csv", ImportOptions::default()),
        ("power_daily.csv", ImportOptions::default()),
    ] {
        let brought = bring(&[name], options).unwrap_or_else(|e| panic!("{name}: {e}"));
        let kept = brought.season.weather.daily.first().unwrap();
        let (days, _) =
            read_days(&brought.folder.path().join(kept), &ImportOptions::default()).unwrap();
        for (date, _, _, rain) in DAYS {
            let column = DailyColumn::RainMm;
            let found = days
                .value(column, date.parse().unwrap())
                .unwrap_or(f64::NAN);
            assert!(
                (found - rain).abs() < 0.16,
                "{name} {date}: {found}, not {rain}"
            );
        }
    }
}

/// The kinds of hourly files: `-4.0 + 0.5 h` at local hour `h` of 10 and 11 January 2026.
#[test]
fn files_of_hours_and_minutes_become_hours_and_days() {
    let none = ImportOptions::default;
    let f = || unit(Degrees::Fahrenheit);
    let west = ImportOptions {
        zone: weather::any::ZoneGiven::Local,
        ..none()
    };
    let console = ImportOptions {
        dates: Some(DateOrder::MonthDayYear),
        ..f()
    };
    let kinds = [
        ("hourly_plain.csv", none(), 0.01),
        ("hourly_us_units.csv", none(), 0.06),
        ("home_minutes_us.csv", none(), 0.06),
        ("home_console.txt", console, 0.06),
        ("home_utc_f.csv", none(), 0.06),
        ("home_epoch.csv", none(), 0.01),
        ("home_dmy.csv", none(), 0.01),
        ("home_simple.csv", none(), 0.01),
        ("open_hourly.csv", none(), 0.01),
        ("open_hourly.json", none(), 0.01),
        ("germany_hourly.txt", none(), 0.01),
        ("france_hourly.csv", none(), 0.01),
        ("netherlands_hourly.txt", none(), 0.01),
        ("canada_hourly.csv", none(), 0.01),
        ("sweden_hourly.csv", none(), 0.01),
        ("japan_hourly.csv", none(), 0.01),
        ("airport.csv", none(), 0.06),
        ("coded_hourly.csv", none(), 0.01),
        ("short_hourly.txt", none(), 0.01),
        ("local_data.csv", f(), 0.3),
        ("california_hourly.csv", west, 0.06),
        ("power_hourly.csv", none(), 0.01),
        ("power_hourly.json", none(), 0.01),
        ("reference_hourly.txt", none(), 0.01),
        ("solar.csv", none(), 0.01),
    ];
    let mut wrong = Vec::new();
    for (name, options, exact) in kinds {
        let brought = match bring(&[name], options) {
            Ok(brought) => brought,
            Err(why) => {
                wrong.push(format!("{name} refused: {why}"));
                continue;
            }
        };
        let weather = load(&brought.season, brought.folder.path(), None);
        let hourly = weather.hourly.unwrap();
        for hour in [1, 6, 13, 20, 30] {
            let at: DateTime<Utc> = "2026-01-10T05:00:00Z".parse().unwrap();
            let at = at + chrono::TimeDelta::hours(hour);
            let expected = -4.0 + 0.5 * (hour % 24) as f64;
            let found = hourly.at(at).and_then(|h| h.temp_c).unwrap_or(f64::NAN);
            if (found - expected).abs() > exact || found.is_nan() {
                wrong.push(format!(
                    "{name} hour {hour}: {found}, not {expected}\n{}",
                    brought.account
                ));
                break;
            }
        }
        let day = weather
            .daily
            .and_then(|d| d.day("2026-01-10".parse().unwrap()));
        let near = day.is_some_and(|(l, h)| (l + 4.0).abs() <= exact && (h - 7.5).abs() <= exact);
        if !near {
            wrong.push(format!(
                "{name}: day {day:?}, not -4.0 7.5\n{}",
                brought.account
            ));
        }
    }
    assert!(wrong.is_empty(), "{}:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn typical_years_are_told_from_records() {
    // At 06:00 standard time, 11:00 UTC, as the samples were written.
    for (name, expected) in [("typical.epw", -1.5), ("typical_pvgis.csv", 1.5)] {
        let brought = bring(&[name], ImportOptions::default()).unwrap_or_else(|e| panic!("{e}"));
        assert!(brought.season.weather.daily.is_empty(), "{name}: no record");
        let weather = load(&brought.season, brought.folder.path(), None);
        assert!(weather.daily.is_none(), "{name}");
        let hour = weather
            .hourly
            .unwrap()
            .at("2001-01-10T11:00:00Z".parse().unwrap());
        let hour = hour.unwrap_or_else(|| panic!("{name}"));
        assert_eq!(
            (hour.temp_c, hour.provenance),
            (Some(expected), Provenance::Typical),
            "{name}"
        );
    }
}

#[test]
fn what_cannot_be_known_is_asked_and_nothing_is_written() {
    for (names, words) in [
        (vec!["refused_page.csv"], "web page"),
        (vec!["refused_no_unit.csv"], "--unit"),
        (vec!["order_whole_f.csv"], "--unit"),
        (vec!["bulk_daily.csv"], "--unit"),
        (vec!["refused_order.csv"], "--dates dmy"),
        (vec!["refused_mean_only.csv"], "minimum and the maximum"),
        (vec!["refused_word.csv"], "line 3"),
        (vec!["refused_two_columns.csv"], "--tmin"),
        (vec!["refused_letter.txt"], "no table"),
        (vec!["refused_stations.csv"], "station B after station A"),
        (vec!["refused_cut.csv.gz"], "cut off"),
        (vec!["refused_cut.json"], "JSON"),
        (vec!["europe_max.txt"], "maxima alone"),
        (vec!["no_names.csv"], "--tmin"),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().to_owned();
        let said = bring_into(&season(), folder, &names, ImportOptions::default(), false);
        let said = said.err().unwrap_or_else(|| panic!("{names:?} was taken"));
        assert!(said.contains(words), "{names:?}: {said}");
        assert!(
            said.lines().all(|l| l.chars().count() < 400),
            "{names:?}: {said}"
        );
        assert!(!path.exists() || fs::read_dir(path).unwrap().next().is_none());
    }
}

fn with_normals(mut season: Season) -> Season {
    // The means of the samples' month, summer after the rest of the world.
    let t = |c: f64| Temperature::new(c, TemperatureUnit::C);
    let lows = [
        -8.0, -7.0, -3.0, 3.0, 9.0, 14.0, 17.0, 16.0, 12.0, 6.0, 1.0, -5.0,
    ];
    season.weather.normals = Some(MonthlyNormals {
        low: lows.iter().map(|c| t(*c)).collect(),
        high: lows.iter().map(|c| t(*c + 9.0)).collect(),
    });
    season
}

/// A year of days in a unit, under a header that names none.
fn year_of(name: &str, folder: &Path, unit: fn(f64) -> String) -> PathBuf {
    let first: NaiveDate = "2025-01-01".parse().unwrap();
    let lows = [
        -8.0, -7.0, -3.0, 3.0, 9.0, 14.0, 17.0, 16.0, 12.0, 6.0, 1.0, -5.0,
    ];
    let mut text = String::from("\"STATION\",\"DATE\",\"TMAX\",\"TMIN\"\n");
    for date in first.iter_days().take(365) {
        let low = lows[chrono::Datelike::month0(&date) as usize];
        let _ = writeln!(
            text,
            "\"X\",\"{date}\",\"{}\",\"{}\"",
            unit(low + 9.0),
            unit(low)
        );
    }
    let path = folder.join(name);
    fs::write(&path, text).unwrap();
    path
}

#[test]
fn the_climate_of_the_place_settles_a_unit_that_nothing_names() {
    let folder = tempfile::tempdir().unwrap();
    let season = with_normals(season());
    for (name, unit) in [
        (
            "f.csv",
            (|c| format!("{:.0}", c * 1.8 + 32.0)) as fn(f64) -> String,
        ),
        ("c.csv", |c| format!("{c:.1}")),
        ("tenths.csv", |c| format!("{:.0}", c * 10.0)),
    ] {
        let file = year_of(name, folder.path(), unit);
        let into = tempfile::tempdir().unwrap();
        let added = add(&season, into.path(), &[file], &AddOptions::on(today()))
            .unwrap_or_else(|e| panic!("{name}: {e}"));
        let days = load_days(&added.season, into.path()).daily.unwrap();
        let (low, high) = days.day("2025-07-04".parse().unwrap()).unwrap();
        assert!(
            (low - 17.0).abs() < 0.5 && (high - 26.0).abs() < 0.5,
            "{name}: {low} {high}"
        );
        assert!(
            added.account.contains("climate of the place"),
            "{}",
            added.account
        );
    }
}

#[test]
fn another_place_or_unit_stops_unless_it_is_meant() {
    let far = |latitude: f64, elevation: f64| {
        let mut season = season();
        season.orchard.latitude = latitude;
        season.orchard.elevation = Some(Length::new(elevation, LengthUnit::M));
        season
    };
    for (season, words) in [
        (far(-33.9, 120.0), "other hemisphere"),
        (far(45.0, 120.0), "211 km"),
        (far(43.1, 900.0), "780 m lower"),
    ] {
        let try_it = |anyway| {
            bring_into(
                &season,
                tempfile::tempdir().unwrap(),
                &["order_c.csv"],
                unit(Degrees::Celsius),
                anyway,
            )
        };
        let said = try_it(false).err().unwrap();
        assert!(said.contains(words) && said.contains("--anyway"), "{said}");
        assert!(try_it(true).is_ok());
    }
    // A typical year says in its first line where it is of.
    let nothing = ImportOptions::default();
    let folder = tempfile::tempdir().unwrap();
    let said = bring_into(&far(45.0, 120.0), folder, &["typical.epw"], nothing, false);
    let said = said.err().unwrap();
    assert!(said.contains("km from the orchard"), "{said}");
    // Whole °F said to be °C, in a place whose January is known.
    let folder = tempfile::tempdir().unwrap();
    let file = year_of("f.csv", folder.path(), |c| format!("{:.0}", c * 1.8 + 32.0));
    let options = AddOptions {
        import: unit(Degrees::Celsius),
        ..AddOptions::on(today())
    };
    let season = with_normals(season());
    let said = add(&season, folder.path(), &[file], &options).unwrap_err();
    assert!(said.to_string().contains("are these °F"), "{said}");
}

/// A forecast says where it is for: one for London is not one for an orchard by Lake Ontario.
#[test]
fn a_forecast_for_another_place_stops_too() {
    let document = |longitude: f64, latitude: f64| {
        format!(
            r#"{{"type":"Feature","geometry":{{"type":"Point","coordinates":[{longitude},{latitude},120]}},"properties":{{"meta":{{"updated_at":"2026-11-27T05:00:00Z","units":{{"air_temperature":"celsius"}}}},"timeseries":[{{"time":"2026-11-27T06:00:00Z","data":{{"instant":{{"details":{{"air_temperature":4.0}}}}}}}}]}}}}"#
        )
    };
    let folder = tempfile::tempdir().unwrap();
    let bring = |name: &str, text: String| {
        let path = folder.path().join(name);
        fs::write(&path, text).unwrap();
        add(
            &season(),
            tempfile::tempdir().unwrap().path(),
            &[path],
            &AddOptions::on(today()),
        )
    };
    let said = bring("london.json", document(-0.1, 51.5)).unwrap_err();
    assert!(said.to_string().contains("km from the orchard"), "{said}");
    let here = bring("here.json", document(-77.6, 43.2)).unwrap();
    assert_eq!(here.season.weather.forecast, ["here.forecast.json"]);
    assert!(
        here.account.contains("14 km from the orchard"),
        "{}",
        here.account
    );
    // In the envelope of the program that saved it.
    let wrapped = format!("{{\"data\":{}}}", document(-77.6, 43.2));
    assert!(bring("wrapped.json", wrapped).is_ok());
}

#[test]
fn a_file_of_the_same_name_never_replaces_and_days_are_joined() {
    let folder = tempfile::tempdir().unwrap();
    let other = tempfile::tempdir().unwrap();
    let long = year_of("garden.csv", other.path(), |c| format!("{c:.1}"));
    let options = AddOptions {
        import: unit(Degrees::Celsius),
        ..AddOptions::on(today())
    };
    let first = add(
        &season(),
        folder.path(),
        std::slice::from_ref(&long),
        &options,
    )
    .unwrap();
    let before = fs::read(folder.path().join("garden.days")).unwrap();
    fs::write(
        &long,
        "date,tmin_c,tmax_c\n2025-07-04,27.0,36.0\n2026-07-04,18.0,27.0\n",
    )
    .unwrap();
    let second = add(&first.season, folder.path(), &[long], &options).unwrap();
    assert_eq!(fs::read(folder.path().join("garden.days")).unwrap(), before);
    let days = load_days(&second.season, folder.path()).daily.unwrap();
    let day = |d: &str| days.day(d.parse().unwrap());
    assert_eq!(day("2025-01-01"), Some((-8.0, 1.0)), "what was there stays");
    assert_eq!(day("2026-07-04"), Some((18.0, 27.0)));
    assert!(
        second
            .account
            .contains("joined: 1 day new, 1 there already"),
        "{}",
        second.account
    );
    assert!(
        second.account.contains("differ by 10.0 °C"),
        "{}",
        second.account
    );
    // Out again, by name; the file stays.
    let name = second
        .season
        .weather
        .brought
        .iter()
        .map(|b| &b.file)
        .find(|f| **f != "garden.days");
    let after = remove(&second.season, name.unwrap()).unwrap();
    assert_eq!(after.weather.daily, first.season.weather.daily);
    assert!(
        remove(&after, "nothing.days")
            .unwrap_err()
            .to_string()
            .contains("garden.days")
    );
    assert_eq!(list(&after, folder.path()).len(), 1);
}

#[test]
fn own_beats_station_beats_archive_whatever_the_order() {
    let folder = tempfile::tempdir().unwrap();
    let mut season = season();
    let mut file = |name: &str, low: f64, kind| {
        let path = folder.path().join(name);
        fs::write(&path, format!("date,tmin_c,tmax_c\n2026-01-10,{low},9.0\n")).unwrap();
        let options = AddOptions {
            kind: Some(kind),
            ..AddOptions::on(today())
        };
        season = add(&season, folder.path(), &[path], &options)
            .unwrap()
            .season;
        let days = load_days(&season, folder.path()).daily.unwrap();
        days.day("2026-01-10".parse().unwrap()).unwrap().0
    };
    assert_eq!(file("own.csv", 1.0, WeatherKind::Own), 1.0);
    assert_eq!(file("grid.csv", 2.0, WeatherKind::Archive), 1.0);
    assert_eq!(file("airport.csv", 3.0, WeatherKind::Station), 1.0);
    assert_eq!(file("own2.csv", 4.0, WeatherKind::Own), 4.0);
}

#[test]
fn days_after_today_are_a_forecast() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("ahead.csv");
    fs::write(
        &path,
        "date,tmin_c,tmax_c\n2026-11-26,1,5\n2026-11-27,2,6\n2026-11-28,3,7\n",
    )
    .unwrap();
    let added = add(&season(), folder.path(), &[path], &AddOptions::on(today())).unwrap();
    let weather = load(&added.season, folder.path(), None);
    assert_eq!(weather.daily.unwrap().last(), Some(today()));
    assert_eq!(weather.forecast.unwrap().last(), today().succ_opt());
    assert!(
        added.account.contains("1 days after 2026-11-27"),
        "{}",
        added.account
    );
}

#[test]
fn what_was_said_of_a_file_is_remembered_by_its_name() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("barn.csv");
    fs::write(&file, "when,a,b\n03/04/2026,-1,5\n").unwrap();
    let options = AddOptions {
        import: ImportOptions {
            dates: Some(DateOrder::DayMonthYear),
            ..columns("when", "a", "b")
        },
        ..AddOptions::on(today())
    };
    let first = add(
        &season(),
        folder.path(),
        std::slice::from_ref(&file),
        &options,
    )
    .unwrap();
    assert_eq!(first.season.weather.tables.len(), 1);
    fs::write(&file, "when,a,b\n03/04/2026,-1,5\n04/04/2026,0,6\n").unwrap();
    let second = add(
        &first.season,
        folder.path(),
        &[file],
        &AddOptions::on(today()),
    )
    .unwrap();
    let days = load_days(&second.season, folder.path()).daily.unwrap();
    assert_eq!(days.day("2026-04-04".parse().unwrap()), Some((0.0, 6.0)));
    // The longer file has every day of the shorter one, which therefore steps back.
    assert_eq!(second.season.weather.daily.len(), 1);
}
