//! One table of citations. Rules, tables and tests point here.

/// Where a number or a rule comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Source {
    /// Short id, stable.
    pub id: &'static str,
    /// The citation, in one line.
    pub cite: &'static str,
    /// How sure the citation is.
    pub seen: Seen,
}

/// How sure a citation is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seen {
    /// The text was read.
    Read,
    /// From memory, not confirmed.
    Memory,
    /// Follows from other numbers by arithmetic.
    Derived,
    /// Common practice of the trade without a published source.
    Practice,
}

impl Source {
    /// The citation with its standing.
    pub fn line(&self) -> String {
        match self.seen {
            Seen::Read => self.cite.to_owned(),
            Seen::Memory => format!("{} (from memory, not confirmed)", self.cite),
            Seen::Derived => format!("{} (derived)", self.cite),
            Seen::Practice => format!("{} (common practice, no source)", self.cite),
        }
    }
}

macro_rules! sources {
    ($($name:ident = $id:literal, $seen:ident, $cite:literal;)+) => {
        $(
            #[doc = $cite]
            pub static $name: Source = Source { id: $id, cite: $cite, seen: Seen::$seen };
        )+
        /// Every citation.
        pub static ALL: &[&Source] = &[$(&$name),+];
    };
}

sources! {
    LABEL = "label", Practice, "The product label: it is the law";
    OWN_ESTIMATE = "estimate", Derived, "The swell estimate of this program: chance of swell by a date, with its range";
    LEAF_CURL_BEFORE_SWELL = "leaf-curl", Read, "Oklahoma State Univ. Extension (Garvin County) 2022 and Washington State Univ. Extension 2011: leaf curl sprays go on before buds swell and are useless afterwards";
    OIL_LAST_STAGE = "oil-stage", Read, "Utah State Univ. Extension 2012 and 2016: oil from swollen bud to apple half-inch green, pear cluster bud, cherry white bud, peach pre-bloom";
    OIL_LAST_STAGE_STRICT = "oil-stage-strict", Read, "Kansas State Univ. Extension: apple by green tip, peach by 1 March while dormant";
    BARE_WOOD = "bare-wood", Practice, "Dormant sprays go onto bare wood, before any swelling, where a label does not say more";
    GROWER = "grower", Practice, "The grower's own row in the season file";
    LEAF_DROP_START = "leaf-drop", Read, "UC IPM wording relayed by UC Master Gardeners 2015-2023: leaf curl copper after 90-100 % leaf fall";
    LABEL_EACH_SEASON = "label-season", Practice, "Read the label again each season: rates, crops and registrations change";
    COPPER_INTERVAL_US = "copper-interval", Read, "US copper label, stone fruit, dormant use: 7 days at least between uses";
    PLAN_KEPT = "plan", Practice, "A task past its day is moved, done or skipped";
    CRITICAL_LANE = "critical-lane", Practice, "The spray before swell is the critical one of the dormant year";
    RECORD_US = "record-us", Read, "7 CFR 110.3 (restricted-use records; rescinded from 11 July 2025, 90 FR 2025-08220, because 40 CFR 171, states and tribes ask the same)";
    RECORD_US_WORKERS = "record-us-workers", Memory, "40 CFR 170.311 (Worker Protection Standard: information displayed after an application; the older section 170.122 was read)";
    RECORD_EU = "record-eu", Read, "Implementing Regulation (EU) 2023/564 and Regulation (EC) 1107/2009, article 67";
    RECORD_PRACTICE = "record-practice", Practice, "Conditions and gear are commonly noted, and some states ask for them";
    REENTRY_LONGEST = "reentry-longest", Read, "40 CFR 170.112 (older numbering): of several products, the longest re-entry interval rules";
    REENTRY_DRY = "reentry-dry", Practice, "Others stay away until the spray has dried or the label's time is over, whichever is later";
    COPPER_EU = "copper-eu", Read, "Regulation (EU) 2018/1981: 28 kg/ha of copper over seven years";
    SCOUT_SPURS = "scout-spurs", Read, "UC IPM dormant spur sample: 100 spurs from 35-50 trees, look at 20 first; no scale on 20 stops, 4 or more call for treatment";
    SCOUT_APHID_EGGS = "scout-aphid-eggs", Read, "UC Sacramento Valley Orchards: one aphid egg in 100 spurs calls for treatment, and the sample often misses them";
    SCOUT_MITE_EGGS = "scout-mite-eggs", Practice, "Red mite eggs are looked for on the same spurs; dormant oil is preferred when they are seen";
    SCOUT_BUDS = "scout-buds", Practice, "Buds are looked at weekly near swelling, and noted on the BBCH scale";
    SCOUT_WINTER = "scout-winter", Read, "UC IPM pear, year-round list: look for egg masses, scale, mummies and cankers while pruning";
    LEAF_DROP_LOOK = "leaf-drop-look", Practice, "The dormant year hangs on the day the leaves are down; it is noted when seen";
}
