//! Spray volume: the grower's own measurement, calibration, or the crown.
//!
//! Tree-row volume (Landers, Cornell; Penn State Tree Fruit Production Guide)
//! counts the space the crowns fill, `width × height × 10 000 / row spacing`
//! in m³/ha, and gives so many millilitres of dilute spray to each cubic
//! metre. The figures there are for trees in leaf; bare crowns take 0.5 to
//! 0.7 gal per 1000 cu ft (University of Kentucky, 23 January 2018).

use crate::domain::season::{Block, Canopy, Season, Sprayer, SprayerKind, Task};

/// Millilitres a cubic metre in one gallon per 1000 cubic feet, by definition
/// of gallon and foot.
pub const ML_PER_M3_OF_GAL_PER_1000_CUFT: f64 = 3_785.411_784 / 28.316_846_592;

/// Litres a hectare in one gallon an acre.
pub const L_PER_HA_OF_GPA: f64 = 3.785_411_784 / 0.404_685_642_24;

/// Tree-row volume in m³/ha from crown width, height and row spacing in m.
pub fn tree_row_m3_per_ha(width_m: f64, height_m: f64, row_m: f64) -> f64 {
    width_m * height_m * 10_000.0 / row_m
}

/// Dilute spray in L/ha for a tree-row volume at so many mL/m³.
pub fn dilute_l_per_ha(tree_row_m3_per_ha: f64, ml_per_m3: f64) -> f64 {
    tree_row_m3_per_ha * ml_per_m3 / 1000.0
}

/// Spray for a bare crown, in gal per 1000 cu ft: 0.5 open, 0.7 unpruned; the
/// value between is ours.
pub fn bare_gal_per_1000_cuft(canopy: Canopy) -> f64 {
    match canopy {
        Canopy::Open => 0.5,
        Canopy::Middling => 0.6,
        Canopy::Dense => 0.7,
    }
}

/// How a spray volume was come by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// The grower measured it on the block.
    Measured,
    /// The grower set it for the task; this is the block's share.
    Task,
    /// The sprayer's calibrated output times the area.
    Calibrated,
    /// Tree-row volume.
    Rows,
    /// Crown by crown: spread × spread × height.
    PerTree,
}

impl How {
    /// In plain words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Measured => "measured by the grower",
            Self::Task => "set for this task",
            Self::Calibrated => "calibrated output times area",
            Self::Rows => "tree-row volume",
            Self::PerTree => "crown by crown",
        }
    }
}

/// The spray volume of one block.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BlockVolume {
    /// Litres for all its trees.
    pub litres: f64,
    /// How it was come by.
    pub how: How,
}

/// How an area was come by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AreaFrom {
    /// Entered by the grower.
    Entered,
    /// Trees × row spacing × tree spacing.
    Spacing,
    /// Trees × spread²: the ground under the crowns, the smallest reading.
    Crowns,
}

/// The ground of a block in ha, and how it was come by.
pub fn area_ha(block: &Block) -> Option<(f64, AreaFrom)> {
    if let Some(area) = block.area.filter(|a| a.ha() > 0.0) {
        return Some((area.ha(), AreaFrom::Entered));
    }
    let trees = f64::from(block.trees);
    let positive = |m2: f64| (m2 > 0.0).then_some(m2 / 10_000.0);
    if let (Some(row), Some(tree)) = (block.row_spacing, block.tree_spacing)
        && let Some(ha) = positive(trees * row.m() * tree.m())
    {
        return Some((ha, AreaFrom::Spacing));
    }
    let spread = block.spread?.m();
    positive(trees * spread * spread).map(|ha| (ha, AreaFrom::Crowns))
}

/// How much more than the crown asks for a sprayer uses.
pub fn factor(sprayer: Option<&Sprayer>) -> f64 {
    match sprayer {
        None => 1.0,
        Some(s) => s
            .volume_factor
            .filter(|f| *f > 0.0)
            .unwrap_or(match s.kind {
                SprayerKind::Hand
                | SprayerKind::HoseEnd
                | SprayerKind::Cart
                | SprayerKind::Backpack
                | SprayerKind::Handgun => 2.0,
                SprayerKind::Airblast | SprayerKind::Boom => 1.0,
            }),
    }
}

/// The latest calibrated output, L/ha.
pub fn calibrated_l_per_ha(sprayer: &Sprayer) -> Option<f64> {
    sprayer
        .calibration
        .iter()
        .filter(|c| c.l_per_ha.is_some_and(|l| l > 0.0))
        .max_by_key(|c| c.date)
        .and_then(|c| c.l_per_ha)
}

