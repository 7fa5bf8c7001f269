//! The tables "What a terminal program owes", "Promises" and "Faults" in DEVELOPERS.md name a test
//! for every row: each of them exists where the table says.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::path::Path;

/// A table: its heading, what stands before its numbers, the last of them.
struct Table(&'static str, &'static str, usize);

const STATEMENTS: Table = Table("## What a terminal program owes", "", 45);
const PROMISES: Table = Table("## Promises", "P", 10);
const FAULTS: Table = Table("## Faults", "F", 26);

/// The rows: number, and the cell with the tests.
fn rows(Table(heading, before, _): &Table) -> Vec<(usize, String)> {
    let text = fs::read_to_string("DEVELOPERS.md").unwrap();
    let (_, section) = text.split_once(heading).unwrap();
    let section = section.split("\n## ").next().unwrap();
    section
        .lines()
        .filter_map(|line| {
            let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
            let number = cells.first()?.strip_prefix(before)?.parse().ok()?;
            assert_eq!(cells.len(), 3, "{line}");
            assert!(cells[1].len() > 12, "no statement: {line}");
            Some((number, cells[2].to_owned()))
        })
        .collect()
}

/// What stands in backticks.
fn quoted(cell: &str) -> Vec<&str> {
    cell.split('`').skip(1).step_by(2).collect()
}

#[test]
fn every_statement_and_fault_has_one_row_in_order() {
    for table in [STATEMENTS, PROMISES, FAULTS] {
        let numbers: Vec<usize> = rows(&table).iter().map(|(n, _)| *n).collect();
        assert_eq!(numbers, (1..=table.2).collect::<Vec<_>>());
    }
}

#[test]
fn every_promise_to_the_user_has_its_row() {
    let text = fs::read_to_string("README.md").unwrap();
    let (_, section) = text
        .split_once("## What is promised of your files")
        .unwrap();
    let section = section.split("\n## ").next().unwrap();
    let promised = section.lines().filter_map(|line| {
        let (number, _) = line.split_once(". ")?;
        number.parse::<usize>().ok()
    });
    let rows = rows(&PROMISES).into_iter().map(|(number, _)| number);
    assert!(promised.eq(rows));
}

#[test]
fn every_named_test_exists_where_the_table_says() {
    for (number, cell) in [STATEMENTS, PROMISES, FAULTS].iter().flat_map(rows) {
        let tests: Vec<&str> = quoted(&cell)
            .into_iter()
            .filter(|q| q.contains("::"))
            .collect();
        assert!(
            !tests.is_empty() || cell.contains("does not apply"),
            "row {number} has neither a test nor a reason"
        );
        for test in tests {
            let (file, name) = test.split_once("::").unwrap();
            let text = fs::read_to_string(Path::new(file))
                .unwrap_or_else(|e| panic!("row {number}: {file}: {e}"));
            let at = text
                .find(&format!("fn {name}("))
                .unwrap_or_else(|| panic!("row {number}: no test {name} in {file}"));
            // It is a test, and not a helper of that name.
            let before = text.split_at(at).0;
            let own = before.rsplit("\n\n").next().unwrap();
            assert!(own.contains("#[test]"), "row {number}: {name} is no test");
        }
    }
}
