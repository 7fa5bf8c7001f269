//! Four writers at one season, one of them a board behind a real `ssh`: none is lost, none is
//! refused. Where there is no `sshd`, or it lets nobody in, the test says that it is skipped.

use crate::terminal::{PATIENCE, PROGRAM, Pty};
use barewood::domain::season::Reading;
use barewood::store::disk::RealDisk;
use barewood::store::places::Places;
use barewood::store::season_file;
use barewood::store::session::{Mode, Session};
use portable_pty::CommandBuilder;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::Arc;
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// Edits of each writer.
const EDITS: usize = 100;
/// A key held down comes thirty times a second.
const KEY_REPEAT: Duration = Duration::from_millis(33);

/// A server of the test's own, with its own keys, ended with it.
struct Server {
    folder: TempDir,
    child: Child,
    port: u16,
    user: String,
}

fn said(command: &mut Command) -> Result<String, String> {
    let output = command.output().map_err(|e| e.to_string())?;
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).trim().to_owned();
    if output.status.success() {
        Ok(text(&output.stdout))
    } else {
        Err(text(&output.stderr))
    }
}

impl Server {
    fn start() -> Result<Self, String> {
        let sshd = ["/usr/sbin/sshd", "/usr/bin/sshd", "/sbin/sshd"]
            .into_iter()
            .find(|path| Path::new(path).exists())
            .ok_or("no sshd")?;
        let folder = TempDir::new().unwrap();
        let at = |name: &str| folder.path().join(name).display().to_string();
        for key in ["host", "key"] {
            said(Command::new("ssh-keygen").args([
                "-q",
                "-t",
                "ed25519",
                "-N",
                "",
                "-f",
                &at(key),
            ]))?;
        }
        let port = std::net::TcpListener::bind("127.0.0.1:0")
            .and_then(|socket| socket.local_addr())
            .map_err(|e| e.to_string())?
            .port();
        let settings = format!(
            "Port {port}\nListenAddress 127.0.0.1\nHostKey {}\nAuthorizedKeysFile {}\n\
             PidFile none\nStrictModes no\nUsePAM no\nPasswordAuthentication no\n\
             KbdInteractiveAuthentication no\nPrintMotd no\nPrintLastLog no\n",
            at("host"),
            at("key.pub")
        );
        std::fs::write(at("settings"), settings).unwrap();
        let child = Command::new(sshd)
            .args(["-D", "-e", "-f", &at("settings")])
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(std::fs::File::create(at("said")).unwrap())
            .spawn()
            .map_err(|e| e.to_string())?;
        let mut server = Self {
            child,
            port,
            user: said(Command::new("id").arg("-un"))?,
            folder,
        };
        let begun = Instant::now();
        loop {
            let mut ssh = Command::new("ssh");
            let Err(why) = said(ssh.args(server.options()).arg("true")) else {
                return Ok(server);
            };
            let ended = server.child.try_wait().ok().flatten().is_some();
            if ended || begun.elapsed() > Duration::from_secs(10) {
                let log = std::fs::read_to_string(server.folder.path().join("said"));
                return Err(format!(
                    "sshd lets nobody in: {why}; {}",
                    log.unwrap_or_default()
                ));
            }
            std::thread::sleep(Duration::from_millis(100));
        }
    }

    fn options(&self) -> Vec<String> {
        let at = |name: &str| self.folder.path().join(name).display().to_string();
        let known = format!("UserKnownHostsFile={}", at("known"));
        [
            "-F",
            "/dev/null",
            "-o",
            "BatchMode=yes",
            "-o",
            "StrictHostKeyChecking=no",
            "-o",
            &known,
            "-o",
            "IdentitiesOnly=yes",
            "-o",
            "LogLevel=ERROR",
            "-i",
            &at("key"),
            "-p",
            &self.port.to_string(),
            "-l",
            &self.user,
            "127.0.0.1",
        ]
        .iter()
        .map(ToString::to_string)
        .collect()
    }

