//! Everything that touches files: the season file, its lock, its backups.
//!
//! | room | what it holds |
//! |---|---|
//! | [`season_file`] | text ↔ [`Season`](crate::domain::season::Season), with every problem listed and nothing of the owner's text lost |
//! | [`forecast`] | two forecast formats, and fetching them |

pub mod forecast;
pub mod season_file;
mod tree;
