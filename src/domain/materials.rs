//! Materials: the actives the rules know, and starting points for a label.
//!
//! A built-in starting point is never a label. It carries the mark
//! [`Label::generic`](crate::domain::season::Label::generic) until its owner
//! has read the label of the product in the shed and corrected what differs.

mod active;
mod crops;
mod fields;
mod starters;

pub use active::{ACTIVE_NAMES, ActiveName, Actives, actives_of, is_known_active, named_alike};
pub use crops::on_label;
pub use fields::{LabelField, label_fields};
pub use starters::{CopperForm, STARTERS, Starter, starter, starters};
