//! What the swell screen draws.

use crate::domain::phenology::estimate::Estimate;
use crate::tui::host::Curves;

/// An estimate as the swell screen draws it.
pub(super) fn curves(answer: &Estimate) -> Curves {
    let heat = &answer.heat;
    let known = heat.known_days.min(heat.median.len());
    let wide = |v: &f32| f64::from(*v);
    let ahead = heat
        .p10
        .iter()
        .zip(heat.median.iter())
        .zip(heat.p90.iter())
        .skip(known);
    let (early, middle, late) = heat.requirement;
    let chill = &answer.chill;
    let met = match (chill.is_met, chill.met) {
        (true, Some(day)) => format!(", met {day}"),
        (false, Some(day)) => format!(", expected to be met about {day}"),
        _ => ", not expected to be met".to_owned(),
    };
    Curves {
        first: heat.first,
        observed: heat.median.iter().take(known).map(wide).collect(),
        ahead: ahead
            .map(|((low, mid), high)| [wide(low), wide(mid), wide(high)])
            .collect(),
        wanted: [f64::from(early), f64::from(middle), f64::from(late)],
        unit: heat.unit.to_owned(),
        chill: Some(format!(
            "{:.1} of {:.0} chill portions{met}",
            chill.so_far_portions, chill.need.portions
        )),
        model: format!("{}: {}", answer.model, answer.why_model),
        members: answer.members,
        data_through: answer.data_through,
        notes: answer.notes.clone(),
        asked: Vec::new(),
        record: answer
            .record
            .iter()
            .map(|r| {
                format!(
                    "typical error {:.1} days over {} years (the plain calendar: {:.1}); {}",
                    r.rmse_days, r.years, r.calendar_rmse_days, r.data
                )
            })
            .collect(),
    }
}
