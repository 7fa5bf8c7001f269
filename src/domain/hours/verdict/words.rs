//! Reasons in plain words, in the grower's units.

use super::super::air::{Air, Bark};
use super::super::compass;
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
                Look::WindFrom(_) => "to neighbours",
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
        // At the freezing point it freezes.
        let under = |below_c: f64| {
            if below_c == 0.0 {
                "at or under"
            } else {
                "under"
            }
        };
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
                    "down to {} {}, {} {} within {span}",
                    t(value),
                    when(),
                    under(below_c),
                    t(below_c)
                )
            }
            Look::ColdBefore { to_h, below_c, .. } => {
                format!(
                    "{} {}, {} {} within {to_h} h before",
                    t(value),
                    when(),
                    under(below_c),
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
            Look::RainChance { from_pct, .. } => {
                format!(
                    "{value:.0} % chance of rain {}; from {from_pct:.0} % on it is likely",
                    when()
                )
            }
            Look::WindAbove(most) => format!("wind {}, over {}", w(value), w(most)),
            Look::GustAbove(most) => format!("gusts to {}, over {}", w(value), w(most)),
            Look::WindBelow(least) => {
                format!(
                    "wind {} at 10 m, under {}: drift may hang",
                    w(value),
                    w(least)
                )
            }
            Look::WindFrom(_) => format!(
                "wind from {} carries drift to neighbours",
                compass::words(value)
            ),
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

impl Look {
    /// What it asks of an hour, in the grower's units.
    pub fn asks(self, units: UnitSystem) -> String {
        let t = |c: f64| temperature(c, units);
        let w = |ms: f64| wind(ms, units);
        match self {
            Self::AirBelow(least) => format!("air {} or warmer", t(least)),
            Self::AirAbove(most) => format!("air {} or cooler", t(most)),
            Self::ColdAfter {
                from_h,
                to_h,
                below_c,
            } => {
                format!("{} or warmer {from_h} to {to_h} h after", t(below_c))
            }
            Self::ColdBefore {
                from_h,
                to_h,
                below_c,
            } => {
                format!("{} or warmer {from_h} to {to_h} h before", t(below_c))
            }
            Self::RainAfter(0) => "no rain in the hour".to_owned(),
            Self::RainAfter(hours) => format!("no rain for {hours} h after"),
            Self::RainBefore(hours) => format!("no rain for {hours} h before"),
            Self::RainChance { hours, from_pct } => {
                format!("chance of rain under {from_pct:.0} % for {hours} h after")
            }
            Self::WindAbove(most) => format!("wind at most {}", w(most)),
            Self::GustAbove(most) => format!("gusts at most {}", w(most)),
            Self::WindBelow(least) => format!("wind at least {}: calm is not safe", w(least)),
            Self::WindFrom(set) => {
                let points: Vec<String> = compass::POINTS
                    .iter()
                    .enumerate()
                    .filter(|(i, _)| set & (1 << i) != 0)
                    .map(|(_, p)| p.to_uppercase())
                    .collect();
                format!("no wind from {}", points.join(", "))
            }
            Self::LayeredAir => "no layered air (a clear calm night or low sun)".to_owned(),
            Self::HumidityAbove(most) => format!("humidity at most {most:.0} %"),
            Self::DepressionBelow(least) => {
                format!("wet-bulb depression at least {}", degrees(least, units))
            }
            Self::DepressionAbove(most) => {
                format!("wet-bulb depression at most {}", degrees(most, units))
            }
            Self::WetBark => "dry bark".to_owned(),
            Self::FrozenWood => "wood not frozen".to_owned(),
            Self::DriesTooLate => "dry before rain or frost".to_owned(),
            Self::Dark => "daylight".to_owned(),
            Self::OwnTime => "the grower's own hours".to_owned(),
            Self::NotThisYear => "a forecast, not a typical year".to_owned(),
        }
    }
}

fn unknown(what: Unknown) -> &'static str {
    match what {
        Unknown::Temperature => "the temperature",
        Unknown::TemperatureAround => "the temperature of some hours before or after",
        Unknown::RainAround => "rain in some hours before or after",
        Unknown::Wind => "the wind",
        Unknown::WindDirection => "where the wind comes from",
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
