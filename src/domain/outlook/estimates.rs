//! The stage dates of every block, as of one day.

use super::ground::Ground;
use super::hatch::Hatch;
use crate::domain::climate::area::Spot;
use crate::domain::climate::daily::DailySeries;
use crate::domain::climate::weather::Weather;
use crate::domain::phenology::climatology::{Climatology, DegreeDayReading};
use crate::domain::phenology::distribution::StageDate;
use crate::domain::phenology::estimate::{
    BudReading, Estimate, ModelChoice, Question, StageSeen, estimates_on,
};
use crate::domain::phenology::normals::MonthlyNormals;
use crate::domain::phenology::stage::Stage;
use crate::domain::season::{Block, BlockId, HowMany, Reading, Season};
use chrono::{Datelike, NaiveDate};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// The stages every block is asked for, earliest first.
pub const STAGES: [Stage; 3] = [Stage::Swell, Stage::Burst, Stage::FirstBloom];

/// The stage dates of one block: all that the rules look at.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BlockEstimate {
    /// Which block.
    pub block: BlockId,
    /// When buds begin to swell.
    pub swell: StageDate,
    /// When they burst.
    pub burst: StageDate,
    /// When the first flowers open.
    pub bloom: StageDate,
    /// The furthest stage seen this season and the day of the look: a fact.
    #[serde(default)]
    pub seen: Option<(NaiveDate, u8)>,
    /// Stages that only the first few buds showed, each with the day of the look.
    #[serde(default)]
    pub few: Vec<(NaiveDate, u8)>,
}

impl BlockEstimate {
    /// The same with what was seen. What was seen has come by the day of the look, and so has
    /// every stage before it; the stages after it come later; buds seen tight have not swollen
    /// by that day. A stage that only the first few buds showed is under way from that day.
    #[must_use]
    pub fn with_looks(mut self, looks: &[BudReading]) -> Self {
        // Numbers of leaf fall say nothing of next spring's buds.
        let of_buds = || looks.iter().filter(|l| l.bbch < 90);
        let open = |l: &&BudReading| (51..90).contains(&l.bbch);
        self.seen = of_buds()
            .filter(|l| open(l) && !l.few)
            .max_by_key(|l| (l.bbch, std::cmp::Reverse(l.date)))
            .map(|l| (l.date, l.bbch));
        self.few = of_buds()
            .filter(|l| open(l) && l.few)
            .map(|l| (l.date, l.bbch))
            .collect();
        let tight = of_buds().filter(|l| l.bbch == 0).map(|l| l.date).max();
        if let (Some(day), None) = (tight, self.seen) {
            self.swell = self.swell.after(day);
            self.burst = self.burst.after(day);
            self.bloom = self.bloom.after(day);
        }
        self.swell = self.held(51, self.swell.clone());
        self.burst = self.held(53, self.burst.clone());
        self.bloom = self.held(61, self.bloom.clone());
        self
    }

    /// A date of a stage held to what was seen.
    fn held(&self, bbch: u8, date: StageDate) -> StageDate {
        let date = match self.seen {
            Some((day, seen)) if bbch <= seen => date.come_by(day),
            Some((day, _)) => date.after(day),
            None => date,
        };
        let few = self.few.iter().filter(|(_, few)| bbch <= *few);
        few.fold(date, |date, (day, _)| date.under_way_from(*day))
    }

    /// The date of any BBCH stage from swell to bloom, set between its neighbours in proportion: a
    /// reading of the ladder, not a model; what was seen rules.
    pub fn at_bbch(&self, bbch: u8) -> StageDate {
        self.held(bbch.max(51), self.on_the_ladder(bbch))
    }

    fn on_the_ladder(&self, bbch: u8) -> StageDate {
        let (swell, burst, bloom) = (&self.swell, &self.burst, &self.bloom);
        match bbch {
            0..=51 => swell.clone(),
            52 | 53 => between(swell, burst, f64::from(bbch - 51) / 2.0),
            54..=60 => between(burst, bloom, f64::from(bbch - 53) / 8.0),
            _ => bloom.clone(),
        }
    }
}

