//! The models set up for one block: the carried fits, narrowed by the dates seen there.

use std::fmt::Write as _;

use super::Question;
use super::own_fit::{OwnFit, seen_days};
use super::record::HindcastRecord;
use crate::domain::phenology::calibrate::{CALENDAR, Crossings, Curves, Predictor};
use crate::domain::phenology::climatology::{Climatology, SeasonAhead, carry_over};
use crate::domain::phenology::drift::{Correction, Drift, Leftovers};
use crate::domain::phenology::fitted::FittedGroup;
use crate::domain::phenology::ladder::Rung;
use crate::domain::phenology::models::{Family, ForcingModel, LIBRARY};
use crate::domain::phenology::species::Species;
use crate::domain::phenology::stage::Stage;

/// Which model answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum ModelChoice {
    /// The mixture, shared out by how well its members did.
    #[default]
    Auto,
    /// The members of one family only.
    Family(Family),
}

impl ModelChoice {
    /// Reads the words of the season file; `None` for anything else.
    pub fn from_text(text: &str) -> Option<Self> {
        match text.trim().to_lowercase().replace(['-', '_'], " ").as_str() {
            "" | "auto" | "mixture" => Some(Self::Auto),
            "thermal" | "thermal time" => Some(Self::Family(Family::ThermalTime)),
            "sequential" | "chill then heat" => Some(Self::Family(Family::ChillThenHeat)),
            "overlap" | "overlapping chill and heat" => Some(Self::Family(Family::Overlap)),
            _ => None,
        }
    }

    pub(super) fn keeps(self, member: usize) -> bool {
        match (self, LIBRARY.get(member)) {
            (Self::Family(family), Some(model)) => model.family() == family,
            (Self::Family(_), None) => false,
            (Self::Auto, _) => true,
        }
    }
}

/// Spread that standing in for another species adds, days.
const KIN_DAYS: f64 = 7.0;

/// A predictor for one stage of one block.
#[derive(Debug)]
struct Base {
    stage: Stage,
    group: &'static FittedGroup,
    predictor: Predictor,
    correction: Correction,
    own_years: usize,
    record: Option<HindcastRecord>,
    /// Its day in every member, corrected.
    days: Vec<f32>,
}

/// The models of one block.
#[derive(Debug)]
pub(super) struct Calibrated {
    base: Base,
    kin: Option<Species>,
    species: Species,
    /// Correction of stages derived from the base by dates seen of that very stage.
    derived: Vec<(Stage, Correction, usize)>,
}

impl Calibrated {
    pub(super) fn new(
        climatology: &Climatology,
        season: &SeasonAhead,
        question: &Question<'_>,
        own: OwnFit,
        place: usize,
    ) -> Self {
        let kin = own.kin;
        let mut out = Self {
            base: Base::new(season, own, place),
            kin,
            species: question.species,
            derived: Vec::new(),
        };
        for stage in Stage::ALL {
            if let Some(rung) = out.rung(stage) {
                let (correction, years) =
                    out.derived_correction(climatology, season, question, rung, stage);
                out.derived.push((stage, correction, years));
            }
        }
        out
    }

    /// How a stage hangs on the base; `None` for the base itself and for later stages.
    fn rung(&self, stage: Stage) -> Option<Rung> {
        Rung::new(self.species, stage, self.base.stage)
    }

    /// What dates seen of a derived stage say about deriving it here.
    fn derived_correction(
        &self,
        climatology: &Climatology,
        season: &SeasonAhead,
        question: &Question<'_>,
        rung: Rung,
        stage: Stage,
    ) -> (Correction, usize) {
        let mut leftovers = Leftovers::default();
        for (year, day) in seen_days(question.seen, stage, climatology.latitude_deg()) {
            if year == season.year.spring_year() {
                continue;
            }
            if let Some(past) = climatology.past_year(year) {
                let later = self.base.corrected_day(past.went());
                leftovers.push(year, 0.0, f64::from(day - (later - rung.before_days)));
            }
        }
        let drift = Drift {
            offset_days: rung.place_sd_days,
            drift_days: 0.0,
            length_years: 1.0,
            slope: 0.0,
            noise_days: self.base.correction.sd_days.hypot(rung.spring_sd_days),
        };
        (
            drift.correction(&leftovers, season.year.spring_year(), 0.0),
            leftovers.len(),
        )
    }

    fn derived_for(&self, stage: Stage) -> Option<(Rung, Correction, usize)> {
        let rung = self.rung(stage)?;
        let (_, correction, years) = self.derived.iter().find(|d| d.0 == stage)?;
        Some((rung, *correction, *years))
    }

    /// Day of a stage in every member, corrections included.
    pub(super) fn member_days(&self, season: &SeasonAhead, stage: Stage) -> Vec<f32> {
        let derived = self.derived_for(stage);
        let day = |base: &f32| match &derived {
            Some((rung, correction, _)) => base - rung.before_days + correction.mean_days as f32,
            None => base + later_days(self.base.stage, stage),
        };
        let weights = season.members.iter().map(|m| m.weight);
        let mut days: Vec<(f32, f64)> = self.base.days.iter().map(day).zip(weights).collect();
        let warmer_c: Vec<Option<f64>> = season.members.iter().map(|m| m.warmer_c).collect();
        carry_over(&mut days, &warmer_c);
        days.into_iter().map(|(day, _)| day).collect()
    }

