//! From nothing to a board with forty winters of the place's own weather: one form.

use crate::server::{Server, ok, reply};
use crate::terminal::Pty;
use portable_pty::CommandBuilder;
use std::fmt::Write as _;
use std::fs;
use std::sync::Arc;
use std::time::{Duration, Instant};

/// Keys that may be pressed, and how long it may take.
const MOST_KEYS: usize = 60;
const LONGEST: Duration = Duration::from_secs(30);

/// Days since 1981 near Rochester, New York, as the archive writes them; invented, a cold winter
/// and a warm summer every year.
fn days() -> String {
    let mut text = "-BEGIN HEADER-\r\nNASA/POWER Source Native Resolution Daily Data \r\n\
        Location: latitude  43.2   longitude -77.6 \r\n\
        elevation from MERRA-2: Average for 0.5 x 0.625 degree lat/lon region = 160.0 meters\r\n\
        The value for missing source data that cannot be computed or is outside of the sources availability range: -999 \r\n\
        parameter(s): \r\nT2M_MIN MERRA-2 Temperature at 2 Meters Minimum (C) \r\n-END HEADER-\r\n\
        YEAR,DOY,T2M_MIN,T2M_MAX,PRECTOTCORR,WS10M,RH2M\r\n"
        .to_owned();
    let today = chrono::Utc::now().date_naive();
    let first = chrono::NaiveDate::from_ymd_opt(1981, 1, 1).unwrap();
    for date in first.iter_days().take_while(|d| *d < today) {
        use chrono::Datelike;
        let turn = f64::from(date.ordinal()) - 20.0;
        let mean = 9.0 - 14.0 * (turn * std::f64::consts::TAU / 365.25).cos();
        let wobble = 4.0 * (f64::from(date.num_days_from_ce()) * 0.7).sin();
        let _ = write!(
            text,
            "{},{},{:.2},{:.2},1.0,3.1,75.0\r\n",
            date.year(),
            date.ordinal(),
            mean + wobble - 4.5,
            mean + wobble + 4.5
        );
    }
    text
}

#[test]
fn a_newcomer_is_on_a_board_with_forty_winters_after_one_form() {
    let days = days();
    let server = Server::start(|_| {
        // The days, and then no hours: the estimate does not wait for them.
        vec![
            ok(&days, &[]),
            crate::server::Answer::Whole(reply(404, "", &[])),
        ]
    });
    let home = tempfile::TempDir::new().unwrap();
    let settings = home.path().join(".config/barewood");
    fs::create_dir_all(&settings).unwrap();
    fs::write(
        settings.join("settings.toml"),
        format!("[history]\naddress = \"{}\"\n", server.base),
    )
    .unwrap();
    let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_barewood"));
    command.arg("open");
    let began = Instant::now();
    let mut pty = Pty::run(command, &[], (80, 24), Arc::new(home));
    pty.wait_for("Begin your season");
    let mut keys = 0;
    // Name stays; town with its state; clock and units follow; trees; the days and the file stay
    // empty; the weather is fetched.
    for typed in [
        "\t",
        "Rochester, New Y",
        "\x1b[C",
        "\t\t\t",
        "6 peach, 4 apples",
        "\t\t\t",
        "\x1b[C",
        "\r",
    ] {
        keys += if typed.starts_with('\x1b') {
            1
        } else {
            typed.chars().count()
        };
        pty.send(typed);
    }
    assert!(keys <= MOST_KEYS, "{keys} keys");
    pty.wait("a board", |s| {
        s.contains("My orchard") && s.contains("Before swell")
    });
    let seasons = pty.home.path().join(".local/share/barewood/seasons");
    let text = loop {
        let file = fs::read_dir(&seasons)
            .into_iter()
            .flatten()
            .filter_map(|e| Some(e.ok()?.path()))
            .find(|p| p.extension().is_some_and(|e| e == "toml"));
        let text = file
            .and_then(|f| fs::read_to_string(f).ok())
            .unwrap_or_default();
        if text.lines().any(|l| l.starts_with("daily = [")) {
            break text;
        }
        assert!(began.elapsed() < LONGEST, "{}\n{text}", pty.screen());
        std::thread::sleep(Duration::from_millis(50));
    };
    pty.wait("dates of the place's own weather", |s| {
        !s.contains("area's normal weather")
    });
    let took = began.elapsed();
    println!("{keys} keys, {:.1} s", took.as_secs_f64());
    assert!(took < LONGEST, "{took:?}");
    assert!(text.contains("\"America/New_York\""), "{text}");
    let asked = server.asked.lock().unwrap().clone();
    assert!(
        asked[0].contains("latitude=43.2") && asked[0].contains("longitude=-77.6"),
        "the place goes out rounded: {}",
        asked[0]
    );
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
}
