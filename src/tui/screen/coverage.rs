//! The coverage screen: what was seen on each block, what covers it in which
//! lane, and the tasks that would close the gaps.

pub mod view;
mod words;

pub use words::about;

use super::spray_work::moved;
use crate::domain::coverage::{self, Cover, Grid, GridRow, Proposal};
use crate::domain::season::{Block, BlockId, Lane, Season, TargetId, TargetSeen, edit};
use crate::tui::action::{Command, Effect};
use crate::tui::form::{Form, SetUp};
use crate::tui::model::Model;
use crate::tui::overlay::Overlay;

/// One line one can stand on: a target of a block, or a block without any.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// The block.
    pub block: BlockId,
    /// The place of its first of three cells in the grid.
    pub cells: Option<usize>,
}

/// What is chosen on the coverage screen, and what it shows.
#[derive(Debug, Clone, Default)]
pub struct Coverage {
    /// The grid.
    pub grid: Grid,
    /// The lines one can stand on.
    pub items: Vec<Item>,
    /// What would close the gaps.
    pub proposals: Vec<Proposal>,
    /// The line chosen.
    pub at: usize,
    /// The lane chosen, 0 to 2.
    pub lane: usize,
    /// Is one in the list of proposals?
    pub in_proposals: bool,
    /// The proposal chosen.
    pub proposal: usize,
    made: Option<u64>,
}

impl Coverage {
    /// The three cells of the line chosen.
    pub fn cells(&self) -> &[GridRow] {
        self.items
            .get(self.at)
            .and_then(|i| i.cells)
            .and_then(|start| self.grid.rows.get(start..start + Lane::ALL.len()))
            .unwrap_or_default()
    }

    /// The cell under the cursor.
    pub fn cell(&self) -> Option<&GridRow> {
        self.cells().get(self.lane)
    }

    /// The proposal under the cursor.
    pub fn chosen_proposal(&self) -> Option<&Proposal> {
        self.proposals.get(self.proposal)
    }

    /// Puts the cursor on a line or a proposal.
    pub fn go_to(&mut self, place: usize) {
        if self.in_proposals {
            self.proposal = place;
        } else {
            self.at = place;
        }
    }

    fn settle(&mut self) {
        self.at = self.at.min(self.items.len().saturating_sub(1));
        self.proposal = self.proposal.min(self.proposals.len().saturating_sub(1));
        self.in_proposals &= !self.proposals.is_empty();
    }
}

/// Works the grid and the proposals out anew, if something changed.
pub fn refresh(model: &mut Model) {
    if model.spray.coverage.made == Some(model.revision) {
        return;
    }
    let Some(estimates) = &model.estimates else {
        return;
    };
    let old = &model.spray.coverage;
    let stood_on = old
        .cell()
        .map(|c| (c.block.clone(), Some(c.target.clone())))
        .or_else(|| old.items.get(old.at).map(|i| (i.block.clone(), None)));
    let grid = coverage::grid(&model.season, estimates, model.today);
    let proposals = coverage::proposals(&model.season, estimates, model.today);
    let mut items = Vec::new();
    for block in &model.season.blocks {
        let before = items.len();
        for (n, cells) in grid.rows.chunks(Lane::ALL.len()).enumerate() {
            if cells.first().is_some_and(|c| c.block == block.id) {
                items.push(Item {
                    block: block.id.clone(),
                    cells: Some(n * Lane::ALL.len()),
                });
            }
        }
        if items.len() == before {
            items.push(Item {
                block: block.id.clone(),
                cells: None,
            });
        }
    }
    let is_there = |item: &Item, (block, target): &(BlockId, Option<TargetId>)| {
        let here = item.cells.and_then(|c| grid.rows.get(c));
        item.block == *block && (target.is_none() || here.map(|c| &c.target) == target.as_ref())
    };
    let at = stood_on.and_then(|wanted| items.iter().position(|i| is_there(i, &wanted)));
    let coverage = &mut model.spray.coverage;
    if coverage.made.is_none() {
        // The lane that counts most.
        coverage.lane = Lane::ALL.len() - 1;
    }
    coverage.at = at.unwrap_or(coverage.at);
    coverage.grid = grid;
    coverage.items = items;
    coverage.proposals = proposals;
    coverage.made = Some(model.revision);
    coverage.settle();
}

