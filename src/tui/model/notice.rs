//! What the top line says of saving, and the one line for the user.

/// Whether what is on the screen is on the disk.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Saved {
    /// It is.
    Yes,
    /// It is on its way.
    Saving,
    /// It is not, with the cause.
    No(String),
    /// Practice: nothing is written.
    Practice,
}

/// One line for the user, until the next key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Notice {
    /// What is said.
    pub text: String,
    /// Did something go wrong?
    pub alert: bool,
}
