//! The screens: one folder each, state and update apart from the view.

pub mod board;
pub mod buy;
pub mod coverage;
pub mod hours;
pub mod ledger;
pub mod materials;
pub mod mix;
pub mod page;
pub mod records;
pub mod review;
pub mod run_sheet;
pub mod spray_work;
pub mod sprayers;
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
    /// The run sheet.
    RunSheet,
    /// The application records.
    Records,
    /// Seasons side by side.
    Years,
    /// What was used where.
    Ledger,
    /// Block, target, lane: what is covered.
    Coverage,
    /// The mix sheet of one spray.
    Mix,
    /// The materials and their labels.
    Materials,
    /// What is short.
    Buy,
    /// The sprayers and how they were measured.
    Sprayers,
}

impl Screen {
    /// Its name.
    pub fn words(self) -> &'static str {
        match self {
            Self::Board => "Board",
            Self::Swell => "Swell",
            Self::Hours => "Hours",
            Self::Review => "Review",
            Self::RunSheet => "Run sheet",
            Self::Records => "Records",
            Self::Years => "Years",
            Self::Ledger => "Ledger",
            Self::Coverage => "Coverage",
            Self::Mix => "Mix",
            Self::Materials => "Materials",
            Self::Buy => "Buy list",
            Self::Sprayers => "Sprayers",
        }
    }

    /// The screen of a name.
    pub fn by_words(words: &str) -> Option<Self> {
        [
            Self::Board,
            Self::Swell,
            Self::Hours,
            Self::Review,
            Self::Records,
            Self::Years,
            Self::Coverage,
            Self::Mix,
            Self::Materials,
            Self::Buy,
            Self::Sprayers,
        ]
        .into_iter()
        .find(|screen| screen.words() == words)
    }

    /// Is it a page of text, with nothing to choose or open?
    pub fn is_page(self) -> bool {
        matches!(
            self,
            Self::Review | Self::Years | Self::RunSheet | Self::Ledger
        )
    }

    /// Where its keys are looked up, first match wins.
    pub fn scopes(self) -> &'static [Scope] {
        match self {
            Self::Board => &[Scope::Board, Scope::Moving, Scope::Everywhere],
            Self::Swell => &[Scope::Swell, Scope::Moving, Scope::Everywhere],
            Self::Hours => &[Scope::Hours, Scope::Moving, Scope::Everywhere],
            Self::Review => &[Scope::Review, Scope::Moving, Scope::Everywhere],
            Self::RunSheet => &[Scope::RunSheet, Scope::Moving, Scope::Everywhere],
            Self::Records => &[Scope::Records, Scope::Moving, Scope::Everywhere],
            Self::Years => &[Scope::Moving, Scope::Everywhere],
            Self::Ledger => &[Scope::Ledger, Scope::Moving, Scope::Everywhere],
            Self::Coverage => &[Scope::Coverage, Scope::Moving, Scope::Everywhere],
            Self::Mix => &[Scope::Mix, Scope::Moving, Scope::Everywhere],
            Self::Materials => &[Scope::Materials, Scope::Moving, Scope::Everywhere],
            Self::Buy => &[Scope::Buy, Scope::Moving, Scope::Everywhere],
            Self::Sprayers => &[Scope::Sprayers, Scope::Moving, Scope::Everywhere],
        }
    }

    /// The screen that answers the rows of a place in the table.
    pub fn of(scope: Scope) -> Option<Self> {
        match scope {
            Scope::Board => Some(Self::Board),
            Scope::Swell => Some(Self::Swell),
            Scope::Hours => Some(Self::Hours),
            Scope::Review => Some(Self::Review),
            Scope::RunSheet => Some(Self::RunSheet),
            Scope::Records => Some(Self::Records),
            Scope::Ledger => Some(Self::Ledger),
            Scope::Coverage => Some(Self::Coverage),
            Scope::Mix => Some(Self::Mix),
            Scope::Materials => Some(Self::Materials),
            Scope::Buy => Some(Self::Buy),
            Scope::Sprayers => Some(Self::Sprayers),
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
            Command::ShowRunSheet => Some(Self::RunSheet),
            Command::ShowRecords => Some(Self::Records),
            Command::ShowYears => Some(Self::Years),
            Command::ShowLedger => Some(Self::Ledger),
            Command::ShowCoverage => Some(Self::Coverage),
            Command::ShowMix => Some(Self::Mix),
            Command::ShowMaterials => Some(Self::Materials),
            Command::ShowBuy => Some(Self::Buy),
            Command::ShowSprayers => Some(Self::Sprayers),
            _ => None,
        }
    }
}
