use super::*;
use proptest::prelude::*;

fn year() -> DormantYear {
    DormantYear::of_spring(2024, 48.0)
}

fn way(anchor_day: f32) -> Way {
    Way {
        weight: 1.0,
        anchor_day,
        gap_days: [9.0, 25.0, 5.0],
    }
}

fn chain(looks: &[Look]) -> Chain {
    let ways: Vec<Way> = (0..20).map(|i| way(220.0 + i as f32)).collect();
    let gaps = Gaps::of(crate::domain::phenology::species::Species::Apple, false);
    let mut chain = Chain::new(year(), Anchor::First, 4.0, &gaps, &ways);
    chain.seen(looks);
    chain
}

fn in_order(chain: &Chain) -> bool {
    chain
        .draws
        .iter()
        .all(|d| d.days.windows(2).all(|w| w[0] <= w[1]))
}

#[test]
fn stages_are_distinct_and_lie_where_their_gaps_put_them() {
    let chain = chain(&[]);
    assert!(in_order(&chain));
    let middles: Vec<f64> = LADDER.iter().map(|n| chain.mean_day(*n)).collect();
    assert!(middles.windows(2).all(|w| w[1] > w[0] + 0.5), "{middles:?}");
    let gap = chain.mean_day(60) - chain.mean_day(53);
    assert!((gap - 26.0).abs() < 1.5, "{gap}");
}

#[test]
fn a_look_is_a_fact_for_its_stage_and_all_before_and_after() {
    let plain = chain(&[]);
    for bbch in LADDER {
        let p50 = plain.date(bbch).p50();
        for late in [-30, -8, 0, 8, 30] {
            let on = p50 + chrono::TimeDelta::days(late);
            let look = Look {
                day: year().day_of(on),
                bbch,
            };
            let seen = chain(&[look]);
            assert!(in_order(&seen));
            for other in LADDER {
                let by = seen.date(other).chance_by(on);
                if other <= bbch {
                    assert!(by > 1.0 - 1e-9, "{bbch} seen, {other} has come: {by}");
                } else if rung_of(bbch) > Some(1) || other >= 53 {
                    assert!(by < 1e-9, "{bbch} seen, {other} has not: {by}");
                }
            }
        }
    }
}

#[test]
fn still_tight_rules_swell_out_by_that_day_and_what_follows_starts_from_there() {
    let on = chain(&[]).date(51).quantile(0.9);
    let look = Look {
        day: year().day_of(on),
        bbch: 0,
    };
    let seen = chain(&[look]);
    assert!(seen.date(51).chance_by(on) < 1e-9);
    assert!(seen.date(60).p50() > chain(&[]).date(60).p50());
    assert!(in_order(&seen));
}

#[test]
fn a_look_is_worth_most_when_the_stage_is_as_likely_come_as_not() {
    let chain = chain(&[]);
    let on = |p: f64| year().day_of(chain.date(51).quantile(p));
    let worth = |p: f64| chain.look_worth(on(p), 51);
    assert!(
        worth(0.5).then_days < 0.75 * worth(0.5).now_days,
        "{:?}",
        worth(0.5)
    );
    let months_before = chain.look_worth(on(0.01) - 60, 51);
    assert!(months_before.gain_days() < 0.5, "{months_before:?}");
    assert!(worth(0.5).gain_days() > months_before.gain_days());
}

proptest! {
    #[test]
    fn whatever_was_seen_stages_stay_in_order_at_every_chance(
        looks in prop::collection::vec((100i64..280, prop::sample::select(vec![0u8, 51, 52, 53, 54, 55, 56, 57, 59, 61, 65])), 0..5),
        sd in 0.5f64..15.0,
        gaps in (1.0f32..40.0, 1.0f32..80.0, 0.5f32..20.0),
    ) {
        let ways: Vec<Way> = (0..7)
            .map(|i| Way { weight: 1.0, anchor_day: 180.0 + 9.0 * i as f32, gap_days: [gaps.0, gaps.1, gaps.2] })
            .collect();
        let of = Gaps::of(crate::domain::phenology::species::Species::Peach, true);
        for anchor in [Anchor::First, Anchor::Full] {
            let mut chain = Chain::new(year(), anchor, sd, &of, &ways);
            let looks: Vec<Look> = looks.iter().map(|&(day, bbch)| Look { day, bbch }).collect();
            chain.seen(&looks);
            prop_assert!(in_order(&chain));
            let dates: Vec<StageDate> = LADDER.iter().map(|n| chain.date(*n)).collect();
            for pair in dates.windows(2) {
                for p in [0.02, 0.1, 0.5, 0.9, 0.98] {
                    prop_assert!(pair[0].quantile(p) <= pair[1].quantile(p));
                }
            }
        }
    }
}
