//! The rows of a first season's plan.

use crate::domain::phenology::species::Species;
use crate::domain::season::{Lane, TaskKind};

/// When a task falls.
#[derive(Debug, Clone, Copy)]
pub(super) enum When {
    /// Days after leaf drop.
    Drop(i64),
    /// A share of the way from leaf drop to the earliest last safe day of its blocks, percent.
    Between(i64),
    /// Days from the first likely swelling of its blocks; before it is negative.
    Swell(i64),
    /// A week before the last safe day, blocks of like dates together.
    BeforeSwell,
    /// Half-way between the first and the last of the same kind, where the winter has room.
    HalfWay,
    /// On swelling buds, blocks of like dates together.
    OnSwelling,
}

/// One row of the plan of a first season.
pub(super) struct Row {
    pub(super) id: &'static str,
    pub(super) title: &'static str,
    pub(super) lane: Lane,
    pub(super) kind: TaskKind,
    pub(super) when: When,
    /// For these kinds of tree; empty means whatever grows there.
    pub(super) species: &'static [Species],
    pub(super) targets: &'static [&'static str],
    pub(super) material: Option<&'static str>,
}

pub(super) const OIL: &str = "horticultural-oil";
pub(super) const COPPER: &str = "copper-hydroxide";

use Species::{
    Almond, Apple, Apricot, AsianPear, EuropeanPlum, JapanesePlum, Nectarine, Peach, Pear, Quince,
    SourCherry, SweetCherry,
};

/// The year's work in the order of the trade's checklist (extension sheets
/// named with the targets; orders, service and review are common practice, no
/// source). Sprays are proposals: a target that was not there needs none.
pub(super) const ROWS: &[Row] = &[
    Row {
        id: "mummies",
        title: "Pick off mummies, gather dropped fruit",
        lane: Lane::AfterLeafDrop,
        kind: TaskKind::CleanUp,
        when: When::Drop(0),
        species: &[
            Peach,
            Nectarine,
            Apricot,
            Almond,
            EuropeanPlum,
            JapanesePlum,
            SweetCherry,
            SourCherry,
        ],
        targets: &["brown-rot"],
        material: None,
    },
    Row {
        id: "first-copper",
        title: "Copper on bare wood",
        lane: Lane::AfterLeafDrop,
        kind: TaskKind::Spray,
        when: When::Drop(7),
        species: &[Peach, Nectarine],
        targets: &["leaf-curl"],
        material: Some(COPPER),
    },
    Row {
        id: "canker-copper",
        title: "Copper against bacterial canker",
        lane: Lane::AfterLeafDrop,
        kind: TaskKind::Spray,
        when: When::Drop(3),
        species: &[SweetCherry, SourCherry, Apricot],
        targets: &["bacterial-canker"],
        material: Some(COPPER),
    },
    Row {
        id: "leaves",
        title: "Rake or shred fallen leaves",
        lane: Lane::AfterLeafDrop,
        kind: TaskKind::CleanUp,
        when: When::Drop(10),
        species: &[Apple, Pear, AsianPear, Quince],
        targets: &[],
        material: None,
    },
    Row {
        id: "winterise",
        title: "Drain the sprayer, protect pump and hoses from frost",
        lane: Lane::AfterLeafDrop,
        kind: TaskKind::SprayerCare,
        when: When::Drop(18),
        species: &[],
        targets: &[],
        material: None,
    },
    Row {
        id: "read-labels",
        title: "Read the labels, order what is short",
        lane: Lane::AfterLeafDrop,
        kind: TaskKind::Order,
        when: When::Drop(-7),
        species: &[],
        targets: &[],
        material: None,
    },
    Row {
        id: "second-copper",
        title: "Copper again, in wet places",
        lane: Lane::MidWinter,
        kind: TaskKind::Spray,
        when: When::HalfWay,
        species: &[Peach, Nectarine],
        targets: &["leaf-curl"],
        material: Some(COPPER),
    },
    Row {
        id: "spur-sample",
        title: "Look at twenty spurs: eggs, scale, cankers",
        lane: Lane::MidWinter,
        kind: TaskKind::Scout,
        when: When::Between(55),
        species: &[],
        targets: &["scale", "mite-eggs", "aphid-eggs"],
        material: None,
    },
    Row {
        id: "prune",
        title: "Prune in dry weather, cut out cankers",
        lane: Lane::MidWinter,
        kind: TaskKind::Prune,
        when: When::Between(65),
        // Not cherry and apricot: they are pruned in summer.
        species: &[Apple, Pear, AsianPear, Quince, EuropeanPlum, JapanesePlum],
        targets: &[],
        material: None,
    },
    Row {
        id: "calibrate",
        title: "Service and calibrate the sprayer",
        lane: Lane::AfterLeafDrop,
        kind: TaskKind::SprayerCare,
        when: When::Drop(-3),
        species: &[],
        targets: &[],
        material: None,
    },
    Row {
        id: "watch-buds",
        title: "Look at the buds, enter what you see",
        lane: Lane::BeforeSwell,
        kind: TaskKind::Scout,
        when: When::Swell(-21),
        species: &[],
        targets: &[],
        material: None,
    },
    Row {
        id: "last-copper",
        title: "Last copper: must be on before swell",
        lane: Lane::BeforeSwell,
        kind: TaskKind::Spray,
        when: When::BeforeSwell,
        species: &[Peach, Nectarine],
        targets: &["leaf-curl"],
        material: Some(COPPER),
    },
    Row {
        id: "late-canker-copper",
        title: "Copper before the buds move",
        lane: Lane::BeforeSwell,
        kind: TaskKind::Spray,
        when: When::BeforeSwell,
        species: &[SweetCherry, SourCherry, Apricot],
        targets: &["bacterial-canker"],
        material: Some(COPPER),
    },
    Row {
        id: "early-oil",
        title: "Oil while dormant: scale and eggs",
        lane: Lane::BeforeSwell,
        kind: TaskKind::Spray,
        when: When::BeforeSwell,
        species: &[Peach, Nectarine, EuropeanPlum, JapanesePlum],
        targets: &["scale", "aphid-eggs"],
        material: Some(OIL),
    },
    Row {
        id: "late-oil",
        title: "Oil as buds swell: scale, mite and aphid eggs",
        lane: Lane::BeforeSwell,
        kind: TaskKind::Spray,
        when: When::OnSwelling,
        species: &[Apple, Pear, SweetCherry, SourCherry],
        targets: &["scale", "mite-eggs", "aphid-eggs"],
        material: Some(OIL),
    },
];
