//! Edits on what stands where, with what it is sprayed and by whom.

use super::EditError;
use crate::domain::season::{
    Block, BlockId, Person, PersonId, Season, Sprayer, SprayerId, Task, free_id,
};
use crate::domain::units::{Area, AreaUnit};

/// Adds a block. A task that was for every block of this kind of tree is for this one too.
pub fn add_block(season: &Season, block: Block) -> Result<Season, EditError> {
    if season.block(&block.id).is_some() {
        return Err(EditError::BlockExists(block.id.to_string()));
    }
    let mut after = season.clone();
    let kin: Vec<&BlockId> = season
        .blocks
        .iter()
        .filter(|b| b.species == block.species)
        .map(|b| &b.id)
        .collect();
    for task in &mut after.tasks {
        let had_all = !kin.is_empty() && kin.iter().all(|id| task.blocks.contains(id));
        if task.state.is_open() && had_all {
            task.blocks.push(block.id.clone());
        }
    }
    after.blocks.push(block);
    Ok(after)
}

/// Puts a changed block in the place of the one with its id.
pub fn replace_block(season: &Season, block: Block) -> Result<Season, EditError> {
    let mut after = season.clone();
    let place = after
        .blocks
        .iter_mut()
        .find(|b| b.id == block.id)
        .ok_or_else(|| EditError::NoBlock(block.id.to_string()))?;
    *place = block;
    Ok(after)
}

/// Takes a block out of the season: grubbed up, sold, given up. Its records stay. A task that was
/// for it alone goes with it, unless it is done.
pub fn retire_block(season: &Season, id: &BlockId) -> Result<Season, EditError> {
    if season.block(id).is_none() {
        return Err(EditError::NoBlock(id.to_string()));
    }
    if season.blocks.len() == 1 {
        return Err(EditError::LastBlock(id.to_string()));
    }
    let mut after = season.clone();
    after.blocks.retain(|b| &b.id != id);
    // No block named means all of them: a list must not become empty by this.
    let only = |t: &Task| t.blocks.iter().all(|b| b == id) && !t.blocks.is_empty();
    let goes = |t: &Task| only(t) && t.state.is_open() && season.records_of(t).next().is_none();
    after.tasks.retain(|t| !goes(t));
    for task in &mut after.tasks {
        if !only(task) {
            task.blocks.retain(|b| b != id);
        }
    }
    after.readings = after
        .readings
        .into_iter()
        .filter_map(|r| r.without(id))
        .collect();
    after.estimates_noted.retain(|e| &e.block != id);
    Ok(after)
}

/// Makes two blocks of one: the new one takes so many trees, its share of the ground, and
/// everything else as it is; every open task of the old one is for both.
pub fn split_block(
    season: &Season,
    id: &BlockId,
    name: &str,
    trees: u32,
) -> Result<(Season, BlockId), EditError> {
    let old = season
        .block(id)
        .ok_or_else(|| EditError::NoBlock(id.to_string()))?;
    if trees == 0 || trees >= old.trees {
        return Err(EditError::NoSplit(old.name.clone(), old.trees));
    }
    let share = f64::from(trees) / f64::from(old.trees);
    let of = |area: Option<Area>, share: f64| {
        area.map(|a| Area::new(a.ha() * share, AreaUnit::Ha).to(a.unit))
    };
    let new_id = BlockId::from(
        free_id(name, "block", |text| {
            season.block(&BlockId::from(text)).is_some()
        })
        .as_str(),
    );
    let new = Block {
        id: new_id.clone(),
        name: name.trim().to_owned(),
        trees,
        area: of(old.area, share),
        measured_volume: None,
        ..old.clone()
    };
    let mut after = season.clone();
    let place = after.blocks.iter().position(|b| &b.id == id).unwrap_or(0);
    for block in after.blocks.iter_mut().filter(|b| &b.id == id) {
        block.trees = old.trees - trees;
        block.area = of(old.area, 1.0 - share);
        block.measured_volume = None;
    }
    after.blocks.insert(place + 1, new);
    for task in &mut after.tasks {
        if task.state.is_open() && task.blocks.contains(id) {
            task.blocks.push(new_id.clone());
        }
    }
    Ok((after, new_id))
}

