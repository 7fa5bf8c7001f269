//! Everything that touches files: the season file, its lock, its backups, the weather.
//!
//! | room | what it holds |
//! |---|---|
//! | [`season_file`] | text ↔ [`Season`](crate::domain::season::Season), with every problem listed and nothing of the owner's text lost |
//! | [`disk`] | the seam to the machine, so that a test can make any call fail |
//! | [`save`] | all of the old or all of the new, never anything else |
//! | [`backups`] | earlier versions |
//! | [`writers`] | who wrote them |
//! | [`compare`] | what differs between two versions, item by item |
//! | [`lock`] | one save at a time |
//! | [`log`] | what the program did, for who wants to know |
//! | [`recovery`] | work that could not be saved in its place |
//! | [`draft`] | a form left open when the line dropped |
//! | [`practice`] | the built-in practice season and its invented weather |
//! | [`presence`] | which boards of this user are open on a season |
//! | [`places`] | the platform's folders, and which paths a season may name |
//! | [`starter`] | the file of a new season, with comments |
//! | [`told`] | what `due` has said, so that it can say what is new |
//! | [`trail`] | the last versions, so that undo reaches across a restart |
//! | [`session`] | an open season: read, watch, save, release |
//! | [`shared_targets`] | the grower's own targets for every season |
//! | [`merge`] | joins two edits of one season by item and field |
//! | [`numbered`] | which task stood behind which number in a review that went out |
//! | [`neighbours`] | other seasons of the same orchard in the same folder |
//! | [`weather`] | temperature and hourly weather files, and the compact history |
//! | [`season_weather`] | the files a season names, read and joined |

pub mod backups;
pub mod compare;
pub mod disk;
pub mod draft;
pub mod forecast;
pub mod kept_estimates;
pub mod lock;
pub mod log;
pub mod mend;
pub mod merge;
pub mod neighbours;
pub mod numbered;
pub mod places;
pub mod practice;
pub mod presence;
pub mod recovery;
pub mod rows;
pub mod save;
pub mod season_file;
pub mod season_weather;
pub mod session;
pub mod settings;
pub mod shared_targets;
pub mod starter;
pub mod told;
pub mod trail;
mod tree;
pub mod weather;
pub mod whole;
pub mod writers;
