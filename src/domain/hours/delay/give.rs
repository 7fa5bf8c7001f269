//! What can be given on when nothing fits, and how dear each is.

use std::fmt;

/// Something that can be given on. Labels are law, and so are re-entry, layered air, wet or
/// frozen wood, darkness and too much wind: they are never given on, nor is the last safe day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Give {
    /// Spray in an hour that is doubtful.
    Doubt,
    /// Wait for a day the forecast does not reach.
    Unjudged,
    /// Change the order of work on a block.
    Order,
    /// Work outside the grower's own hours or days.
    OwnTime,
    /// Leave the task out this season.
    LeaveOut,
    /// Miss a published figure on temperature, frost or rain where no label says more.
    Practice,
    /// Come closer to another active than common practice wants.
    Apart,
}

impl Give {
    /// Every kind, cheapest first.
    pub const ALL: [Self; 7] = [
        Self::Doubt,
        Self::Unjudged,
        Self::Order,
        Self::OwnTime,
        Self::LeaveOut,
        Self::Practice,
        Self::Apart,
    ];

    /// What it costs each time, in points of our own: ten are a day's delay. Leaving a task out
    /// costs more by lane; see the slots.
    pub fn points(self) -> u64 {
        match self {
            Self::Doubt => 200,
            Self::Unjudged => 300,
            Self::Order => 400,
            Self::OwnTime => 500,
            Self::LeaveOut => 1000,
            Self::Practice => 3000,
            Self::Apart => 3500,
        }
    }

    /// What is given, in plain words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Doubt => "spray in doubtful hours",
            Self::Unjudged => "wait for a day beyond the forecast",
            Self::Order => "change the order of the work",
            Self::OwnTime => "work outside your own hours or days",
            Self::LeaveOut => "leave it out this season",
            Self::Practice => "miss a published figure on temperature, frost or rain",
            Self::Apart => "keep less distance from another active than common",
        }
    }
}

/// A set of things given on.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Hash)]
pub struct Gives(u8);

impl Gives {
    /// Nothing.
    pub const NONE: Self = Self(0);

    /// The set with one more.
    #[must_use]
    pub fn with(self, give: Give) -> Self {
        Self(self.0 | 1 << give as u8)
    }

    /// Both sets together.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// Is everything of this set in the other?
    pub fn within(self, other: Self) -> bool {
        self.0 & !other.0 == 0
    }

    /// Is it in the set?
    pub fn has(self, give: Give) -> bool {
        self.0 & 1 << give as u8 != 0
    }

    /// How many.
    pub fn len(self) -> u32 {
        self.0.count_ones()
    }

    /// Is nothing given on?
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Each of them, cheapest first.
    pub fn iter(self) -> impl Iterator<Item = Give> {
        Give::ALL.into_iter().filter(move |g| self.has(*g))
    }

    /// What each costs once, in points.
    pub fn points(self) -> u64 {
        self.iter().map(Give::points).sum()
    }

    /// Every subset, smaller ones first.
    pub fn subsets(self) -> Vec<Self> {
        let mut all: Vec<Self> = (0..=u8::MAX).map(Self).filter(|s| s.within(self)).collect();
        all.sort_by_key(|s| (s.len(), s.points()));
        all
    }
}

impl fmt::Debug for Gives {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_set().entries(self.iter()).finish()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn subsets_come_small_first_and_hold_only_their_own() {
        let set = Gives::NONE
            .with(Give::Doubt)
            .with(Give::Apart)
            .with(Give::OwnTime);
        let subsets = set.subsets();
        assert_eq!(subsets.len(), 8);
        assert!(subsets[0].is_empty());
        assert_eq!(subsets[7], set);
        assert!(subsets.iter().all(|s| s.within(set)));
        assert_eq!(set.iter().last(), Some(Give::Apart));
    }
}