/// The lines as text, for looking through, and the one chosen.
pub fn texts(season: &Season, coverage: &Coverage) -> (Vec<String>, usize) {
    if coverage.in_proposals {
        let all = coverage.proposals.iter().map(|p| p.task.title.clone());
        return (all.collect(), coverage.proposal);
    }
    let name = |item: &Item| {
        let block = season.block(&item.block).map_or("", |b| b.name.as_str());
        let target = item.cells.and_then(|c| coverage.grid.rows.get(c));
        format!("{block} {}", target.map_or("", |c| c.target_name.as_str()))
    };
    (coverage.items.iter().map(name).collect(), coverage.at)
}

/// The block under the cursor.
pub fn block(model: &Model) -> Option<&Block> {
    let coverage = &model.spray.coverage;
    model.season.block(&coverage.items.get(coverage.at)?.block)
}

/// What was noted of a target on a block, this season's first.
pub fn sightings<'a>(season: &Season, block: &'a Block, target: &TargetId) -> Vec<&'a TargetSeen> {
    let mut all: Vec<&TargetSeen> = block.seen.iter().filter(|s| &s.target == target).collect();
    all.sort_by(|a, b| {
        let now = |s: &TargetSeen| s.season != season.season;
        now(a).cmp(&now(b)).then_with(|| b.season.cmp(&a.season))
    });
    all
}

/// Answers a command on the coverage screen; `None` where it is not for it.
pub fn update(model: &mut Model, command: Command) -> Option<Vec<Effect>> {
    let step = (model.count.unwrap_or(1) as usize, (model.page() / 2).max(1));
    let coverage = &mut model.spray.coverage;
    let (at, items) = if coverage.in_proposals {
        (coverage.proposal, coverage.proposals.len())
    } else {
        (coverage.at, coverage.items.len())
    };
    if let Some(to) = moved(at, items, command, step) {
        coverage.go_to(to);
        return Some(Vec::new());
    }
    match command {
        Command::Left => coverage.lane = coverage.lane.saturating_sub(1),
        Command::Right => coverage.lane = (coverage.lane + 1).min(Lane::ALL.len() - 1),
        Command::NextPart | Command::PreviousPart => {
            coverage.in_proposals = !coverage.in_proposals;
            coverage.settle();
            if coverage.proposals.is_empty() {
                model.say(
                    "nothing is proposed: every target seen is covered, or its window is past",
                );
            }
        }
        Command::Tick => return Some(tick(model)),
        Command::Add => match Form::seen(model, None) {
            Some(form) => model.overlay = Some(Overlay::Form(form)),
            None => model.say("there are no blocks yet: the season file names them"),
        },
        Command::Edit => {
            let target = coverage.cell().map(|c| c.target.clone());
            match target {
                Some(target) => {
                    model.overlay = Form::seen(model, Some(&target)).map(Overlay::Form);
                }
                None => model.say("nothing was seen here yet; a ticks what was seen"),
            }
        }
        Command::EditPlace => set_up(model, SetUp::Place),
        Command::AddBlock => set_up(model, SetUp::Block(None)),
        Command::EditBlock | Command::SplitBlock | Command::RetireBlock => {
            let Some(id) = block(model).map(|b| b.id.clone()) else {
                model.say("there are no blocks yet; b adds one");
                return Some(Vec::new());
            };
            match command {
                Command::EditBlock => set_up(model, SetUp::Block(Some(id))),
                Command::SplitBlock => set_up(model, SetUp::Split(id)),
                _ => {
                    let after = edit::retire_block(&model.season, &id);
                    return Some(model.try_edit(after, &format!("retired: {id}")));
                }
            }
        }
        Command::Delete => return Some(untick(model)),
        Command::Plan => return Some(plan(model)),
        Command::Quieten => match Form::quieten_here(model) {
            Some(form) => model.overlay = Some(Overlay::Form(form)),
            None => model.say("nothing speaks on this block that no task answers for"),
        },
        Command::Open => model.overlay = Some(Overlay::Why(0)),
        Command::Find => model.overlay = Some(Overlay::find()),
        Command::FindNext => super::spray_work::find(model, false),
        Command::FindPrevious => super::spray_work::find(model, true),
        _ => return None,
    }
    Some(Vec::new())
}