/// Chances at which two distributions are set side by side: every hundredth.
const STEPS: u32 = 100;

/// The date `share` of the way from one stage to the next, chance by chance.
///
/// Each distribution is walked once: rules ask for many stages of many blocks.
fn between(early: &StageDate, late: &StageDate, share: f64) -> StageDate {
    let days: Vec<NaiveDate> = hundredths(early)
        .zip(hundredths(late))
        .map(|(a, b)| {
            let gap = ((b.max(a) - a).num_days() as f64 * share).round();
            a + chrono::TimeDelta::days(gap as i64)
        })
        .collect();
    let Some((&first, &last)) = days.first().zip(days.last()) else {
        return early.clone();
    };
    let mut reached = 0;
    let by_day = first.iter_days().take_while(|d| *d <= last).map(|d| {
        while days.get(reached).is_some_and(|x| *x <= d) {
            reached += 1;
        }
        reached as f64 / f64::from(STEPS)
    });
    StageDate::new(first, by_day)
}

/// The quantiles at every hundredth, earliest first; the last day held where
/// a chance is never reached.
fn hundredths(date: &StageDate) -> impl Iterator<Item = NaiveDate> + '_ {
    let mut days = date.by_days().peekable();
    let mut at = date.first_day();
    (1..=STEPS).map(move |i| {
        let wanted = f64::from(i) / f64::from(STEPS) - 1e-6;
        while let Some(&(day, chance)) = days.peek() {
            at = day;
            if chance >= wanted {
                break;
            }
            days.next();
        }
        at
    })
}

/// The stage dates of every block.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Estimates {
    /// One entry a block, in the season's order.
    pub blocks: Vec<BlockEstimate>,
    /// The full answers behind them, by block and in the order of [`STAGES`]:
    /// model, notes, curves. For showing and explaining, not for deciding.
    pub answers: BTreeMap<BlockId, [Estimate; 3]>,
    /// What they rest on.
    pub ground: Ground,
    /// Rain of this season's days by the daily files, mm: for what became of sprays.
    pub rain_mm: BTreeMap<NaiveDate, f32>,
    /// When winter eggs hatch and scale wakes.
    pub hatch: Hatch,
}

/// What one block's dormant year shares with others of the same weather.
#[derive(PartialEq)]
struct Facts {
    leaf_drop: NaiveDate,
    readings: Vec<DegreeDayReading>,
}

impl Estimates {
    /// The stage dates of a block.
    pub fn of(&self, block: &BlockId) -> Option<&BlockEstimate> {
        self.blocks.iter().find(|e| &e.block == block)
    }

    /// The full answer for a stage of a block; full bloom is answered by first bloom.
    pub fn answer(&self, block: &BlockId, stage: Stage) -> Option<&Estimate> {
        let place = STAGES
            .iter()
            .position(|s| *s == stage)
            .unwrap_or(STAGES.len() - 1);
        self.answers.get(block)?.get(place)
    }

    /// Works out the stage dates of every block from the orchard's weather.
    pub fn compute(season: &Season, weather: &Weather, today: NaiveDate) -> Self {
        let climatology = climatology(season, weather);
        Self::with(&climatology, season, weather, today)
    }

