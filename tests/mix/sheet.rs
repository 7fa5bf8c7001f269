//! The sheet as plain data: fine, caution, refused.

use crate::fixture::*;
use barewood::domain::mix::{MixSheet, Verdict, sheet};
use barewood::domain::rules::Level;
use barewood::domain::season::{MixPart, Quiet, Season};

pub fn made(s: &Season) -> MixSheet {
    sheet(s, &s.tasks[0], Some(&estimates(s)), day(TODAY))
}

/// A second partner in the tank.
pub fn with(s: &mut Season, id: &str, active: &str) {
    s.materials.push(material(id, active));
    s.tasks[0].mix.push(MixPart {
        material: id.into(),
        rate: None,
    });
}

#[test]
fn a_fine_mix() {
    let mut s = season();
    s.practice = false;
    let sheet = made(&s);
    assert_eq!(sheet.verdict, Verdict::Fine);
    assert!(sheet.banner.is_empty() && sheet.refusals.is_empty() && sheet.warnings.is_empty());
    assert_eq!(sheet.total.unwrap().amount.to_string(), "100 gal");
    let tanks = sheet.tanks.unwrap();
    assert_eq!((tanks.full, tanks.last_l), (4, 0.0));
    assert_eq!(
        sheet.products[0].full_tank.unwrap().amount.to_string(),
        "1 lb"
    );
    assert_eq!(sheet.reentry.hours, Some(24.0));
    assert!(
        sheet.blocks[0]
            .swell
            .as_deref()
            .unwrap()
            .contains("80 % between")
    );
    assert!(sheet.cautions.iter().any(|c| c.contains("masonry")));
}

#[test]
fn a_refused_mix_gives_no_amounts() {
    let mut s = season();
    with(&mut s, "oil", "horticultural oil");
    with(&mut s, "captan", "captan");
    let sheet = made(&s);
    assert_eq!(sheet.verdict, Verdict::Refused);
    assert!(sheet.refusals[0].contains("must not share a tank"));
    assert!(sheet.steps.is_empty());
    for p in &sheet.products {
        assert!(p.total.is_none() && p.full_tank.is_none() && p.last_tank.is_none());
    }
}

#[test]
fn a_bad_day_is_a_stop_but_the_mix_may_be_made() {
    let mut s = season();
    s.tasks[0].date = day("2027-03-05");
    let sheet = made(&s);
    assert_eq!(sheet.verdict, Verdict::NotAsPlanned);
    assert_eq!(sheet.warnings[0].level, Level::Stop);
    assert!(sheet.products[0].total.is_some());
}

#[test]
fn what_was_not_confirmed_goes_across_the_sheet_even_when_quietened() {
    let mut s = season();
    s.materials[0].label.generic = true;
    for rule in ["label-is-generic", "label-not-read"] {
        s.tasks[0].quiet.push(Quiet {
            rule: rule.to_owned(),
            why: "later".to_owned(),
            on: day(TODAY),
        });
    }
    let sheet = made(&s);
    assert!(
        sheet.banner.iter().any(|b| b.contains("NOT A LABEL")),
        "{:?}",
        sheet.banner
    );
    assert_eq!(sheet.quietened.len(), 2);
    s.materials[0].label.generic = false;
    s.materials[0].label.read_on = None;
    assert!(made(&s).banner.iter().any(|b| b.contains("LABEL NOT READ")));
    let unestimated = barewood::domain::mix::sheet(&s, &s.tasks[0], None, day(TODAY));
    assert!(
        unestimated
            .banner
            .iter()
            .any(|b| b.contains("NO SWELL ESTIMATE"))
    );
}

#[test]
fn little_water_for_oil_is_named() {
    // University of Vermont: at least 100 gal/acre.
    for (volume, told) in [("100 gal", false), ("99 gal", true)] {
        let mut s = season();
        s.materials[0] = material("cu", "horticultural oil");
        s.tasks[0].volume = Some(of(volume));
        let sheet = made(&s);
        let found = sheet
            .cautions
            .iter()
            .any(|c| c.contains("less than 100 gal/acre"));
        assert_eq!(found, told, "{volume}");
    }
}

#[test]
fn an_unknown_volume_is_unknown() {
    let mut s = season();
    (s.blocks[0].measured_volume, s.blocks[0].height) = (None, None);
    s.sprayers[0].calibration[0].l_per_ha = None;
    s.materials[0].label.rate = Some(of("1 lb/100 gal"));
    let sheet = made(&s);
    assert!(sheet.total_l.is_none() && sheet.tanks.is_none());
    assert!(sheet.products[0].notes[0].contains("spray volume is not known"));
}

/// NIST Handbook 44, appendix C: the avoirdupois ounce is a weight, the fluid ounce a volume; the
/// density that joins them is the product's own.
#[test]
fn ounces_by_weight_against_fluid_ounces_cannot_be_told_and_the_sheet_says_so() {
    let mut s = season();
    s.practice = false;
    s.materials[0].label.rate_min = None;
    s.materials[0].label.rate = Some(of("64 oz/100 gal"));
    s.materials[0].label.rate_max = Some(of("64 fl oz/100 gal"));
    let sheet = made(&s);
    // The rate in doubt is a caution as well: it does not hide that nothing was compared.
    assert!(sheet.warnings.iter().any(|w| w.level == Level::Caution));
    assert_eq!(sheet.verdict, Verdict::CannotTell);
    let across = sheet.banner.join("\n");
    assert!(across.contains("CANNOT TELL: "), "{across}");
    assert!(across.contains("64 fl oz"), "{across}");
    let text = barewood::report::mix_sheet::text(&sheet);
    assert!(text.contains("CANNOT TELL"), "{text}");
    // A stop goes before it, and the line across the sheet stays.
    let mut stopped = s.clone();
    stopped.materials[0].label.crops = vec!["apple".to_owned()];
    let sheet = made(&stopped);
    assert_eq!(sheet.verdict, Verdict::Refused);
    assert!(sheet.banner.iter().any(|l| l.contains("CANNOT TELL")));
    // With the density the two are compared: 64 fl oz of 1.2 kg/L weigh 80 oz.
    s.materials[0].density_kg_per_l = Some(1.2);
    assert_ne!(made(&s).verdict, Verdict::CannotTell);
    assert!(made(&s).banner.is_empty());
}
