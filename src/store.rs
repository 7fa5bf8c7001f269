//! Everything that touches files: the season file, its lock, its backups, the weather.
//!
//! | room | what it holds |
//! |---|---|
//! | [`season_file`] | text ↔ [`Season`](crate::domain::season::Season), with every problem listed and nothing of the owner's text lost |
//! | [`merge`] | joins two edits of one season by item and field |
//! | [`weather`] | temperature and hourly weather files, and the compact history |
//! | [`season_weather`] | the files a season names, read and joined |
//! | [`forecast`] | two forecast formats, and fetching them |

pub mod forecast;
pub mod merge;
pub mod season_file;
pub mod season_weather;
mod tree;
pub mod weather;
