use super::*;
use chrono::{Days, TimeDelta};

/// Invented weather: a cosine year with a slow wobble that differs from year to year.
fn weather(from: NaiveDate, days: usize, warmer_c: f64, south: bool) -> DailySeries {
    let mut series = DailySeries::empty(from);
    for (i, date) in from.iter_days().take(days).enumerate() {
        use chrono::Datelike;
        let angle = (f64::from(date.ordinal()) - 20.0) / 365.25 * std::f64::consts::TAU;
        let season = if south { -angle.cos() } else { angle.cos() };
        let wobble = 3.0 * (i as f64 / 9.0).sin() + 2.0 * (i as f64 / 171.0).sin();
        let mean = 10.0 - 9.0 * season + wobble + warmer_c;
        series
            .push((mean - 5.0) as f32, (mean + 5.0) as f32)
            .unwrap();
    }
    series
}

fn date(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn question<'a>(observed: &'a DailySeries, today: &str, stage: Stage) -> Question<'a> {
    Question {
        species: Species::Apple,
        cultivar: None,
        stage,
        latitude_deg: 48.0,
        leaf_drop: date("2023-11-15"),
        today: date(today),
        observed,
        forecast: None,
        normals: None,
        degree_day_readings: &[],
        bud_readings: &[],
        seen: &[],
        model: ModelChoice::Auto,
    }
}

fn twenty_years() -> DailySeries {
    weather(date("2003-09-01"), 7460, 0.0, false)
}

#[test]
fn answers_lie_in_order_along_the_ladder() {
    let observed = twenty_years();
    let mut before = NaiveDate::MIN;
    for stage in Stage::ALL {
        let answer = estimate(&question(&observed, "2024-01-20", stage));
        assert!(answer.date.p10() < answer.date.p50() && answer.date.p50() < answer.date.p90());
        assert!(
            answer.date.p50() > before,
            "{stage} comes after the stage before"
        );
        before = answer.date.p50();
        assert_eq!(answer.members, 20);
        assert_eq!(answer.data_through, Some(date("2024-01-20")));
    }
    assert!(
        before > date("2024-03-20") && before < date("2024-06-10"),
        "full bloom on {before}"
    );
}

#[test]
fn swelling_keeps_its_distance_from_bloom_in_a_mild_winter_too() {
    for warmer_c in [0.0, 5.0] {
        let observed = weather(date("2003-09-01"), 7460, warmer_c, false);
        for species in [
            Species::Apple,
            Species::SweetCherry,
            Species::Apricot,
            Species::Peach,
        ] {
            let on = |stage| {
                let asked = question(&observed, "2024-02-15", stage);
                estimate(&Question { species, ..asked }).date
            };
            let (swell, bloom) = (on(Stage::Swell), on(Stage::FirstBloom));
            let apart = (bloom.p50() - swell.p50()).num_days();
            assert!((24..=40).contains(&apart), "{species}: {apart} days");
            let width = |d: &StageDate| (d.p90() - d.p10()).num_days();
            assert!(width(&swell) > width(&bloom), "{species}");
        }
    }
}

#[test]
fn the_same_question_gets_the_same_answer() {
    let observed = DailySeries::empty(date("2023-09-01"));
    let asked = question(&observed, "2024-01-20", Stage::Swell);
    assert_eq!(estimate(&asked), estimate(&asked));
}

#[test]
fn with_nothing_but_a_latitude_it_answers_widely_and_says_why() {
    let nothing = DailySeries::empty(date("2023-09-01"));
    let vague = estimate(&question(&nothing, "2024-01-20", Stage::Swell));
    let observed = twenty_years();
    let informed = estimate(&question(&observed, "2024-01-20", Stage::Swell));
    let width = |e: &Estimate| (e.date.p90() - e.date.p10()).num_days();
    assert!(
        width(&vague) > width(&informed) + 5,
        "{} against {}",
        width(&vague),
        width(&informed)
    );
    assert_eq!(vague.data_through, None);
    assert!(
        vague
            .notes
            .iter()
            .any(|n| n.contains("Area's normal weather")),
        "{:?}",
        vague.notes
    );
    assert!(vague.notes.iter().any(|n| n.contains("derived")));
}