    /// The same with the past years already worked out: they depend on the
    /// weather files and the latitude alone.
    pub fn with(
        climatology: &Climatology,
        season: &Season,
        weather: &Weather,
        today: NaiveDate,
    ) -> Self {
        let empty = no_weather(today);
        let observed = weather.daily.as_ref().unwrap_or(&empty);
        let normals = normals_with(season, weather);
        // Blocks whose leaves fell on one day and that share their readings share a season.
        let mut groups: Vec<(Facts, Vec<&Block>)> = Vec::new();
        // A kind without a published date has no estimate before its grower has seen dates.
        let asked = |b: &&Block| b.species.has_estimate() || !b.past.is_empty();
        for block in season.blocks.iter().filter(asked) {
            let facts = Facts {
                leaf_drop: season.leaf_drop(block).0,
                readings: degree_days(season, block, today),
            };
            match groups.iter_mut().find(|(f, _)| *f == facts) {
                Some((_, blocks)) => blocks.push(block),
                None => groups.push((facts, vec![block])),
            }
        }
        let mut answers = BTreeMap::new();
        for (facts, blocks) in &groups {
            let looks: Vec<Vec<BudReading>> =
                blocks.iter().map(|b| buds(season, b, today)).collect();
            let seen: Vec<Vec<StageSeen>> = blocks.iter().map(|b| seen(b)).collect();
            let mut questions = Vec::with_capacity(blocks.len() * STAGES.len());
            for ((block, buds), seen) in blocks.iter().zip(&looks).zip(&seen) {
                questions.extend(STAGES.map(|stage| Question {
                    species: block.species,
                    cultivar: block.cultivar.as_deref(),
                    stage,
                    latitude_deg: season.orchard.latitude,
                    leaf_drop: facts.leaf_drop,
                    today,
                    observed,
                    forecast: weather.forecast.as_ref(),
                    normals: Some(&normals),
                    degree_day_readings: &facts.readings,
                    bud_readings: buds,
                    seen,
                    model: model_of(block),
                }));
            }
            let mut told = estimates_on(climatology, &questions).into_iter();
            for block in blocks {
                if let (Some(swell), Some(burst), Some(bloom)) =
                    (told.next(), told.next(), told.next())
                {
                    answers.insert(block.id.clone(), [swell, burst, bloom]);
                }
            }
        }
        let blocks = season.blocks.iter().filter_map(|block| {
            let [swell, burst, bloom] = answers.get(&block.id)?.each_ref();
            let estimate = BlockEstimate {
                block: block.id.clone(),
                swell: swell.date.clone(),
                burst: burst.date.clone(),
                bloom: bloom.date.clone(),
                seen: None,
                few: Vec::new(),
            };
            Some(estimate.with_looks(&buds(season, block, today)))
        });
        let blocks: Vec<BlockEstimate> = blocks.collect();
        // The full answers say the same days as the short ones: what was seen rules both.
        for block in &blocks {
            if let Some(told) = answers.get_mut(&block.block) {
                let dates = [&block.swell, &block.burst, &block.bloom];
                for (answer, date) in told.iter_mut().zip(dates) {
                    answer.date.clone_from(date);
                }
            }
        }
        Self {
            blocks,
            answers,
            ground: Ground::of(climatology, weather, &normals),
            hatch: Hatch::of(season, weather, &normals, today),
            rain_mm: weather
                .rain_mm
                .range(season.starts()..=today.max(season.starts()))
                .map(|(day, mm)| (*day, *mm))
                .collect(),
        }
    }
}

/// Past years worked out for a season's place.
pub fn climatology(season: &Season, weather: &Weather) -> Climatology {
    let empty = no_weather(season.dates.leaf_drop_expected);
    Climatology::prepare(
        season.orchard.latitude,
        weather.daily.as_ref().unwrap_or(&empty),
    )
}

fn no_weather(first: NaiveDate) -> DailySeries {
    DailySeries::empty(first)
}

/// The normals of a season's place: those the grower gave, else the area's in the climate of the
/// spring to come.
pub fn normals(season: &Season) -> MonthlyNormals {
    let twelve = |list: &[crate::domain::units::Temperature]| -> Option<[f64; 12]> {
        let all: Vec<f64> = list.iter().map(|t| t.c()).collect();
        all.try_into().ok()
    };
    let given = season.weather.normals.as_ref();
    given
        .and_then(|n| Some(MonthlyNormals::given(twelve(&n.low)?, twelve(&n.high)?)))
        .unwrap_or_else(|| {
            let spring = season.dates.leaf_drop_expected.year_ce().1 + 1;
            let year = i32::try_from(spring).unwrap_or(i32::MAX);
            spot(season).normals(year)
        })
}

