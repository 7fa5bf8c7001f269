//! What is wrong and what to do, in one line each: for a card of 71 columns.
//!
//! A warning's own message, numbers and source are the whole story; these are what a board or a
//! printed page has room for. One entry a rule; the first way of saying it whose blanks can be
//! filled and that fits is taken, and the last one has no blanks and always fits.

use super::{Level, Warning};
use crate::domain::season::Season;
use crate::domain::targets;
use chrono::NaiveDate;
use std::borrow::Cow;
use unicode_width::UnicodeWidthStr as _;

/// The columns a short form may take.
pub const ROOM: usize = 71;
/// The columns a tag may take.
pub const TAG_ROOM: usize = 14;

/// The short forms of one rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Short {
    /// The rule's id.
    pub rule: &'static str,
    /// Two or three words for a column.
    pub tag: &'static str,
    /// What is wrong, the fullest way first. Blanks: `{message}`, `{material}`, `{block}`,
    /// `{target}`, `{day}`, `{safe}`.
    pub wrong: &'static [&'static str],
    /// What to do.
    pub cure: &'static str,
}

const fn short(
    rule: &'static str,
    tag: &'static str,
    wrong: &'static [&'static str],
    cure: &'static str,
) -> Short {
    Short {
        rule,
        tag,
        wrong,
        cure,
    }
}

