//! What happened to a season file while it was open.

use super::super::disk::Meta;
use super::super::merge::{Collision, Merged};
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
        /// Who wrote it, where that was noted.
        by: Option<String>,
        /// Its text.
        text: String,
        /// Its bytes.
        bytes: Vec<u8>,
        /// What the disk says of it.
        meta: Meta,
    },
    /// Another version is there and cannot be read as a season.
    Broken {
        /// What is wrong with it.
        problems: Problems,
        /// Its bytes.
        bytes: Vec<u8>,
        /// What the disk says of it.
        meta: Meta,
    },
    /// The file is gone.
    Gone,
}

impl Outside {
    /// What its owner has to decide: where both changed one thing.
    pub fn asks(&self) -> Vec<&Collision> {
        match self {
            Self::Changed { merged, .. } => merged.collisions.iter().filter(|c| c.asks()).collect(),
            _ => Vec::new(),
        }
    }
}

impl fmt::Display for Outside {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Changed { by, .. } => {
                let asks = self.asks();
                match by {
                    Some(by) => write!(f, "changed meanwhile ({by})")?,
                    None => f.write_str("changed meanwhile by another program")?,
                }
                match asks.as_slice() {
                    [] => f.write_str("; both changes go together"),
                    [first, rest @ ..] => {
                        write!(f, "; you both changed {} {}", first.item, first.field)?;
                        write!(f, ": here {}, there {}", first.ours, first.theirs)?;
                        match rest.len() {
                            0 => Ok(()),
                            n => write!(f, ", and {n} more"),
                        }
                    }
                }
            }
            Self::Broken { problems, .. } => write!(
                f,
                "the file was changed outside and cannot be read now:\n{problems}"
            ),
            Self::Gone => f.write_str("the file is no longer there"),
        }
    }
}
