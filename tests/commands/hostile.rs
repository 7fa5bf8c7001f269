//! A season hostile in every field, file name and value of the environment: whatever a command
//! says of it steers no terminal (ECMA-48 for C0 and C1, Unicode UAX 9 for the turning of
//! direction), with and without `--json`.

use crate::home::Home;
use assert_cmd::Command;
use barewood::domain::harmless::steers;
use clap::CommandFactory as _;
use std::fs;
use std::path::{Path, PathBuf};

/// Title and clipboard of a terminal, a cursor walked up, C1, DEL, backspace, turned direction,
/// invisible tags.
const HOSTILE: &str = "x\u{1b}]2;owned\u{7}\u{1b}]52;c;cm0=\u{7}\u{1b}[2A\u{9b}31m\u{9d}0;t\u{9c}\u{7f}\u{8}\u{202e}\u{2066}\u{fff9}\u{ad}\u{61c}\u{180e}\u{e0041}\u{200b}\r\t";

/// Every text of a season with the hostile one behind it, where it then still reads.
fn hostile(text: &str) -> (String, usize) {
    let mut document: toml_edit::DocumentMut = text.parse().unwrap();
    // Its files are not there.
    document.remove("weather");
    let mut changed = 0;
    let places = places(document.as_table());
    for place in places {
        let mut tried = document.clone();
        let Some(item) = at(tried.as_table_mut(), &place) else {
            continue;
        };
        let old = item.as_str().unwrap().to_owned();
        *item = toml_edit::Value::from(format!("{old}{HOSTILE}"));
        if barewood::store::season_file::read(&tried.to_string(), "h").is_ok() {
            document = tried;
            changed += 1;
        }
    }
    (document.to_string(), changed)
}

#[derive(Debug, Clone)]
enum Step {
    Key(String),
    Place(usize),
}

fn places(table: &toml_edit::Table) -> Vec<Vec<Step>> {
    let mut found = Vec::new();
    for (key, item) in table {
        walk(item, vec![Step::Key(key.to_owned())], &mut found);
    }
    found
}

fn walk(item: &toml_edit::Item, path: Vec<Step>, found: &mut Vec<Vec<Step>>) {
    let with = |step: Step| {
        let mut path = path.clone();
        path.push(step);
        path
    };
    match item {
        toml_edit::Item::Value(value) => values(value, path, found),
        toml_edit::Item::Table(table) => {
            for (key, item) in table {
                walk(item, with(Step::Key(key.to_owned())), found);
            }
        }
        toml_edit::Item::ArrayOfTables(tables) => {
            for (i, table) in tables.iter().enumerate() {
                for (key, item) in table {
                    let mut path = with(Step::Place(i));
                    path.push(Step::Key(key.to_owned()));
                    walk(item, path, found);
                }
            }
        }
        toml_edit::Item::None => {}
    }
}

fn values(value: &toml_edit::Value, path: Vec<Step>, found: &mut Vec<Vec<Step>>) {
    let with = |step: Step| {
        let mut path = path.clone();
        path.push(step);
        path
    };
    match value {
        toml_edit::Value::String(_) => found.push(path),
        toml_edit::Value::Array(array) => {
            for (i, value) in array.iter().enumerate() {
                values(value, with(Step::Place(i)), found);
            }
        }
        toml_edit::Value::InlineTable(table) => {
            for (key, value) in table {
                values(value, with(Step::Key(key.to_owned())), found);
            }
        }
        _ => {}
    }
}

fn at<'t>(table: &'t mut toml_edit::Table, path: &[Step]) -> Option<&'t mut toml_edit::Value> {
    let [Step::Key(first), rest @ ..] = path else {
        return None;
    };
    let mut item = table.get_mut(first)?;
    let mut rest = rest;
    loop {
        match (item, rest) {
            (toml_edit::Item::Value(value), rest) => return inside(value, rest),
            (toml_edit::Item::Table(table), [Step::Key(key), more @ ..]) => {
                item = table.get_mut(key)?;
                rest = more;
            }
            (
                toml_edit::Item::ArrayOfTables(tables),
                [Step::Place(i), Step::Key(key), more @ ..],
            ) => {
                item = tables.get_mut(*i)?.get_mut(key)?;
                rest = more;
            }
            _ => return None,
        }
    }
}

