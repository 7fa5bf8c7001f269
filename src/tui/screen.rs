//! The screens: one folder each, state and update apart from the view.

pub mod board;
pub mod hours;
pub mod page;
pub mod records;
pub mod review;
pub mod swell;
pub mod years;

use super::action::Command;
use super::keymap::Scope;

/// The screen in view.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Screen {
    /// The three lanes.
    #[default]
    Board,
    /// The swell estimate, block by block.
    Swell,
    /// The hours of the coming days, for one spray at a time.
    Hours,
    /// The week's review.
    Review,
    /// The application records.
    Records,
    /// Seasons side by side.
    Years,
}

impl Screen {
    /// Its name.
    pub fn words(self) -> &'static str {
        match self {
            Self::Board => "Board",
            Self::Swell => "Swell",
            Self::Hours => "Hours",
            Self::Review => "Review",
            Self::Records => "Records",
            Self::Years => "Years",
        }
    }

    /// Is it a page of text, with nothing to choose or open?
    pub fn is_page(self) -> bool {
        matches!(self, Self::Review | Self::Years)
    }

    /// Where its keys are looked up, first match wins.
    pub fn scopes(self) -> &'static [Scope] {
        match self {
            Self::Board => &[Scope::Board, Scope::Moving, Scope::Everywhere],
            Self::Swell => &[Scope::Swell, Scope::Moving, Scope::Everywhere],
            Self::Hours => &[Scope::Hours, Scope::Moving, Scope::Everywhere],
            Self::Review => &[Scope::Review, Scope::Moving, Scope::Everywhere],
            Self::Records => &[Scope::Records, Scope::Moving, Scope::Everywhere],
            Self::Years => &[Scope::Moving, Scope::Everywhere],
        }
    }

    /// The screen that answers the rows of a place in the table.
    pub fn of(scope: Scope) -> Option<Self> {
        match scope {
            Scope::Board => Some(Self::Board),
            Scope::Swell => Some(Self::Swell),
            Scope::Hours => Some(Self::Hours),
            Scope::Review => Some(Self::Review),
            Scope::Records => Some(Self::Records),
            _ => None,
        }
    }

    /// The screen a command goes to.
    pub fn opened_by(command: Command) -> Option<Self> {
        match command {
            Command::ShowBoard => Some(Self::Board),
            Command::ShowSwell => Some(Self::Swell),
            Command::ShowHours => Some(Self::Hours),
            Command::ShowReview => Some(Self::Review),
            Command::ShowRecords => Some(Self::Records),
            Command::ShowYears => Some(Self::Years),
            _ => None,
        }
    }
}
