//! A season through anything that may happen to it between two edits: boards, commands, an editor
//! that knows no locks, a lock held by another, a disk that refuses, every way to leave, the next
//! start with each choice, undo, restore. After each step: whatever was shown as saved is in the
//! file, among the versions or in what is kept aside, and never twice.
//!
//! `BAREWOOD_SEQUENCES=1000000 cargo test --test store machine` takes more of them.

use crate::faulty::{ERRORS, Fault, FaultyDisk};
use crate::problems::GOOD;
use barewood::domain::records::{self, Conditions};
use barewood::domain::season::{Reading, Season};
use barewood::store::disk::{Disk, FileLock};
use barewood::store::merge::{Kept, Side, disk_alone, onto};
use barewood::store::places::Places;
use barewood::store::session::{Mode, Outside, SaveError, Session};
use barewood::store::{lock, season_file};
use barewood::tui::history::History;
use chrono::NaiveDate;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use std::cell::OnceCell;
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, SystemTime};
use tempfile::TempDir;

/// What was lost before, put back on purpose to see that it would be found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Old {
    /// A save let go what earlier sessions had kept aside.
    SaveDropsKept,
    /// Leaving kept nothing aside but where the disk refused.
    LeavesWithoutKeeping,
    /// "Take what is on the disk" took the records along.
    DiskTakesRecords,
    /// A change outside was written over.
    WritesOver,
    /// Undo took the lines of others along.
    UndoTakesAll,
    /// A second failure wrote over what the first one had kept.
    KeepsOne,
}

/// Where a thing that somebody did should be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum State {
    /// It was shown as saved.
    Saved,
    /// It was shown as not saved; its board still has it, or it was kept aside.
    Held,
    /// Its owner let it go.
    Gone,
}

struct Board {
    session: Session,
    season: Season,
    history: History,
    unsaved: bool,
    /// What of its work is not saved.
    holds: Vec<String>,
}

struct World {
    _folder: TempDir,
    file: PathBuf,
    places: Places,
    disk: FaultyDisk,
    dice: ChaCha8Rng,
    boards: Vec<Board>,
    things: BTreeMap<String, State>,
    records: Vec<String>,
    made: usize,
    clock: u64,
    held_lock: Option<Box<dyn FileLock>>,
    /// Is the disk one that fails?
    failing: bool,
    old: Option<Old>,
    log: Vec<String>,
    /// The file as last read.
    seen: Option<(String, Season)>,
}

fn day() -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 2, 12).unwrap()
}

fn join(base: &Season, now: &Season, other: &Season) -> Season {
    onto(base, now, other, Side::Theirs).season
}

fn with_reading(season: &Season, thing: &str) -> Season {
    let mut after = season.clone();
    let mut reading = after.readings[0].clone();
    match &mut reading {
        Reading::DegreeDays { note, .. }
        | Reading::Buds { note, .. }
        | Reading::Rain { note, .. } => {
            *note = Some(thing.to_owned());
        }
    }
    after.readings.push(reading);
    after
}

fn with_record(season: &Season, thing: &str) -> Season {
    let task = &season.tasks[0];
    let now = day().and_hms_opt(12, 0, 0).unwrap();
    let amounts = records::amounts(season, task, None, day());
    let mut record = records::prefill(season, task, day(), now, &amounts, &Conditions::default());
    record.task = None;
    record.notes = Some(thing.to_owned());
    records::finish(season, record, day()).unwrap().season
}

fn with_note(season: &Season, thing: &str) -> Season {
    let mut after = season.clone();
    after.tasks[0].notes = Some(thing.to_owned());
    after
}

fn folder() -> TempDir {
    let memory = Path::new("/dev/shm");
    if memory.is_dir() {
        tempfile::tempdir_in(memory).unwrap()
    } else {
        tempfile::tempdir().unwrap()
    }
}

impl World {
    fn new(seed: u64, old: Option<Old>) -> Self {
        let folder = folder();
        let file = folder.path().join("s.toml");
        fs::write(&file, GOOD).unwrap();
        let places = Places::under(&folder.path().join("home"));
        let mut world = Self {
            _folder: folder,
            file,
            places,
            disk: FaultyDisk::default(),
            dice: ChaCha8Rng::seed_from_u64(seed),
            boards: Vec::new(),
            things: BTreeMap::new(),
            records: Vec::new(),
            made: 0,
            clock: 1_800_000_000,
            held_lock: None,
            failing: false,
            old,
            log: Vec::new(),
            seen: None,
        };
        world.start();
        world
    }

