//! Limits that hold where neither label nor orchard says more.

use super::super::air::CALM_MS;
use super::{Limit, LimitFrom, Look, Weight};
use crate::domain::materials::{Actives, actives_of};
use crate::domain::season::Material;
use crate::domain::sources::{self, Source};

/// °F to °C.
const fn f(temp_f: f64) -> f64 {
    (temp_f - 32.0) / 1.8
}

/// 10 mph in m/s.
const TEN_MPH_MS: f64 = 4.4704;

const fn limit(look: Look, weight: Weight, source: &'static Source) -> Limit {
    Limit {
        look,
        weight,
        from: LimitFrom::Published(source),
    }
}

/// Limits of practice for one material, where its label is silent.
pub(super) fn for_material(material: &Material) -> Vec<Limit> {
    let label = &material.label;
    let kinds = actives_of(&material.active);
    let is_oil = kinds.any(Actives::OIL);
    let is_copper = kinds.any(Actives::COPPER);
    let mut limits = Vec::new();
    // Each side that the label does not set keeps its own limit.
    if label.temp_min.is_none() {
        limits.extend(too_cold(is_oil));
    } else if is_oil {
        limits.push(limit(
            Look::AirBelow(f(50.0)),
            Weight::Advice,
            &sources::OIL_BEST_TEMPERATURE,
        ));
    }
    if label.temp_max.is_none() {
        limits.extend(too_warm(is_oil));
    }
    if is_oil {
        if label.frost_free_after.is_none() {
            limits.extend(oil_cold_after());
        }
        if label.frost_free_before.is_none() {
            limits.push(limit(
                Look::ColdBefore {
                    from_h: 0,
                    to_h: 48,
                    below_c: 0.0,
                },
                Weight::Doubt,
                &sources::OIL_FROST_EITHER_SIDE,
            ));
        }
        limits.push(limit(
            Look::HumidityAbove(90.0),
            Weight::Doubt,
            &sources::OIL_HUMIDITY,
        ));
    }
    if label.dry_after.is_none() {
        if is_oil {
            limits.push(limit(Look::RainAfter(24), Weight::Stop, &sources::OIL_DRY));
        } else if is_copper {
            limits.push(limit(
                Look::RainAfter(24),
                Weight::Stop,
                &sources::COPPER_DRY,
            ));
        } else {
            limits.push(limit(
                Look::RainAfter(12),
                Weight::Stop,
                &sources::RAIN_12_H,
            ));
            limits.push(limit(
                Look::RainAfter(24),
                Weight::Doubt,
                &sources::RAIN_24_H,
            ));
        }
    }
    if label.dry_before.is_none() && is_copper {
        limits.push(limit(
            Look::RainBefore(24),
            Weight::Doubt,
            &sources::COPPER_DRY,
        ));
    }
    limits
}

/// Oil: go from 50 °F, caution from 35 °F, stop below. Others: from 40 °F.
fn too_cold(is_oil: bool) -> Vec<Limit> {
    if is_oil {
        vec![
            limit(
                Look::AirBelow(f(35.0)),
                Weight::Stop,
                &sources::OIL_TOO_COLD,
            ),
            limit(
                Look::AirBelow(f(50.0)),
                Weight::Doubt,
                &sources::OIL_BEST_TEMPERATURE,
            ),
        ]
    } else {
        vec![limit(
            Look::AirBelow(f(40.0)),
            Weight::Doubt,
            &sources::DORMANT_TEMPERATURE,
        )]
    }
}

/// Oil: go to 70 °F, caution to 90 °F, stop above. Others: to 70 °F.
fn too_warm(is_oil: bool) -> Vec<Limit> {
    if is_oil {
        vec![
            limit(
                Look::AirAbove(f(70.0)),
                Weight::Doubt,
                &sources::OIL_BEST_TEMPERATURE,
            ),
            limit(Look::AirAbove(f(90.0)), Weight::Stop, &sources::OIL_TOO_HOT),
        ]
    } else {
        vec![limit(
            Look::AirAbove(f(70.0)),
            Weight::Doubt,
            &sources::DORMANT_TEMPERATURE,
        )]
    }
}

