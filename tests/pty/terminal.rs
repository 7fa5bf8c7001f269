//! A pseudo-terminal with a program on it.

use portable_pty::{Child, CommandBuilder, ExitStatus, MasterPty, PtySize, native_pty_system};
use std::io::{Read, Write};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};
use tempfile::TempDir;

pub struct Pty {
    master: Option<Box<dyn MasterPty + Send>>,
    writer: Option<Arc<Mutex<Box<dyn Write + Send>>>>,
    pub child: Box<dyn Child + Send + Sync>,
    seen: Arc<Mutex<Vec<u8>>>,
    stop: Arc<AtomicBool>,
    silent: Arc<AtomicBool>,
    reader: Option<JoinHandle<()>>,
    size: (u16, u16),
    pub home: Arc<TempDir>,
}

pub fn non_zero(n: u16) -> std::num::NonZeroU16 {
    std::num::NonZeroU16::new(n).unwrap()
}

pub const PROGRAM: &str = env!("CARGO_BIN_EXE_barewood");

/// How long anything may take on a busy machine.
pub const PATIENCE: Duration = Duration::from_secs(30);

/// What a person sees of a screen: blanks at the ends of lines tell nothing, written or not.
pub fn seen(screen: &vt100::Screen) -> String {
    let lines: Vec<String> = screen
        .contents()
        .lines()
        .map(|l| l.trim_end().to_owned())
        .collect();
    lines.join("\n")
}

/// How often the terminal was asked for its status.
pub fn questions(bytes: &[u8]) -> usize {
    bytes.windows(4).filter(|w| *w == b"\x1b[5n").count()
}

impl Pty {
    /// The practice season at 80×24.
    pub fn practice() -> Self {
        Self::start(&["open", "--practice"], &[], (80, 24))
    }

    /// The program with arguments and extra environment.
    pub fn start(args: &[&str], env: &[(&str, &str)], size: (u16, u16)) -> Self {
        let mut command = CommandBuilder::new(PROGRAM);
        command.args(args);
        Self::run(command, env, size, TempDir::new().unwrap())
    }

    /// The program once more, in the home of this one.
    pub fn again(&self, args: &[&str]) -> Self {
        let mut command = CommandBuilder::new(PROGRAM);
        command.args(args);
        Self::run(command, &[], self.size, Arc::clone(&self.home))
    }

    /// Any command, in a home of its own.
    pub fn run(
        command: CommandBuilder,
        env: &[(&str, &str)],
        size: (u16, u16),
        home: impl Into<Arc<TempDir>>,
    ) -> Self {
        Self::paced(command, env, size, home, None)
    }

    /// Any command, on a line that carries so many bytes a second.
    pub fn paced(
        mut command: CommandBuilder,
        env: &[(&str, &str)],
        size: (u16, u16),
        home: impl Into<Arc<TempDir>>,
        bytes_per_s: Option<usize>,
    ) -> Self {
        let home = home.into();
        let pair = native_pty_system()
            .openpty(PtySize {
                rows: size.1,
                cols: size.0,
                pixel_width: 0,
                pixel_height: 0,
            })
            .unwrap();
        command.env_clear();
        for (name, value) in [
            ("PATH", "/usr/bin:/bin"),
            ("TERM", "xterm-256color"),
            ("LANG", "C.UTF-8"),
        ]
        .iter()
        .chain(env)
        {
            command.env(name, value);
        }
        command.env("HOME", home.path());
        command.cwd(home.path());
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let seen = Arc::new(Mutex::new(Vec::new()));
        let mut reader = pair.master.try_clone_reader().unwrap();
        let sink = Arc::clone(&seen);
        let writer = Arc::new(Mutex::new(pair.master.take_writer().unwrap()));
        let answers = Arc::downgrade(&writer);
        let stop = Arc::new(AtomicBool::new(false));
        let ordered = Arc::clone(&stop);
        let silent = Arc::new(AtomicBool::new(false));
        let mute = Arc::clone(&silent);
        let thread = std::thread::spawn(move || {
            // A slow line hands over a twentieth of a second's bytes at a time.
            let mut chunk = vec![0; bytes_per_s.map_or(65536, |b| b / 20)];
            while let Ok(n) = reader.read(&mut chunk) {
                if n == 0 || ordered.load(Ordering::SeqCst) {
                    break;
                }
                let (before, asked) = {
                    let mut seen = sink.lock().unwrap();
                    let before = questions(&seen);
                    seen.extend_from_slice(&chunk[..n]);
                    (before, questions(&seen))
                };
                // Like any terminal it reports its status when it comes to the question.
                for _ in before..asked {
                    if let Some(writer) = answers.upgrade()
                        && !mute.load(Ordering::SeqCst)
                    {
                        let _ = writer.lock().unwrap().write_all(b"\x1b[0n");
                    }
                }
                if let Some(per_s) = bytes_per_s {
                    std::thread::sleep(Duration::from_secs_f64(n as f64 / per_s as f64));
                }
            }
        });
        Self {
            writer: Some(writer),
            master: Some(pair.master),
            child,
            seen,
            stop,
            silent,
            reader: Some(thread),
            size,
            home,
        }
    }

