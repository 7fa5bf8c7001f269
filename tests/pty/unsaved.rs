//! A line that drops in the middle of something: nothing is lost, and the next start offers it.

use crate::terminal::Pty;

/// The practice season kept as one's own, in the home of the program.
fn kept() -> (Pty, String) {
    let mut pty = Pty::practice();
    pty.wait_for("PRACTICE");
    let path = pty.home.path().join("mine.toml").display().to_string();
    pty.send(&format!("K\x15{path}\r"));
    saved(&pty);
    (pty, path)
}

fn saved(pty: &Pty) {
    pty.wait("saved", |s| {
        s.lines().next().is_some_and(|l| l.ends_with("saved"))
    });
}

fn again(pty: &Pty, path: &str) -> Pty {
    pty.again(&["--season", path, "--on", "2027-02-08"])
}

#[test]
fn half_an_edit_is_offered_at_the_next_start() {
    let (mut pty, path) = kept();
    pty.send("/last copper\ri");
    pty.wait_for("Notes: Last copper");
    pty.send("ladder is at the far end");
    pty.wait_for("far end");
    pty.hang_up();
    pty.end();
    let mut second = again(&pty, &path);
    let screen = second.wait_for("still open when the board last ended");
    assert!(screen.contains("ladder is at the far end"), "{screen}");
    // Dropped by the line once more, it is offered once more.
    second.signal(rustix::process::Signal::HUP);
    assert_eq!(second.end().exit_code(), 129);
    let mut third = pty.again(&["--log", "b.log", "--season", &path, "--on", "2027-02-08"]);
    third.wait_for("ladder is at the far end");
    third.send("\t\r");
    third.wait_for("notes written");
    saved(&third);
    third.send("q");
    assert_eq!(third.end().exit_code(), 0);
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.contains("ladder is at the far end"), "{text}");
    let log = std::fs::read_to_string(pty.home.path().join("b.log")).unwrap();
    for part in [
        "the board opened ",
        "Z saved: ",
        "open ended with exit code 0",
    ] {
        assert!(log.contains(part), "{part}\n{log}");
    }
    // It is kept now, and not offered again.
    let mut fourth = again(&pty, &path);
    let screen = fourth.wait_for("Before swell");
    assert!(!screen.contains("still open"), "{screen}");
    fourth.send("q");
    assert_eq!(fourth.end().exit_code(), 0);
}

