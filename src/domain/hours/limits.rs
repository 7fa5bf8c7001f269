//! What an hour must be like for a task: from the labels, then the orchard, then published
//! practice; each limit keeps where it comes from.

mod own_time;
mod published;

use super::compass;
use crate::domain::materials::{Actives, actives_of};
use crate::domain::season::{
    Material, MaterialId, Orchard, Reading, Season, Task, TaskId, TaskKind,
};
use crate::domain::sources::Source;

pub use own_time::OwnTime;

/// How grave it is to miss a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Weight {
    /// Worth knowing; changes nothing.
    Advice,
    /// The hour becomes doubtful.
    Doubt,
    /// The hour becomes unfit.
    Stop,
}

/// Where a limit comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LimitFrom {
    /// The label of one of the task's materials, by its place in [`Limits::materials`].
    Label(usize),
    /// The orchard: its owner or its neighbours.
    Orchard,
    /// Published practice.
    Published(&'static Source),
}

/// What is looked at in an hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Look {
    /// Air below this, °C.
    AirBelow(f64),
    /// Air above this, °C.
    AirAbove(f64),
    /// Air below `below_c` in the hours after the hour of spraying; 0 °C itself is freezing.
    ColdAfter {
        /// From how many hours after.
        from_h: usize,
        /// To how many hours after.
        to_h: usize,
        /// °C.
        below_c: f64,
    },
    /// Air below `below_c` in the hours before; 0 °C itself is freezing.
    ColdBefore {
        /// From how many hours before.
        from_h: usize,
        /// To how many hours before.
        to_h: usize,
        /// °C.
        below_c: f64,
    },
    /// Rain in the hour or within this many hours after it.
    RainAfter(usize),
    /// Rain within this many hours before.
    RainBefore(usize),
    /// Chance of rain of this or more, %, within `hours` after.
    RainChance {
        /// Hours after.
        hours: usize,
        /// %.
        from_pct: f64,
    },
    /// Wind over this, m/s.
    WindAbove(f64),
    /// Gusts over this, m/s.
    GustAbove(f64),
    /// Wind under this, m/s.
    WindBelow(f64),
    /// Wind from one of these points, which carries drift to neighbours; see
    /// [`compass::set_of`].
    WindFrom(u8),
    /// Air likely layered.
    LayeredAir,
    /// Humidity over this, %.
    HumidityAbove(f64),
    /// Wet-bulb depression under this, °C.
    DepressionBelow(f64),
    /// Wet-bulb depression over this, °C.
    DepressionAbove(f64),
    /// Bark wet with rain or dew.
    WetBark,
    /// Wood frozen: frost in the hour or in the three before.
    FrozenWood,
    /// The film freezes or is rained on before it is dry.
    DriesTooLate,
    /// Darkness.
    Dark,
    /// Outside the hours or days the grower works.
    OwnTime,
    /// No forecast: a typical year stands in.
    NotThisYear,
}

impl Look {
    /// Looks that ask the same of the same hours: only the strictest of each weight is kept.
    fn same_as(self, other: Self) -> bool {
        let start = |look| match look {
            Self::ColdAfter { from_h, .. } | Self::ColdBefore { from_h, .. } => from_h,
            _ => 0,
        };
        std::mem::discriminant(&self) == std::mem::discriminant(&other)
            && start(self) == start(other)
    }

    /// How strict, to compare two looks of the same kind; more is stricter.
    fn strictness(self) -> f64 {
        match self {
            Self::AirBelow(v) | Self::WindBelow(v) | Self::DepressionBelow(v) => v,
            Self::AirAbove(v)
            | Self::WindAbove(v)
            | Self::GustAbove(v)
            | Self::HumidityAbove(v)
            | Self::DepressionAbove(v) => -v,
            Self::RainAfter(h) | Self::RainBefore(h) => h as f64,
            Self::ColdAfter { to_h, below_c, .. } | Self::ColdBefore { to_h, below_c, .. } => {
                to_h as f64 + below_c / 100.0
            }
            Self::RainChance { hours, from_pct } => hours as f64 - from_pct / 100.0,
            _ => 0.0,
        }
    }
}

/// One limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limit {
    /// What is looked at.
    pub look: Look,
    /// How grave it is to miss it.
    pub weight: Weight,
    /// Where it comes from.
    pub from: LimitFrom,
}

/// Everything asked of an hour for one task.
#[derive(Debug, Clone, PartialEq)]
pub struct Limits {
    /// Which task.
    pub task: TaskId,
    /// Its materials with their names, in the order of its mix.
    pub materials: Vec<(MaterialId, String)>,
    /// The limits.
    pub all: Vec<Limit>,
    /// When the grower works.
    pub own_time: OwnTime,
}

