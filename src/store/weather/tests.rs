//! Each format end to end, and each kind of trouble.

use chrono::NaiveDate;

use super::*;
use crate::domain::climate::daily_weather::DailyColumn;
use crate::domain::climate::hourly_series::Provenance;

fn date(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn daily(text: &str) -> Result<Imported<DailyWeather>, ImportError> {
    read_daily(text.as_bytes(), "home.csv", &ImportOptions::default())
}

fn strict(text: &str) -> String {
    let options = ImportOptions {
        strict: true,
        ..ImportOptions::default()
    };
    read_daily(text.as_bytes(), "home.csv", &options)
        .unwrap_err()
        .to_string()
}

fn refusal(text: &str) -> String {
    daily(text).unwrap_err().to_string()
}

#[test]
fn a_plain_file_in_any_order_with_side_columns() {
    let read = daily(
        "date,tmin_c,tmax_c,prec_mm,wind_ms,weather\n\
         2024-01-02,-2.5,4.0,0.3,2.0,rain\n2024-01-01,1.0,5.0,,1.0,sun\n",
    )
    .unwrap();
    let days = read.data.temperatures();
    assert_eq!(days.first(), date("2024-01-01"));
    assert_eq!(days.day(date("2024-01-02")), Some((-2.5, 4.0)));
    assert_eq!(
        read.data.value(DailyColumn::RainMm, date("2024-01-02")),
        Some(0.3)
    );
    assert_eq!(
        read.data.value(DailyColumn::RainMm, date("2024-01-01")),
        None
    );
    assert_eq!(read.report.unknown_columns, ["weather"]);
    assert_eq!((read.report.rows, read.report.kept), (2, 2));
    assert!(read.report.remarks.is_empty());
}

#[test]
fn fahrenheit_by_header_or_by_option_and_semicolons_with_decimal_commas() {
    let read = daily("Date;Min Temp (°F);Max Temp (°F)\n2024-01-01;23,0;50\n").unwrap();
    assert_eq!(
        read.data.temperatures().day(date("2024-01-01")),
        Some((-5.0, 10.0))
    );
    let options = ImportOptions {
        scale: Some(TemperatureScale::Fahrenheit),
        date_column: Some("when".into()),
        ..ImportOptions::default()
    };
    let text = "when\tmin\tmax\n2024-01-01\t32\t50\n";
    let read = read_daily(text.as_bytes(), "x", &options).unwrap();
    assert_eq!(
        read.data.temperatures().day(date("2024-01-01")),
        Some((0.0, 10.0))
    );
}

#[test]
fn year_month_day_columns_and_columns_named_by_the_caller() {
    let read = daily("Year,Month,Day,Tmin_C,Tmax_C\n2024,2,9,1,5\n").unwrap();
    assert_eq!(
        read.data.temperatures().day(date("2024-02-09")),
        Some((1.0, 5.0))
    );
    let options = ImportOptions {
        scale: Some(TemperatureScale::Celsius),
        tmin_column: Some("coldest".into()),
        tmax_column: Some("hottest".into()),
        ..ImportOptions::default()
    };
    let text = "date,tmin_c,coldest,hottest\n2024-02-09,9,1,5\n";
    let read = read_daily(text.as_bytes(), "x", &options).unwrap();
    assert_eq!(
        read.data.temperatures().day(date("2024-02-09")),
        Some((1.0, 5.0))
    );
}

#[test]
fn several_errors_are_listed_at_once_with_their_places() {
    let text =
        refusal("date,tmin_c,tmax_c\n2024-02-30,1,2\n2024-01-02,cold,2\n\n2024-01-03,1,\x1b[2J\n");
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines.len(), 3, "{text}");
    assert_eq!(
        lines[0],
        "home.csv, line 2, column date: \"2024-02-30\": the calendar has no such day; \
         correct the day, or leave the line out"
    );
    assert!(
        lines[1].starts_with("home.csv, line 3, column tmin_c: \"cold\" is not a number; write")
    );
    assert!(lines[2].starts_with("home.csv, line 5, column tmax_c"));
    assert!(!text.contains('\x1b'));
}

