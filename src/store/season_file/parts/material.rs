//! Materials and their labels.

use super::super::problem::nearest;
use super::super::reader::{Kind, Section};
use super::place::one_of;
use crate::domain::phenology::species::Species;
use crate::domain::season::{
    Formulation, KeepApart, Label, Material, MaterialId, Organic, Reentry,
};
use crate::domain::units::{Percent, Rate, Span, Speed, Temperature, UnitError, shown};
use std::collections::BTreeMap;
use std::str::FromStr;

const FORMULATIONS: [(&str, Formulation); 7] = [
    ("wp", Formulation::Wp),
    ("wg", Formulation::Wg),
    ("sc", Formulation::Sc),
    ("sp", Formulation::Sp),
    ("sl", Formulation::Sl),
    ("ec", Formulation::Ec),
    ("adjuvant", Formulation::Adjuvant),
];
const ORGANIC: [(&str, Organic); 4] = [
    ("allowed", Organic::Allowed),
    ("restricted", Organic::Restricted),
    ("not", Organic::Not),
    ("unknown", Organic::Unknown),
];

/// Re-entry as written: `until dry`, or a span.
struct ReentryText(Reentry);

impl FromStr for ReentryText {
    type Err = UnitError;

    fn from_str(text: &str) -> Result<Self, UnitError> {
        if text.trim().eq_ignore_ascii_case("until dry") {
            return Ok(Self(Reentry::UntilDry));
        }
        text.parse::<Span>().map(|s| Self(Reentry::After(s)))
    }
}

pub(super) fn material(s: &Section<'_, '_>) -> Material {
    let id = s.id(Kind::Material);
    let name = s.text("name").unwrap_or_else(|| id.clone());
    let material = Material {
        active: s.text("active").unwrap_or_else(|| name.to_lowercase()),
        name,
        id: MaterialId::from(id.as_str()),
        formulation: formulation(s),
        registration: s.text("registration"),
        active_share: share(s, "active_share"),
        metallic_copper: share(s, "metallic_copper"),
        density_kg_per_l: s.number("density_kg_per_l", 0.1..=20.0),
        stock: s.quantity("stock"),
        pack: s.quantity("pack"),
        pack_price: s.number("pack_price", 0.0..=1e9),
        label: s
            .section("label")
            .map_or_else(Label::default, |l| label(&l)),
    };
    s.rest();
    material
}

fn share(s: &Section<'_, '_>, key: &'static str) -> Option<Percent> {
    let share: Percent = s.quantity(key)?;
    if share.fraction() > 1.0 {
        s.complain_at(
            key,
            format!("{share} is more than the whole"),
            "write a share up to \"100 %\"",
        );
    }
    Some(share)
}

fn label(s: &Section<'_, '_>) -> Label {
    let crops = s.texts("crops");
    for crop in &crops {
        crop_words(s, "crops", crop);
    }
    let label = Label {
        read_on: s.day("read_on"),
        generic: s.flag("generic"),
        expires: s.day("expires"),
        crops,
        targets: s.texts("targets"),
        rate_min: s.quantity("rate_min"),
        rate: s.quantity("rate"),
        rate_max: s.quantity("rate_max"),
        last_stage: s.bbch("last_stage"),
        last_stage_by_crop: stages(s),
        first_stage: s.bbch("first_stage"),
        interval: s.quantity("interval"),
        max_uses: s.whole("max_uses", 0..=1000),
        max_per_season: s.quantity("max_per_season"),
        max_copper_per_use: copper(s, "max_copper_per_use"),
        max_copper_per_season: copper(s, "max_copper_per_season"),
        temp_min: s.quantity("temp_min"),
        temp_max: s.quantity("temp_max"),
        frost_free_before: s.quantity("frost_free_before"),
        frost_free_after: s.quantity("frost_free_after"),
        dry_before: s.quantity("dry_before"),
        dry_after: s.quantity("dry_after"),
        wind_max: s.quantity("wind_max"),
        wind_min: s.quantity("wind_min"),
        reentry: s.quantity::<ReentryText>("reentry").map(|r| r.0),
        gear: s.texts("gear"),
        never_with: s.texts("never_with"),
        keep_apart: s.sections("keep_apart").iter().map(apart).collect(),
        water_ph_min: s.number("water_ph_min", 0.0..=14.0),
        water_ph_max: s.number("water_ph_max", 0.0..=14.0),
        organic: one_of(s, "organic", &ORGANIC).unwrap_or_default(),
        notes: s.text("notes"),
    };
    let crossed =
        |low: Option<f64>, high: Option<f64>| matches!((low, high), (Some(l), Some(h)) if l > h);
    for (key, other, wrong) in [
        (
            "temp_min",
            "temp_max",
            crossed(
                label.temp_min.map(Temperature::c),
                label.temp_max.map(Temperature::c),
            ),
        ),
        (
            "wind_min",
            "wind_max",
            crossed(label.wind_min.map(Speed::ms), label.wind_max.map(Speed::ms)),
        ),
        (
            "water_ph_min",
            "water_ph_max",
            crossed(label.water_ph_min, label.water_ph_max),
        ),
    ] {
        if wrong {
            s.complain_at(key, format!("above {other}"), "write the lower one here");
        }
    }
    s.rest();
    label
}

/// A mass of metallic copper per ground area.
fn copper(s: &Section<'_, '_>, key: &'static str) -> Option<Rate> {
    let rate: Rate = s.quantity(key)?;
    if !matches!(
        rate,
        Rate::PerArea(crate::domain::units::Amount::Mass(_), _)
    ) {
        s.complain_at(
            key,
            format!("{rate} is no mass per area of ground"),
            "write for instance \"8 lb/acre\"",
        );
    }
    Some(rate)
}

fn crop_words(s: &Section<'_, '_>, key: &'static str, crop: &str) {
    if Species::from_text(crop).is_some() {
        return;
    }
    let at = s.value(key).map_or(0, |v| v.span().start);
    let near = nearest(crop, Species::ALL.map(Species::words));
    s.note_at(
        key,
        at,
        format!("'{}' is no kind of tree known here", shown(crop)),
        near.map_or_else(String::new, |k| format!("did you mean \"{k}\"?")),
    );
}

fn stages(s: &Section<'_, '_>) -> BTreeMap<String, u8> {
    let Some(table) = s.section("last_stage_by_crop") else {
        return BTreeMap::new();
    };
    table
        .entries()
        .filter_map(|(crop, value)| {
            crop_words(s, "last_stage_by_crop", crop);
            Some((crop.to_owned(), table.bbch_of(crop, value)?))
        })
        .collect()
}

fn apart(s: &Section<'_, '_>) -> KeepApart {
    let apart = KeepApart {
        active: s.need("active", s.text("active"), String::new(), "\"sulfur\""),
        days: s.need("days", s.whole("days", 0..=3660), 0, "14"),
    };
    s.rest();
    apart
}

pub(super) fn formulation(s: &Section<'_, '_>) -> Option<Formulation> {
    one_of(s, "formulation", &FORMULATIONS)
}
