//! A hundred thousand random steps: keys, pastes, clicks, drags, the wheel, sizes, days, saves
//! that fail, changes on the disk. After each: no panic, the cursor on the screen, no task or
//! record or reading gone but by a step that says it takes one away (and then one alone), by undo
//! and redo, or with the file of somebody else; no record gone that is on the disk. After each
//! hundred: what the file would hold reads back as what is on the board. At the end of each run
//! undo is the way back to the first state, and redo to the last.

use crate::driver::Driver;
use crate::random::is_undone_and_made_again;
use barewood::domain::season::{Reading, Season};
use barewood::store::{practice, season_file};
use barewood::tui::action::{Event, Spot};
use barewood::tui::host::SaveOutcome;
use barewood::tui::key::{Code, Key};
use barewood::tui::theme::Theme;
use barewood::tui::view::view;
use chrono::Days;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use std::collections::BTreeMap;

const RUNS: u64 = 200;
const STEPS: usize = 500;
/// Steps between two looks at the screen: a large one takes a millisecond to draw.
const LOOK_EVERY: usize = 4;
/// Steps between two looks at the file.
const FILE_EVERY: usize = 100;

const CODES: [Code; 17] = [
    Code::Enter,
    Code::Esc,
    Code::Tab,
    Code::BackTab,
    Code::Backspace,
    Code::Delete,
    Code::Up,
    Code::Down,
    Code::Left,
    Code::Right,
    Code::Home,
    Code::End,
    Code::PageUp,
    Code::PageDown,
    Code::F(1),
    Code::Down,
    Code::Enter,
];
const LETTERS: &str =
    "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ<>[]{}+-/:?*0123456789 ,.%='";
const PASTES: [&str; 6] = [
    "2027-02-14",
    "a line\nand one more",
    "\u{1b}[201~q\rd",
    "+3",
    "梨の木 e\u{301} \u{202e}x",
    "12 gal",
];

/// What the words of a step begin with that takes a task or a reading away.
const TAKES_AWAY: [&str; 2] = ["deleted: ", "reading deleted"];

struct Dice(ChaCha8Rng);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        (self.0.next_u64() % n as u64) as usize
    }

    fn of<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())]
    }

    fn key(&mut self) -> Key {
        let letters: Vec<char> = LETTERS.chars().collect();
        match self.below(12) {
            0..3 => Key::plain(self.of(&CODES)),
            3..11 => Key::char(self.of(&letters)),
            _ => Key::ctrl(self.of(&['r', 'l', 'u', 'w', 'a', 'e'])),
        }
    }

    fn event(&mut self, d: &Driver) -> Event {
        match self.below(60) {
            0 => Event::Paste(self.of(&PASTES).to_owned()),
            1 => Event::Size(1 + self.below(300) as u16, 1 + self.below(100) as u16),
            2 => Event::Click(match self.below(4) {
                0 => Spot::Card(self.below(d.model.season.tasks.len() + 1)),
                1 => Spot::Row(self.below(30)),
                2 => Spot::Line(self.below(30)),
                _ => Spot::Cell(self.below(6), self.below(4)),
            }),
            3 => Event::Drag(self.below(60) as i64 - 30),
            4 => Event::Release,
            5 => Event::Wheel(self.of(&[-1, 1])),
            // Practice has no file.
            6 if !d.model.season.practice => Event::ChangedOutside,
            7 if !d.model.season.practice => {
                Event::Saved(SaveOutcome::Failed("the disk is full".to_owned()))
            }
            8 => Event::Day(d.model.today + Days::new(self.below(3) as u64)),
            _ => Event::Key(self.key()),
        }
    }
}

/// What is in a season that must never go by itself. Readings have no names: they are told by
/// their day and kind, and how many are alike.
fn things(season: &Season) -> BTreeMap<String, usize> {
    let mut things = BTreeMap::new();
    let tasks = season.tasks.iter().map(|t| format!("task {}", t.id));
    let records = season.records.iter().map(|r| format!("record {}", r.id));
    let readings = season.readings.iter().map(|r| match r {
        Reading::Buds { date, .. } => format!("buds of {date}"),
        Reading::DegreeDays { date, .. } => format!("degree days of {date}"),
        Reading::Rain { date, .. } => format!("rain of {date}"),
    });
    for thing in tasks.chain(records).chain(readings) {
        *things.entry(thing).or_default() += 1;
    }
    things
}

/// What of the one is not in the other.
fn lost(before: &BTreeMap<String, usize>, after: &BTreeMap<String, usize>) -> Vec<String> {
    let fewer = |(thing, count): (&String, &usize)| {
        let left = after.get(thing).copied().unwrap_or_default();
        (left < *count).then(|| thing.clone())
    };
    before.iter().filter_map(fewer).collect()
}