/// The spray volume of a block with a sprayer. The grower's measurement wins;
/// then, for sprayers that drive, their calibrated output; then the crown.
pub fn of_block(block: &Block, sprayer: Option<&Sprayer>) -> Option<BlockVolume> {
    if let Some(measured) = block.measured_volume.filter(|v| v.l() > 0.0) {
        return Some(BlockVolume {
            litres: measured.l(),
            how: How::Measured,
        });
    }
    let calibrated = || {
        let per_ha = calibrated_l_per_ha(sprayer?)?;
        let (ha, from) = area_ha(block)?;
        (from != AreaFrom::Crowns).then_some(BlockVolume {
            litres: per_ha * ha,
            how: How::Calibrated,
        })
    };
    let drives =
        sprayer.is_some_and(|s| matches!(s.kind, SprayerKind::Airblast | SprayerKind::Boom));
    drives
        .then(calibrated)
        .flatten()
        .or_else(|| from_crowns(block, factor(sprayer)))
        .or_else(calibrated)
}

fn from_crowns(block: &Block, factor: f64) -> Option<BlockVolume> {
    let (height, spread) = (block.height?.m(), block.spread?.m());
    let ml_per_m3 = bare_gal_per_1000_cuft(block.canopy) * ML_PER_M3_OF_GAL_PER_1000_CUFT;
    let rows = || {
        let row = block.row_spacing?.m();
        let (ha, from) = area_ha(block)?;
        (row > 0.0 && from != AreaFrom::Crowns).then(|| BlockVolume {
            litres: dilute_l_per_ha(tree_row_m3_per_ha(spread, height, row), ml_per_m3) * ha,
            how: How::Rows,
        })
    };
    let volume = rows().unwrap_or_else(|| BlockVolume {
        litres: f64::from(block.trees) * spread * spread * height * ml_per_m3 / 1000.0,
        how: How::PerTree,
    });
    let litres = volume.litres * factor;
    (litres > 0.0).then_some(BlockVolume { litres, ..volume })
}

/// The spray volume of a task: its blocks and the whole.
#[derive(Debug, Clone, PartialEq)]
pub struct TaskVolume<'a> {
    /// Each block with its share; none where nothing tells it.
    pub blocks: Vec<(&'a Block, Option<BlockVolume>)>,
    /// Litres in all; none where one block is not known.
    pub total_l: Option<f64>,
}

/// The spray volume of a task. A volume set for the task is shared among its
/// blocks by their own volumes, or by trees where one of these is not known.
pub fn of_task<'a>(season: &'a Season, task: &'a Task) -> TaskVolume<'a> {
    let sprayer = task.sprayer.as_ref().and_then(|id| season.sprayer(id));
    let blocks: Vec<&Block> = season.blocks_of(task).collect();
    of_part(season, &blocks, task, sprayer)
}

/// The spray volume of some of a task's blocks. What was set for the whole task is shared among
/// all it was planned for, so that its parts come to the whole.
pub fn of_part<'a>(
    season: &'a Season,
    blocks: &[&'a Block],
    task: &'a Task,
    sprayer: Option<&Sprayer>,
) -> TaskVolume<'a> {
    let planned: Vec<&Block> = match task.volume {
        Some(_) => season.planned_blocks(task).collect(),
        None => Vec::new(),
    };
    if planned.len() <= blocks.len() {
        return of_blocks(blocks, task, sprayer);
    }
    let mut whole = of_blocks(&planned, task, sprayer);
    whole
        .blocks
        .retain(|(b, _)| blocks.iter().any(|wanted| wanted.id == b.id));
    let litres = whole.blocks.iter().map(|(_, v)| v.map(|v| v.litres)).sum();
    whole.total_l = if whole.blocks.is_empty() {
        None
    } else {
        litres
    };
    whole
}

/// The same, for blocks already looked up that are all of the task.
fn of_blocks<'a>(blocks: &[&'a Block], task: &Task, sprayer: Option<&Sprayer>) -> TaskVolume<'a> {
    let mut shares: Vec<(&Block, Option<BlockVolume>)> =
        blocks.iter().map(|b| (*b, of_block(b, sprayer))).collect();
    let Some(set) = task
        .volume
        .map(crate::domain::units::Volume::l)
        .filter(|l| *l > 0.0)
    else {
        let total = shares.iter().map(|(_, v)| v.map(|v| v.litres)).sum();
        return TaskVolume {
            total_l: if shares.is_empty() { None } else { total },
            blocks: shares,
        };
    };
    let by_own: Option<f64> = shares.iter().map(|(_, v)| v.map(|v| v.litres)).sum();
    let by_trees: f64 = shares.iter().map(|(b, _)| f64::from(b.trees)).sum();
    let n = shares.len() as f64;
    for (block, volume) in &mut shares {
        let share = match (by_own, &volume) {
            (Some(sum), Some(own)) if sum > 0.0 => own.litres / sum,
            _ if by_trees > 0.0 => f64::from(block.trees) / by_trees,
            _ => 1.0 / n,
        };
        *volume = Some(BlockVolume {
            litres: set * share,
            how: How::Task,
        });
    }
    TaskVolume {
        blocks: shares,
        total_l: Some(set),
    }
}
