//! A season hostile in every field, file name and value of the environment: whatever a command
//! says of it steers no terminal (ECMA-48 for C0 and C1, Unicode UAX 9 for the turning of
//! direction), with and without `--json`.

use crate::home::Home;
use crate::steering::{CHANGES, HOSTILE, HOSTILE_ARG, VIEWS, hostile, steers};
use assert_cmd::Command;
use clap::CommandFactory as _;
use std::fs;
use std::path::{Path, PathBuf};

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
