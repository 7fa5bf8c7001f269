//! Weather files by the binary: in, listed, out, back; the archive from a local server.

use crate::home::Home;
use crate::server::{Server, ok};
use std::fmt::Write as _;
use std::fs;

fn on(home: &Home, args: &[&str]) -> crate::home::Ran {
    home.run(&[args, &["--season", "season.toml"]].concat())
}

fn days(name: &str, home: &Home, low: f64, first: &str, count: usize) {
    let first: chrono::NaiveDate = first.parse().unwrap();
    let mut text = String::from("date,tmin_c,tmax_c\n");
    // Roughly the months of Zaragoza, moved by what is wanted.
    let months = [
        2.0, 3.0, 6.0, 8.0, 12.0, 16.0, 19.0, 19.0, 16.0, 11.0, 6.0, 3.0,
    ];
    for date in first.iter_days().take(count) {
        let low = low + months[chrono::Datelike::month0(&date) as usize];
        let _ = writeln!(text, "{date},{low},{}", low + 10.0);
    }
    fs::write(home.path().join(name), text).unwrap();
}

fn files(home: &Home) -> Vec<String> {
    let listed = on(home, &["weather", "list", "--json"]).fine().json();
    let rows = listed.as_array().unwrap();
    rows.iter()
        .map(|r| r["file"].as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn files_are_joined_listed_left_out_and_taken_back() {
    let (home, _) = Home::started();
    days("station.csv", &home, 1.0, "2010-01-01", 2000);
    let first = on(&home, &["weather", "add", "station.csv"]).fine();
    assert!(
        first.out.contains("joined") || first.out.contains("2000 days"),
        "{}",
        first.out
    );
    days("station.csv", &home, 2.0, "2015-11-01", 20);
    let second = on(&home, &["weather", "add", "station.csv"]).fine();
    assert!(second.out.contains("20 days new"), "{}", second.out);
    assert_eq!(files(&home), ["station.days", "station-2.days"]);
    let shown = on(&home, &["weather", "show"]).fine().out;
    assert!(shown.contains("2010-01-01 to 2015-11-20"), "{shown}");
    let said = on(&home, &["weather", "list"]).fine().out;
    assert!(
        said.contains("own thermometer") && said.contains("from station.csv"),
        "{said}"
    );
    assert!(said.lines().all(|l| l.chars().count() <= 80), "{said}");
    on(&home, &["weather", "remove", "station.days"]).fine();
    assert_eq!(files(&home), ["station-2.days"]);
    on(&home, &["weather", "undo"]).fine();
    assert_eq!(files(&home), ["station.days", "station-2.days"]);
    on(&home, &["weather", "undo"]).fine();
    assert_eq!(
        files(&home),
        ["station-2.days"],
        "undone again it is as it was"
    );
    let unknown = on(&home, &["weather", "remove", "nothing"]);
    assert_eq!(unknown.code, 2);
    assert!(unknown.err.contains("station-2.days"), "{}", unknown.err);
}

/// Values of the US archive's order form worked out by hand: 44 °F is 6.7 °C, 31 °F is -0.6 °C;
/// above 32 °F they make (44 + 31) / 2 - 32 = 5.5 degree days by the average.
#[test]
fn whole_fahrenheit_is_never_read_as_tenths() {
    let (home, _) = Home::started();
    let text = "\"STATION\",\"NAME\",\"DATE\",\"TMAX\",\"TMIN\"\n\"USC1\",\"X\",\"2015-11-01\",\"44\",\"31\"\n\"USC1\",\"X\",\"2015-11-02\",\"44\",\"31\"\n";
    fs::write(home.path().join("order.csv"), text).unwrap();
    let asked = on(&home, &["weather", "add", "order.csv"]);
    assert_eq!(asked.code, 2);
    assert!(asked.err.contains("--unit"), "{}", asked.err);
    assert!(!home.path().join("order.days").exists());
    let added = on(&home, &["weather", "add", "order.csv", "--scale", "F"]).fine();
    assert!(
        !added.out.contains("laid out anew"),
        "two days are no winter: {}",
        added.out
    );
    let sums = [
        "weather",
        "show",
        "--sums",
        "dd",
        "--base",
        "32F",
        "--method",
        "simple-average",
        "--to",
        "2015-11-01",
    ];
    let out = on(&home, &sums).fine().out;
    assert!(out.contains("5.5"), "{out}");
    // The file's name is remembered with its unit.
    on(&home, &["weather", "add", "order.csv"]).fine();
}

fn answer() -> String {
    let mut text = "-BEGIN HEADER-\r\nNASA/POWER Source Native Resolution Daily Data \r\n\
        Location: latitude  41.7   longitude -0.9 \r\n\
        elevation from MERRA-2: Average for 0.5 x 0.625 degree lat/lon region = 300.0 meters\r\n\
        -END HEADER-\r\nYEAR,DOY,T2M_MIN,T2M_MAX,PRECTOTCORR,WS10M,RH2M\r\n"
        .to_owned();
    let first: chrono::NaiveDate = "1981-01-01".parse().unwrap();
    let last = chrono::Utc::now().date_naive() - chrono::Days::new(5);
    for date in first.iter_days().take_while(|d| *d <= last) {
        let _ = write!(text, "{},2.0,11.0,0.5,3.0,70.0\r\n", date.format("%Y,%-j"));
    }
    text
}

#[test]
fn forty_winters_come_with_one_command_and_go_under_what_was_measured() {
    let (home, _) = Home::started();
    let server = Server::start(|_| vec![ok(&answer(), &[])]);
    let places = on(&home, &["shell", "places"]).fine().out;
    let config = places
        .lines()
        .find_map(|l| {
            l.split_whitespace()
                .find(|w| w.ends_with("config/barewood") || w.ends_with("settings.toml"))
        })
        .unwrap_or_else(|| panic!("{places}"));
    let settings = std::path::Path::new(config);
    let settings = if settings.ends_with("settings.toml") {
        settings.to_owned()
    } else {
        settings.join("settings.toml")
    };
    fs::create_dir_all(settings.parent().unwrap()).unwrap();
    fs::write(
        settings,
        format!("[history]\naddress = \"{}\"\n", server.base),
    )
    .unwrap();
    days("own.csv", &home, 0.0, "2015-01-01", 300);
    on(&home, &["weather", "add", "own.csv"]).fine();
    let fetched = on(&home, &["weather", "fetch", "--history", "--days-only"]).fine();
    assert!(fetched.err.contains("41.7 -0.9"), "{}", fetched.err);
    assert!(fetched.out.contains("1981-01-01"), "{}", fetched.out);
    assert!(
        fetched
            .out
            .contains("NASA Langley Research Center POWER Project"),
        "{}",
        fetched.out
    );
    assert!(
        fetched.out.contains("moved to your own record"),
        "{}",
        fetched.out
    );
    assert_eq!(
        files(&home),
        ["history.days", "own.days"],
        "the archive goes under"
    );
    let asked = server.requests();
    assert_eq!(asked.len(), 1);
    assert!(
        asked[0].contains("longitude=-0.9&latitude=41.7&"),
        "{}",
        asked[0]
    );
    let said = on(&home, &["weather", "list"]).fine().out;
    assert!(
        said.contains("archive") && said.contains("received"),
        "{said}"
    );
    assert!(said.lines().all(|l| l.chars().count() <= 80), "{said}");
}
