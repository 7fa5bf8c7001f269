//! Quantities with one dimension, each a number and the unit it was written in.
//!
//! Exact factors: the international foot, pound and mile, the US gallon of
//! 231 cubic inches (NIST Handbook 44, appendix C); the imperial gallon of
//! 4.546 09 L (Weights and Measures Act 1985, schedule 1). A gallon, quart, pint
//! or fluid ounce without a word before it is the US one, as are the spoons.
//! The are is 100 m² (ISO 80000-3; Council Directive 80/181/EEC).

use super::{UnitError, plain_number, split_number};
use serde::{Serialize, Serializer};
use std::{fmt, str::FromStr};

macro_rules! quantity {
    (
        $(#[$meta:meta])* $name:ident, $unit:ident, $si:ident, $example:literal, signed = $signed:literal;
        $( $variant:ident = $factor:expr, $offset:expr, $label:literal $(, $alias:literal)* ; )+
    ) => {
        /// The units this quantity may be written in.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        #[allow(missing_docs)]
        pub enum $unit { $( $variant ),+ }

        impl $unit {
            /// Every unit, preferred first.
            pub const ALL: &'static [Self] = &[ $( Self::$variant ),+ ];

            /// How the unit is written.
            pub fn label(self) -> &'static str { match self { $( Self::$variant => $label ),+ } }

            /// Reads a unit; case and spaces do not matter.
            pub fn from_text(text: &str) -> Option<Self> {
                let key = |s: &str| s.to_lowercase().replace([' ', '.', '°', '(', ')'], "");
                let wanted = key(text);
                $( if [$label $(, $alias)*].iter().any(|s| key(s) == wanted) { return Some(Self::$variant); } )+
                None
            }

            fn factor_offset(self) -> (f64, f64) { match self { $( Self::$variant => ($factor, $offset) ),+ } }
        }

        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct $name {
            /// The number as written.
            pub value: f64,
            /// The unit as written.
            pub unit: $unit,
        }

        impl $name {
            /// A quantity from a number in the unit named.
            pub fn new(value: f64, unit: $unit) -> Self { Self { value, unit } }

            /// The value in the SI unit named by this function.
            pub fn $si(self) -> f64 {
                let (factor, offset) = self.unit.factor_offset();
                (self.value - offset) * factor
            }

            /// The same quantity in another unit.
            pub fn to(self, unit: $unit) -> Self {
                if unit == self.unit { return self; }
                let (factor, offset) = unit.factor_offset();
                Self { value: self.$si() / factor + offset, unit }
            }
        }

        impl FromStr for $name {
            type Err = UnitError;

            fn from_str(text: &str) -> Result<Self, UnitError> {
                let (value, rest) = split_number(text, $example)?;
                if let Some(why) = unclear($unit::ALL.first().map(|u| u.label()), rest) {
                    return Err(UnitError::NotClear { text: super::shown(text), why });
                }
                let unit = $unit::from_text(rest).ok_or_else(|| UnitError::UnknownUnit {
                    text: super::shown(text),
                    known: $unit::ALL.iter().map(|u| u.label()).collect::<Vec<_>>().join(", "),
                })?;
                if !$signed && value < 0.0 {
                    return Err(UnitError::Negative { text: super::shown(text), example: $example });
                }
                Ok(Self { value, unit })
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{} {}", plain_number(self.value), self.unit.label())
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }
    };
}

/// A unit that some write for one thing and some for another: a capital A is the acre of many a
/// label and the are of nobody; the two differ fortyfold. The small `a` is the are.
fn unclear(first_unit: Option<&str>, unit: &str) -> Option<&'static str> {
    (first_unit == Some("ha") && unit.trim() == "A").then_some(A_IS_NOT_CLEAR)
}

/// What to write where `a` could be an acre.
pub(super) const A_IS_NOT_CLEAR: &str =
    "write \"acre\" for the acre, \"are\" for the are of 100 m2";

quantity! {
    /// A temperature; SI is °C.
    Temperature, TemperatureUnit, c, "43 F", signed = true;
    C = 1.0, 0.0, "C", "celsius", "degc";
    F = 5.0 / 9.0, 32.0, "F", "fahrenheit", "degf";
}

impl TemperatureUnit {
    /// The size of one degree of this scale, in °C: turns its degree days into °C ones.
    pub fn degree_c(self) -> f64 {
        self.factor_offset().0
    }
}

quantity! {
    /// A length or height; SI is m.
    Length, LengthUnit, m, "10 ft", signed = true;
    M = 1.0, 0.0, "m", "metre", "metres", "meter", "meters";
    Ft = 0.3048, 0.0, "ft", "foot", "feet";
    In = 0.0254, 0.0, "in", "inch", "inches";
    Cm = 0.01, 0.0, "cm";
    Mm = 0.001, 0.0, "mm";
}
quantity! {
    /// A volume; SI is L.
    Volume, VolumeUnit, l, "25 gal", signed = false;
    L = 1.0, 0.0, "L", "litre", "litres", "liter", "liters", "ltr";
    Ml = 0.001, 0.0, "mL", "millilitre", "millilitres", "milliliter", "milliliters", "cc";
    Gal = 3.785_411_784, 0.0, "gal", "gallon", "gallons", "gals", "us gal", "gal us", "us gallon", "us gallons";
    Qt = 0.946_352_946, 0.0, "qt", "quart", "quarts", "qts", "us qt", "qt us", "us quart", "us quarts";
    Pt = 0.473_176_473, 0.0, "pt", "pint", "pints", "pts", "us pt", "pt us", "us pint", "us pints";
    FlOz = 0.029_573_529_562_5, 0.0, "fl oz", "fluid ounce", "fluid ounces", "us fl oz", "fl oz us", "oz fl";
    Tbsp = 0.014_786_764_781_25, 0.0, "tbsp", "tablespoon", "tablespoons", "tbs";
    Tsp = 0.004_928_921_593_75, 0.0, "tsp", "teaspoon", "teaspoons";
    ImpGal = 4.546_09, 0.0, "imp gal", "imperial gal", "imperial gallon", "imperial gallons", "gal imp", "uk gal", "gal uk";
    ImpQt = 1.136_522_5, 0.0, "imp qt", "imperial qt", "imperial quart", "imperial quarts", "qt imp", "uk qt", "qt uk";
    ImpPt = 0.568_261_25, 0.0, "imp pt", "imperial pt", "imperial pint", "imperial pints", "pt imp", "uk pt", "pt uk";
    ImpFlOz = 0.028_413_062_5, 0.0, "imp fl oz", "imperial fl oz", "imperial fluid ounce", "imperial fluid ounces", "fl oz imp", "uk fl oz", "fl oz uk";
}

impl VolumeUnit {
    /// Is it a gallon, quart, pint or fluid ounce, of which there are two kinds?
    pub fn is_us_of_two(self) -> bool {
        matches!(self, Self::Gal | Self::Qt | Self::Pt | Self::FlOz)
    }
}

quantity! {
    /// A mass; SI is kg.
    Mass, MassUnit, kg, "2 lb", signed = false;
    Kg = 1.0, 0.0, "kg";
    G = 0.001, 0.0, "g", "gram", "grams";
    Lb = 0.453_592_37, 0.0, "lb", "lbs", "pound", "pounds";
    Oz = 0.028_349_523_125, 0.0, "oz", "ounce", "ounces";
    OzWt = 0.028_349_523_125, 0.0, "oz wt", "wt oz", "dry oz", "oz dry", "ounce by weight", "ounces by weight";
}
quantity! {
    /// An area; SI here is ha.
    Area, AreaUnit, ha, "0.5 acre", signed = false;
    Ha = 1.0, 0.0, "ha", "hectare", "hectares";
    Acre = 0.404_685_642_24, 0.0, "acre", "acres", "ac";
    Are = 0.01, 0.0, "are", "ares", "a";
    M2 = 0.0001, 0.0, "m2", "m²", "sq m";
    SqFt = 0.000_009_290_304, 0.0, "sq ft", "ft2", "ft²";
}
quantity! {
    /// A speed; SI is m/s.
    Speed, SpeedUnit, ms, "10 mph", signed = false;
    Ms = 1.0, 0.0, "m/s", "ms";
    Mph = 0.447_04, 0.0, "mph", "mi/h";
    Kmh = 1.0 / 3.6, 0.0, "km/h", "kmh", "kph";
    Kn = 1852.0 / 3600.0, 0.0, "kn", "knot", "knots";
}
quantity! {
    /// A depth of rain; SI here is mm.
    RainDepth, RainUnit, mm, "25 mm", signed = false;
    Mm = 1.0, 0.0, "mm";
    In = 25.4, 0.0, "in", "inch", "inches";
}
quantity! {
    /// A share; SI is a fraction of one.
    Percent, PercentUnit, fraction, "10 %", signed = false;
    Percent = 0.01, 0.0, "%", "percent", "pct";
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn reads_and_writes_what_people_write() {
        for text in ["43 F", "-2.5 C"] {
            assert_eq!(text.parse::<Temperature>().unwrap().to_string(), text);
        }
        for text in ["1.5 fl oz", "25 gal", "3 tbsp", "400 L"] {
            assert_eq!(text.parse::<Volume>().unwrap().to_string(), text);
        }
        assert_eq!("43F".parse::<Temperature>().unwrap().to_string(), "43 F");
        assert_eq!("10 %".parse::<Percent>().unwrap().fraction(), 0.1);
    }

    // ISO 80000-3 and Directive 80/181/EEC: the are is 100 m2. Labels of Japan and Korea rate
    // by 10 a.
    #[test]
    fn ares_are_ares_and_a_capital_a_asks() {
        for text in ["10 a", "10 are", "10 ares"] {
            assert_relative_eq!(text.parse::<Area>().unwrap().ha(), 0.1, epsilon = 1e-12);
        }
        assert_eq!("10 a".parse::<Area>().unwrap().to_string(), "10 are");
        assert!(matches!(
            "10 A".parse::<Area>(),
            Err(UnitError::NotClear { .. })
        ));
    }

    // Weights and Measures Act 1985, schedule 1: the gallon is 4.546 09 L; 4 quarts, 8 pints,
    // 160 fluid ounces.
    #[test]
    fn imperial_measures_are_read_in_the_words_of_sheets() {
        for (text, l) in [
            ("1 imp gal", 4.546_09),
            ("1 imperial gallon", 4.546_09),
            ("4 imp qt", 4.546_09),
            ("8 imperial pints", 4.546_09),
            ("160 imp fl oz", 4.546_09),
            ("24 gal (US)", 24.0 * 3.785_411_784),
            ("24 gal (imp)", 24.0 * 4.546_09),
            ("1 US gal", 3.785_411_784),
            ("128 fl oz (US)", 3.785_411_784),
        ] {
            let read = text.parse::<Volume>().unwrap();
            assert_relative_eq!(read.l(), l, epsilon = 1e-9);
            let again = read.to_string().parse::<Volume>().unwrap();
            assert_eq!(again, read, "{text} is written as it is read");
        }
    }

    #[test]
    fn numbers_are_read_with_comma_or_point_and_two_readings_are_asked() {
        assert_relative_eq!("150,5 l".parse::<Volume>().unwrap().l(), 150.5);
        assert_relative_eq!("0,04 ha".parse::<Area>().unwrap().ha(), 0.04);
        let two = "1.500 l".parse::<Volume>().unwrap_err();
        assert!(matches!(two, UnitError::TwoReadings { .. }), "{two}");
        assert!(two.to_string().contains("1.5 or as 1500"), "{two}");
        assert_relative_eq!(
            "1,000 sq ft".parse::<Area>().unwrap().ha(),
            0.009_290_304,
            epsilon = 1e-12
        );
        assert_relative_eq!("1.500 gal".parse::<Volume>().unwrap().value, 1.5);
        // An amount that this program wrote with three decimals is read back.
        assert_relative_eq!("1.234 kg".parse::<Mass>().unwrap().kg(), 1.234);
    }

    // NIST Handbook 44, appendix C: exact factors.
    #[test]
    fn factors_are_the_published_ones() {
        assert_relative_eq!(
            "43 F".parse::<Temperature>().unwrap().c(),
            55.0 / 9.0,
            epsilon = 1e-12
        );
        assert_relative_eq!("1 gal".parse::<Volume>().unwrap().l(), 3.785_411_784);
        assert_relative_eq!(
            "128 fl oz".parse::<Volume>().unwrap().l(),
            3.785_411_784,
            epsilon = 1e-12
        );
        assert_relative_eq!(
            "256 tbsp".parse::<Volume>().unwrap().l(),
            3.785_411_784,
            epsilon = 1e-12
        );
        assert_relative_eq!(
            "16 oz".parse::<Mass>().unwrap().kg(),
            0.453_592_37,
            epsilon = 1e-12
        );
        assert_relative_eq!(
            "43560 sq ft".parse::<Area>().unwrap().ha(),
            0.404_685_642_24,
            epsilon = 1e-12
        );
        assert_relative_eq!("1 mph".parse::<Speed>().unwrap().ms(), 0.447_04);
    }

    #[test]
    fn refuses_what_is_not_a_quantity() {
        assert!(matches!(
            "NaN C".parse::<Temperature>(),
            Err(UnitError::NotFinite { .. })
        ));
        assert!(matches!(
            "warm".parse::<Temperature>(),
            Err(UnitError::NoNumber { .. })
        ));
        assert!(matches!(
            "43".parse::<Temperature>(),
            Err(UnitError::UnknownUnit { .. })
        ));
        assert!(matches!(
            "-1 gal".parse::<Volume>(),
            Err(UnitError::Negative { .. })
        ));
        assert!(matches!(
            "1e400 gal".parse::<Volume>(),
            Err(UnitError::UnknownUnit { .. })
        ));
        assert!(matches!(
            "99999999999 gal".parse::<Volume>(),
            Err(UnitError::NotFinite { .. })
        ));
    }
}
