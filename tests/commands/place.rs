//! A season by the name of its place, without any file; weather that is gone; rain by the gauge.

use crate::home::{Home, Ran};
use chrono::NaiveDate;
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

/// Every answer that shows a date of swell, and those that need no weather at all.
const ANSWERS: [&[&str]; 9] = [
    &["plan"],
    &["check"],
    &["due"],
    &["swell"],
    &["review"],
    &["review", "--markdown"],
    &["export", "html"],
    &["coverage"],
    &["check", "--records"],
];

fn started(home: &Home, more: &[&str]) -> Ran {
    let args = [
        &[
            "start",
            "--yes",
            "--block",
            "peach::6",
            "--leaf-drop",
            "2026-11-12",
            "--on",
            "2026-11-20",
            "--season",
            "s.toml",
        ],
        more,
    ]
    .concat();
    home.run(&args)
}

fn on(home: &Home, args: &[&str], day: &str) -> Ran {
    home.run(&[args, &["--season", "s.toml", "--on", day]].concat())
}

#[test]
fn a_town_is_enough_for_an_honest_plan() {
    let home = Home::new();
    let made = started(&home, &["--place", "Rochester, New York"]).fine();
    assert!(made.out.contains("Rochester, New York"), "{}", made.out);
    assert!(made.out.contains("area's normal weather"), "{}", made.out);
    let file = fs::read_to_string(home.path().join("s.toml")).unwrap();
    for part in [
        "America/New_York",
        "latitude = 43.15",
        "elevation = ",
        "units = \"us\"",
    ] {
        assert!(file.contains(part), "{part}: {file}");
    }
    for answer in &ANSWERS[..7] {
        let said = on(&home, answer, "2026-11-25").out;
        assert!(said.contains("normal weather"), "{answer:?}: {said}");
    }
    let json = on(&home, &["swell", "--json"], "2026-11-25").json();
    let day =
        |key: &str| -> NaiveDate { json["blocks"][0][key].as_str().unwrap().parse().unwrap() };
    // Peach buds there swell from late March to the middle of April (from memory, no source).
    let (early, late) = ("2027-03-15".parse().unwrap(), "2027-04-20".parse().unwrap());
    let middle = day("p50");
    assert!(middle >= early && middle <= late, "{middle}");
    let wide = (day("p90") - day("p10")).num_days();
    assert!((10..=45).contains(&wide), "{wide} days");
}

#[test]
fn several_towns_are_listed_and_coordinates_and_links_work() {
    let home = Home::new();
    let asked = started(&home, &["--place", "Rochester"]);
    assert_eq!(asked.code, 2, "{}", asked.out);
    for town in [
        "Rochester, New York",
        "Rochester, Minnesota",
        "add the state",
    ] {
        assert!(asked.err.contains(town), "{town}: {}", asked.err);
    }
    let nowhere = started(&home, &["--place", "Xyzzyville"]);
    assert!(
        nowhere.code == 2 && nowhere.err.contains("no town"),
        "{}",
        nowhere.err
    );
    let link = started(
        &home,
        &["--place", "https://maps.example/#map=12/47.47/-0.55"],
    )
    .fine();
    assert!(link.out.contains("Angers"), "{}", link.out);
    let file = fs::read_to_string(home.path().join("s.toml")).unwrap();
    assert!(
        file.contains("Europe/Paris") && file.contains("metric"),
        "{file}"
    );
}

#[test]
fn a_clock_that_does_not_fit_is_told() {
    let home = Home::new();
    let made = started(&home, &["--place", "Naju", "--zone", "America/New_York"]).fine();
    assert!(made.out.contains("does not fit"), "{}", made.out);
}

/// Winters of days with frost and a spring, at a place of nowhere.
fn days(file: &Path) {
    let mut text = String::from("date,tmin_c,tmax_c,rain_mm\n");
    let first: NaiveDate = "2014-08-01".parse().unwrap();
    for (i, day) in first.iter_days().take(4500).enumerate() {
        let season = (i as f64 + 10.0) / 365.25 * std::f64::consts::TAU;
        let mean = 9.0 + 11.0 * season.cos() + 3.0 * (i as f64 * 0.7).sin();
        let rain = if i % 5 == 0 { 6.0 } else { 0.0 };
        let _ = writeln!(text, "{day},{:.1},{:.1},{rain}", mean - 5.0, mean + 5.0);
    }
    fs::write(file, text).unwrap();
}

