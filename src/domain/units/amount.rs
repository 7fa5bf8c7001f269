//! An amount of product: by volume or by mass, as it is measured out.

use super::{Mass, UnitError, Volume};
use serde::{Serialize, Serializer};
use std::{fmt, str::FromStr};

/// An amount of product in a jug or on a scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// Measured by volume.
    Volume(Volume),
    /// Measured by mass.
    Mass(Mass),
}

impl FromStr for Amount {
    type Err = UnitError;

    fn from_str(text: &str) -> Result<Self, UnitError> {
        match text.parse::<Volume>() {
            Ok(volume) => Ok(Self::Volume(volume)),
            Err(UnitError::UnknownUnit { text: named, known }) => match text.parse::<Mass>() {
                Ok(mass) => Ok(Self::Mass(mass)),
                Err(UnitError::UnknownUnit { .. }) => Err(UnitError::UnknownUnit {
                    text: named,
                    known: format!("{known}, kg, g, lb, oz"),
                }),
                Err(other) => Err(other),
            },
            Err(other) => Err(other),
        }
    }
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Volume(v) => v.fmt(f),
            Self::Mass(m) => m.fmt(f),
        }
    }
}

impl Serialize for Amount {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}