impl Limits {
    /// The limits of a task: for a spray those of its labels, the orchard and published
    /// practice; for other work only daylight, rain in the hour and the grower's own time.
    pub fn of(season: &Season, task: &Task) -> Self {
        let materials: Vec<&Material> = task
            .mix
            .iter()
            .filter_map(|part| season.material(&part.material))
            .collect();
        let mut all = Vec::new();
        if task.kind == TaskKind::Spray {
            for (place, material) in materials.iter().enumerate() {
                all.extend(of_label(place, material));
                all.extend(published::for_material(material));
            }
            let has_copper = |m: &&Material| actives_of(&m.active).any(Actives::COPPER);
            if materials.iter().any(has_copper) && is_green_seen(season, task) {
                all.extend(published::copper_on_green());
            }
            all.extend(published::for_any_spray());
            all.extend(of_orchard(&season.orchard));
            if materials.iter().all(|m| m.label.wind_max.is_none()) {
                all.extend(published::wind());
            }
        } else {
            all.extend(published::for_other_work());
        }
        let own_time = OwnTime::of(&season.orchard);
        if !own_time.is_always() {
            all.push(Limit {
                look: Look::OwnTime,
                weight: Weight::Stop,
                from: LimitFrom::Orchard,
            });
        }
        Self {
            task: task.id.clone(),
            materials: materials
                .iter()
                .map(|m| (m.id.clone(), m.name.clone()))
                .collect(),
            all: strictest(all),
            own_time,
        }
    }

    /// Who asks for a limit, in plain words.
    pub fn who(&self, from: LimitFrom) -> String {
        match from {
            LimitFrom::Label(place) => {
                let name = self
                    .materials
                    .get(place)
                    .map_or("material", |(_, name)| name);
                format!("label of {name}")
            }
            LimitFrom::Orchard => "the orchard's own limit".to_owned(),
            LimitFrom::Published(source) => source.line(),
        }
    }
}

/// Was first green, or a later stage, seen on a block of the task?
fn is_green_seen(season: &Season, task: &Task) -> bool {
    season.blocks_of(task).any(|block| {
        season.readings.iter().any(|r| match r {
            Reading::Buds { bbch, .. } => r.is_for(&block.id) && matches!(bbch, 7..=19 | 53..=89),
            Reading::DegreeDays { .. } | Reading::Rain { .. } => false,
        })
    })
}

/// Keeps the strictest limit of each kind and weight; of equal ones the first, so that a label
/// goes before the orchard and the orchard before practice.
fn strictest(all: Vec<Limit>) -> Vec<Limit> {
    let mut kept: Vec<Limit> = Vec::with_capacity(all.len());
    for limit in all {
        let same = kept
            .iter_mut()
            .find(|k| k.look.same_as(limit.look) && k.weight == limit.weight);
        match same {
            Some(k) if limit.look.strictness() > k.look.strictness() => *k = limit,
            Some(_) => {}
            None => kept.push(limit),
        }
    }
    kept
}

fn of_label(place: usize, material: &Material) -> Vec<Limit> {
    let label = &material.label;
    let hours = |span: crate::domain::units::Span| span.hours().ceil().clamp(0.0, 720.0) as usize;
    let looks = [
        label.temp_min.map(|t| Look::AirBelow(t.c())),
        label.temp_max.map(|t| Look::AirAbove(t.c())),
        label.frost_free_after.map(|s| Look::ColdAfter {
            from_h: 0,
            to_h: hours(s),
            below_c: 0.0,
        }),
        label.frost_free_before.map(|s| Look::ColdBefore {
            from_h: 0,
            to_h: hours(s),
            below_c: 0.0,
        }),
        label.dry_after.map(|s| Look::RainAfter(hours(s))),
        label.dry_before.map(|s| Look::RainBefore(hours(s))),
        label.wind_max.map(|s| Look::WindAbove(s.ms())),
        label.wind_min.map(|s| Look::WindBelow(s.ms())),
    ];
    let mut limits: Vec<Limit> = looks
        .into_iter()
        .flatten()
        .map(|look| Limit {
            look,
            weight: Weight::Stop,
            from: LimitFrom::Label(place),
        })
        .collect();
    if let Some(most) = label.wind_max {
        limits.push(Limit {
            look: Look::GustAbove(most.ms()),
            weight: Weight::Stop,
            from: LimitFrom::Label(place),
        });
    }
    limits
}

fn of_orchard(orchard: &Orchard) -> Vec<Limit> {
    let own = |look, weight| Limit {
        look,
        weight,
        from: LimitFrom::Orchard,
    };
    let mut limits = Vec::new();
    if let Some(most) = orchard.wind_max {
        limits.push(own(Look::WindAbove(most.ms()), Weight::Stop));
        limits.push(own(Look::GustAbove(most.ms()), Weight::Stop));
    }
    let avoid = compass::set_of(&orchard.avoid_winds);
    if avoid != 0 {
        limits.push(own(Look::WindFrom(avoid), Weight::Stop));
    }
    limits
}

#[cfg(test)]
mod tests;
