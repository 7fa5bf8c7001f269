//! Diseases that overwinter on the trees or on their fallen leaves.

use super::row::{BLANK, also, key, key_from, work};
use super::{Control, Kind, Target};
use crate::domain::phenology::species::Species::{
    Almond, Apple, Apricot, AsianPear, Blackberry, EuropeanPlum, JapaneseApricot, JapanesePlum,
    Nectarine, Other, Peach, Pear, Quince, Raspberry, SourCherry, SweetCherry, Walnut,
};
use crate::domain::season::Lane::{AfterLeafDrop, BeforeSwell, MidWinter};
use crate::domain::season::TaskKind::{CleanUp, Prune};
use crate::domain::sources;

const COPPER: &str = "fixed copper";
const LIME_SULFUR: &str = "lime sulfur";
const DISEASE: Target = Target {
    kind: Kind::Disease,
    ..BLANK
};

pub(super) static ROWS: &[Target] = &[
    Target {
        id: "leaf-curl",
        name: "peach leaf curl",
        latin: "Taphrina deformans",
        hosts: &[Peach, Nectarine],
        overwinters: "spores on twigs, bark and bud scales",
        lanes: &[
            key(AfterLeafDrop, "just after all or most leaves are down"),
            also(MidWinter, "a repeat in wet districts"),
            key(BeforeSwell, "late winter, before any bud swells"),
        ],
        last_stage: Some(51),
        actives: &[
            COPPER,
            "copper soap",
            "chlorothalonil",
            LIME_SULFUR,
            "ziram",
        ],
        caveat: "No cure once symptoms show. Apricot is not a host.",
        source: &sources::LEAF_CURL_BEFORE_SWELL,
        ..DISEASE
    },
    Target {
        id: "shot-hole",
        name: "shot hole",
        latin: "Wilsonomyces carpophilus",
        hosts: &[Peach, Nectarine, Apricot, Almond, SweetCherry, SourCherry],
        overwinters: "infected twigs and dead buds; spores all winter in rain",
        lanes: &[key(AfterLeafDrop, "at about half leaf fall: the key spray")],
        first_stage: Some(95),
        last_stage: Some(51),
        actives: &[COPPER, "ziram", "chlorothalonil"],
        sanitation: &[work(
            Prune,
            MidWinter,
            "Cut out twigs with gummy lesions and dead buds.",
        )],
        caveat: "Holes in plum leaves are rarely this fungus: no treatment on plum.",
        source: &sources::SHOT_HOLE,
        ..DISEASE
    },
    Target {
        id: "bacterial-canker",
        name: "bacterial canker",
        latin: "Pseudomonas syringae",
        hosts: &[
            SweetCherry,
            SourCherry,
            Peach,
            Nectarine,
            Apricot,
            EuropeanPlum,
            JapanesePlum,
            Almond,
        ],
        overwinters: "canker margins, healthy buds, bark",
        lanes: &[
            key(
                AfterLeafDrop,
                "before autumn rain and again during leaf fall",
            ),
            key(BeforeSwell, "late winter, just before bud break"),
        ],
        first_stage: Some(93),
        last_stage: Some(51),
        actives: &[COPPER],
        control: Control::Partial,
        sanitation: &[work(
            Prune,
            BeforeSwell,
            "Prune in dry weather only; leave cherry and apricot for July-August.",
        )],
        caveat: "Advised in New England and Washington; not shown to help in California (UC, plum and prune); resistant strains made it worse in western Oregon trials.",
        source: &sources::BACTERIAL_CANKER,
        ..DISEASE
    },
    Target {
        id: "bacterial-spot",
        name: "bacterial spot",
        latin: "Xanthomonas arboricola pv. pruni",
        hosts: &[Peach, Nectarine, Apricot, EuropeanPlum, JapanesePlum],
        overwinters: "twigs infected in autumn, buds, spring cankers",
        lanes: &[
            also(AfterLeafDrop, "a late dormant copper in autumn"),
            key(BeforeSwell, "copper in early spring, before bloom"),
        ],
        last_stage: Some(57),
        actives: &[COPPER],
        control: Control::Partial,
        sanitation: &[work(
            Prune,
            BeforeSwell,
            "Cut out gummy, blackened branch tips.",
        )],
        caveat: "Lowers what comes through the winter; cultivar and sprays from petal fall on decide. The last stage is our inference.",
        source: &sources::BACTERIAL_SPOT,
        ..DISEASE
    },
    Target {
        id: "cherry-leaf-spot",
        name: "cherry leaf spot",
        latin: "Blumeriella jaapii",
        hosts: &[SweetCherry, SourCherry],
        overwinters: "fallen infected leaves",
        lanes: &[key(AfterLeafDrop, "5 % urea on the fallen leaves")],
        first_stage: Some(95),
        last_stage: Some(53),
        actives: &["urea"],
        control: Control::Partial,
        sanitation: &[work(
            CleanUp,
            AfterLeafDrop,
            "Rake and destroy the fallen leaves, or mow them small before bud break.",
        )],
        caveat: "Copper on dormant wood does not reach it: it winters on the ground.",
        source: &sources::CHERRY_LEAF_SPOT,
        ..DISEASE
    },
    Target {
        id: "walnut-blight",
        name: "walnut blight",
        latin: "Xanthomonas arboricola pv. juglandis",
        hosts: &[Walnut],
        overwinters: "outer scales of dormant buds, catkins, twig cankers",
        lanes: &[key(
            BeforeSwell,
            "when a third of the catkins or of the shoots come out, before leaves unfold",
        )],
        last_stage: Some(60),
        actives: &[COPPER, "mancozeb"],
        control: Control::Partial,
        caveat: "Too early does little: time it by shoots coming out, and repeat after 7-10 days in rain. Copper alone fails where strains are resistant.",
        source: &sources::WALNUT_BLIGHT,
        ..DISEASE
    },
    Target {
        id: "apple-scab",
        name: "apple scab",
        latin: "Venturia inaequalis",
        hosts: &[Apple],
        overwinters: "fallen infected leaves; sometimes buds and wood",
        lanes: &[
            key(
                AfterLeafDrop,
                "urea on leaves before they drop, or on the litter",
            ),
            also(
                BeforeSwell,
                "copper from silver tip to green tip covers the first infections",
            ),
        ],
        first_stage: Some(91),
        last_stage: Some(54),
        actives: &["urea", COPPER, LIME_SULFUR],
        control: Control::Partial,
        sanitation: &[work(
            CleanUp,
            AfterLeafDrop,
            "Rake or shred the fallen leaves as late as possible.",
        )],
        caveat: "Keep oil, copper, sulfur and captan a week away from urea after green tip.",
        source: &sources::APPLE_SCAB,
        ..DISEASE
    },
    Target {
        id: "marssonina",
        name: "Marssonina leaf blotch",
        latin: "Diplocarpon coronariae",
        hosts: &[Apple],
        overwinters: "leaf litter",
        lanes: &[
            key(AfterLeafDrop, "urea or lime on the litter after leaf fall"),
            also(BeforeSwell, "again before green tip"),
        ],
        last_stage: Some(53),
        actives: &["urea", "hydrated lime"],
        control: Control::Partial,
        sanitation: &[work(
            CleanUp,
            AfterLeafDrop,
            "Rake or shred the fallen leaves.",
        )],
        source: &sources::MARSSONINA,
        ..DISEASE
    },
    Target {
        id: "fire-blight",
        name: "fire blight",
        latin: "Erwinia amylovora",
        hosts: &[Apple, Pear, AsianPear, Quince],
        overwinters: "canker margins on wood",
        lanes: &[key_from(BeforeSwell, 52, "silver tip to green tip")],
        last_stage: Some(54),
        actives: &[COPPER],
        control: Control::Partial,
        sanitation: &[work(
            Prune,
            MidWinter,
            "Cut out cankers while fully dormant.",
        )],
        caveat: "Never just before frost once green shows; russets fruit from half-inch green.",
        source: &sources::FIRE_BLIGHT,
        ..DISEASE
    },
    Target {
        id: "apple-anthracnose",
        name: "apple anthracnose",
        latin: "Neofabraea spp.",
        hosts: &[Apple, Pear, Quince],
        overwinters: "bark cankers",
        lanes: &[key(AfterLeafDrop, "before autumn rain")],
        first_stage: Some(91),
        last_stage: Some(51),
        actives: &[COPPER],
        control: Control::Partial,
        sanitation: &[work(Prune, MidWinter, "Cut cankers out in dry weather.")],
        caveat: "Sprays were not reliably effective in NW Washington trials: cut cankers out.",
        source: &sources::ANTHRACNOSE,
        ..DISEASE
    },
    Target {
        id: "european-canker",
        name: "European canker",
        latin: "Neonectria ditissima",
        hosts: &[Apple, Pear],
        overwinters: "perennial bark cankers; infects fresh leaf scars",
        lanes: &[
            key(
                AfterLeafDrop,
                "at early leaf fall before rain, again at three-quarter leaf fall",
            ),
            also(BeforeSwell, "before bud burst only"),
        ],
        first_stage: Some(93),
        last_stage: Some(53),
        actives: &[COPPER],
        sanitation: &[work(
            Prune,
            MidWinter,
            "Prune or pare cankers in dry weather.",
        )],
        caveat: "Copper burns after bud burst.",
        source: &sources::NECTRIA,
        ..DISEASE
    },
    Target {
        id: "pear-scab",
        name: "pear scab",
        latin: "Venturia pyrina",
        hosts: &[Pear],
        overwinters: "fallen leaves; twig lesions in wet districts",
        lanes: &[
            also(AfterLeafDrop, "urea on leaves"),
            key_from(BeforeSwell, 51, "lime sulfur at delayed dormant"),
        ],
        last_stage: Some(53),
        actives: &[LIME_SULFUR, "urea", COPPER],
        sanitation: &[
            work(CleanUp, AfterLeafDrop, "Shred the litter."),
            work(Prune, MidWinter, "Cut out twig lesions."),
        ],
        source: &sources::PEAR_SCAB,
        ..DISEASE
    },
    Target {
        id: "blossom-blast",
        name: "pear blossom blast",
        latin: "Pseudomonas syringae",
        hosts: &[Pear, Apple],
        overwinters: "buds and bark",
        lanes: &[
            key(AfterLeafDrop, "before autumn rain"),
            key(BeforeSwell, "before spring growth"),
        ],
        first_stage: Some(91),
        last_stage: Some(51),
        actives: &[COPPER],
        control: Control::Partial,
        source: &sources::BLOSSOM_BLAST,
        ..DISEASE
    },
    Target {
        id: "black-knot",
        name: "black knot",
        latin: "Apiosporina morbosa",
        hosts: &[EuropeanPlum, JapanesePlum, SweetCherry, SourCherry],
        overwinters: "black knots on wood",
        lanes: &[key_from(BeforeSwell, 51, "as buds break")],
        last_stage: Some(54),
        actives: &[LIME_SULFUR, COPPER],
        control: Control::Partial,
        sanitation: &[work(
            Prune,
            MidWinter,
            "Cut 8-10 cm below each knot and destroy it: pruned knots still shed spores.",
        )],
        caveat: "Pruning is the main measure; copper is the weaker spray.",
        source: &sources::BLACK_KNOT,
        ..DISEASE
    },
    Target {
        id: "plum-pockets",
        name: "plum pockets",
        latin: "Taphrina communis, T. pruni",
        hosts: &[EuropeanPlum, JapanesePlum],
        overwinters: "twigs and buds",
        lanes: &[key(BeforeSwell, "once, just before buds open")],
        last_stage: Some(53),
        actives: &[LIME_SULFUR, COPPER],
        source: &sources::PLUM_POCKETS,
        ..DISEASE
    },
    Target {
        id: "cane-anthracnose",
        name: "cane anthracnose and blights",
        hosts: &[Raspberry, Blackberry, Other],
        overwinters: "lesions on canes",
        lanes: &[key_from(BeforeSwell, 51, "when bud tips show green")],
        last_stage: Some(53),
        actives: &[LIME_SULFUR, "bordeaux mixture", COPPER],
        sanitation: &[work(
            CleanUp,
            AfterLeafDrop,
            "Take out the old canes after harvest.",
        )],
        caveat: "Burns leaves if late.",
        source: &sources::CANE,
        ..DISEASE
    },
    Target {
        id: "almond-scab",
        name: "almond scab",
        latin: "Venturia carpophila",
        hosts: &[Almond],
        overwinters: "one-year-old twig lesions",
        lanes: &[key_from(BeforeSwell, 51, "delayed dormant")],
        last_stage: Some(55),
        actives: &[COPPER, "chlorothalonil", LIME_SULFUR],
        caveat: "The actives are from memory.",
        source: &sources::ALMOND_SCAB,
        ..DISEASE
    },
    Target {
        id: "moss",
        name: "moss and lichen on limbs",
        kind: Kind::Other,
        hosts: &[],
        overwinters: "bark",
        lanes: &[
            key(MidWinter, "any time on bare wood"),
            also(AfterLeafDrop, "any time on bare wood"),
            also(BeforeSwell, "before swell"),
        ],
        last_stage: Some(51),
        actives: &[COPPER, LIME_SULFUR],
        control: Control::Partial,
        caveat: "Cosmetic: it does not harm the tree.",
        source: &sources::MOSS,
        ..DISEASE
    },
    Target {
        id: "japanese-apricot-leaf-curl",
        name: "leaf curl on flowering apricot",
        latin: "Taphrina mume",
        hosts: &[JapaneseApricot],
        overwinters: "twigs and buds",
        lanes: &[key(BeforeSwell, "before any bud swells")],
        last_stage: Some(51),
        actives: &[COPPER, LIME_SULFUR],
        caveat: "Read across from peach leaf curl; from memory, not confirmed.",
        source: &sources::TAPHRINA_MUME,
        ..DISEASE
    },
];
