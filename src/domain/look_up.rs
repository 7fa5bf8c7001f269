//! Maps from ids: looked into many times at every edit.
//!
//! The keys are the ids of one's own season, so the hash need not withstand keys that somebody
//! chose to collide, as the standard one does at three times the cost.

use foldhash::fast::RandomState;
use std::collections::HashMap;

/// A map from ids.
pub type LookUp<K, V> = HashMap<K, V, RandomState>;
