//! A farm of thirty blocks, by commands: set up from one table, sprayed in parts, put into the
//! hours there are, and answered for. Blocks, people and weather are invented.

use crate::home::Home;
use std::fmt::Write;
use std::fs;

/// Thirty blocks of five kinds, two sprayers, two people.
fn table() -> String {
    let kinds = [
        "apricot",
        "peach",
        "sweet cherry",
        "european plum",
        "pear",
        "apple",
    ];
    let mut text =
        "block,kind,cultivar,trees,area ha,row spacing m,tree spacing m,height m,spread m\n"
            .to_owned();
    for n in 1..=30 {
        let kind = kinds[(n - 1) / 5];
        let _ = writeln!(
            text,
            "{n:02} {kind} {n},{kind},,{},{:.2},5,3,4,2.5",
            60 + n,
            0.3 + 0.01 * n as f64
        );
    }
    text.push_str(",,,,,,,,\nsprayer,type,tank,refill min,output per min,calibrated,way min,,\n");
    text.push_str(
        "Towed,airblast,1000 L,12,30,2026-11-01,5,,\nSkid,handgun,400 L,15,20,2026-11-01,5,,\n",
    );
    text.push_str(",,,,,,,,\nperson,hours,days,sprayers,licence,,,,\nAnn,7-17,mon-sat,Towed,A 12,,,,\nBen,8-16,mon-fri,,B 7,,,,\n");
    text
}

fn farm() -> Home {
    let home = Home::new();
    home.run(&[
        "start",
        "--yes",
        "--name",
        "Hill 30",
        "--latitude",
        "45",
        "--longitude",
        "-120",
        "--zone",
        "America/Los_Angeles",
        "--units",
        "metric",
        "--leaf-drop",
        "2026-11-15",
        "--block",
        "apple",
        "--on",
        "2026-11-20",
        "--season",
        "season.toml",
    ])
    .fine();
    fs::write(home.path().join("farm.csv"), table()).unwrap();
    home
}

/// The rate of the copper's label, as a grower reads it; this one is invented.
fn with_rates(home: &Home) {
    let path = home.path().join("season.toml");
    let text = fs::read_to_string(&path).unwrap();
    let (before, copper) = text.split_once("metallic_copper").unwrap();
    let label = "[material.label]\n";
    let copper = copper.replacen(label, &format!("{label}rate = \"3 kg/ha\"\n"), 1);
    fs::write(&path, format!("{before}metallic_copper{copper}")).unwrap();
}

fn run(home: &Home, on: &str, args: &[&str]) -> crate::home::Ran {
    let mut all = args.to_vec();
    all.extend(["--on", on, "--season", "season.toml"]);
    home.run(&all)
}

#[test]
fn from_start_to_thirty_sized_blocks_in_two_commands_and_one_table() {
    let home = farm();
    let preview = run(
        &home,
        "2026-11-20",
        &["blocks", "add", "farm.csv", "--preview", "--replace"],
    )
    .fine();
    assert!(
        preview.out.contains("new: 07 peach 7, peach"),
        "{}",
        preview.out
    );
    assert!(
        preview.out.contains("30 blocks, 2 sprayers, 2 people."),
        "{}",
        preview.out
    );
    let added = run(
        &home,
        "2026-11-20",
        &["blocks", "add", "farm.csv", "--replace"],
    )
    .fine();
    assert!(added.out.contains("plan laid out anew"), "{}", added.out);
    let shown = run(&home, "2026-11-20", &["blocks", "show", "--csv"])
        .fine()
        .out;
    assert!(
        shown.contains("07 peach 7,peach,,67,0.37 ha,5 m,3 m,4 m,2.5 m"),
        "{shown}"
    );
    // What was written out reads in again and changes nothing.
    fs::write(home.path().join("again.csv"), &shown).unwrap();
    let again = run(
        &home,
        "2026-11-20",
        &["blocks", "add", "again.csv", "--preview"],
    )
    .fine()
    .out;
    assert!(
        !again.contains("new:") && !again.contains("changed:"),
        "{again}"
    );
    // The plan is for the new blocks.
    let plan = run(&home, "2026-11-20", &["plan", "--json"]).fine().json();
    assert!(plan.to_string().contains("07-peach-7"), "{plan}");
    let check = run(&home, "2026-11-20", &["check", "--file"]);
    assert_eq!(check.code, 0, "{}{}", check.out, check.err);
}