/// The same, moved to a typical year where the weather holds one.
fn normals_with(season: &Season, weather: &Weather) -> MonthlyNormals {
    let normals = normals(season);
    match &weather.typical {
        Some(year) => normals.improved_by_typical(year),
        None => normals,
    }
}

/// Where a season's orchard lies.
pub fn spot(season: &Season) -> Spot {
    let orchard = &season.orchard;
    Spot {
        latitude_deg: orchard.latitude,
        longitude_deg: Some(orchard.longitude),
        elevation_m: orchard.elevation.as_ref().map(|e| e.m()),
    }
}

fn degree_days(season: &Season, block: &Block, today: NaiveDate) -> Vec<DegreeDayReading> {
    let readings = season
        .readings
        .iter()
        .filter(|r| r.is_for(&block.id) && r.date() <= today);
    readings
        .filter_map(|r| match r {
            Reading::DegreeDays {
                date,
                total,
                base,
                since,
                ..
            } => Some(DegreeDayReading {
                date: *date,
                start: *since,
                base_c: base.c(),
                total_c_days: total * base.unit.degree_c(),
                method: None,
            }),
            Reading::Buds { .. } | Reading::Rain { .. } => None,
        })
        .collect()
}

fn seen(block: &Block) -> Vec<StageSeen> {
    let past = block.past.iter().map(|p| StageSeen {
        stage: p.stage,
        date: p.date,
    });
    past.collect()
}

fn buds(season: &Season, block: &Block, today: NaiveDate) -> Vec<BudReading> {
    let readings = season
        .readings
        .iter()
        .filter(|r| r.is_for(&block.id) && r.date() <= today);
    readings
        .filter_map(|r| match r {
            Reading::Buds {
                date,
                bbch,
                how_many,
                ..
            } => Some(BudReading {
                date: *date,
                bbch: *bbch,
                few: *how_many == HowMany::FirstFew,
            }),
            Reading::DegreeDays { .. } | Reading::Rain { .. } => None,
        })
        .collect()
}

/// The model a block asks for; words nobody knows ask for the mixture.
pub(super) fn model_of(block: &Block) -> ModelChoice {
    let asked = block.model.as_deref();
    asked.and_then(ModelChoice::from_text).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stage_between_two_lies_in_proportion_at_every_chance() {
        let day = |text: &str| text.parse::<NaiveDate>().unwrap();
        let ramp = |first: &str, days: u32, top: f64| {
            StageDate::new(
                day(first),
                (1..=days).map(move |i| (f64::from(i) / f64::from(days)).powi(2) * top),
            )
        };
        let burst = ramp("2027-03-01", 23, 1.0);
        let bloom = ramp("2027-03-20", 31, 0.97);
        let e = BlockEstimate {
            block: BlockId::from("b"),
            swell: ramp("2027-02-10", 17, 1.0),
            burst: burst.clone(),
            bloom: bloom.clone(),
            seen: None,
            few: Vec::new(),
        };
        for bbch in 54..=60 {
            let stage = e.at_bbch(bbch);
            let share = f64::from(bbch - 53) / 8.0;
            for i in 1..=100 {
                let p = f64::from(i) / 100.0;
                let (a, b) = (burst.quantile(p), bloom.quantile(p));
                let gap = ((b - a).num_days() as f64 * share).round() as i64;
                assert_eq!(
                    stage.quantile(p),
                    a + chrono::TimeDelta::days(gap),
                    "{bbch} {p}"
                );
            }
        }
        assert_eq!(e.at_bbch(51), e.swell);
        assert_eq!(e.at_bbch(65), e.bloom);
    }
}
