//! An open board turns its day at the orchard's midnight, wherever its host stands. The clock is
//! that of a library which stands before the system's (`libfaketime`), where there is one.

use crate::terminal::{PATIENCE, PROGRAM, Pty};
use portable_pty::CommandBuilder;
use std::path::Path;
use std::time::{Duration, Instant};
use tempfile::TempDir;

const LIBRARIES: [&str; 3] = [
    "/usr/lib/x86_64-linux-gnu/faketime/libfaketime.so.1",
    "/usr/lib/aarch64-linux-gnu/faketime/libfaketime.so.1",
    "/usr/lib/faketime/libfaketime.so.1",
];

fn season(zone: &str) -> String {
    format!(
        r#"format = 1
season = "2026-27"

[orchard]
name = "Far away"
latitude = 41.0
longitude = 1.0
time_zone = "{zone}"

[dates]
leaf_drop_expected = 2026-11-20

[[block]]
id = "p"
name = "P"
species = "peach"
trees = 3

[[task]]
id = "t"
title = "Look at the buds"
lane = "before-swell"
kind = "other"
date = 2027-02-13
"#
    )
}

#[test]
fn the_day_turns_at_the_orchards_midnight_wherever_the_host_is() {
    let Some(library) = LIBRARIES.into_iter().find(|l| Path::new(l).exists()) else {
        println!("SKIPPED: there is no libfaketime here");
        return;
    };
    // Five seconds before the day turns there, by a clock in universal time.
    for (orchard, host, start, before, after) in [
        (
            "Pacific/Auckland",
            "UTC",
            "2027-02-12 10:59:55",
            "Fri 12 Feb",
            "Sat 13 Feb",
        ),
        (
            "America/Los_Angeles",
            "UTC",
            "2027-02-13 07:59:55",
            "Fri 12 Feb",
            "Sat 13 Feb",
        ),
        (
            "UTC",
            "Pacific/Auckland",
            "2027-02-12 23:59:55",
            "Fri 12 Feb",
            "Sat 13 Feb",
        ),
        // The night in which clocks go forward there; midnight itself is skipped in the last.
        (
            "America/Los_Angeles",
            "UTC",
            "2027-03-15 06:59:55",
            "Sun 14 Mar",
            "Mon 15 Mar",
        ),
        (
            "America/Santiago",
            "UTC",
            "2026-09-06 03:59:55",
            "Sat 5 Sep",
            "Sun 6 Sep",
        ),
    ] {
        let home = TempDir::new().unwrap();
        let file = home.path().join("s.toml");
        std::fs::write(&file, season(orchard)).unwrap();
        let utc = chrono::NaiveDateTime::parse_from_str(start, "%Y-%m-%d %H:%M:%S").unwrap();
        // It counts from now on; the seconds since 1970 know no zone.
        let ahead = utc.and_utc().timestamp() - chrono::Utc::now().timestamp();
        let mut command = CommandBuilder::new(PROGRAM);
        command.args(["open", "--season", file.to_str().unwrap()]);
        let ahead = format!("{ahead:+}");
        let env = [
            ("LD_PRELOAD", library),
            ("FAKETIME", ahead.as_str()),
            ("FAKETIME_DONT_FAKE_MONOTONIC", "1"),
            ("TZ", host),
        ];
        let mut pty = Pty::run(command, &env, (80, 24), home);
        let at = format!("orchard in {orchard}, host in {host}");
        let head = |pty: &Pty| pty.screen().lines().next().unwrap_or_default().to_owned();
        let begun = Instant::now();
        while !head(&pty).contains(before) {
            assert!(begun.elapsed() < PATIENCE, "{at}:\n{}", pty.screen());
            assert!(
                !head(&pty).contains(after),
                "{at}: opened too late to see it"
            );
            std::thread::sleep(Duration::from_millis(10));
        }
        // No key: it turns of itself.
        let begun = Instant::now();
        while !head(&pty).contains(after) {
            assert!(
                begun.elapsed() < Duration::from_secs(15),
                "{at}: the day does not turn:\n{}",
                pty.screen()
            );
            std::thread::sleep(Duration::from_millis(10));
        }
        println!("{at}: {before} became {after} after {:?}", begun.elapsed());
        pty.send("q");
        pty.end();
    }
}
