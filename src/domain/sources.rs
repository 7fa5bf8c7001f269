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
    OIL_TOO_COLD = "oil-cold", Read, "County extension column, West Virginia: no oil below 35 F";
    OIL_TOO_HOT = "oil-hot", Read, "UC IPM, oil burn: no oil above 90 F";
    OIL_BEST_TEMPERATURE = "oil-best", Read, "Utah State Univ. Extension 2016, 2021, 2025: oil at 50-70 F, better above 40 F for 24 h after";
    OIL_FROST_AFTER = "oil-frost-after", Read, "Ohio State Univ. Extension (Wayne County) 2017: no freezing for at least 24 h after oil";
    OIL_FROST_EITHER_SIDE = "oil-frost-48", Read, "OMAFRA 2006, and Agnello (Cornell) via Penn State 2011: frost within 48 h either side of oil";
    OIL_HUMIDITY = "oil-humidity", Read, "Univ. of Delaware Kent Cooperative Extension 2008: humidity over 90 % raises the risk of oil injury";
    OIL_DRY = "oil-dry", Read, "Chicago Botanic Garden: no rain for 24 h after oil";
    COPPER_DRY = "copper-dry", Read, "Sacramento press 2023: copper for leaf curl wants 24 h of dry weather before and after";
    DORMANT_TEMPERATURE = "dormant-temperature", Practice, "Dormant sprays go on at 40-70 F where a label does not say more";
    RAIN_12_H = "rain-12", Read, "OMAFRA: some labels forbid spraying if rain is due within 12 h";
    RAIN_24_H = "rain-24", Read, "OMAFRA: most of a protectant is lost to rain within 24 h";
    RAIN_LIKELY = "rain-likely", Read, "Univ. of Delaware Kent Cooperative Extension 2008: do not spray if rain is likely; even odds are taken as likely";
    WIND_TEN_MPH = "wind-10", Read, "North Dakota State Univ. and Washington State rules: stop above 10 mph";
    GUSTS = "gusts", Practice, "No spraying in gusts above the most wind allowed";
    CALM_NOT_SAFE = "calm", Read, "North Dakota State Univ. Extension AE1705 (2019, 2024): under 3 mph with a clear sky near night an inversion is to be suspected";
    DELTA_T = "delta-t", Read, "GRDC spray manual 2025 and sprayers101: wet-bulb depression 2-8 C good, above 10 C caution; low values are taken as advice on drying in winter";
    WET_WOOD = "wet-wood", Read, "Univ. of Delaware Kent Cooperative Extension 2008: do not spray wet wood; wetness here is estimated, dew from 90 % humidity (Sentelhas and others 2008)";
    FROZEN_WOOD = "frozen-wood", Memory, "Do not spray frozen wood";
    DRY_BEFORE_FREEZING = "dry-before-freezing", Read, "Kansas State Univ. (Upham): 40 F or more so that it dries before freezing; spray in the morning";
    DAYLIGHT = "daylight", Practice, "Work by daylight, so that cover and drift are seen";
    DRY_WORK = "dry-work", Practice, "Pruning and cleaning up go better in dry weather and spread less disease";
    NOT_A_FORECAST = "not-a-forecast", Derived, "A typical year stands in for this hour: it is no word about this year's weather";
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
}
