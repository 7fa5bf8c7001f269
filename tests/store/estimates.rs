//! Estimates kept between two openings: they come back to the bit, and only where nothing they
//! hang on has changed.

use barewood::domain::outlook::Estimates;
use barewood::domain::season::Season;
use barewood::store::kept_estimates::{Key, WeatherFound, find, keep};
use barewood::store::places::Places;
use barewood::store::practice;
use chrono::Days;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

struct World {
    folder: TempDir,
    season: Season,
    estimates: Estimates,
}

fn world() -> World {
    let season = practice::season().unwrap().season;
    let estimates = Estimates::compute(&season, &practice::daily_weather(), practice::today());
    World {
        folder: TempDir::new().unwrap(),
        season,
        estimates,
    }
}

fn here() -> &'static Path {
    Path::new("/orchard/2026-27.toml")
}

impl World {
    fn places(&self) -> Places {
        Places::under(self.folder.path())
    }

    fn key(&self) -> Key {
        Key::of(&self.season, practice::today(), &WeatherFound::default())
    }
}

#[test]
fn what_is_kept_comes_back_to_the_bit() {
    let w = world();
    let path = here();
    assert!(find(&w.places(), path, w.key()).is_none());
    keep(&w.places(), path, w.key(), &w.estimates);
    let back = find(&w.places(), path, w.key()).unwrap();
    assert_eq!(back.blocks, w.estimates.blocks);
    assert!(!back.blocks.is_empty() && back.answers.is_empty());
    // Another season has a file of its own.
    assert!(find(&w.places(), Path::new("/orchard/2025-26.toml"), w.key()).is_none());
}

#[test]
fn a_day_a_reading_or_a_block_more_makes_it_void() {
    let w = world();
    keep(&w.places(), here(), w.key(), &w.estimates);
    let no_files = WeatherFound::default();
    let tomorrow = practice::today() + Days::new(1);
    let key = Key::of(&w.season, tomorrow, &no_files);
    assert!(find(&w.places(), here(), key).is_none());
    let mut changed = w.season.clone();
    changed.readings.pop().unwrap();
    let key = Key::of(&changed, practice::today(), &no_files);
    assert!(find(&w.places(), here(), key).is_none());
    // Nothing hangs on a card's day.
    let mut moved = w.season.clone();
    moved.tasks[0].date = moved.tasks[0].date + Days::new(3);
    let key = Key::of(&moved, practice::today(), &no_files);
    assert!(find(&w.places(), here(), key).is_some());
}

#[test]
fn a_weather_file_that_changed_makes_it_void() {
    let w = world();
    let folder = TempDir::new().unwrap();
    let mut season = w.season.clone();
    season.weather.daily = vec!["days.csv".to_owned()];
    season.weather.hourly.clear();
    season.weather.forecast.clear();
    let file = folder.path().join("days.csv");
    let key = || {
        let found = WeatherFound::of(&season, folder.path());
        Key::of(&season, practice::today(), &found)
    };
    let missing = key();
    fs::write(&file, "date,tmin_c,tmax_c\n2026-12-01,1,9\n").unwrap();
    let first = key();
    assert_ne!(missing, first);
    assert_eq!(first, key());
    fs::write(
        &file,
        "date,tmin_c,tmax_c\n2026-12-01,1,9\n2026-12-02,1,9\n",
    )
    .unwrap();
    assert_ne!(first, key());
}

#[test]
fn a_file_cut_or_flipped_is_not_believed() {
    let w = world();
    keep(&w.places(), here(), w.key(), &w.estimates);
    let folder = w.places().cache.join("estimates");
    let file = fs::read_dir(folder)
        .unwrap()
        .next()
        .unwrap()
        .unwrap()
        .path();
    let whole = fs::read(&file).unwrap();
    for cut in [0, 3, 4, 5, whole.len() / 2, whole.len() - 1] {
        fs::write(&file, &whole[..cut]).unwrap();
        assert!(find(&w.places(), here(), w.key()).is_none(), "cut at {cut}");
    }
    for place in (0..whole.len()).step_by(97) {
        let mut flipped = whole.clone();
        flipped[place] ^= 1 << (place % 8);
        fs::write(&file, &flipped).unwrap();
        assert!(
            find(&w.places(), here(), w.key()).is_none(),
            "bit at {place}"
        );
    }
}
