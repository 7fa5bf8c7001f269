//! What no dormant spray controls: listed so that nobody wastes one on it.

use super::row::{BLANK, work};
use super::{Control, Kind, Target};
use crate::domain::phenology::species::Species::{
    Almond, Apple, Apricot, EuropeanPlum, JapanesePlum, Nectarine, Peach, Pear, Quince, SourCherry,
    SweetCherry,
};
use crate::domain::season::Lane::{AfterLeafDrop, MidWinter};
use crate::domain::season::TaskKind::{CleanUp, Other, Prune};
use crate::domain::sources;

const NONE: Target = Target {
    control: Control::None,
    ..BLANK
};

pub(super) static ROWS: &[Target] = &[
    Target {
        id: "brown-rot",
        name: "brown rot and blossom blight",
        latin: "Monilinia spp.",
        kind: Kind::Disease,
        hosts: &[
            Peach,
            Nectarine,
            Apricot,
            SweetCherry,
            SourCherry,
            EuropeanPlum,
            JapanesePlum,
            Almond,
        ],
        overwinters: "mummies, twig cankers, old blossoms",
        sanitation: &[
            work(
                CleanUp,
                AfterLeafDrop,
                "Take mummies off the trees and off the ground.",
            ),
            work(Prune, MidWinter, "Cut out blighted wood."),
        ],
        caveat: "A dormant spray rates 0; protection begins at pink bud.",
        source: &sources::BROWN_ROT,
        ..NONE
    },
    Target {
        id: "powdery-mildew",
        name: "powdery mildew",
        latin: "Podosphaera leucotricha and others",
        kind: Kind::Disease,
        hosts: &[Apple, Quince, Pear, Peach, SweetCherry, SourCherry],
        overwinters: "inside dormant buds",
        sanitation: &[work(Prune, MidWinter, "Cut out silvery, feathered shoots.")],
        caveat: "Sprays start at about half-inch green, not before.",
        source: &sources::POWDERY_MILDEW,
        ..NONE
    },
    Target {
        id: "fungal-dieback",
        name: "Cytospora and Eutypa dieback",
        kind: Kind::Disease,
        hosts: &[Apricot, SweetCherry, SourCherry, EuropeanPlum, Peach],
        overwinters: "dead wood; spores in rain",
        sanitation: &[work(
            Prune,
            MidWinter,
            "Do NOT prune apricot or cherry now; do it in July-August, a foot below symptoms.",
        )],
        caveat: "Rain two to six weeks after a cut can infect it.",
        source: &sources::FUNGAL_CANKER,
        ..NONE
    },
    Target {
        id: "woolly-aphid",
        name: "woolly apple aphid",
        latin: "Eriosoma lanigerum",
        kind: Kind::Insect,
        hosts: &[Apple],
        overwinters: "roots and bark wounds",
        sanitation: &[work(Prune, MidWinter, "Cut out suckers.")],
        caveat: "Dormant oil alone does not control it.",
        source: &sources::WOOLLY_APHID,
        ..NONE
    },
    Target {
        id: "codling-moth",
        name: "codling moth",
        latin: "Cydia pomonella",
        kind: Kind::Insect,
        hosts: &[Apple, Pear, Quince],
        overwinters: "larvae in cocoons under bark",
        sanitation: &[work(CleanUp, AfterLeafDrop, "Destroy dropped fruit.")],
        source: &sources::NO_DORMANT,
        ..NONE
    },
    Target {
        id: "summer-mites",
        name: "summer spider mites",
        kind: Kind::Mite,
        overwinters: "litter, weeds and bark",
        source: &sources::NO_DORMANT,
        ..NONE
    },
    Target {
        id: "borers",
        name: "trunk and limb borers",
        kind: Kind::Insect,
        overwinters: "under bark",
        sanitation: &[work(Other, AfterLeafDrop, "Whiten and guard young trunks.")],
        source: &sources::NO_DORMANT,
        ..NONE
    },
    Target {
        id: "cherry-fruit-fly",
        name: "cherry fruit fly",
        latin: "Rhagoletis spp.",
        kind: Kind::Insect,
        hosts: &[SweetCherry, SourCherry],
        overwinters: "pupae in the soil",
        source: &sources::NO_DORMANT,
        ..NONE
    },
];