#[test]
fn weather_that_is_gone_or_broken_costs_its_data_and_a_line() {
    let home = Home::new();
    started(&home, &["--place", "Rochester, New York"]).fine();
    days(&home.path().join("own.csv"));
    on(&home, &["weather", "add", "own.csv"], "2026-11-25").fine();
    let with = on(&home, &["plan"], "2026-11-25").fine().out;
    assert!(!with.contains("area's normal weather"), "{with}");
    let kept = home.path().join("own.days");
    let bytes = fs::read(&kept).unwrap();
    for (what, is) in [
        ("missing", None),
        ("cannot be read", Some(&bytes[..bytes.len() / 2])),
    ] {
        match is {
            None => fs::remove_file(&kept).unwrap(),
            Some(half) => fs::write(&kept, half).unwrap(),
        }
        for answer in ANSWERS {
            let ran = on(&home, answer, "2026-11-25");
            assert!(ran.code <= 1, "{answer:?}: {} {}", ran.code, ran.err);
        }
        for answer in &ANSWERS[..7] {
            let said = on(&home, answer, "2026-11-25").out;
            let joined = said.split_whitespace().collect::<Vec<_>>().join(" ");
            assert!(joined.contains("own.days"), "{what} {answer:?}: {said}");
            assert!(joined.contains(what), "{what} {answer:?}: {said}");
        }
        // Changes are still written.
        on(&home, &["read", "buds", "0"], "2026-11-25").fine();
    }
    let file = on(&home, &["check", "--file"], "2026-11-25");
    assert!(
        file.code == 1 && file.out.contains("own.days"),
        "{}",
        file.out
    );
}

#[test]
fn the_next_season_takes_the_weather_along() {
    let home = Home::new();
    started(&home, &["--place", "Rochester, New York"]).fine();
    days(&home.path().join("own.csv"));
    on(&home, &["weather", "add", "own.csv"], "2026-11-25").fine();
    fs::create_dir(home.path().join("next")).unwrap();
    let next = home
        .run(&[
            "start",
            "--yes",
            "--from",
            "s.toml",
            "--season",
            "next/n.toml",
            "--on",
            "2027-11-01",
        ])
        .fine();
    assert!(next.out.contains("1 weather file"), "{}", next.out);
    assert_eq!(
        fs::read(home.path().join("next/own.days")).unwrap(),
        fs::read(home.path().join("own.days")).unwrap()
    );
    let said = home
        .run(&["plan", "--season", "next/n.toml", "--on", "2027-11-02"])
        .fine()
        .out;
    assert!(
        !said.contains("own.days") && !said.contains("area's normal"),
        "{said}"
    );
}

#[test]
fn the_sample_season_opens_as_it_stands() {
    let home = Home::new();
    let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-season.toml");
    fs::copy(sample, home.path().join("s.toml")).unwrap();
    for answer in ANSWERS {
        let ran = on(&home, answer, "2027-02-08");
        assert!(ran.code <= 1, "{answer:?}: {}", ran.err);
        assert!(!ran.out.contains("missing:"), "{answer:?}: {}", ran.out);
    }
}

#[test]
fn rain_of_the_gauge_goes_before_the_files_and_the_warning_says_so() {
    let home = Home::new();
    started(&home, &["--place", "Rochester, New York"]).fine();
    on(
        &home,
        &["finish", "first-copper", "--who", "A. Grower"],
        "2026-11-25",
    )
    .fine();
    let dry = on(&home, &["check", "--all"], "2026-12-01").out;
    assert!(
        !dry.contains("partly lost") && !dry.contains("repeat may go"),
        "{dry}"
    );
    for (day, rain) in [("2026-11-27", "1.6 in"), ("2026-11-28", "20 mm")] {
        on(&home, &["read", "rain", rain], day).fine();
    }
    let wet = on(&home, &["check", "--all"], "2026-12-01").out;
    let joined = wet.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        joined.contains("your gauge") && joined.contains("2.39 in"),
        "{wet}"
    );
    let bad = on(&home, &["read", "rain", "wet"], "2026-11-29");
    assert!(bad.code == 2, "{}", bad.err);
    let file = fs::read_to_string(home.path().join("s.toml")).unwrap();
    assert!(file.contains("kind = \"rain\""), "{file}");
}

