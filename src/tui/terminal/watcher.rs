//! Gives the terminal back when this process cannot: killed outright, or
//! crashed in a way no safe code can catch.
//!
//! A tiny shell waits on a pipe. If the pipe ends without a farewell, the
//! board died, and the shell undoes what it had switched on. It sleeps in one
//! read all the time and ends with us. Without `/bin/sh` there is none, and
//! nothing else changes.

use super::held::LEAVE;
use rustix::termios::{InputModes, LocalModes, OutputModes, SpecialCodeIndex, Termios};
use std::io::Write as _;
use std::process::{ChildStdin, Command, Stdio};

/// The waiting shell.
#[derive(Debug)]
pub struct Watcher {
    line: Option<ChildStdin>,
}

/// `$0` is what to send, the rest what to tell `stty`. The signals that end or
/// stop a job do not end or stop the watcher.
const SCRIPT: &str = "trap '' HUP INT QUIT TERM TSTP TTOU TTIN
read -r farewell && exit
printf '%b' \"$0\" && stty \"$@\" <&1";

impl Watcher {
    /// Starts it. `before` is how the terminal was set.
    pub fn start(before: &Termios) -> Self {
        let leave: String = String::from_utf8_lossy(&LEAVE).replace('\x1b', "\\033");
        let child = Command::new("/bin/sh")
            .arg("-c")
            .arg(SCRIPT)
            .arg(leave)
            .args(words(before))
            .stdin(Stdio::piped())
            .stdout(Stdio::inherit())
            .stderr(Stdio::null())
            .spawn();
        Self {
            line: child.ok().and_then(|mut c| c.stdin.take()),
        }
    }

    /// Says farewell: there is nothing to undo.
    pub fn dismiss(&mut self) {
        if let Some(mut line) = self.line.take() {
            let _ = line.write_all(b"bye\n");
        }
    }
}

impl Drop for Watcher {
    fn drop(&mut self) {
        // Dropped while the terminal is still ours means that something went
        // wrong: then the silence is the message.
        if !super::held::is_ours() {
            self.dismiss();
        }
    }
}

/// The words of `stty` (as POSIX names them) for what raw mode changed.
fn words(before: &Termios) -> Vec<String> {
    let input = [
        (InputModes::BRKINT, "brkint"),
        (InputModes::ICRNL, "icrnl"),
        (InputModes::IGNBRK, "ignbrk"),
        (InputModes::IGNCR, "igncr"),
        (InputModes::INLCR, "inlcr"),
        (InputModes::INPCK, "inpck"),
        (InputModes::ISTRIP, "istrip"),
        (InputModes::IXON, "ixon"),
        (InputModes::PARMRK, "parmrk"),
    ];
    let local = [
        (LocalModes::ECHO, "echo"),
        (LocalModes::ECHONL, "echonl"),
        (LocalModes::ICANON, "icanon"),
        (LocalModes::IEXTEN, "iexten"),
        (LocalModes::ISIG, "isig"),
    ];
    let mut words: Vec<String> = Vec::new();
    let mut say = |on: bool, name: &str| {
        words.push(if on {
            name.to_owned()
        } else {
            format!("-{name}")
        });
    };
    for (mode, name) in input {
        say(before.input_modes.contains(mode), name);
    }
    for (mode, name) in local {
        say(before.local_modes.contains(mode), name);
    }
    say(before.output_modes.contains(OutputModes::OPOST), "opost");
    for (index, name) in [
        (SpecialCodeIndex::VMIN, "min"),
        (SpecialCodeIndex::VTIME, "time"),
    ] {
        words.push(name.to_owned());
        words.push(before.special_codes[index].to_string());
    }
    words
}
