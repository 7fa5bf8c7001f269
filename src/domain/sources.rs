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

impl serde::Serialize for Source {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(&self.line())
    }
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
            #[allow(clippy::doc_markdown)]
            pub static $name: Source = Source { id: $id, cite: $cite, seen: Seen::$seen };
        )+
        /// Every citation.
        pub static ALL: &[&Source] = &[$(&$name),+];
    };
}

sources! {
    LABEL = "label", Practice, "The product label: it is the law";
    COPPER_NAMES = "copper-names", Read, "Michigan State Univ. Extension, copper products and copper formulations (2011), and Cornell, copper fungicides (2013, 2020): copper sulfate, hydroxide, oxide, oxychloride, basic (tribasic) sulfate, salts of fatty and rosin acids; octanoate and ammonium complexes as labels print them";
    OIL_NAMES = "oil-names", Read, "Labels and extension pages on horticultural oils: refined petroleum distillate, mineral oil, paraffinic oil, petroleum hydrocarbons";
    SULFUR_NAMES = "sulfur-names", Read, "Michigan State Univ. Extension, dormant sprays in grapes: lime sulfur is calcium polysulfide";
    COMMON_NAMES = "common-names", Practice, "Common names of actives as labels print them";
    OIL_HARDENED = "oil-hardened", Read, "Univ. of Delaware Kent Cooperative Extension 2008: no oil in autumn until trees have hardened; the two weeks are common practice";
    OIL_WATERED = "oil-watered", Read, "UC IPM, dormant or delayed-dormant treatments (2017): when trees are not water stressed, well after a period of rain or fog";
    COPPER_FROST = "copper-frost", Read, "IPM Institute of North America, freeze advisory 6 April 2017: no copper where it freezes within 24 h after, nor the morning after a freeze; Acimovic (Cornell) 2019, 2021: several days from frost once green shows";
    OPEN_FLOWERS = "open-flowers", Read, "Univ. of Nevada horticulture columns 2019: nothing is sprayed on plants in flower, bees are harmed; how long a block flowers is common practice";
    SIGNS_48 = "signs-48", Memory, "40 CFR 170.409: warning signs outdoors where the re-entry interval is longer than 48 h";
    NEAR_WATER = "near-water", Read, "Cornell, pest management guidelines for grapes 2024: 50 to 100 ft to water and other sensitive places, spraying inward only within 50 ft of the edge; Hood River growers' practices for orchards: never less than 20 ft of unsprayed plants beside water";
    EXCLUSION_ZONE = "exclusion-zone", Read, "40 CFR 170.405(a) and Washington WAC 16-233-111: while spraying nobody but trained handlers within 100 ft of air-blast sprayers and fine droplets, 25 ft of medium or coarser ones sprayed from above 12 in";
    CANKER_CALIFORNIA = "canker-california", Read, "UC IPM plum and prune, bacterial canker (2006, 2009): copper during dormancy was not shown to protect in California; bactericides are not recommended";
    USUAL_SPRAYS = "usual-sprays", Practice, "Two to three dormant sprays: one after leaf drop in late autumn, an optional one in mid-winter, the critical one in late winter before any swelling";
    TWO_MEASURES = "two-measures", Read, "NIST Handbook 44, appendix C, and the Weights and Measures Act 1985, schedule 1: the imperial gallon of 4.54609 L and the US gallon of 3.78541 L; ounces by weight are no fluid ounces";
    UNKNOWN_ACTIVE = "unknown-active", Practice, "What an active is decides which rules hold; of one that no table knows nothing was checked";
    RAIN_TWO_HOURS = "rain-two-hours", Read, "OMAFRA 2020: rain within two hours mostly washes a spray away; let it dry";
    RAIN_HOME_RULE = "rain-inches", Read, "Kansas State Univ. home rule: under 1 in of rain little effect, 1-2 in halve the interval, over 2 in spray again; Ontario 2020: 1 in takes about half, over 2 in most";
    COPPER_ON_WOOD = "copper-on-wood", Read, "NZ Plant Protection 66:199 (2013): copper on canes up to all kept after 50 mm, on leaves half lost after 25 mm or more";
    OIL_ONCE_DRY = "oil-once-dry", Practice, "Oil works by covering as it goes on; rain after it has dried does not matter";
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
    GUSTS = "gusts", Practice, "No spraying in gusts above the most wind allowed: a gust carries droplets as far as a steady wind of its speed";
    CALM_NOT_SAFE = "calm", Read, "North Dakota State Univ. Extension AE1705 (2019, 2024): under 3 mph (felt near the ground; here converted to the wind at 10 m) with a clear sky near night an inversion is to be suspected; the same, 20 May 2021: from three hours before sunset to two after sunrise";
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
    LEAF_FALL_PACE = "leaf-fall", Practice, "Leaf fall takes some five weeks from first colour, the last half of it ten days";
    LATE_WINTER = "late-winter", Practice, "The last spray before swell goes on in the six weeks before the last safe day: the later the better, with days in hand for weather";
    BEST_DAYS = "best-days", Practice, "After leaf drop the sooner the better, before swell the later the better with a week in hand, from a target's own stage on from its even chance";
    LAST_START = "last-start", Practice, "A job of several days begins so that its last hour falls on the last safe day; a day of work is eight hours where the owner gave none";
    LABEL_EACH_SEASON = "label-season", Practice, "Read the label again each season: rates, crops and registrations change";
    COPPER_INTERVAL_US = "copper-interval", Read, "US copper label, stone fruit, dormant use: 7 days at least between uses";
    PLAN_KEPT = "plan", Practice, "A task past its day is moved, done or skipped";
    CRITICAL_LANE = "critical-lane", Practice, "The spray before swell is the critical one of the dormant year";
    LABEL_LIMIT = "label-limit", Practice, "The limit as entered from the product label";
    MIXING_LABELS = "mix-labels", Read, "Wolf, Sprayers 101: read all labels, the strictest rule wins, at most three partners";
    OIL_SULFUR = "oil-sulfur", Read, "Univ. of Georgia Extension, peach blog, February 2024: no oil within 14 days of sulfur; dormant mixes only where both labels allow";
    OIL_SULFUR_GROWTH = "oil-sulfur-growth", Read, "Montreal Botanical Garden (Espace pour la vie): 30 days between oil and lime sulfur in growth; mixed only while dormant";
    OIL_CAPTAN = "oil-captan", Derived, "Oil and captan: 10-12 days (OMAFRA 2006), 10 days (New England guide 1996-97), 4 days (Utah State Univ.); 14 taken as the safe reading";
    OIL_CHLOROTHALONIL = "oil-chlorothalonil", Read, "OMAFRA 2006: 10-12 days between oil and chlorothalonil";
    COPPER_SULFUR = "copper-sulfur", Read, "Oregon State Univ. Extension (Penhallegon): two weeks between copper and sulfur";
    UREA_APART = "urea-apart", Read, "Purdue Extension, Facts for Fancy Fruit 2018: from green tip on, urea a week apart from oil, copper, sulfur and captan";
    CAPTAN_ALKALINE = "captan-alkaline", Read, "Captan label: alkaline materials (lime, lime sulfur, Bordeaux) break captan; not with, just before or just after oil";
    LIME_SULFUR_MIX = "lime-sulfur-mix", Read, "General articles on lime sulfur: strongly alkaline, a concentrate of pH over 11.5; mixed with little else";
    LIME_SULFUR_ACID = "lime-sulfur-acid", Read, "General articles on lime sulfur: acids set free highly toxic hydrogen sulfide";
    COPPER_ACID = "copper-acid", Read, "Cornell, copper injury (July 2022), and Michigan State Univ. (2011): low pH dissolves more copper, which injures; no fixed copper with phosphorous acid products";
    COPPER_PH = "copper-ph", Read, "New England guide 1996-97 and Rosenberger (Cornell) 2013: copper hydroxide in water of pH 6.5 or more";
    COPPER_OIL = "copper-oil", Read, "Rosenberger (Cornell) 2013: copper and oil may be mixed on bare wood of apple, not after dormancy";
    COPPER_US_STONE = "copper-us-stone", Read, "US copper label, almond, apricot, cherry, plum, prune: 8.0 lb/acre metallic copper a dormant use, 18 lb/acre a year";
    COPPER_US_POME = "copper-us-pome", Read, "US copper label: apple 6.0 lb/acre metallic copper in fall or late dormancy, 16 lb/acre a year; quince 8.0 and 16";
    COPPER_EU = "copper-eu", Read, "Regulation (EU) 2018/1981: at most 28 kg/ha of metallic copper over seven years, 4 kg/ha a year on the mean; approval extended to 30 June 2029 (notice of August 2025)";
    COPPER_FORMULA = "copper-formula", Derived, "Share of copper by formula from standard atomic weights";
    OIL_SENSITIVE_LISTS = "oil-sensitive", Read, "Lists of oil-sensitive trees: Canadian Gardening and Chicago Botanic Garden";
    OIL_WALNUT = "oil-walnut", Read, "UC IPM, dormant or delayed-dormant treatments (2017): oils are not recommended on walnut in the dormant season; black walnut and butternut are listed as sensitive";
    OIL_APRICOT = "oil-apricot", Read, "UC IPM apricot, European fruit lecanium (10/14): some apricot cultivars are sensitive to dormant oil";
    OIL_SULFUR_WEST = "oil-sulfur-west", Read, "UC IPM, dormant or delayed-dormant treatments (2017): no oil within 30 days before or after sulfur and some other fungicides; 14 days by Univ. of Georgia 2024";
    CAPTAN_PH = "captan-ph", Read, "Kansas State Univ. (Upham), also in county columns: half of captan is gone in 8 h at pH 7, in 2 minutes at pH 10; Univ. of Florida PI193: water of pH 8 to 9 breaks what is sensitive down fast";
    CAPTAN_LIME_SULFUR = "captan-lime-sulfur", Practice, "Lime sulfur leaves alkaline wood, and alkali breaks captan: about a week between them";
    ORGANIC_US = "organic-us", Read, "7 CFR 205.601: what organic growers may use when prevention fails; the certifier's word is final";
    REENTRY_LONGEST = "reentry", Read, "40 CFR 170 (worker protection): of several products the longest re-entry interval rules";
    CALIBRATE = "calibrate", Read, "Univ. of New Hampshire Extension (Hamilton): calibrate at least at the start and in the middle of the season";
    NOZZLE_TEN = "nozzle-ten", Practice, "Replace nozzles more than a tenth off nominal";
    STOCK = "stock", Practice, "What is planned must be in the shed before its day";
    HOSE_END = "hose-end", Read, "Montana State Univ. MT200015AG (2022), calibrating home and garden sprayers, and general guides on hose-end sprayers: undiluted product in the bottle, a dial in ounces to the gallon";
    MIX_ORDER = "mix-order", Read, "Oklahoma State Univ. Extension: conditioners, dry products, suspensions, soluble liquids, emulsifiable concentrates, wetting agents; agitate throughout";
    MIX_FILL = "mix-fill", Read, "Oklahoma State Univ. Extension and country-guide articles: half to three quarters of the water first, agitation on";
    JAR_TEST = "jar-test", Read, "Univ. of Arizona Extension: scaled doses in a jar, shake, stand five minutes; flakes, sludge, gel, layers or oil beads mean no";
    OIL_AGITATE = "oil-agitate", Read, "Parker County (Texas) Master Gardeners: oil separates and burns unless agitated";
    OIL_WATER_MIN = "oil-water", Read, "Univ. of Vermont Extension: oil in at least 100 gal/acre of water";
    TRV_CORNELL = "trv", Read, "Cornell (Landers) and Penn State Tree Fruit Production Guide: tree-row volume, 0.7 to 1.0 gal of dilute spray per 1000 cu ft in leaf";
    TRV_BARE = "trv-bare", Read, "Univ. of Kentucky Extension, 23 January 2018: 0.5 gal per 1000 cu ft bare, 0.7 sparse, 1.0 dense";
    HAND_FACTOR = "hand-factor", Derived, "Hand wetting compared with tree-row volume: about twice as much";
    AREA_128 = "area-128", Read, "Mesa County (Colorado) handgun calibration and the 1/128-acre method: fluid ounces caught equal gallons an acre";
    REFILL = "refill", Read, "Virginia Tech 456-502: gallons used times 43,560 over square feet";
    BOOM_EQUATION = "boom", Read, "Albany County (Wyoming) calibration page: 5940 times gal/min over mph times inches";
    AIRBLAST_EQUATION = "airblast", Read, "Univ. of Massachusetts worksheet: gal/min both sides = gal/acre times mph times row spacing over 495";
    SPEED_EQUATION = "speed", Read, "Oklahoma State Univ. Extension: mph = feet times 60 over seconds times 88";
    HB44 = "hb44", Read, "NIST Handbook 44, appendix C";
    SHOT_HOLE = "shot-hole", Read, "Utah State Univ. IPM-007 (January 2011, 2020) and advisory 7 October 2016 and UC IPM Peach r602100711: shot hole copper at half leaf fall is the key spray";
    BACTERIAL_CANKER = "bacterial-canker", Read, "New England Tree Fruit Guide, Washington State Univ. and Oregon State Univ. (Johnson): autumn and pre-bud-break copper, resistant strains in western Oregon";
    BACTERIAL_SPOT = "bacterial-spot", Read, "Michigan State Univ. (Shane, 18 March 2018), Univ. of Delaware weekly crop update, West Virginia Univ.: overwinters in twigs; copper in early spring before bloom lowers it";
    CHERRY_LEAF_SPOT = "cherry-leaf-spot", Read, "PNW Handbook, Purdue plant doctor, Univ. of Kentucky PPFS-FR-T-06: overwinters on fallen leaves; rake them, 5 % urea after leaf fall";
    WALNUT_BLIGHT = "walnut-blight", Read, "UC IPM walnut blight: overwinters in dormant buds; first spray at 30-40 % of catkins or of buds at the 'prayer' stage, again after 7-10 days";
    SPURS_ON_PLUM = "spurs-on-plum", Read, "UC IPM dormant spur sample: 4 of the first 20 spurs; UC IPM plum, European fruit lecanium: 25 % of spurs";
    GRAPE_DORMANT = "grape-dormant", Read, "Michigan State Univ. Extension, dormant sprays in grapes (Schilder): lime sulfur, copper or sulfur at bud swell against Phomopsis, black rot, anthracnose, powdery mildew; Univ. of Vermont 15 April 2016";
    GRAPE_SCALE = "grape-scale", Read, "PNW Handbook, cottony grape scale: dormant horticultural oil; Univ. of Missouri 2022: grape scale winters under the bark";
    CURRANT_LEAF_SPOT = "currant-leaf-spot", Read, "British Columbia berry production guide, currants and gooseberries (3 May 2021): overwinters on dead leaves; rake, post-harvest sprays may help";
    GOOSEBERRY_MILDEW = "gooseberry-mildew", Read, "Oregon Agricultural Experiment Station circular 162 (1936): lime sulfur late dormant, just before buds open";
    MUMMY_BERRY = "mummy-berry", Read, "Univ. of Maryland Extension, blueberry problems, and Ohio State home fruit guide: rake or cover mummies before buds break, cut blighted and scaly twigs";
    FIG_SCALE = "fig-scale", Read, "UC IPM fig, fig scale (7/06, 1/09): narrow-range oil in the dormant season";
    PERSIMMON_SCALE = "persimmon-scale", Read, "Univ. of Florida IFAS, Nassau County, 7 November 2017: white peach and greedy scale; dormant oil in cool weather";
    ROSE_BLACK_SPOT = "rose-black-spot", Read, "Univ. of Illinois and Univ. of Nebraska G1060 (2007): overwinters on fallen leaves and cane lesions, clean up before bud break; dormant lime sulfur is garden practice (nursery guides)";
    ORNAMENTAL_OIL = "ornamental-oil", Read, "Univ. of Delaware Kent Cooperative Extension 2008 and county extension columns: dormant oil on trees and shrubs before bud break, not on sensitive kinds";
    SPUR_BLIGHT = "spur-blight", Read, "Univ. of Illinois RPD 709 (2000), Purdue fruit news (anthracnose of brambles): lime sulfur or copper when shoots are half to three quarters of an inch";
    BROWN_ROT = "brown-rot", Read, "UC IPM plum treatment timing (Adaskaveg et al. 2022): a dormant spray rates 0 against brown rot";
    APPLE_SCAB = "apple-scab", Read, "NIAB, Purdue 2018, UMass 2009, Virginia Tech 2023: urea and leaf shredding in autumn, copper from silver tip to green tip";
    MARSSONINA = "marssonina", Read, "Virginia Tech Tree Fruit Pathology, 15 November 2023: urea or lime on leaf litter";
    FIRE_BLIGHT = "fire-blight", Read, "Virginia Tech apple dormant guide and Rosenberger (Cornell) 2013: copper silver tip to green tip, stop at half-inch green";
    NO_DORMANT = "no-dormant", Read, "Utah State Univ. Fruit IPM advisory 24 March 2025: dormant oil does not control codling moth, summer mites, borers, fruit fly or powdery mildew";
    POWDERY_MILDEW = "powdery-mildew", Read, "NIAB; OMAFRA 22 April 2016; Utah State Univ. 2025: prune out, no dormant oil";
    ANTHRACNOSE = "anthracnose", Read, "PNW Handbook 2024; HortTechnology 28:728 and 29:35: sprays not reliably effective against apple anthracnose";
    NECTRIA = "nectria", Read, "UC IPM European canker; NIAB; CABI 2021 review: copper at early and at three-quarter leaf fall, none after bud burst";
    PEAR_SCAB = "pear-scab", Read, "UC IPM pear scab; PNW Handbook 2024: lime sulfur at delayed dormant";
    BLOSSOM_BLAST = "blossom-blast", Read, "US copper label: before autumn rain and again before spring growth";
    BLACK_KNOT = "black-knot", Read, "Agriculture and Agri-Food Canada and others: cut 8-10 cm below the knot, lime sulfur as buds break";
    PLUM_POCKETS = "plum-pockets", Read, "Agriculture and Agri-Food Canada: one spray just before buds open";
    FUNGAL_CANKER = "fungal-canker", Read, "UC Master Gardeners 2023 and PNW Handbook: prune apricot and cherry in July-August, not in winter";
    SAN_JOSE_SCALE = "san-jose-scale", Read, "UC IPM dormant spur sample (r606900511, almond: the dormant season is also the preferred timing), PNW Handbook 7567, Univ. of Georgia 2024, PoMA 2021";
    LECANIUM = "lecanium", Read, "UC IPM prune r606900511, apricot r5300811 (10/14), plum r611302211, cherry, nectarine: dormant or delayed dormant oil; peach as nectarine, which is one species with it; the last stage is our inference";
    OYSTERSHELL = "oystershell", Read, "Montana State Univ. fact sheet and older manuals: eggs winter under the parent scale; dormant oil before bud break, crawlers in late May followed up";
    WHITE_PEACH_SCALE = "white-peach-scale", Read, "Michigan State Univ. and Virginia Tech: winters as a mated female under its scale; dormant oil just before dormancy breaks";
    RED_MITE = "red-mite", Read, "Cornell (Agnello) via Penn State 2011, New England guide, UC IPM apple: oil to tight cluster, coverage drops once hatch starts";
    BROWN_MITE = "brown-mite", Read, "UC IPM almond dormant spur sample; windows beyond 'dormant treatment' are our inference";
    BLISTER_MITE = "blister-mite", Read, "UC IPM pear; Utah State Univ. 7 October 2016: oil or sulfur before leaf drop, any mites found = treat";
    RUST_MITE = "rust-mite", Read, "UC IPM pear rust mite: best after harvest, delayed dormant suppresses";
    ROSY_APHID = "rosy-aphid", Read, "UC IPM apple; Utah State Univ. ENT-143; NIAB: oil weak on tight eggs, half-inch green";
    PLUM_APHID = "plum-aphid", Read, "UC Sac Valley Orchards and UC IPM prune: early November, or dormant; one egg in 100 spurs";
    CHERRY_APHID = "cherry-aphid", Read, "Utah State Univ. advisories 2016, 2021, 2025: oil from bud swell to pre-bloom";
    PSYLLA = "psylla", Read, "UC ANR 3340; PoMA 2016; Washington State Univ. psylla model and 31 January 2024 (particle film with oil from late dormancy): oil before egg laying, beat tray counts";
    MEALYBUG = "mealybug", Read, "PNW Handbook; WSU (Burts and Dunley); UC IPM pear: from bud swell when crawlers leave their sacs";
    LEAFROLLER = "leafroller", Read, "UC IPM pear r603300411, plum, apricot: dormant oil kills fruittree leafroller eggs well";
    TENT_CATERPILLAR = "tent-caterpillar", Read, "Univ. of Delaware Kent Cooperative Extension 2008: oil works on eggs that winter on the plant";
    TWIG_BORER = "twig-borer", Read, "UC IPM apricot, peach, plum: oil alone is weak; bloom-time Bacillus thuringiensis preferred";
    ALMOND_SCAB = "almond-scab", Read, "UC IPM almond twig sample: delayed dormant; actives from memory";
    WOOLLY_APHID = "woolly-aphid", Read, "Utah State Univ. ENT-143 2010: woolly apple aphid is not controlled by dormant oil alone";
    MOSS = "moss", Read, "Oregon State Univ. Ask Extension 735101 (2020) and others: moss and lichen do not harm the tree; copper or lime sulfur reduces them";
    CURL_RAIN = "curl-rain", Read, "Rossi and others 2006, Phytopathology 96:155-168, and Giosuè and others 2000 (abstracts): 3 mm of rain, wet for 12.5 h, colder than 16 C while wet, from the first leaf tips on";
    SCAB_SPORES = "scab-spores", Read, "Rossi, Giosuè and Bugiani 2007, EPPO Bulletin 37:300-308: spores of apple scab ripen on wet mild days from 1 February";
    RED_MITE_HATCH = "red-mite-hatch", Read, "Broufas and Koveos 2000: half of the winter eggs hatched at 154.6 degree days above 7.4 C from 10 February; 3.7 days off in five springs; by the field mean of 129.4 earlier";
    SAN_JOSE_DAYS = "san-jose-days", Read, "Rice and others 1982: above 51 F, below 90 F, traps out at 200 degree days F after 1 January, crawlers 405 after the first male";
    SPUR_SAMPLE = "spur-sample", Read, "UC IPM dormant spur sample: 0 of the first 20 spurs = none, 1-3 = look at 20 more, 4 or more = treat";
    PSYLLA_TRAY = "psylla-tray", Read, "UC ANR 3340: fewer than 1 adult per 100 beats before egg laying";
    EGG_100 = "egg-100", Read, "UC Sac Valley Orchards: one aphid egg in 100 spurs triggers treatment";
    ANY_FOUND = "any-found", Read, "UC IPM pear: any blister mites found = treat";
    MID_WINTER = "mid-winter", Read, "Washington State Univ. via Columbian 3 March 2011: sprays about three weeks apart before buds open; a mid-winter one is for wet districts";
    CANE = "cane", Read, "Purdue fruit news, Ohio State Univ. (Wayne County) 23 February 2017 and BC Berry Production Guide 2021: lime sulfur when cane bud tips show green";
    TAPHRINA_MUME = "taphrina-mume", Memory, "Leaf curl on flowering apricot, by analogy with peach leaf curl";
    SAME_DAY = "same-day", Memory, "Spray a mix the day it is made";
    CAUTIONS = "cautions", Practice, "The usual cautions of the trade; the label decides";
    LABEL_WORDS_US = "label-words", Read, "40 CFR 156.64: DANGER, WARNING, CAUTION";
    OIL_RATES = "oil-rates", Read, "Oil rates: Univ. of Vermont, Cornell (Agnello), Ohio State (Wayne County) 2017, Utah State 2016 and 2021: 2 % v/v dormant, 2-3 % on apple";
    UREA_RATE = "urea-rate", Read, "NIAB: 5 % urea on leaves after harvest; Purdue 2018: 42-44 lb in 100 gal an acre on litter";
    COPPER_LABEL_MCE = "copper-mce", Read, "US label of a 77 % copper hydroxide product: 50 % metallic copper equivalent";
    RECORD_US = "record-us", Read, "7 CFR part 110 was rescinded, final rule of 12 May 2025, FR Doc. 2025-08220, effective 11 July 2025 (two pages on it read, not the Register): the federal rule ended, your state or tribe decides; keep at least product, registration number, total, place, size, crop, day, who and certificate";
    RECORD_US_WORKERS = "record-us-workers", Memory, "40 CFR 170.311 (Worker Protection Standard: information displayed after an application; the older section 170.122 was read)";
    RECORD_EU = "record-eu", Read, "Regulation (EC) 1107/2009, article 67, and Implementing Regulation (EU) 2023/564: electronic from 1 January 2026, members may defer to 1 January 2027; EPPO code, geodata, BBCH stage where the approval limits it (its article 1 and pages on it read, the annex not)";
    RECORD_GB = "record-gb", Memory, "Regulation (EC) 1107/2009, article 67(1), as kept in Great Britain: product, time and dose, area, crop";
    RECORD_NSW = "record-nsw", Read, "New South Wales, Pesticides Regulation 2017, clause 36: product, date, crop, rate and quantity, address and area, who with contact, wind speed and direction, other weather that the label names";
    RECORD_WA = "record-wa", Read, "Western Australia, Agricultural Chemical Record Keeping Regulations 2020: within 7 days, kept 2 years; date and time, owner and user, place, product, method, rate, crop";
    RECORD_AU = "record-au", Memory, "Records of chemical use under the law of an Australian state; Queensland: within 2 days, kept 2 years (read), the elements from memory";
    RECORD_NZ = "record-nz", Memory, "New Zealand, NZS 8409 management of agrichemicals: records of each application";
    RECORD_CA = "record-ca", Memory, "Canada: provincial rules on records of pesticide use differ";
    RECORD_PRACTICE = "record-practice", Practice, "Conditions and gear are commonly noted, and some states ask for them";
    SCOUT_EGGS = "scout-eggs", Practice, "Winter eggs are looked for on the spur sample; oil is preferred where they are seen";
    BBCH_HALF = "bbch-half", Practice, "A stage of the BBCH scale counts as reached on a block once about half of its buds show it";
    FIRST_FEW = "first-few", Practice, "Where the first few buds show a stage, half of them do within a week";
    SCOUT_BUDS = "scout-buds", Practice, "Buds are looked at weekly near swelling, and noted on the BBCH scale";
    SCOUT_WINTER = "scout-winter", Read, "UC IPM pear, year-round list: look for egg masses, scale, mummies and cankers while pruning";
    LEAF_DROP_LOOK = "leaf-drop-look", Practice, "The dormant year hangs on the day the leaves are down; it is noted when seen";
}
