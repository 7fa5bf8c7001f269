//! The models set up for one block: the carried fits, narrowed by the dates seen there, and the
//! chain of stages drawn from them.

use std::fmt::Write as _;

use super::own_fit::{OwnFit, bloom_words};
use super::place::{Place, Prior};
use super::record::HindcastRecord;
use super::traces::to_this_year;
use super::{BudReading, Question};
use crate::domain::phenology::calibrate::{CALENDAR, Crossings, Curves, Predictor};
use crate::domain::phenology::chain::{Anchor, Chain, Class, Gaps, Look, Way, first_to_full_days};
use crate::domain::phenology::climatology::{Climatology, Member, SeasonAhead, carry_over};
use crate::domain::phenology::dormant_year::DormantYear;
use crate::domain::phenology::drift::Correction;
use crate::domain::phenology::fitted::FittedGroup;
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
/// Springs of own dates that a kind's usual gap from first to full bloom counts as.
const USUAL_OPENING_YEARS: f32 = 6.0;

/// A predictor for one stage: its own fit, or the carried one.
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

/// Where the fits of a block stand among the requirements a season is laid out with.
#[derive(Debug, Clone, Copy)]
pub(super) struct Places {
    pub(super) bloom: usize,
    pub(super) green: Option<usize>,
}

/// The models of one block.
#[derive(Debug)]
pub(super) struct Calibrated {
    base: Base,
    green: Option<Base>,
    kin: Option<Species>,
    species: Species,
    place: Place,
    chain: Chain,
    ways: Vec<Way>,
    anchor: Anchor,
}

impl Calibrated {
    pub(super) fn new(
        climatology: &Climatology,
        season: &SeasonAhead,
        question: &Question<'_>,
        own: OwnFit,
        green: Option<OwnFit>,
        places: Places,
    ) -> Self {
        let kin = own.kin;
        let species = question.species;
        let dates = SeenDates::new(question, climatology, season);
        let base = Base::new(season, own, places.bloom);
        let green = green
            .zip(places.green)
            .map(|(own, place)| Base::new(season, own, place));
        let anchor = if base.stage == Stage::FullBloom {
            Anchor::Full
        } else {
            Anchor::First
        };
        let mut gaps = Gaps::of(species, green.is_some());
        let opening = dates.opening_days(first_to_full_days(species));
        let model = Model {
            base: &base,
            green: green.as_ref(),
            species,
            opening,
            anchor,
        };
        let place = model.place(climatology, &dates, kin.is_some());
        let mut ways = model.ways(season, &place);
        // Own bloom dates know their cultivar better than its class does.
        if base.own_years == 0 {
            let class = question.cultivar.and_then(Class::from_text);
            let later = class.map_or(0.0, |class| class.later_days(species));
            for way in &mut ways {
                way.anchor_day += later;
            }
        }
        let middle = ways.iter().map(|w| w.gap_days[1]).sum::<f32>() / ways.len().max(1) as f32;
        let kin_days = if kin.is_some() && base.own_years == 0 {
            KIN_DAYS
        } else {
            0.0
        };
        let sd = place.bloom_sd_days(&base.correction).hypot(kin_days);
        gaps.to_bloom.sd = gaps
            .to_bloom
            .sd
            .hypot(place.gap_sd_days() as f32 / middle.max(5.0));
        let mut chain = Chain::new(season.year, anchor, sd, &gaps, &ways);
        let looks = looks(season, question);
        chain.seen(&looks);
        Self {
            base,
            green,
            kin,
            species,
            place,
            chain,
            ways,
            anchor,
        }
    }

    /// The joint answer.
    pub(super) const fn chain(&self) -> &Chain {
        &self.chain
    }

    /// Middle day of a stage in every member.
    pub(super) fn member_days(&self, stage: Stage) -> Vec<f32> {
        let day = |way: &Way| {
            let [to_green, to_bloom, to_full] = way.gap_days;
            let first = match self.anchor {
                Anchor::First => way.anchor_day,
                Anchor::Full => way.anchor_day - to_full,
            };
            match stage {
                Stage::Swell => first - to_bloom - to_green,
                Stage::Burst => first - to_bloom,
                Stage::FirstBloom => first,
                Stage::FullBloom => first + to_full,
            }
        };
        self.ways.iter().map(day).collect()
    }