/// Adds a sprayer, or puts a changed one in the place of the one with its id.
pub fn put_sprayer(season: &Season, sprayer: Sprayer) -> Season {
    let mut after = season.clone();
    match after.sprayers.iter_mut().find(|s| s.id == sprayer.id) {
        Some(known) => *known = sprayer,
        None => after.sprayers.push(sprayer),
    }
    after
}

/// Takes a sprayer away that no open task names.
pub fn retire_sprayer(season: &Season, id: &SprayerId) -> Result<Season, EditError> {
    if season.sprayer(id).is_none() {
        return Err(EditError::NoSprayer(id.to_string()));
    }
    let names = |t: &&Task| t.sprayer.as_ref() == Some(id);
    if let Some(task) = season.tasks.iter().find(names) {
        return Err(EditError::MaterialUsed(id.to_string(), task.title.clone()));
    }
    let mut after = season.clone();
    after.sprayers.retain(|s| &s.id != id);
    for person in &mut after.people {
        person.sprayers.retain(|s| s != id);
    }
    Ok(after)
}

/// Adds a person, or puts a changed one in the place of the one with that id.
pub fn put_person(season: &Season, person: Person) -> Season {
    let mut after = season.clone();
    match after.people.iter_mut().find(|p| p.id == person.id) {
        Some(known) => *known = person,
        None => after.people.push(person),
    }
    after
}

/// Takes a person away; records keep the name.
pub fn retire_person(season: &Season, id: &PersonId) -> Result<Season, EditError> {
    let mut after = season.clone();
    after.people.retain(|p| &p.id != id);
    if after.people.len() == season.people.len() {
        return Err(EditError::NoPerson(id.to_string()));
    }
    Ok(after)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::hours::testing::{block, copper, season_with, spray};

    fn two() -> Season {
        let mut season = season_with(vec![copper("cu")]);
        season.blocks = ["a", "b"].map(block).to_vec();
        let on = |id: &str, blocks: &[&str]| {
            let mut task = spray(id, &["cu"]);
            task.blocks = blocks.iter().map(|b| BlockId::from(*b)).collect();
            task
        };
        season.tasks = vec![on("all", &[]), on("both", &["a", "b"]), on("one", &["a"])];
        season
    }

    fn blocks(season: &Season, task: &str) -> Option<usize> {
        Some(season.task(&task.into())?.blocks.len())
    }

    #[test]
    fn a_new_block_joins_what_was_for_all_of_its_kind() {
        let after = add_block(&two(), block("c")).unwrap();
        assert_eq!(blocks(&after, "both"), Some(3));
        assert_eq!(blocks(&after, "one"), Some(1));
        assert_eq!(blocks(&after, "all"), Some(0));
        assert!(add_block(&after, block("c")).is_err());
    }

    #[test]
    fn a_retired_block_never_makes_a_task_one_for_all() {
        let after = retire_block(&two(), &BlockId::from("a")).unwrap();
        assert_eq!(blocks(&after, "one"), None);
        assert_eq!(blocks(&after, "both"), Some(1));
        assert!(retire_block(&after, &BlockId::from("b")).is_err());
    }

    #[test]
    fn a_split_block_keeps_its_trees_and_its_work() {
        let mut season = two();
        season.blocks[0].area = Some(Area::new(1.0, AreaUnit::Ha));
        let (after, id) = split_block(&season, &BlockId::from("a"), "a east", 4).unwrap();
        let trees: u32 = after.blocks.iter().map(|b| b.trees).sum();
        assert_eq!(trees, 20);
        assert_eq!(after.block(&id).unwrap().area.unwrap().ha(), 0.4);
        assert_eq!(blocks(&after, "one"), Some(2));
        assert!(split_block(&season, &BlockId::from("a"), "x", 10).is_err());
    }
}