#[test]
fn at_most_twenty_errors_are_spelled_out() {
    let rows = "2024-13-01,1,2\n".repeat(100);
    let error = daily(&format!("date,tmin_c,tmax_c\n{rows}")).unwrap_err();
    assert_eq!(error.problems().len(), 20);
    assert!(error.to_string().ends_with("and 80 more like these"));
}

#[test]
fn minimum_above_maximum_leaves_the_day_missing_and_says_so() {
    let text = "date,tmin_c,tmax_c\n2024-01-01,1,5\n2024-01-02,8,2\n2024-01-03,1,5\n";
    let read = daily(text).unwrap();
    assert_eq!(read.report.reversed, 1);
    assert_eq!(read.data.temperatures().day(date("2024-01-02")), None);
    let remark = &read.report.remarks.listed()[0];
    assert_eq!(
        (remark.line, remark.what.as_str()),
        (3, "minimum 8.0 above maximum 2.0 °C on 2024-01-02")
    );
    assert!(strict(text).contains("minimum 8.0 above maximum 2.0"));
}

#[test]
fn exchanged_columns_and_wrong_units_are_refused_as_a_whole() {
    let rows = |low: i32, high: i32| {
        let day = |d: i32| format!("2024-01-{d:02},{low},{high}");
        (1..=20).map(day).collect::<Vec<_>>().join("\n")
    };
    let exchanged = refusal(&format!("date,tmin_c,tmax_c\n{}", rows(9, 2)));
    assert!(exchanged.contains("look exchanged"), "{exchanged}");
    let unit = refusal(&format!("date,tmin_c,tmax_c\n{}", rows(40, 75)));
    assert!(unit.contains("check the unit"), "{unit}");
}

#[test]
fn duplicate_days_are_told_and_the_later_line_wins() {
    let text = "date,tmin_c,tmax_c\n2024-01-01,1,5\n2024-01-01,2,\n";
    let read = daily(text).unwrap();
    assert_eq!(read.report.duplicates, 1);
    assert_eq!(
        read.data.temperatures().day(date("2024-01-01")),
        Some((2.0, 5.0))
    );
    assert_eq!(
        read.report.remarks.listed()[0].what,
        "2024-01-01 already stands on line 2"
    );
    assert!(
        strict(text).contains("home.csv, line 3, column date: 2024-01-01 already stands on line 2")
    );
}

#[test]
fn gaps_and_missing_signs_are_told() {
    let text = "date,tmin_c,tmax_c\n2023-12-30,1,5\n2023-12-31,NaN,5\n2024-01-01,,\n2024-01-04,-9999,1\n2024-01-05,1,5\n2024-01-06,NA,NA\n";
    let read = daily(text).unwrap();
    let gaps: Vec<_> = read.report.gaps.iter().map(|g| (g.first, g.last)).collect();
    assert_eq!(gaps, [(date("2023-12-31"), date("2024-01-04"))]);
    assert_eq!((read.report.kept, read.report.days_missing()), (2, 5));
    assert_eq!(
        read.report.span,
        Some((date("2023-12-30"), date("2024-01-05")))
    );
    assert!(read.report.to_string().contains("5 days missing in 1 gap"));
    assert!(strict(text).contains("5 days missing, 2023-12-31 to 2024-01-04"));
}

#[test]
fn impossible_values_are_left_missing() {
    let read = daily("date,tmin_c,tmax_c,rain_mm\n2024-01-01,1,99,-4\n2024-01-02,1,5,3\n").unwrap();
    assert_eq!(read.report.impossible, 2);
    assert_eq!(read.data.temperatures().first(), date("2024-01-02"));
    assert!(refusal("date,tmin_c,tmax_c\n2024-01-01,1,inf\n").contains("\"inf\" is not a number"));
}

#[test]
fn headers_that_do_not_do_are_explained() {
    for (text, expected) in [
        (
            "date,tmin,tmax\n2024-01-01,1,2\n",
            "does not say whether °C or °F",
        ),
        (
            "when,tmin_c,tmax_c\n",
            "no column for the date among: when, tmin_c, tmax_c",
        ),
        ("date,tmin_c\n", "no column for the daily maximum"),
        (
            "date,tmin_c,tmin_f,tmax_c\n",
            "a second column for the minimum",
        ),
        ("date,tmin_c,tmax_c\n", "no day has both"),
        ("", "the file is empty"),
        ("# only a note\n", "no line with column names"),
        (
            "station,date,tmin_c,tmax_c\nA,2024-01-01,1,2\nB,2024-01-02,1,2\n",
            "station B after station A",
        ),
        ("utc,temp_c\n", "this is an hourly file"),
        ("\u{0}\u{1}\u{2}", "no column for the date"),
    ] {
        let found = refusal(text);
        assert!(found.contains(expected), "{text:?}: {found}");
        assert!(
            !found.contains(|c: char| c.is_control() && c != '\n'),
            "{found:?}"
        );
    }
}

