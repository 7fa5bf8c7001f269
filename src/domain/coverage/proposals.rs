//! Tasks that would close gaps, each with its reasons, accepted one by one.

use super::{closes, is_covered, sightings};
use crate::domain::materials::{STARTERS, actives_of, on_label};
use crate::domain::outlook::Estimates;
use crate::domain::rules::{self, Facts, Warning};
use crate::domain::season::{
    Block, Lane, Material, MixPart, Organic, Season, Task, TaskId, TaskKind, TaskState,
};
use crate::domain::targets::{self, Control, Need, Sanitation, TargetView};
use crate::domain::window;
use chrono::{Days, NaiveDate};

/// One task that would close a gap.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// The task, ready to be added.
    pub task: Task,
    /// A material to be added with it, where none at hand works: a starting
    /// point, not a label.
    pub new_material: Option<Material>,
    /// Why, one sentence each.
    pub reasons: Vec<String>,
    /// Warnings the task would carry.
    pub warnings: Vec<Warning>,
}

/// A spray against a target on one block, before blocks are joined.
struct Wish<'a> {
    block: &'a Block,
    view: TargetView<'a>,
    lane: Lane,
    date: NaiveDate,
    material: Material,
    is_new: bool,
    reasons: Vec<String>,
}

/// Weeks after leaf drop until the first lane gives way to mid-winter (the
/// mid-winter copper comes six to ten weeks after leaf drop).
const FIRST_LANE_WEEKS: u64 = 6;

/// Blocks whose days differ by no more than this share one task.
const SHARED_DAYS: i64 = 7;

/// What would close the gaps of a season, by day.
pub fn proposals(season: &Season, estimates: &Estimates, today: NaiveDate) -> Vec<Proposal> {
    let facts = Facts::new(season, estimates, today);
    let mut wishes = Vec::new();
    let mut chores: Vec<(TargetView<'_>, Sanitation, Vec<&Block>, NaiveDate)> = Vec::new();
    for (ix, block) in season.blocks.iter().enumerate() {
        for seen in sightings(block, &season.season) {
            let Some(view) = targets::find(season, &seen.target) else {
                continue;
            };
            if !view.lives_on(block.species) {
                continue;
            }
            let need = targets::need_on(&view, seen, &season.season, block.species);
            for chore in view.sanitation() {
                if wants_chore(season, block, &view, *chore, need, seen.count.is_some()) {
                    let date = chore_date(&facts, ix, block, chore.lane);
                    match chores
                        .iter_mut()
                        .find(|c| c.0.id() == view.id() && c.1 == *chore)
                    {
                        Some(c) => {
                            c.2.push(block);
                            c.3 = c.3.min(date);
                        }
                        None => chores.push((view, *chore, vec![block], date)),
                    }
                }
            }
            let treat = matches!(need, Need::Treat | Need::Seen);
            if view.control() != Control::None && treat && !is_covered(&facts, ix, &view) {
                wishes.extend(wish(&facts, ix, block, view, need));
            }
        }
    }
    let mut scratch = season.clone();
    let mut out: Vec<Proposal> = joined(wishes)
        .into_iter()
        .map(|group| spray(season, &mut scratch, &group))
        .collect();
    out.extend(chores.into_iter().map(|c| chore_task(&mut scratch, &c)));
    for proposal in &mut out {
        keep_to_label(season, estimates, today, proposal);
        proposal.warnings = warnings_of(season, estimates, today, proposal);
    }
    out.sort_by(|a, b| {
        a.task
            .date
            .cmp(&b.task.date)
            .then_with(|| a.task.id.cmp(&b.task.id))
    });
    out
}

fn wish<'a>(
    facts: &Facts<'a>,
    ix: usize,
    block: &'a Block,
    view: TargetView<'a>,
    need: Need,
) -> Option<Wish<'a>> {
    let today = facts.today;
    let last_safe = closes(facts, ix, &view);
    if last_safe.is_some_and(|d| d < today) {
        return None;
    }
    let (drop, _) = facts.season.leaf_drop(block);
    let first_lane_ends = plus(drop, FIRST_LANE_WEEKS * 7);
    let lane = Lane::ALL.into_iter().find(|lane| {
        view.lane(*lane) == Some(true)
            && match lane {
                Lane::AfterLeafDrop => today <= first_lane_ends,
                Lane::MidWinter | Lane::BeforeSwell => true,
            }
    })?;
    let swell = facts.estimate_at(ix).map(|e| &e.swell);
    let date = match lane {
        Lane::AfterLeafDrop => drop,
        Lane::MidWinter => plus(drop, 56),
        // Bare wood is wanted: a week before the last safe day. What works better on
        // swelling buds waits for the likeliest day of swell.
        Lane::BeforeSwell => {
            let last = last_safe?;
            if view.last_stage().is_some_and(|(s, _)| s <= 51) {
                last.checked_sub_days(Days::new(7)).unwrap_or(last)
            } else {
                swell.map_or(last, |s| s.p50().min(last))
            }
        }
    };
    let date = date.max(today).max(drop);
    let date = last_safe.map_or(date, |last| date.min(last).max(today));
    let (material, is_new) = choose(facts.season, block, &view)?;
    let mut reasons = vec![format!(
        "{} on {}: {}.",
        view.name(),
        block.name,
        need.words()
    )];
    if !view.lane_words(lane).is_empty() {
        reasons.push(format!("{}: {}.", lane.words(), view.lane_words(lane)));
    }
    if let Some(last) = last_safe {
        reasons.push(format!("Last safe day on {}: {last}.", block.name));
    }
    if is_new {
        reasons.push(format!(
            "Nothing entered works on it; {} is a starting point, not a label.",
            material.name
        ));
    }
    if !view.caveat().is_empty() {
        reasons.push(view.caveat().to_owned());
    }
    reasons.push(view.source().line());
    Some(Wish {
        block,
        view,
        lane,
        date,
        material,
        is_new,
        reasons,
    })
}

