//! One season on the disk, its hours of weather, and what `check` says of it.

use crate::home::Home;
use std::fmt::Write as _;
use std::fs;

/// An hour of the invented forecast, by the clock of the place.
#[derive(Clone, Copy)]
pub struct Hour {
    pub temp_c: f64,
    pub humidity: f64,
    pub wind_ms: f64,
    pub gust_ms: f64,
    pub rain_mm: f64,
    pub chance: f64,
    pub cloud: f64,
}

/// Changes an hour: day of February 2027, hour by the clock.
pub type Weather = fn(u32, u32, &mut Hour);

/// Fair, mild and dry from 20 to 28 February 2027.
fn fair(clock: u32) -> Hour {
    let warmth = 1.0 - (f64::from(clock) - 14.0).abs() / 14.0;
    Hour {
        temp_c: 6.0 + 6.0 * warmth,
        humidity: 75.0 - 25.0 * warmth,
        wind_ms: 2.5,
        gust_ms: 3.5,
        rain_mm: 0.0,
        chance: 0.0,
        cloud: 60.0,
    }
}

/// A season as it is told: the base with some texts in place of others.
#[derive(Clone, Copy)]
pub struct Scene {
    pub edits: &'static [(&'static str, &'static str)],
    pub weather: Weather,
    pub on: &'static str,
}

/// Nothing changed, on 20 February 2027.
pub const BASE: Scene = Scene {
    edits: &[],
    weather: |_, _, _| {},
    on: "2027-02-20",
};

/// A trap: what is wrong, who says so, and what must be heard.
pub struct Trap {
    /// What it is about.
    pub about: &'static str,
    /// The published source of what an adviser would say.
    pub source: &'static str,
    /// The season without the trap.
    pub twin: Scene,
    /// The season with it.
    pub trap: Scene,
    /// Rule and level that must be heard; `None` for what must stay silent in both: an alarm
    /// that was cried before without reason.
    pub heard: Option<(&'static str, &'static str)>,
}

impl Scene {
    pub const fn with(self, edits: &'static [(&'static str, &'static str)]) -> Self {
        Self { edits, ..self }
    }

    pub const fn in_weather(self, weather: Weather) -> Self {
        Self { weather, ..self }
    }

    pub const fn on(self, on: &'static str) -> Self {
        Self { on, ..self }
    }

    /// Writes it into a home.
    pub fn home(&self) -> Home {
        let home = Home::new();
        let mut text = include_str!("../data/traps/season.toml").to_owned();
        for (from, to) in self.edits {
            assert!(text.contains(from), "nothing to change: {from}");
            text = text.replacen(from, to, 1);
        }
        fs::write(home.path().join("season.toml"), text).unwrap();
        let mut hours =
            "utc,temp_c,rh_pct,wind_ms,gust_ms,precip_mm,rain_chance_pct,cloud_pct\n".to_owned();
        for i in 0..9 * 24 {
            let (day, clock) = (20 + i / 24, i % 24);
            let mut hour = fair(clock);
            (self.weather)(day, clock, &mut hour);
            // The base lies five hours behind Greenwich; other places shift the day, no more.
            let time = chrono::NaiveDate::from_ymd_opt(2027, 2, day)
                .unwrap()
                .and_hms_opt(clock, 0, 0)
                .unwrap()
                + chrono::TimeDelta::hours(5);
            writeln!(
                hours,
                "{}Z,{:.2},{:.0},{:.2},{:.2},{:.2},{:.0},{:.0}",
                time.format("%Y-%m-%dT%H:%M"),
                hour.temp_c,
                hour.humidity,
                hour.wind_ms,
                hour.gust_ms,
                hour.rain_mm,
                hour.chance,
                hour.cloud
            )
            .unwrap();
        }
        fs::write(home.path().join("hours.csv"), hours).unwrap();
        home
    }

    /// Rule, level and words of every warning.
    pub fn warnings(&self) -> Vec<(String, String, String)> {
        let ran = self.home().run(&[
            "check",
            "--json",
            "--season",
            "season.toml",
            "--on",
            self.on,
        ]);
        assert!(ran.code < 2, "{}{}", ran.out, ran.err);
        let text = |w: &serde_json::Value, key: &str| w[key].as_str().unwrap_or("").to_owned();
        ran.json()["warnings"]
            .as_array()
            .unwrap()
            .iter()
            .map(|w| {
                (
                    text(w, "rule"),
                    text(w, "level"),
                    format!(
                        "{} {} {}",
                        text(w, "message"),
                        text(w, "why"),
                        text(w, "todo")
                    ),
                )
            })
            .collect()
    }

    /// The warnings at stop or caution.
    pub fn alarms(&self) -> Vec<(String, String, String)> {
        let mut all = self.warnings();
        all.retain(|w| w.1 != "note");
        all
    }
}

/// What an adviser would miss or shake the head at, trap by trap.
pub fn faults(traps: &[Trap]) -> (usize, Vec<String>) {
    let mut missed = Vec::new();
    let mut heard = 0;
    for trap in traps {
        let about = trap.about;
        assert!(!trap.source.is_empty(), "{about}");
        let twin = trap.twin.alarms();
        if !twin.is_empty() {
            missed.push(format!("FALSE ALARM in the twin of {about}: {twin:#?}"));
        }
        let found = trap.trap.warnings();
        let is_right = match trap.heard {
            Some((rule, level)) => found.iter().any(|w| w.0 == rule && w.1 == level),
            None => found.iter().all(|w| w.1 == "note"),
        };
        if is_right {
            heard += 1;
        } else {
            missed.push(format!("MISSED {about} ({:?}): {found:#?}", trap.heard));
        }
    }
    (heard, missed)
}
