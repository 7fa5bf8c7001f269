//! The estimate itself: when a stage comes in one block, with its range, and why.
//!
//! [`estimate`] answers one question from scratch. Where many blocks share their weather,
//! [`Climatology::prepare`] is done once, and [`estimates_on`] lays out the season once for all of
//! them and answers each block in well under a millisecond.

mod calibrated;
mod own_fit;
mod place;
mod record;
mod traces;
mod words;

use chrono::NaiveDate;

use super::climatology::{Climatology, SeasonAhead, SeasonFacts};
use super::distribution::StageDate;
use super::normals::MonthlyNormals;
use super::requirements::{ChillNeed, chill_need};
use super::species::Species;
use super::stage::Stage;
use crate::domain::climate::daily::DailySeries;

pub use super::climatology::{DegreeDayReading, HeatCurve};
pub use calibrated::ModelChoice;
pub use record::HindcastRecord;

pub use super::chain::LookWorth;
use super::chain::{Class, LADDER};
use calibrated::{Calibrated, Places};
use own_fit::OwnFit;

/// What a bud looked like on a day of this season.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BudReading {
    /// The day.
    pub date: NaiveDate,
    /// BBCH number: 0 still tight, 51 swelling, 53 green tip, 61 first bloom.
    pub bbch: u8,
}

/// A stage seen in a past season at the same place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StageSeen {
    /// The stage.
    pub stage: Stage,
    /// The day.
    pub date: NaiveDate,
}

/// All that bears on one block's estimate.
#[derive(Debug, Clone, Copy)]
pub struct Question<'a> {
    /// Species.
    pub species: Species,
    /// Cultivar, for its published chill.
    pub cultivar: Option<&'a str>,
    /// Stage asked for.
    pub stage: Stage,
    /// Latitude, degrees, south negative.
    pub latitude_deg: f64,
    /// Leaf drop, which names the dormant year.
    pub leaf_drop: NaiveDate,
    /// The day on which the question is put.
    pub today: NaiveDate,
    /// All daily extremes on record, this season's included, with any gaps.
    pub observed: &'a DailySeries,
    /// Forecast of daily extremes.
    pub forecast: Option<&'a DailySeries>,
    /// Monthly normals.
    pub normals: Option<&'a MonthlyNormals>,
    /// Degree-day totals of this season, counted elsewhere.
    pub degree_day_readings: &'a [DegreeDayReading],
    /// This season's looks at the buds.
    pub bud_readings: &'a [BudReading],
    /// Stages seen in past seasons at this place.
    pub seen: &'a [StageSeen],
    /// Which model answers.
    pub model: ModelChoice,
}