#[test]
fn a_warmer_end_of_winter_is_never_later() {
    let history = twenty_years();
    let known = weather(date("2024-01-21"), 30, 0.0, false);
    let with = |warmer_c: f32| {
        let shift = |v: &[f32]| v.iter().map(|t| t + warmer_c).collect::<Vec<f32>>();
        let forecast =
            DailySeries::new(known.first(), shift(known.tmin_c()), shift(known.tmax_c())).unwrap();
        let mut observed = history.clone();
        observed.merge(&forecast);
        estimate(&question(&observed, "2024-02-19", Stage::FirstBloom)).date
    };
    let dates: Vec<NaiveDate> = [0.0, 1.0, 2.0, 4.0]
        .iter()
        .map(|w| with(*w).p50())
        .collect();
    assert!(dates.windows(2).all(|w| w[1] <= w[0]), "{dates:?}");
    assert!(dates[3] < dates[0]);
}

#[test]
fn a_tight_bud_cuts_away_and_a_swelling_one_pins() {
    let observed = twenty_years();
    let asked = question(&observed, "2024-03-20", Stage::Swell);
    let plain = estimate(&asked).date;
    let looked = plain.p50();
    let tight = [BudReading {
        date: looked,
        bbch: 0,
        few: false,
    }];
    let after = estimate(&Question {
        today: looked,
        bud_readings: &tight,
        ..asked
    })
    .date;
    let before = estimate(&Question {
        today: looked,
        ..asked
    })
    .date;
    assert!(
        after.chance_by(looked - TimeDelta::days(5))
            < 0.3 * before.chance_by(looked - TimeDelta::days(5))
    );
    assert!(after.p50() > before.p50());
    let swelling = [BudReading {
        date: looked,
        bbch: 51,
        few: false,
    }];
    let pinned = estimate(&Question {
        today: looked,
        bud_readings: &swelling,
        ..asked
    })
    .date;
    assert!(pinned.chance_by(looked + TimeDelta::days(4)) > 0.9);
    let width = |d: &StageDate| (d.p90() - d.p10()).num_days();
    assert!(width(&pinned) < width(&before));
    // Seen swelling also narrows bloom.
    let bloom = Question {
        stage: Stage::FirstBloom,
        today: looked,
        ..asked
    };
    let bloom_pinned = estimate(&Question {
        bud_readings: &swelling,
        ..bloom
    })
    .date;
    assert!(width(&bloom_pinned) <= width(&estimate(&bloom).date));
}

#[test]
fn own_dates_pull_the_answer_and_narrow_it() {
    let observed = twenty_years();
    let asked = question(&observed, "2024-02-15", Stage::FirstBloom);
    let without = estimate(&asked);
    let seen: Vec<StageSeen> = (2010..2023)
        .map(|year| {
            let answer = estimate(&Question {
                leaf_drop: NaiveDate::from_ymd_opt(year - 1, 11, 15).unwrap(),
                today: NaiveDate::from_ymd_opt(year, 6, 1).unwrap(),
                ..asked
            });
            // A late cultivar: eight days after what others do.
            StageSeen {
                stage: Stage::FirstBloom,
                date: answer.date.p50().checked_add_days(Days::new(8)).unwrap(),
            }
        })
        .collect();
    let with = estimate(&Question {
        seen: &seen,
        ..asked
    });
    let later = (with.date.p50() - without.date.p50()).num_days();
    assert!((5..=11).contains(&later), "moved by {later} days");
    let width = |e: &Estimate| (e.date.p90() - e.date.p10()).num_days();
    assert!(width(&with) < width(&without));
    let record = with.record.unwrap();
    assert_eq!(record.years, 13);
    assert!(record.rmse_days < 2.0, "{record:?}");
}