    fn below(&mut self, n: usize) -> usize {
        self.dice.next_u32() as usize % n
    }

    fn open(&self) -> Option<Session> {
        Session::open(
            Arc::new(self.disk.clone()),
            Some(self.places.clone()),
            &self.file,
            Mode::Write,
        )
        .ok()
    }

    fn file_text(&self) -> String {
        fs::read_to_string(&self.file).unwrap_or_default()
    }

    fn kept_texts(&self) -> Vec<String> {
        let folder = self.places.state.join("recovery");
        let entries = fs::read_dir(folder).into_iter().flatten().flatten();
        entries
            .map(|e| fs::read_to_string(e.path()).unwrap())
            // What it was made from stands in comments.
            .map(|text| {
                let lines = text.lines().filter(|l| !l.starts_with("#|"));
                lines.collect::<Vec<_>>().join("\n")
            })
            .collect()
    }

    fn version_texts(&self) -> Vec<String> {
        let mut folder = self.file.clone().into_os_string();
        folder.push(".backups");
        let entries = fs::read_dir(folder).into_iter().flatten().flatten();
        entries
            .filter(|e| e.path().extension().is_some_and(|x| x == "toml"))
            .map(|e| fs::read_to_string(e.path()).unwrap())
            .collect()
    }

    fn new_thing(&mut self) -> String {
        self.made += 1;
        format!("thing-{}-", self.made)
    }

    /// An edit of some kind, and what it is called.
    fn edit(&mut self, season: &Season) -> (Season, String) {
        let thing = self.new_thing();
        let after = match self.below(4) {
            0 => {
                self.records.push(thing.clone());
                with_record(season, &thing)
            }
            1 => with_note(season, &thing),
            _ => with_reading(season, &thing),
        };
        (after, thing)
    }

    /// What stood in the one field that edits share gives way to another value by its owner's word.
    fn give_way(&mut self, before: &Season, after: &Season) {
        let (was, is) = (&before.tasks[0].notes, &after.tasks[0].notes);
        if let Some(was) = was.as_ref().filter(|_| was != is) {
            self.things.insert(was.clone(), State::Gone);
        }
    }

    fn save(&mut self, at: usize) {
        if self.old == Some(Old::SaveDropsKept) {
            let _ = fs::remove_dir_all(self.places.state.join("recovery"));
        }
        let board = &mut self.boards[at];
        let sent = board.season.clone();
        let mut result = board.session.save(&sent);
        if self.old == Some(Old::WritesOver)
            && let Err(SaveError::ChangedOnDisk(outside)) = result
        {
            board.session.adopt(*outside);
            result = board.session.save(&sent);
        }
        match result {
            Ok(saved) => {
                if let Some(joined) = saved.joined {
                    board.history.came_in(&board.season, &joined.season);
                    board.season = *joined.season;
                }
                board.unsaved = false;
                for thing in std::mem::take(&mut board.holds) {
                    let state = self.things.entry(thing).or_insert(State::Saved);
                    if *state == State::Held {
                        *state = State::Saved;
                    }
                }
            }
            Err(_) => {
                board.unsaved = true;
                if self.old == Some(Old::LeavesWithoutKeeping) {
                    board.session.drop_aside();
                }
                if self.old == Some(Old::KeepsOne) {
                    self.keep_one();
                }
                self.check_aside(at);
            }
        }
    }

    /// What no save took is kept aside at once, but where that place fails as well.
    fn check_aside(&self, at: usize) {
        let aside = self.boards[at].session.aside();
        assert!(
            self.failing || aside.is_some_and(Path::exists),
            "a board is not saved, nor is its work kept aside: {:?}",
            self.log
        );
    }

    fn keep_one(&self) {
        let folder = self.places.state.join("recovery");
        let mut names: Vec<PathBuf> = fs::read_dir(folder)
            .into_iter()
            .flatten()
            .flatten()
            .map(|e| e.path())
            .collect();
        names.sort_by_key(|p| fs::metadata(p).unwrap().modified().unwrap());
        names.pop();
        for name in names {
            fs::remove_file(name).unwrap();
        }
    }

