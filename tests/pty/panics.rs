//! A panic on any thread, and messages nobody foresaw. The board runs with a host of the tests'
//! own, in this very test binary: the shipped program has no way to be made to panic.

use crate::common::{MemoryHost, season};
use crate::terminal::Pty;
use barewood::domain::outlook::Estimates;
use barewood::domain::records::Conditions;
use barewood::domain::review::Review;
use barewood::domain::season::Season;
use barewood::tui::host::{CameIn, Host, Joined, Opening, Reloaded, SaveOutcome, Stands, Years};
use barewood::tui::keymap::Keymap;
use barewood::tui::terminal::held;
use barewood::tui::terminal::setting::{Setting, Wish};
use chrono::{NaiveDate, NaiveDateTime};
use portable_pty::CommandBuilder;
use tempfile::TempDir;

/// Says what is to happen when the forecast is fetched.
const HOW: &str = "BAREWOOD_TEST_HOW";
const WORDS: &str = "the ladder fell over";

/// A host that has accidents.
struct Clumsy {
    host: MemoryHost,
    how: String,
}

impl Host for Clumsy {
    fn open(&mut self) -> Result<Opening, String> {
        self.host.open()
    }
    fn today(&self) -> NaiveDate {
        self.host.today()
    }
    fn now(&self) -> NaiveDateTime {
        self.host.now()
    }
    fn review(&mut self, season: &Season, now: NaiveDateTime) -> Option<Review> {
        self.host.review(season, now)
    }
    fn years(&mut self, season: &Season) -> Years {
        self.host.years(season)
    }
    fn air(
        &mut self,
        season: &Season,
        from: NaiveDateTime,
        to: NaiveDateTime,
    ) -> (Conditions, Option<&'static str>) {
        self.host.air(season, from, to)
    }
    fn estimates(&mut self, season: &Season, today: NaiveDate) -> Option<Estimates> {
        self.host.estimates(season, today)
    }
    fn save(&mut self, season: &Season) -> SaveOutcome {
        self.host.save(season)
    }
    fn take_in(&mut self, season: &Season) -> Result<Option<CameIn>, String> {
        self.host.take_in(season)
    }
    fn join(&mut self, season: &Season, stands: Stands) -> Result<Joined, String> {
        self.host.join(season, stands)
    }
    fn keep_at(&mut self, season: &Season, place: &str) -> Result<Reloaded, String> {
        self.host.keep_at(season, place)
    }
    fn write_new(&mut self, files: &[(String, String)]) -> Result<String, String> {
        self.host.write_new(files)
    }
    fn fetch(&mut self, _season: &Season) -> Result<String, String> {
        match self.how.as_str() {
            "thread" => {
                std::thread::Builder::new()
                    .name("orchard".to_owned())
                    .spawn(|| panic!("{WORDS}"))
                    .unwrap();
            }
            "loop" => panic!("{WORDS}"),
            _ => {
                for _ in 0..40 {
                    eprintln!("{WORDS}");
                }
            }
        }
        Ok("on its way".to_owned())
    }
}

/// The program of the tests below: on its own it is told nothing to do, and does nothing.
#[test]
fn a_board_with_a_clumsy_host() {
    let Ok(how) = std::env::var(HOW) else {
        return;
    };
    let mut season = season();
    season.practice = false;
    let mut host = MemoryHost::new(season);
    host.place = Some("saved.json".into());
    let lookup = |name: &str| std::env::var(name).ok();
    let setting = Setting::choose(&lookup, Wish::default());
    let ended = barewood::tui::run(&mut Clumsy { host, how }, &setting, Keymap::standard());
    let strays = held::take_strays();
    eprintln!("strays: {} {}", strays.said.lines().count(), strays.panics);
    std::process::exit(ended.map_or(70, |exit| i32::from(exit.code())));
}

fn clumsy(how: &str) -> Pty {
    let mut command = CommandBuilder::new(std::env::current_exe().unwrap());
    command.args([
        "panics::a_board_with_a_clumsy_host",
        "--exact",
        "--nocapture",
    ]);
    let home = TempDir::new().unwrap();
    let pty = Pty::run(command, &[(HOW, how)], (80, 24), home);
    pty.wait_for("After leaf drop");
    pty.settle();
    pty
}

#[test]
fn a_panic_on_any_thread_gives_the_terminal_back_once_then_speaks_and_saves() {
    for how in ["thread", "loop"] {
        let mut pty = clumsy(how);
        // Saved after its frame is out; the fetch comes on its heels.
        pty.send(">F");
        assert_eq!(pty.end().exit_code(), 101, "{how}");
        pty.assert_given_back();
        let bytes = pty.bytes();
        let text = String::from_utf8_lossy(&bytes);
        assert_eq!(text.matches("\u{1b}[?1049l").count(), 1, "{how}: once");
        let (_, after) = text.split_once("\u{1b}[?1049l").unwrap();
        assert!(after.contains(WORDS), "{how}: {after}");
        assert!(!after.contains('\u{1b}'), "{how}: {after:?}");
        assert!(pty.home.path().join("saved.json").exists(), "{how}");
    }
}

#[test]
fn what_libraries_print_never_lands_on_the_screen() {
    let mut pty = clumsy("print");
    pty.send("F");
    let screen = pty.wait_for("on its way");
    assert!(!screen.contains(WORDS), "{screen}");
    pty.settle();
    assert!(!String::from_utf8_lossy(&pty.bytes()).contains(WORDS));
    pty.send("q");
    assert_eq!(pty.end().exit_code(), 0);
    let text = String::from_utf8_lossy(&pty.bytes()).into_owned();
    assert!(text.contains("strays: 40"), "{text}");
}
