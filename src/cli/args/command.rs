//! What is known of every command.

use super::{BlocksWhat, Command, ExportForm, SheetWhat, WeatherWhat};
use crate::domain::harmless::Form;

impl Command {
    /// Its name on the command line.
    pub fn name(&self) -> &'static str {
        match self {
            Self::Open(_) => "open",
            Self::Start(_) => "start",
            Self::Plan(_) => "plan",
            Self::Due(_) => "due",
            Self::Check(_) => "check",
            Self::Swell(_) => "swell",
            Self::Move(_) => "move",
            Self::Delay(_) => "delay",
            Self::Hours(_) => "hours",
            Self::RunSheet(_) => "run-sheet",
            Self::Farm(_) => "farm",
            Self::Blocks(_) => "blocks",
            Self::Ledger(_) => "ledger",
            Self::Receive(_) => "receive",
            Self::Count(_) => "count",
            Self::Repeat(_) => "repeat",
            Self::Finish(_) => "finish",
            Self::Mix(_) => "mix",
            Self::Sheet(_) => "sheet",
            Self::Shed(_) => "shed",
            Self::Buy(_) => "buy",
            Self::Coverage(_) => "coverage",
            Self::Review(_) => "review",
            Self::Take(_) => "take",
            Self::History(_) => "history",
            Self::Export(_) => "export",
            Self::Reenter(_) => "reenter",
            Self::Read(_) => "read",
            Self::Weather(_) => "weather",
            Self::Versions(_) => "versions",
            Self::Merge(_) => "merge",
            Self::Hindcast(_) => "hindcast",
            Self::Schema(_) => "schema",
            Self::Shell(_) => "shell",
        }
    }

    /// Does it change a season, and can it be run again from its start? (`take` reads its answer
    /// once, and goes on from there itself.)
    pub fn writes(&self) -> bool {
        match self {
            Self::Move(_)
            | Self::Delay(_)
            | Self::Repeat(_)
            | Self::Finish(_)
            | Self::Reenter(_)
            | Self::Read(_)
            | Self::Receive(_)
            | Self::Count(_)
            | Self::Merge(_) => true,
            Self::RunSheet(args) => args.take,
            Self::Blocks(args) => !matches!(args.what, BlocksWhat::Show { .. }),
            Self::Review(args) => args.done,
            Self::Versions(args) => args.what.is_some(),
            Self::Weather(args) => match &args.what {
                WeatherWhat::Add(_) | WeatherWhat::Remove { .. } | WeatherWhat::Undo => true,
                WeatherWhat::Fetch(fetch) => fetch.history,
                WeatherWhat::List { .. } | WeatherWhat::Show(_) => false,
            },
            _ => false,
        }
    }

    /// What kind of text its answer is, to know what may stand in it.
    pub fn form(&self) -> Form {
        let json = match self {
            Self::Plan(args) => args.output.json,
            Self::Due(args) => args.output.json,
            Self::Check(args) => args.output.json,
            Self::Swell(args) => args.output.json,
            Self::Hours(args) => args.output.json,
            Self::RunSheet(args) => args.output.json,
            Self::Ledger(args) if args.csv => return Form::Crlf,
            Self::Ledger(args) => args.output.json,
            Self::Blocks(args) if matches!(args.what, BlocksWhat::Show { csv: true }) => {
                return Form::Crlf;
            }
            Self::Mix(args) => args.output.json,
            Self::Buy(args) => args.output.json,
            Self::Coverage(args) => args.output.json,
            Self::Review(args) => args.output.json,
            Self::History(args) => args.output.json,
            Self::Hindcast(args) => args.json,
            Self::Export(args) => match args.form {
                ExportForm::Json => true,
                ExportForm::Ics | ExportForm::Csv | ExportForm::Materials => return Form::Crlf,
                ExportForm::Html => false,
            },
            Self::Weather(args) => match &args.what {
                WeatherWhat::Show(show) => show.output.json,
                WeatherWhat::List { output } => output.json,
                WeatherWhat::Add(_)
                | WeatherWhat::Remove { .. }
                | WeatherWhat::Undo
                | WeatherWhat::Fetch(_) => false,
            },
            Self::Schema(args) => args.name.is_some(),
            // Line by line in a raw terminal a line ends with both.
            Self::Open(_) => return Form::Crlf,
            Self::Shell(_) => return Form::Script,
            _ => false,
        };
        if json { Form::Json } else { Form::Plain }
    }

    /// Is its answer plain text for a reader, not JSON, a table, a page or a script?
    pub fn is_plain(&self) -> bool {
        match self {
            Self::Plan(args) => !args.output.json,
            Self::Due(args) => !args.output.json,
            Self::Check(args) => !args.output.json,
            Self::Swell(args) => !args.output.json,
            Self::Hours(args) => !args.output.json,
            Self::RunSheet(args) => !args.output.json,
            Self::Ledger(args) => !args.output.json && !args.csv,
            Self::Blocks(args) => !matches!(args.what, BlocksWhat::Show { csv: true }),
            Self::Mix(args) => !args.output.json && !args.html,
            Self::Sheet(args) => !args.html && !matches!(args.what, SheetWhat::Words),
            Self::Buy(args) => !args.output.json,
            Self::Coverage(args) => !args.output.json,
            Self::Review(args) => !args.output.json && !args.markdown,
            Self::History(args) => !args.output.json,
            Self::Farm(_)
            | Self::Receive(_)
            | Self::Count(_)
            | Self::Shed(_)
            | Self::Move(_)
            | Self::Delay(_)
            | Self::Repeat(_)
            | Self::Finish(_)
            | Self::Reenter(_)
            | Self::Take(_)
            | Self::Read(_)
            | Self::Versions(_)
            | Self::Merge(_) => true,
            Self::Weather(args) => match &args.what {
                WeatherWhat::Show(show) => !show.output.json,
                WeatherWhat::List { output } => !output.json,
                WeatherWhat::Add(_)
                | WeatherWhat::Remove { .. }
                | WeatherWhat::Undo
                | WeatherWhat::Fetch(_) => true,
            },
            Self::Open(_)
            | Self::Start(_)
            | Self::Export(_)
            | Self::Hindcast(_)
            | Self::Schema(_)
            | Self::Shell(_) => false,
        }
    }
}