    fn board(&mut self) -> Option<usize> {
        (!self.boards.is_empty()).then(|| self.below(self.boards.len()))
    }

    fn step(&mut self) {
        self.clock += 360;
        let now = SystemTime::UNIX_EPOCH + Duration::from_secs(self.clock);
        self.disk.set_now(now);
        let what = self.below(17);
        let name = match what {
            0..=3 => self.board_edits(),
            4 => self.editor_writes(),
            5 => self.command(),
            6 => self.lock_is_held(),
            7 | 8 => self.disk_fails(),
            9 => self.all_is_well(),
            10 => self.start(),
            11 | 12 => self.leave(),
            13 => self.kept_is_decided(),
            14 => self.collision_is_decided(),
            15 => self.undo(),
            _ => self.restore(),
        };
        self.log.push(name.to_owned());
        self.check();
    }

    fn board_edits(&mut self) -> &'static str {
        let Some(at) = self.board() else {
            return "nobody edits";
        };
        let before = self.boards[at].season.clone();
        let (after, thing) = self.edit(&before);
        self.give_way(&before, &after);
        self.things.insert(thing.clone(), State::Held);
        let board = &mut self.boards[at];
        board.history.record(&before, &after, &thing);
        board.season = after;
        board.holds.push(thing);
        board.unsaved = true;
        self.save(at);
        "a board edits"
    }

    /// An editor takes no lock, and keeps no version.
    fn editor_writes(&mut self) -> &'static str {
        let text = self.file_text();
        let Ok(read) = season_file::read(&text, "s.toml") else {
            return "nothing to edit";
        };
        let thing = self.new_thing();
        let after = with_reading(&read.season, &thing);
        let text = season_file::write(&text, &read.season, &after).unwrap();
        fs::write(&self.file, text).unwrap();
        self.things.insert(thing, State::Saved);
        "an editor writes"
    }

    fn command(&mut self) -> &'static str {
        let Some(mut session) = self.open() else {
            return "a command cannot open";
        };
        let before = session.season().clone();
        let (after, thing) = self.edit(&before);
        match session.save(&after) {
            Ok(_) => {
                self.give_way(&before, &after);
                self.things.insert(thing, State::Saved);
                "a command saves"
            }
            Err(_) => {
                session.drop_aside();
                // It may have taken its place and not be on the disk for good.
                let state = if self.file_text().contains(&thing) {
                    self.give_way(&before, &after);
                    State::Saved
                } else {
                    State::Gone
                };
                self.things.insert(thing, state);
                "a command fails"
            }
        }
    }

    fn lock_is_held(&mut self) -> &'static str {
        if self.held_lock.take().is_none() {
            let path = lock::path(&self.file);
            self.held_lock = barewood::store::disk::RealDisk.lock(&path).unwrap();
            if self.below(3) == 0 {
                // And its file is swept away meanwhile.
                let _ = fs::remove_file(path);
            }
            return "another holds the lock";
        }
        "the lock is free"
    }

    fn disk_fails(&mut self) -> &'static str {
        let error = ERRORS[self.below(ERRORS.len())];
        let at = 1 + self.below(40);
        let fault = match self.below(3) {
            0 => Fault::Once(error),
            1 => Fault::FromNow(error),
            _ => Fault::Short,
        };
        self.disk.fail_at(at, fault);
        self.failing = true;
        "the disk begins to fail"
    }

    fn all_is_well(&mut self) -> &'static str {
        self.disk.heal();
        self.failing = false;
        self.held_lock = None;
        "all is well"
    }

    fn start(&mut self) -> &'static str {
        if self.boards.len() >= 3 {
            return "enough boards";
        }
        let Some(session) = self.open() else {
            return "a board cannot open";
        };
        if session.read_only().is_some() {
            return "a board can only look";
        }
        self.boards.push(Board {
            season: session.season().clone(),
            session,
            history: History::default(),
            unsaved: false,
            holds: Vec::new(),
        });
        "a board opens"
    }

    fn leave(&mut self) -> &'static str {
        let Some(at) = self.board() else {
            return "nobody leaves";
        };
        let killed = self.below(4) == 0;
        if !killed && self.boards[at].unsaved {
            // However one leaves: it is saved, or kept aside.
            self.save(at);
            let board = &mut self.boards[at];
            if board.unsaved && self.old != Some(Old::LeavesWithoutKeeping) {
                let _ = board.session.keep_aside(&board.season);
            }
            if self.boards[at].unsaved {
                self.check_aside(at);
            }
        }
        let board = self.boards.remove(at);
        let aside = board.session.aside().is_some_and(|path| path.exists())
            // With the old way its owner was promised so all the same.
            || matches!(self.old, Some(Old::LeavesWithoutKeeping | Old::KeepsOne));
        if board.unsaved && !aside {
            // Neither the file nor any other place would take it; it was told.
            for thing in &board.holds {
                self.things.insert(thing.clone(), State::Gone);
            }
        }
        if killed {
            std::mem::forget(board);
            "a board is killed"
        } else {
            "a board is left"
        }
    }

    fn kept_is_decided(&mut self) -> &'static str {
        let Some(at) = self.board() else {
            return "nobody decides";
        };
        let board = &self.boards[at];
        // What a board that runs keeps aside is its own matter.
        let running: Vec<PathBuf> = self
            .boards
            .iter()
            .filter_map(|b| b.session.aside().map(PathBuf::from))
            .collect();
        let Some(kept) = board
            .session
            .recovered()
            .iter()
            .find(|k| !running.contains(&k.path) && k.path.exists())
            .cloned()
        else {
            return "nothing is kept";
        };
        match self.below(3) {
            0 => {
                let board = &mut self.boards[at];
                let joined = board.session.join_recovered(&kept, &board.season).unwrap();
                let whole = !joined
                    .collisions
                    .iter()
                    .any(|c| c.kept == Kept::Theirs && c.ours != "nothing");
                let before = board.season.clone();
                board.history.record(&before, &joined.season, "kept work");
                board.season = joined.season.clone();
                board.unsaved = true;
                let came: Vec<String> = self
                    .things
                    .iter()
                    .filter(|(thing, state)| **state == State::Held && holds(&joined.season, thing))
                    .map(|(thing, _)| thing.clone())
                    .collect();
                self.boards[at].holds.extend(came);
                self.save(at);
                if whole && !self.boards[at].unsaved {
                    self.boards[at].session.discard_recovered(&kept.path);
                }
                "kept work is joined"
            }
            1 => {
                for (thing, state) in &mut self.things {
                    if *state == State::Held && kept.text.contains(thing.as_str()) {
                        *state = State::Gone;
                    }
                }
                self.boards[at].session.discard_recovered(&kept.path);
                "kept work is dropped"
            }
            _ => "kept work stays kept",
        }
    }

    fn collision_is_decided(&mut self) -> &'static str {
        let Some(at) = self.board().filter(|at| self.boards[*at].unsaved) else {
            return "nothing collides";
        };
        let board = &mut self.boards[at];
        let ours = board.season.clone();
        let Ok(Some(outside)) = board.session.changed_outside(&ours) else {
            return "nothing collides";
        };
        let Outside::Changed { merged, theirs, .. } = &outside else {
            return "nothing to join with";
        };
        let base = board.session.season().clone();
        let (joined, theirs) = (merged.season.clone(), (**theirs).clone());
        let choice = self.below(3);
        let chosen = match choice {
            0 => joined.clone(),
            1 => onto(&base, &theirs, &ours, Side::Theirs).season,
            _ if self.old == Some(Old::DiskTakesRecords) => theirs.clone(),
            _ => disk_alone(&base, &theirs, &ours).season,
        };
        // Whatever is chosen, the records of both sides stay.
        for record in ours.records.iter().chain(&theirs.records) {
            let stays = chosen.records.iter().any(|r| r.notes == record.notes);
            assert!(stays, "{:?} went: {:?}", record.notes, self.log);
        }
        for season in [&ours, &theirs] {
            self.give_way(season, &chosen);
        }
        let board = &mut self.boards[at];
        board.session.adopt(outside);
        if self.old == Some(Old::DiskTakesRecords) {
            // Nor was anything kept aside then.
            board.session.drop_aside();
        } else if choice > 0 {
            board.session.leave_aside();
        }
        board.history.came_in(&ours, &joined);
        board.history.record(&joined, &chosen, "took the disk");
        board.season = chosen.clone();
        if choice == 2 {
            // By its owner's word; its records stay.
            for thing in self.boards[at].holds.clone() {
                if !self.records.contains(&thing) && !holds(&chosen, &thing) {
                    self.things.insert(thing, State::Gone);
                }
            }
        }
        self.save(at);
        "a collision is decided"
    }

    fn undo(&mut self) -> &'static str {
        let Some(at) = self.board() else {
            return "nobody undoes";
        };
        let board = &mut self.boards[at];
        let before = board.season.clone();
        let kept = board.session.season().records.len();
        let Some(words) = board.history.undo(&mut board.season, join) else {
            return "nothing to undo";
        };
        if self.old == Some(Old::UndoTakesAll) {
            board.season = with_reading(&season_file::read(GOOD, "x").unwrap().season, "none");
            board.season.records.clone_from(&before.records);
            board.season.records_head.clone_from(&before.records_head);
        }
        let after = records::undone(&before, board.season.clone(), kept, day());
        if after != board.season {
            board.history.forget_undone();
        }
        board.season = after.clone();
        board.unsaved = true;
        // One's own step, by its owner's word, and what gave way to it comes back with it.
        let own: Vec<String> = if words.starts_with("thing") {
            vec![words]
        } else {
            self.things.keys().cloned().collect()
        };
        for thing in own {
            // A record goes without a trace as long as it was never saved.
            let may_go = if self.records.contains(&thing) {
                self.things.get(&thing) == Some(&State::Held)
            } else {
                holds(&before, &thing)
            };
            if may_go && !holds(&after, &thing) {
                self.things.insert(thing, State::Gone);
            }
        }
        self.give_way(&before, &after);
        self.save(at);
        "a board undoes"
    }

    fn restore(&mut self) -> &'static str {
        let Some(mut session) = self.open() else {
            return "nothing to restore";
        };
        let all = session.backups();
        if all.is_empty() || session.read_only().is_some() {
            return "no version to restore";
        }
        let backup = all[self.below(all.len())].clone();
        let Ok(version) = season_file::read(&fs::read_to_string(&backup.path).unwrap(), "v") else {
            return "the version cannot be read";
        };
        let now = session.season().clone();
        let after = records::undone(&now, version.season, now.records.len(), day());
        let restored = session.save(&after).is_ok();
        session.drop_aside();
        // It may have taken its place and not be on the disk for good.
        let file = self.file_text();
        // Whatever it put away is a version now; from here on its owner has let it go.
        let away: Vec<String> = self
            .things
            .iter()
            .filter(|(thing, state)| {
                **state == State::Saved
                    && holds(&now, thing)
                    && !holds(&after, thing)
                    && !file.contains(thing.as_str())
            })
            .map(|(thing, _)| thing.clone())
            .collect();
        for thing in away {
            assert!(
                self.version_texts().iter().any(|t| t.contains(&thing)),
                "{thing} was put away and is no version: {:?}",
                self.log
            );
            self.things.insert(thing, State::Gone);
        }
        if restored {
            "a version is restored"
        } else {
            "restoring fails"
        }
    }

    fn check(&mut self) {
        let file = self.file_text();
        let is_new = self.seen.as_ref().is_none_or(|(text, _)| *text != file);
        if is_new {
            let read = season_file::read(&file, "s.toml")
                .unwrap_or_else(|e| panic!("{e}: {:?}", self.log));
            assert_eq!(
                records::integrity(&read.season, &[]),
                [],
                "{:?}\n{file}",
                self.log
            );
            self.seen = Some((file.clone(), read.season));
        }
        let Some((_, season)) = &self.seen else {
            return;
        };
        // Read where a thing is not in the file alone.
        let kept = OnceCell::new();
        for (thing, state) in &self.things {
            let count = count(season, thing);
            assert!(count <= 1, "{thing} is there {count} times: {:?}", self.log);
            let is_kept = || {
                let texts = kept.get_or_init(|| self.kept_texts());
                texts.iter().any(|text| text.contains(thing))
            };
            match state {
                State::Saved => assert!(
                    count == 1 || is_kept(),
                    "{thing} was saved and is gone: {:?}\n{file}",
                    self.log
                ),
                State::Held => {
                    let board = self.boards.iter().any(|b| holds(&b.season, thing));
                    assert!(
                        board || count == 1 || is_kept(),
                        "{thing} was to be kept and is gone: {:?}",
                        self.log
                    );
                }
                State::Gone => {}
            }
        }
    }
}