/// Layout of the by-station form as its documentation describes it: attributes are measurement,
/// quality and source flag. Values made up for this test.
const STATION: &str = "\"STATION\",\"DATE\",\"LATITUDE\",\"LONGITUDE\",\"ELEVATION\",\"NAME\",\"PRCP\",\"PRCP_ATTRIBUTES\",\"SNOW\",\"TMAX\",\"TMAX_ATTRIBUTES\",\"TMIN\",\"TMIN_ATTRIBUTES\"
\"XX000000001\",\"2024-01-01\",\"43.1\",\"-77.5\",\"120.5\",\"A PLACE, NOWHERE\",\"    3\",\",,W\",\"0\",\"   44\",\",,W,0700\",\"  -28\",\",,W\"
\"XX000000001\",\"2024-01-02\",\"43.1\",\"-77.5\",\"120.5\",\"A PLACE, NOWHERE\",\"-9999\",\"\",\"\",\"   50\",\",,W\",\"  -10\",\",I,W\"
\"XX000000001\",\"2024-01-03\",\"43.1\",\"-77.5\",\"120.5\",\"A PLACE, NOWHERE\",\"\",\"\",\"\",\"   61\",\"H,,S\",\"   11\",\"H,,S\"
";

#[test]
fn station_csv_in_tenths_with_quality_flags() {
    let read = daily(STATION).unwrap();
    assert_eq!(read.report.format, WeatherFormat::StationCsv);
    let days = read.data.temperatures();
    assert_eq!(days.day(date("2024-01-01")), Some((-2.8, 4.4)));
    assert_eq!(days.day(date("2024-01-02")), None);
    assert_eq!(days.day(date("2024-01-03")), Some((1.1, 6.1)));
    assert_eq!(
        read.data.value(DailyColumn::RainMm, date("2024-01-01")),
        Some(0.3)
    );
    assert_eq!(read.report.flagged, 1);
    let station = read.report.station.unwrap();
    assert_eq!(
        (station.id.as_str(), station.name.as_deref()),
        ("XX000000001", Some("A PLACE, NOWHERE"))
    );
    assert_eq!(
        (station.latitude_deg, station.longitude_deg),
        (Some(43.1), Some(-77.5))
    );
}

#[test]
fn station_csv_not_in_tenths_is_refused() {
    let whole = STATION.replace("\"   44\"", "\"  4.4\"");
    assert!(refusal(&whole).contains("line 2, column TMAX: \"4.4\" has a decimal point"));
    let lacking = STATION.replace("\"TMIN\"", "\"XMIN\"");
    assert!(refusal(&lacking).contains("no column TMIN"));
}

/// The order form of the same archive: whole degrees in the scale that was ordered, which
/// nothing in the file tells. Checked by hand: 44 °F = 6.7 °C, 31 °F = -0.6 °C.
#[test]
fn the_order_form_is_not_taken_for_tenths_and_the_scale_given_is_kept_to() {
    let text = "\"STATION\",\"NAME\",\"DATE\",\"TMAX\",\"TMIN\"\n\"USC1\",\"X\",\"2027-01-01\",\"44\",\"31\"\n";
    assert!(refusal(text).contains("does not say whether °C or °F"));
    for (scale, low, high) in [
        (TemperatureScale::Fahrenheit, -0.555_56, 6.666_67),
        (TemperatureScale::Celsius, 31.0, 44.0),
    ] {
        let options = ImportOptions {
            scale: Some(scale),
            ..ImportOptions::default()
        };
        let read = read_daily(text.as_bytes(), "x.csv", &options).unwrap();
        let day = read.data.temperatures().day(date("2027-01-01"));
        assert_eq!(day, Some((low, high)));
    }
}

