//! Every rule at its limit, just inside and just outside, each with the source
//! of the limit; and all rules together against a slow second telling.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod rules {
    pub mod aim;
    pub mod cited;
    pub mod copper;
    pub mod coverage;
    pub mod doubt;
    pub mod edges;
    pub mod examples;
    pub mod faces;
    pub mod fixture;
    pub mod frame;
    pub mod generated;
    pub mod label;
    pub mod looks;
    pub mod near;
    pub mod partners;
    pub mod repeat;
    pub mod rows;
    pub mod slow;
    pub mod timing;
    pub mod trees;
    pub mod unclear;
    pub mod work;
}
