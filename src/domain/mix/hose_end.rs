//! A bottle on the end of a hose: no tank is mixed. The product goes into the bottle as it is, a
//! dial sets how much of it the water takes along, and the hose makes the spray.

use super::dose;
use super::measure::measure;
use super::order::Step;
use crate::domain::season::{
    Formulation, Material, MixPart, Season, Sprayer, SprayerKind, Task, UnitSystem,
};
use crate::domain::sources;
use crate::domain::units::{Amount, Rate, Volume};

/// What a hose-end sprayer needs to know of one product.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dial {
    /// Product to a litre of water, L: what the dial is set to.
    pub product_l_per_l: f64,
    /// Spray that one bottle makes, L.
    pub bottle_makes_l: f64,
}

/// The dial and the reach of a bottle for a rate. None where the rate is not one of volume to
/// volume, for a dial knows no other.
pub fn dial(rate: Rate, bottle_l: f64) -> Option<Dial> {
    let product_l_per_l = match rate {
        Rate::VolumePercent(p) => p.fraction(),
        Rate::PerVolume(Amount::Volume(product), water) if water.l() > 0.0 => {
            product.l() / water.l()
        }
        _ => return None,
    };
    let fits = product_l_per_l > 0.0 && bottle_l > 0.0;
    (fits && product_l_per_l.is_finite()).then_some(Dial {
        product_l_per_l,
        bottle_makes_l: bottle_l / product_l_per_l,
    })
}

/// Spray that one filling of a sprayer makes, L: a tank as much as it holds, the bottle on a hose
/// what its dial makes of it. None where the dial cannot be told.
pub fn filling_makes_l(season: &Season, task: &Task, sprayer: &Sprayer) -> Option<f64> {
    let holds = Some(sprayer.tank.l()).filter(|l| *l > 0.0)?;
    if sprayer.kind != SprayerKind::HoseEnd {
        return Some(holds);
    }
    let reach = |part: &MixPart| {
        let rate = dose::rate_of(part.rate, season.material(&part.material)?)?;
        Some(dial(rate, holds)?.bottle_makes_l)
    };
    let each: Option<Vec<f64>> = task.mix.iter().map(reach).collect();
    each?.into_iter().reduce(f64::min)
}

/// The dial as it is marked: fluid ounces to the gallon, or millilitres to the litre.
pub fn mark(dial: Dial, system: UnitSystem) -> String {
    let figure = |x: f64| crate::domain::units::plain_number((x * 100.0).round() / 100.0);
    match system {
        UnitSystem::Us => format!("{} fl oz per gal", figure(dial.product_l_per_l * 128.0)),
        UnitSystem::Metric => format!("{} mL per L", figure(dial.product_l_per_l * 1000.0)),
    }
}

/// The steps at the hose, from the bottle to spraying.
pub fn steps(
    materials: &[(&Material, Option<Rate>)],
    bottle: Volume,
    total_l: Option<f64>,
    system: UnitSystem,
) -> Vec<Step> {
    let mut out = Vec::new();
    let mut step = |words: String, source| out.push(Step { words, source });
    if materials.len() > 1 {
        step(
            "A dial sets one rate for the whole bottle: spray these one after the other, or use a tank.".to_owned(),
            &sources::HOSE_END,
        );
    }
    let shown = |l: f64| measure(dose::litres(l), system, None, None).amount;
    for (material, rate) in materials {
        if matches!(
            super::order::form(material),
            Some(Formulation::Wp | Formulation::Wg | Formulation::Sp)
        ) {
            step(
                format!(
                    "{}: a powder or granule settles in the bottle and clogs it: use a tank, or a bottle sold for it.",
                    material.name
                ),
                &sources::HOSE_END,
            );
            continue;
        }
        let Some(dial) = rate.and_then(|r| dial(r, bottle.l())) else {
            step(
                format!(
                    "{}: its rate is not given to a volume of water, which is all a dial can set: look at the label for hose-end directions.",
                    material.name
                ),
                &sources::HOSE_END,
            );
            continue;
        };
        let need = total_l.map_or_else(String::new, |l| {
            let product = shown(l * dial.product_l_per_l);
            let bottles = (l / dial.bottle_makes_l).ceil();
            let refills = if bottles > 1.0 {
                format!(", {bottles} bottles")
            } else {
                String::new()
            };
            format!("; {product} in all for {}{refills}", shown(l))
        });
        step(
            format!(
                "{}: pour it undiluted into the bottle; set the dial to {} or the next lower mark. A full bottle of {bottle} makes {}{need}.",
                material.name,
                mark(dial, system),
                shown(dial.bottle_makes_l)
            ),
            &sources::HOSE_END,
        );
    }
    step(
        "Hose full on, a check valve at the tap so that nothing runs back. Shake the bottle now and then. Wet all of the wood.".to_owned(),
        &sources::HOSE_END,
    );
    step(
        "Afterwards pour what is left back only where the label says so; rinse the bottle and spray plain water for a minute.".to_owned(),
        &sources::HOSE_END,
    );
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    // By the definition of the fluid ounce, 128 to the gallon: 2 % are 2.56 fl oz a gallon, and
    // a bottle of 32 fl oz makes 1600 fl oz or 12.5 gal.
    #[test]
    fn the_dial_and_the_reach_of_a_bottle_follow_from_the_rate() {
        let bottle: Volume = "32 fl oz".parse().unwrap();
        let of = |rate: &str| dial(rate.parse().unwrap(), bottle.l());
        let d = of("2 % v/v").unwrap();
        assert_eq!(mark(d, UnitSystem::Us), "2.56 fl oz per gal");
        assert_eq!(mark(d, UnitSystem::Metric), "20 mL per L");
        assert!((d.bottle_makes_l / 3.785_411_784 - 12.5).abs() < 1e-9);
        let d = of("4 tbsp/gal").unwrap();
        assert_eq!(mark(d, UnitSystem::Us), "2 fl oz per gal");
        assert!((d.bottle_makes_l / 3.785_411_784 - 16.0).abs() < 1e-9);
        assert_eq!(of("4 lb/acre"), None);
        assert_eq!(of("2 oz/gal"), None, "a weight");
    }
}
