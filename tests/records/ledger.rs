//! The ledger over several seasons against sums made by hand from the sealed records.

use crate::orchard::{day, full, of, season};
use approx::assert_relative_eq;
use barewood::domain::ledger::{Filter, copper_years, distinct, entries, season_sums};
use barewood::domain::records::finish;
use barewood::domain::season::{BlockId, PastCopper, Season};
use barewood::domain::units::Amount;
use chrono::{Months, NaiveDate};

/// Two seasons: 1.2 kg of a half-metal powder on all of 0.4 ha, then 0.6 kg on the peaches' 0.3 ha.
fn seasons() -> Vec<Season> {
    let back = |d: NaiveDate| d.checked_sub_months(Months::new(12)).unwrap();
    let mut before = season();
    "2025-26".clone_into(&mut before.season);
    before.dates.leaf_drop_expected = back(before.dates.leaf_drop_expected);
    before.dates.leaf_drop_seen = before.dates.leaf_drop_seen.map(back);
    let mut first = full(&before, "first-copper", "2025-12-01");
    first.blocks = ["peaches", "apples"].map(BlockId::from).to_vec();
    first.area = Some(of("0.4 ha"));
    first.materials[0].copper_kg_per_ha = None;
    let before = finish(&before, first, day("2025-12-01")).unwrap().season;
    let now = season();
    let mut part = full(&now, "first-copper", "2026-12-01");
    part.blocks = vec![BlockId::from("peaches")];
    part.area = Some(of("0.3 ha"));
    part.materials[0].total = Some(of("0.6 kg"));
    part.materials[0].copper_kg_per_ha = None;
    let now = finish(&now, part, day("2026-12-01")).unwrap().season;
    vec![before, now]
}

#[test]
fn metal_per_hectare_by_block_season_year_and_seven_years() {
    // Regulation (EU) 2018/1981 counts seven years; labels count the season or the calendar year.
    let years = copper_years(&seasons(), day("2027-03-01"));
    let of_block = |id: &str| years.iter().find(|y| y.block == id).unwrap();
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} {b}");
    let peaches = of_block("peaches");
    // 1.2 kg * 50 % / 0.4 ha and 0.6 kg * 50 % / 0.3 ha.
    assert_eq!(peaches.by_season.len(), 2);
    near(peaches.by_season[0].1, 1.5);
    near(peaches.by_season[1].1, 1.0);
    assert_eq!((peaches.by_year[0].0, peaches.by_year[1].0), (2025, 2026));
    near(peaches.by_year[0].1, 1.5);
    near(peaches.by_year[1].1, 1.0);
    // The list of past years says 4, 3 and 5: the first of them is on file.
    near(peaches.from_list, 8.0);
    near(peaches.seven_years, 10.5);
    assert_eq!(
        peaches.unknown_years.len(),
        3,
        "{:?}",
        peaches.unknown_years
    );
    let apples = of_block("apples");
    near(apples.by_season[1].1, 0.0);
    assert_eq!(apples.by_year.len(), 1);
    near(apples.seven_years, 9.5);
    assert_eq!((peaches.unknown_uses, apples.unknown_uses), (0, 0));
}

#[test]
fn a_block_s_own_past_goes_before_the_orchard_s_and_a_season_on_file_before_both() {
    let mut seasons = seasons();
    let of = |seasons: &[Season], id: &str| {
        let years = copper_years(seasons, day("2027-03-01"));
        years.into_iter().find(|y| y.block == id).unwrap()
    };
    // On file: last year. Own: the year before it and one of six. The orchard's list: 4, 3, 5.
    let own = [Some(9.0), Some(0.5), None, Some(2.0)];
    seasons[1].blocks[0].copper_past_kg_per_ha = own.map(PastCopper::from).to_vec();
    let peaches = of(&seasons, "peaches");
    assert_relative_eq!(peaches.stated, 2.5);
    assert_relative_eq!(peaches.from_list, 5.0);
    assert_relative_eq!(peaches.seven_years, 1.5 + 1.0 + 2.5 + 5.0);
    assert_eq!(peaches.unknown_years.len(), 2, "{peaches:?}");
    let apples = of(&seasons, "apples");
    assert_relative_eq!(apples.from_list, 8.0);
    assert_relative_eq!(apples.stated, 0.0);
}

#[test]
fn shares_of_blocks_come_to_the_records() {
    let seasons = seasons();
    let copper = Filter {
        active: Some("copper".to_owned()),
        from: Some(day("2024-11-01")),
        ..Filter::default()
    };
    let all = entries(&seasons, &copper).unwrap();
    let kg = |p: Option<Amount>| match p {
        Some(Amount::Mass(m)) => m.kg(),
        _ => f64::NAN,
    };
    let sum: f64 = all.iter().map(|e| kg(e.product)).sum();
    assert!((sum - 1.8).abs() < 1e-9, "{sum}");
    let metal: f64 = all.iter().filter_map(|e| e.copper_kg).sum();
    assert!((metal - 0.9).abs() < 1e-9, "{metal}");
    let apples = Filter {
        blocks: Some("apples".to_owned()),
        ..copper.clone()
    };
    let of_apples = entries(&seasons, &apples).unwrap();
    assert_eq!(of_apples.len(), 1);
    assert!((kg(of_apples[0].product) - 0.3).abs() < 1e-9);
    assert_eq!(of_apples[0].date, day("2025-12-01"));
    for (field, none) in [
        (
            Filter {
                from: Some(day("2027-01-01")),
                ..copper.clone()
            },
            true,
        ),
        (
            Filter {
                who: Some("GROWER".to_owned()),
                ..copper.clone()
            },
            false,
        ),
        (
            Filter {
                who: Some("nobody".to_owned()),
                ..copper.clone()
            },
            true,
        ),
        (
            Filter {
                active: Some("oil".to_owned()),
                ..copper.clone()
            },
            true,
        ),
    ] {
        assert_eq!(
            entries(&seasons, &field).unwrap().is_empty(),
            none,
            "{field:?}"
        );
    }
    let meadow = Filter {
        blocks: Some("meadow".to_owned()),
        ..copper
    };
    assert!(entries(&seasons, &meadow).unwrap_err().contains("meadow"));
}

#[test]
fn a_copy_of_a_season_is_counted_once_and_hours_and_water_are_summed() {
    let mut seasons = seasons();
    seasons.push(seasons[1].clone());
    let once = distinct(&seasons);
    assert_eq!(once.len(), 2);
    let sums = season_sums(&once);
    assert_eq!((sums[0].sprays, sums[1].sprays), (1, 1));
    // Eight to eleven, 90 L.
    assert!((sums[0].hours - 3.0).abs() < 1e-9 && (sums[0].water_l - 90.0).abs() < 1e-9);
    assert_eq!(sums[0].people, [("the grower".to_owned(), 3.0)]);
}
