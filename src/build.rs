//! Build script, no part of the crate: has the linker pack the addresses that the loader puts
//! right at start.
//!
//! The tables of time zones hold some 35,000 of them; packed they take 17 kB instead of 850 kB.
//! The loader must know the packing (GNU C library 2.36 and later), so it is asked for only where
//! the machine that builds has such a one and builds for itself.

use std::env::var;
use std::process::Command;

/// First version of the library that reads packed addresses.
const KNOWN_SINCE: (u32, u32) = (2, 36);

fn main() {
    println!("cargo:rerun-if-changed=src/build.rs");
    let for_itself =
        matches!((var("HOST"), var("TARGET")), (Ok(host), Ok(target)) if host == target);
    let gnu = var("CARGO_CFG_TARGET_OS").is_ok_and(|os| os == "linux")
        && var("CARGO_CFG_TARGET_ENV").is_ok_and(|env| env == "gnu");
    if gnu && for_itself && library_version().is_some_and(|v| v >= KNOWN_SINCE) {
        println!("cargo:rustc-link-arg-bins=-Wl,-z,pack-relative-relocs");
    }
}

/// Version of the C library, such as (2, 36).
fn library_version() -> Option<(u32, u32)> {
    let told = Command::new("getconf")
        .arg("GNU_LIBC_VERSION")
        .output()
        .ok()?;
    let told = String::from_utf8(told.stdout).ok()?;
    let (major, minor) = told.trim().strip_prefix("glibc ")?.split_once('.')?;
    Some((major.parse().ok()?, minor.parse().ok()?))
}
