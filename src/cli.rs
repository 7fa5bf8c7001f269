//! The command line: arguments become a closed [`Command`] first, then it runs.
//!
//! Results go to standard output, messages to standard error. Exit codes:
//! 0 fine, 1 a stop or caution (only `check` and `due`), 2 usage or bad input,
//! 3 could not read or write.

mod args;
mod beside;
mod blocks;
mod board_host;
mod check;
mod check_file;
mod delay;
mod due;
mod exit;
mod export;
mod farm;
mod fetch;
mod fetch_history;
mod finish;
pub mod hindcast;
mod hindcast_command;
mod hours;
mod kept_calendar;
mod ledger;
mod mix;
mod move_task;
mod open;
mod plan;
mod read;
mod review;
mod run_sheet;
mod schema;
mod season_at;
mod shed_book;
mod sheet;
mod shell;
mod start;
mod start_ask;
mod swell;
mod take;
mod weather;

pub use args::{Cli, Command};
pub use exit::{Exit, Failure};

use crate::report::printed;
use crate::store::log::Log;
use clap::{CommandFactory as _, Parser};
use clap_complete::CompleteEnv;
use std::ffi::OsString;
use std::io::Write;

/// Runs the program with these arguments; the exit code is the return.
pub fn run(
    args: impl IntoIterator<Item = OsString>,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> i32 {
    if std::env::var_os(shell::COMPLETE).is_some() {
        return completed(args, err);
    }
    let cli = match Cli::try_parse_from(args) {
        Ok(cli) => cli,
        Err(problem) => {
            // Help and version are answers, not errors: clap knows which is which.
            let text = problem.render();
            if problem.use_stderr() {
                let _ = write!(err, "{text}");
                return 2;
            }
            let _ = write!(out, "{text}");
            return 0;
        }
    };
    let log = match cli.log.as_deref().map(Log::at).transpose() {
        Ok(log) => log.unwrap_or_default(),
        Err(fault) => {
            let path = cli.log.unwrap_or_default();
            let _ = writeln!(err, "barewood: --log {}: {fault}", path.display());
            return Failure::Disk(String::new()).code();
        }
    };
    let name = cli.command.as_ref().map_or("open", Command::name);
    let version = env!("CARGO_PKG_VERSION");
    log.note(&format!("{name} started, barewood {version}"));
    let code = match answered(cli, &log, out) {
        Ok(exit) => exit.code(),
        // A reader that has seen enough (`| head`) is not an error.
        Err(Failure::Write(problem)) if problem.kind() == std::io::ErrorKind::BrokenPipe => 0,
        Err(failure) => {
            log.note(&format!("error: {failure}"));
            let _ = writeln!(err, "barewood: {failure}");
            failure.code()
        }
    };
    log.note(&format!("{name} ended with exit code {code}"));
    code
}

/// Answers a shell that asks what may come next on its line.
fn completed(args: impl IntoIterator<Item = OsString>, err: &mut dyn Write) -> i32 {
    let here = std::env::current_dir().ok();
    let asked = CompleteEnv::with_factory(Cli::command).var(shell::COMPLETE);
    match asked.try_complete(args, here.as_deref()) {
        Ok(_) => 0,
        Err(problem) => {
            let _ = write!(err, "{}", problem.render());
            2
        }
    }
}

/// Runs the command; a plain answer takes the form asked for on its way out.
fn answered(cli: Cli, log: &Log, out: &mut dyn Write) -> Result<Exit, Failure> {
    let (ascii, pages) = (cli.ascii, cli.pages);
    let is_plain = cli.command.as_ref().is_some_and(Command::is_plain);
    if !is_plain || !(ascii || pages) {
        return dispatch(cli, log, out);
    }
    let mut answer = Vec::new();
    let exit = dispatch(cli, log, &mut answer)?;
    let mut text = String::from_utf8_lossy(&answer).into_owned();
    if ascii {
        text = printed::ascii(&text);
    }
    if pages {
        text = printed::pages(&text);
    }
    out.write_all(text.as_bytes())?;
    Ok(exit)
}

fn dispatch(cli: Cli, log: &Log, out: &mut dyn Write) -> Result<Exit, Failure> {
    let at = season_at::At {
        season: cli.season,
        on: cli.on,
        log: log.clone(),
    };
    // Without a command it is `open`, with what the environment says of it.
    let open = || Cli::try_parse_from(["barewood", "open"]).ok()?.command;
    let command = cli.command.or_else(open);
    match command.unwrap_or(Command::Open(args::OpenArgs::default())) {
        Command::Open(args) => open::run(&at, &args, cli.ascii, out),
        Command::Start(args) => start::run(&at, &args, out),
        Command::Plan(args) => plan::run(&at, &args, out),
        Command::Due(args) => due::run(&at, &args, out),
        Command::Check(args) => check::run(&at, &args, out),
        Command::Swell(args) => swell::run(&at, &args, out),
        Command::Move(args) => move_task::run(&at, &args, out),
        Command::Delay(args) => delay::run(&at, &args, out),
        Command::Hours(args) => hours::run(&at, &args, out),
        Command::RunSheet(args) => run_sheet::run(&at, &args, out),
        Command::Farm(args) => farm::run(&at, &args, out),
        Command::Blocks(args) => blocks::run(&at, &args, out),
        Command::Ledger(args) => ledger::run(&at, &args, out),
        Command::Receive(args) => shed_book::receive(&at, &args, out),
        Command::Count(args) => shed_book::count(&at, &args, out),
        Command::Repeat(args) => hours::repeat(&at, &args, out),
        Command::Finish(args) => finish::run(&at, &args, out),
        Command::Read(args) => read::run(&at, &args, out),
        Command::Mix(args) => mix::run(&at, &args, out),
        Command::Sheet(args) => sheet::run(&at, &args, out),
        Command::Shed(_) => mix::shed(&at, out),
        Command::Buy(args) => mix::buy(&at, &args, out),
        Command::Coverage(args) => mix::coverage(&at, &args, out),
        Command::Review(args) => review::run(&at, &args, out),
        Command::Take(args) => take::run(&at, &args, out),
        Command::History(args) => review::history(&at, &args, out),
        Command::Export(args) => export::run(&at, &args, out),
        Command::Reenter(args) => finish::reenter(&at, &args, out),
        Command::Hindcast(args) => hindcast_command::run(&args, out),
        Command::Weather(args) => weather::run(&at, &args, out),
        Command::Schema(args) => schema::run(&args, out),
        Command::Shell(args) => shell::run(&args, out),
    }
}