/// May this step take things away? Undo and redo go any way; so does a season read again, joined
/// or begun. A new step may take away the one thing its words tell of.
fn allowed(d: &Driver, depth: usize, taken: &[String]) -> bool {
    let now = d.model.history.depth();
    let words = d.model.history.last_words().unwrap_or_default();
    if now <= depth {
        return true;
    }
    words == "took what is on the disk"
        // A block goes with what was for it alone.
        || words.starts_with("retired: ")
        || (taken.len() == 1 && TAKES_AWAY.iter().any(|w| words.starts_with(w)))
}

/// The season on the disk after somebody else put one card on another day and wrote a note.
fn edited_elsewhere(d: &Driver, dice: &mut Dice) -> Season {
    let mut theirs = d.host.saved.last().unwrap_or(&d.host.season).clone();
    let count = theirs.tasks.len();
    if let Some(task) = theirs.tasks.get_mut(dice.below(count.max(1))) {
        task.date = task.date + Days::new(1);
        task.notes = Some(format!("moved elsewhere {}", dice.below(1000)));
    }
    theirs
}

/// The season as a file would hold it, read again.
fn through_a_file(season: &Season) -> Season {
    let practice = practice::season().unwrap().season;
    let text = season_file::write(practice::SEASON_TEXT, &practice, season).unwrap();
    Season {
        practice: season.practice,
        shared_targets: season.shared_targets.clone(),
        ..season_file::read(&text, "a.toml").unwrap().season
    }
}

fn look(d: &Driver) {
    let (columns, rows) = d.model.size;
    let mut buffer = Buffer::empty(Rect::new(0, 0, columns, rows));
    let drawn = view(&d.model, Theme::default(), &mut buffer);
    if let Some((x, y)) = drawn.cursor {
        assert!(
            x < columns && y < rows,
            "cursor {x},{y} outside {columns}x{rows}"
        );
    }
}

fn run(seed: u64) {
    let mut dice = Dice(ChaCha8Rng::seed_from_u64(seed));
    let mut d = match seed % 3 {
        0 => Driver::with_hours(),
        1 => Driver::new(),
        _ => Driver::owned(),
    };
    let start = d.model.season.clone();
    let mut elsewhere = false;
    for step in 0..STEPS {
        let event = dice.event(&d);
        let (before, depth) = (things(&d.model.season), d.model.history.depth());
        let said = format!("{event:?}");
        if matches!(event, Event::ChangedOutside) {
            elsewhere = true;
            let theirs = edited_elsewhere(&d, &mut dice);
            d.host.saved.push(theirs);
        }
        d.happen(event);
        let gone = lost(&before, &things(&d.model.season));
        assert!(
            gone.is_empty() || allowed(&d, depth, &gone),
            "step {step}, {said}: {gone:?} gone by '{}'",
            d.model.history.last_words().unwrap_or_default()
        );
        assert!(d.model.season.records.len() >= d.model.records_kept);
        if step % LOOK_EVERY == 0 {
            look(&d);
        }
        if step % FILE_EVERY == FILE_EVERY - 1 {
            assert_eq!(through_a_file(&d.model.season), d.model.season);
        }
    }
    if elsewhere {
        // What others did stays, so the way back does not lead to the start.
        undone_beside_others(&mut d);
    } else {
        is_undone_and_made_again(&mut d, &start).unwrap();
    }
}

/// Undo takes one's own steps back and no record out, whatever others did between them.
fn undone_beside_others(d: &mut Driver) {
    d.happen(Event::Size(80, 24));
    d.model.overlay = None;
    for _ in 0..d.model.history.depth() {
        let records = d.model.records_kept;
        d.model.step(true);
        assert!(d.model.season.records.len() >= records);
        assert_eq!(
            barewood::domain::records::integrity(&d.model.season, &[]),
            []
        );
    }
    assert_eq!(d.model.history.depth(), 0);
}

#[test]
fn a_hundred_thousand_steps_lose_nothing() {
    // On as many threads as there are: the seed of a run that fails is in its name.
    std::thread::scope(|scope| {
        let lanes = std::thread::available_parallelism().map_or(1, usize::from) as u64;
        for lane in 0..lanes {
            std::thread::Builder::new()
                .name(format!("lane {lane}"))
                .spawn_scoped(scope, move || {
                    for seed in (lane..RUNS).step_by(lanes as usize) {
                        let run = std::panic::catch_unwind(|| run(seed));
                        assert!(run.is_ok(), "the run of seed {seed} failed, see above");
                    }
                })
                .unwrap();
        }
    });
    assert_eq!(RUNS as usize * STEPS, 100_000);
}
