//! Labels, mixes, intervals, amounts, places.

use super::scene::{BASE, Trap, faults};

const OIL_AS_THIRD: (&str, &str) = ("active = \"kaolin\"", "active = \"captan\"");

static TRAPS: &[Trap] = &[
    Trap {
        about: "cuprous oxide and lime sulfur in one tank",
        source: "names: Michigan State Univ. and Cornell on copper products; general knowledge: lime sulfur is strongly alkaline and mixed with no copper",
        twin: BASE,
        trap: BASE.with(&[
            ("active = \"copper hydroxide\"", "active = \"cuprous oxide\""),
            ("active = \"kaolin\"", "active = \"lime sulfur\""),
            ("mix = [{ material = \"copper\" }]\nvolume = \"50 gal\"\nsprayer = \"gun\"\n\n[[task]]\nid = \"oil\"", "mix = [{ material = \"copper\" }, { material = \"third\" }]\nvolume = \"50 gal\"\nsprayer = \"gun\"\n\n[[task]]\nid = \"oil\""),
        ]),
        heard: Some(("partners-do-not-mix", "stop")),
    },
    Trap {
        about: "refined petroleum distillates and captan in one tank",
        source: "OMAFRA 2006 and New England guide 1996-97: oil and captan 10 to 12 days apart",
        twin: BASE,
        trap: BASE.with(&[
            ("active = \"horticultural oil\"", "active = \"refined petroleum distillates\""),
            OIL_AS_THIRD,
            ("mix = [{ material = \"oil\" }]", "mix = [{ material = \"oil\" }, { material = \"third\" }]"),
        ]),
        heard: Some(("partners-do-not-mix", "stop")),
    },
    Trap {
        about: "an active that nobody knows",
        source: "common practice, no source: what is not known was not checked",
        twin: BASE.with(&[("mix = [{ material = \"oil\" }]", "mix = [{ material = \"oil\" }, { material = \"third\" }]")]),
        trap: BASE.with(&[
            ("active = \"kaolin\"", "active = \"something of grandfather's\""),
            ("mix = [{ material = \"oil\" }]", "mix = [{ material = \"oil\" }, { material = \"third\" }]"),
        ]),
        heard: Some(("active-not-known", "caution")),
    },
    Trap {
        about: "ounces of a liquid",
        source: "NIST Handbook 44, appendix C: ounces by weight are no fluid ounces",
        twin: BASE.with(&[("rate = \"2 % v/v\"", "rate = \"2.56 fl oz/gal\"")]),
        trap: BASE.with(&[("rate = \"2 % v/v\"", "rate = \"2.56 oz/gal\"")]),
        heard: Some(("unit-in-doubt", "caution")),
    },
    Trap {
        about: "two coppers of different name four days apart",
        source: "US copper label, stone fruit: 7 days between dormant uses of copper",
        twin: BASE.with(&[
            ("active = \"kaolin\"", "active = \"copper oxychloride\""),
            ("date = 2026-11-30", "date = 2027-02-17"),
            ("mix = [{ material = \"copper\" }]", "mix = [{ material = \"third\" }]"),
            ("state = \"done 2026-11-30\"", "state = \"done 2027-02-17\""),
        ]),
        trap: BASE.with(&[
            ("active = \"kaolin\"", "active = \"copper oxychloride\""),
            ("date = 2026-11-30", "date = 2027-02-20"),
            ("mix = [{ material = \"copper\" }]", "mix = [{ material = \"third\" }]"),
            ("state = \"done 2026-11-30\"", "state = \"done 2027-02-20\""),
        ]),
        heard: Some(("interval-too-short", "stop")),
    },
    Trap {
        about: "more metallic copper in one use than the label allows",
        source: "US copper label, stone fruit: 8 lb of metal an acre in one dormant use",
        twin: BASE.with(&[("max_uses = 4", "max_uses = 4\nmax_copper_per_use = \"8 lb/acre\"")]),
        trap: BASE.with(&[
            ("max_uses = 4", "max_uses = 4\nmax_copper_per_use = \"8 lb/acre\""),
            ("rate = \"4 lb/100 gal\"\nrate_max = \"8 lb/100 gal\"\nlast_stage = 51", "rate = \"17 lb/100 gal\"\nrate_max = \"20 lb/100 gal\"\nlast_stage = 51"),
        ]),
        heard: Some(("copper-per-use", "stop")),
    },
    Trap {
        about: "copper by the European mean while past years are not known",
        source: "Regulation (EU) 2018/1981: 28 kg/ha over seven years, 4 kg/ha a year on the mean",
        twin: BASE.with(&[
            ("copper_regime = \"label\"", "copper_regime = \"eu-seven-years\"\ncopper_past_kg_per_ha = [3, 3, 3, 3, 3, 3]"),
        ]),
        trap: BASE.with(&[
            ("copper_regime = \"label\"", "copper_regime = \"eu-seven-years\""),
            ("rate = \"4 lb/100 gal\"\nrate_max = \"8 lb/100 gal\"\nlast_stage = 51", "rate = \"7 lb/100 gal\"\nrate_max = \"8 lb/100 gal\"\nlast_stage = 51"),
        ]),
        heard: Some(("copper-seven-years", "caution")),
    },
    Trap {
        about: "oil on walnut",
        source: "UC IPM, dormant treatments (2017): not recommended on walnut in the dormant season",
        twin: BASE,
        trap: BASE.with(&[("species = \"apple\"\ncultivar = \"late\"", "species = \"walnut\"\ncultivar = \"late\"")]),
        heard: Some(("oil-sensitive", "stop")),
    },
    Trap {
        about: "oil on apricot",
        source: "UC IPM apricot, European fruit lecanium (10/14): some cultivars are sensitive",
        twin: BASE,
        trap: BASE.with(&[("species = \"apple\"\ncultivar = \"late\"", "species = \"apricot\"\ncultivar = \"late\"")]),
        heard: Some(("oil-sensitive", "caution")),
    },
    Trap {
        about: "Bordeaux mixture in water of pH 6.2 is fine",
        source: "the limit of 6.5 is for copper hydroxide: New England guide 1996-97, Rosenberger 2013",
        twin: BASE,
        trap: BASE.with(&[
            ("active = \"copper hydroxide\"", "active = \"Bordeaux mixture\""),
            ("volume = \"50 gal\"\nsprayer = \"gun\"\n\n[[task]]\nid = \"oil\"", "volume = \"50 gal\"\nwater_ph = 6.2\nsprayer = \"gun\"\n\n[[task]]\nid = \"oil\""),
        ]),
        heard: None,
    },
    Trap {
        about: "copper hydroxide in water of pH 6.2",
        source: "New England guide 1996-97 and Rosenberger (Cornell) 2013: 6.5 at least",
        twin: BASE.with(&[("volume = \"50 gal\"\nsprayer = \"gun\"\n\n[[task]]\nid = \"oil\"", "volume = \"50 gal\"\nwater_ph = 6.5\nsprayer = \"gun\"\n\n[[task]]\nid = \"oil\"")]),
        trap: BASE.with(&[("volume = \"50 gal\"\nsprayer = \"gun\"\n\n[[task]]\nid = \"oil\"", "volume = \"50 gal\"\nwater_ph = 6.2\nsprayer = \"gun\"\n\n[[task]]\nid = \"oil\"")]),
        heard: Some(("water-ph", "stop")),
    },
    Trap {
        about: "captan in hard water of pH 9.5",
        source: "Kansas State (Upham): half is gone in two minutes at pH 10, in 8 h at pH 7",
        twin: BASE.with(&[
            OIL_AS_THIRD,
            ("mix = [{ material = \"copper\" }]\nvolume = \"50 gal\"\nsprayer = \"gun\"\n\n[[task]]\nid = \"prune\"", "mix = [{ material = \"third\" }]\nvolume = \"50 gal\"\nwater_ph = 6.0\nsprayer = \"gun\"\n\n[[task]]\nid = \"prune\""),
        ]),
        trap: BASE.with(&[
            OIL_AS_THIRD,
            ("mix = [{ material = \"copper\" }]\nvolume = \"50 gal\"\nsprayer = \"gun\"\n\n[[task]]\nid = \"prune\"", "mix = [{ material = \"third\" }]\nvolume = \"50 gal\"\nwater_ph = 9.5\nsprayer = \"gun\"\n\n[[task]]\nid = \"prune\""),
        ]),
        heard: Some(("water-ph", "stop")),
    },
    Trap {
        about: "oil and sulfur 18 days apart in the Pacific Northwest",
        source: "UC IPM, dormant treatments (2017): 30 days in the West; Univ. of Georgia 2024: 14",
        twin: BASE.with(&[
            ("active = \"kaolin\"", "active = \"sulfur\""),
            ("mix = [{ material = \"copper\" }]\nvolume = \"50 gal\"\nsprayer = \"gun\"\n\n[[task]]\nid = \"prune\"", "mix = [{ material = \"third\" }]\nvolume = \"50 gal\"\nsprayer = \"gun\"\n\n[[task]]\nid = \"prune\""),
        ]),
        trap: BASE.with(&[
            ("active = \"kaolin\"", "active = \"sulfur\""),
            ("mix = [{ material = \"copper\" }]\nvolume = \"50 gal\"\nsprayer = \"gun\"\n\n[[task]]\nid = \"prune\"", "mix = [{ material = \"third\" }]\nvolume = \"50 gal\"\nsprayer = \"gun\"\n\n[[task]]\nid = \"prune\""),
            ("latitude = 43.15\nlongitude = -77.62", "latitude = 46.6\nlongitude = -120.5"),
            ("time_zone = \"America/New_York\"", "time_zone = \"America/Los_Angeles\""),
        ]),
        heard: Some(("keep-apart", "caution")),
    },
    Trap {
        about: "captan on the day of oil, in a task of its own",
        source: "OMAFRA 2006: 10 to 12 days between oil and captan; on one day it meets it wet",
        twin: BASE,
        trap: BASE.with(&[
            OIL_AS_THIRD,
            ("date = 2027-03-15\nblocks = [\"two\"]\nmix = [{ material = \"copper\" }]", "date = 2027-02-25\nhour = 15\nblocks = [\"two\"]\nmix = [{ material = \"third\" }]"),
        ]),
        heard: Some(("keep-apart", "stop")),
    },
    Trap {
        about: "captan two days after lime sulfur",
        source: "common practice, no source: lime sulfur leaves alkaline wood, alkali breaks captan",
        twin: BASE,
        trap: BASE.with(&[
            OIL_AS_THIRD,
            ("active = \"horticultural oil\"\nformulation = \"EC\"", "active = \"lime sulfur\"\nformulation = \"SL\""),
            ("date = 2027-03-15\nblocks = [\"two\"]\nmix = [{ material = \"copper\" }]", "date = 2027-02-27\nblocks = [\"two\"]\nmix = [{ material = \"third\" }]"),
        ]),
        heard: Some(("keep-apart", "caution")),
    },
    Trap {
        about: "a crop that the label does not name",
        source: "the product label: it is the law",
        twin: BASE,
        trap: BASE.with(&[("crops = [\"peach\", \"apple\", \"apricot\", \"sweet cherry\", \"european plum\", \"walnut\"]", "crops = [\"apple\", \"walnut\"]")]),
        heard: Some(("crop-not-on-label", "stop")),
    },
    Trap {
        about: "a material without its highest rate is used over its rate",
        source: "the product label: it is the law",
        twin: BASE.with(&[("rate_max = \"3 % v/v\"\n", "")]),
        trap: BASE.with(&[("mix = [{ material = \"oil\" }]", "mix = [{ material = \"oil\", rate = \"4 % v/v\" }]")]),
        heard: Some(("rate-off-label", "stop")),
    },
    Trap {
        about: "a gallon that may be imperial",
        source: "Weights and Measures Act 1985, schedule 1: 4.54609 L",
        twin: BASE.with(&[("rate = \"2 % v/v\"", "rate = \"20 mL/L\"")]),
        trap: BASE.with(&[
            ("latitude = 43.15\nlongitude = -77.62", "latitude = 51.3\nlongitude = 0.5"),
            ("time_zone = \"America/New_York\"", "time_zone = \"Europe/London\""),
            ("rate = \"2 % v/v\"", "rate = \"2.56 fl oz/gal\""),
        ]),
        heard: Some(("unit-in-doubt", "caution")),
    },
    Trap {
        about: "ares of a Japanese label are no acres",
        source: "the are is 100 m2; Regulation (EU) 2018/1981 and US labels count copper by hectare or acre",
        twin: BASE.with(&[
            ("latitude = 43.15\nlongitude = -77.62", "latitude = 43.1\nlongitude = 141.3"),
            ("time_zone = \"America/New_York\"", "time_zone = \"Asia/Tokyo\""),
            ("area = \"0.5 acre\"", "area = \"20 a\""),
            ("max_uses = 4", "max_uses = 4\nmax_copper_per_use = \"4 kg/ha\""),
            ("rate_min = \"2 lb/100 gal\"\nrate = \"4 lb/100 gal\"\nrate_max = \"8 lb/100 gal\"", "rate = \"0.75 kg/10 a\"\nrate_max = \"0.8 kg/10 a\""),
        ]).in_weather(|_, _, h| h.temp_c = 12.0),
        trap: BASE.with(&[
            ("latitude = 43.15\nlongitude = -77.62", "latitude = 43.1\nlongitude = 141.3"),
            ("time_zone = \"America/New_York\"", "time_zone = \"Asia/Tokyo\""),
            ("area = \"0.5 acre\"", "area = \"20 a\""),
            ("max_uses = 4", "max_uses = 4\nmax_copper_per_use = \"4 kg/ha\""),
            ("rate_min = \"2 lb/100 gal\"\nrate = \"4 lb/100 gal\"\nrate_max = \"8 lb/100 gal\"", "rate = \"0.85 kg/10 a\"\nrate_max = \"0.9 kg/10 a\""),
        ]).in_weather(|_, _, h| h.temp_c = 12.0),
        heard: Some(("copper-per-use", "stop")),
    },
    Trap {
        about: "a product that does not work on what it is for",
        source: "UC IPM: oil does not stop leaf curl; copper does",
        twin: BASE,
        trap: BASE.with(&[("targets = [\"scale\"]", "targets = [\"apple-scab\"]")]),
        heard: Some(("wrong-active", "caution")),
    },
    Trap {
        about: "a dormant spray against codling moth",
        source: "Utah State 24 March 2025: no dormant spray controls it",
        twin: BASE,
        trap: BASE.with(&[("targets = [\"scale\"]", "targets = [\"codling-moth\"]")]),
        heard: Some(("not-controllable", "caution")),
    },
];

#[test]
fn an_adviser_would_read_the_label_again() {
    let (heard, missed) = faults(TRAPS);
    assert!(
        missed.is_empty(),
        "{heard} of {}:\n{}",
        TRAPS.len(),
        missed.join("\n")
    );
}
