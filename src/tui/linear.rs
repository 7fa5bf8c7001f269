//! The board line by line: no other screen, no cursor that moves, nothing drawn over. Every key
//! does what it does on the full-screen board, and what came of it is said in a line. For screen
//! readers, for terminals that can do no more, and for scripts.
//!
//! Model and update are those of the full-screen board; only what speaks is another.

pub mod console;
mod scene;
mod words;

use super::action::{Effect, Event};
use super::host::{Host, Waker};
use super::keymap::Keymap;
use super::model::{Model, Saved};
use super::overlay::Overlay;
use super::terminal::input::{Input, Parser};
use super::update::update;
use super::wishes;
use scene::Scene;
use std::io::{self, Read, Write};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::time::{Duration, Instant};

/// Columns and rows that screens are laid out for: the rows hold any list of an orchard.
const SIZE: (u16, u16) = (80, 60);
/// How long a lone Esc waits for the rest of a sequence.
const ESC: Duration = Duration::from_millis(25);
/// How long the first words wait for weather and estimates.
const FIRST: Duration = Duration::from_secs(30);
/// How often the day and the clock are looked at while nothing is typed.
const CLOCK: Duration = Duration::from_secs(60);

/// Where keys come from and words go to.
pub struct Console<'a> {
    /// The keys, as bytes.
    pub keys: Box<dyn Read + Send>,
    /// The words.
    pub out: &'a mut dyn Write,
    /// Are the keys those of a terminal that sends each at once? Then what is typed into a field
    /// is written as it comes, and lines end the way such a terminal wants them. Otherwise keys
    /// come in lines: the end of a line that held others is no key, an empty line is Enter.
    pub raw: bool,
}

enum Heard {
    Keys(Vec<u8>),
    Woken,
    End,
}

/// Opens the board and stays until it is quit or there are no more keys.
///
/// # Errors
/// Where the season cannot be opened, or the words cannot be written.
pub fn run(host: &mut dyn Host, keymap: Keymap, console: Console<'_>) -> Result<(), RunError> {
    let opening = host.open().map_err(RunError::Host)?;
    let (tell, heard) = channel();
    let wake = tell.clone();
    host.attach(Waker::new(move || {
        let _ = wake.send(Heard::Woken);
    }));
    let is_estimated = opening.estimates.is_some();
    let mut model = Model::new(opening, keymap, SIZE);
    model.now = host.now();
    listen(console.keys, tell)?;
    let mut board = Linear {
        said: Scene::default(),
        host,
        model,
        out: console.out,
        raw: console.raw,
        parser: Parser::default(),
        line_held: false,
        echoed: false,
    };
    if !is_estimated {
        board.wish(Effect::Estimate);
    }
    board.live(&heard)
}

/// Why the board could not be opened or kept open.
#[derive(Debug, thiserror::Error)]
pub enum RunError {
    /// The season could not be opened.
    #[error("{0}")]
    Host(String),
    /// Its words could not be written.
    #[error("{0}")]
    Write(#[from] io::Error),
}

/// Reads keys on a thread of its own, so that news can be said while nobody types.
fn listen(mut keys: Box<dyn Read + Send>, tell: Sender<Heard>) -> io::Result<()> {
    std::thread::Builder::new()
        .name("keys".to_owned())
        .spawn(move || {
            let mut bytes = [0; 1024];
            loop {
                let heard = match keys.read(&mut bytes) {
                    Ok(0) | Err(_) => Heard::End,
                    Ok(n) => Heard::Keys(bytes.get(..n).unwrap_or_default().to_vec()),
                };
                let ends = matches!(heard, Heard::End);
                if tell.send(heard).is_err() || ends {
                    return;
                }
            }
        })
        .map(|_| ())
}

struct Linear<'a> {
    host: &'a mut dyn Host,
    model: Model,
    out: &'a mut dyn Write,
    raw: bool,
    parser: Parser,
    said: Scene,
    /// Did the present line of keys hold any but its end?
    line_held: bool,
    /// Does a line begun with what is typed still have to end?
    echoed: bool,
}

