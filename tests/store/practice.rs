//! The practice season and new seasons: what is shipped must read clean.

use barewood::domain::coverage;
use barewood::domain::mix::{self, Verdict};
use barewood::domain::outlook::{Estimates, outlook};
use barewood::domain::phenology::species::Species;
use barewood::domain::rules::{Level, RULES};
use barewood::domain::season::NewBlock;
use barewood::domain::season::starter::{Answers, new_season};
use barewood::domain::season::{
    CopperRegime, Lane, Season, TargetId, TaskId, TaskState, UnitSystem,
};
use barewood::store::practice;
use barewood::store::season_file::{read, read_bytes};
use barewood::store::starter;
use std::collections::BTreeSet;
use std::path::Path;

#[test]
fn the_practice_season_reads_clean_and_says_that_it_is_invented() {
    let loaded = practice::season().unwrap();
    assert_eq!(loaded.notes, []);
    let season = loaded.season;
    assert!(season.practice);
    let first: String = practice::SEASON_TEXT.lines().take(3).collect();
    assert!(first.contains("INVENTED"));
    assert_eq!(season.blocks.len(), 6);
    assert!(season.blocks.iter().all(|b| b.past.len() == 2));
    assert!((18..=22).contains(&season.tasks.len()));
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

/// The day's weather is no part of the season file.
const OF_WEATHER: [&str; 7] = [
    "copper-before-frost",
    "temperature-out-of-range",
    "frost-before-or-after",
    "rain-before-dry",
    "wind-or-layered-air",
    "wet-or-frozen-trees",
    "washed-off",
];

/// What the practice season has no reason to say: its labels are written without doubt.
const NOT_IN_PRACTICE: [&str; 10] = [
    "many-sprays",
    "no-estimate",
    "active-not-known",
    "unit-in-doubt",
    "oil-before-hardening",
    "oil-on-dry-trees",
    "open-flowers",
    "winter-pruning",
    "signs-wanted",
    "advice-differs-here",
];

fn speaking(season: &Season) -> BTreeSet<&'static str> {
    let weather = practice::whole_weather(season.orchard.time_zone);
    let estimates = Estimates::compute(season, &weather, practice::today());
    outlook(season, &estimates, practice::today())
        .warnings
        .iter()
        .map(|w| w.rule)
        .collect()
}

#[test]
fn every_rule_that_needs_no_forecast_speaks_on_the_practice_season() {
    let mut season = practice::season().unwrap().season;
    let mut spoken = speaking(&season);
    // One law limits copper at a time: the sum over seven years speaks where it is the law.
    assert!(!spoken.contains("copper-seven-years"));
    season.orchard.copper_regime = CopperRegime::EuSevenYears;
    spoken.extend(speaking(&season));
    // No sprayer is planned twice there: all that is open is put into one hour.
    let mut busy = season.clone();
    let sprayer = busy.sprayers.first().map(|s| s.id.clone());
    for task in busy.tasks.iter_mut().filter(|t| t.state.is_open()) {
        task.date = practice::today();
        (task.hour, task.sprayer) = (Some(9), sprayer.clone());
    }
    spoken.extend(
        speaking(&busy)
            .into_iter()
            .filter(|r| *r == "sprayer-twice"),
    );
    // The practice season is laid out well in time, and what is late there is judged today; the
    // rules tests have cases of these.
    let well_timed = [
        "too-early",
        "no-day-left",
        "before-leaf-drop",
        "starts-too-late",
    ];
    for rule in RULES.iter().filter(|r| !well_timed.contains(&r.id)) {
        assert!(
            spoken.contains(rule.id)
                || OF_WEATHER.contains(&rule.id)
                || NOT_IN_PRACTICE.contains(&rule.id),
            "'{}' never speaks",
            rule.id
        );
    }
}

#[test]
fn the_practice_season_has_one_gap_a_fine_mix_a_refused_one_and_copper_near_its_limit() {
    let season = practice::season().unwrap().season;
    let today = practice::today();
    let weather = practice::whole_weather(season.orchard.time_zone);
    let estimates = Estimates::compute(&season, &weather, today);
    let grid = coverage::grid(&season, &estimates, today);
    let gaps: Vec<(&str, &str)> = grid
        .gaps()
        .into_iter()
        .map(|(b, t)| (b.as_str(), t.as_str()))
        .collect();
    assert_eq!(gaps, [("peach", "lecanium")]);
    // It can be closed by accepting a proposal.
    let proposals = coverage::proposals(&season, &estimates, today);
    let closing = proposals
        .iter()
        .find(|p| p.task.targets == [TargetId::from("lecanium")] && !p.task.mix.is_empty())
        .unwrap();
    assert!(closing.warnings.iter().all(|w| w.level < Level::Stop));
    let verdict = |id: &str| {
        let task = season.task(&TaskId::from(id)).unwrap();
        assert!(task.mix.len() > 1);
        mix::sheet(&season, task, Some(&estimates), today).verdict
    };
    assert_eq!(verdict("pear-mix"), Verdict::Fine);
    assert_eq!(verdict("never-mix"), Verdict::Refused);
    let outlook = outlook(&season, &estimates, today);
    let last_copper = TaskId::from("last-copper");
    let near = outlook
        .warnings_of(&last_copper)
        .find(|w| w.rule == "copper-per-season")
        .unwrap();
    assert_eq!(near.level, Level::Note, "{}", near.why);
}

fn answers() -> Answers {
    Answers {
        name: "Haus \"Süd\"".to_owned(),
        latitude: 47.0,
        longitude: 9.0,
        time_zone: "Europe/Zurich".parse().unwrap(),
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

#[test]
fn the_estimate_of_an_earlier_day_knows_nothing_of_what_came_later() {
    use barewood::domain::climate::weather::Weather;
    use barewood::domain::outlook::{Estimates, asked, climatology};
    let season = practice::season().unwrap().season;
    let today = practice::today();
    let block = season.blocks[0].id.clone();
    let whole = practice::daily_weather();
    let past = climatology(&season, &whole);
    let all = asked(&past, &season, &block, &whole, today);
    assert!((5..=12).contains(&all.len()), "{all:?}");
    let now = Estimates::with(&past, &season, &whole, today);
    let swell = &now.of(&block).unwrap().swell;
    let last = all.last().unwrap();
    assert_eq!(last.on, today);
    assert_eq!(last.swell, [swell.p10(), swell.p50(), swell.p90()]);
    // Two weeks of a heat wave from the last asking on change nothing before it.
    let daily = whole.daily.clone().unwrap();
    let mut hot = daily.slice(daily.first(), all[all.len() - 2].on);
    while hot.last().is_none_or(|l| l < daily.last().unwrap()) {
        hot.push(20.0, 30.0).unwrap();
    }
    let warmer = Weather {
        daily: Some(hot),
        ..Weather::default()
    };
    let past = climatology(&season, &warmer);
    let again = asked(&past, &season, &block, &warmer, today);
    let n = all.len() - 1;
    assert_eq!(all[..n], again[..n]);
    assert!(
        again[n].swell[1] < all[n].swell[1],
        "the heat moves today's"
    );
}
