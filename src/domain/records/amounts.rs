//! What the mix sheet says of a task, in the form a record wants.

use super::{MixAmounts, PartAmount};
use crate::domain::mix::{self, MixSheet};
use crate::domain::outlook::Estimates;
use crate::domain::season::{Season, Task};
use crate::domain::units::{Amount, Volume};
use chrono::NaiveDate;

/// Volume, tanks, order, gear and product of a task, from its mix sheet.
pub fn amounts(
    season: &Season,
    task: &Task,
    estimates: Option<&Estimates>,
    today: NaiveDate,
) -> MixAmounts {
    let sheet = mix::sheet(season, task, estimates, today);
    let parts = task
        .mix
        .iter()
        .map(|part| {
            let name = season.material(&part.material).map(|m| m.name.as_str());
            let product = sheet
                .products
                .iter()
                .find(|p| Some(p.name.as_str()) == name);
            PartAmount {
                material: part.material.clone(),
                rate: product.and_then(|p| p.rate),
                total: product.and_then(|p| p.total.as_ref()).map(|t| t.amount),
            }
        })
        .collect();
    let total = sheet.total.as_ref().map(|t| t.amount);
    let whole = task
        .volume
        .filter(|_| season.progress(task).done == 0 || !task.state.is_open());
    MixAmounts {
        // What was set holds for the whole; a part takes its share of it.
        volume: whole.or_else(|| total.and_then(volume)),
        mixing: mixing(&sheet),
        gear: sheet.gear,
        parts,
    }
}

fn volume(amount: Amount) -> Option<Volume> {
    match amount {
        Amount::Volume(v) => Some(v),
        Amount::Mass(_) => None,
    }
}

/// `1 full of 25 gal and a last one of 15 gal; in this order: copper, oil`.
fn mixing(sheet: &MixSheet) -> Option<String> {
    let tanks = sheet.tanks.map(|tanks| {
        let full = sheet
            .tank
            .map(|t| format!("{} full of {}", tanks.full, t.amount));
        let last = sheet
            .last_tank
            .map(|t| format!("a last one of {}", t.amount));
        let both: Vec<String> = [full, last].into_iter().flatten().collect();
        format!("tanks: {}", both.join(" and "))
    });
    let names: Vec<&str> = sheet.products.iter().map(|p| p.name.as_str()).collect();
    let order = (names.len() > 1).then(|| format!("in this order: {}", names.join(", ")));
    let parts: Vec<String> = [tanks, order].into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join("; "))
}
