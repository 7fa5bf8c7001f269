//! The window of a whole task: the narrowest over its blocks and purposes.

use super::edge::Edge;
use super::start::LastStart;
use super::{Window, WindowState, state};
use chrono::NaiveDate;

/// From when to when a task may be done on all of its blocks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TaskWindow<'a> {
    /// The day it is judged on.
    pub judged_on: NaiveDate,
    /// What opens it last, and on which block.
    pub opens: Option<(Edge<'a>, usize)>,
    /// The same without the distances to other sprays: for whoever moves several at once.
    pub opens_alone: Option<NaiveDate>,
    /// What closes it first, and on which block.
    pub closes: Option<(Edge<'a>, usize)>,
    /// The best days of every purpose that has some, where they meet.
    pub best: Option<(NaiveDate, NaiveDate)>,
    /// A job of several days begins by this one.
    pub start_by: Option<LastStart>,
    /// Does a purpose have no day at all?
    closed: bool,
}

impl<'a> TaskWindow<'a> {
    pub(super) fn new(judged_on: NaiveDate, block_ix: usize, window: &Window<'a>) -> Self {
        let mut new = Self {
            judged_on,
            opens: None,
            opens_alone: None,
            closes: None,
            best: None,
            start_by: None,
            closed: false,
        };
        new.narrow(block_ix, window);
        new
    }

    pub(super) fn narrow(&mut self, block_ix: usize, window: &Window<'a>) {
        if let Some(edge) = window.opens
            && self.opens.is_none_or(|(known, _)| edge.day > known.day)
        {
            self.opens = Some((edge, block_ix));
        }
        let alone = window.opens_alone.map(|edge| edge.day);
        self.opens_alone = self.opens_alone.max(alone);
        if let Some(edge) = window.closes
            && self.closes.is_none_or(|(known, _)| edge.day < known.day)
        {
            self.closes = Some((edge, block_ix));
        }
        self.closed |= window.spent.is_some();
        self.closed |= match (window.opens, window.closes) {
            (Some(o), Some(c)) => o.kind.is_firm() && o.day > c.day,
            _ => false,
        };
    }

    /// Keeps the best days that all purposes share; where they do not meet, those of the purpose
    /// whose days end first.
    pub(super) fn narrow_best(&mut self, best: Option<(NaiveDate, NaiveDate)>) {
        self.best = match (self.best, best) {
            (Some((a, b)), Some((c, d))) => {
                let (from, to) = (a.max(c), b.min(d));
                let first = if b <= d { (a, b) } else { (c, d) };
                Some(if from <= to { (from, to) } else { first })
            }
            (known, new) => known.or(new),
        };
    }

    /// The first day it is open.
    pub fn opens_on(&self) -> Option<NaiveDate> {
        self.opens.map(|(edge, _)| edge.day)
    }

    /// The last safe day.
    pub fn last_safe(&self) -> Option<NaiveDate> {
        self.closes.map(|(edge, _)| edge.day)
    }

    /// Is there no day at all on which it may be done?
    pub fn has_no_day(&self) -> bool {
        self.closed
    }

    /// Its state on a day.
    pub fn state(&self, day: NaiveDate) -> WindowState {
        if self.closed {
            return WindowState::Closed;
        }
        state(self.opens_on(), self.last_safe(), false, day)
    }

    /// How it stands for who asks today: not yet and closed hold for the day it is judged on,
    /// closing is counted from today, for a plan close to the last safe day leaves time until then.
    pub fn standing(&self, today: NaiveDate) -> WindowState {
        match self.state(self.judged_on) {
            WindowState::Closing if self.state(today) != WindowState::Closing => WindowState::Open,
            state => state,
        }
    }
}
