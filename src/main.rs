//! Parse, call the library, map to an exit code.

use std::io::{self, BufWriter, Write};
use std::process::ExitCode;

// The one place that has the streams: `run` puts its filter before both.
#[allow(clippy::disallowed_methods)]
fn main() -> ExitCode {
    let mut out = BufWriter::new(io::stdout().lock());
    let code = barewood::cli::run(std::env::args_os(), &mut out, &mut io::stderr());
    // What was said is out: a command whose answer cannot be written says so itself.
    let _ = out.flush();
    ExitCode::from(u8::try_from(code).unwrap_or(1))
}