#[test]
fn daily_rain_of_the_files_counts_where_no_hours_are() {
    let home = Home::new();
    started(&home, &["--place", "Rochester, New York"]).fine();
    let mut text = String::from("date,tmin_c,tmax_c,rain_mm\n");
    for (day, rain) in [
        (25, 18.0),
        (26, 10.0),
        (27, 12.0),
        (28, 9.0),
        (29, 7.0),
        (30, 0.0),
    ] {
        let _ = writeln!(text, "2026-11-{day},1.0,7.0,{rain}");
    }
    fs::write(home.path().join("wet.csv"), text).unwrap();
    on(&home, &["weather", "add", "wet.csv"], "2026-11-30").fine();
    on(
        &home,
        &["finish", "first-copper", "--who", "A. Grower"],
        "2026-11-25",
    )
    .fine();
    let said = on(&home, &["check", "--all"], "2026-12-01").out;
    let joined = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        joined.contains("by daily rain") && joined.contains("2.20 in"),
        "{said}"
    );
}

/// Over TLS, from a server of one's own whose certificate the settings name, and not without it.
#[test]
fn a_copy_of_the_archive_is_asked_over_tls_by_its_certificate() {
    let head = "-BEGIN HEADER-\r\nNASA/POWER Source Native Resolution Daily Data \r\n\
        Location: latitude  43.2   longitude -77.6 \r\n\
        elevation from MERRA-2: Average for 0.5 x 0.625 degree lat/lon region = 160.0 meters\r\n\
        The value for missing source data that cannot be computed or is outside of the sources availability range: -999 \r\n\
        parameter(s): \r\nT2M_MIN MERRA-2 Temperature at 2 Meters Minimum (C) \r\n-END HEADER-\r\n\
        YEAR,DOY,T2M_MIN,T2M_MAX,PRECTOTCORR,WS10M,RH2M\r\n";
    let first = NaiveDate::from_ymd_opt(1981, 1, 1).unwrap();
    let today = chrono::Utc::now().date_naive();
    let mut body = head.to_owned();
    for date in first.iter_days().take_while(|d| *d < today) {
        use chrono::Datelike as _;
        use std::fmt::Write as _;
        let mean = 9.0 - 14.0 * ((f64::from(date.ordinal()) - 20.0) * 0.017_203).cos();
        let (low, high) = (mean - 4.5, mean + 4.5);
        let (year, day) = (date.year(), date.ordinal());
        write!(body, "{year},{day},{low:.2},{high:.2},1.0,3.1,75.0\r\n").unwrap();
    }
    let server = crate::tls::TlsServer::start(vec![crate::server::reply(200, &body, &[])]);
    let home = Home::new();
    started(&home, &["--place", "Rochester, New York"]);
    let settings = home.path().join(".config/barewood");
    fs::create_dir_all(&settings).unwrap();
    fs::write(settings.join("own.der"), crate::tls::CERTIFICATE).unwrap();
    let fetch = |certificate: &str| {
        let text = format!("[history]\naddress = \"{}\"\n{certificate}", server.base);
        fs::write(settings.join("settings.toml"), text).unwrap();
        home.run(&[
            "weather",
            "fetch",
            "--history",
            "--days-only",
            "--season",
            "s.toml",
        ])
    };
    let refused = fetch("");
    assert_ne!(refused.code, 0, "{}", refused.out);
    let missing = fetch("certificate = \"none.der\"\n");
    assert!(missing.err.contains("none.der"), "{}", missing.err);
    let done = fetch("certificate = \"own.der\"\n");
    assert_eq!(done.code, 0, "{}{}", done.out, done.err);
    assert_eq!(server.asked.lock().unwrap().len(), 1);
}
