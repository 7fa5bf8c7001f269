//! Everything that touches files: the season file, its lock, its backups, the weather.
//!
//! | room | what it holds |
//! |---|---|
//! | [`season_file`] | text ↔ [`Season`](crate::domain::season::Season), with every problem listed and nothing of the owner's text lost |
//! | [`weather`] | temperature and hourly weather files, and the compact history |

pub mod season_file;
mod tree;
pub mod weather;