    /// Own springs that speak for a stage: with that stage, and with any.
    pub(super) fn own_years(&self, stage: Stage) -> (usize, usize) {
        let of_stage = if stage == self.base.stage {
            self.base.own_years.max(self.place.springs_of(stage))
        } else {
            self.place.springs_of(stage)
        };
        (of_stage, self.base.own_years.max(self.place.springs()))
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

    /// What a stage's distance from bloom rests on, in words; `None` for bloom itself.
    pub(super) fn edge(&self, stage: Stage) -> Option<String> {
        if stage >= Stage::FirstBloom {
            return None;
        }
        let own = match self.place.springs_of(stage) {
            0 => "no dates of yours".to_owned(),
            1 => "1 date of yours".to_owned(),
            n => format!("{n} dates of yours"),
        };
        let rests = match (stage, &self.green) {
            (Stage::Burst, Some(green)) => format!(
                "from {} dates at {} places",
                green.group.dates, green.group.sites
            ),
            (Stage::Burst, None) => match self.species {
                Species::Apple => "from published intervals of three places".to_owned(),
                Species::SweetCherry => "from published intervals of one place".to_owned(),
                other => format!(
                    "no intervals of {other} are published; those of {} stand in",
                    stands_in(other)
                ),
            },
            _ => "from published heat of swelling against first green".to_owned(),
        };
        Some(format!("{rests}, {own}"))
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
        let derived = if stage == self.base.stage {
            String::new()
        } else {
            format!(
                "; {stage} in one chain with {}",
                bloom_words(self.base.stage)
            )
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
        if let Some(edge) = self.edge(stage) {
            let _ = write!(out, "; {stage}: {edge}");
        }
        out
    }
}

/// Past years weigh alike, being moved to this one's warmth; invented ones as they were given.
fn weight(member: &Member) -> f64 {
    if member.from.is_some() {
        1.0
    } else {
        member.weight
    }
}

/// The kind whose published intervals stand in.
fn stands_in(species: Species) -> Species {
    use crate::domain::phenology::chain::Kind;
    match Kind::of(species) {
        Kind::Pome => Species::Apple,
        Kind::Stone => Species::SweetCherry,
    }
}

/// This season's looks at the buds that are not of the future, and leaf drop: no bud of this season
/// opens before the leaves of the last one are down.
fn looks(season: &SeasonAhead, question: &Question<'_>) -> Vec<Look> {
    let tight = BudReading {
        date: question.leaf_drop,
        bbch: 0,
    };
    std::iter::once(&tight)
        .chain(question.bud_readings)
        .filter(|r| r.date <= question.today)
        .map(|r| Look {
            day: season.year.day_of(r.date),
            bbch: r.bbch,
        })
        .filter(|look| look.day >= 0)
        .collect()
}

/// Own dates by spring: swell, first green, first bloom, full bloom as days of the dormant year.
#[derive(Debug)]
struct SeenDates {
    springs: Vec<(i32, [Option<f32>; 4])>,
}

impl SeenDates {
    fn new(question: &Question<'_>, climatology: &Climatology, season: &SeasonAhead) -> Self {
        let mut springs: Vec<(i32, [Option<f32>; 4])> = Vec::new();
        for seen in question.seen {
            let year = DormantYear::containing(seen.date, climatology.latitude_deg());
            let spring = year.spring_year();
            if spring == season.year.spring_year() {
                continue;
            }
            let day = year.day_of(seen.date) as f32 + 0.5;
            let place = springs.iter().position(|s| s.0 == spring);
            let place = place.unwrap_or_else(|| {
                springs.push((spring, [None; 4]));
                springs.len() - 1
            });
            let rung = Stage::ALL.iter().position(|s| *s == seen.stage);
            if let Some(slot) = springs
                .get_mut(place)
                .zip(rung)
                .and_then(|(spring, rung)| spring.1.get_mut(rung))
            {
                *slot = Some(day);
            }
        }
        Self { springs }
    }

    /// Middle of the gap from first to full bloom here.
    fn opening_days(&self, usual: f32) -> f32 {
        let both = self.springs.iter().filter_map(|(_, seen)| match seen {
            [_, _, Some(first), Some(full)] if full > first => Some(full - first),
            _ => None,
        });
        let (sum, count) = both.fold((0.0, 0.0), |(sum, count), gap| (sum + gap, count + 1.0));
        usual.mul_add(USUAL_OPENING_YEARS, sum) / (USUAL_OPENING_YEARS + count)
    }
}

/// What the models say of one spring's weather.
struct Model<'a> {
    base: &'a Base,
    green: Option<&'a Base>,
    species: Species,
    opening: f32,
    anchor: Anchor,
}

impl Model<'_> {
    /// Middle of the gap from first green to first bloom.
    fn green_gap(&self, first: f32, model_gap: Option<f32>, heat: &[f32]) -> f32 {
        match model_gap {
            Some(days) => Gaps::fitted_green_days(self.species, days),
            None => Gaps::heat_green_days(self.species, heat, first),
        }
    }

