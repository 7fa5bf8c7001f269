//! Parse, call the library, map to an exit code.
fn main() {}
