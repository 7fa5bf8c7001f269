//! Where the material outside the checkout lies, if it is there at all.

use std::path::PathBuf;

/// The shared folder beside the checkout, else the one named by `BAREWOOD_SHARED`.
pub fn shared_dir() -> Option<PathBuf> {
    let checkout = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    let beside = checkout
        .ancestors()
        .skip(1)
        .take(2)
        .map(|dir| dir.join("shared"));
    beside
        .chain(std::env::var_os("BAREWOOD_SHARED").map(PathBuf::from))
        .find(|dir| dir.join("data").is_dir())
}

/// A path inside the shared folder, or `None` after saying that the test is skipped.
#[allow(clippy::print_stdout, reason = "a skipped test has to say so")]
pub fn shared_or_skip(path: &str) -> Option<PathBuf> {
    let found = shared_dir()
        .map(|dir| dir.join(path))
        .filter(|path| path.exists());
    if found.is_none() {
        println!(
            "SKIPPED: needs {path} of the shared folder (beside the checkout or in BAREWOOD_SHARED)"
        );
    }
    found
}