    /// The terminal answers no question from now on.
    pub fn fall_silent(&self) {
        self.silent.store(true, Ordering::SeqCst);
    }

    /// All bytes so far.
    pub fn bytes(&self) -> Vec<u8> {
        self.seen.lock().unwrap().clone()
    }

    /// The terminal after all bytes so far.
    pub fn terminal(&self) -> vt100::Parser {
        let mut parser = vt100::Parser::new(non_zero(self.size.1), non_zero(self.size.0), 0);
        parser.process(&self.bytes());
        parser
    }

    pub fn screen(&self) -> String {
        seen(self.terminal().screen())
    }

    /// Waits until the screen fulfils something; fails with the screen.
    pub fn wait(&self, what: &str, fulfilled: impl Fn(&str) -> bool) -> String {
        let begun = Instant::now();
        loop {
            let screen = self.screen();
            if fulfilled(&screen) {
                return screen;
            }
            assert!(
                begun.elapsed() < PATIENCE,
                "no {what} on the screen:\n{screen}"
            );
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    pub fn wait_for(&self, text: &str) -> String {
        self.wait(&format!("'{text}'"), |screen| screen.contains(text))
    }

    /// Waits until nothing more comes.
    pub fn settle(&self) {
        let mut length = self.bytes().len();
        loop {
            std::thread::sleep(Duration::from_millis(150));
            let now = self.bytes().len();
            if now == length {
                return;
            }
            length = now;
        }
    }

    pub fn send(&mut self, keys: &str) {
        let mut writer = self.writer.as_ref().unwrap().lock().unwrap();
        writer.write_all(keys.as_bytes()).unwrap();
        writer.flush().unwrap();
    }

    pub fn resize(&mut self, size: (u16, u16)) {
        self.size = size;
        let size = PtySize {
            cols: size.0,
            rows: size.1,
            pixel_width: 0,
            pixel_height: 0,
        };
        self.master.as_ref().unwrap().resize(size).unwrap();
    }

    /// The terminal window is gone.
    pub fn hang_up(&mut self) {
        // The reader's own copy of the master would keep the line up: it looks at the
        // order when the next bytes come, and a new size makes some come.
        self.stop.store(true, Ordering::SeqCst);
        let (columns, rows) = self.size;
        self.resize((columns + 1, rows));
        while self.reader.as_ref().is_some_and(|r| !r.is_finished()) {
            std::thread::sleep(Duration::from_millis(2));
        }
        self.writer = None;
        self.master = None;
    }

    pub fn signal(&self, signal: rustix::process::Signal) {
        let pid = i32::try_from(self.child.process_id().unwrap()).unwrap();
        let pid = rustix::process::Pid::from_raw(pid).unwrap();
        rustix::process::kill_process(pid, signal).unwrap();
    }

    /// The last frame of a program that is gone, before the terminal was given back.
    pub fn last_frame(&self) -> String {
        let begun = Instant::now();
        while self.reader.as_ref().is_some_and(|r| !r.is_finished()) {
            assert!(begun.elapsed() < PATIENCE, "somebody still holds the line");
            std::thread::sleep(Duration::from_millis(1));
        }
        let bytes = self.bytes();
        let left = b"\x1b[?1049l";
        let end = bytes
            .windows(left.len())
            .rposition(|w| w == left)
            .unwrap_or(bytes.len());
        let mut parser = vt100::Parser::new(non_zero(self.size.1), non_zero(self.size.0), 0);
        parser.process(&bytes[..end]);
        seen(parser.screen())
    }

    /// Waits for the end.
    pub fn end(&mut self) -> ExitStatus {
        let begun = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                // The farewell may still be on its way.
                std::thread::sleep(Duration::from_millis(100));
                return status;
            }
            assert!(
                begun.elapsed() < PATIENCE,
                "it does not end:\n{}",
                self.screen()
            );
            std::thread::sleep(Duration::from_millis(5));
        }
    }

    /// Nothing that was switched on is left on.
    pub fn assert_given_back(&self) {
        let parser = self.terminal();
        let screen = parser.screen();
        assert!(!screen.alternate_screen(), "alternate screen");
        assert!(!screen.hide_cursor(), "hidden cursor");
        assert!(!screen.bracketed_paste(), "bracketed paste");
        assert_eq!(
            screen.mouse_protocol_mode(),
            vt100::MouseProtocolMode::None,
            "mouse"
        );
        assert!(
            !screen.inverse() && !screen.bold() && screen.fgcolor() == vt100::Color::Default,
            "looks"
        );
    }
}

impl Drop for Pty {
    fn drop(&mut self) {
        let _ = self.child.kill();
    }
}
