//! Under an interactive shell: stopping, coming back, and the shell's own
//! terminal settings afterwards.

use crate::terminal::{PROGRAM, Pty};
use portable_pty::CommandBuilder;
use tempfile::TempDir;

/// A shell with job control and a prompt that nothing else prints.
fn shell() -> Option<Pty> {
    let bash = ["/bin/bash", "/usr/bin/bash"]
        .into_iter()
        .find(|p| std::path::Path::new(p).exists());
    let Some(bash) = bash else {
        println!("SKIPPED: there is no bash here");
        return None;
    };
    let mut command = CommandBuilder::new(bash);
    command.args(["--norc", "--noprofile", "--noediting", "-i"]);
    let mut pty = Pty::run(
        command,
        &[("PS1", "ready$ ")],
        (80, 24),
        TempDir::new().unwrap(),
    );
    pty.wait_for("ready$");
    pty.send("stty -a > before\r");
    pty.settle();
    Some(pty)
}

fn settings(pty: &Pty, name: &str) -> String {
    let text = std::fs::read_to_string(pty.home.path().join(name)).unwrap();
    // The size is the terminal's own affair.
    text.lines().skip(1).collect::<Vec<_>>().join("\n")
}

#[test]
fn ctrl_z_gives_a_clean_shell_and_fg_repaints_at_the_new_size() {
    let Some(mut pty) = shell() else { return };
    pty.send(&format!("{PROGRAM} open --practice\r"));
    pty.wait_for("PRACTICE");
    pty.send("\x1a");
    pty.wait_for("Stopped");
    pty.assert_given_back();
    pty.send("stty -a > stopped\r");
    pty.settle();
    assert_eq!(settings(&pty, "before"), settings(&pty, "stopped"));
    pty.resize((100, 30));
    pty.send("fg\r");
    pty.settle();
    let screen = pty.wait_for("PRACTICE");
    assert!(pty.terminal().screen().alternate_screen());
    assert!(
        screen.lines().count() >= 28,
        "painted for the new size:\n{screen}"
    );
    pty.send("q");
    pty.wait("the shell", |s| s.trim_end().ends_with("ready$"));
    pty.send("stty -a > after\r");
    pty.settle();
    assert_eq!(settings(&pty, "before"), settings(&pty, "after"));
    pty.assert_given_back();
    pty.send("exit\r");
    pty.end();
}

#[test]
fn settings_are_back_after_a_kill() {
    let Some(mut pty) = shell() else { return };
    // Told apart from the boards that other tests open at the same time.
    let ours = format!("{PROGRAM} --on 2027-02-07 open --practice");
    pty.send(&format!("sh -c '{ours}; stty -a > after'\r"));
    pty.wait_for("PRACTICE");
    pty.settle();
    // The program is the one below `sh`.
    let found = std::process::Command::new("pgrep")
        .args(["-n", "-f", "-x", &ours])
        .output();
    let Ok(found) = found else {
        println!("SKIPPED: there is no pgrep here");
        return;
    };
    let listed = String::from_utf8(found.stdout).unwrap();
    let Ok(pid) = listed.trim().parse::<i32>() else {
        println!("SKIPPED: the program was not listed");
        return;
    };
    let pid = rustix::process::Pid::from_raw(pid).unwrap();
    rustix::process::kill_process(pid, rustix::process::Signal::KILL).unwrap();
    pty.wait("the shell", |s| s.contains("ready$"));
    pty.settle();
    pty.send("stty -a > after\r");
    pty.settle();
    assert_eq!(settings(&pty, "before"), settings(&pty, "after"));
    pty.assert_given_back();
}

#[test]
fn without_a_shell_above_ctrl_z_does_not_hang() {
    // The program is the leader of its session: nobody could make it go on.
    let mut pty = Pty::practice();
    pty.wait_for("PRACTICE");
    pty.send("\x1a");
    pty.wait_for("no shell here");
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
    pty.assert_given_back();
}
