//! A weather file brought in on the board: looked at, asked about, kept.

use crate::terminal::Pty;

#[test]
fn a_table_is_looked_at_first_and_its_open_question_answered() {
    let mut pty = Pty::practice();
    pty.wait_for("PRACTICE");
    pty.send("I");
    pty.wait_for("practice: its weather is invented");
    let path = pty.home.path().join("mine.toml");
    pty.send(&format!("K\x15{}\r", path.display()));
    pty.wait("saved", |s| {
        s.lines().next().is_some_and(|l| l.ends_with("saved"))
    });
    let file = pty.home.path().join("barn.csv");
    std::fs::write(
        &file,
        "My barn\n\nday;coldest min;warmest max;hens\n13/01/2020;23,0;41,0;4\n14/01/2020;14,0;32,0;5\n",
    )
    .unwrap();
    pty.send("I");
    pty.wait_for("Bring in a weather file");
    pty.send("nothing-here.csv\r");
    pty.wait_for("no such file");
    pty.send(&format!("\x15{}\r", file.display()));
    // The first rows, what was understood, and what is not.
    let screen = pty.wait_for("Not brought in yet");
    for part in [
        "coldest min",
        "13/01/2020 | 23,0",
        "day, month, year",
        "the unit",
    ] {
        assert!(screen.contains(part), "{part}\n{screen}");
    }
    assert!(!std::fs::read_to_string(&path).unwrap().contains("barn"));
    // To the unit, on to °F, and look again.
    pty.send("\t\t\x1b[C\x1b[C\r");
    let screen = pty.wait_for("Understood so");
    assert!(screen.contains("°F"), "{screen}");
    pty.send("\r");
    pty.wait_for("brought in");
    pty.wait("saved", |s| {
        s.lines().next().is_some_and(|l| l.ends_with("saved"))
    });
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(
        text.contains("barn.days") && text.contains("unit = \"F\""),
        "{text}"
    );
    // Undone it is out again; the file stays for whoever wants it back.
    pty.send("u");
    pty.wait_for("undone: weather brought in");
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
    assert!(
        !std::fs::read_to_string(&path)
            .unwrap()
            .contains("\"barn.days\",")
    );
    assert!(pty.home.path().join("barn.days").exists());
}
