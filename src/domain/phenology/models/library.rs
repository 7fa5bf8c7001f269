//! The members the estimate averages, picked one after another from a wider grid as the one that
//! lowered the stacked leave-one-year-out error most over all species, stages and sites of the
//! records named in [`crate::domain::phenology`]; beyond these the error no longer falls.

use super::{Model, Rate};

const fn thermal(rate: Rate, start_day: i16) -> Model {
    Model::ThermalTime { rate, start_day }
}

const fn sequential(rate: Rate, portions: f32) -> Model {
    Model::ChillThenHeat { rate, portions }
}

const fn overlap(rate: Rate, portions: f32, steepness: f32) -> Model {
    Model::Overlap {
        rate,
        portions,
        steepness,
    }
}

const fn falling(rate: Rate, start_day: i16, per_portion: f32) -> Model {
    Model::FallingRequirement {
        rate,
        start_day,
        per_portion,
    }
}

/// The library. Order matters to the carried figures in `fitted.csv`, which name models by it.
pub const LIBRARY: [Model; 32] = [
    thermal(Rate::Logistic15, 25),
    thermal(Rate::Asymmetric, -50),
    thermal(Rate::AboveMinus1, 56),
    thermal(Rate::Above7, 11),
    thermal(Rate::Logistic10, -20),
    thermal(Rate::Logistic15, 42),
    thermal(Rate::Arrhenius70, 25),
    thermal(Rate::AboveMinus1, 25),
    thermal(Rate::Arrhenius100, 11),
    thermal(Rate::Logistic8, 42),
    thermal(Rate::Above7, 25),
    thermal(Rate::Arrhenius40, 42),
    thermal(Rate::Arrhenius40, -20),
    thermal(Rate::Asymmetric, 25),
    thermal(Rate::Above7, -50),
    thermal(Rate::AboveMinus1, -50),
    thermal(Rate::Arrhenius100, 25),
    sequential(Rate::Arrhenius70, 80.0),
    sequential(Rate::Logistic10, 10.0),
    sequential(Rate::Asymmetric, 5.0),
    sequential(Rate::Arrhenius70, 40.0),
    sequential(Rate::UncappedAbove4_7, 60.0),
    sequential(Rate::Asymmetric, 10.0),
    sequential(Rate::Asymmetric, 70.0),
    sequential(Rate::Arrhenius70, 30.0),
    sequential(Rate::UncappedAbove4_7, 80.0),
    overlap(Rate::Above2, 65.0, 0.4),
    overlap(Rate::Asymmetric, 80.0, 0.4),
    overlap(Rate::Above2, 80.0, 0.15),
    overlap(Rate::Arrhenius70, 80.0, 0.4),
    falling(Rate::Asymmetric, 42, 0.01),
    falling(Rate::Asymmetric, -20, 0.02),
];
