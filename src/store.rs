//! Files: reading and writing what the domain works on.

pub mod weather;
