//! Totals of actives, and metallic copper.

use crate::full;
use crate::orchard::{day, of, season};
use approx::assert_relative_eq;
use barewood::domain::records::{copper, copper_kg_per_ha, correct, finish, totals};
use barewood::domain::season::{BlockId, CopperRegime, PastCopper, Season};

fn two() -> Season {
    let mut s = season();
    s.tasks[2].blocks = vec![BlockId::from("peaches"), BlockId::from("apples")];
    let s = finish(
        &s,
        full(&s, "first-copper", "2026-12-01"),
        day("2026-12-01"),
    )
    .unwrap()
    .season;
    finish(
        &s,
        full(&s, "second-copper", "2027-02-20"),
        day("2027-02-20"),
    )
    .unwrap()
    .season
}

// UC and USU pages: copper dose = product × its share of metallic copper, per area:
// 1.2 kg × 50 % on 0.3 ha = 2 kg/ha; on 0.4 ha = 1.5 kg/ha.
#[test]
fn metallic_copper_is_product_times_share_over_ground() {
    let s = two();
    assert_relative_eq!(s.records[0].materials[0].copper_kg_per_ha.unwrap(), 2.0);
    assert_relative_eq!(s.records[1].materials[0].copper_kg_per_ha.unwrap(), 1.5);
    assert_eq!(s.records[1].materials[1].copper_kg_per_ha, None, "oil");
}

// Regulation (EU) 2018/1981: 28 kg/ha over seven years.
#[test]
fn copper_adds_up_over_the_season_and_seven_years() {
    let s = two();
    let blocks = copper(&s);
    assert_relative_eq!(blocks[0].season_kg_per_ha, 3.5);
    assert_relative_eq!(blocks[1].season_kg_per_ha, 1.5);
    assert_relative_eq!(blocks[0].seven_years_kg_per_ha, 3.5 + 12.0);
    assert_eq!(blocks[0].past_years, 3);
    assert_relative_eq!(blocks[0].limit_kg_per_ha.unwrap().0, 28.0);
    let mut long = s.clone();
    long.orchard.copper_past_kg_per_ha = vec![1.0; 9];
    assert_relative_eq!(copper(&long)[0].seven_years_kg_per_ha, 3.5 + 6.0);
    // What a block says of a year goes before the orchard's list.
    long.blocks[0].copper_past_kg_per_ha = vec![PastCopper::KgPerHa(3.0), PastCopper::Unknown];
    assert_relative_eq!(copper(&long)[0].seven_years_kg_per_ha, 3.5 + 8.0);
    assert_relative_eq!(copper(&long)[1].seven_years_kg_per_ha, 1.5 + 6.0);
    long.orchard.copper_regime = CopperRegime::Label;
    assert_eq!(copper(&long)[0].limit_kg_per_ha.map(|l| l.0), None);
}

#[test]
fn copper_that_cannot_be_reckoned_is_counted_not_dropped() {
    let mut s = season();
    s.blocks[0].area = None;
    let s = finish(
        &s,
        full(&s, "first-copper", "2026-12-01"),
        day("2026-12-01"),
    )
    .unwrap()
    .season;
    assert_eq!(copper(&s)[0].unknown_uses, 1);
    assert_eq!(copper_kg_per_ha(&s, &s.records[0].materials[0], None), None);
    assert_eq!(
        copper_kg_per_ha(&s, &s.records[0].materials[0], Some(of("0 ha"))),
        None
    );
}

#[test]
fn a_copper_by_any_name_of_its_label_is_copper() {
    // Names of labels: Michigan State Univ. and Cornell on copper products.
    for active in [
        "cuprous oxide",
        "cupric hydroxide",
        "bordeaux mixture",
        "copper soap",
    ] {
        let mut s = season();
        let mut record = full(&s, "first-copper", "2026-12-01");
        record.materials[0].active = active.to_owned();
        record.materials[0].metallic_copper = None;
        record.materials[0].copper_kg_per_ha = None;
        record.materials[0].total = None;
        s.records.push(record);
        assert_eq!(copper(&s)[0].unknown_uses, 1, "{active}");
    }
}

#[test]
fn a_joint_use_is_shared_by_ground() {
    let s = two();
    let totals = totals(&s);
    let copper = &totals.orchard[0];
    assert_eq!((copper.active.as_str(), copper.uses), ("fixed copper", 2));
    assert_relative_eq!(copper.product_mass.unwrap().kg(), 2.4, epsilon = 1e-9);
    let (_, apples) = totals
        .blocks
        .iter()
        .find(|(id, _)| id == &BlockId::from("apples"))
        .unwrap();
    assert_relative_eq!(apples[0].product_mass.unwrap().kg(), 0.3, epsilon = 1e-9);
    assert_relative_eq!(
        apples[1]
            .product_volume
            .unwrap()
            .to(barewood::domain::units::VolumeUnit::Gal)
            .value,
        0.125,
        epsilon = 1e-9
    );
}

#[test]
fn a_corrected_record_does_not_count_twice() {
    let s = two();
    let mut less = s.records[0].clone();
    less.materials[0].total = Some(of("0.6 kg"));
    less.materials[0].copper_kg_per_ha = None;
    let s = correct(&s, &s.records[0].id.clone(), less, "", day("2027-02-21"))
        .unwrap()
        .season;
    assert_relative_eq!(copper(&s)[0].season_kg_per_ha, 1.0 + 1.5);
    assert_eq!(totals(&s).orchard[0].uses, 2);
}
