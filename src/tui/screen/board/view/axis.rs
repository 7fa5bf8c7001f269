//! Days along a row of cells.

use chrono::{Days, NaiveDate};

/// Days along a row of cells.
#[derive(Debug, Clone, Copy)]
pub struct Axis {
    from: NaiveDate,
    days: i64,
    x: u16,
    columns: u16,
}

impl Axis {
    /// The days of `[from, to)` over so many cells.
    pub fn new((from, to): (NaiveDate, NaiveDate), x: u16, columns: u16) -> Self {
        Self {
            from,
            days: (to - from).num_days().max(1),
            x,
            columns,
        }
    }

    /// The first cell.
    pub fn left(&self) -> u16 {
        self.x
    }

    /// The cell behind the last.
    pub fn right(&self) -> u16 {
        self.x + self.columns
    }

    /// The first day.
    pub fn from(&self) -> NaiveDate {
        self.from
    }

    /// The day behind the last.
    pub fn to(&self) -> NaiveDate {
        let days = u64::try_from(self.days).unwrap_or(1);
        self.from
            .checked_add_days(Days::new(days))
            .unwrap_or(self.from)
    }

    /// The cell of a day; `None` outside.
    pub fn column(&self, day: NaiveDate) -> Option<u16> {
        let at = (day - self.from).num_days();
        if at < 0 || at >= self.days || self.columns == 0 {
            return None;
        }
        let column = at * i64::from(self.columns) / self.days;
        u16::try_from(column).ok().map(|c| self.x + c)
    }

    /// The cell of a day, or the nearest.
    pub fn clamped(&self, day: NaiveDate) -> u16 {
        match self.column(day) {
            Some(column) => column,
            None if day < self.from => self.x,
            None => self.right().saturating_sub(1),
        }
    }

    /// The last day that falls into a cell.
    pub fn last_day(&self, column: u16) -> NaiveDate {
        let next = i64::from(column.saturating_sub(self.x)) + 1;
        let columns = i64::from(self.columns.max(1));
        // The first day of the next cell is the least that is not in this one.
        let day = (next * self.days + columns - 1) / columns - 1;
        self.from
            .checked_add_days(Days::new(u64::try_from(day.max(0)).unwrap_or(0)))
            .unwrap_or(self.from)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_and_days_agree() {
        let day = |m, d| NaiveDate::from_ymd_opt(2027, m, d).unwrap();
        for columns in [7, 36, 74, 191, 400] {
            let axis = Axis::new((day(1, 1), day(7, 11)), 18, columns);
            let mut last = None;
            for n in 0..191 {
                let date = day(1, 1) + Days::new(n);
                let column = axis.column(date).unwrap();
                assert!(axis.last_day(column) >= date, "{columns} {date}");
                assert!((axis.left()..axis.right()).contains(&column));
                if let Some(before) = last
                    && before != column
                {
                    assert!(axis.last_day(before) < date);
                }
                last = Some(column);
            }
            assert_eq!(axis.column(day(7, 11)), None);
            assert_eq!(axis.clamped(day(12, 1)), axis.right() - 1);
        }
    }
}
