//! A season hostile in every text, and every command to try on it.

/// What steers a terminal, or the direction of writing: a list of the tests' own, so that one in the
/// program that grew too short is found. C0, DEL and C1 (ECMA-48); the formatting characters of
/// Unicode's chapter 23 that turn direction, hide or tag text (UAX 9; soft hyphen, Arabic letter
/// mark, Mongolian vowel separator, zero-width space, annotations, tags).
pub fn steers(c: char) -> bool {
    matches!(u32::from(c),
        0..=0x1f | 0x7f..=0x9f | 0xad | 0x61c | 0x180e | 0x200b | 0x200e..=0x200f
        | 0x2028..=0x202e | 0x2066..=0x2069 | 0xfff9..=0xfffb | 0xe0001..=0xe007f)
}

/// Title and clipboard of a terminal, a cursor walked up, C1, DEL, backspace, turned direction,
/// invisible tags.
pub const HOSTILE: &str = "x\u{1b}]2;owned\u{7}\u{1b}]52;c;cm0=\u{7}\u{1b}[2A\u{9b}31m\u{9d}0;t\u{9c}\u{7f}\u{8}\u{202e}\u{2066}\u{fff9}\u{ad}\u{61c}\u{180e}\u{e0041}\u{200b}\r\t";

/// Every text of a season with the hostile one behind it, where it then still reads.
pub fn hostile(text: &str) -> (String, usize) {
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

/// Commands that only look, tried with and without `--json`.
pub const VIEWS: [&[&str]; 15] = [
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

/// Every other command, with what is hostile where it takes something.
pub const CHANGES: [&[&str]; 56] = [
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
pub const HOSTILE_ARG: &str = "y\u{1b}]2;owned\u{7}\u{9b}31m\u{202e}\u{e0041}";