/// Every rule's short forms.
#[rustfmt::skip]
pub static SHORT: &[Short] = &[
    short("many-sprays", "many sprays",
        &["More than three dormant sprays are planned on {block}.", "More than three dormant sprays are planned on a block."],
        "Two do on most blocks: skip what nothing was seen for."),
    short("no-estimate", "no estimate",
        &["No estimate for the kind of tree on {block}: look at the buds.", "No estimate for this kind of tree: look at the buds."],
        "Look at the buds each week, and add what you see."),
    short("active-not-known", "not checked",
        &["{material} is of no kind known here: nothing was checked by it.", "An active is of no kind known here: nothing was checked by it."],
        "Enter its active as the label names it."),
    short("unit-in-doubt", "which unit?",
        &["Two measures share a unit on {material}: say which one.", "A unit here stands for two measures: say which one."],
        "Write the unit in full, as the label does."),
    short("oil-before-hardening", "too early",
        &["Too early on {block}: oil within days of leaf drop.", "Too early: oil within days of leaf drop, before trees harden."],
        "Move it until the trees have hardened."),
    short("oil-on-dry-trees", "dry trees",
        &["Oil on {block}, whose trees are short of water.", "Oil on trees that are short of water."],
        "Water the trees first, or wait for rain."),
    short("copper-before-frost", "frost",
        &["Copper on green tissue on {block}, and frost is near.", "Copper on green tissue, and frost is near."],
        "Wait until no frost is forecast for some days."),
    short("open-flowers", "flowers",
        &["Flowers are open on {block} or beside it.", "Flowers are open here or beside it."],
        "Do not spray open flowers: wait, or look again and add the look."),
    short("winter-pruning", "pruning",
        &["{block} is pruned in the wet season.", "Apricot or cherry is pruned in the wet season."],
        "Prune in dry summer weather instead."),
    short("signs-wanted", "signs",
        &["People must keep out for more than two days.", "People must keep out for more than two days."],
        "Put up signs, and tell whoever may come by."),
    short("water-or-people-near", "keep clear",
        &["Notes name water or people beside {block}.", "Notes name water or people beside this spray."],
        "Keep the label's distance; spray away from them."),
    short("advice-differs-here", "advice differs",
        &["This region's pages do not advise this spray.", "This region's pages do not advise this spray."],
        "Read them, and decide with a local adviser."),
    short("too-close-to-swell", "too late",
        &["Too late on {block}: planned {day}, last safe day {safe}.", "Too late on {block}: the last safe day is {safe}.", "Too late: it comes after the last safe day."],
        "Spray by the last safe day, or look at the buds and add the look."),
    short("past-stage-limit", "stage passed",
        &["Too late on {block}: planned {day}, the last stage may have passed.", "Too late on {block}: the last stage may have passed.", "Too late: the last stage for it may have passed."],
        "Spray earlier, or look at the buds and add the look."),
    short("too-early", "too early",
        &["Too early on {block}: planned {day}, before it works.", "Too early: it is planned before the stage in which it works."],
        "Move it later, into the weeks in which it works."),
    short("no-day-left", "no day left",
        &["No day is left on {block}: it opens after the last safe day.", "No day is left: it opens only after the last safe day."],
        "Skip it here, or use another material against the same target."),
    short("starts-too-late", "starts late",
        &["Days of work: begun {day} it would end after {safe}.", "Days of work: begun then, it would end after the last safe day."],
        "Begin earlier, or share it: a second sprayer, or longer days."),
    short("before-leaf-drop", "leaves on",
        &["Too early on {block}: planned {day}, before leaf drop.", "Too early on {block}: before leaf drop.", "Too early: it is planned before leaf drop."],
        "Move it to the day of leaf drop or later, or add the day of leaf drop."),
    short("interval-too-short", "too soon",
        &["Too soon: {material} on {block} again within its interval.", "Too soon on {block}: within the label's minimum interval.", "Too soon: within the label's minimum interval."],
        "Move the later use until the minimum interval is over."),
    short("too-many-uses", "used too often",
        &["One use too many of {material} on {block}.", "One use too many on {block} by the label.", "One use too many by the label."],
        "Skip one use, or use another material against the same target."),
    short("too-much-product", "too much",
        &["Over the season's limit of {material} on {block}.", "Over the label's limit for a season on {block}.", "Over the label's limit for a season."],
        "Lower the rate, skip one use, or use another material."),
    short("copper-per-use", "copper limit",
        &["Too much metallic copper in one use on {block}.", "Too much metallic copper in one use."],
        "Lower the rate."),
    short("copper-per-season", "copper limit",
        &["Metallic copper on {block} at or over the season's limit.", "Metallic copper at or over the season's limit."],
        "Plan no further copper here: lower a rate or skip one use."),
    short("copper-seven-years", "copper limit",
        &["Metallic copper on {block} at or over the limit of seven years.", "Metallic copper at or over the limit of seven years."],
        "Lower the rate or skip one use; another active has no copper."),
    short("temperature-out-of-range", "cold or warm",
        &["{message}.", "Too cold or too warm in the hours of {day}.", "Too cold or too warm in the planned hours."],
        "Move it into fit hours."),
    short("frost-before-or-after", "frost",
        &["{message}.", "Frost too near {day}.", "Frost too near the planned hours."],
        "Move it into fit hours."),
    short("rain-before-dry", "rain",
        &["{message}.", "Rain on {day} or too near it.", "Rain before it is dry, or on bark that is still wet."],
        "Move it into fit hours."),
    short("wind-or-layered-air", "wind",
        &["{message}.", "Wind, gusts or an inversion on {day}.", "Wind, gusts or an inversion in the planned hours."],
        "Move it into fit hours."),
    short("wet-or-frozen-trees", "wet or frozen",
        &["{message}.", "The trees are wet or frozen on {day}.", "The trees are wet or frozen in the planned hours."],
        "Move it into fit hours, and look at the bark before you go."),
    short("washed-off", "washed off",
        &["{message}.", "Rain since may have washed it off {block}.", "Rain since may have washed it off."],
        "Look at the trees; spray again where the label allows it."),
    short("keep-apart", "keep apart",
        &["Too soon after another material on {block}.", "Too soon after a material it must keep apart from."],
        "Move the later one until the days between are over."),
    short("partners-do-not-mix", "must not mix",
        &["{message}.", "Two materials of this tank must not mix.", "Two materials of this tank must not mix."],
        "Spray them apart, with the days between that both labels ask for."),
    short("too-many-partners", "many partners",
        &["{message}.", "More than three materials in one tank."],
        "Split the task, or skip one of them."),
    short("water-ph", "water pH",
        &["The water does not suit {material}.", "The pH of the water does not suit a material."],
        "Use other water, or correct it before the product goes in."),
    short("crop-not-on-label", "label",
        &["{message}.", "The label of {material} does not name this crop.", "A label does not name this kind of tree."],
        "Use a product whose label names this crop; another is unlawful."),
    short("rate-off-label", "rate",
        &["{message}.", "The rate of {material} is not the label's.", "A rate is missing or not the label's."],
        "Use a rate that the label allows."),
    short("label-not-read", "read label",
        &["{message}.", "You have not read the label of {material} this season.", "You have not read a label this season."],
        "Read it, correct what differs here, and add the day."),
    short("label-is-generic", "not your label",
        &["{material}: example values, not your product's label.", "Example values, not your product's label."],
        "Use the product's own label: go through the fields and confirm them."),
    short("label-expired", "expired",
        &["{message}.", "{material} may no longer be used.", "A product may no longer be used on that day."],
        "Use another product; the law says how to dispose of the rest."),
    short("label-incomplete", "label blanks",
        &["{message}.", "The label of {material} has blanks: not checked.", "A label has blanks, so it was not checked."],
        "Fill them in from the label."),
    short("oil-sensitive", "oil harms",
        &["{message}.", "Oil may harm {block}.", "Oil may harm these trees."],
        "Skip the oil here, or ask your adviser."),
    short("organic-block", "organic",
        &["{message}.", "{material} on an organic block.", "A material that is not plainly permitted on an organic block."],
        "Ask your certifier before you buy or spray."),
    short("wrong-active", "wrong material",
        &["Nothing in the tank works on {target}.", "Nothing in the tank works on its target."],
        "Add or change a material, or remove the target."),
    short("not-controllable", "no control",
        &["A dormant spray does not control {target}.", "A dormant spray does not control its target."],
        "Remove the target from the task."),
    short("target-uncovered", "not covered",
        &["{message}.", "{target} on {block}: nothing effective is planned.", "Something seen has no effective spray planned."],
        "Plan a spray that works, or mute this with your reason."),
    short("reentry-clash", "keep-out",
        &["Other work on {block} while people must keep out.", "Other work while people must keep out."],
        "Do that work before the spray, or after the keep-out has ended."),
    short("sprayer-twice", "sprayer busy",
        &["{message}.", "Its sprayer is still at another spray."],
        "Begin later, take another sprayer, or take the run sheet over."),
    short("stock-short", "short",
        &["{message}.", "Not enough {material} in stock.", "Not enough in stock."],
        "Buy more, or count the stock again."),
    short("sprayer-not-calibrated", "not calibrated",
        &["{message}.", "The sprayer is not calibrated this season."],
        "Catch and measure its output with plain water before the first spray."),
    short("nozzle-worn", "worn nozzle",
        &["{message}.", "A nozzle is worn."],
        "Replace it and measure again."),
    short("overdue", "late",
        &["Late: planned {day}.", "Late: its day has passed."],
        "Move it, finish it or skip it."),
    short("critical-lane-empty", "none planned",
        &["{message}.", "No spray before swell is planned for {block}.", "No spray before swell is planned."],
        "Plan one, or mute this if nothing overwintered here."),
    short("spray-without-material", "no material",
        &["No material is chosen, so nothing was checked."],
        "Choose what goes into the tank."),
];