impl Linear<'_> {
    fn live(&mut self, heard: &Receiver<Heard>) -> Result<(), RunError> {
        let mut waiting = self.await_weather(heard);
        let (said, lines) = words::opening(&self.model);
        self.said = said;
        self.say(&lines)?;
        loop {
            let next = match waiting.pop() {
                Some(heard) => Ok(heard),
                None if self.parser.is_waiting() => heard.recv_timeout(ESC),
                None => heard.recv_timeout(CLOCK),
            };
            match next {
                Ok(Heard::Keys(bytes)) => {
                    let mut inputs = Vec::new();
                    for byte in bytes {
                        if let Some(byte) = self.key_of(byte) {
                            self.parser.feed(&[byte], &mut inputs);
                        }
                    }
                    if self.take(inputs)? {
                        return Ok(());
                    }
                }
                Ok(Heard::Woken) => self.news()?,
                Ok(Heard::End) | Err(RecvTimeoutError::Disconnected) => {
                    let mut inputs = Vec::new();
                    self.parser.pause(&mut inputs);
                    if !self.take(inputs)? {
                        self.leave()?;
                    }
                    return Ok(());
                }
                Err(RecvTimeoutError::Timeout) => {
                    let mut inputs = Vec::new();
                    self.parser.pause(&mut inputs);
                    if self.take(inputs)? {
                        return Ok(());
                    }
                    self.clock()?;
                }
            }
        }
    }

    /// Waits until what the first words are about is known; keys that came before are kept, the
    /// last first.
    fn await_weather(&mut self, heard: &Receiver<Heard>) -> Vec<Heard> {
        let until = Instant::now() + FIRST;
        let mut early = Vec::new();
        let mut has_weather = false;
        while !(has_weather && self.model.estimates.is_some()) {
            let left = until.saturating_duration_since(Instant::now());
            match heard.recv_timeout(left) {
                Ok(Heard::Woken) => {
                    while let Some(news) = self.host.news(&self.model.season, self.model.today) {
                        has_weather = true;
                        self.happen(Event::News(news));
                    }
                }
                Ok(key) => early.push(key),
                Err(_) => break,
            }
        }
        early.reverse();
        early
    }

    /// The byte as the board's keys know it; `None` for one that is no key.
    fn key_of(&mut self, byte: u8) -> Option<u8> {
        if self.raw {
            return Some(byte);
        }
        if byte == b'\n' {
            // A line's end after keys only sends them off.
            return (!std::mem::take(&mut self.line_held)).then_some(b'\r');
        }
        self.line_held = true;
        Some(byte)
    }

    /// Takes keys; true once the board is quit.
    fn take(&mut self, inputs: Vec<Input>) -> Result<bool, RunError> {
        for input in inputs {
            let event = match input {
                Input::Key(key) => Event::Key(key),
                Input::Paste(text) => Event::Paste(text),
                _ => continue,
            };
            self.model.notice = None;
            let typed = typed(&event).filter(|_| writes(&self.model));
            let before = self.model.season.clone();
            let outlook = self.model.outlook.clone();
            let wishes = update(&mut self.model, event);
            let quits = self.grant(wishes);
            // A text that grows is not said anew with every letter: the next key says it whole.
            if let Some(letter) = typed.filter(|_| !quits && writes(&self.model)) {
                self.echo(letter)?;
                continue;
            }
            let mut lines = words::consequences(&before, &outlook, &self.model);
            let (scene, shown) = words::shown(&self.said, &self.model);
            self.said = scene;
            lines.extend(shown);
            self.say(&lines)?;
            if quits {
                self.leave()?;
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// Does what the model wishes; true where it wishes to quit.
    fn grant(&mut self, wishes: Vec<Effect>) -> bool {
        let mut quits = false;
        for wish in wishes {
            match wish {
                Effect::Quit | Effect::KeepAsideAndQuit => quits = true,
                Effect::Suspend | Effect::Mouse(_) | Effect::CopyOut(_) => {
                    self.model
                        .say("not line by line: the full-screen board does this");
                }
                other => self.wish(other),
            }
        }
        quits
    }

    fn wish(&mut self, wish: Effect) {
        if let Some(event) = wishes::answered(self.host, &self.model, wish) {
            self.happen(event);
        }
    }

    /// An event from the world, with all that follows.
    fn happen(&mut self, event: Event) {
        let wishes = update(&mut self.model, event);
        self.grant(wishes);
    }

    fn news(&mut self) -> Result<(), RunError> {
        let notice = self.model.notice.clone();
        while let Some(news) = self.host.news(&self.model.season, self.model.today) {
            self.happen(Event::News(news));
        }
        if self.model.notice == notice {
            return Ok(());
        }
        let lines: Vec<String> = self.model.notice.iter().map(|n| n.text.clone()).collect();
        self.say(&lines)
    }

    fn clock(&mut self) -> Result<(), RunError> {
        let today = self.host.today();
        self.model.now = self.host.now();
        if today == self.model.today {
            return Ok(());
        }
        self.happen(Event::Day(today));
        self.say(&[words::day(&self.model)])
    }

    /// Saves what is unsaved, and says how that went.
    fn leave(&mut self) -> Result<(), RunError> {
        if matches!(self.model.saved, Saved::Saving | Saved::No(_)) {
            self.wish(Effect::Save);
        }
        if matches!(self.model.saved, Saved::No(_)) {
            self.host.keep_aside(&self.model.season);
        }
        let practice = "Closed. Practice: nothing was written.";
        let line = match &self.model.saved {
            Saved::Practice => practice.to_owned(),
            Saved::No(why) => format!("NOT SAVED: {why}"),
            Saved::Yes | Saved::Saving => format!("Closed. Saved in {}.", self.model.place),
        };
        self.say(&[line])
    }

    fn echo(&mut self, letter: char) -> Result<(), RunError> {
        if self.raw {
            self.echoed = true;
            write!(self.out, "{letter}")?;
            self.out.flush()?;
        }
        Ok(())
    }

    fn say(&mut self, lines: &[String]) -> Result<(), RunError> {
        let end = if self.raw { "\r\n" } else { "\n" };
        if std::mem::take(&mut self.echoed) && !lines.is_empty() {
            write!(self.out, "{end}")?;
        }
        for line in lines {
            for part in super::text::wrap(&super::text::clean_lines(line), usize::from(SIZE.0)) {
                write!(self.out, "{part}{end}")?;
            }
        }
        self.out.flush()?;
        Ok(())
    }
}

/// The letter that was typed.
fn typed(event: &Event) -> Option<char> {
    match event {
        Event::Key(key) => key.typed(),
        _ => None,
    }
}

/// Is a text being written now?
fn writes(model: &Model) -> bool {
    matches!(
        model.overlay,
        Some(Overlay::Form(_) | Overlay::Find(_) | Overlay::Finder(_))
    )
}
