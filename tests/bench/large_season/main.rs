//! Writes a folder with an orchard as large as the program is meant for: three seasons, fifty
//! blocks, two hundred tasks a season with their records, sixty years of days at three stations.
//! All of it is invented. `cargo run --release --example large_season -- FOLDER [BLOCKS TASKS]`.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::print_stdout,
    missing_docs
)]

use barewood::domain::phenology::stage::Stage;
use barewood::domain::records;
use barewood::domain::season::{
    Block, BlockId, PastStage, Season, Task, TaskId, TaskKind, TaskState,
};
use barewood::store::{practice, season_file, season_weather};
use chrono::{Datelike, Days, Months, NaiveDate};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

const STATIONS: usize = 3;
const YEARS: u32 = 60;
const SEASONS: u32 = 3;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let folder = PathBuf::from(arguments.first().expect("a folder to write to"));
    let count = |place: usize, usual: usize| {
        arguments
            .get(place)
            .map_or(usual, |text| text.parse().expect("a count"))
    };
    let (blocks, tasks) = (count(1, 50), count(2, 200));
    std::fs::create_dir_all(&folder).unwrap();
    let mut latest = large(blocks, tasks);
    for station in 0..STATIONS {
        let file = folder.join(format!("station-{station}.csv"));
        std::fs::write(&file, days_csv(station)).unwrap();
        // The days reach to the day practice takes as today.
        let options = season_weather::AddOptions {
            anyway: true,
            ..season_weather::AddOptions::on(practice::today())
        };
        let added = season_weather::add(&latest, &folder, &[file], &options).unwrap();
        latest = added.season;
    }
    for back in 0..SEASONS {
        let season = earlier(&latest, back);
        let path = folder.join(format!("{}.toml", season.season));
        write(&path, &season);
        println!("{}", path.display());
    }
}

/// The practice orchard, many times over.
fn large(blocks: usize, tasks: usize) -> Season {
    let mut season = Season {
        practice: false,
        ..practice::season().unwrap().season
    };
    let block_models: Vec<Block> = season.blocks.clone();
    season.blocks = block_models
        .iter()
        .cycle()
        .zip(0..blocks)
        .map(|(model, i)| Block {
            id: BlockId::from(format!("block-{i}").as_str()),
            name: format!("{} {i}", model.name),
            past: past_dates(i),
            ..model.clone()
        })
        .collect();
    let task_models: Vec<Task> = season.tasks.clone();
    season.tasks = task_models
        .iter()
        .cycle()
        .zip(0..tasks)
        .map(|(model, i)| Task {
            id: TaskId::from(format!("task-{i}").as_str()),
            date: model.date + Days::new((i % 11) as u64),
            blocks: (0..4)
                .map(|k| BlockId::from(format!("block-{}", (i * 4 + k) % blocks).as_str()))
                .collect(),
            state: TaskState::Planned,
            why: None,
            part_of: None,
            moved: Vec::new(),
            quiet: Vec::new(),
            ..model.clone()
        })
        .collect();
    season.readings.clear();
    season.records.clear();
    season.reviewed.clear();
    season.estimates_noted.clear();
    season.weather.daily.clear();
    season.weather.hourly.clear();
    season.weather.forecast.clear();
    season
}

/// A few dates of bloom that its grower noted.
fn past_dates(block: usize) -> Vec<PastStage> {
    (2016..2026)
        .map(|year| PastStage {
            stage: Stage::FirstBloom,
            date: NaiveDate::from_ymd_opt(year, 4, 5 + ((year as u32 * 7 + block as u32) % 16))
                .unwrap(),
        })
        .collect()
}

/// The season some years ago, all of its work done and every spray recorded.
fn earlier(latest: &Season, back: u32) -> Season {
    if back == 0 {
        return latest.clone();
    }
    let moved = |date: NaiveDate| date - Months::new(12 * back);
    let mut season = latest.clone();
    let leaf_drop = moved(season.dates.leaf_drop_expected);
    season.season = format!("{}-{:02}", leaf_drop.year(), (leaf_drop.year() + 1) % 100);
    season.dates.leaf_drop_expected = leaf_drop;
    season.dates.leaf_drop_seen = season.dates.leaf_drop_seen.map(moved);
    season.readings.clear();
    for block in &mut season.blocks {
        block.leaf_drop_expected = block.leaf_drop_expected.map(moved);
        block.leaf_drop_seen = block.leaf_drop_seen.map(moved);
        block.past.retain(|p| p.date < leaf_drop);
    }
    for task in &mut season.tasks {
        task.date = moved(task.date);
    }
    let sprays: Vec<Task> = season
        .tasks
        .iter()
        .filter(|t| t.kind == TaskKind::Spray)
        .cloned()
        .collect();
    for task in sprays {
        let amounts = records::amounts(&season, &task, None, task.date);
        let noon = task.date.and_hms_opt(12, 0, 0).unwrap();
        let air = records::Conditions::default();
        let record = records::prefill(&season, &task, task.date, noon, &amounts, &air);
        if let Ok(kept) = records::finish(&season, record, task.date) {
            season = kept.season;
        }
    }
    season
}

fn write(path: &Path, season: &Season) {
    let practice = practice::season().unwrap().season;
    let text = season_file::write(practice::SEASON_TEXT, &practice, season).unwrap();
    std::fs::write(path, text).unwrap();
}

/// Sixty years of days: a cosine year, slow wobbles, one station colder than the next.
fn days_csv(station: usize) -> String {
    let last = NaiveDate::from_ymd_opt(2027, 2, 7).unwrap();
    let first = NaiveDate::from_ymd_opt(last.year() - YEARS as i32, 9, 1).unwrap();
    let mut csv = "date,tmin_c,tmax_c\n".to_owned();
    for (i, date) in first.iter_days().take_while(|d| *d <= last).enumerate() {
        let angle = (f64::from(date.ordinal()) - 20.0) / 365.25 * std::f64::consts::TAU;
        let wobble = 3.0 * (i as f64 / 9.0).sin()
            + 2.0 * (i as f64 / 171.0).sin()
            + 1.5 * (i as f64 / 2.3).cos();
        let mean = 11.0 - 9.0 * angle.cos() + wobble - station as f64;
        writeln!(csv, "{date},{:.1},{:.1}", mean - 5.0, mean + 5.5).unwrap();
    }
    csv
}
