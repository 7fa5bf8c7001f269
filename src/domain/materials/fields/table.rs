//! The fields themselves, in the order a label is read: what it is, how sure
//! its registration is, how to protect people, on what and how much, when,
//! in which weather, with what, and what the grower confirms.

use super::{LabelField, parse};

pub(super) static FIELDS: &[LabelField] = &[
    LabelField {
        key: "name",
        title: "Product",
        meaning: "What you call it: a generic name.",
        example: "dormant oil",
        get: |m| m.name.clone(),
        set: |m, t| {
            m.name = parse::words(t, "dormant oil")?;
            Ok(())
        },
    },
    LabelField {
        key: "active",
        title: "Active",
        meaning: "The active ingredient named on the front.",
        example: "horticultural oil",
        get: |m| m.active.clone(),
        set: |m, t| {
            m.active = parse::words(t, "horticultural oil")?;
            Ok(())
        },
    },
    LabelField {
        key: "active_share",
        title: "Share of active",
        meaning: "Active in the product, by mass, as printed under the ingredients.",
        example: "77 %",
        get: |m| parse::show(m.active_share),
        set: |m, t| {
            m.active_share = parse::quantity(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "metallic_copper",
        title: "Metallic copper",
        meaning: "Metallic copper equivalent, printed in brackets under the ingredients.",
        example: "50 %",
        get: |m| parse::show(m.metallic_copper),
        set: |m, t| {
            m.metallic_copper = parse::quantity(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "formulation",
        title: "Form",
        meaning: "The form it is sold in: powder, granule, suspension, liquid, concentrate. It sets the mixing order.",
        example: "WP",
        get: |m| parse::show_form(m.formulation),
        set: |m, t| {
            m.formulation = parse::formulation(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "density_kg_per_l",
        title: "Density",
        meaning: "Kilograms a litre, for liquids; needed to reckon copper or to compare weight with volume.",
        example: "0.87",
        get: |m| parse::show(m.density_kg_per_l),
        set: |m, t| {
            m.density_kg_per_l = parse::number(t, (0.1, 5.0), "0.87")?;
            Ok(())
        },
    },
    LabelField {
        key: "registration",
        title: "Registration number",
        meaning: "The number under which it is registered here.",
        example: "0000-00",
        get: |m| parse::show(m.registration.as_deref()),
        set: |m, t| {
            m.registration = parse::optional_words(t);
            Ok(())
        },
    },
    LabelField {
        key: "expires",
        title: "May be used until",
        meaning: "Last day the product or its registration may be used.",
        example: "2027-12-31",
        get: |m| parse::show(m.label.expires),
        set: |m, t| {
            m.label.expires = parse::date(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "gear",
        title: "Protective gear",
        meaning: "What to wear when mixing and spraying, piece by piece.",
        example: "gloves, goggles, long sleeves, boots",
        get: |m| m.label.gear.join(", "),
        set: |m, t| {
            m.label.gear = parse::list(t);
            Ok(())
        },
    },
    LabelField {
        key: "reentry",
        title: "Re-entry",
        meaning: "When people may go back in: hours, or until dry.",
        example: "24 h",
        get: |m| parse::show_reentry(m.label.reentry),
        set: |m, t| {
            m.label.reentry = parse::reentry(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "crops",
        title: "Crops",
        meaning: "The crops it may be used on. Yours must be among them.",
        example: "peach, nectarine, apple",
        get: |m| m.label.crops.join(", "),
        set: |m, t| {
            m.label.crops = parse::list(t);
            Ok(())
        },
    },
    LabelField {
        key: "targets",
        title: "Targets",
        meaning: "What it is labelled against.",
        example: "leaf curl, shot hole",
        get: |m| m.label.targets.join(", "),
        set: |m, t| {
            m.label.targets = parse::list(t);
            Ok(())
        },
    },
    LabelField {
        key: "rate_min",
        title: "Lowest rate",
        meaning: "The lowest rate for your crop when dormant.",
        example: "1 % v/v",
        get: |m| parse::show(m.label.rate_min),
        set: |m, t| {
            m.label.rate_min = parse::quantity(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "rate",
        title: "Your rate",
        meaning: "The rate you use unless a task says otherwise.",
        example: "2 % v/v",
        get: |m| parse::show(m.label.rate),
        set: |m, t| {
            m.label.rate = parse::quantity(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "rate_max",
        title: "Highest rate",
        meaning: "The highest rate for your crop when dormant. Nothing is ever mixed above it.",
        example: "3 % v/v",
        get: |m| parse::show(m.label.rate_max),
        set: |m, t| {
            m.label.rate_max = parse::quantity(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "interval",
        title: "Shortest interval",
        meaning: "Days or hours between two uses.",
        example: "7 d",
        get: |m| parse::show(m.label.interval),
        set: |m, t| {
            m.label.interval = parse::quantity(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "max_uses",
        title: "Most uses in a season",
        meaning: "How often it may be used in a season.",
        example: "3",
        get: |m| parse::show(m.label.max_uses),
        set: |m, t| {
            m.label.max_uses = parse::whole(t, "3")?;
            Ok(())
        },
    },
    LabelField {
        key: "max_per_season",
        title: "Most product in a season",
        meaning: "How much product ground or tree may get in a season.",
        example: "40 lb/acre",
        get: |m| parse::show(m.label.max_per_season),
        set: |m, t| {
            m.label.max_per_season = parse::quantity(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "max_copper_per_use",
        title: "Most copper in one use",
        meaning: "Metallic copper, mass per area, in one use.",
        example: "8 lb/acre",
        get: |m| parse::show(m.label.max_copper_per_use),
        set: |m, t| {
            m.label.max_copper_per_use = parse::quantity(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "max_copper_per_season",
        title: "Most copper in a season",
        meaning: "Metallic copper, mass per area, in a season.",
        example: "18 lb/acre",
        get: |m| parse::show(m.label.max_copper_per_season),
        set: |m, t| {
            m.label.max_copper_per_season = parse::quantity(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "first_stage",
        title: "First stage in autumn",
        meaning: "BBCH stage from which it may be used: 95 is half of the leaves down, 97 all.",
        example: "95",
        get: |m| parse::show(m.label.first_stage),
        set: |m, t| {
            m.label.first_stage = parse::stage(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "last_stage",
        title: "Last stage in spring",
        meaning: "BBCH stage by which it must be over: 51 swelling, 53 green tip, 54 half-inch green, 57 pink.",
        example: "54",
        get: |m| parse::show(m.label.last_stage),
        set: |m, t| {
            m.label.last_stage = parse::stage(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "last_stage_by_crop",
        title: "Last stage by crop",
        meaning: "The same, where crops differ.",
        example: "apple 54, peach 51",
        get: |m| parse::show_stages(&m.label.last_stage_by_crop),
        set: |m, t| {
            m.label.last_stage_by_crop = parse::stages_by_crop(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "temp_min",
        title: "Coldest",
        meaning: "Coldest air to spray in.",
        example: "40 F",
        get: |m| parse::show(m.label.temp_min),
        set: |m, t| {
            m.label.temp_min = parse::quantity(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "temp_max",
        title: "Warmest",
        meaning: "Warmest air to spray in.",
        example: "90 F",
        get: |m| parse::show(m.label.temp_max),
        set: |m, t| {
            m.label.temp_max = parse::quantity(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "frost_free_before",
        title: "No frost before",
        meaning: "Hours without frost before spraying.",
        example: "24 h",
        get: |m| parse::show(m.label.frost_free_before),
        set: |m, t| {
            m.label.frost_free_before = parse::quantity(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "frost_free_after",
        title: "No frost after",
        meaning: "Hours without frost after spraying.",
        example: "24 h",
        get: |m| parse::show(m.label.frost_free_after),
        set: |m, t| {
            m.label.frost_free_after = parse::quantity(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "dry_before",
        title: "No rain before",
        meaning: "Hours without rain before spraying.",
        example: "24 h",
        get: |m| parse::show(m.label.dry_before),
        set: |m, t| {
            m.label.dry_before = parse::quantity(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "dry_after",
        title: "No rain after",
        meaning: "Hours without rain after spraying.",
        example: "24 h",
        get: |m| parse::show(m.label.dry_after),
        set: |m, t| {
            m.label.dry_after = parse::quantity(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "wind_min",
        title: "Least wind",
        meaning: "Dead calm can mean still air that carries drift far.",
        example: "2 mph",
        get: |m| parse::show(m.label.wind_min),
        set: |m, t| {
            m.label.wind_min = parse::quantity(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "wind_max",
        title: "Most wind",
        meaning: "Wind above which it must not be sprayed.",
        example: "10 mph",
        get: |m| parse::show(m.label.wind_max),
        set: |m, t| {
            m.label.wind_max = parse::quantity(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "never_with",
        title: "Never mix with",
        meaning: "Actives that must not share its tank.",
        example: "captan, sulfur",
        get: |m| m.label.never_with.join(", "),
        set: |m, t| {
            m.label.never_with = parse::list(t);
            Ok(())
        },
    },
    LabelField {
        key: "keep_apart",
        title: "Keep apart from",
        meaning: "Days before and after another active.",
        example: "captan 14 d, sulfur 14 d",
        get: |m| parse::show_apart(&m.label.keep_apart),
        set: |m, t| {
            m.label.keep_apart = parse::keep_apart(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "water_ph_min",
        title: "Lowest water pH",
        meaning: "Least pH of the spray water.",
        example: "6.5",
        get: |m| parse::show(m.label.water_ph_min),
        set: |m, t| {
            m.label.water_ph_min = parse::number(t, (0.0, 14.0), "6.5")?;
            Ok(())
        },
    },
    LabelField {
        key: "water_ph_max",
        title: "Highest water pH",
        meaning: "Most pH of the spray water.",
        example: "8.5",
        get: |m| parse::show(m.label.water_ph_max),
        set: |m, t| {
            m.label.water_ph_max = parse::number(t, (0.0, 14.0), "8.5")?;
            Ok(())
        },
    },
    LabelField {
        key: "organic",
        title: "Organic rules",
        meaning: "Allowed, restricted, not, or unknown; your certifier's word is final.",
        example: "restricted",
        get: |m| parse::show_organic(m.label.organic),
        set: |m, t| {
            m.label.organic = parse::organic(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "notes",
        title: "Other words",
        meaning: "Anything else on the label worth keeping in sight.",
        example: "keep off masonry and galvanised metal",
        get: |m| parse::show(m.label.notes.as_deref()),
        set: |m, t| {
            m.label.notes = parse::optional_words(t);
            Ok(())
        },
    },
    LabelField {
        key: "generic",
        title: "Still a starting point",
        meaning: "Yes while the entries come from the program; no once you have held them against your own label.",
        example: "yes",
        get: |m| if m.label.generic { "yes" } else { "no" }.to_owned(),
        set: |m, t| {
            m.label.generic = parse::yes_no(t)?;
            Ok(())
        },
    },
    LabelField {
        key: "read_on",
        title: "Label read on",
        meaning: "The day you read the label this season.",
        example: "2026-11-25",
        get: |m| parse::show(m.label.read_on),
        set: |m, t| {
            m.label.read_on = parse::date(t)?;
            Ok(())
        },
    },
];
