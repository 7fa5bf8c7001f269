//! The tables written out, so that they read in again as they are.

use super::SPRAYER_KINDS;
use crate::domain::season::{Block, Canopy, PastCopper, Person, Season, Sprayer, WorkTime};

/// Headings of the table of blocks.
pub(super) const BLOCK_HEADS: [&str; 14] = [
    "block",
    "kind",
    "cultivar",
    "trees",
    "area",
    "row spacing",
    "tree spacing",
    "height",
    "spread",
    "canopy",
    "volume",
    "organic",
    "site",
    "past copper",
];

fn shown<T: ToString>(value: Option<T>) -> String {
    value.map(|v| v.to_string()).unwrap_or_default()
}

/// The cells of a block.
pub(super) fn block_cells(b: &Block) -> Vec<String> {
    vec![
        b.name.clone(),
        b.species.words().to_owned(),
        b.cultivar.clone().unwrap_or_default(),
        b.trees.to_string(),
        shown(b.area),
        shown(b.row_spacing),
        shown(b.tree_spacing),
        shown(b.height),
        shown(b.spread),
        match b.canopy {
            Canopy::Open => "open",
            Canopy::Middling => "middling",
            Canopy::Dense => "dense",
        }
        .to_owned(),
        shown(b.measured_volume),
        if b.organic { "yes" } else { "" }.to_owned(),
        b.site.clone().unwrap_or_default(),
        past_copper(&b.copper_past_kg_per_ha),
    ]
}

fn past_copper(years: &[PastCopper]) -> String {
    let each = years.iter().map(|year| match year.kg_per_ha() {
        Some(kg) => crate::domain::units::plain_number(kg),
        None => "?".to_owned(),
    });
    each.collect::<Vec<_>>().join(" ")
}

fn time_cells(time: &WorkTime) -> [String; 2] {
    [
        time.hours
            .map_or_else(String::new, |[from, to]| format!("{from}-{to}")),
        time.days.join(", "),
    ]
}

fn sprayer_cells(s: &Sprayer) -> Vec<String> {
    let kind = SPRAYER_KINDS.iter().find(|(_, kind)| *kind == s.kind);
    let latest = s.calibration.iter().max_by_key(|c| c.date);
    let number = |n: Option<f64>| n.map_or_else(String::new, crate::domain::units::plain_number);
    let [hours, days] = time_cells(&s.time);
    vec![
        s.name.clone(),
        kind.map_or("", |(word, _)| *word).to_owned(),
        s.tank.to_string(),
        number(s.refill_minutes),
        number(s.way_minutes),
        shown(s.speed),
        latest
            .and_then(|c| c.l_per_min)
            .map_or_else(String::new, |l| {
                format!("{} L", crate::domain::units::plain_number(l))
            }),
        latest
            .and_then(|c| c.l_per_ha)
            .map_or_else(String::new, |l| {
                format!("{} L/ha", crate::domain::units::plain_number(l))
            }),
        shown(latest.map(|c| c.date)),
        hours,
        days,
    ]
}

fn person_cells(p: &Person, season: &Season) -> Vec<String> {
    let sprayers: Vec<&str> = p
        .sprayers
        .iter()
        .map(|id| season.sprayer(id).map_or(id.as_str(), |s| s.name.as_str()))
        .collect();
    let [hours, days] = time_cells(&p.time);
    vec![
        p.name.clone(),
        hours,
        days,
        sprayers.join("; "),
        p.licence.clone().unwrap_or_default(),
    ]
}