#[test]
fn a_form_of_a_board_killed_outright_is_told_of_and_offered() {
    let (mut pty, path) = kept();
    pty.send("/last copper\re");
    pty.wait_for("Edit: Last copper");
    pty.send(" with lime");
    pty.wait_for("with lime");
    // Kept of itself, a moment after the first letter.
    let drafts = pty.home.path().join(".local/state/barewood/drafts");
    let begun = std::time::Instant::now();
    let is_kept = || {
        let names = std::fs::read_dir(&drafts).into_iter().flatten().flatten();
        names
            .filter_map(|name| std::fs::read_to_string(name.path()).ok())
            .any(|text| text.contains("with lime"))
    };
    while !is_kept() {
        assert!(begun.elapsed() < crate::terminal::PATIENCE, "not kept");
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    pty.signal(rustix::process::Signal::KILL);
    pty.end();
    for _ in 0..2 {
        let mut next = again(&pty, &path);
        // In its title: the notice gives way to any news.
        let screen = next.wait_for("From last time: Edit: Last copper");
        assert!(screen.contains("with lime"), "{screen}");
        // Killed again before a key: it is offered again.
        next.signal(rustix::process::Signal::KILL);
        next.end();
    }
    let mut last = again(&pty, &path);
    last.wait_for("From last time");
    last.send("\x1b");
    last.wait("a closed form", |s| !s.contains("From last time"));
    last.send("q");
    assert_eq!(last.end().exit_code(), 0);
    assert!(!is_kept(), "dropped by its owner's word");
}

#[test]
fn a_form_in_which_nothing_was_written_is_no_edit() {
    let (mut pty, path) = kept();
    pty.send("/last copper\re");
    pty.wait_for("Edit: Last copper");
    pty.hang_up();
    pty.end();
    let mut second = again(&pty, &path);
    let screen = second.wait_for("Before swell");
    assert!(!screen.contains("Edit:"), "{screen}");
    second.send("q");
    assert_eq!(second.end().exit_code(), 0);
}

#[test]
fn answers_to_the_first_questions_outlive_a_dropped_line() {
    let mut pty = Pty::start(&[], &[], (80, 24));
    pty.wait_for("Begin your season");
    pty.send("\x15Far farm");
    pty.wait_for("Far farm");
    pty.hang_up();
    pty.end();
    let mut second = pty.again(&[]);
    second.wait_for("Far farm");
    second.send("\x1b");
    second.wait_for("Before swell");
    second.send("q");
    assert_eq!(second.end().exit_code(), 0);
}

#[test]
fn undo_and_redo_reach_across_restarts() {
    let (mut pty, path) = kept();
    let date = || {
        let text = std::fs::read_to_string(&path).unwrap();
        let (_, task) = text.split_once("id = \"last-copper\"").unwrap();
        let (_, date) = task.split_once("date = ").unwrap();
        date[..10].to_owned()
    };
    pty.send("/last copper\r>");
    pty.wait_for("Moved to Sun 21 Mar");
    saved(&pty);
    pty.send(":week later\r");
    pty.wait_for("Moved to Sun 28 Mar");
    saved(&pty);
    pty.signal(rustix::process::Signal::TERM);
    pty.end();
    assert_eq!(date(), "2027-03-28");
    let mut second = again(&pty, &path);
    second.wait_for("Before swell");
    second.send("u");
    second.wait_for("undone: moved to Sun 28 Mar");
    saved(&second);
    second.send("q");
    second.end();
    assert_eq!(date(), "2027-03-21");
    // Both ways, from a third session.
    let mut third = again(&pty, &path);
    third.wait_for("Before swell");
    third.send("U");
    third.wait_for("made again: moved to Sun 28 Mar");
    third.send("uu");
    third.wait_for("undone: moved to Sun 21 Mar");
    saved(&third);
    third.send("q");
    third.end();
    assert_eq!(date(), "2027-03-20");
    // A file changed by something else is not that season any more: undo leaves it alone.
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(
        &path,
        text.replace("date = 2027-03-20", "date = 2027-03-19"),
    )
    .unwrap();
    let mut fourth = again(&pty, &path);
    fourth.wait_for("Before swell");
    fourth.send("U");
    fourth.wait_for("nothing to make again");
    fourth.send("q");
    fourth.end();
    assert_eq!(date(), "2027-03-19");
}

#[test]
fn words_in_an_open_form_outlive_a_kill() {
    let (mut pty, path) = kept();
    pty.send("/last copper\ri");
    pty.wait_for("Notes: Last copper");
    pty.send("ladder is at the far end");
    pty.wait_for("far end");
    // Kept a moment after the first letter, under its name once it is whole.
    let drafts = pty.home.path().join(".local/state/barewood/drafts");
    let is_whole = |name: &std::ffi::OsStr| !name.as_encoded_bytes().starts_with(b".");
    let begun = std::time::Instant::now();
    while !drafts
        .read_dir()
        .is_ok_and(|d| d.flatten().any(|entry| is_whole(&entry.file_name())))
    {
        assert!(begun.elapsed() < crate::terminal::PATIENCE, "no draft");
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    pty.signal(rustix::process::Signal::KILL);
    pty.end();
    let mut second = again(&pty, &path);
    let screen = second.wait_for("still open when the board last ended");
    assert!(screen.contains("ladder is at"), "{screen}");
    second.send("\x1b");
    second.wait_for("nothing changed");
    second.send("q");
    assert_eq!(second.end().exit_code(), 0);
}

/// A card moved on the board and, at the same time, in the file: a true collision.
fn collided() -> (Pty, String) {
    let (mut pty, path) = kept();
    pty.send("/last copper\ri");
    pty.wait_for("Notes: Last copper");
    pty.send("mine");
    pty.wait_for("mine");
    let text = std::fs::read_to_string(&path).unwrap();
    let (head, task) = text.split_once("id = \"last-copper\"").unwrap();
    let edited = format!(
        "{head}id = \"last-copper\"\nnotes = \"theirs\"{}",
        without_notes(task)
    );
    std::fs::write(&path, edited).unwrap();
    pty.send("\t\r");
    pty.wait_for("NOT SAVED");
    (pty, path)
}

/// The rest of a file without the notes of the task it begins with.
fn without_notes(rest: &str) -> String {
    let mut first = true;
    rest.split_inclusive('\n')
        .filter(|line| {
            first &= !line.starts_with("[[");
            !(first && line.starts_with("notes ="))
        })
        .collect()
}

#[test]
fn however_one_leaves_a_collision_the_work_is_offered_at_the_next_start() {
    use rustix::process::Signal;
    for way in ["HUP", "TERM", "line", "kill", "ctrl-c"] {
        let (mut pty, path) = collided();
        match way {
            "HUP" => pty.signal(Signal::HUP),
            "TERM" => pty.signal(Signal::TERM),
            "kill" => pty.signal(Signal::KILL),
            "line" => pty.hang_up(),
            _ => pty.send("\x03"),
        }
        pty.end();
        assert!(std::fs::read_to_string(&path).unwrap().contains("theirs"));
        // Another save, by a command of cron, takes nothing away.
        let mut cron = std::process::Command::new(crate::terminal::PROGRAM);
        let said = cron
            .args(["review", "--done", "--season", &path, "--on", "2027-02-08"])
            .env_clear()
            .env("HOME", pty.home.path())
            .output()
            .unwrap();
        let err = String::from_utf8_lossy(&said.stderr).into_owned();
        assert!(err.contains("was not saved and is kept"), "{way}: {err}");
        let mut second = again(&pty, &path);
        let screen = second.wait_for("was not saved");
        assert!(screen.contains("1 change"), "{way}: {screen}");
        second.send("\x1b");
        second.wait("a closed form", |s| !s.contains("was not saved"));
        second.send("q");
        second.end();
    }
}

#[test]
fn a_new_line_has_the_board_of_the_dead_one_hand_over() {
    let (mut pty, path) = kept();
    pty.send("/last copper\ri");
    pty.wait_for("Notes: Last copper");
    pty.send("half a word");
    pty.wait_for("half a word");
    // Both boards run: the first one's line is dead, and nobody told it.
    let mut second = pty.again(&[
        "open",
        "--take-over",
        "--season",
        &path,
        "--on",
        "2027-02-08",
    ]);
    let screen = second.wait_for("still open when the board last ended");
    assert!(screen.contains("half a word"), "{screen}");
    assert_eq!(pty.end().exit_code(), 129);
    second.send("\t\r");
    second.wait_for("notes written");
    saved(&second);
    second.send("q");
    assert_eq!(second.end().exit_code(), 0);
    assert!(
        std::fs::read_to_string(&path)
            .unwrap()
            .contains("half a word")
    );
}

#[test]
fn the_rain_delay_the_screen_and_the_card_come_back() {
    let (mut pty, path) = kept();
    pty.send("/last copper\rr\x1b[C");
    let screen = pty.wait_for("2 days");
    assert!(screen.contains("Last copper"), "{screen}");
    pty.hang_up();
    pty.end();
    let mut second = again(&pty, &path);
    second.wait_for("2 days");
    second.send("\x1b");
    second.wait("a closed delay", |s| !s.contains("Rain delay"));
    second.send("S");
    second.wait_for("block 1 of 6");
    second.signal(rustix::process::Signal::HUP);
    second.end();
    let mut third = again(&pty, &path);
    third.wait_for("block 1 of 6");
    third.send("qq");
    assert_eq!(third.end().exit_code(), 0);
}

#[test]
fn two_boards_see_each_others_edits_and_undo_their_own() {
    let (mut pty, path) = kept();
    let mut second = again(&pty, &path);
    second.wait_for("Before swell");
    pty.send("/last copper\r>");
    pty.wait_for("oved to Sun 21 Mar");
    saved(&pty);
    let screen = second.wait_for("from board");
    assert!(!screen.contains("NOT SAVED"), "{screen}");
    second.send("u");
    second.wait_for("othing to undo");
    second.send("q");
    assert_eq!(second.end().exit_code(), 0);
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.contains("date = 2027-03-21"), "{text}");
    let mut pty = pty;
    pty.send("q");
    pty.end();
}

#[test]
fn this_mornings_version_comes_back_on_the_board() {
    let (mut pty, path) = kept();
    let first = std::fs::read_to_string(&path).unwrap();
    pty.send("/last copper\r>");
    pty.wait_for("oved to Sun 21 Mar");
    saved(&pty);
    pty.send("G");
    let screen = pty.wait_for("Earlier versions");
    assert!(screen.contains("last-copper"), "{screen}");
    pty.send("\r");
    pty.wait_for("back to the version");
    saved(&pty);
    assert_eq!(std::fs::read_to_string(&path).unwrap(), first);
    pty.send("u");
    pty.wait_for("undone: back to");
    saved(&pty);
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.contains("date = 2027-03-21"), "{text}");
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
}
