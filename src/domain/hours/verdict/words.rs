//! Reasons in plain words, in the grower's units.

use super::super::air::{Air, Bark};
use super::super::limits::{Limits, Look, Weight};
use super::{Finding, Reason, Unknown};
use crate::domain::season::UnitSystem;

impl Reason {
    /// The reason in one plain line: what is, what was asked, who asks.
    pub fn words(&self, air: &Air, limits: &Limits, units: UnitSystem) -> String {
        let who = limits.who(self.limit.from);
        match self.finding {
            Finding::Unknown(what) => format!("not known: {}", unknown(what)),
            Finding::Missed { value, hour } => {
                format!(
                    "{} ({who})",
                    self.said(air, limits, units, value, hour, false)
                )
            }
            Finding::Open { value, hour } => {
                format!(
                    "{} ({who})",
                    self.said(air, limits, units, value, hour, true)
                )
            }
        }
    }

    /// A few characters for a grid's margin: what it is about.
    pub fn tag(&self) -> &'static str {
        match self.finding {
            Finding::Unknown(_) => "not known",
            _ => match self.limit.look {
                Look::AirBelow(_) => "cold",
                Look::AirAbove(_) => "warm",
                Look::ColdAfter { .. } => "cold after",
                Look::ColdBefore { .. } => "frost before",
                Look::RainAfter(_) => "rain after",
                Look::RainBefore(_) => "rain before",
                Look::RainChance { .. } => "rain likely",
                Look::WindAbove(_) => "wind",
                Look::GustAbove(_) => "gusts",
                Look::WindBelow(_) => "calm",
                Look::LayeredAir => "layered air",
                Look::HumidityAbove(_) => "humid",
                Look::DepressionBelow(_) => "slow drying",
                Look::DepressionAbove(_) => "dry air",
                Look::WetBark => "wet bark",
                Look::FrozenWood => "frozen",
                Look::DriesTooLate => "dries late",
                Look::Dark => "dark",
                Look::OwnTime => "own time",
                Look::NotThisYear => "no forecast",
            },
        }
    }

    fn said(
        &self,
        air: &Air,
        limits: &Limits,
        units: UnitSystem,
        value: f64,
        hour: usize,
        open: bool,
    ) -> String {
        let when = || {
            let at = air.local(hour);
            at.format("%a %d %H:00").to_string()
        };
        let t = |temp_c: f64| temperature(temp_c, units);
        let w = |wind_ms: f64| wind(wind_ms, units);
        match self.limit.look {
            Look::AirBelow(least) if self.weight == Weight::Advice => {
                format!("{}, better from {}", t(value), t(least))
            }
            Look::AirBelow(least) => format!("{}, colder than {}", t(value), t(least)),
            Look::AirAbove(most) => format!("{}, warmer than {}", t(value), t(most)),
            Look::ColdAfter {
                from_h,
                to_h,
                below_c,
            } => {
                let span = if from_h == 0 {
                    format!("{to_h} h after")
                } else {
                    format!("{from_h}-{to_h} h after")
                };
                format!(
                    "down to {} {}, under {} within {span}",
                    t(value),
                    when(),
                    t(below_c)
                )
            }
            Look::ColdBefore { to_h, below_c, .. } => {
                format!(
                    "{} {}, under {} within {to_h} h before",
                    t(value),
                    when(),
                    t(below_c)
                )
            }
            Look::RainAfter(0) => format!("{} of rain in this hour", rain(value, units)),
            Look::RainAfter(hours) => {
                let trace = if open { "a trace of rain" } else { "rain" };
                format!(
                    "{trace}, {}, from {} on; {hours} h dry wanted after",
                    rain(value, units),
                    when()
                )
            }
            Look::RainBefore(hours) => {
                let trace = if open { "a trace of rain" } else { "rain" };
                format!(
                    "{trace}, {}, from {} on; {hours} h dry wanted before",
                    rain(value, units),
                    when()
                )
            }
            Look::RainChance { above_pct, .. } => {
                format!(
                    "{value:.0} % chance of rain {}, over {above_pct:.0} %",
                    when()
                )
            }
            Look::WindAbove(most) => format!("wind {}, over {}", w(value), w(most)),
            Look::GustAbove(most) => format!("gusts to {}, over {}", w(value), w(most)),
            Look::WindBelow(least) => {
                format!("wind {}, under {}: drift may hang", w(value), w(least))
            }
            Look::LayeredAir if open => {
                format!(
                    "calm at low sun ({}), sky not known: air may be layered; watch smoke or dust",
                    w(value)
                )
            }
            Look::LayeredAir => format!(
                "calm and clear at low sun ({}): layered air holds droplets",
                w(value)
            ),
            Look::HumidityAbove(most) => format!("humidity {value:.0} %, over {most:.0} %"),
            Look::DepressionBelow(least) => {
                format!(
                    "wet-bulb depression {}, under {}: dries slowly",
                    degrees(value, units),
                    degrees(least, units)
                )
            }
            Look::DepressionAbove(most) => {
                format!(
                    "wet-bulb depression {}, over {}",
                    degrees(value, units),
                    degrees(most, units)
                )
            }
            Look::WetBark => match air.bark(hour) {
                Bark::Dew(rh) => {
                    format!("dew or fog likely at {rh:.0} % humidity: look at the bark")
                }
                _ if open => "bark may still be wet with rain: look".to_owned(),
                _ => "bark is wet with rain, as estimated".to_owned(),
            },
            Look::FrozenWood if open => {
                format!("{} {}: wood may still be frozen", t(value), when())
            }
            Look::FrozenWood => format!("{}: wood is frozen", t(value)),
            Look::DriesTooLate if value.is_infinite() => {
                format!("rained on {} before it is dry", when())
            }
            Look::DriesTooLate if open => {
                format!("a thick film takes {value:.0} h; frost {}", when())
            }
            Look::DriesTooLate => format!("freezes {} before it is dry", when()),
            Look::Dark if open => format!("half dark, sun at {value:.0}°"),
            Look::Dark => format!("dark, sun at {value:.0}°"),
            Look::OwnTime => format!("not when the grower works: {}", limits.own_time.words()),
            Look::NotThisYear => "a typical year, not a forecast".to_owned(),
        }
    }
}

fn unknown(what: Unknown) -> &'static str {
    match what {
        Unknown::Temperature => "the temperature",
        Unknown::TemperatureAround => "the temperature of some hours before or after",
        Unknown::RainAround => "rain in some hours before or after",
        Unknown::Wind => "the wind",
        Unknown::Humidity => "the humidity",
        Unknown::Bark => "whether bark is dry",
        Unknown::Drying => "whether it dries in time",
        Unknown::Sun => "the sun's height",
    }
}

/// A temperature in the grower's unit.
pub fn temperature(temp_c: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => format!("{temp_c:.1} °C"),
        UnitSystem::Us => format!("{:.0} °F", temp_c.mul_add(1.8, 32.0)),
    }
}

/// A difference of temperatures in the grower's unit.
fn degrees(diff_c: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => format!("{diff_c:.1} °C"),
        UnitSystem::Us => format!("{:.0} °F", diff_c * 1.8),
    }
}

/// A wind in the grower's unit.
pub fn wind(wind_ms: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => format!("{wind_ms:.1} m/s"),
        UnitSystem::Us => format!("{:.0} mph", wind_ms / 0.447_04),
    }
}

/// A depth of rain in the grower's unit.
pub fn rain(rain_mm: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => format!("{rain_mm:.1} mm"),
        UnitSystem::Us => format!("{:.2} in", rain_mm / 25.4),
    }
}
