//! Edits on the spray work: what was seen, materials, sprayers, what is left
//! alone on a block.

use super::EditError;
use crate::domain::season::{
    Block, BlockId, Calibration, Material, MaterialId, QuietHere, Season, SprayerId, TargetId,
    TargetSeen,
};

fn block_of<'a>(season: &'a mut Season, id: &BlockId) -> Result<&'a mut Block, EditError> {
    season
        .blocks
        .iter_mut()
        .find(|b| &b.id == id)
        .ok_or_else(|| EditError::NoBlock(id.to_string()))
}

/// Notes what was seen on a block; a note on the same target in the same season
/// gives way to it.
pub fn see_target(season: &Season, id: &BlockId, seen: TargetSeen) -> Result<Season, EditError> {
    let mut after = season.clone();
    let block = block_of(&mut after, id)?;
    match block
        .seen
        .iter_mut()
        .find(|s| s.target == seen.target && s.season == seen.season)
    {
        Some(known) => *known = seen,
        None => block.seen.push(seen),
    }
    Ok(after)
}

/// Takes back what was noted of a target on a block: in one season, or in all.
pub fn unsee_target(
    season: &Season,
    id: &BlockId,
    target: &TargetId,
    in_season: Option<&str>,
) -> Result<Season, EditError> {
    let mut after = season.clone();
    block_of(&mut after, id)?
        .seen
        .retain(|s| &s.target != target || in_season.is_some_and(|name| s.season != name));
    Ok(after)
}

/// Quietens a rule on a block, with the reason; saying it again lifts it.
pub fn toggle_quiet_here(
    season: &Season,
    id: &BlockId,
    quiet: QuietHere,
) -> Result<Season, EditError> {
    let mut after = season.clone();
    let block = block_of(&mut after, id)?;
    let is_it = |q: &QuietHere| q.rule == quiet.rule && q.target == quiet.target;
    if block.quiet.iter().any(is_it) {
        block.quiet.retain(|q| !is_it(q));
    } else {
        block.quiet.push(quiet);
    }
    Ok(after)
}

/// A material id that is not taken, made from another.
pub fn free_material_id(season: &Season, wanted: &MaterialId) -> MaterialId {
    let mut id = wanted.clone();
    let mut n = 2;
    while season.material(&id).is_some() {
        id = MaterialId::from(format!("{wanted}-{n}").as_str());
        n += 1;
    }
    id
}

/// Adds a material under an id that is free.
pub fn add_material(season: &Season, material: Material) -> (Season, MaterialId) {
    let id = free_material_id(season, &material.id);
    let mut after = season.clone();
    after.materials.push(Material {
        id: id.clone(),
        ..material
    });
    (after, id)
}

/// Puts a changed material in the place of the one with its id.
pub fn replace_material(season: &Season, material: Material) -> Result<Season, EditError> {
    let mut after = season.clone();
    let place = after
        .materials
        .iter_mut()
        .find(|m| m.id == material.id)
        .ok_or_else(|| EditError::NoMaterial(material.id.to_string()))?;
    *place = material;
    Ok(after)
}

/// Takes a material away that no task uses.
pub fn delete_material(season: &Season, id: &MaterialId) -> Result<Season, EditError> {
    let uses = |t: &&crate::domain::season::Task| t.mix.iter().any(|p| &p.material == id);
    if let Some(task) = season.tasks.iter().find(uses) {
        return Err(EditError::MaterialUsed(id.to_string(), task.title.clone()));
    }
    let mut after = season.clone();
    after.materials.retain(|m| &m.id != id);
    if after.materials.len() == season.materials.len() {
        return Err(EditError::NoMaterial(id.to_string()));
    }
    Ok(after)
}

/// Notes a calibration on a sprayer; one of the same day gives way to it.
pub fn add_calibration(
    season: &Season,
    id: &SprayerId,
    calibration: Calibration,
) -> Result<Season, EditError> {
    let mut after = season.clone();
    let sprayer = after
        .sprayers
        .iter_mut()
        .find(|s| &s.id == id)
        .ok_or_else(|| EditError::NoSprayer(id.to_string()))?;
    sprayer.calibration.retain(|c| c.date != calibration.date);
    sprayer.calibration.push(calibration);
    Ok(after)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::hours::testing::season_with;

    fn seen(target: &str, season: &str, count: Option<f64>) -> TargetSeen {
        TargetSeen {
            target: TargetId::from(target),
            season: season.to_owned(),
            count,
            of: None,
            note: None,
        }
    }

    #[test]
    fn a_sighting_replaces_the_one_of_its_season_only() {
        let season = season_with(Vec::new());
        let id = season.blocks[0].id.clone();
        let s = see_target(&season, &id, seen("scale", "2024-25", None)).unwrap();
        let s = see_target(&s, &id, seen("scale", "2025-26", None)).unwrap();
        let s = see_target(&s, &id, seen("scale", "2025-26", Some(4.0))).unwrap();
        let all: Vec<_> = s.blocks[0].seen.iter().map(|s| s.count).collect();
        assert_eq!(all, [None, Some(4.0)]);
        let one = unsee_target(&s, &id, &TargetId::from("scale"), Some("2025-26")).unwrap();
        assert_eq!(one.blocks[0].seen[0].season, "2024-25");
        let none = unsee_target(&s, &id, &TargetId::from("scale"), None).unwrap();
        assert_eq!(none, season);
        assert!(see_target(&season, &BlockId::from("nowhere"), seen("scale", "", None)).is_err());
    }

    #[test]
    fn quiet_on_a_block_goes_by_rule_and_target_and_is_lifted() {
        let season = season_with(Vec::new());
        let id = season.blocks[0].id.clone();
        let quiet = |target: &str| QuietHere {
            rule: "target-uncovered".to_owned(),
            target: Some(TargetId::from(target)),
            why: "grafted over in spring".to_owned(),
            on: "2025-12-01".parse().unwrap(),
        };
        let s = toggle_quiet_here(&season, &id, quiet("scale")).unwrap();
        let s = toggle_quiet_here(&s, &id, quiet("leaf-curl")).unwrap();
        assert_eq!(s.blocks[0].quiet.len(), 2);
        let s = toggle_quiet_here(&s, &id, quiet("scale")).unwrap();
        assert_eq!(s.blocks[0].quiet, [quiet("leaf-curl")]);
    }

    #[test]
    fn materials_are_added_under_free_ids_and_kept_while_used() {
        let season = season_with(crate::domain::materials::starters());
        let oil = season.materials[0].clone();
        let (after, id) = add_material(&season, oil.clone());
        assert_eq!(id.as_str(), "horticultural-oil-2");
        let after = delete_material(&after, &id).unwrap();
        assert_eq!(after, season);
        assert!(delete_material(&after, &id).is_err());
        let renamed = Material {
            name: "winter oil".to_owned(),
            ..oil
        };
        let after = replace_material(&season, renamed).unwrap();
        assert_eq!(after.materials[0].name, "winter oil");
    }
}