    /// A board on a terminal of its own, over the line.
    fn board(&self, home: &Path, season: &Path) -> Pty {
        let mut command = CommandBuilder::new("ssh");
        command.arg("-tt");
        command.args(self.options());
        command.arg(format!(
            "exec env -i HOME='{}' USER=far PATH=/usr/bin:/bin TERM=\"$TERM\" LANG=C.UTF-8 '{PROGRAM}' open --season '{}' --on 2015-11-25",
            home.display(),
            season.display()
        ));
        Pty::run(command, &[], (80, 24), TempDir::new().unwrap())
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

struct Farm {
    home: TempDir,
    file: PathBuf,
}

impl Farm {
    fn run(&self, args: &[&str]) {
        let output = Command::new(PROGRAM)
            .args(args)
            .arg("--season")
            .arg(&self.file)
            .env_clear()
            .env("HOME", self.home.path())
            .current_dir(self.home.path())
            .output()
            .unwrap();
        let err = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{args:?}: {err}");
    }

    fn text(&self) -> String {
        std::fs::read_to_string(&self.file).unwrap()
    }

    /// A command run again and again; its longest run, program start included.
    fn commands(&self, name: &str) -> Duration {
        let mut longest = Duration::ZERO;
        for i in 0..EDITS {
            let note = format!("{name}-{i}-");
            let begun = Instant::now();
            let said = [
                "read",
                "rain",
                "3 mm",
                "--date",
                "2015-11-21",
                "--note",
                &note,
            ];
            self.run(&[&said[..], &["--on", "2015-12-01"]].concat());
            longest = longest.max(begun.elapsed());
        }
        longest
    }

    /// A board here; its longest wait for the lock.
    fn board(&self, name: &str) -> Duration {
        let places = Places::under(&self.home.path().join(name));
        let mut session =
            Session::open(Arc::new(RealDisk), Some(places), &self.file, Mode::Write).unwrap();
        let mut season = session.season().clone();
        let mut longest = Duration::ZERO;
        for i in 0..EDITS {
            season.readings.push(Reading::Rain {
                date: season.dates.leaf_drop_expected,
                rain: "3 mm".parse().unwrap(),
                note: Some(format!("{name}-{i}-")),
            });
            let saved = session.save(&season).unwrap();
            longest = longest.max(saved.waited);
            if let Some(joined) = saved.joined {
                season = *joined.season;
            }
            std::thread::sleep(KEY_REPEAT);
        }
        longest
    }

    /// The board behind the line; the longest time from the key that keeps a note until it is in
    /// the file, line and drawing included.
    fn far(&self, pty: &mut Pty) -> Duration {
        let mut longest = Duration::ZERO;
        pty.wait_for("Before swell");
        pty.send("/first copper\r");
        for i in 0..EDITS {
            let word = format!("far-{i}-");
            pty.send("i");
            pty.wait_for("Notes:");
            // Each on a line of its own.
            pty.send(&format!("\r{word}"));
            pty.wait("the word", |s| s.contains(&word));
            let begun = Instant::now();
            pty.send("\t\r");
            while !self.text().contains(&word) {
                let screen = pty.screen();
                assert!(!screen.contains("NOT SAVED"), "{word}:\n{screen}");
                assert!(begun.elapsed() < PATIENCE, "{word}:\n{screen}");
                std::thread::sleep(Duration::from_millis(5));
            }
            longest = longest.max(begun.elapsed());
            pty.wait("a closed form", |s| !s.contains("Notes:"));
        }
        longest
    }
}

#[test]
fn a_second_board_over_ssh_writes_beside_three_others() {
    let server = match Server::start() {
        Ok(server) => server,
        Err(why) => {
            println!("SKIPPED: {why}");
            return;
        }
    };
    let home = TempDir::new().unwrap();
    let farm = Farm {
        file: home.path().join("season.toml"),
        home,
    };
    let start = "start --yes --name Hill --latitude 41.65 --longitude -0.88 --zone Europe/Madrid --units metric --leaf-drop 2015-11-20 --block peach:redhaven:6 --block apple::20 --on 2015-11-25";
    farm.run(&start.split(' ').collect::<Vec<_>>());
    let mut pty = server.board(&farm.home.path().join("far"), &farm.file);
    pty.wait_for("Hill");
    let waits = std::thread::scope(|scope| {
        let board = scope.spawn(|| farm.board("board"));
        let others = ["command", "cron"].map(|name| {
            let farm = &farm;
            scope.spawn(move || farm.commands(name))
        });
        let far = farm.far(&mut pty);
        let others = others.map(|other| other.join().unwrap());
        (board.join().unwrap(), far, others)
    });
    println!("longest: board, over ssh, [command, cron]: {waits:?}");
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0, "{}", pty.screen());
    let text = farm.text();
    season_file::read(&text, "season.toml").unwrap();
    for name in ["board", "command", "cron", "far"] {
        for i in 0..EDITS {
            let count = text.matches(&format!("{name}-{i}-")).count();
            assert_eq!(count, 1, "{name} {i}");
        }
    }
}
