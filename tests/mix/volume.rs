//! Which volume wins, and what it is.

use crate::fixture::*;
use approx::assert_relative_eq;
use barewood::domain::mix::volume::{self, AreaFrom, How, L_PER_HA_OF_GPA};
use barewood::domain::phenology::species::Species;
use barewood::domain::season::{Canopy, SprayerKind};

const GAL: f64 = 3.785_411_784;

#[test]
fn the_growers_own_measurement_always_wins() {
    let b = block("p", Species::Peach);
    for kind in [SprayerKind::Handgun, SprayerKind::Airblast] {
        let mut s = sprayer("x");
        s.kind = kind;
        let v = volume::of_block(&b, Some(&s)).unwrap();
        assert_eq!(v.how, How::Measured);
        assert_relative_eq!(v.litres, 100.0 * GAL, max_relative = 1e-12);
    }
}

#[test]
fn tree_row_volume_by_canopy_and_hand_factor() {
    // Landers (Cornell): 193,600 cu ft/acre; Kentucky 2018: 0.5 gal per 1000 cu ft bare.
    let mut b = block("p", Species::Peach);
    b.measured_volume = None;
    for (canopy, gal_per_acre) in [(Canopy::Open, 96.8), (Canopy::Dense, 135.52)] {
        b.canopy = canopy;
        let v = volume::of_block(&b, None).unwrap();
        assert_eq!(v.how, How::Rows);
        assert_relative_eq!(v.litres / GAL, gal_per_acre, max_relative = 1e-9);
    }
    b.canopy = Canopy::Open;
    // Hand wetting takes about twice as much (derived), unless the grower says otherwise.
    let mut s = sprayer("x");
    assert_relative_eq!(
        volume::of_block(&b, Some(&s)).unwrap().litres / GAL,
        193.6,
        max_relative = 1e-9
    );
    s.volume_factor = Some(1.5);
    assert_relative_eq!(
        volume::of_block(&b, Some(&s)).unwrap().litres / GAL,
        145.2,
        max_relative = 1e-9
    );
}

#[test]
fn a_sprayer_that_drives_puts_on_what_it_was_calibrated_to() {
    let mut b = block("p", Species::Peach);
    b.measured_volume = None;
    let mut s = sprayer("x");
    s.kind = SprayerKind::Airblast;
    let v = volume::of_block(&b, Some(&s)).unwrap();
    assert_eq!(v.how, How::Calibrated);
    assert_relative_eq!(v.litres, 900.0 * 0.404_685_642_24, max_relative = 1e-12);
}

#[test]
fn crown_by_crown_without_rows() {
    // A box of 10 × 10 × 10 ft at 0.5 gal per 1000 cu ft is half a gallon.
    let mut b = block("p", Species::Peach);
    b.measured_volume = None;
    (b.row_spacing, b.tree_spacing, b.area) = (None, None, None);
    b.height = Some(of("10 ft"));
    let v = volume::of_block(&b, None).unwrap();
    assert_eq!(v.how, How::PerTree);
    assert_relative_eq!(v.litres / GAL, 50.0, max_relative = 1e-9);
    b.height = None;
    assert!(volume::of_block(&b, None).is_none(), "nothing tells it");
}

#[test]
fn ground_entered_from_spacing_or_under_the_crowns() {
    let mut b = block("p", Species::Peach);
    assert_eq!(volume::area_ha(&b).unwrap().1, AreaFrom::Entered);
    b.area = None;
    let (ha, from) = volume::area_ha(&b).unwrap();
    assert_eq!(from, AreaFrom::Spacing);
    assert_relative_eq!(
        ha,
        100.0 * 18.0 * 12.0 * 0.092_903_04 / 10_000.0,
        max_relative = 1e-12
    );
    b.row_spacing = None;
    assert_eq!(volume::area_ha(&b).unwrap().1, AreaFrom::Crowns);
    b.spread = None;
    assert!(volume::area_ha(&b).is_none());
}

#[test]
fn a_volume_set_for_the_task_is_shared_out() {
    let mut s = season();
    s.blocks.push(block("q", Species::Peach));
    s.blocks[1].measured_volume = Some(of("300 gal"));
    s.tasks[0].blocks.clear();
    let v = volume::of_task(&s, &s.tasks[0]);
    assert_relative_eq!(v.total_l.unwrap(), 400.0 * GAL, max_relative = 1e-12);
    s.tasks[0].volume = Some(of("40 gal"));
    let v = volume::of_task(&s, &s.tasks[0]);
    let shares: Vec<f64> = v.blocks.iter().map(|b| b.1.unwrap().litres / GAL).collect();
    assert_relative_eq!(shares[0], 10.0, max_relative = 1e-9);
    assert_relative_eq!(shares[1], 30.0, max_relative = 1e-9);
    // One block that cannot be reckoned makes the whole unknown, not small.
    s.tasks[0].volume = None;
    (s.blocks[1].measured_volume, s.blocks[1].height) = (None, None);
    s.sprayers[0].calibration.clear();
    assert!(volume::of_task(&s, &s.tasks[0]).total_l.is_none());
    assert_relative_eq!(L_PER_HA_OF_GPA, 9.353_956_229, max_relative = 1e-9);
}