fn plus(day: NaiveDate, days: u64) -> NaiveDate {
    day.checked_add_days(Days::new(days)).unwrap_or(day)
}

/// A material that works on the target and may go on the block: one entered
/// and confirmed first, then one entered, then a starting point.
fn choose(season: &Season, block: &Block, view: &TargetView<'_>) -> Option<(Material, bool)> {
    let fits = |m: &Material| {
        let sensitive = actives_of(&m.active).any(crate::domain::materials::Actives::OIL)
            && rules::trees::listed_as_sensitive(block).is_some();
        view.works(&m.active)
            && !sensitive
            && (m.label.crops.is_empty()
                || m.label.crops.iter().any(|c| on_label(c, block.species)))
            && (!block.organic || matches!(m.label.organic, Organic::Allowed | Organic::Restricted))
    };
    let start = season.starts();
    let entered = season.materials.iter().filter(|m| fits(m)).min_by_key(|m| {
        let read = m.label.read_on.is_some_and(|d| d >= start);
        (m.label.generic, !read, m.label.crops.is_empty())
    });
    if let Some(material) = entered {
        return Some((material.clone(), false));
    }
    STARTERS
        .iter()
        .map(crate::domain::materials::Starter::material)
        .find(|m| fits(m) && season.material(&m.id).is_none())
        .map(|m| (m, true))
}

/// Joins wishes of one target, lane and material whose days are close.
fn joined(mut wishes: Vec<Wish<'_>>) -> Vec<Vec<Wish<'_>>> {
    wishes.sort_by_key(|w| w.date);
    let mut groups: Vec<Vec<Wish<'_>>> = Vec::new();
    for wish in wishes {
        let fits = |group: &&mut Vec<Wish<'_>>| {
            group.first().is_some_and(|first| {
                first.view.id() == wish.view.id()
                    && first.lane == wish.lane
                    && first.material.id == wish.material.id
                    && (wish.date - first.date).num_days() <= SHARED_DAYS
            })
        };
        match groups.iter_mut().find(fits) {
            Some(group) => group.push(wish),
            None => groups.push(vec![wish]),
        }
    }
    groups
}