/// The short forms of a rule.
pub fn of(rule: &str) -> Option<&'static Short> {
    SHORT.iter().find(|s| s.rule == rule)
}

/// What a warning is about, for a column of 14.
pub fn tag(warning: &Warning) -> &'static str {
    of(warning.rule).map_or("see details", |s| s.tag)
}

/// What to do, in one line.
pub fn cure(warning: &Warning) -> &'static str {
    of(warning.rule).map_or("See the details.", |s| s.cure)
}

/// The message without the source in brackets behind it, beginning with a capital.
fn bare(message: &str) -> String {
    let text = match message.split_once(" (") {
        Some((before, source)) if source.ends_with(')') && source.len() > 28 => before,
        _ => message,
    };
    super::words::capital(text.trim_end_matches('.'))
}

/// What is wrong, in at most so many columns where there is a way to say it in them.
pub fn wrong(
    warning: &Warning,
    season: &Season,
    safe: Option<NaiveDate>,
    columns: usize,
) -> String {
    let ways = of(warning.rule).map_or(&["{message}."][..], |s| s.wrong);
    let day = |d: NaiveDate| d.format("%a %-d %b").to_string();
    let blank = |name: &str| -> Option<Cow<'_, str>> {
        match name {
            "message" => Some(bare(&warning.message).into()),
            "material" => {
                let id = warning.material.as_ref()?;
                Some(season.material(id)?.name.as_str().into())
            }
            "block" => {
                let id = warning.block.as_ref()?;
                Some(season.block(id)?.name.as_str().into())
            }
            "target" => {
                let view = targets::find(season, warning.target.as_ref()?)?;
                Some(view.name().to_owned().into())
            }
            "day" => {
                let id = warning.task.as_ref()?;
                Some(day(season.task(id)?.date).into())
            }
            "safe" => Some(day(safe?).into()),
            _ => None,
        }
    };
    let fill = |way: &str| -> Option<String> {
        let mut out = String::new();
        let mut rest = way;
        while let Some((before, after)) = rest.split_once('{') {
            let (name, after) = after.split_once('}')?;
            out.push_str(before);
            out.push_str(&blank(name)?);
            rest = after;
        }
        out.push_str(rest);
        Some(out)
    };
    let fits = |text: &String| text.width() <= columns;
    ways.iter()
        .filter_map(|way| fill(way))
        .find(fits)
        .or_else(|| ways.last().map(|w| (*w).to_owned()))
        .unwrap_or_default()
}

