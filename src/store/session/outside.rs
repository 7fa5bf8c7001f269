//! What happened to a season file while it was open.

use super::super::merge::Merged;
use super::super::season_file::Problems;
use crate::domain::season::Season;
use std::fmt;

/// A change that this session did not make.
#[derive(Debug, Clone, PartialEq)]
pub enum Outside {
    /// Another version is there.
    Changed {
        /// That version.
        theirs: Box<Season>,
        /// It joined with ours, and where they disagree.
        merged: Box<Merged>,
        /// Its text.
        text: String,
        /// Its bytes.
        bytes: Vec<u8>,
    },
    /// Another version is there and cannot be read as a season.
    Broken {
        /// What is wrong with it.
        problems: Problems,
        /// Its bytes.
        bytes: Vec<u8>,
    },
    /// The file is gone.
    Gone,
}

impl fmt::Display for Outside {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Changed { merged, .. } => match merged.collisions.len() {
                0 => f.write_str("the file was changed outside; both changes go together"),
                1 => f.write_str("the file was changed outside, and one change collides"),
                n => write!(f, "the file was changed outside, and {n} changes collide"),
            },
            Self::Broken { problems, .. } => write!(
                f,
                "the file was changed outside and cannot be read now:\n{problems}"
            ),
            Self::Gone => f.write_str("the file is no longer there"),
        }
    }
}