fn inside<'t>(value: &'t mut toml_edit::Value, path: &[Step]) -> Option<&'t mut toml_edit::Value> {
    match path {
        [] => Some(value),
        [Step::Place(i), rest @ ..] => inside(value.as_array_mut()?.get_mut(*i)?, rest),
        [Step::Key(key), rest @ ..] => inside(value.as_inline_table_mut()?.get_mut(key)?, rest),
    }
}

struct Yard {
    home: Home,
    season: PathBuf,
}

impl Yard {
    fn new() -> Self {
        let home = Home::new();
        let (text, changed) = hostile(barewood::store::practice::SEASON_TEXT);
        println!("{changed} texts of the season are hostile");
        assert!(changed > 60, "{changed}");
        let season = home.path().join(format!("sea{HOSTILE}.toml"));
        fs::write(&season, text.replace("practice = true", "practice = false")).unwrap();
        Self { home, season }
    }

    /// Runs it; both streams must be harmless. `but` may stand in standard output as well.
    fn run(&self, season: &Path, args: &[&str], but: &[char]) -> String {
        self.run_where(&[], season, args, but)
    }

    /// The same with more in the environment.
    fn run_where(
        &self,
        env: &[(&str, &str)],
        season: &Path,
        args: &[&str],
        but: &[char],
    ) -> String {
        let output = Command::cargo_bin("barewood")
            .unwrap()
            .env_clear()
            .env("HOME", self.home.path())
            .env("USER", HOSTILE)
            .env("LOGNAME", HOSTILE)
            .env("BAREWOOD_SEASON", season)
            .envs(env.iter().copied())
            .current_dir(self.home.path())
            .args(args)
            .write_stdin(format!("1 {HOSTILE}; 2 done; {HOSTILE}\n"))
            .output()
            .unwrap();
        let out = String::from_utf8(output.stdout).unwrap_or_else(|e| panic!("{args:?}: {e}"));
        let err = String::from_utf8(output.stderr).unwrap_or_else(|e| panic!("{args:?}: {e}"));
        for (stream, but) in [(&out, but), (&err, &[][..])] {
            let harm = stream
                .lines()
                .find(|l| l.contains(|c| steers(c) && !but.contains(&c)));
            assert!(harm.is_none(), "{args:?}: {harm:?}");
        }
        assert!(!err.contains("panicked"), "{args:?}: {err}");
        out
    }
}

const VIEWS: [&[&str]; 15] = [
    &["plan"],
    &["due"],
    &["check"],
    &["check", "--records"],
    &["check", "--file"],
    &["swell"],
    &["swell", "--curves"],
    &["hours", "last-copper"],
    &["mix", "last-copper"],
    &["buy"],
    &["coverage"],
    &["review"],
    &["history"],
    &["weather", "show"],
    &["versions"],
];

const CHANGES: [&[&str]; 56] = [
    &["open"],
    &["run-sheet"],
    &["run-sheet", "--json"],
    &["farm"],
    &["farm", HOSTILE_ARG],
    &["ledger"],
    &["ledger", "--json"],
    &["ledger", "--csv"],
    &["blocks", "show"],
    &["blocks", "show", "--csv"],
    &["blocks", "add", HOSTILE_ARG],
    &["blocks", "set", HOSTILE_ARG],
    &["receive", HOSTILE_ARG, "1 kg"],
    &["count", HOSTILE_ARG, "1 kg"],
    &["open", "--linear"],
    &["sheet", "mix", "last-copper"],
    &["sheet", "reentry", "first-copper"],
    &["sheet", "reentry", HOSTILE_ARG],
    &["sheet", "neighbour", "last-copper"],
    &["sheet", "wall"],
    &["sheet", "wall", "--html"],
    &["sheet", "words"],
    &["sheet", "wall", "--language", HOSTILE_ARG],
    &["review", "--numbered"],
    &["due", "--new"],
    &["take", HOSTILE_ARG],
    &["take", "-"],
    &["schema"],
    &["schema", HOSTILE_ARG],
    &[
        "hindcast",
        "--observations",
        HOSTILE_ARG,
        "--temperatures",
        HOSTILE_ARG,
        "--stations",
        "x",
    ],
    &["weather", "list"],
    &["weather", "list", "--json"],
    &["weather", "remove", HOSTILE_ARG],
    &["weather", "undo"],
    &["weather", "fetch"],
    &["weather", "show", HOSTILE_ARG],
    &["shed"],
    &["review", "--markdown"],
    &["mix", "last-copper", "--html"],
    &["move", "last-copper", "+1", "--why", HOSTILE_ARG],
    &["move", HOSTILE_ARG, "+1"],
    &["move", "last-copper", HOSTILE_ARG],
    &["delay", "last-copper", "--days", "1"],
    &["repeat", "first-copper"],
    &["finish", "prune", "--skip"],
    &[
        "finish",
        "last-copper",
        "--who",
        HOSTILE_ARG,
        "--reason",
        HOSTILE_ARG,
    ],
    &["reenter", "r1", "--seen-by", HOSTILE_ARG],
    &[
        "read",
        "degree-days",
        "95",
        "--base",
        "43F",
        "--since",
        "2027-01-01",
    ],
    &["read", "buds", HOSTILE_ARG],
    &["review", "--done"],
    &["versions"],
    &["versions", "show", "1"],
    &["versions", "restore", "1"],
    &["merge", HOSTILE_ARG],
    &["weather", "add", HOSTILE_ARG],
    &[
        "start",
        "--yes",
        "--name",
        HOSTILE_ARG,
        "--zone",
        HOSTILE_ARG,
    ],
];