/// Ticks the target of the line as seen this season, or takes the tick away.
fn tick(model: &mut Model) -> Vec<Effect> {
    let cell = model.spray.coverage.cell().cloned();
    let (Some(cell), Some(block)) = (cell, block(model)) else {
        model.say("nothing was seen here yet; a ticks what was seen");
        return Vec::new();
    };
    let season = &model.season;
    let now = season.season.clone();
    let known = sightings(season, block, &cell.target);
    let this = known.iter().find(|s| s.season == now);
    let about = format!("{} on {}, {now}", cell.target_name, cell.block_name);
    let (after, words) = match this {
        Some(seen) if seen.count.is_some() || seen.note.is_some() => {
            let key = model.keymap.first(Command::Delete);
            model.say(format!(
                "{about}: a count or note stands with it; e changes it, {key} takes it all away"
            ));
            return Vec::new();
        }
        Some(_) => (
            edit::unsee_target(season, &cell.block, &cell.target, Some(&now)),
            format!("not seen: {about}"),
        ),
        None => {
            let seen = TargetSeen {
                target: cell.target.clone(),
                season: now,
                count: None,
                of: None,
                note: None,
            };
            (
                edit::see_target(season, &cell.block, seen),
                format!("seen: {about}"),
            )
        }
    };
    model.try_edit(after, &words)
}

fn set_up(model: &mut Model, what: SetUp) {
    model.overlay = Some(Overlay::Form(Form::set_up(model, what)));
}

/// Takes away all that was noted of the target on this block.
fn untick(model: &mut Model) -> Vec<Effect> {
    let cell = model.spray.coverage.cell().cloned();
    let noted = cell
        .as_ref()
        .zip(block(model))
        .is_some_and(|(cell, block)| !sightings(&model.season, block, &cell.target).is_empty());
    let Some(cell) = cell.filter(|_| noted) else {
        model.say("nothing was noted here that could be taken away");
        return Vec::new();
    };
    let words = format!(
        "taken away: what was seen of {} on {}",
        cell.target_name, cell.block_name
    );
    let after = edit::unsee_target(&model.season, &cell.block, &cell.target, None);
    let effects = model.try_edit(after, &words);
    let undo = model.keymap.first(Command::Undo);
    model.say(format!("{words}; {undo} brings it back"));
    effects
}

/// In the grid: to what would close the gap. Among the proposals: accepts the
/// chosen one.
fn plan(model: &mut Model) -> Vec<Effect> {
    let coverage = &mut model.spray.coverage;
    if !coverage.in_proposals {
        let wanted = coverage.cell().map(|c| (c.block.clone(), c.target.clone()));
        let place = wanted.and_then(|(block, target)| {
            coverage
                .proposals
                .iter()
                .position(|p| p.task.targets.contains(&target) && p.task.blocks.contains(&block))
        });
        match place {
            Some(place) => {
                coverage.in_proposals = true;
                coverage.proposal = place;
                let key = model.keymap.first(Command::Plan);
                model.say(format!("this would close it; {key} again plans it"));
            }
            None => {
                let why = match coverage.cell().map(|c| c.state) {
                    Some(Cover::Passed) => "its window has passed",
                    Some(Cover::NotControllable) => "no dormant spray controls it",
                    Some(Cover::Done | Cover::Covered) => "it is covered",
                    _ => "nothing is proposed against it",
                };
                model.say(why);
            }
        }
        return Vec::new();
    }
    let Some(proposal) = coverage.chosen_proposal().cloned() else {
        return Vec::new();
    };
    let mut season = model.season.clone();
    season.materials.extend(proposal.new_material.clone());
    let title = &proposal.task.title;
    let id = proposal.task.id.clone();
    let after = edit::add_task(&season, proposal.task.clone());
    let words = match &proposal.new_material {
        Some(material) => format!(
            "planned: {title}; {} was added: go through its label",
            material.name
        ),
        None => format!("planned: {title}"),
    };
    let effects = model.try_edit(after, &words);
    model.board.choose(&model.season, &id);
    effects
}
