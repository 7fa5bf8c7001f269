//! `schema`: the shapes of the JSON answers.

use super::args::SchemaArgs;
use super::{Exit, Failure};
use crate::report::schemas;
use std::io::Write;

/// Prints one schema, or the list of them.
pub fn run(args: &SchemaArgs, out: &mut dyn Write) -> Result<Exit, Failure> {
    let Some(name) = &args.name else {
        for schema in schemas::all() {
            writeln!(out, "{:<14} {}", schema.name, schema.of)?;
        }
        return Ok(Exit::Fine);
    };
    let found = schemas::all().find(|s| s.name == name || s.urn() == *name);
    let schema = found.ok_or_else(|| {
        let names: Vec<&str> = schemas::all().map(|s| s.name).collect();
        Failure::Input(format!(
            "There is no schema '{name}'; write one of: {}",
            names.join(", ")
        ))
    })?;
    write!(out, "{}", schema.text)?;
    Ok(Exit::Fine)
}
