//! Which of the numbers of a day is the day: settled once for a whole file.

use chrono::NaiveDate;

use super::ask::{Ask, Question};
use super::dates::{DateOrder, Day};

/// What the days of a file tell of their order, gathered row by row.
#[derive(Debug, Clone, Default)]
pub(super) struct Orders {
    seen: usize,
    /// How many days the calendar lacks in each order.
    impossible: [usize; 3],
    /// How often a day follows the one before by a day or none, in each order.
    follows: [usize; 3],
    before: Option<Day>,
    four_digits: bool,
    stops: bool,
    example: Option<[u32; 3]>,
    settling: Option<[u32; 3]>,
}

impl Orders {
    /// Takes the day of a row in.
    pub(super) fn add(&mut self, day: Day) {
        let Day::Open { parts, dots } = day else {
            return;
        };
        if self.before == Some(day) {
            return;
        }
        self.seen += 1;
        self.stops |= dots;
        self.four_digits |= parts[2] > 99;
        self.example.get_or_insert(parts);
        for (i, order) in DateOrder::ALL.into_iter().enumerate() {
            let now = day.in_order(order);
            if now.is_none() {
                self.impossible[i] += 1;
                if i < 2 && self.settling.is_none() {
                    self.settling = Some(parts);
                }
            }
            let before = self.before.and_then(|b| b.in_order(order));
            let step = |a: NaiveDate, b: NaiveDate| (b - a).num_days().abs() == 1;
            if let (Some(a), Some(b)) = (before, now)
                && step(a, b)
            {
                self.follows[i] += 1;
            }
        }
        self.before = Some(day);
    }

    /// The order with what settled it; `None` where no row needs one.
    pub(super) fn settled(
        &self,
        given: Option<DateOrder>,
    ) -> Result<Option<(DateOrder, String)>, Ask> {
        if self.seen == 0 {
            return Ok(None);
        }
        if let Some(order) = given {
            return Ok(Some((order, "as --dates says".to_owned())));
        }
        // Full stops between are day, month, year wherever they are in use (common practice, no
        // source), unless the calendar contradicts.
        let candidates: Vec<usize> = (0..if self.four_digits { 2 } else { 3 })
            .filter(|&i| self.impossible[i] == 0)
            .collect();
        let order = |i: usize| DateOrder::ALL.get(i).copied();
        match candidates.as_slice() {
            [one] => Ok(order(*one).map(|o| {
                let [a, b, c] = self.settling.unwrap_or_default();
                (o, format!("settled by {a}/{b}/{c}"))
            })),
            // One wrong line must not settle the rest: the calendar rules out every order.
            [] => Err(self.ask("no one order fits every line")),
            several => {
                if self.stops && several.contains(&0) {
                    return Ok(Some((
                        DateOrder::DayMonthYear,
                        "stops between are day, month, year".to_owned(),
                    )));
                }
                // Rows of a record follow day by day in one order and month by month in the other.
                let most = several.iter().map(|&i| self.follows[i]).max().unwrap_or(0);
                let best: Vec<usize> = several
                    .iter()
                    .copied()
                    .filter(|&i| self.follows[i] == most)
                    .collect();
                let rest_seldom = several
                    .iter()
                    .filter(|i| !best.contains(i))
                    .all(|&i| self.follows[i] * 4 <= most);
                match best.as_slice() {
                    [one] if most >= 3 && rest_seldom => Ok(order(*one).map(|o| {
                        (
                            o,
                            "settled by the rows: they follow day by day so".to_owned(),
                        )
                    })),
                    _ => Err(self.ask("nothing in the file tells which number is the day")),
                }
            }
        }
    }

    fn ask(&self, why: &str) -> Ask {
        let [a, b, c] = self.example.unwrap_or_default();
        Ask::new(
            Question::Order,
            format!("{a}/{b}/{c}: {why}"),
            "say it with --dates dmy (day first) or --dates mdy (month first)".to_owned(),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::weather::any::dates::when;

    fn settled(days: &[&str]) -> Result<Option<DateOrder>, String> {
        let mut orders = Orders::default();
        for day in days {
            orders.add(when(day).unwrap().day);
        }
        orders
            .settled(None)
            .map(|o| o.map(|(order, _)| order))
            .map_err(|ask| ask.to_string())
    }

    #[test]
    fn one_day_above_twelve_settles_a_file() {
        use DateOrder::{DayMonthYear, MonthDayYear};
        assert_eq!(settled(&["13/02/2027"]), Ok(Some(DayMonthYear)));
        assert_eq!(settled(&["02/13/2027"]), Ok(Some(MonthDayYear)));
        assert_eq!(
            settled(&["01/02/2027", "02/13/2027"]),
            Ok(Some(MonthDayYear))
        );
        assert_eq!(settled(&["1.2.2027"]), Ok(Some(DayMonthYear)));
        assert_eq!(settled(&["2027-02-13"]), Ok(None));
        let rows = ["01/02/2027", "01/03/2027", "01/04/2027", "01/05/2027"];
        assert_eq!(settled(&rows), Ok(Some(MonthDayYear)));
        let rows = ["01/02/2027", "02/02/2027", "03/02/2027", "04/02/2027"];
        assert_eq!(settled(&rows), Ok(Some(DayMonthYear)));
    }

    #[test]
    fn what_nothing_settles_is_asked() {
        for days in [
            &["01/02/2027"][..],
            &["01/02/2027", "02/01/2027"],
            &["13/02/2027", "02/13/2027"],
            &["01/02/03"],
        ] {
            let asked = settled(days).unwrap_err();
            assert!(asked.contains("--dates dmy"), "{asked}");
        }
    }
}
