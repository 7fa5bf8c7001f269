//! Insects and mites that overwinter on the trees.

use super::row::{BLANK, also, key, key_from, work};
use super::{Control, Kind, Target, Threshold};
use crate::domain::phenology::species::Species::{
    Almond, Apple, Apricot, AsianPear, EuropeanPlum, JapanesePlum, Nectarine, Peach, Pear,
    SourCherry, SweetCherry,
};
use crate::domain::season::Lane::{AfterLeafDrop, BeforeSwell, MidWinter};
use crate::domain::season::TaskKind::{Prune, Scout};
use crate::domain::sources;

const OIL: &str = "horticultural oil";
const INSECT: Target = Target {
    kind: Kind::Insect,
    ..BLANK
};
const MITE: Target = Target {
    kind: Kind::Mite,
    ..BLANK
};

pub(super) static ROWS: &[Target] = &[
    Target {
        id: "scale",
        name: "San Jose scale",
        latin: "Diaspidiotus perniciosus",
        hosts: &[],
        overwinters: "immature scales on bark",
        lanes: &[
            key(MidWinter, "dormant oil: the preferred time in California"),
            key(
                BeforeSwell,
                "delayed dormant oil, high volume: better after first swell in cold regions",
            ),
        ],
        last_stage: Some(56),
        actives: &[OIL, "lime sulfur"],
        sanitation: &[work(
            Scout,
            MidWinter,
            "Look at 100 inner spurs; decide on the first 20.",
        )],
        threshold: Some(Threshold::SpurSample),
        caveat: "Do not add the counts of two scale species.",
        source: &sources::SAN_JOSE_SCALE,
        ..INSECT
    },
    Target {
        id: "lecanium",
        name: "European fruit lecanium",
        latin: "Parthenolecanium corni",
        hosts: &[
            EuropeanPlum,
            JapanesePlum,
            Almond,
            Apple,
            Peach,
            Nectarine,
            Apricot,
            SweetCherry,
            SourCherry,
        ],
        overwinters: "nymphs on twigs",
        lanes: &[
            also(MidWinter, "dormant oil"),
            key(BeforeSwell, "delayed dormant oil"),
        ],
        last_stage: Some(55),
        actives: &[OIL],
        threshold: Some(Threshold::SpurSample),
        caveat: "Black, holed scales are parasitised: leave them. On plum a quarter of the spurs decides. The last stage is our inference.",
        source: &sources::LECANIUM,
        ..INSECT
    },
    Target {
        id: "oystershell-scale",
        name: "oystershell scale",
        latin: "Lepidosaphes ulmi",
        hosts: &[Apple, Pear, EuropeanPlum, JapanesePlum],
        overwinters: "eggs under the parent scale",
        lanes: &[key_from(BeforeSwell, 51, "delayed dormant oil")],
        last_stage: Some(53),
        actives: &[OIL],
        control: Control::Partial,
        caveat: "Oil is weak on these eggs; the crawlers in late spring are the better target.",
        source: &sources::OYSTERSHELL,
        ..INSECT
    },
    Target {
        id: "white-peach-scale",
        name: "white peach scale",
        latin: "Pseudaulacaspis pentagona",
        hosts: &[
            Peach,
            Nectarine,
            EuropeanPlum,
            JapanesePlum,
            SweetCherry,
            SourCherry,
        ],
        overwinters: "mated females on bark",
        lanes: &[
            also(MidWinter, "dormant oil"),
            key(BeforeSwell, "delayed dormant oil"),
        ],
        last_stage: Some(55),
        actives: &[OIL],
        caveat: "The armour of grown females keeps oil off: watch for the crawlers from petal fall on. The last stage is our inference.",
        source: &sources::WHITE_PEACH_SCALE,
        ..INSECT
    },
    Target {
        id: "mite-eggs",
        name: "red mite eggs",
        latin: "Panonychus ulmi",
        hosts: &[Apple, Pear, EuropeanPlum, JapanesePlum],
        overwinters: "red eggs at the bases of buds and spurs",
        lanes: &[
            also(MidWinter, "dormant oil"),
            key_from(
                BeforeSwell,
                51,
                "green tip to half-inch green, tight cluster at the lower rate",
            ),
        ],
        last_stage: Some(57),
        actives: &[OIL],
        sanitation: &[work(
            Scout,
            MidWinter,
            "Look with a lens at the bases of spurs.",
        )],
        caveat: "On prune: note them, treatment is not recommended. Lime sulfur kills the rust mites that feed their enemies.",
        source: &sources::RED_MITE,
        ..MITE
    },
    Target {
        id: "brown-mite",
        name: "brown mite eggs",
        latin: "Bryobia rubrioculus",
        hosts: &[Almond, EuropeanPlum, Apple],
        overwinters: "red eggs on spurs",
        lanes: &[
            also(MidWinter, "dormant oil"),
            key(BeforeSwell, "delayed dormant oil"),
        ],
        last_stage: Some(55),
        actives: &[OIL],
        caveat: "Windows beyond 'dormant treatment' are our inference.",
        source: &sources::BROWN_MITE,
        ..MITE
    },
    Target {
        id: "blister-mite",
        name: "pearleaf blister mite",
        latin: "Eriophyes pyri",
        hosts: &[Pear, AsianPear, Apple],
        overwinters: "under outer bud scales",
        lanes: &[
            key(
                AfterLeafDrop,
                "from first leaf colour to just before leaf drop: the best time",
            ),
            also(BeforeSwell, "at swell: second best"),
        ],
        first_stage: Some(91),
        last_stage: Some(53),
        actives: &[OIL, "sulfur", "lime sulfur"],
        threshold: Some(Threshold::AnyFound),
        caveat: "Too late once blisters form.",
        source: &sources::BLISTER_MITE,
        ..MITE
    },
    Target {
        id: "rust-mite",
        name: "pear rust mite",
        latin: "Epitrimerus pyri",
        hosts: &[Pear, AsianPear],
        overwinters: "bark crevices and loose bud scales",
        lanes: &[
            key(AfterLeafDrop, "after harvest: best"),
            also(BeforeSwell, "delayed dormant suppresses"),
        ],
        first_stage: Some(91),
        last_stage: Some(55),
        actives: &["sulfur", OIL],
        control: Control::Partial,
        caveat: "Naturally russeted cultivars tolerate it.",
        source: &sources::RUST_MITE,
        ..MITE
    },
    Target {
        id: "rosy-aphid",
        name: "rosy apple aphid eggs",
        latin: "Dysaphis plantaginea",
        hosts: &[Apple],
        overwinters: "shiny black eggs on spurs and shoots",
        lanes: &[key_from(BeforeSwell, 53, "oil at half-inch green")],
        last_stage: Some(55),
        actives: &[OIL],
        control: Control::Partial,
        caveat: "Oil is weak on tight eggs; plantain is the summer host.",
        source: &sources::ROSY_APHID,
        ..INSECT
    },
    Target {
        id: "plum-aphid",
        name: "plum aphid eggs",
        hosts: &[EuropeanPlum, JapanesePlum, Peach],
        overwinters: "black eggs at bud bases",
        lanes: &[
            key(AfterLeafDrop, "early November treatment"),
            key(BeforeSwell, "dormant spray to bud break"),
        ],
        first_stage: Some(93),
        last_stage: Some(60),
        actives: &[OIL],
        control: Control::Partial,
        threshold: Some(Threshold::EggsIn100),
        caveat: "The spur sample often misses the eggs; oil alone may not do.",
        source: &sources::PLUM_APHID,
        ..INSECT
    },
    Target {
        id: "aphid-eggs",
        name: "aphid eggs",
        hosts: &[
            SweetCherry,
            SourCherry,
            Peach,
            Nectarine,
            EuropeanPlum,
            JapanesePlum,
            Apple,
        ],
        overwinters: "eggs on buds and twigs",
        lanes: &[key_from(
            BeforeSwell,
            51,
            "from bud swell to pre-bloom; too early works poorly",
        )],
        last_stage: Some(57),
        actives: &[OIL],
        caveat: "Hatched aphids are easier to smother than eggs.",
        source: &sources::CHERRY_APHID,
        ..INSECT
    },
    Target {
        id: "psylla",
        name: "pear psylla",
        latin: "Cacopsylla pyricola",
        hosts: &[Pear],
        overwinters: "winterform adults in and near the orchard",
        lanes: &[
            also(MidWinter, "particle film with oil from late dormancy on"),
            key(BeforeSwell, "oil or particle film before egg laying"),
        ],
        last_stage: Some(55),
        actives: &[OIL, "kaolin"],
        control: Control::Partial,
        threshold: Some(Threshold::BeatTray),
        sanitation: &[work(
            Scout,
            MidWinter,
            "Beat 100 branches over a tray from mid-winter on.",
        )],
        caveat: "Adults fly in again: neighbours' timing matters.",
        source: &sources::PSYLLA,
        ..INSECT
    },
    Target {
        id: "grape-mealybug",
        name: "grape mealybug",
        latin: "Pseudococcus maritimus",
        hosts: &[Pear, Apple, SweetCherry, SourCherry],
        overwinters: "eggs and crawlers in sacs under loose bark",
        lanes: &[key_from(
            BeforeSwell,
            51,
            "from swell, when crawlers leave their sacs",
        )],
        last_stage: Some(54),
        actives: &[OIL],
        control: Control::Partial,
        sanitation: &[work(
            Scout,
            MidWinter,
            "Look under the bark of old trees; scrape loose bark.",
        )],
        caveat: "Worst on large, rough-barked trees; oil alone is not enough.",
        source: &sources::MEALYBUG,
        ..INSECT
    },
    Target {
        id: "leafroller-eggs",
        name: "fruittree leafroller eggs",
        latin: "Archips argyrospila",
        hosts: &[Apple, Pear, EuropeanPlum, JapanesePlum, Apricot],
        overwinters: "egg masses on twigs and scaffolds",
        lanes: &[
            also(MidWinter, "dormant oil: good egg kill"),
            key(BeforeSwell, "delayed dormant oil"),
        ],
        last_stage: Some(53),
        actives: &[OIL],
        caveat: "The obliquebanded leafroller winters as a larva: oil is no help.",
        source: &sources::LEAFROLLER,
        ..INSECT
    },
    Target {
        id: "tent-caterpillar",
        name: "tent caterpillar egg bands",
        hosts: &[Apple, SweetCherry, SourCherry, EuropeanPlum, JapanesePlum],
        overwinters: "egg bands on twigs",
        lanes: &[also(MidWinter, "oil"), key(BeforeSwell, "oil")],
        last_stage: Some(53),
        actives: &[OIL],
        control: Control::Partial,
        sanitation: &[work(
            Prune,
            MidWinter,
            "Cut off the egg bands while pruning.",
        )],
        caveat: "Taking the bands off by hand is common practice.",
        source: &sources::TENT_CATERPILLAR,
        ..INSECT
    },
    Target {
        id: "twig-borer",
        name: "peach twig borer",
        latin: "Anarsia lineatella",
        hosts: &[
            Peach,
            Nectarine,
            Apricot,
            Almond,
            EuropeanPlum,
            JapanesePlum,
        ],
        overwinters: "young larvae in the crotches of young wood",
        lanes: &[key(
            BeforeSwell,
            "oil with spinosad; bloom-time Bacillus thuringiensis is preferred",
        )],
        last_stage: Some(60),
        actives: &["spinosad", "bacillus thuringiensis"],
        control: Control::Partial,
        caveat: "Oil alone is weak and does not count here.",
        source: &sources::TWIG_BORER,
        ..INSECT
    },
];
