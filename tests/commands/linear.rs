//! The board line by line, driven by a script: what is due, a spray delayed by three days, what
//! that changed, the spray finished.

use crate::home::Home;
use assert_cmd::Command;

/// The board's lines for these keys; a line of keys is sent off by its end, an empty one is Enter.
fn said(home: &Home, args: &[&str], keys: &str) -> String {
    let out = Command::cargo_bin("barewood")
        .unwrap()
        .env_clear()
        .env("HOME", home.path())
        .current_dir(home.path())
        .args(["open", "--linear"])
        .args(args)
        .write_stdin(keys)
        .output()
        .unwrap();
    assert!(
        out.status.success(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
    let text = String::from_utf8(out.stdout).unwrap();
    assert!(!text.contains('\x1b'), "no sequence of a terminal: {text}");
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    text
}

const SEASON: [&str; 4] = ["--season", "season.toml", "--on", "2015-12-01"];

#[test]
fn a_script_does_the_main_job() {
    let (home, file) = Home::started();
    // What is due.
    let text = said(&home, &SEASON, "q\n");
    assert!(text.contains("Test hill"), "{text}");
    assert!(text.contains("Tue 1 Dec 2015."), "{text}");
    assert!(text.contains("last safe day"), "{text}");
    let due = said(&home, &SEASON, "d\nq\n");
    assert!(due.contains("After leaf drop, "), "{due}");
    // The first copper, by its words; delayed by three days, and what that does.
    let keys = "/\ncopper\n\nr\n";
    let form = said(&home, &SEASON, &format!("{keys}q\n"));
    assert!(form.to_lowercase().contains("delay"), "{form}");
    let moved = said(&home, &SEASON, &format!("{keys}ll\n\nq\n"));
    println!("{moved}");
    assert!(moved.contains(": moved from "), "{moved}");
    assert!(
        moved.contains("New ") || moved.contains("Cleared ") || moved.contains("No new warning."),
        "{moved}"
    );
    assert!(moved.contains("Closed. Saved in"), "{moved}");
    let saved = std::fs::read_to_string(&file).unwrap();
    assert!(saved.contains("moved"), "{saved}");
    // Undone by the same key as on the board.
    let undone = said(&home, &SEASON, &format!("{keys}ll\n\nu\nq\n"));
    assert!(undone.contains("undone"), "{undone}");
    // Finished: the form is filled in, Enter saves it, and its record is in the file.
    let done = said(&home, &SEASON, "/\ncopper\n\nf\n\nq\n");
    assert!(done.contains("done Tue 1 Dec"), "{done}");
    assert!(
        std::fs::read_to_string(&file)
            .unwrap()
            .contains("[[record]]"),
        "{done}"
    );
}

#[test]
fn practice_is_said_and_written_nowhere() {
    let home = Home::new();
    let text = said(&home, &["--practice"], "j\n3>\nq\n");
    assert!(text.contains("Practice: invented"), "{text}");
    assert!(
        text.contains("Closed. Practice: nothing was written."),
        "{text}"
    );
}

#[test]
fn every_screen_says_its_name_and_its_lines() {
    let home = Home::new();
    for (key, name) in [
        ("S", "Swell screen."),
        ("H", "Hours screen."),
        ("V", "Review screen."),
        ("R", "Records screen."),
        ("C", "Coverage screen."),
        ("M", "Materials screen."),
    ] {
        let text = said(&home, &["--practice"], &format!("{key}\nq\nq\n"));
        let at = text.find(name).unwrap_or_else(|| panic!("{name}\n{text}"));
        assert!(text[at..].lines().count() > 5, "{name}\n{text}");
        assert!(text.contains("Board screen."), "{name}\n{text}");
    }
}

#[test]
fn the_end_of_the_keys_ends_it_and_saves() {
    let (home, _) = Home::started();
    let text = said(&home, &SEASON, "j\n");
    assert!(text.contains("Closed. Saved in"), "{text}");
}
