//! Each line at, inside and outside what its model asks for.

use super::*;
use crate::domain::climate::hourly_series::Hour;
use crate::domain::hours::testing::{air_at, date, fair, season_with, spray};
use crate::domain::outlook::Hatch;
use crate::domain::season::{TargetId, TargetSeen};

/// All on one day.
fn on(day: &str) -> StageDate {
    StageDate::from_weights(date(day), &[1.0])
}

fn estimates(seen: Option<(&str, u8)>) -> Estimates {
    Estimates {
        blocks: vec![BlockEstimate {
            block: "peach".into(),
            swell: on("2026-02-20"),
            burst: on("2026-03-01"),
            bloom: on("2026-03-20"),
            seen: seen.map(|(day, bbch)| (date(day), bbch)),
            few: Vec::new(),
        }],
        ..Estimates::default()
    }
}

fn wet(mm: f64, temp_c: f64) -> Hour {
    Hour {
        rain_mm: Some(mm),
        temp_c: Some(temp_c),
        rh_pct: Some(98.0),
        ..fair()
    }
}

/// Dry from local midnight of 2 March 2026, but for `hours` wet ones from noon of 3 March on.
fn spell(hours: usize, mm: f64, temp_c: f64) -> Vec<Hour> {
    (0..240)
        .map(|h| {
            if (36..36 + hours).contains(&h) {
                wet(mm / hours as f64, temp_c)
            } else {
                fair()
            }
        })
        .collect()
}

fn told(hours: Vec<Hour>, season: &Season, estimates: &Estimates, now: &str) -> Vec<ToCome> {
    let air = air_at("2026-03-02T08:00:00Z", hours);
    let now: DateTime<Utc> = now.parse().unwrap();
    to_come(season, estimates, Some(&air), now, now.date_naive())
}

const NOON_TENTH: &str = "2026-03-10T20:00:00Z";

#[test]
fn rain_that_can_infect_since_first_green() {
    // Rossi and others 2006: 3 mm, 12.5 h, colder than 16 °C. Bark may stay wet for an hour or
    // two behind the rain, so hours are taken well on either side.
    let season = season_with(vec![]);
    for (hours, mm, temp, heard) in [
        (20, 3.0, 10.0, true),
        (20, 2.9, 10.0, false),
        (3, 20.0, 10.0, false), // dry again before night
        (24, 5.0, 17.0, false),
        (30, 12.0, 6.0, true),
    ] {
        let lines = told(
            spell(hours, mm, temp),
            &season,
            &estimates(None),
            NOON_TENTH,
        );
        let curl: Vec<&ToCome> = lines
            .iter()
            .filter(|l| l.about == "leaf-curl-rain")
            .collect();
        assert_eq!(curl.len(), usize::from(heard), "{hours} {mm} {temp}");
        if let Some(line) = curl.first() {
            assert!(
                line.words.contains("1 wet spell since first green"),
                "{}",
                line.words
            );
            assert!(line.words.contains("3 Mar"), "{}", line.words);
            assert_eq!(line.words.contains("long and cold"), temp < 8.0);
        }
    }
}

#[test]
fn rain_before_the_first_green_does_not_count() {
    let season = season_with(vec![]);
    let rain = || spell(20, 10.0, 10.0);
    // Seen at first swell only: no tips yet, whatever the estimate says.
    assert!(
        told(
            rain(),
            &season,
            &estimates(Some(("2026-03-01", 51))),
            NOON_TENTH
        )
        .is_empty()
    );
    // First green a day after the rain.
    let mut late = estimates(None);
    late.blocks[0].burst = on("2026-03-05");
    assert!(told(rain(), &season, &late, NOON_TENTH).is_empty());
    // And rain that is still forecast did not fall.
    assert!(told(rain(), &season, &estimates(None), "2026-03-03T08:00:00Z").is_empty());
}