/// Chill of the season.
#[derive(Debug, Clone, PartialEq)]
pub struct ChillState {
    /// Portions gathered up to the last observed day.
    pub so_far_portions: f64,
    /// Portions needed.
    pub need: ChillNeed,
    /// Day on which the need was met, or is expected to be (median); `None` if most ways the
    /// season may go do not meet it.
    pub met: Option<NaiveDate>,
    /// Whether that day lies behind.
    pub is_met: bool,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimate {
    /// When the stage comes.
    pub date: StageDate,
    /// The stage.
    pub stage: Stage,
    /// The model in words.
    pub model: String,
    /// Why this model.
    pub why_model: String,
    /// Ways the season may go that were counted.
    pub members: usize,
    /// Last day with observed temperatures.
    pub data_through: Option<NaiveDate>,
    /// Plain sentences: what is missing, what widened the range, what would narrow it most.
    pub notes: Vec<String>,
    /// Heat of the season, for the chart.
    pub heat: HeatCurve,
    /// Chill of the season.
    pub chill: ChillState,
    /// How good the estimate has been on the dates seen here, where there are enough.
    pub record: Option<HindcastRecord>,
    /// What a look at the buds today would be worth.
    pub look: LookWorth,
}

/// All stages of one block, from one chain.
#[derive(Debug, Clone)]
pub struct BlockStages {
    /// The date of every stage of [`LADDER`], in its order.
    pub ladder: Vec<StageDate>,
    /// The full answers of the stages asked for, in their order.
    pub estimates: Vec<Estimate>,
}

/// Answers from scratch. Never fails: what is missing widens the answer and is said in the notes.
/// The same question gets the same answer.
pub fn estimate(question: &Question<'_>) -> Estimate {
    let climatology = Climatology::prepare(question.latitude_deg, question.observed);
    estimate_on(&climatology, question)
}

/// The same with the past years worked out.
pub fn estimate_on(climatology: &Climatology, question: &Question<'_>) -> Estimate {
    let fits = Fits::new(climatology, question);
    let mut requirements: Vec<&[f64]> = vec![fits.bloom.requirement()];
    requirements.extend(fits.green.as_ref().map(OwnFit::requirement));
    let places = Places {
        bloom: 0,
        green: fits.green.is_some().then_some(1),
    };
    let season = climatology.season(&question.season_facts(), &requirements);
    let calibrated = fits.calibrated(climatology, &season, question, places);
    answer(&calibrated, &season, question, question.stage)
}

impl<'a> Question<'a> {
    /// The part that concerns the weather: blocks for which it is equal share a season.
    pub const fn season_facts(&self) -> SeasonFacts<'a> {
        SeasonFacts {
            leaf_drop: self.leaf_drop,
            today: self.today,
            forecast: self.forecast,
            normals: self.normals,
            readings: self.degree_day_readings,
        }
    }
}

