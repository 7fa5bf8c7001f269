//! What the reader should know about an answer, in plain sentences.

use super::calibrated::Calibrated;
use super::{ChillState, Question};
use crate::domain::phenology::climatology::{SeasonAhead, Source};

pub(super) fn notes(
    calibrated: &Calibrated,
    season: &SeasonAhead,
    question: &Question<'_>,
    chill: &ChillState,
) -> Vec<String> {
    let mut notes = Vec::new();
    weather(season, question, &mut notes);
    models(calibrated, question, &mut notes);
    if !chill.is_met && chill.met.is_none() {
        notes.push(format!(
            "Chill may fall short: about {:.0} portions are needed, and most ways this winter can go do not reach them.",
            chill.need.portions
        ));
    }
    notes.push(narrowest(calibrated, season, question));
    notes
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

fn models(calibrated: &Calibrated, question: &Question<'_>, notes: &mut Vec<String>) {
    let stage = question.stage;
    if let Some(kin) = calibrated.kin() {
        notes.push(format!(
            "No records of {} were fitted; {kin} stands in, and the range is wider for it.",
            question.species
        ));
    }
    if calibrated.is_derived(stage) {
        notes.push(format!(
            "{} is derived from {}: hardly anybody records it, so its distance in days is taken from the few records there are and the range is wide.",
            capital(stage.words()),
            calibrated.base_stage()
        ));
    }
    if calibrated.own_years(stage) == (0, 0) {
        notes.push("No dates of your own yet: the figures are those of other orchards.".to_owned());
    }
}

/// The one reading that would help most.
fn narrowest(calibrated: &Calibrated, season: &SeasonAhead, question: &Question<'_>) -> String {
    let (of_stage, of_base) = calibrated.own_years(question.stage);
    if season.source == Source::Latitude {
        "What would narrow it most: daily minimum and maximum temperatures of a station nearby, or at least its monthly normals.".to_owned()
    } else if season.data_through.is_none() {
        "What would narrow it most: this season's temperatures, or a degree-day total with base and start.".to_owned()
    } else if of_base == 0 && question.stage == calibrated.base_stage() {
        format!(
            "What would narrow it most: past dates of {} in this block.",
            question.stage
        )
    } else if of_base == 0 {
        format!(
            "What would narrow it most: past dates of {} or {} in this block.",
            question.stage,
            calibrated.base_stage()
        )
    } else if of_stage == 0 {
        format!(
            "What would narrow it most: a past date of {} in this block.",
            question.stage
        )
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