/// Oil: frost within 24 h is a stop; under 40 °F within 24 h or frost within 48 h is doubtful.
fn oil_cold_after() -> [Limit; 3] {
    [
        limit(
            Look::ColdAfter {
                from_h: 0,
                to_h: 24,
                below_c: 0.0,
            },
            Weight::Stop,
            &sources::OIL_FROST_AFTER,
        ),
        limit(
            Look::ColdAfter {
                from_h: 0,
                to_h: 24,
                below_c: f(40.0),
            },
            Weight::Doubt,
            &sources::OIL_BEST_TEMPERATURE,
        ),
        limit(
            Look::ColdAfter {
                from_h: 24,
                to_h: 48,
                below_c: 0.0,
            },
            Weight::Doubt,
            &sources::OIL_FROST_EITHER_SIDE,
        ),
    ]
}

/// Copper on green tissue: no frost within a day on either side, and with doubt within two after.
pub(super) fn copper_on_green() -> [Limit; 3] {
    [
        limit(
            Look::ColdAfter {
                from_h: 0,
                to_h: 24,
                below_c: 0.0,
            },
            Weight::Stop,
            &sources::COPPER_FROST,
        ),
        limit(
            Look::ColdBefore {
                from_h: 0,
                to_h: 24,
                below_c: 0.0,
            },
            Weight::Stop,
            &sources::COPPER_FROST,
        ),
        limit(
            Look::ColdAfter {
                from_h: 24,
                to_h: 48,
                below_c: 0.0,
            },
            Weight::Doubt,
            &sources::COPPER_FROST,
        ),
    ]
}

/// Limits of practice for any spray.
pub(super) fn for_any_spray() -> Vec<Limit> {
    vec![
        limit(
            Look::RainChance {
                hours: 24,
                from_pct: 50.0,
            },
            Weight::Doubt,
            &sources::RAIN_LIKELY,
        ),
        limit(
            Look::WindBelow(CALM_MS),
            Weight::Doubt,
            &sources::CALM_NOT_SAFE,
        ),
        limit(Look::LayeredAir, Weight::Stop, &sources::CALM_NOT_SAFE),
        limit(
            Look::DepressionBelow(2.0),
            Weight::Advice,
            &sources::DELTA_T,
        ),
        limit(
            Look::DepressionAbove(10.0),
            Weight::Doubt,
            &sources::DELTA_T,
        ),
        limit(Look::WetBark, Weight::Stop, &sources::WET_WOOD),
        limit(Look::FrozenWood, Weight::Stop, &sources::FROZEN_WOOD),
        limit(
            Look::DriesTooLate,
            Weight::Stop,
            &sources::DRY_BEFORE_FREEZING,
        ),
        limit(Look::Dark, Weight::Stop, &sources::DAYLIGHT),
        limit(Look::NotThisYear, Weight::Doubt, &sources::NOT_A_FORECAST),
    ]
}

/// The most wind of practice, gusts included, where no label sets one. A limit of one's own
/// may be stricter; it lifts nothing.
pub(super) fn wind() -> [Limit; 2] {
    [
        limit(
            Look::WindAbove(TEN_MPH_MS),
            Weight::Stop,
            &sources::WIND_TEN_MPH,
        ),
        limit(Look::GustAbove(TEN_MPH_MS), Weight::Stop, &sources::GUSTS),
    ]
}

/// Pruning, picking up, looking: dry hours by daylight.
pub(super) fn for_other_work() -> Vec<Limit> {
    vec![
        limit(Look::RainAfter(0), Weight::Doubt, &sources::DRY_WORK),
        limit(Look::Dark, Weight::Stop, &sources::DAYLIGHT),
        limit(Look::NotThisYear, Weight::Doubt, &sources::NOT_A_FORECAST),
    ]
}
