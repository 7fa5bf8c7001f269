//! Days and sums to places on the drawing.

use chrono::{Datelike, NaiveDate};
use std::fmt::Write;

/// Width of every drawing, in its own units.
pub(super) const WIDTH: f64 = 1000.0;
/// Room for names on the left.
pub(super) const LEFT: f64 = 150.0;
/// Room on the right.
pub(super) const RIGHT: f64 = 20.0;

/// A month's name needs this much room after its line.
const MONTH_ROOM: f64 = 60.0;

/// Days from left to right.
#[derive(Clone, Copy)]
pub(super) struct Days {
    first: NaiveDate,
    last: NaiveDate,
}

impl Days {
    /// From the first day to the last; at least one day apart.
    pub(super) fn new(first: NaiveDate, last: NaiveDate) -> Self {
        let last = last.max(first.succ_opt().unwrap_or(first));
        Self { first, last }
    }

    /// Where a day stands; days outside stand at the edge.
    pub(super) fn x(self, date: NaiveDate) -> f64 {
        let all = (self.last - self.first).num_days().max(1) as f64;
        let share = (date - self.first).num_days() as f64 / all;
        LEFT + share.clamp(0.0, 1.0) * (WIDTH - LEFT - RIGHT)
    }

    /// The first of every month in between.
    fn months(self) -> Vec<NaiveDate> {
        let mut months = Vec::new();
        let mut month = self.first.with_day(1).unwrap_or(self.first);
        while month <= self.last && months.len() < 40 {
            if month >= self.first {
                months.push(month);
            }
            let (year, next) = match month.month() {
                12 => (month.year() + 1, 1),
                m => (month.year(), m + 1),
            };
            match NaiveDate::from_ymd_opt(year, next, 1) {
                Some(next) => month = next,
                None => break,
            }
        }
        months
    }

    /// Lines and names of the months, and today.
    pub(super) fn draw(self, today: NaiveDate, top: f64, bottom: f64) -> String {
        let mut out = String::new();
        for month in self.months() {
            let x = self.x(month);
            let _ = writeln!(
                out,
                "<line class=\"grid\" x1=\"{x:.1}\" y1=\"{top:.1}\" x2=\"{x:.1}\" y2=\"{bottom:.1}\"/>"
            );
            if x + MONTH_ROOM <= WIDTH {
                let _ = writeln!(
                    out,
                    "<text class=\"small\" x=\"{:.1}\" y=\"{:.1}\">{}</text>",
                    x + 3.0,
                    bottom + 12.0,
                    month.format("%b %Y")
                );
            }
        }
        if (self.first..=self.last).contains(&today) {
            let x = self.x(today);
            let _ = writeln!(
                out,
                "<line class=\"today\" x1=\"{x:.1}\" y1=\"{:.1}\" x2=\"{x:.1}\" y2=\"{bottom:.1}\"/><text class=\"small\" x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\">today</text>",
                top - 2.0,
                top - 5.0
            );
        }
        out
    }
}