/// The word of a level as a badge shows it.
pub fn level(level: Level) -> &'static str {
    match level {
        Level::Stop => "STOP",
        Level::Caution => "caution",
        Level::Note => "note",
    }
}

#[cfg(test)]
mod tests {
    use super::super::RULES;
    use super::*;

    #[test]
    fn every_rule_has_its_short_forms_and_they_fit() {
        for rule in RULES {
            let entries = SHORT.iter().filter(|s| s.rule == rule.id).count();
            assert_eq!(entries, 1, "{}", rule.id);
        }
        assert_eq!(SHORT.len(), RULES.len(), "a rule is gone");
        for short in SHORT {
            assert!(
                short.tag.width() <= TAG_ROOM,
                "{}: {}",
                short.rule,
                short.tag
            );
            assert!(short.cure.width() <= ROOM, "{}: {}", short.rule, short.cure);
            let last = short.wrong.last().unwrap();
            assert!(!last.contains('{'), "{}: {last}", short.rule);
            assert!(last.width() <= ROOM, "{}: {last}", short.rule);
            for text in short.wrong.iter().chain([&short.cure]) {
                assert!(text.ends_with('.'), "{}: {text}", short.rule);
            }
        }
    }

    #[test]
    fn a_source_in_brackets_is_said_elsewhere() {
        assert_eq!(
            bare(
                "rain at 09:00 before it is dry (A University of the North 2008: spray in the morning)"
            ),
            "Rain at 09:00 before it is dry"
        );
        assert_eq!(
            bare("oil is not labelled for walnut (The old walnut)"),
            "Oil is not labelled for walnut (The old walnut)"
        );
    }
}