/// Blocks, sprayers and people as rows, each table under its headings.
pub fn rows_of(season: &Season) -> Vec<Vec<String>> {
    let heads = |names: &[&str]| names.iter().map(|n| (*n).to_owned()).collect::<Vec<_>>();
    let mut rows = vec![heads(&BLOCK_HEADS)];
    rows.extend(season.blocks.iter().map(block_cells));
    if !season.sprayers.is_empty() {
        rows.push(Vec::new());
        rows.push(heads(&[
            "sprayer",
            "type",
            "tank",
            "refill min",
            "way min",
            "speed",
            "output per min",
            "volume per area",
            "calibrated",
            "hours",
            "days",
        ]));
        rows.extend(season.sprayers.iter().map(sprayer_cells));
    }
    if !season.people.is_empty() {
        rows.push(Vec::new());
        rows.push(heads(&["person", "hours", "days", "sprayers", "licence"]));
        rows.extend(season.people.iter().map(|p| person_cells(p, season)));
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::super::take_rows;
    use super::*;
    use crate::domain::hours::testing::season_with;

    fn rows(text: &str) -> Vec<Vec<String>> {
        text.lines()
            .map(|l| l.split('|').map(|c| c.trim().to_owned()).collect())
            .collect()
    }

    const FARM: &str = "Block|Variety|Species|Trees|Area (ha)|Row spacing [ft]|Organic
        01 Tilton|Tilton|apricots|120|0.4|18|
        02 Redhaven|Redhaven|peach|90|0,35|15 ft|yes
        |
        sprayer|type|tank|refill min|output per min|calibrated
        Towed|airblast|1000 L|12|30|2027-01-15
        |
        person|hours|days|sprayers|licence
        Ann|7-17|mon-sat|Towed|A 12";

    #[test]
    fn a_table_comes_in_and_out_as_it_is() {
        let season = season_with(Vec::new());
        let taken = take_rows(&season, &rows(FARM)).unwrap();
        assert_eq!(taken.changes.len(), 4, "{:?}", taken.changes);
        let s = &taken.season;
        assert_eq!(
            (s.blocks.len(), s.sprayers.len(), s.people.len()),
            (3, 1, 1)
        );
        let tilton = s.blocks.iter().find(|b| b.name == "01 Tilton").unwrap();
        assert_eq!((tilton.trees, tilton.species.words()), (120, "apricot"));
        assert!((tilton.area.unwrap().ha() - 0.4).abs() < 1e-9);
        assert!((tilton.row_spacing.unwrap().m() - 5.4864).abs() < 1e-9);
        assert!(
            s.blocks
                .iter()
                .any(|b| b.organic && b.name == "02 Redhaven")
        );
        assert_eq!(s.people[0].time.hours, Some([7, 17]));
        assert_eq!(s.people[0].time.days.len(), 6);
        assert_eq!(s.people[0].sprayers, [s.sprayers[0].id.clone()]);
        // Written and read again it changes nothing.
        let again = take_rows(s, &rows_of(s)).unwrap();
        assert_eq!(again.season, *s);
        assert!(again.changes.is_empty(), "{:?}", again.changes);
    }

    #[test]
    fn every_row_that_is_wrong_is_named_and_nothing_is_taken() {
        let season = season_with(Vec::new());
        let bad = "block|kind|trees|area ha|height
            01|oak|10|1|
            02|peach|many|1|
            03|peach|10|-1|
            |peach|1||
            01|peach|1||
            04|apple|5|1|3|extra";
        let problems = take_rows(&season, &rows(bad)).unwrap_err();
        let said: Vec<String> = problems.iter().map(ToString::to_string).collect();
        let all = said.join("\n");
        for wanted in [
            "row 2, kind: 'oak' is no kind of tree",
            "row 3, trees: 'many' is no whole number",
            "row 4, area",
            "row 5, block: a name is needed",
            "row 6, block: '01' stands in the table twice",
            "row 7: 6 cells under 5 headings",
        ] {
            assert!(all.contains(wanted), "{wanted} not in\n{all}");
        }
        assert!(take_rows(&season, &rows("01|peach|3")).is_err());
    }

    #[test]
    fn a_known_block_is_changed_and_an_empty_cell_leaves_what_is_known() {
        let season = season_with(Vec::new());
        let name = season.blocks[0].name.clone();
        let taken = take_rows(
            &season,
            &rows(&format!("block|kind|trees|height m\n{name}|||4")),
        )
        .unwrap();
        let block = &taken.season.blocks[0];
        assert_eq!(block.trees, season.blocks[0].trees);
        assert!((block.height.unwrap().m() - 4.0).abs() < 1e-9);
        assert!(
            taken.changes[0].starts_with("changed: "),
            "{}",
            taken.changes[0]
        );
    }
}