    /// Spread of a stage around a member's day, days.
    pub(super) fn sd_days(&self, stage: Stage) -> f64 {
        let kin = if self.kin.is_some() && self.base.own_years == 0 {
            KIN_DAYS
        } else {
            0.0
        };
        let base = match self.derived_for(stage) {
            Some((_, correction, _)) => correction.sd_days,
            None if stage > self.base.stage => self.base.correction.sd_days.hypot(2.5),
            None => self.base.correction.sd_days,
        };
        base.hypot(kin)
    }

    /// Own years that speak for a stage: of the stage itself, and of the base.
    pub(super) fn own_years(&self, stage: Stage) -> (usize, usize) {
        let of_stage = self
            .derived_for(stage)
            .map_or(self.base.own_years, |(_, _, years)| years);
        (of_stage, self.base.own_years)
    }

    pub(super) const fn base_stage(&self) -> Stage {
        self.base.stage
    }

    pub(super) const fn kin(&self) -> Option<Species> {
        self.kin
    }

    pub(super) fn record(&self) -> Option<HindcastRecord> {
        self.base.record.clone()
    }

    /// Whether a stage is placed by its distance from a later one.
    pub(super) fn is_derived(&self, stage: Stage) -> bool {
        self.rung(stage).is_some()
    }

    pub(super) fn model_words(&self, stage: Stage) -> String {
        let mut families = [
            (Family::ThermalTime, 0.0),
            (Family::ChillThenHeat, 0.0),
            (Family::Overlap, 0.0),
        ];
        for (model, share) in LIBRARY.iter().zip(self.base.predictor.shares()) {
            for slot in &mut families {
                if slot.0 == model.family() {
                    slot.1 += share;
                }
            }
        }
        families.sort_by(|a, b| b.1.total_cmp(&a.1));
        let calendar = self
            .base
            .predictor
            .shares()
            .get(CALENDAR)
            .copied()
            .unwrap_or(0.0);
        let mut parts: Vec<String> = families
            .iter()
            .filter(|f| f.1 >= 0.01)
            .map(|(family, share)| format!("{} {:.0} %", family.words(), share * 100.0))
            .collect();
        if calendar >= 0.01 {
            parts.push(format!("calendar mean {:.0} %", calendar * 100.0));
        }
        let derived = if self.is_derived(stage) {
            format!("; {stage} derived from {}", self.base.stage)
        } else {
            String::new()
        };
        format!("mixture of {}{derived}", parts.join(", "))
    }

    pub(super) fn why(&self, stage: Stage) -> String {
        let group = self.base.group;
        let mut out = format!(
            "members share by their errors on {} {} dates of {} in {} series at {} places",
            group.dates, group.stage, group.species, group.series, group.sites
        );
        if self.base.own_years > 0 {
            let _ = write!(out, ", and on {} years of your own", self.base.own_years);
        }
        if self.is_derived(stage) {
            out.push_str(
                "; days from swelling to bloom from Miranda et al. 2013 (Agric. For. Meteorol. 178-179:129-139)",
            );
        }
        out
    }
}

/// Days from one late stage on to the next where only the earlier was fitted (first to full bloom:
/// median lag of the carried records).
const fn later_days(from: Stage, to: Stage) -> f32 {
    match (from, to) {
        (Stage::FirstBloom, Stage::FullBloom) => 4.0,
        (Stage::Burst, Stage::FirstBloom) => 18.0,
        (Stage::Burst, Stage::FullBloom) => 22.0,
        _ => 0.0,
    }
}

impl Base {
    fn new(season: &SeasonAhead, own: OwnFit, place: usize) -> Self {
        let crossings = || season.members.iter().filter_map(|m| m.crossings.get(place));
        let calendar_day = own
            .calendar_day
            .unwrap_or_else(|| usual_day(crossings(), &own.shares));
        let predictor = Predictor::new(
            own.requirement,
            calendar_day,
            own.shares,
            own.drift,
            own.leftovers,
        );
        let mut days: Vec<f32> = crossings().map(|c| predictor.mixture_of(c)).collect();
        let mean = days.iter().sum::<f32>() / days.len().max(1) as f32;
        let correction = predictor.correction(season.year.spring_year(), mean);
        for day in &mut days {
            *day += correction.mean_days as f32;
        }
        Self {
            stage: own.group.stage,
            group: own.group,
            predictor,
            correction,
            own_years: own.own_years,
            record: own.record,
            days,
        }
    }

    fn corrected_day(&self, curves: &Curves) -> f32 {
        self.predictor.mixture_day(curves) + self.correction.mean_days as f32
    }
}

/// Where no date was ever seen, the members' own mean stands for the calendar.
fn usual_day<'a>(members: impl Iterator<Item = &'a Crossings>, shares: &[f32]) -> f32 {
    let days: Vec<f32> = members
        .map(|crossings| crossings.iter().zip(shares).map(|(d, w)| d * w).sum())
        .collect();
    days.iter().sum::<f32>() / days.len().max(1) as f32
}
