//! The names actives go by on labels, and the kinds they are of.
//!
//! A label prints one substance under several names ("cupric hydroxide", "petroleum
//! distillate"). Every row gives the name used here, the others found, and what the rules ask
//! for. A substance of no kind stands here too: it is then known, and no question is open.

use super::Actives;
use crate::domain::sources::{self, Source};

/// One active with its other names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ActiveName {
    /// The name used here.
    pub name: &'static str,
    /// Other names of it, in lower case; `sulph` is read as `sulf`.
    pub also: &'static [&'static str],
    /// Its kinds; none where no rule asks for it.
    pub kinds: Actives,
    /// Where the names come from.
    pub source: &'static Source,
}

const fn row(
    name: &'static str,
    also: &'static [&'static str],
    kinds: Actives,
    source: &'static Source,
) -> ActiveName {
    ActiveName {
        name,
        also,
        kinds,
        source,
    }
}

const HYDROXIDE: Actives = Actives::both(Actives::COPPER, Actives::COPPER_HYDROXIDE);
const OTHER_COPPER: Actives = Actives::both(Actives::COPPER, Actives::COPPER_OTHER);
const BORDEAUX: Actives = Actives::both(OTHER_COPPER, Actives::LIME);

/// Every active known here.
pub static ACTIVE_NAMES: &[ActiveName] = &[
    row(
        "copper hydroxide",
        &[
            "cupric hydroxide",
            "copper(ii) hydroxide",
            "copper (ii) hydroxide",
        ],
        HYDROXIDE,
        &sources::COPPER_NAMES,
    ),
    row(
        "cuprous oxide",
        &[
            "copper oxide",
            "copper(i) oxide",
            "copper (i) oxide",
            "red copper oxide",
        ],
        OTHER_COPPER,
        &sources::COPPER_NAMES,
    ),
    row(
        "copper oxychloride",
        &[
            "copper oxychloride sulfate",
            "dicopper chloride trihydroxide",
            "cupric oxychloride",
            "basic copper chloride",
        ],
        OTHER_COPPER,
        &sources::COPPER_NAMES,
    ),
    row(
        "basic copper sulfate",
        &[
            "tribasic copper sulfate",
            "tribasic copper",
            "copper sulfate (basic)",
            "copper sulfate basic",
            "basic cupric sulfate",
        ],
        OTHER_COPPER,
        &sources::COPPER_NAMES,
    ),
    row(
        "copper sulfate",
        &[
            "copper sulfate pentahydrate",
            "cupric sulfate",
            "bluestone",
            "blue stone",
            "blue vitriol",
        ],
        OTHER_COPPER,
        &sources::COPPER_NAMES,
    ),
    row(
        "copper soap",
        &[
            "copper octanoate",
            "copper salt of fatty acid",
            "copper salts of fatty acids",
            "copper salts of fatty and rosin acids",
            "copper salts of rosin acids",
            "copper salts of fatty and rosin acid",
        ],
        OTHER_COPPER,
        &sources::COPPER_NAMES,
    ),
    row(
        "copper ammonium complex",
        &[
            "copper diammonia diacetate",
            "copper ammonium carbonate",
            "copper ammonium acetate",
            "cupric ammonium",
        ],
        OTHER_COPPER,
        &sources::COPPER_NAMES,
    ),
    row(
        "bordeaux mixture",
        &["bordeaux", "burgundy mixture"],
        BORDEAUX,
        &sources::COPPER_NAMES,
    ),
    // Copper of a form that is not named: "fixed copper", "metallic copper".
    row(
        "copper",
        &["cupric", "cuprous"],
        Actives::COPPER,
        &sources::COPPER_NAMES,
    ),
    row(
        "horticultural oil",
        &[
            "oil",
            "oils",
            "mineral oil",
            "petroleum oil",
            "paraffinic oil",
            "paraffin oil",
            "paraffinic hydrocarbon",
            "paraffinic hydrocarbons",
            "petroleum distillate",
            "petroleum distillates",
            "refined petroleum distillate",
            "refined petroleum distillates",
            "petroleum hydrocarbon",
            "petroleum hydrocarbons",
            "hydrotreated paraffinic distillate",
            "aliphatic petroleum distillate",
            "aliphatic petroleum distillates",
            "aliphatic petroleum solvent",
            "isoparaffinic hydrocarbon",
            "isoparaffinic hydrocarbons",
        ],
        Actives::OIL,
        &sources::OIL_NAMES,
    ),
    row(
        "lime sulfur",
        &[
            "calcium polysulfide",
            "calcium polysulfides",
            "polysulfide",
            "polysulfides",
            "lime-sulfur",
        ],
        Actives::LIME_SULFUR,
        &sources::SULFUR_NAMES,
    ),
    row(
        "sulfur",
        &[
            "elemental sulfur",
            "wettable sulfur",
            "micronized sulfur",
            "flowers of sulfur",
        ],
        Actives::SULFUR,
        &sources::SULFUR_NAMES,
    ),
    row("captan", &[], Actives::CAPTAN, &sources::COMMON_NAMES),
    row(
        "chlorothalonil",
        &["tetrachloroisophthalonitrile"],
        Actives::CHLOROTHALONIL,
        &sources::COMMON_NAMES,
    ),
    row(
        "urea",
        &["carbamide"],
        Actives::UREA,
        &sources::COMMON_NAMES,
    ),
    row(
        "hydrated lime",
        &[
            "spray lime",
            "calcium hydroxide",
            "slaked lime",
            "quicklime",
            "calcium oxide",
        ],
        Actives::LIME,
        &sources::COMMON_NAMES,
    ),
    row(
        "acid",
        &[
            "acids",
            "acidifier",
            "acidifying",
            "citric acid",
            "phosphoric acid",
            "sulfuric acid",
            "acetic acid",
            "vinegar",
            "phosphorous acid",
            "phosphonic acid",
            "phosphite",
            "phosphites",
            "phosphonate",
            "phosphonates",
            "potassium phosphonates",
            "fosetyl",
            "fosetyl-al",
            "fosetyl-aluminium",
            "fosetyl-aluminum",
        ],
        Actives::ACID,
        &sources::COMMON_NAMES,
    ),
    // Named with "acid", but no acid in the tank.
    row(
        "soap",
        &[
            "insecticidal soap",
            "potassium salts of fatty acids",
            "fatty acids",
            "fatty acid",
        ],
        Actives::NONE,
        &sources::COMMON_NAMES,
    ),
    row(
        "growth regulator",
        &[
            "naphthaleneacetic acid",
            "naphthalene acetic acid",
            "1-naphthaleneacetic acid",
            "gibberellic acid",
            "abscisic acid",
            "gibberellins",
        ],
        Actives::NONE,
        &sources::COMMON_NAMES,
    ),
    row(
        "kaolin",
        &["kaolin clay", "particle film"],
        Actives::NONE,
        &sources::COMMON_NAMES,
    ),
    row(
        "insecticide of no kind asked for",
        &[
            "insecticide",
            "miticide",
            "acaricide",
            "spinosad",
            "spinetoram",
            "bacillus thuringiensis",
            "pyriproxyfen",
            "buprofezin",
            "esfenvalerate",
            "permethrin",
            "bifenthrin",
            "lambda-cyhalothrin",
            "cyhalothrin",
            "pyrethrins",
            "pyrethrin",
            "malathion",
            "carbaryl",
            "phosmet",
            "diazinon",
            "imidacloprid",
            "acetamiprid",
            "flonicamid",
            "azadirachtin",
            "methoxyfenozide",
            "chlorantraniliprole",
            "clofentezine",
            "hexythiazox",
            "abamectin",
        ],
        Actives::NONE,
        &sources::COMMON_NAMES,
    ),
    row(
        "fungicide of no kind asked for",
        &[
            "fungicide",
            "bactericide",
            "ziram",
            "ferbam",
            "thiram",
            "mancozeb",
            "maneb",
            "metiram",
            "dodine",
            "dithianon",
            "myclobutanil",
            "propiconazole",
            "tebuconazole",
            "difenoconazole",
            "fenbuconazole",
            "iprodione",
            "cyprodinil",
            "fluopyram",
            "pyraclostrobin",
            "boscalid",
            "thiophanate-methyl",
            "thiophanate methyl",
            "potassium bicarbonate",
            "bacillus subtilis",
            "bacillus amyloliquefaciens",
            "streptomycin",
            "oxytetracycline",
            "kasugamycin",
            "mefenoxam",
            "metalaxyl",
        ],
        Actives::NONE,
        &sources::COMMON_NAMES,
    ),
    row(
        "helper",
        &[
            "wetting agent",
            "adjuvant",
            "surfactant",
            "nonionic surfactant",
            "spreader",
            "sticker",
            "spreader-sticker",
            "ammonium sulfate",
            "latex paint",
            "boron",
            "zinc sulfate",
            "zinc",
        ],
        Actives::NONE,
        &sources::COMMON_NAMES,
    ),
];
