//! Receipts and counts: the stock follows, and what differs stays on record.

use super::EditError;
use crate::domain::season::{Material, MaterialId, Season, ShedEntry};
use crate::domain::units::{Amount, Mass, MassUnit, Volume, VolumeUnit};
use chrono::NaiveDate;

fn find<'a>(season: &'a mut Season, id: &MaterialId) -> Result<&'a mut Material, EditError> {
    season
        .materials
        .iter_mut()
        .find(|m| &m.id == id)
        .ok_or_else(|| EditError::NoMaterial(id.to_string()))
}

fn entry(date: NaiveDate, id: &MaterialId) -> ShedEntry {
    ShedEntry {
        date,
        material: id.clone(),
        received: None,
        counted: None,
        expected: None,
        lot: None,
        paid: None,
        note: None,
    }
}

/// Two amounts together, in the unit of the first; a density turns one kind into the other.
fn plus(stock: Amount, more: Amount, density_kg_per_l: Option<f64>) -> Option<Amount> {
    let density = density_kg_per_l.filter(|d| *d > 0.0);
    Some(match (stock, more) {
        (Amount::Mass(s), Amount::Mass(m)) => {
            Amount::Mass(Mass::new(s.kg() + m.kg(), MassUnit::Kg).to(s.unit))
        }
        (Amount::Volume(s), Amount::Volume(m)) => {
            Amount::Volume(Volume::new(s.l() + m.l(), VolumeUnit::L).to(s.unit))
        }
        (Amount::Mass(s), Amount::Volume(m)) => {
            Amount::Mass(Mass::new(s.kg() + m.l() * density?, MassUnit::Kg).to(s.unit))
        }
        (Amount::Volume(s), Amount::Mass(m)) => {
            Amount::Volume(Volume::new(s.l() + m.kg() / density?, VolumeUnit::L).to(s.unit))
        }
    })
}

/// Notes that a material came in; the stock rises by it.
pub fn receive(
    season: &Season,
    id: &MaterialId,
    amount: Amount,
    date: NaiveDate,
    (lot, paid, note): (Option<String>, Option<f64>, Option<String>),
) -> Result<Season, EditError> {
    let mut after = season.clone();
    let material = find(&mut after, id)?;
    material.stock = match material.stock {
        None => Some(amount),
        Some(stock) => Some(
            plus(stock, amount, material.density_kg_per_l)
                .ok_or_else(|| EditError::OtherUnit(id.to_string()))?,
        ),
    };
    after.shed.push(ShedEntry {
        received: Some(amount),
        lot,
        paid,
        note,
        ..entry(date, id)
    });
    Ok(after)
}

/// Notes what was counted; the stock is that from now on.
pub fn count(
    season: &Season,
    id: &MaterialId,
    amount: Amount,
    date: NaiveDate,
    note: Option<String>,
) -> Result<Season, EditError> {
    let mut after = season.clone();
    let material = find(&mut after, id)?;
    let expected = material.stock.replace(amount);
    after.shed.push(ShedEntry {
        counted: Some(amount),
        expected,
        note,
        ..entry(date, id)
    });
    Ok(after)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::hours::testing::{copper, season_with};

    #[test]
    fn stock_follows_receipts_and_a_count_keeps_what_differs() {
        let season = season_with(vec![copper("cu")]);
        let (id, day) = (MaterialId::from("cu"), "2027-01-05".parse().unwrap());
        let amount = |text: &str| text.parse::<Amount>().unwrap();
        let s = receive(&season, &id, amount("10 kg"), day, (None, None, None)).unwrap();
        let s = receive(
            &s,
            &id,
            amount("10 lb"),
            day,
            (Some("7".to_owned()), None, None),
        )
        .unwrap();
        let Some(Amount::Mass(stock)) = s.material(&id).unwrap().stock else {
            panic!("no stock");
        };
        assert!((stock.kg() - 14.535_924).abs() < 1e-4);
        let s = count(&s, &id, amount("14 kg"), day, None).unwrap();
        let last = s.shed.last().unwrap();
        let Some(Amount::Mass(differs)) = last.difference() else {
            panic!("no difference");
        };
        assert!((differs.kg() + 0.535_924).abs() < 1e-4);
        assert_eq!(s.material(&id).unwrap().stock, Some(amount("14 kg")));
        assert!(receive(&s, &id, amount("1 L"), day, (None, None, None)).is_err());
    }
}
