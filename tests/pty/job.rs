//! The main job: open the practice season, keep it, delay a task for rain, see
//! the warnings change, quit, find it in the file.

use crate::terminal::{PROGRAM, Pty};
use std::process::Command;

fn task_block(text: &str, id: &str) -> String {
    let from = text.find(&format!("id = \"{id}\"")).expect("the task");
    let rest = &text.split_at(from).1;
    rest.split("[[").next().unwrap().to_owned()
}

#[test]
fn the_main_job_from_start_to_file() {
    let mut pty = Pty::practice();
    let screen = pty.wait_for("5 STOP");
    for wanted in ["PRACTICE", "Before swell", "late"] {
        assert!(screen.contains(wanted), "{wanted}: {screen}");
    }
    let path = pty.home.path().join("mine.toml");
    pty.send("K\x15");
    pty.send(&format!("{}\r", path.display()));
    pty.wait("saved", |s| {
        s.lines().next().is_some_and(|l| l.ends_with("saved"))
    });
    let before = std::fs::read_to_string(&path).unwrap();
    assert!(task_block(&before, "last-copper").contains("date = 2027-03-20"));
    // Find the task, delay it by eleven days with all that follow.
    pty.send("/last copper\r");
    pty.wait("the mark", |s| {
        s.lines()
            .any(|l| l.starts_with('>') && l.contains("Last copper"))
    });
    pty.send("r");
    pty.wait_for("Rain delay: Last copper");
    pty.send("11\t");
    let screen = pty.wait_for("11 days");
    assert!(screen.contains("Sat 20 Mar Wed 31 Mar"), "{screen}");
    pty.send("\r");
    pty.wait_for("rain delay of 11 days");
    pty.wait("saved", |s| {
        s.lines().next().is_some_and(|l| l.ends_with("saved"))
    });
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
    pty.assert_given_back();
    let after = std::fs::read_to_string(&path).unwrap();
    let task = task_block(&after, "last-copper");
    assert!(task.contains("date = 2027-03-31"), "{task}");
    assert!(task.contains("rain delay"), "the move is on record: {task}");
    assert!(after.starts_with("# "), "comments stay");
    // The commands read the same file and see what the board saw.
    let out = Command::new(PROGRAM)
        .args([
            "--season",
            path.to_str().unwrap(),
            "--on",
            "2027-02-08",
            "check",
            "--json",
        ])
        .env("HOME", pty.home.path())
        .output()
        .unwrap();
    assert_eq!(out.status.code(), Some(1), "a stop is still there");
    let text = String::from_utf8(out.stdout).unwrap();
    assert!(text.contains("\"too-close-to-swell\"") && text.contains("\"last-copper\""));
}

#[test]
fn practice_writes_nothing() {
    let mut pty = Pty::practice();
    pty.wait_for("PRACTICE");
    pty.send("jj>>>x");
    pty.settle();
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
    let left: Vec<_> = std::fs::read_dir(pty.home.path()).unwrap().collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn a_reading_changes_the_estimate_at_once() {
    let mut pty = Pty::practice();
    // The forecast comes in beside the board and changes the estimate once.
    pty.wait_for("7-17h");
    pty.send("S");
    let before = pty.wait_for("block 1 of 6");
    let swell = |s: &str| {
        s.lines()
            .find(|l| l.starts_with("swell "))
            .map(|l| l.trim_end().to_owned())
    };
    let dates = swell(&before).expect("dates");
    pty.send("b");
    pty.wait_for("Enter what the buds look like");
    pty.send("swelling\r");
    pty.wait("another estimate", |s| swell(s).is_some_and(|d| d != dates));
    pty.send("u");
    pty.wait("the estimate back", |s| {
        swell(s).is_some_and(|d| d == dates)
    });
    pty.send("qq");
    assert_eq!(pty.end().exit_code(), 0);
}

/// The board in a home whose settings name these keys.
fn with_keys(keys: &str) -> Pty {
    let home = tempfile::TempDir::new().unwrap();
    let folder = home.path().join(".config/barewood");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join("settings.toml"), format!("[keys]\n{keys}\n")).unwrap();
    let mut command = portable_pty::CommandBuilder::new(PROGRAM);
    command.args(["open", "--practice"]);
    Pty::run(command, &[], (80, 24), home)
}

#[test]
fn keys_of_ones_own_work_and_conflicts_are_told_before_the_board_opens() {
    let mut pty = with_keys("delay = \"ctrl-x\"");
    pty.wait_for("PRACTICE");
    pty.send("\x18");
    pty.wait_for("Rain delay:");
    pty.send("\x1b");
    pty.wait("the board", |s| !s.contains("Rain delay:"));
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);

    let mut pty = with_keys("delay = \"q\"");
    pty.wait_for("wanted by both 'quit' and 'delay'");
    assert_eq!(pty.end().exit_code(), 2);
}

#[test]
fn a_newcomer_is_asked_and_lands_on_a_board_of_their_own() {
    let mut pty = Pty::start(&["open"], &[], (80, 24));
    pty.wait_for("Begin your season");
    // A place is needed: keeping at once says so and loses nothing.
    pty.send("\x15Hill farm\r");
    pty.wait_for("write a town");
    // A zone is completed from its city, and trees are written as one says them.
    pty.send("43.1, -77.3\t\x15new y\x1b[C\t\t6 redhaven peach, 20 apples and two pears\t\t");
    pty.wait_for("= 6 peach red");
    pty.send("nowhere.csv\r");
    pty.wait_for("nowhere.csv");
    pty.wait("the reason", |s| s.contains("!!"));
    pty.send("\x15\r");
    let screen = pty.wait("a board of their own", |s| {
        s.starts_with("Hill farm") && s.contains("saved")
    });
    assert!(screen.contains("Before swell"), "{screen}");
    assert!(!screen.contains("PRACTICE"), "{screen}");
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
    let seasons = pty.home.path().join(".local/share/barewood/seasons");
    let made: Vec<_> = std::fs::read_dir(seasons)
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .collect();
    assert_eq!(made.len(), 1, "{made:?}");
    let season = std::fs::read_to_string(&made[0]).unwrap();
    assert!(season.contains("\"America/New_York\""), "{season}");
    assert_eq!(season.matches("[[block]]").count(), 3, "{season}");
}