#[test]
fn hemispheres_mirror_each_other() {
    let north = weather(date("2003-09-01"), 7460, 0.0, false);
    let south = weather(date("2004-03-02"), 7460, 0.0, true);
    let asked = question(&north, "2024-01-20", Stage::FirstBloom);
    let a = estimate(&asked).date.p50() - date("2023-12-21");
    let b = estimate(&Question {
        latitude_deg: -48.0,
        leaf_drop: date("2024-05-15"),
        today: date("2024-07-20"),
        observed: &south,
        ..asked
    })
    .date
    .p50()
        - date("2024-06-21");
    assert!((a - b).num_days().abs() <= 6, "{a} against {b}");
}

#[test]
fn a_degree_day_total_and_normals_are_enough_and_count() {
    let nothing = DailySeries::empty(date("2023-09-01"));
    let normals = MonthlyNormals::given(
        [
            -1.0, -1.0, 2.0, 5.0, 9.0, 13.0, 15.0, 15.0, 11.0, 7.0, 3.0, 0.0,
        ],
        [
            6.0, 8.0, 12.0, 16.0, 20.0, 24.0, 27.0, 26.0, 22.0, 17.0, 11.0, 7.0,
        ],
    );
    let reading = |total_c_days: f64| {
        [DegreeDayReading {
            date: date("2024-02-10"),
            start: date("2024-01-01"),
            base_c: 6.111,
            total_c_days,
            method: None,
        }]
    };
    let base = question(&nothing, "2024-02-11", Stage::Burst);
    let answer = |readings: &[DegreeDayReading]| {
        estimate(&Question {
            normals: Some(&normals),
            degree_day_readings: readings,
            ..base
        })
        .date
    };
    let (little, much) = (answer(&reading(5.0)), answer(&reading(120.0)));
    assert!(
        much.p50() < little.p50(),
        "{} against {}",
        much.p50(),
        little.p50()
    );
}

#[test]
fn gaps_and_stale_data_are_answered_and_named() {
    let mut observed = twenty_years().slice(date("2003-09-01"), date("2023-12-01"));
    for _ in 0..20 {
        observed.push(f32::NAN, f32::NAN).unwrap();
    }
    observed.push(1.0, 8.0).unwrap();
    let answer = estimate(&question(&observed, "2024-02-01", Stage::FullBloom));
    assert!(
        answer
            .notes
            .iter()
            .any(|n| n.contains("20 days of this season")),
        "{:?}",
        answer.notes
    );
    assert!(
        answer
            .notes
            .iter()
            .any(|n| n.contains("Temperatures end on"))
    );
}

#[test]
fn every_species_stage_and_family_has_an_answer() {
    let observed = twenty_years();
    let climatology = Climatology::prepare(48.0, &observed);
    let base = question(&observed, "2024-02-29", Stage::Swell);
    let mut questions = Vec::new();
    for species in Species::ALL {
        for stage in Stage::ALL {
            for model in ["auto", "thermal time", "sequential", "overlap"] {
                questions.push(Question {
                    species,
                    stage,
                    model: ModelChoice::from_text(model).unwrap(),
                    ..base
                });
            }
        }
    }
    for (asked, answer) in questions.iter().zip(estimates_on(&climatology, &questions)) {
        let Question {
            species,
            stage,
            model,
            ..
        } = *asked;
        // Asked together or alone, the answer is the same.
        if stage == Stage::Swell && model == ModelChoice::Auto {
            assert_eq!(answer, estimate(asked));
        }
        assert!(answer.date.p10() < answer.date.p90());
        // A family forced on a tree of another climate may be early, but never before leaf drop.
        let from = if model == ModelChoice::Auto {
            "2023-12-01"
        } else {
            "2023-11-01"
        };
        assert!(
            answer.date.p50() > date(from) && answer.date.p50() < date("2024-07-15"),
            "{species} {stage} {model:?}: {}",
            answer.date.p50()
        );
    }
}
