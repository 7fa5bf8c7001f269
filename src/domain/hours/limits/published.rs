//! Limits that hold where neither label nor orchard says more.

use super::super::air::CALM_MS;
use super::{Limit, LimitFrom, Look, Weight};
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

/// What kind of material an active is, as far as the weather cares.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Class {
    /// Oils: they work by covering, and burn in frost and heat.
    Oil,
    /// Coppers.
    Copper,
    /// Everything else.
    Other,
}

impl Class {
    /// From the words of an active.
    pub fn of(active: &str) -> Self {
        let active = active.to_lowercase();
        if active.contains("oil") {
            Self::Oil
        } else if active.contains("copper") || active.contains("bordeaux") {
            Self::Copper
        } else {
            Self::Other
        }
    }
}

/// Limits of practice for one material, where its label is silent.
pub(super) fn for_material(material: &Material) -> Vec<Limit> {
    let label = &material.label;
    let class = Class::of(&material.active);
    let mut limits = Vec::new();
    if label.temp_min.is_none() && label.temp_max.is_none() {
        limits.extend(temperature(class));
    } else if class == Class::Oil {
        limits.push(limit(
            Look::AirBelow(f(50.0)),
            Weight::Advice,
            &sources::OIL_BEST_TEMPERATURE,
        ));
    }
    if class == Class::Oil {
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
        match class {
            Class::Oil => limits.push(limit(Look::RainAfter(24), Weight::Stop, &sources::OIL_DRY)),
            Class::Copper => limits.push(limit(
                Look::RainAfter(24),
                Weight::Stop,
                &sources::COPPER_DRY,
            )),
            Class::Other => {
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
    }
    if label.dry_before.is_none() && class == Class::Copper {
        limits.push(limit(
            Look::RainBefore(24),
            Weight::Doubt,
            &sources::COPPER_DRY,
        ));
    }
    limits
}

/// Oil: go at 50–70 °F, caution from 35 °F and to 90 °F, stop beyond. Others: 40–70 °F.
fn temperature(class: Class) -> Vec<Limit> {
    if class == Class::Oil {
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
            limit(
                Look::AirAbove(f(70.0)),
                Weight::Doubt,
                &sources::OIL_BEST_TEMPERATURE,
            ),
            limit(Look::AirAbove(f(90.0)), Weight::Stop, &sources::OIL_TOO_HOT),
        ]
    } else {
        vec![
            limit(
                Look::AirBelow(f(40.0)),
                Weight::Doubt,
                &sources::DORMANT_TEMPERATURE,
            ),
            limit(
                Look::AirAbove(f(70.0)),
                Weight::Doubt,
                &sources::DORMANT_TEMPERATURE,
            ),
        ]
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

/// Limits of practice for any spray.
pub(super) fn for_any_spray() -> Vec<Limit> {
    vec![
        limit(
            Look::RainChance {
                hours: 24,
                above_pct: 50.0,
            },
            Weight::Doubt,
            &sources::RAIN_LIKELY,
        ),
        limit(Look::GustAbove(TEN_MPH_MS), Weight::Doubt, &sources::GUSTS),
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

/// The most wind of practice, where neither label nor orchard sets one.
pub(super) fn wind() -> Limit {
    limit(
        Look::WindAbove(TEN_MPH_MS),
        Weight::Stop,
        &sources::WIND_TEN_MPH,
    )
}

/// Pruning, picking up, looking: dry hours by daylight.
pub(super) fn for_other_work() -> Vec<Limit> {
    vec![
        limit(Look::RainAfter(0), Weight::Doubt, &sources::DRY_WORK),
        limit(Look::Dark, Weight::Stop, &sources::DAYLIGHT),
        limit(Look::NotThisYear, Weight::Doubt, &sources::NOT_A_FORECAST),
    ]
}