/// Answers with the past years worked out, in the order of the questions. They must be about the
/// same weather: its facts are taken from the first.
pub fn estimates_on(climatology: &Climatology, questions: &[Question<'_>]) -> Vec<Estimate> {
    let stages: Vec<[Stage; 1]> = questions.iter().map(|q| [q.stage]).collect();
    let asked = questions.iter().zip(&stages);
    let asked: Vec<(&Question<'_>, &[Stage])> = asked.map(|(q, s)| (q, s.as_slice())).collect();
    let answered = stages_on(climatology, &asked);
    answered.into_iter().flat_map(|a| a.estimates).collect()
}

/// Answers each question for several stages at once, all of one chain. They must be about the same
/// weather: its facts are taken from the first.
pub fn stages_on(
    climatology: &Climatology,
    questions: &[(&Question<'_>, &[Stage])],
) -> Vec<BlockStages> {
    let Some((first, _)) = questions.first() else {
        return Vec::new();
    };
    // Blocks of one kind, and stages of one block, often ask for the same.
    let mut different: Vec<&Question<'_>> = Vec::new();
    let which: Vec<usize> = questions
        .iter()
        .map(|(question, _)| {
            let known = different.iter().position(|d| d.has_the_chain_of(question));
            known.unwrap_or_else(|| {
                different.push(question);
                different.len() - 1
            })
        })
        .collect();
    let fits: Vec<Fits> = different
        .iter()
        .map(|q| Fits::new(climatology, q))
        .collect();
    let mut requirements: Vec<&[f64]> = Vec::new();
    let mut place_of = |wanted| {
        let known = requirements.iter().position(|r| *r == wanted);
        known.unwrap_or_else(|| {
            requirements.push(wanted);
            requirements.len() - 1
        })
    };
    let places: Vec<Places> = fits
        .iter()
        .map(|fit| Places {
            bloom: place_of(fit.bloom.requirement()),
            green: fit.green.as_ref().map(|g| place_of(g.requirement())),
        })
        .collect();
    let season = climatology.season(&first.season_facts(), &requirements);
    let chains: Vec<(Calibrated, Vec<StageDate>)> = fits
        .into_iter()
        .zip(&different)
        .zip(places)
        .map(|((fits, question), places)| {
            let calibrated = fits.calibrated(climatology, &season, question, places);
            let ladder = LADDER.iter().map(|bbch| calibrated.chain().date(*bbch));
            let ladder = ladder.collect();
            (calibrated, ladder)
        })
        .collect();
    questions
        .iter()
        .zip(which)
        .filter_map(|((question, stages), place)| {
            let (calibrated, ladder) = chains.get(place)?;
            let of = |stage: &Stage| answer(calibrated, &season, question, *stage);
            Some(BlockStages {
                ladder: ladder.clone(),
                estimates: stages.iter().map(of).collect(),
            })
        })
        .collect()
}

/// The carried fits that a block's chain is drawn from, with its own dates.
struct Fits {
    bloom: OwnFit,
    green: Option<OwnFit>,
}

impl Fits {
    fn new(climatology: &Climatology, question: &Question<'_>) -> Self {
        Self {
            bloom: OwnFit::bloom(climatology, question),
            green: OwnFit::green(climatology, question),
        }
    }

    fn calibrated(
        self,
        climatology: &Climatology,
        season: &SeasonAhead,
        question: &Question<'_>,
        places: Places,
    ) -> Calibrated {
        Calibrated::new(
            climatology,
            season,
            question,
            self.bloom,
            self.green,
            places,
        )
    }
}

impl Question<'_> {
    fn has_the_chain_of(&self, other: &Self) -> bool {
        self.species == other.species
            && self.model == other.model
            && self.seen == other.seen
            && self.bud_readings == other.bud_readings
            && self.cultivar.and_then(Class::from_text) == other.cultivar.and_then(Class::from_text)
    }
}

fn answer(
    calibrated: &Calibrated,
    season: &SeasonAhead,
    question: &Question<'_>,
    stage: Stage,
) -> Estimate {
    let need = chill_need(question.species, question.cultivar);
    let date = calibrated.chain().date(stage.bbch());
    let days = calibrated.member_days(stage);
    let mut heat = season.chart.clone();
    let width = (date.p90() - date.p10()).num_days() as f64;
    heat.requirement = requirement_on_chart(season, &days, width / P10_TO_P90_SDS);
    let chill = chill_state(season, need);
    let today = season.year.day_of(question.today);
    let look = calibrated.chain().look_worth(today, stage.bbch());
    let notes = words::notes(calibrated, season, question, &chill, stage, look);
    Estimate {
        model: calibrated.model_words(stage),
        why_model: calibrated.why(stage),
        members: season.members.len(),
        data_through: season.data_through,
        notes,
        heat,
        chill,
        record: calibrated.record(),
        stage,
        date,
        look,
    }
}

/// Standard deviations from P10 to P90 (normal).
const P10_TO_P90_SDS: f64 = 2.563;

/// Heat on the chart at which the stage is expected: median over members, and a spread's width to
/// either side.
fn requirement_on_chart(season: &SeasonAhead, days: &[f32], sd_days: f64) -> (f32, f32, f32) {
    let solstice = super::dormant_year::SOLSTICE;
    let at = |shift: f64| {
        let mut levels: Vec<f32> = season
            .members
            .iter()
            .zip(days)
            .map(|(member, day)| {
                let place = (f64::from(*day) + shift).round().max(0.0) as usize;
                let end = member.heat.len().saturating_sub(1);
                let base = member.heat.get(solstice).copied().unwrap_or(0.0);
                (member.heat.get(place.min(end)).copied().unwrap_or(0.0) - base).max(0.0)
            })
            .collect();
        levels.sort_by(f32::total_cmp);
        levels.get(levels.len() / 2).copied().unwrap_or(0.0)
    };
    (at(-sd_days), at(0.0), at(sd_days))
}

fn chill_state(season: &SeasonAhead, need: ChillNeed) -> ChillState {
    let portions = need.portions as f32;
    let mut met: Vec<usize> = season
        .members
        .iter()
        .map(|m| m.chill.partition_point(|&c| c < portions))
        .collect();
    met.sort_unstable();
    let middle = met.get(met.len() / 2).copied().unwrap_or(usize::MAX);
    let reached = middle <= super::dormant_year::DAYS;
    let is_met = season.chill_so_far >= portions;
    ChillState {
        so_far_portions: f64::from(season.chill_so_far),
        need,
        met: reached.then(|| season.year.date(middle.saturating_sub(1))),
        is_met,
    }
}

#[cfg(test)]
mod tests;
