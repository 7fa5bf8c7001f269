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
mod clean;
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
mod merge;
mod mix;
mod move_task;
mod open;
mod plan;
mod put_file;
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
mod versions;
mod weather;

pub use args::{Cli, Command};
pub use exit::{Exit, Failure};

use crate::domain::harmless::{Form, Shown};
use crate::report::printed;
use crate::store::disk::tell_of_limits;
use crate::store::log::Log;
use clap::{CommandFactory as _, Parser};
use clap_complete::CompleteEnv;
use clean::Clean;
use std::ffi::OsString;
use std::io::Write;

/// Runs the program with these arguments; the exit code is the return. Whatever it says goes
/// through `clean::Clean`, so that no foreign text steers the terminal it is shown on.
pub fn run(
    args: impl IntoIterator<Item = OsString>,
    out: &mut dyn Write,
    err: &mut dyn Write,
) -> i32 {
    let err = &mut Clean::new(err, Form::Plain);
    tell_of_limits();
    let args: Vec<OsString> = args.into_iter().collect();
    if std::env::var_os(shell::COMPLETE).is_some() {
        return completed(args, err);
    }
    let cli = match Cli::try_parse_from(&args) {
        Ok(cli) => cli,
        Err(problem) => {
            // Help and version are answers, not errors: clap knows which is which.
            let text = problem.render();
            if problem.use_stderr() {
                let _ = write!(err, "{text}");
                return 2;
            }
            let told = write!(out, "{}", Shown::text(&text.to_string()));
            return told
                .and_then(|()| out.flush())
                .map_or_else(|e| unsaid(&e, err), |()| 0);
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
    let code = match answered_at_last(&args, cli, &log, out) {
        Ok(exit) => exit.code(),
        Err(Failure::Write(problem)) => {
            log.note(&format!(
                "error: {}",
                Failure::Write(std::io::Error::other(problem.to_string()))
            ));
            unsaid(&problem, err)
        }
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

/// Standard error for what is said beside an answer.
#[allow(clippy::disallowed_methods)]
fn told() -> Clean<std::io::Stderr> {
    Clean::new(std::io::stderr(), Form::Plain)
}

/// Does somebody watch the answer?
#[allow(clippy::disallowed_methods)]
fn stdout_is_terminal() -> bool {
    std::io::IsTerminal::is_terminal(&std::io::stdout())
}

/// The same for a line that is written over itself; its caller shows nothing foreign.
#[allow(clippy::disallowed_methods)]
fn raw_told() -> std::io::Stderr {
    std::io::stderr()
}

/// The exit code where an answer could not be said. A reader that has seen enough (`| head`) is no
/// error; a full disk behind the answer is.
fn unsaid(problem: &std::io::Error, err: &mut dyn Write) -> i32 {
    if problem.kind() == std::io::ErrorKind::BrokenPipe {
        return 0;
    }
    let failure = Failure::Write(std::io::Error::other(problem.to_string()));
    let _ = writeln!(err, "barewood: {failure}");
    failure.code()
}

/// How often a command that was overtaken runs again on what is there then.
const AGAIN: usize = 20;

/// Runs the command, and once more where somebody else changed the same thing just then. Only an
/// answer that counts is printed.
fn answered_at_last(
    args: &[OsString],
    cli: Cli,
    log: &Log,
    out: &mut dyn Write,
) -> Result<Exit, Failure> {
    if !cli.command.as_ref().is_some_and(Command::writes) {
        return answered(cli, log, out);
    }
    let mut cli = Some(cli);
    until_it_counts(out, |answer| {
        let again = || Cli::try_parse_from(args).ok();
        let this = cli.take().or_else(again);
        let this = this.ok_or_else(|| Failure::Disk("not saved; run it again".to_owned()))?;
        answered(this, log, answer)
    })
}

/// Runs something again as long as somebody else was quicker; only the last answer is written.
fn until_it_counts(
    out: &mut dyn Write,
    mut run: impl FnMut(&mut Vec<u8>) -> Result<Exit, Failure>,
) -> Result<Exit, Failure> {
    let mut round = 1;
    loop {
        let mut answer = Vec::new();
        match run(&mut answer) {
            Err(Failure::Overtaken(_)) if round < AGAIN => round += 1,
            ended => {
                out.write_all(&answer)?;
                out.flush()?;
                return ended;
            }
        }
    }
}

/// Runs the command; a plain answer takes the form asked for on its way out. What cannot be
/// written is told: an answer counts once the last of it is out.
fn answered(cli: Cli, log: &Log, out: &mut dyn Write) -> Result<Exit, Failure> {
    let (ascii, pages) = (cli.ascii, cli.pages);
    let form = cli.command.as_ref().map_or(Form::Plain, Command::form);
    let is_plain = cli.command.as_ref().is_some_and(Command::is_plain);
    if !is_plain || !(ascii || pages) {
        let mut out = Clean::new(out, form);
        let exit = dispatch(cli, log, &mut out)?;
        out.flush()?;
        return Ok(exit);
    }
    let mut answer = Vec::new();
    let exit = dispatch(cli, log, &mut answer)?;
    let mut text = Shown::text(&String::from_utf8_lossy(&answer)).to_string();
    if ascii {
        text = printed::ascii(&text);
    }
    if pages {
        text = printed::pages(&text);
    }
    out.write_all(text.as_bytes())?;
    out.flush()?;
    Ok(exit)
}

fn dispatch(cli: Cli, log: &Log, out: &mut dyn Write) -> Result<Exit, Failure> {
    let at = season_at::At {
        season: cli.season,
        on: cli.on,
        log: log.clone(),
        doing: cli.command.as_ref().map_or("board", Command::name),
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
        Command::Versions(args) => versions::run(&at, &args, out),
        Command::Merge(args) => merge::run(&at, &args, out),
        Command::Hindcast(args) => hindcast_command::run(&args, out),
        Command::Weather(args) => weather::run(&at, &args, out),
        Command::Schema(args) => schema::run(&args, out),
        Command::Shell(args) => shell::run(&args, out),
    }
}