/// A line of the fixed-width form: values by day, flags blank but where given.
fn dly(element: &str, month: &str, values: &[(u32, i32, char)]) -> String {
    let group = |day: u32| {
        let found = values.iter().find(|(d, _, _)| *d == day);
        found.map_or("-9999   ".to_string(), |(_, v, quality)| {
            format!("{v:5} {quality}S")
        })
    };
    format!(
        "XX000000001{month}{element}{}\n",
        (1..=31).map(group).collect::<String>()
    )
}

#[test]
fn station_file_of_fixed_width() {
    let text = [
        dly("TMAX", "202402", &[(28, 50, ' '), (29, 61, ' ')]),
        dly("TMIN", "202402", &[(28, -5, ' '), (29, 11, ' ')]),
        dly("TMAX", "202403", &[(1, 70, ' '), (2, 80, ' ')]),
        dly("TMIN", "202403", &[(1, 20, 'X'), (2, 30, ' ')]),
        dly("SNWD", "202403", &[(1, 20, ' ')]),
    ]
    .concat();
    let read = daily(&text).unwrap();
    assert_eq!(read.report.format, WeatherFormat::StationDly);
    let days = read.data.temperatures();
    assert_eq!(days.day(date("2024-02-28")), Some((-0.5, 5.0)));
    assert_eq!(days.day(date("2024-02-29")), Some((1.1, 6.1)));
    assert_eq!(days.day(date("2024-03-01")), None);
    assert_eq!(days.day(date("2024-03-02")), Some((3.0, 8.0)));
    assert_eq!((read.report.flagged, read.report.duplicates), (1, 0));
}

#[test]
fn station_file_of_fixed_width_with_trouble() {
    let text = dly("TMAX", "202302", &[(29, 50, ' ')]) + &dly("TMIN", "202313", &[]);
    let found = refusal(&text);
    assert!(
        found.contains("line 1, column TMAX: \"2023-02-29\": the calendar has no such day"),
        "{found}"
    );
    assert!(found.contains("line 2, column year and month"), "{found}");
    let twice = [
        dly("TMAX", "202402", &[(1, 50, ' ')]),
        dly("TMIN", "202402", &[(1, 40, ' ')]),
        dly("TMIN", "202402", &[(1, 30, ' ')]),
    ]
    .concat();
    let read = daily(&twice).unwrap();
    assert_eq!(read.report.duplicates, 1);
    assert_eq!(
        read.data.temperatures().day(date("2024-02-01")),
        Some((3.0, 5.0))
    );
}

#[test]
fn packed_history_is_read_like_any_daily_file() {
    let weather = daily("date,tmin_c,tmax_c\n2024-01-01,1,5\n").unwrap().data;
    let packed = history::encode(&weather);
    let read = read_daily(packed.as_slice(), "home.days", &ImportOptions::default()).unwrap();
    assert_eq!(read.data, weather);
    let cut = packed.get(..packed.len() - 1).unwrap();
    let error = read_daily(cut, "home.days", &ImportOptions::default()).unwrap_err();
    assert!(
        error
            .to_string()
            .starts_with("home.days: this packed weather history has"),
        "{error}"
    );
}

#[test]
fn hourly_csv() {
    let text = "utc,local,temp_c,dewp_c,rh_pct,wind_ms,gust_ms,wind_dir_deg,precip_mm,pressure_hpa\n\
                2013-01-01T06:00Z,2013-01-01T01:00-0500,3.9,-3.3,59.4,5.7,,260.0,0.0,1012.6\n\
                2013-01-01T08:00Z,2013-01-01T03:00-0500,4.4,-2.8,59.5,6.7,,260.0,0.0,1012.7\n";
    let read = read_hourly(text.as_bytes(), "x.csv", &ImportOptions::default()).unwrap();
    assert_eq!(
        (read.data.len(), read.data.missing(), read.report.kept),
        (3, 1, 2)
    );
    let hour = read.data.get(0).unwrap();
    assert_eq!(
        (
            hour.temp_c,
            hour.dew_c,
            hour.wind_ms,
            hour.gust_ms,
            hour.wind_dir_deg,
            hour.rain_mm
        ),
        (
            Some(3.9),
            Some(-3.3),
            Some(5.7),
            None,
            Some(260.0),
            Some(0.0)
        )
    );
    assert_eq!(hour.provenance, Provenance::Observed);
    assert_eq!(read.data.first().to_string(), "2013-01-01 06:00:00 UTC");
    assert_eq!(read.report.unknown_columns, ["pressure_hpa"]);
}

