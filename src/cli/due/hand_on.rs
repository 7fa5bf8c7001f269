//! Hands a thing to a program of the owner's: mail, a push service, a bell.
//!
//! Its words go to the program's standard input and its facts into the environment, never onto
//! the command line: a text of the season file can run nothing.

use crate::report::due::Thing;
use std::io::Write as _;
use std::process::{Command, Stdio};

/// Runs the command for a thing and waits for it.
pub(super) fn to(command: &str, thing: &Thing) -> Result<(), String> {
    let failed = |why: String| format!("--run {command}: {why}; what it was for is kept as new");
    let mut child = shell(command)
        .env("BAREWOOD_PART", thing.part.key())
        .env("BAREWOOD_ID", &thing.id)
        .env("BAREWOOD_LEVEL", thing.level.unwrap_or_default())
        .stdin(Stdio::piped())
        .spawn()
        .map_err(|e| failed(e.to_string()))?;
    if let Some(mut words) = child.stdin.take() {
        // A program that does not read its words is free to do so; its end tells.
        let _ = writeln!(words, "{}: {}", thing.part.words(), thing.words);
        for line in &thing.more {
            let _ = writeln!(words, "  {line}");
        }
    }
    let status = child.wait().map_err(|e| failed(e.to_string()))?;
    if status.success() {
        Ok(())
    } else {
        Err(failed(format!("it ended with {status}")))
    }
}

#[cfg(unix)]
fn shell(command: &str) -> Command {
    let mut shell = Command::new("/bin/sh");
    shell.arg("-c").arg(command);
    shell
}

#[cfg(not(unix))]
fn shell(command: &str) -> Command {
    let mut shell = Command::new("cmd");
    shell.arg("/C").arg(command);
    shell
}