#[test]
fn what_was_on_the_trees_is_said() {
    let mut season = season_with(vec![]);
    let rain = || spell(20, 10.0, 10.0);
    let line = &told(rain(), &season, &estimates(None), NOON_TENTH)[0];
    assert!(
        line.words.contains("nothing against it was on record"),
        "{}",
        line.words
    );
    let mut done = spray("Last copper", &[]);
    done.targets = vec![TargetId::from("leaf-curl")];
    done.state = TaskState::Done(date("2026-02-18"));
    season.tasks.push(done);
    let line = &told(rain(), &season, &estimates(None), NOON_TENTH)[0];
    assert!(
        line.words
            .contains("on the trees then: Last copper, 18 Feb"),
        "{}",
        line.words
    );
}

fn apples() -> Season {
    let mut season = season_with(vec![]);
    season.blocks[0].species = Species::Apple;
    season.blocks[0].seen = ["mite-eggs", "scale"]
        .map(|t| TargetSeen {
            target: TargetId::from(t),
            season: "2025-26".to_owned(),
            count: None,
            of: None,
            note: None,
        })
        .to_vec();
    season
}

/// From local midnight of 1 February 2026: days of ten wet hours at 10 °C, or dry ones.
fn february(days: usize, is_wet: bool) -> Air {
    let hours = (0..days * 24)
        .map(|h| {
            if is_wet && h % 24 < 10 {
                wet(0.5, 10.0)
            } else {
                Hour {
                    temp_c: Some(10.0),
                    ..fair()
                }
            }
        })
        .collect();
    air_at("2026-02-01T08:00:00Z", hours)
}

#[test]
fn scab_spores_ripen_on_wet_mild_days_alone() {
    // Rossi, Giosuè and Bugiani 2007: 0.3741 a wet day at 10 °C from 5.0 on, ripe from 9.5: the
    // thirteenth wet day; from there degree hours in wet hours.
    let season = apples();
    let share = |air: &Air| {
        let until = air.len();
        scab(&season, air, until).map(|l| l.words)
    };
    let dry = share(&february(40, false)).unwrap();
    assert!(dry.contains("no spores are ripe yet"), "{dry}");
    let twelve = share(&february(12, true)).unwrap();
    assert!(twelve.contains("no spores are ripe yet"), "{twelve}");
    let many = share(&february(60, true)).unwrap();
    // 47 days of ten wet hours at 10 °C and a few behind the rain: 47 * 100 / 24 = 196 or more.
    assert!(
        many.contains("% of this season's spores are ripe"),
        "{many}"
    );
    // Hours that begin in March know too little.
    let late = air_at("2026-03-02T08:00:00Z", vec![wet(0.5, 10.0); 240]);
    assert_eq!(share(&late), None);
}

#[test]
fn eggs_and_traps_are_told_with_their_range_and_not_for_ever() {
    let mut estimates = estimates(None);
    estimates.hatch = Hatch {
        red_mite_half: Some(on("2026-04-21")),
        scale_traps: Some(on("2026-04-28")),
    };
    let season = apples();
    let at = |day: &str| {
        let now: DateTime<Utc> = format!("{day}T20:00:00Z").parse().unwrap();
        to_come(&season, &estimates, None, now, date(day))
    };
    let lines = at("2026-03-01");
    // The error of 3.7 days stands on both sides.
    assert!(
        lines[0]
            .words
            .contains("about 21 Apr (17 Apr to 25 Apr, 8 in 10)"),
        "{}",
        lines[0].words
    );
    assert!(
        lines[0].words.contains("by today: 0 %"),
        "{}",
        lines[0].words
    );
    assert!(
        lines[1].words.contains("405 degree days F"),
        "{}",
        lines[1].words
    );
    assert!(at("2026-04-22")[0].words.contains("Oil comes late"));
    assert!(at("2026-07-01").iter().all(|l| l.about != "san-jose-scale"));
    // Where neither was seen nor worked against nothing is said.
    let bare = season_with(vec![]);
    let now: DateTime<Utc> = "2026-03-01T20:00:00Z".parse().unwrap();
    assert!(to_come(&bare, &estimates, None, now, date("2026-03-01")).is_empty());
}
