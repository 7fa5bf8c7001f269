//! Stages of buds, leaf drop, trees and what stands around them.

use super::scene::{BASE, Trap, faults};

static TRAPS: &[Trap] = &[
    Trap {
        about: "oil on peach at the swollen bud is no stop",
        source: "Utah State 2012, 2016: swollen bud to pre-bloom; Kansas State: while dormant",
        twin: BASE,
        trap: BASE.on("2027-03-20").with(&[
            ("date = 2027-02-24\nhour = 11", "date = 2027-03-15\nstate = \"done 2027-03-15\""),
            ("state = \"done 2026-11-30\"", "state = \"done 2026-11-30\""),
            ("date = 2027-02-25\nhour = 11\nblocks = [\"two\"]\ntargets = [\"scale\"]", "date = 2027-03-28\nblocks = [\"one\"]"),
            ("date = 2027-03-15\nblocks = [\"two\"]", "date = 2027-03-22\nblocks = [\"two\"]"),
            ("date = 2027-03-02\nblocks = [\"two\"]", "date = 2027-03-21\nblocks = [\"two\"]"),
        ]),
        heard: Some(("past-stage-limit", "caution")),
    },
    Trap {
        about: "copper for leaf curl after the buds were seen swelling",
        source: "Oklahoma State 2022, Washington State 2011: before swell, useless afterwards",
        twin: BASE,
        trap: BASE.with(&[("[[task]]\nid = \"bare\"", "[[reading]]\nkind = \"buds\"\ndate = 2027-02-19\nbbch = 51\nblocks = [\"one\"]\n\n[[task]]\nid = \"bare\"")]),
        heard: Some(("too-close-to-swell", "stop")),
    },
    Trap {
        about: "a label that ends at pink, and pink was seen",
        source: "the label is the law; Utah State 2016: oil on apple to half-inch green",
        twin: BASE,
        trap: BASE.with(&[
            ("rate = \"2 % v/v\"", "last_stage = 57\nrate = \"2 % v/v\""),
            ("[[task]]\nid = \"bare\"", "[[reading]]\nkind = \"buds\"\ndate = 2027-02-19\nbbch = 59\nblocks = [\"two\"]\n\n[[task]]\nid = \"bare\""),
        ]),
        heard: Some(("past-stage-limit", "stop")),
    },
    Trap {
        about: "oil against aphid eggs weeks before swell",
        source: "Utah State 14 March 2016: not while trees are still dormant, after bud swell",
        twin: BASE,
        trap: BASE.with(&[("lane = \"mid-winter\"\nkind = \"spray\"\ndate = 2027-02-25\nhour = 11\nblocks = [\"two\"]\ntargets = [\"scale\"]", "lane = \"before-swell\"\nkind = \"spray\"\ndate = 2027-02-25\nhour = 11\nblocks = [\"two\"]\ntargets = [\"aphid-eggs\"]")]),
        heard: Some(("too-early", "caution")),
    },
    Trap {
        about: "oil on San Jose scale in mid-winter leaves no gap",
        source: "UC IPM almond: the dormant season is also the preferred timing",
        twin: BASE,
        trap: BASE.with(&[("site = \"level ground\"", "site = \"level ground\"\nseen = [{ target = \"scale\", season = \"2026-27\", count = 5, of = 20 }]")]),
        heard: None,
    },
    Trap {
        about: "lecanium seen on apricot and only copper planned",
        source: "UC IPM apricot r5300811 (10/14): dormant or delayed dormant oil",
        twin: BASE,
        trap: BASE.with(&[("species = \"peach\"\ncultivar = \"early\"", "species = \"apricot\"\nseen = [{ target = \"lecanium\", season = \"2026-27\", count = 6, of = 20 }]\ncultivar = \"early\"")]),
        heard: Some(("target-uncovered", "caution")),
    },
    Trap {
        about: "oil within days of leaf drop",
        source: "Univ. of Delaware 2008: not before trees have hardened",
        twin: BASE.on("2026-11-18").with(&[
            ("hour = 11\nblocks = [\"two\"]", "blocks = [\"two\"]"),
            ("state = \"done 2026-11-30\"\n", ""),
        ]),
        trap: BASE.on("2026-11-18").with(&[
            ("date = 2027-02-25\nhour = 11\nblocks = [\"two\"]", "date = 2026-11-21\nblocks = [\"two\"]"),
            ("state = \"done 2026-11-30\"\n", ""),
        ]),
        heard: Some(("oil-before-hardening", "caution")),
    },
    Trap {
        about: "oil on trees that stand in drought",
        source: "UC IPM, dormant treatments (2017): when trees are not short of water",
        twin: BASE,
        trap: BASE.with(&[("site = \"level ground\"", "site = \"level ground, drought since August\"")]),
        heard: Some(("oil-on-dry-trees", "caution")),
    },
    Trap {
        about: "cherries pruned in winter",
        source: "UC Master Gardeners 2023, PNW Handbook: July to August",
        twin: BASE,
        trap: BASE.with(&[("species = \"apple\"\ncultivar = \"late\"", "species = \"sweet cherry\"\ncultivar = \"late\"")]),
        heard: Some(("winter-pruning", "caution")),
    },
    Trap {
        about: "flowers seen open beside a spray",
        source: "Univ. of Nevada 2019: nothing on plants in flower, bees are harmed",
        twin: BASE,
        trap: BASE.with(&[("[[task]]\nid = \"bare\"", "[[reading]]\nkind = \"buds\"\ndate = 2027-02-18\nbbch = 65\nblocks = [\"one\"]\n\n[[task]]\nid = \"bare\"")]),
        heard: Some(("open-flowers", "caution")),
    },
    Trap {
        about: "a creek beside the rows",
        source: "Cornell grape guide 2024: 50 to 100 ft to water; Hood River growers: 20 ft at least",
        twin: BASE,
        trap: BASE.with(&[("site = \"level ground\"", "site = \"slopes to the creek\"")]),
        heard: Some(("water-or-people-near", "note")),
    },
    Trap {
        about: "pruning on the day after a spray, inside its re-entry time",
        source: "40 CFR 170: nobody back before the interval of the label has ended",
        twin: BASE,
        trap: BASE.with(&[
            ("reentry = \"4 h\"", "reentry = \"48 h\""),
            ("date = 2027-03-02\nblocks = [\"two\"]", "date = 2027-02-26\nblocks = [\"two\"]"),
        ]),
        heard: Some(("reentry-clash", "caution")),
    },
    Trap {
        about: "re-entry counted from the end of a long job",
        source: "the label: the interval runs from the end of the application",
        twin: BASE.with(&[("date = 2027-03-02\nblocks = [\"two\"]", "date = 2027-02-25\nhour = 20\nblocks = [\"two\"]")]),
        trap: BASE.with(&[
            // 300 gal at 2.64 gal/min and six fills of a quarter of an hour: some three hours and a half.
            ("volume = \"50 gal\"\nsprayer = \"gun\"\n\n[[task]]\nid = \"swell-copper\"", "volume = \"300 gal\"\nsprayer = \"gun\"\n\n[[task]]\nid = \"swell-copper\""),
            ("date = 2027-03-02\nblocks = [\"two\"]", "date = 2027-02-25\nhour = 17\nblocks = [\"two\"]"),
        ]),
        heard: Some(("reentry-clash", "caution")),
    },
    Trap {
        about: "shot hole copper at half leaf fall is in time",
        source: "Utah State IPM-007 (2011, 2020): copper in fall when half of the leaves have dropped",
        twin: BASE,
        trap: BASE.on("2026-10-25").with(&[
            ("leaf_drop_seen = 2026-11-15\n", ""),
            ("date = 2026-11-30\nblocks = [\"one\"]\ntargets = [\"leaf-curl\"]", "date = 2026-11-03\nblocks = [\"one\"]\ntargets = [\"shot-hole\"]"),
            ("state = \"done 2026-11-30\"\n", ""),
            ("read_on = 2026-11-20", "read_on = 2026-10-20"),
            ("read_on = 2026-11-20", "read_on = 2026-10-20"),
            ("read_on = 2026-11-20", "read_on = 2026-10-20"),
            ("date = 2026-11-20, l_per_min", "date = 2026-10-20, l_per_min"),
        ]),
        heard: None,
    },
    Trap {
        about: "copper at silver tip against fire blight is in time",
        source: "Univ. of Vermont 19 April 2014: between silver tip and green tip is the time",
        twin: BASE,
        trap: BASE.with(&[
            ("last_stage = 51\ninterval", "interval"),
            ("date = 2027-03-15\nblocks = [\"two\"]", "date = 2027-04-03\nblocks = [\"two\"]\ntargets = [\"fire-blight\"]"),
        ]),
        heard: None,
    },
];

#[test]
fn an_adviser_would_choose_another_day() {
    let (heard, missed) = faults(TRAPS);
    assert!(
        missed.is_empty(),
        "{heard} of {}:\n{}",
        TRAPS.len(),
        missed.join("\n")
    );
}