/// How often it was done; what takes a record back, or says it again, is no second doing.
fn count(season: &Season, thing: &str) -> usize {
    let readings = season.readings.iter().filter(|r| match r {
        Reading::DegreeDays { note, .. }
        | Reading::Buds { note, .. }
        | Reading::Rain { note, .. } => note.as_deref() == Some(thing),
    });
    let records = season
        .records
        .iter()
        .filter(|r| r.corrects.is_none() && r.notes.as_deref() == Some(thing));
    let tasks = season
        .tasks
        .iter()
        .filter(|t| t.notes.as_deref() == Some(thing));
    readings.count() + records.count() + tasks.count()
}

fn holds(season: &Season, thing: &str) -> bool {
    let reading = |r: &Reading| match r {
        Reading::DegreeDays { note, .. }
        | Reading::Buds { note, .. }
        | Reading::Rain { note, .. } => note.as_deref() == Some(thing),
    };
    season.readings.iter().any(reading)
        || season
            .records
            .iter()
            .any(|r| r.notes.as_deref() == Some(thing))
        || season
            .tasks
            .iter()
            .any(|t| t.notes.as_deref() == Some(thing))
}

fn run(seed: u64, old: Option<Old>) {
    let mut world = World::new(seed, old);
    let steps = 4 + world.below(14);
    for _ in 0..steps {
        world.step();
    }
    world.all_is_well();
    while !world.boards.is_empty() {
        world.leave();
        world.check();
    }
}

