//! What a rule is about, in the order in which a grower needs to hear it.

/// Of warnings of one level the family that comes first is said first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Family {
    /// The window has closed, or no day is left.
    TooLate,
    /// The window has not opened.
    TooEarly,
    /// What was seen at the trees, and what is done about it.
    Seen,
    /// What the label or the law says.
    Label,
    /// The weather of the hours planned.
    Weather,
    /// Sprayer, stock, plan and records.
    Upkeep,
}