#[test]
fn hourly_csv_with_trouble() {
    let error = |text: &str| {
        read_hourly(text.as_bytes(), "x.csv", &ImportOptions::default())
            .unwrap_err()
            .to_string()
    };
    let found = error("time,temp_c\n2013-01-01T06:00,1\n2013-01-01T07:00Z,x\n");
    assert!(
        found.contains("line 2, column time: \"2013-01-01T06:00\" does not say how far"),
        "{found}"
    );
    assert!(
        found.contains("line 3, column temp_c: \"x\" is not a number"),
        "{found}"
    );
    assert!(error("utc,temp\n2013-01-01T06:00Z,1\n").contains("whether °C or °F"));
    assert!(error("utc,rh\n").contains("no column for the time or the temperature"));
    assert!(error("utc,temp_c\n").contains("no hour"));
    assert!(error("date,tmin_c,tmax_c\n").contains("not an hourly file"));
    assert!(
        error("utc,temp_c\n1800-01-01T00:00Z,1\n2100-01-01T00:00Z,1\n").contains("sixty years")
    );
    let twice = "utc,temp_c,rh_pct\n2013-01-01T06:00Z,1,50\n2013-01-01T06:20Z,2,400\n";
    let read = read_hourly(twice.as_bytes(), "x.csv", &ImportOptions::default()).unwrap();
    assert_eq!((read.report.duplicates, read.report.impossible), (1, 1));
    assert_eq!(read.data.get(0).unwrap().temp_c, Some(2.0));
}

#[test]
fn typical_year() {
    let text = "723170,\"A PLACE\",NC,-5.0,36.100,-79.950,273\n\
                Date (MM/DD/YYYY),Time (HH:MM),Dry-bulb (C),Dew-point (C),RHum (%),Wdir (degrees),Wspd (m/s),Lprecip depth (mm)\n\
                01/01/1988,01:00,10.0,6.1,77,200,6.2,0\n\
                12/31/1980,24:00,2.2,-9900,89,180,2.6,3\n";
    let read = read_hourly(text.as_bytes(), "x.csv", &ImportOptions::default()).unwrap();
    assert_eq!(read.report.format, WeatherFormat::Tmy3);
    assert_eq!(read.data.len(), 8760);
    assert_eq!(read.data.first().to_string(), "2001-01-01 06:00:00 UTC");
    let last = read.data.hours().last().unwrap();
    assert_eq!(
        (last.temp_c, last.dew_c, last.rain_mm),
        (Some(2.2), None, Some(3.0))
    );
    assert_eq!(last.provenance, Provenance::Typical);
    let bad = text.replace("24:00", "25:00");
    let error = read_hourly(bad.as_bytes(), "x.csv", &ImportOptions::default()).unwrap_err();
    assert!(error.to_string().contains("line 4"), "{error}");
}

#[test]
fn falling_and_scattered_order_give_the_same_days() {
    let row = |d: u32| format!("2024-01-{d:02},{d},{}\n", d + 5);
    let file = |days: &mut dyn Iterator<Item = u32>| {
        daily(&format!(
            "date,tmin_c,tmax_c\n{}",
            days.map(row).collect::<Vec<_>>().concat()
        ))
        .unwrap()
        .data
    };
    let rising = file(&mut (1..=31));
    assert_eq!(file(&mut (1..=31).rev()), rising);
    assert_eq!(file(&mut (0..31).map(|i| i * 7 % 31 + 1)), rising);
    assert_eq!(rising.temperatures().len(), 31);
}

#[test]
fn a_bad_side_value_is_told_but_costs_nothing_else() {
    let read = daily("date,tmin_c,tmax_c,rain_mm\n2024-01-01,1,5,T\n").unwrap();
    assert_eq!(read.report.kept, 1);
    assert!(
        read.report
            .to_string()
            .contains("line 2, column rain_mm: \"T\" is not a number")
    );
}