/// As an argument of a command, which no NUL may be in.
const HOSTILE_ARG: &str = "y\u{1b}]2;owned\u{7}\u{9b}31m\u{202e}\u{e0041}";

#[test]
fn no_command_lets_a_hostile_season_steer_the_terminal() {
    let yard = Yard::new();
    for args in VIEWS {
        for json in [false, true] {
            let mut args: Vec<&str> = args.to_vec();
            args.extend(["--on", "2027-02-08"]);
            if json {
                args.push("--json");
            }
            let out = yard.run(&yard.season, &args, &[]);
            if json && out.starts_with('{') {
                serde_json::from_str::<serde_json::Value>(&out)
                    .unwrap_or_else(|e| panic!("{args:?}: {e}"));
            }
        }
    }
    // JSON keeps the value whole: escaped, not replaced.
    let plan = yard.run(&yard.season, &["plan", "--json", "--on", "2027-02-08"], &[]);
    let plan: serde_json::Value = serde_json::from_str(&plan).unwrap();
    assert!(plan.to_string().contains('\u{9b}'), "{plan}");
    for args in CHANGES {
        let mut args: Vec<&str> = args.to_vec();
        args.extend(["--on", "2027-02-08"]);
        // Line by line a line ends with both.
        let ends = |arg: &&str| ["--linear", "--csv"].contains(arg);
        let but = if args.iter().any(ends) {
            &['\r'][..]
        } else {
            &[]
        };
        yard.run(&yard.season, &args, but);
    }
    // A weather file of such a name, brought in, listed and read.
    let table = yard.home.path().join(format!("days{HOSTILE_ARG}.csv"));
    fs::write(
        &table,
        "date,tmin_c,tmax_c\n2027-01-01,-3,4\n2027-01-02,-2,5\n",
    )
    .unwrap();
    let table = table.to_str().unwrap();
    yard.run(&yard.season, &["weather", "add", "--anyway", table], &[]);
    for args in [&["weather", "list"][..], &["weather", "show"], &["plan"]] {
        yard.run(&yard.season, args, &[]);
    }
    for (form, but) in [
        ("ics", &['\r'][..]),
        ("csv", &['\r'][..]),
        ("materials", &['\r'][..]),
        ("html", &[][..]),
        ("json", &[][..]),
    ] {
        yard.run(&yard.season, &["export", form, "--on", "2027-02-08"], but);
        let to = format!("out{HOSTILE_ARG}.{form}");
        let to = to.as_str();
        yard.run(&yard.season, &["export", form, "--to", to], &[]);
        // And where it refuses, its message.
        yard.run(&yard.season, &["export", form, "--to", to], &[]);
    }
    yard.run(&yard.season, &["shell", "places"], &[]);
    yard.run(&yard.season, &["--pages", "--ascii", "plan"], &['\u{c}']);
}