fn spray(season: &Season, scratch: &mut Season, group: &[Wish<'_>]) -> Proposal {
    let mut reasons: Vec<String> = Vec::new();
    for reason in group.iter().flat_map(|w| &w.reasons) {
        if !reasons.contains(reason) {
            reasons.push(reason.clone());
        }
    }
    let mut task = blank(season);
    let mut new_material = None;
    if let Some(first) = group.first() {
        task.title = format!("{} against {}", first.material.name, first.view.name());
        task.lane = first.lane;
        task.date = first.date;
        task.targets = vec![first.view.id()];
        task.mix = vec![MixPart {
            material: first.material.id.clone(),
            rate: None,
        }];
        new_material = first.is_new.then(|| first.material.clone());
    }
    task.blocks = group.iter().map(|w| w.block.id.clone()).collect();
    task.sprayer = season.sprayers.first().map(|s| s.id.clone());
    name(scratch, &mut task);
    Proposal {
        task,
        new_material,
        reasons,
        warnings: Vec::new(),
    }
}

/// Gives a task an id that neither the season nor another proposal has.
fn name(scratch: &mut Season, task: &mut Task) {
    task.id = scratch.free_task_id(&task.title);
    scratch.tasks.push(task.clone());
}

fn blank(season: &Season) -> Task {
    Task {
        id: TaskId::from(""),
        title: String::new(),
        lane: Lane::BeforeSwell,
        kind: TaskKind::Spray,
        date: season.dates.leaf_drop_expected,
        hour: None,
        blocks: Vec::new(),
        targets: Vec::new(),
        mix: Vec::new(),
        volume: None,
        water_ph: None,
        sprayer: None,
        state: TaskState::Planned,
        notes: None,
        why: None,
        part_of: None,
        moved: Vec::new(),
        quiet: Vec::new(),
    }
}

/// Is this chore still wanted: does no task of its kind stand for the target
/// on the block, and is looking still of use?
fn wants_chore(
    season: &Season,
    block: &Block,
    view: &TargetView<'_>,
    chore: Sanitation,
    need: Need,
    counted: bool,
) -> bool {
    if need == Need::NotNeeded {
        return false;
    }
    if chore.kind == TaskKind::Scout && counted && need == Need::Treat {
        return false;
    }
    let id = view.id();
    !season.tasks.iter().any(|t| {
        t.kind == chore.kind
            && t.targets.contains(&id)
            && (t.blocks.is_empty() || t.blocks.contains(&block.id))
    })
}

fn chore_date(facts: &Facts<'_>, ix: usize, block: &Block, lane: Lane) -> NaiveDate {
    let (drop, _) = facts.season.leaf_drop(block);
    let date = match lane {
        Lane::AfterLeafDrop => drop,
        Lane::MidWinter => plus(drop, 56),
        Lane::BeforeSwell => facts
            .estimate_at(ix)
            .and_then(|e| e.swell.p10().checked_sub_days(Days::new(28)))
            .unwrap_or_else(|| plus(drop, 70)),
    };
    date.max(facts.today)
}

fn chore_task(
    scratch: &mut Season,
    (view, chore, blocks, date): &(TargetView<'_>, Sanitation, Vec<&Block>, NaiveDate),
) -> Proposal {
    let verb = match chore.kind {
        TaskKind::Scout => "Look for",
        TaskKind::Prune => "Prune against",
        TaskKind::CleanUp => "Clean up against",
        _ => "Work against",
    };
    let mut task = blank(scratch);
    task.title = format!("{verb} {}", view.name());
    task.lane = chore.lane;
    task.kind = chore.kind;
    task.date = *date;
    task.blocks = blocks.iter().map(|b| b.id.clone()).collect();
    task.targets = vec![view.id()];
    task.notes = Some(chore.words.to_owned());
    name(scratch, &mut task);
    Proposal {
        task,
        new_material: None,
        reasons: vec![chore.words.to_owned(), view.source().line()],
        warnings: Vec::new(),
    }
}

/// Brings the day forward where the material's own last stage comes before the
/// target's: what is proposed should not be stopped by its own label.
fn keep_to_label(
    season: &Season,
    estimates: &Estimates,
    today: NaiveDate,
    proposal: &mut Proposal,
) {
    let with = with_it(season, proposal);
    let facts = Facts::new(&with, estimates, today);
    let last = facts
        .windows()
        .purposes()
        .iter()
        .filter(|p| p.used.task.id == proposal.task.id)
        .filter_map(|p| {
            let edge = p.window.closes?;
            // Where handbooks differ a proposal keeps to the stricter.
            Some(match p.practice_until.filter(|d| *d < edge.day) {
                Some(until) => (
                    until,
                    "handbooks differ on how late it may go on here".to_owned(),
                ),
                None => (
                    edge.day,
                    window::closes_because(&edge, Some(p.used.material)),
                ),
            })
        })
        .min_by_key(|(day, _)| *day);
    if let Some((day, because)) = last.filter(|(day, _)| (today..proposal.task.date).contains(day))
    {
        proposal.task.date = day;
        proposal
            .reasons
            .push(format!("On {day} at the latest, because {because}."));
    }
}

fn with_it(season: &Season, proposal: &Proposal) -> Season {
    let mut with = season.clone();
    with.materials.extend(proposal.new_material.clone());
    with.tasks.push(proposal.task.clone());
    with
}

fn warnings_of(
    season: &Season,
    estimates: &Estimates,
    today: NaiveDate,
    proposal: &Proposal,
) -> Vec<Warning> {
    let with = with_it(season, proposal);
    let facts = Facts::new(&with, estimates, today);
    let mut found = rules::check(&facts);
    found.retain(|w| w.task.as_ref() == Some(&proposal.task.id));
    found
}
