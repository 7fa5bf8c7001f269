//! Application records: made, checked for what is missing, sealed, corrected;
//! re-entry; what was used of each active.
//!
//! Records are only ever added. A correction is a new record that names the
//! old one, and so is the end of a re-entry. Every record carries a [`seal`],
//! so that an edit by hand, a gap or a changed order is found.

mod against;
mod amounts;
mod clash;
mod conditions;
mod current;
mod doubles;
mod elements;
mod head;
mod integrity;
mod keep;
mod over_label;
mod part;
mod prefill;
mod reckoned;
mod reentry;
pub mod seal;
mod stock;
mod totals;
mod undo;
mod weather;

pub use against::{judgements, stops};
pub use amounts::amounts;
pub use clash::clashes;
pub use conditions::{RECKONED, conditions};
pub use current::{blocks_of, current, done_without_record};
pub use doubles::{counted, doubles};
pub use elements::{Law, Missing, eppo_code, missing};
pub use head::{head_of, read_head, short_head_of};
pub use integrity::{Flaw, integrity};
pub use keep::{Kept, RecordError, adopt, correct, end_reentry, finish, next_id, settled};
pub use over_label::{OverLabel, over_label};
pub use part::{PartError, part};
pub use prefill::{Conditions, MixAmounts, Offer, PartAmount, cost_of, offer, prefill, site_of};
pub use reckoned::{bare, note_reckoned};
pub use reentry::{ReentryState, Standing, reentries, reentry_from_labels, reentry_of_block};
pub use totals::{ActiveTotal, BlockCopper, Totals, copper, copper_kg_per_ha, is_copper, totals};
pub use undo::{reopen, take_back, undone};
pub use weather::expected_dry;