#[test]
fn no_value_of_the_environment_steers_the_terminal() {
    let yard = Yard::new();
    let season = yard.season.clone();
    let names = [
        "HOME",
        "XDG_CONFIG_HOME",
        "XDG_DATA_HOME",
        "XDG_STATE_HOME",
        "XDG_CACHE_HOME",
        "BAREWOOD_LOG",
        "BAREWOOD_LINE",
        "BAREWOOD_SEASON",
        "BAREWOOD_SYNC",
        "TERM",
        "LANG",
        "LC_ALL",
        "TZ",
        "COLUMNS",
        "COLORFGBG",
        "NO_COLOR",
        "TMUX",
        "COMPLETE",
    ];
    for name in names {
        for value in [HOSTILE_ARG.to_owned(), format!("/{HOSTILE_ARG}")] {
            for args in [
                &["plan"][..],
                &["open"],
                &["shell", "places"],
                &["check", "--file"],
                &["move", "last-copper", "+1"],
            ] {
                yard.run_where(&[(name, &value)], &season, args, &[]);
            }
        }
    }
}

/// Every command that answers in JSON, by the words that lead to it.
fn answering_in_json(command: &clap::Command, path: &[String], found: &mut Vec<Vec<String>>) {
    if command.get_arguments().any(|arg| arg.get_id() == "json") {
        found.push(path.to_vec());
    }
    for sub in command.get_subcommands() {
        let mut path = path.to_vec();
        path.push(sub.get_name().to_owned());
        answering_in_json(sub, &path, found);
    }
}

#[test]
fn every_answer_in_json_is_escaped() {
    let mut commands = Vec::new();
    answering_in_json(&barewood::cli::Cli::command(), &[], &mut commands);
    println!("{commands:?}");
    assert!(commands.len() > 12);
    let yard = Yard::new();
    for path in commands {
        let words: Vec<&str> = path.iter().map(String::as_str).collect();
        // As it is tried without, where more must be said than its name.
        let tried = VIEWS
            .iter()
            .chain(&CHANGES)
            .find(|args| args.starts_with(&words));
        let mut args = tried.map_or(words, |args| args.to_vec());
        args.retain(|arg| !["--json", "--csv", "--html", "--markdown"].contains(arg));
        args.extend(["--on", "2027-02-08", "--json"]);
        let out = yard.run(&yard.season, &args, &[]);
        // Escaped and not replaced: the value stays what it is.
        assert!(!out.contains('\u{fffd}'), "{args:?}: {out}");
        if !out.trim().is_empty() {
            serde_json::from_str::<serde_json::Value>(&out)
                .unwrap_or_else(|e| panic!("{args:?}: {e}: {out}"));
        }
    }
}

#[test]
fn no_command_is_left_out() {
    let tried: Vec<&str> = VIEWS.iter().chain(&CHANGES).map(|args| args[0]).collect();
    for command in barewood::cli::Cli::command().get_subcommands() {
        let name = command.get_name();
        let elsewhere = ["export", "shell"].contains(&name);
        assert!(elsewhere || tried.contains(&name), "{name} is not tried");
    }
}

#[test]
fn messages_name_hostile_files_and_ids_without_harm() {
    let yard = Yard::new();
    for (name, text) in [
        ("none", None),
        ("broken", Some(format!("title = \"{HOSTILE_ARG}"))),
        (
            "id",
            Some(fs::read_to_string(&yard.season).unwrap().replacen(
                "id = \"",
                "id = \"a\\u001b[2J",
                1,
            )),
        ),
    ] {
        let file = yard.home.path().join(format!("{name}{HOSTILE_ARG}.toml"));
        if let Some(text) = &text {
            fs::write(&file, text).unwrap();
        }
        for args in [&["plan"][..], &["check", "--file"], &["due", "--json"]] {
            yard.run(&file, args, &[]);
        }
    }
    yard.run(&yard.season, &["hours", HOSTILE_ARG], &[]);
    yard.run(&yard.season, &[HOSTILE_ARG], &[]);
    yard.run(&yard.season, &["--on", HOSTILE_ARG, "plan"], &[]);
    yard.run(
        &yard.season,
        &["--log", "/nonexistent/\u{1b}x", "plan"],
        &[],
    );
}

#[test]
fn an_id_with_anything_but_letters_digits_and_dashes_is_refused_with_its_place() {
    let home = Home::new();
    let text = barewood::store::practice::SEASON_TEXT.replacen("id = \"", "id = \"a\\u001b[2J ", 1);
    fs::write(home.path().join("s.toml"), text).unwrap();
    let ran = home.run(&["plan", "--season", "s.toml"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err.contains("is no id") && ran.err.contains("s.toml:"),
        "{}",
        ran.err
    );
}
