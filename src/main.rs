//! Parse, call the library, map to an exit code.

use std::io::{self, BufWriter, Write};
use std::process::ExitCode;

fn main() -> ExitCode {
    let mut out = BufWriter::new(io::stdout().lock());
    let code = barewood::cli::run(std::env::args_os(), &mut out, &mut io::stderr());
    // A reader that has gone away is no error, and there is nobody left to tell of any other.
    let _ = out.flush();
    ExitCode::from(u8::try_from(code).unwrap_or(1))
}