    /// First bloom from the anchor's day.
    fn first(&self, anchor_day: f32) -> f32 {
        match self.anchor {
            Anchor::First => anchor_day,
            Anchor::Full => anchor_day - self.opening,
        }
    }

    /// What own dates say of the place, against the answers for the weather of their springs.
    fn place(&self, climatology: &Climatology, dates: &SeenDates, kin: bool) -> Place {
        let prior = Prior::of(
            self.species,
            self.base.group,
            self.green.is_some(),
            self.base.own_years,
            kin,
        );
        let mut place = Place::new(&prior);
        for (spring, seen) in &dates.springs {
            let Some(past) = climatology.past_year(*spring) else {
                continue;
            };
            let heat = past.heat();
            let first = self.first(self.base.corrected_day(past.went()));
            let model_gap = self.green.map(|g| first - g.corrected_day(past.went()));
            let green = first - self.green_gap(first, model_gap, &heat);
            let swell = green - Gaps::swell_days(self.species, &heat, green, first);
            let [saw_swell, saw_green, saw_first, saw_full] = *seen;
            let saw_first = saw_first.or_else(|| saw_full.map(|full| full - self.opening));
            place.spring(
                &prior,
                [
                    saw_first.map(|saw| f64::from(saw - first)),
                    saw_green.map(|saw| f64::from(saw - green)),
                    saw_swell.map(|saw| f64::from(saw - swell)),
                ],
            );
        }
        place
    }

    /// The ways the season may go, moved by what own dates say.
    fn ways(&self, season: &SeasonAhead, place: &Place) -> Vec<Way> {
        let moved = |base: &Base| -> Vec<f32> {
            let weights = season.members.iter().map(weight);
            let mut days: Vec<(f32, f64)> = base.days.iter().copied().zip(weights).collect();
            let from: Vec<Option<i32>> = season.members.iter().map(|m| m.from).collect();
            to_this_year(&mut days, &from, season.year.spring_year());
            let warmer_c: Vec<Option<f64>> = season.members.iter().map(|m| m.warmer_c).collect();
            carry_over(&mut days, &warmer_c);
            days.into_iter().map(|(day, _)| day).collect()
        };
        let anchors = moved(self.base);
        let greens = self.green.map(moved);
        season
            .members
            .iter()
            .zip(&anchors)
            .enumerate()
            .map(|(i, (member, anchor))| {
                let first = self.first(*anchor);
                let model_gap = greens
                    .as_ref()
                    .and_then(|g| g.get(i))
                    .map(|green| first - green);
                let gap = self.green_gap(first, model_gap, &member.heat);
                let swell = Gaps::swell_days(self.species, &member.heat, first - gap, first);
                Way {
                    weight: weight(member),
                    anchor_day: anchor + place.bloom_days() as f32,
                    gap_days: [place.swell_gap(swell), place.green_gap(gap), self.opening],
                }
            })
            .collect()
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
        )
        .abroad(own.aging, own.far);
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
