//! What overwinters on the other plants of a yard: vines, bushes, canes, figs, roses.
//!
//! No date of swell is published in a form that serves here for these kinds: stages are the
//! grower's own look at the buds.

use super::row::{BLANK, also, key, work};
use super::{Control, Kind, Target};
use crate::domain::phenology::species::Species::{
    Blackberry, Blueberry, Currant, Fig, Gooseberry, Grape, Ornamental, Persimmon, Raspberry, Rose,
};
use crate::domain::season::Lane::{AfterLeafDrop, BeforeSwell, MidWinter};
use crate::domain::season::TaskKind::{CleanUp, Prune};
use crate::domain::sources;

const COPPER: &str = "fixed copper";
const LIME_SULFUR: &str = "lime sulfur";
const OIL: &str = "horticultural oil";
const DISEASE: Target = Target {
    kind: Kind::Disease,
    ..BLANK
};

pub(super) static ROWS: &[Target] = &[
    Target {
        id: "grape-phomopsis",
        name: "Phomopsis cane and leaf spot",
        latin: "Phomopsis viticola",
        hosts: &[Grape],
        overwinters: "infected canes, spurs and rachises",
        lanes: &[
            also(AfterLeafDrop, "two dormant sprays: autumn and spring"),
            key(BeforeSwell, "late dormant, at bud swell"),
        ],
        last_stage: Some(53),
        actives: &[LIME_SULFUR, COPPER, "sulfur"],
        control: Control::Partial,
        sanitation: &[work(
            Prune,
            MidWinter,
            "Cut out and take away diseased canes and stubs.",
        )],
        caveat: "Lowered disease by 40 to 70 % in trials, less in wet springs; never the only measure. Oil not with sulfur once green shows.",
        source: &sources::GRAPE_DORMANT,
        ..DISEASE
    },
    Target {
        id: "grape-anthracnose",
        name: "grape anthracnose, black rot and powdery mildew",
        hosts: &[Grape],
        overwinters: "canes, mummies, bark",
        lanes: &[key(BeforeSwell, "late dormant, at bud swell")],
        last_stage: Some(53),
        actives: &[LIME_SULFUR, COPPER, "sulfur"],
        control: Control::Partial,
        sanitation: &[work(
            CleanUp,
            AfterLeafDrop,
            "Take mummies off the vines and off the ground.",
        )],
        caveat: "Lowers what comes through the winter by a third to a half; the sprays of the season decide.",
        source: &sources::GRAPE_DORMANT,
        ..DISEASE
    },
    Target {
        id: "grape-scale",
        name: "scale on grape",
        kind: Kind::Insect,
        hosts: &[Grape],
        overwinters: "young scales on canes, mated females under bark",
        lanes: &[
            also(MidWinter, "dormant oil"),
            key(BeforeSwell, "dormant oil before buds open"),
        ],
        last_stage: Some(53),
        actives: &[OIL],
        control: Control::Partial,
        sanitation: &[work(
            Prune,
            MidWinter,
            "Pruning takes most of the canes with scale away.",
        )],
        caveat: "Much of it sits under loose bark, where oil does not reach.",
        source: &sources::GRAPE_SCALE,
        ..BLANK
    },
    Target {
        id: "currant-leaf-spot",
        name: "anthracnose and leaf spot of currant and gooseberry",
        latin: "Drepanopeziza ribis, Septoria ribis",
        kind: Kind::Disease,
        hosts: &[Currant, Gooseberry],
        overwinters: "dead leaves, fallen fruit and twigs on the ground",
        lanes: &[key(AfterLeafDrop, "after harvest, in autumn")],
        first_stage: Some(91),
        last_stage: Some(53),
        actives: &[COPPER],
        control: Control::Partial,
        sanitation: &[work(
            CleanUp,
            AfterLeafDrop,
            "Rake up and destroy the fallen leaves, or bury them before bud break.",
        )],
        caveat: "Sprays from the first open leaf on decide; the dormant work is the raking.",
        source: &sources::CURRANT_LEAF_SPOT,
        ..BLANK
    },
    Target {
        id: "gooseberry-mildew",
        name: "gooseberry mildew",
        latin: "Podosphaera mors-uvae",
        hosts: &[Gooseberry, Currant],
        overwinters: "shoot tips and buds",
        lanes: &[key(BeforeSwell, "late dormant, just before buds open")],
        last_stage: Some(53),
        actives: &[LIME_SULFUR],
        control: Control::Partial,
        sanitation: &[work(Prune, MidWinter, "Cut off the mildewed tips.")],
        caveat: "An old recommendation; it was followed by sprays before and after bloom.",
        source: &sources::GOOSEBERRY_MILDEW,
        ..DISEASE
    },
    Target {
        id: "mummy-berry",
        name: "mummy berry",
        latin: "Monilinia vaccinii-corymbosi",
        kind: Kind::Disease,
        hosts: &[Blueberry],
        overwinters: "shrivelled fruit on the ground",
        control: Control::None,
        sanitation: &[work(
            CleanUp,
            AfterLeafDrop,
            "Rake up mummies, or cover them with two inches of mulch, before buds break.",
        )],
        caveat: "No dormant spray on the bush reaches it; sprays begin when leaf buds show green.",
        source: &sources::MUMMY_BERRY,
        ..BLANK
    },
    Target {
        id: "blueberry-twig-blight",
        name: "twig blight and canker of blueberry",
        latin: "Phomopsis vaccinii and others",
        hosts: &[Blueberry],
        overwinters: "dead and discoloured twigs",
        kind: Kind::Disease,
        control: Control::None,
        sanitation: &[work(
            Prune,
            MidWinter,
            "Cut blighted wood out, several inches below, and burn it; scale-ridden twigs too.",
        )],
        caveat: "Pruning is the dormant measure.",
        source: &sources::MUMMY_BERRY,
        ..BLANK
    },
    Target {
        id: "fig-scale",
        name: "fig scale",
        latin: "Lepidosaphes conchiformis",
        kind: Kind::Insect,
        hosts: &[Fig],
        overwinters: "females on wood of one and two years",
        lanes: &[
            key(MidWinter, "dormant oil"),
            key(BeforeSwell, "dormant oil, before eggs are laid in spring"),
        ],
        last_stage: Some(51),
        actives: &[OIL],
        caveat: "A small wasp mostly keeps it down: spray only where it has failed.",
        source: &sources::FIG_SCALE,
        ..BLANK
    },
    Target {
        id: "persimmon-scale",
        name: "scale on persimmon",
        latin: "Pseudaulacaspis pentagona and others",
        kind: Kind::Insect,
        hosts: &[Persimmon],
        overwinters: "mated females on bark",
        lanes: &[
            key(MidWinter, "dormant oil in cool weather"),
            key(BeforeSwell, "dormant oil"),
        ],
        last_stage: Some(53),
        actives: &[OIL],
        control: Control::Partial,
        caveat: "The armour of grown females keeps oil off: look for crawlers in spring. The last stage is our inference.",
        source: &sources::PERSIMMON_SCALE,
        ..BLANK
    },
    Target {
        id: "rose-black-spot",
        name: "black spot of rose",
        latin: "Diplocarpon rosae",
        hosts: &[Rose],
        overwinters: "fallen leaves and lesions on canes",
        lanes: &[key(
            BeforeSwell,
            "after pruning, before buds break: canes and the ground beneath",
        )],
        last_stage: Some(53),
        actives: &[LIME_SULFUR, COPPER],
        control: Control::Partial,
        sanitation: &[
            work(
                CleanUp,
                AfterLeafDrop,
                "Rake up and destroy the fallen leaves.",
            ),
            work(Prune, BeforeSwell, "Cut out spotted canes."),
        ],
        caveat: "The raking and pruning are published; the dormant spray is garden practice.",
        source: &sources::ROSE_BLACK_SPOT,
        ..DISEASE
    },
    Target {
        id: "ornamental-scale",
        name: "scale and winter eggs on roses and ornamentals",
        kind: Kind::Insect,
        hosts: &[Rose, Ornamental],
        overwinters: "bark and twigs",
        lanes: &[
            also(MidWinter, "dormant oil"),
            key(BeforeSwell, "dormant oil before buds open"),
        ],
        last_stage: Some(53),
        actives: &[OIL],
        control: Control::Partial,
        caveat: "Oil harms some kinds: maples, beech, holly, redbud, walnut, spruce and others. Look at the label.",
        source: &sources::ORNAMENTAL_OIL,
        ..BLANK
    },
    Target {
        id: "spur-blight",
        name: "spur blight of raspberry",
        latin: "Didymella applanata",
        hosts: &[Raspberry, Blackberry],
        overwinters: "lesions at the buds of canes",
        lanes: &[key(
            BeforeSwell,
            "when bud tips show green, shoots under an inch",
        )],
        last_stage: Some(54),
        actives: &[LIME_SULFUR, COPPER],
        control: Control::Partial,
        sanitation: &[work(
            CleanUp,
            AfterLeafDrop,
            "Take out old and diseased canes; keep rows narrow.",
        )],
        caveat: "Blackberries are hardly touched by it.",
        source: &sources::SPUR_BLIGHT,
        ..DISEASE
    },
];
