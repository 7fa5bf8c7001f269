//! Build script, no part of the crate: has the linker pack the addresses that the loader puts
//! right at start, and leave out a library of which little is needed.
//!
//! Packed addresses take a small part of their place. The loader must know the packing (GNU C
//! library 2.36 and later), so it is asked for only where the machine that builds has such a one
//! and builds for itself.
//!
//! What unwinds the stack after a panic is in a library of the compiler, which the loader would map
//! at every start; where its archive is found, as it is beside any GNU compiler, the few parts
//! needed go into the release program.

use std::env::var;
use std::path::Path;
use std::process::Command;

/// First version of the library that reads packed addresses.
const KNOWN_SINCE: (u32, u32) = (2, 36);

fn main() {
    println!("cargo:rerun-if-changed=src/build.rs");
    let for_itself =
        matches!((var("HOST"), var("TARGET")), (Ok(host), Ok(target)) if host == target);
    let gnu = var("CARGO_CFG_TARGET_OS").is_ok_and(|os| os == "linux")
        && var("CARGO_CFG_TARGET_ENV").is_ok_and(|env| env == "gnu");
    if !(gnu && for_itself) {
        return;
    }
    if library_version().is_some_and(|v| v >= KNOWN_SINCE) {
        println!("cargo:rustc-link-arg-bins=-Wl,-z,pack-relative-relocs");
    }
    // Only where all is compiled as one: otherwise the standard library would still ask for the
    // shared one, and there would be two.
    if var("PROFILE").is_ok_and(|profile| profile == "release") && has_unwinder() {
        println!("cargo:rustc-link-lib=static:-bundle=gcc_eh");
    }
}

/// Version of the C library, such as (2, 36).
fn library_version() -> Option<(u32, u32)> {
    let told = told("getconf", "GNU_LIBC_VERSION")?;
    let (major, minor) = told.strip_prefix("glibc ")?.split_once('.')?;
    Some((major.parse().ok()?, minor.parse().ok()?))
}

/// Does the compiler that links have the archive? It answers with a path where it has.
fn has_unwinder() -> bool {
    let linker = var("RUSTC_LINKER").unwrap_or_else(|_| "cc".to_owned());
    told(&linker, "-print-file-name=libgcc_eh.a").is_some_and(|path| Path::new(&path).is_absolute())
}

fn told(program: &str, asked: &str) -> Option<String> {
    let out = Command::new(program).arg(asked).output().ok()?;
    let told = String::from_utf8(out.stdout).ok()?;
    Some(told.trim().to_owned())
}