fn sequences() -> u64 {
    std::env::var("BAREWOOD_SEQUENCES")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(10_000)
}

#[test]
fn nothing_is_lost_between_the_steps_whatever_their_order() {
    let (all, lanes) = (
        sequences(),
        std::thread::available_parallelism().map_or(1, usize::from) as u64,
    );
    std::thread::scope(|scope| {
        for lane in 0..lanes {
            std::thread::Builder::new()
                .name(format!("lane {lane}"))
                .spawn_scoped(scope, move || {
                    for seed in (lane..all).step_by(lanes as usize) {
                        let ran = std::panic::catch_unwind(|| run(seed, None));
                        assert!(ran.is_ok(), "the sequence of seed {seed} failed, see above");
                    }
                })
                .unwrap();
        }
    });
}

#[test]
fn whichever_side_is_chosen_the_records_of_both_stay() {
    let base = season_file::read(GOOD, "s.toml").unwrap().season;
    let ours = with_record(&with_note(&base, "my note"), "my record");
    let theirs = with_record(&with_note(&base, "your note"), "your record");
    let by = |side| onto(&base, &theirs, &ours, side).season;
    for (chosen, note) in [
        (by(Side::Ours), "my note"),
        (by(Side::Theirs), "your note"),
        (disk_alone(&base, &theirs, &ours).season, "your note"),
    ] {
        for record in ["my record", "your record"] {
            assert_eq!(count(&chosen, record), 1, "{record} beside {note}");
        }
        assert_eq!(chosen.tasks[0].notes.as_deref(), Some(note));
        assert_eq!(records::integrity(&chosen, &[]), []);
    }
}

#[test]
fn each_loss_of_old_is_found_again_when_its_mend_is_taken_out() {
    for old in [
        Old::SaveDropsKept,
        Old::LeavesWithoutKeeping,
        Old::DiskTakesRecords,
        Old::WritesOver,
        Old::UndoTakesAll,
        Old::KeepsOne,
    ] {
        let ends = |seed: u64, old| std::panic::catch_unwind(|| run(seed, old)).is_ok();
        let found = (0..3000).find(|seed| !ends(*seed, Some(old)) && ends(*seed, None));
        println!("{old:?} is found by sequence {found:?}");
        assert!(found.is_some(), "{old:?} is not found");
    }
}
