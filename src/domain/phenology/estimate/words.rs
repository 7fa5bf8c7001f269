//! What the reader should know about an answer, in plain sentences.

use super::calibrated::Calibrated;
use super::{ChillState, LookWorth, Question};
use crate::domain::phenology::climatology::{SeasonAhead, Source};
use crate::domain::phenology::second_opinion::second_opinion;
use crate::domain::phenology::stage::Stage;

pub(super) fn notes(
    calibrated: &Calibrated,
    season: &SeasonAhead,
    question: &Question<'_>,
    chill: &ChillState,
    stage: Stage,
    look: LookWorth,
) -> Vec<String> {
    let mut notes = Vec::new();
    weather(season, question, &mut notes);
    totals(question, &mut notes);
    models(calibrated, question, stage, &mut notes);
    if !chill.is_met && chill.met.is_none() {
        notes.push(format!(
            "Chill may fall short: about {:.0} portions are needed, and most ways this winter can go do not reach them.",
            chill.need.portions
        ));
    }
    if look.gain_days() >= WORTH_A_LOOK_DAYS {
        notes.push(format!(
            "A look at the buds today would bring this range of {:.0} days to about {:.0}.",
            look.now_days, look.then_days
        ));
    }
    notes.push(narrowest(calibrated, season, stage));
    notes
}

/// A look is asked for where it is expected to narrow the range by so much, days.
const WORTH_A_LOOK_DAYS: f64 = 3.0;

/// Totals from elsewhere beside the orchard's own temperatures: none is dropped without a word.
fn totals(question: &Question<'_>, notes: &mut Vec<String>) {
    for reading in question.degree_day_readings {
        let Some(told) = second_opinion(reading, question.observed) else {
            continue;
        };
        // Bases of whole °F are Fahrenheit's services.
        let base_f = reading.base_c.mul_add(1.8, 32.0);
        let fahrenheit = (base_f - base_f.round()).abs() < 0.02 && reading.base_c.fract() != 0.0;
        let (per_c_day, unit) = if fahrenheit {
            (1.8, "°F-days")
        } else {
            (1.0, "°C-days")
        };
        notes.push(told.words(reading, per_c_day, unit));
    }
}

fn weather(season: &SeasonAhead, question: &Question<'_>, notes: &mut Vec<String>) {
    match season.data_through {
        None => notes.push(
            "No temperatures of this season: only what usually happens is counted.".to_owned(),
        ),
        Some(through) => {
            let behind = (question.today - through).num_days();
            if behind > 7 {
                notes.push(format!("Temperatures end on {through}, {behind} days ago; since then only what usually happens is counted."));
            }
        }
    }
    if season.gap_days > 0 {
        notes.push(format!(
            "{} days of this season have no temperatures; past years stand in for them.",
            season.gap_days
        ));
    }
    let invented = season.members.len() - season.past_years;
    match season.source {
        Source::PastYears => {}
        Source::Normals => notes.push(format!(
            "Only {} past years of temperatures: {invented} seasons were made up from the monthly normals.",
            season.past_years
        )),
        Source::FewYears => notes.push(format!(
            "Only {} past years of temperatures: {invented} seasons were made up around them.",
            season.past_years
        )),
        Source::Latitude => notes.push(
            "No temperature history and no normals: the weather is guessed from the latitude, and the range is very wide."
                .to_owned(),
        ),
    }
    if season.forecast_days > 0 {
        notes.push(format!(
            "{} days of forecast are counted, less and less from the fifth day on.",
            season.forecast_days
        ));
    }
}

fn models(calibrated: &Calibrated, question: &Question<'_>, stage: Stage, notes: &mut Vec<String>) {
    if let Some(kin) = calibrated.kin() {
        notes.push(format!(
            "No records of {} were fitted; {kin} stands in, and the range is wider for it.",
            question.species
        ));
    }
    if let Some(edge) = calibrated.edge(stage) {
        notes.push(format!(
            "{} of {} is derived from bloom: {edge}.",
            capital(stage.words()),
            question.species
        ));
    }
    if calibrated.own_years(stage).1 == 0 {
        notes.push("No dates of your own yet: the figures are those of other orchards.".to_owned());
    }
}

/// The one reading that would help most.
fn narrowest(calibrated: &Calibrated, season: &SeasonAhead, stage: Stage) -> String {
    let (of_stage, of_any) = calibrated.own_years(stage);
    if season.source == Source::Latitude {
        "What would narrow it most: daily minimum and maximum temperatures of a station nearby, or at least its monthly normals.".to_owned()
    } else if season.data_through.is_none() {
        "What would narrow it most: this season's temperatures, or a degree-day total with base and start.".to_owned()
    } else if of_any == 0 && stage == calibrated.base_stage() {
        format!("What would narrow it most: past dates of {stage} in this block.")
    } else if of_any == 0 {
        format!(
            "What would narrow it most: past dates of {stage} or {} in this block.",
            calibrated.base_stage()
        )
    } else if of_stage == 0 {
        format!("What would narrow it most: a past date of {stage} in this block.")
    } else {
        "What would narrow it most now: a look at the buds, entered with its date.".to_owned()
    }
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