#[test]
fn a_table_with_a_fault_is_told_by_row_and_changes_nothing() {
    let home = farm();
    let before = fs::read_to_string(home.path().join("season.toml")).unwrap();
    fs::write(
        home.path().join("bad.csv"),
        table()
            .replace("08 peach 8,peach", "08 peach 8,oak")
            .replace(",69,", ",many,"),
    )
    .unwrap();
    let ran = run(&home, "2026-11-20", &["blocks", "add", "bad.csv"]);
    assert_eq!(ran.code, 2, "{}", ran.out);
    assert!(
        ran.err.contains("row 9, kind: 'oak' is no kind of tree"),
        "{}",
        ran.err
    );
    assert!(ran.err.contains("row 10, trees: 'many'"), "{}", ran.err);
    assert_eq!(
        fs::read_to_string(home.path().join("season.toml")).unwrap(),
        before
    );
}

#[test]
fn a_spray_is_finished_block_by_block_and_the_ledger_comes_to_the_records() {
    let home = farm();
    run(
        &home,
        "2026-11-20",
        &["blocks", "add", "farm.csv", "--replace"],
    )
    .fine();
    with_rates(&home);
    let plan = run(&home, "2026-11-20", &["plan", "--json"]).fine().json();
    let text = plan.to_string();
    let id = [
        "fall-copper",
        "first-copper",
        "leaf-drop-copper",
        "last-copper",
    ]
    .into_iter()
    .find(|id| text.contains(&format!("\"{id}\"")))
    .unwrap_or_else(|| panic!("{text}"));
    let part = run(
        &home,
        "2026-11-28",
        &[
            "finish",
            id,
            "--blocks",
            "06-08",
            "--who",
            "Ann",
            "--started",
            "08:00",
            "--ended",
            "09:30",
            "--wind",
            "2 m/s",
            "--wind-from",
            "NW",
        ],
    )
    .fine()
    .out;
    assert!(part.contains("still to do"), "{part}");
    let twice = run(&home, "2026-11-28", &["finish", id, "--blocks", "7"]);
    assert_eq!(twice.code, 2);
    assert!(twice.err.contains("is done already"), "{}", twice.err);
    // The rest stays due, under its own blocks.
    let due = run(&home, "2026-12-30", &["due", "--json"])
        .json()
        .to_string();
    assert!(
        !due.contains("07-peach-7") || due.contains("09-peach-9"),
        "{due}"
    );
    // Per-block sums equal the sealed record.
    let csv = run(
        &home,
        "2026-11-28",
        &["ledger", "--active", "copper", "--csv"],
    )
    .fine()
    .out;
    let mut table = csv::Reader::from_reader(csv.as_bytes());
    let heads = table.headers().unwrap().clone();
    let column = heads.iter().position(|h| h == "product_kg").unwrap();
    let shares: Vec<f64> = table
        .records()
        .filter_map(|r| r.unwrap().get(column)?.parse().ok())
        .collect();
    assert_eq!(shares.len(), 3, "{csv}");
    let file = fs::read_to_string(home.path().join("season.toml")).unwrap();
    let record = file.split("[[record]]").nth(1).unwrap();
    assert!(
        record.contains("06-peach-6") && record.contains("seal"),
        "{record}"
    );
    let (_, total) = record.split_once("total = \"").unwrap();
    let (total, _) = total.split_once('"').unwrap();
    let (number, unit) = total.split_once(' ').unwrap();
    let kg = number.parse::<f64>().unwrap() * if unit == "g" { 0.001 } else { 1.0 };
    assert!(
        (shares.iter().sum::<f64>() - kg).abs() < 1e-4,
        "{shares:?} {total}"
    );
    let who = run(
        &home,
        "2026-11-28",
        &["ledger", "--from", "2026-11-28", "--to", "2026-11-28"],
    )
    .fine()
    .out;
    assert!(who.contains("Ann 08:00-09:30, wind NW 2 m/s"), "{who}");
    let block = run(
        &home,
        "2026-11-28",
        &[
            "ledger",
            "--block",
            "7",
            "--active",
            "copper",
            "--from",
            "2024-11-01",
        ],
    )
    .fine()
    .out;
    assert!(
        block.contains("07 peach 7") && block.contains("NOT KNOWN"),
        "{block}"
    );
}

#[test]
fn the_review_of_a_large_farm_is_one_page() {
    let home = farm();
    run(
        &home,
        "2026-11-20",
        &["blocks", "add", "farm.csv", "--replace"],
    )
    .fine();
    for on in ["2026-11-27", "2027-01-20", "2027-02-20", "2027-03-20"] {
        let out = run(&home, on, &["review"]).fine().out;
        assert!(
            out.lines().count() <= 40,
            "{on}: {}\n{out}",
            out.lines().count()
        );
        assert!(out.lines().all(|l| l.chars().count() <= 60), "{on}\n{out}");
        let all = run(&home, on, &["review", "--all"]).fine().out;
        assert!(all.lines().count() > out.lines().count());
    }
}

