//! The file of a new season: the plan, with comments that explain it to the
//! person who opens it in an editor.

use super::season_file::{Comments, fresh};
use crate::domain::season::Season;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

const HEAD: &str = "\
A season: one dormant year of one orchard, from leaf drop to bloom.

Edit it by hand whenever you like: comments, order and keys of your own stay
when the program writes it back. Dates are written 2027-01-03, amounts with
their unit: \"2 % v/v\", \"1.5 fl oz/gal\", \"10 ft\", \"3 m\", \"43 F\", \"6 C\".

The label decides. What stands here is a plan, no advice: read the label of
each product, follow local rules, ask a licensed adviser where the law asks
for one.";

const DATES: &str = "\
The season hangs on leaf drop, not on month names. When the leaves are down,
add: leaf_drop_seen = 2026-11-15";

const WEATHER: &str = "\
Temperatures make the swell estimate better. Files stand beside this one:
  daily = [\"temperatures.csv\"]     columns date, tmin_c, tmax_c (or tmin_f, tmax_f)
Without files the area's normal weather stands in; twelve monthly normals of
your own place are better:
  [weather.normals]
  low = [\"20 F\", …]    high = [\"33 F\", …]    January first";

const BLOCKS: &str = "\
Blocks: trees of one kind that are looked after together. Needed: id, species,
trees. For spray volumes add row_spacing, tree_spacing, height, spread. Dates
you saw in other years draw the estimate to your own place:
  past = [{ stage = \"swell\", date = 2026-03-24 }]
What you saw on the trees says which sprays are worth their trouble:
  seen = [{ target = \"scale\", season = \"2025-26\", count = 3, of = 20 }]
Where the law sums copper over years (copper_regime = \"eu-seven-years\"), metal
of past years in kg/ha, latest first, of each block:
  copper_past_kg_per_ha = [4.4, 3.9, \"unknown\", 4.0]";

const MATERIALS: &str = "\
Materials, by generic name. Those marked generic = true are starting points,
not labels: when you have read your own label, correct what differs, set
read_on = 2026-11-08 and take generic away.";

const SPRAYERS: &str =
    "Sprayers. volume_factor: how much more than the crown asks for is used by hand.";

const TASKS: &str = "\
Tasks: three lanes, after-leaf-drop, mid-winter (optional) and before-swell.
No blocks means all of them. state = \"done 2027-01-03\" or \"skipped 2027-01-03\".
A spray against something that was not there last year can be left out.";

const READINGS: &str = "\
Readings: a degree-day total, or a look at the buds by BBCH number (0 tight,
51 swelling, 53 green tip). For instance:
  [[reading]]
  date = 2027-02-10
  total = 95
  base = \"43 F\"
  since = 2027-01-01";

const RECORDS: &str = "\
Records of what was sprayed. They are only ever added to; a correction is a
new record that names the old one.";

/// The comments of a new season's file.
pub fn comments() -> Comments {
    let before = [
        ("dates", DATES),
        ("weather", WEATHER),
        ("block", BLOCKS),
        ("material", MATERIALS),
        ("sprayer", SPRAYERS),
        ("task", TASKS),
        ("reading", READINGS),
        ("record", RECORDS),
    ];
    Comments {
        head: HEAD.to_owned(),
        before: before
            .into_iter()
            .map(|(key, text)| (key.to_owned(), text.to_owned()))
            .collect::<BTreeMap<_, _>>(),
    }
}

/// The text of a new season's file.
///
/// # Errors
/// Only if a value has no text form, which no season value lacks.
pub fn text(season: &Season) -> Result<String, serde_json::Error> {
    fresh(season, &comments())
}

/// Where a new season goes in the seasons folder: `hillside-2026-27.toml`.
pub fn place(seasons: &Path, season: &Season) -> PathBuf {
    let words = format!("{} {}", season.orchard.name, season.season).to_lowercase();
    let name: String = words
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .collect::<Vec<_>>()
        .join("-")
        .chars()
        .take(80)
        .collect();
    seasons.join(format!(
        "{}.toml",
        if name.is_empty() { "season" } else { &name }
    ))
}
