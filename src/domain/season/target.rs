//! A target the grower adds to the built-in table, or changes in it.

use super::TargetId;
use serde::Serialize;

/// A pest or disease that overwinters on the trees.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TargetRow {
    /// Its id; the id of a built-in row changes that row.
    pub id: TargetId,
    /// Its name.
    pub name: String,
    /// Species words it is found on; empty means any.
    pub hosts: Vec<String>,
    /// Actives that work on it when dormant.
    pub actives: Vec<String>,
    /// Lanes in which a treatment works.
    pub lanes: Vec<super::Lane>,
    /// Last BBCH stage at which a treatment still works.
    pub last_stage: Option<u8>,
    /// Free note, with the source.
    pub note: Option<String>,
}