#[test]
fn receipts_and_counts_stand_in_the_ledger() {
    let home = farm();
    let copper = fs::read_to_string(home.path().join("season.toml")).unwrap();
    let id = copper
        .split("[[material]]")
        .find(|m| m.contains("copper"))
        .and_then(|m| m.lines().find_map(|l| l.trim().strip_prefix("id = \"")))
        .map(|l| l.trim_end_matches('"').to_owned());
    // The first plan of apples alone may have no copper: any material will do.
    let id = id.unwrap_or_else(|| "oil".to_owned());
    run(
        &home,
        "2026-11-20",
        &["receive", &id, "20 kg", "--lot", "L7", "--paid", "120"],
    );
    let ran = run(&home, "2026-11-20", &["count", &id, "18 kg"]);
    if ran.code == 0 {
        assert!(ran.out.contains("differs by -2 kg"), "{}", ran.out);
        let ledger = run(&home, "2026-11-20", &["ledger"]).fine().out;
        assert!(
            ledger.contains("received 20 kg") && ledger.contains("lot L7"),
            "{ledger}"
        );
    }
}

#[test]
fn the_farm_is_one_table_narrowed_by_words_and_grouped() {
    let home = farm();
    run(
        &home,
        "2026-11-20",
        &["blocks", "add", "farm.csv", "--replace"],
    )
    .fine();
    let all = run(&home, "2027-01-20", &["farm"]).fine().out;
    assert!(all.contains("30 of 30 blocks"), "{all}");
    assert!(all.lines().all(|l| l.chars().count() <= 80), "{all}");
    let peaches = run(&home, "2027-01-20", &["farm", "peaches", "copper", "open"])
        .fine()
        .out;
    assert!(peaches.contains("5 of 30 blocks"), "{peaches}");
    assert!(
        peaches.contains("07 peach 7") && !peaches.contains("26 apple"),
        "{peaches}"
    );
    let kinds = run(&home, "2027-01-20", &["farm", "--by", "kind"])
        .fine()
        .out;
    assert!(
        kinds.lines().any(|l| l == "sweet cherry") && kinds.lines().any(|l| l == "apple"),
        "{kinds}"
    );
    let wrong = run(&home, "2027-01-20", &["farm", "--by", "colour"]);
    assert_eq!(wrong.code, 2);
}

#[test]
fn one_block_sprayer_or_person_is_added_and_changed_by_a_command() {
    let home = farm();
    let set = |cells: &[&str]| {
        let mut args = vec!["blocks", "set"];
        args.extend(cells);
        run(&home, "2026-11-20", &args)
    };
    let added = set(&["block=31 Old rows", "kind=pear", "trees=40", "area=0.5 ha"]).fine();
    assert!(
        added.out.contains("new: 31 Old rows, pear"),
        "{}",
        added.out
    );
    let changed = set(&["block=31 Old rows", "trees=44"]).fine();
    assert!(changed.out.contains("trees 40 -> 44"), "{}", changed.out);
    set(&["sprayer=Towed", "type=airblast", "tank=1000 L"]).fine();
    set(&["person=Ann", "hours=7-16", "sprayers=Towed"]).fine();
    let shown = run(&home, "2026-11-20", &["blocks", "show"]).fine().out;
    for part in ["31 Old rows", "Towed", "Ann"] {
        assert!(shown.contains(part), "{part}: {shown}");
    }
    let wrong = set(&["block=32", "kind=oak"]);
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("kind: 'oak'"), "{}", wrong.err);
    assert_eq!(set(&["block"]).code, 2);
    let unknown = set(&["block=31 Old rows", "colour=red"]);
    assert!(
        unknown.err.contains("'colour' is no heading"),
        "{}",
        unknown.err
    );
}

#[test]
fn a_table_of_another_encoding_is_read_and_a_workbook_that_is_none_of_blocks_is_told() {
    let home = farm();
    // Semicolons and the letters of an old spreadsheet (windows-1252).
    let mut bytes = b"block;kind;trees;area ha\r\n".to_vec();
    bytes.extend(b"S\xFCd 1;peach;60;0,5\r\n");
    fs::write(home.path().join("old.csv"), bytes).unwrap();
    let ran = run(&home, "2026-11-20", &["blocks", "add", "old.csv"]);
    assert_eq!(ran.code, 0, "{}{}", ran.out, ran.err);
    assert!(ran.out.contains("new: S\u{fc}d 1, peach"), "{}", ran.out);
    let shown = run(&home, "2026-11-20", &["blocks", "show", "--csv"])
        .fine()
        .out;
    assert!(shown.contains("0.5 ha"), "{shown}");
    let book = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/data/weather/workbook.xlsx"
    );
    let ran = run(&home, "2026-11-20", &["blocks", "add", book]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("no row of headings"), "{}", ran.err);
}
