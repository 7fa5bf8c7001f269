//! Hours that are not fit for the spray that is planned in them.

use super::scene::{BASE, Trap, faults};

static TRAPS: &[Trap] = &[
    Trap {
        about: "oil near freezing where the label gives the highest temperature only",
        source: "county extension, West Virginia: no oil below 35 F",
        twin: BASE.with(&[("reentry = \"4 h\"", "reentry = \"4 h\"\ntemp_max = \"90 F\"")]),
        trap: BASE
            .with(&[("reentry = \"4 h\"", "reentry = \"4 h\"\ntemp_max = \"90 F\"")])
            .in_weather(|day, clock, h| {
                if day == 25 && (8..17).contains(&clock) {
                    h.temp_c = 0.5;
                }
            }),
        heard: Some(("temperature-out-of-range", "stop")),
    },
    Trap {
        about: "0.0 C in the night after oil is freezing",
        source: "Ohio State (Wayne County) 2017: no freezing for 24 h after oil",
        twin: BASE,
        trap: BASE.in_weather(|day, clock, h| {
            if day == 26 && clock == 4 {
                h.temp_c = 0.0;
            }
        }),
        heard: Some(("frost-before-or-after", "stop")),
    },
    Trap {
        about: "even odds of rain",
        source: "Univ. of Delaware 2008: not if rain is likely",
        twin: BASE,
        trap: BASE.in_weather(|day, clock, h| {
            if day == 24 && (11..20).contains(&clock) {
                h.chance = 50.0;
            }
        }),
        heard: Some(("rain-before-dry", "caution")),
    },
    Trap {
        about: "rain four hours after copper",
        source: "Sacramento press 2023: 24 h of dry weather after copper for leaf curl",
        twin: BASE,
        trap: BASE.in_weather(|day, clock, h| {
            if day == 24 && (16..19).contains(&clock) {
                h.rain_mm = 3.0;
                h.chance = 90.0;
                h.humidity = 92.0;
            }
        }),
        heard: Some(("rain-before-dry", "stop")),
    },
    Trap {
        about: "an own limit of wind does not lift the published one",
        source: "North Dakota State and Washington State: stop above 10 mph",
        twin: BASE.with(&[("copper_regime = \"label\"", "copper_regime = \"label\"\nwind_max = \"25 mph\"")]),
        trap: BASE
            .with(&[("copper_regime = \"label\"", "copper_regime = \"label\"\nwind_max = \"25 mph\"")])
            .in_weather(|day, clock, h| {
                if day == 24 && (8..18).contains(&clock) {
                    h.wind_ms = 10.0;
                    h.gust_ms = 11.0;
                }
            }),
        heard: Some(("wind-or-layered-air", "stop")),
    },
    Trap {
        about: "gusts of twelve metres a second",
        source: "common practice, no source: not in gusts over the most wind allowed",
        twin: BASE,
        trap: BASE.in_weather(|day, clock, h| {
            if day == 24 && (8..18).contains(&clock) {
                h.wind_ms = 4.0;
                h.gust_ms = 12.0;
            }
        }),
        heard: Some(("wind-or-layered-air", "stop")),
    },
    Trap {
        about: "calm under a clear sky two hours and a half before sunset",
        source: "North Dakota State AE1705 and 20 May 2021: under 3 mph near the ground, from three hours before sunset",
        twin: BASE.with(&[("date = 2027-02-24\nhour = 11", "date = 2027-02-24\nhour = 15")]),
        trap: BASE
            .with(&[("date = 2027-02-24\nhour = 11", "date = 2027-02-24\nhour = 15")])
            .in_weather(|day, clock, h| {
                if day == 24 && clock >= 14 {
                    h.wind_ms = 1.5; // 1.1 m/s at 2 m
                    h.gust_ms = 2.0;
                    h.cloud = 0.0;
                }
            }),
        heard: Some(("wind-or-layered-air", "stop")),
    },
    Trap {
        about: "copper where green was seen, and frost in the night",
        source: "IPM Institute 6 April 2017; Acimovic (Cornell) 2019, 2021",
        twin: BASE,
        trap: BASE
            .with(&[
                ("last_stage = 51\ninterval", "last_stage = 56\ninterval"),
                ("date = 2027-03-15\nblocks = [\"two\"]", "date = 2027-02-23\nhour = 11\nblocks = [\"two\"]"),
                ("[[task]]\nid = \"bare\"", "[[reading]]\nkind = \"buds\"\ndate = 2027-02-19\nbbch = 53\nblocks = [\"two\"]\n\n[[task]]\nid = \"bare\""),
            ])
            .in_weather(|day, clock, h| {
                if day == 23 && clock >= 21 {
                    h.temp_c = -3.0;
                }
            }),
        heard: Some(("copper-before-frost", "stop")),
    },
    Trap {
        about: "drizzle of a fifth of a millimetre an hour all day",
        source: "Kansas State home rule and NZ Plant Protection 66:199: rain is summed",
        twin: BASE.on("2027-02-23").with(&[
            ("date = 2027-02-24\nhour = 11", "date = 2027-02-21\nhour = 11\nstate = \"done 2027-02-21\""),
        ]),
        trap: BASE
            .on("2027-02-23")
            .with(&[("date = 2027-02-24\nhour = 11", "date = 2027-02-21\nhour = 11\nstate = \"done 2027-02-21\"")])
            .in_weather(|day, clock, h| {
                if (day == 21 && clock >= 12) || (day == 22 && clock < 20) {
                    h.rain_mm = 0.2;
                    h.chance = 60.0;
                    h.humidity = 96.0;
                }
            }),
        heard: Some(("washed-off", "caution")),
    },
    Trap {
        about: "wet bark after rain in the night",
        source: "Univ. of Delaware 2008: not on wet wood",
        twin: BASE,
        trap: BASE.in_weather(|day, clock, h| {
            if day == 24 && clock < 10 {
                h.rain_mm = 1.0;
                h.humidity = 98.0;
                h.temp_c = 4.5;
                h.chance = 90.0;
            }
        }),
        heard: Some(("wet-or-frozen-trees", "caution")),
    },
];

#[test]
fn an_adviser_would_wait_for_other_hours() {
    let (heard, missed) = faults(TRAPS);
    assert!(
        missed.is_empty(),
        "{heard} of {}:\n{}",
        TRAPS.len(),
        missed.join("\n")
    );
}
