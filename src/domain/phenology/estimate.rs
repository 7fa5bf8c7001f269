//! The estimate itself: when a stage comes in one block, with its range, and why.
//!
//! [`estimate`] answers one question from scratch. Where many blocks share their weather,
//! [`Climatology::prepare`] is done once, and [`estimates_on`] lays out the season once for all of
//! them and answers each block in well under a millisecond.

mod calibrated;
mod evidence;
mod own_fit;
mod record;
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

use calibrated::Calibrated;
use own_fit::OwnFit;

/// What a bud looked like on a day of this season.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BudReading {
    /// The day.
    pub date: NaiveDate,
    /// BBCH number: 0 still tight, 51 swelling, 53 green tip, 61 first bloom.
    pub bbch: u8,
    /// Did only the first few buds show it, fewer than half?
    pub few: bool,
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
}

/// Answers from scratch. Never fails: what is missing widens the answer and is said in the notes.
/// The same question gets the same answer.
pub fn estimate(question: &Question<'_>) -> Estimate {
    let climatology = Climatology::prepare(question.latitude_deg, question.observed);
    let own = OwnFit::new(&climatology, question);
    let season = climatology.season(&question.season_facts(), &[own.requirement()]);
    answer(&climatology, &season, question, own, 0)
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
    let Some(first) = questions.first() else {
        return Vec::new();
    };
    let own = questions.iter().map(|q| OwnFit::new(climatology, q));
    let own: Vec<OwnFit> = own.collect();
    // Stages of a block, and blocks of one kind, often ask for the same.
    let mut requirements: Vec<&[f64]> = Vec::new();
    let places: Vec<usize> = own
        .iter()
        .map(|fit| {
            let wanted = fit.requirement();
            let known = requirements.iter().position(|r| *r == wanted);
            known.unwrap_or_else(|| {
                requirements.push(wanted);
                requirements.len() - 1
            })
        })
        .collect();
    let season = climatology.season(&first.season_facts(), &requirements);
    own.into_iter()
        .zip(questions)
        .zip(places)
        .map(|((own, question), place)| answer(climatology, &season, question, own, place))
        .collect()
}

/// An answer from the season laid out with the own fit's requirement at a place.
fn answer(
    climatology: &Climatology,
    season: &SeasonAhead,
    question: &Question<'_>,
    own: OwnFit,
    place: usize,
) -> Estimate {
    let need = chill_need(question.species, question.cultivar);
    let calibrated = Calibrated::new(climatology, season, question, own, place);
    let days = calibrated.member_days(season, question.stage);
    let date = evidence::stage_date(&calibrated, season, question, &days);
    let mut heat = season.chart.clone();
    heat.requirement = requirement_on_chart(season, &days, calibrated.sd_days(question.stage));
    let chill = chill_state(season, need);
    let notes = words::notes(&calibrated, season, question, &chill);
    Estimate {
        model: calibrated.model_words(question.stage),
        why_model: calibrated.why(question.stage),
        members: season.members.len(),
        data_through: season.data_through,
        notes,
        heat,
        chill,
        record: calibrated.record(),
        stage: question.stage,
        date,
    }
}

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
