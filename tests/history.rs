//! What the own dates do for the estimate, on the practice season's invented weather.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

use barewood::domain::climate::daily::DailySeries;
use barewood::domain::climate::weather::Weather;
use barewood::domain::history::{OwnDates, errors, own_dates};
use barewood::domain::outlook::climatology;
use barewood::domain::phenology::stage::Stage;
use barewood::domain::season::{PastStage, Season};
use barewood::store::practice;
use chrono::NaiveDate;

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// The peaches alone, with swell dates of their own.
fn season(dates: &[&str]) -> Season {
    let mut season = practice::season().unwrap().season;
    season.blocks.retain(|b| b.id.as_str() == "peach");
    season.blocks[0].past = dates
        .iter()
        .map(|d| PastStage {
            stage: Stage::Swell,
            date: day(d),
        })
        .collect();
    season
}

fn judged(season: &Season, days: &DailySeries) -> OwnDates {
    let weather = Weather {
        daily: Some(days.clone()),
        ..Weather::default()
    };
    own_dates(&climatology(season, &weather), season).remove(0)
}

#[test]
fn the_dates_of_other_springs_draw_the_answer_to_what_was_seen() {
    // A place where peaches swell about three weeks later than the carried fits say.
    let days = practice::weather();
    let late = [
        "2019-04-20",
        "2020-04-20",
        "2021-04-20",
        "2022-04-20",
        "2023-04-20",
    ];
    let own = judged(&season(&late), &days);
    assert_eq!((own.judged.len(), own.springs), (5, 5));
    let (before, after) = own.errors().unwrap();
    assert!(before.bias_days < -5.0, "{before:?}");
    assert!(
        after.rmse_days < before.rmse_days - 2.0,
        "{before:?} {after:?}"
    );
    for one in &own.judged {
        assert_eq!((one.seen - one.asked_on).num_days(), 28);
        assert!(one.before.p10 < one.before.p50 && one.before.p50 < one.before.p90);
    }
    let all = errors(&[own.clone(), own]).unwrap();
    assert!((all.0.rmse_days - before.rmse_days).abs() < 1e-9);
}

#[test]
fn neither_a_date_of_its_own_spring_nor_a_later_temperature_is_used() {
    let days = practice::weather();
    let base = season(&["2021-03-28", "2022-04-02", "2023-03-30"]);
    let of_2022 = |own: &OwnDates| {
        let found = own.judged.iter().find(|j| j.seen == day("2022-04-02"));
        found.unwrap().clone()
    };
    let plain = of_2022(&judged(&base, &days));
    let mut bloomed = base.clone();
    bloomed.blocks[0].past.push(PastStage {
        stage: Stage::FirstBloom,
        date: day("2022-05-20"),
    });
    assert_eq!(of_2022(&judged(&bloomed, &days)), plain);
    // Ten degrees more after the day of the question.
    let hotter = |from: &[f32]| -> Vec<f32> {
        from.iter()
            .zip(days.first().iter_days())
            .map(|(t, d)| {
                let after = d > plain.asked_on && d < day("2022-07-01");
                if after { t + 10.0 } else { *t }
            })
            .collect()
    };
    let changed =
        DailySeries::new(days.first(), hotter(days.tmin_c()), hotter(days.tmax_c())).unwrap();
    let again = of_2022(&judged(&base, &changed));
    assert_eq!(again.before, plain.before);
    // Before it they count.
    let colder = |from: &[f32]| -> Vec<f32> {
        from.iter()
            .zip(days.first().iter_days())
            .map(|(t, d)| {
                let before = d <= plain.asked_on && d > day("2022-02-01");
                if before { t + 10.0 } else { *t }
            })
            .collect()
    };
    let changed =
        DailySeries::new(days.first(), colder(days.tmin_c()), colder(days.tmax_c())).unwrap();
    assert!(of_2022(&judged(&base, &changed)).before.p50 < plain.before.p50);
}

#[test]
fn one_spring_alone_and_springs_without_temperatures_are_not_judged() {
    let days = practice::weather();
    let one = judged(&season(&["2022-04-02"]), &days);
    assert!(one.judged.is_empty() && one.errors().is_none());
    let old = judged(&season(&["1990-04-01", "2022-04-02", "2023-04-02"]), &days);
    assert_eq!(old.without_weather, [day("1990-04-01")]);
    assert_eq!(old.judged.len(), 2);
}
