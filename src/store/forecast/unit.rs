//! Unit codes of forecasts, turned into the units of the series.

/// What a value measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Quantity {
    Temperature,
    Speed,
    Depth,
    Percent,
    Angle,
}

impl Quantity {
    /// The range of what can be; outside it a value is a fault.
    pub(super) fn possible(self) -> std::ops::RangeInclusive<f64> {
        match self {
            Self::Temperature => -90.0..=60.0,
            Self::Speed => 0.0..=120.0,
            Self::Depth => 0.0..=500.0,
            Self::Percent => 0.0..=100.0,
            Self::Angle => 0.0..=360.0,
        }
    }
}

/// Factor and offset from a unit to °C, m/s, mm, % or degrees; `None` for a unit that is not
/// known or not of the quantity. Codes are those of the WMO codes registry (`wmoUnit:degC`),
/// of UCUM, and the plain words of the time series.
pub(super) fn conversion(quantity: Quantity, code: &str) -> Option<(f64, f64)> {
    // A namespace such as `wmoUnit:` or `uc:` says where the code is defined, not what it is.
    let unit = code.rsplit(':').next().unwrap_or(code).trim();
    match (quantity, unit) {
        (Quantity::Temperature, "degC" | "Cel" | "celsius")
        | (Quantity::Speed, "m_s-1" | "m.s-1" | "m/s")
        | (Quantity::Depth, "mm" | "kg_m-2" | "kg.m-2")
        | (Quantity::Percent, "percent" | "%")
        | (Quantity::Angle, "degree_(angle)" | "deg" | "degrees") => Some((1.0, 0.0)),
        (Quantity::Temperature, "degF" | "fahrenheit") => Some((5.0 / 9.0, -160.0 / 9.0)),
        (Quantity::Temperature, "K" | "kelvin") => Some((1.0, -273.15)),
        (Quantity::Speed, "km_h-1" | "km.h-1" | "km/h") => Some((1.0 / 3.6, 0.0)),
        (Quantity::Speed, "kt" | "kn") => Some((1852.0 / 3600.0, 0.0)),
        (Quantity::Depth, "m") => Some((1000.0, 0.0)),
        (Quantity::Depth, "cm") => Some((10.0, 0.0)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn convert(quantity: Quantity, code: &str, value: f64) -> Option<f64> {
        conversion(quantity, code).map(|(factor, offset)| value * factor + offset)
    }

    #[test]
    fn codes_are_read_with_and_without_their_namespace() {
        assert_eq!(
            convert(Quantity::Temperature, "wmoUnit:degC", 4.4),
            Some(4.4)
        );
        assert!((convert(Quantity::Temperature, "degF", 41.0).unwrap() - 5.0).abs() < 1e-9);
        assert!((convert(Quantity::Speed, "wmoUnit:km_h-1", 36.0).unwrap() - 10.0).abs() < 1e-9);
        assert_eq!(convert(Quantity::Depth, "mm", 2.0), Some(2.0));
        assert_eq!(convert(Quantity::Temperature, "wmoUnit:km_h-1", 1.0), None);
        assert_eq!(convert(Quantity::Speed, "furlongs", 1.0), None);
    }
}
