//! The practice season and new seasons: what is shipped must read clean.

use barewood::domain::phenology::species::Species;
use barewood::domain::season::starter::{Answers, NewBlock, new_season};
use barewood::domain::season::{Lane, TaskState, UnitSystem};
use barewood::store::practice;
use barewood::store::season_file::{read, read_bytes};
use barewood::store::starter;
use std::path::Path;

#[test]
fn the_practice_season_reads_clean_and_says_that_it_is_invented() {
    let loaded = practice::season().unwrap();
    assert_eq!(loaded.notes, []);
    let season = loaded.season;
    assert!(season.practice);
    let first: String = practice::SEASON_TEXT.lines().take(3).collect();
    assert!(first.contains("INVENTED"));
    assert_eq!(season.blocks.len(), 5);
    assert!(season.blocks.iter().all(|b| b.past.len() == 2));
    assert!((14..=16).contains(&season.tasks.len()));
    for lane in Lane::ALL {
        assert!(season.tasks.iter().filter(|t| t.lane == lane).count() >= 4);
    }
    // Every record is of a task that is done.
    for record in &season.records {
        let task = season.task(record.task.as_ref().unwrap()).unwrap();
        assert_eq!(task.state, TaskState::Done(record.date));
    }
    // On the practice day some work is behind and the critical lane is ahead.
    let today = practice::today();
    assert!(
        season
            .tasks
            .iter()
            .any(|t| t.state.is_open() && t.date < today)
    );
    assert!(
        season
            .tasks
            .iter()
            .filter(|t| t.lane == Lane::BeforeSwell)
            .all(|t| t.date > today)
    );
}

#[test]
fn the_invented_weather_is_the_same_everywhere_and_looks_like_weather() {
    let series = practice::weather();
    assert_eq!(series.last(), practice::today().pred_opt());
    let days: Vec<(f64, f64)> = series.iter().map(|(_, t)| t.unwrap()).collect();
    assert!(days.len() > 12 * 365);
    assert!(
        days.iter()
            .all(|(low, high)| low < high && *low > -35.0 && *high < 42.0)
    );
    let csv = practice::weather_csv();
    // A change here changes every practice screen: FNV-1a of the whole text.
    let hash = csv.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |h, b| {
        (h ^ u64::from(b)).wrapping_mul(0x0000_0100_0000_01b3)
    });
    println!(
        "{hash:#x} {}",
        csv.lines().take(5).collect::<Vec<_>>().join(" | ")
    );
    assert!(csv.starts_with("# invented"));
}

fn answers() -> Answers {
    Answers {
        name: "Haus \"Süd\"".to_owned(),
        latitude: 47.0,
        longitude: 9.0,
        time_zone: chrono_tz::Tz::Europe__Zurich,
        units: UnitSystem::Metric,
        leaf_drop: "2026-11-20".parse().unwrap(),
        swell: "2027-03-12".parse().unwrap(),
        blocks: Species::ALL
            .map(|species| NewBlock {
                species,
                cultivar: Some("seedling".to_owned()),
                trees: 2,
            })
            .to_vec(),
    }
}

#[test]
fn a_new_season_for_every_kind_of_tree_reads_back_as_it_was_made() {
    let season = new_season(&answers());
    let text = starter::text(&season).unwrap();
    let loaded = read(&text, "new").unwrap_or_else(|e| panic!("{e}\n{text}"));
    assert_eq!(loaded.season, season);
    assert_eq!(loaded.notes, []);
    assert!(text.starts_with("# A season: one dormant year"));
    for comment in [
        "# Blocks: trees",
        "# Tasks: three lanes",
        "# Readings: a degree-day",
        "# Records of what",
    ] {
        assert_eq!(text.matches(comment).count(), 1, "{comment}\n{text}");
    }
    assert_eq!(
        starter::place(Path::new("x"), &season),
        Path::new("x/haus-süd-2026-27.toml")
    );
}

#[test]
fn no_truncation_of_the_sample_panics() {
    let text = practice::SEASON_TEXT;
    let mut read_whole = 0;
    for end in 0..text.len() {
        if read_bytes(&text.as_bytes()[..end], "x").is_ok() {
            read_whole += 1;
        }
    }
    println!("{read_whole} of {} prefixes read", text.len());
}

#[test]
fn no_flipped_bit_of_the_sample_panics() {
    let text = practice::SEASON_TEXT.as_bytes();
    let mut bytes = text.to_vec();
    for (place, byte) in text.iter().enumerate() {
        // All eight bits at every fifth byte, one bit elsewhere.
        let bits = if place % 5 == 0 {
            0..8
        } else {
            (place % 8)..(place % 8 + 1)
        };
        for bit in bits {
            bytes[place] = byte ^ (1 << bit);
            if let Err(problems) = read_bytes(&bytes, "x") {
                assert!(!problems.list.is_empty());
                assert!(!problems.to_string().contains('\u{1b}'));
            }
        }
        bytes[place] = *byte;
    }
}
