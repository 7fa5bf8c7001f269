//! Writers side by side: none is lost, none refused, none waits long.

use crate::home::Home;
use barewood::domain::season::Reading;
use barewood::store::disk::RealDisk;
use barewood::store::places::Places;
use barewood::store::season_file;
use barewood::store::session::{Mode, Session};
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

/// A key held down comes thirty times a second.
const KEY_REPEAT: Duration = Duration::from_millis(33);
/// Edits of each writer.
const EDITS: usize = 100;

/// The longest wait for the lock, where that is seen, and the longest edit as a whole.
type Longest = (Duration, Duration);

/// A board that stays open and saves edit after edit.
fn board(file: &Path, home: &Path, name: &str) -> Longest {
    let places = Places::under(&home.join(format!("state-{name}")));
    let mut session = Session::open(Arc::new(RealDisk), Some(places), file, Mode::Write).unwrap();
    let mut season = session.season().clone();
    let mut longest = Longest::default();
    for i in 0..EDITS {
        season.readings.push(Reading::Rain {
            date: season.dates.leaf_drop_expected,
            rain: "3 mm".parse().unwrap(),
            note: Some(format!("{name}-{i}-")),
        });
        let begun = Instant::now();
        let saved = session
            .save(&season)
            .unwrap_or_else(|e| panic!("{name} {i}: {e}"));
        longest.0 = longest.0.max(saved.waited);
        longest.1 = longest.1.max(begun.elapsed());
        if let Some(joined) = saved.joined {
            season = *joined.season;
        }
        // No hand is quicker than a key held down.
        std::thread::sleep(KEY_REPEAT);
    }
    longest
}

/// A command run again and again, as by hand, over a line or from cron.
fn commands(home: &Home, name: &str) -> Longest {
    let mut longest = Longest::default();
    for i in 0..EDITS {
        let note = format!("{name}-{i}-");
        let begun = Instant::now();
        home.run(&[
            "read",
            "rain",
            "3 mm",
            "--date",
            "2015-11-21",
            "--note",
            &note,
            "--season",
            "season.toml",
            "--on",
            "2015-12-01",
        ])
        .fine();
        longest.1 = longest.1.max(begun.elapsed());
    }
    longest
}

#[test]
fn four_writers_lose_nothing_and_wait_for_nobody_long() {
    let (home, file) = Home::started();
    let waits: Vec<(&str, Longest)> = std::thread::scope(|scope| {
        let boards = ["board", "second"].map(|name| {
            let (file, home) = (&file, home.path());
            (name, scope.spawn(move || board(file, home, name)))
        });
        let others = ["command", "cron"].map(|name| {
            let home = &home;
            (name, scope.spawn(move || commands(home, name)))
        });
        let all = boards.into_iter().chain(others);
        all.map(|(name, thread)| (name, thread.join().unwrap()))
            .collect()
    });
    println!("longest wait for the lock, longest edit: {waits:?}");
    let text = std::fs::read_to_string(&file).unwrap();
    season_file::read(&text, "season.toml").unwrap();
    for (name, longest) in waits {
        for i in 0..EDITS {
            let count = text.matches(&format!("{name}-{i}-")).count();
            assert_eq!(count, 1, "{name} {i}");
        }
        // Who has to wait longer is refused, and nobody was. The edit as a whole has the start of a
        // program and all of its work in it, beside three others on the same machine.
        let (waited, whole) = longest;
        assert!(
            waited < barewood::store::lock::PATIENCE,
            "{name}: {waited:?}"
        );
        assert!(whole < Duration::from_secs(15), "{name}: {whole:?}");
    }
}

#[test]
fn an_open_board_keeps_no_command_out() {
    let (home, file) = Home::started();
    let places = Places::under(&home.path().join("x"));
    let _board = Session::open(Arc::new(RealDisk), Some(places), &file, Mode::Write).unwrap();
    home.run(&[
        "move",
        "first-copper",
        "+1",
        "--season",
        "season.toml",
        "--on",
        "2015-11-25",
    ])
    .fine();
    home.run(&[
        "review",
        "--done",
        "--season",
        "season.toml",
        "--on",
        "2015-11-25",
    ])
    .fine();
}

#[test]
fn commands_speak_of_kept_work_until_its_owner_decides() {
    let (home, file) = Home::started();
    let state = home.path().join(".local/state/barewood");
    let places = Places {
        state,
        ..Places::under(home.path())
    };
    let mut board = Session::open(Arc::new(RealDisk), Some(places), &file, Mode::Write).unwrap();
    let mut season = board.season().clone();
    season.tasks[0].notes = Some("kept".to_owned());
    board.keep_aside(&season).unwrap();
    drop(board);
    let at = ["--season", "season.toml", "--on", "2015-11-25"];
    let run = |args: &[&str]| home.run(&[args, &at[..]].concat());
    for _ in 0..2 {
        let said = run(&["review", "--done"]).fine();
        assert!(
            said.err.contains("was not saved and is kept"),
            "{}",
            said.err
        );
        assert!(!said.out.contains("not saved"));
    }
    let listed = run(&["versions"]).fine();
    let name = listed
        .out
        .split_whitespace()
        .find(|word| word.starts_with("kept-"))
        .unwrap()
        .to_owned();
    let shown = run(&["versions", "show", "now", &name]).fine();
    assert!(shown.out.contains("notes"), "{}", shown.out);
    let joined = run(&["merge", &name]).fine();
    assert!(joined.out.contains("notes"), "{}", joined.out);
    assert!(std::fs::read_to_string(&file).unwrap().contains("kept"));
    assert_eq!(run(&["due"]).err, "");
}

#[test]
fn the_same_spray_twice_stays_on_record_and_is_counted_once() {
    let (home, file) = Home::started();
    let places = Places::under(&home.path().join("x"));
    let open =
        || Session::open(Arc::new(RealDisk), Some(places.clone()), &file, Mode::Write).unwrap();
    let (mut one, mut other) = (open(), open());
    let day: chrono::NaiveDate = "2015-11-26".parse().unwrap();
    let finished = |session: &Session, who: &str| {
        use barewood::domain::records;
        let season = session.season();
        let task = season
            .tasks
            .iter()
            .find(|t| t.id.as_str() == "first-copper")
            .unwrap();
        let amounts = records::amounts(season, task, None, day);
        let now = day.and_hms_opt(12, 0, 0).unwrap();
        let mut record = records::prefill(
            season,
            task,
            day,
            now,
            &amounts,
            &records::Conditions::default(),
        );
        record.who = Some(who.to_owned());
        records::finish(season, record, day).unwrap().season
    };
    let (mine, yours) = (finished(&one, "A. Grower"), finished(&other, "B. Grower"));
    one.save(&mine).unwrap();
    let saved = other.save(&yours).unwrap();
    let season = saved.joined.unwrap().season;
    assert_eq!(season.records.len(), 2);
    let once = barewood::domain::records::totals(&mine);
    assert_eq!(barewood::domain::records::totals(&season), once);
    assert_eq!(barewood::domain::records::integrity(&season, &[]), []);
    let said = home.run(&[
        "check",
        "--records",
        "--season",
        "season.toml",
        "--on",
        "2015-11-27",
    ]);
    assert!(said.out.contains("tells the same spray as"), "{}", said.out);
    // The head noted before the second record is still proved by the chain.
    let head = barewood::domain::records::head_of(&mine).unwrap();
    let against = |head: &str| {
        let at = ["--season", "season.toml", "--on", "2015-11-27"];
        home.run(&[&["check", "--records", "--against", head][..], &at[..]].concat())
    };
    assert_eq!(against(&head).code, 0, "{}", against(&head).out);
    assert_eq!(against("1-00ff").code, 1);
    assert_eq!(against("nonsense").code, 2);
    let review = home.run(&["review", "--season", "season.toml", "--on", "2015-11-27"]);
    let now = barewood::domain::records::short_head_of(&season).unwrap();
    assert!(review.out.contains(&now), "{}", review.out);
    assert_eq!(against(&now).code, 0, "as the review has it");
    assert_eq!(against(&now.replace("2-", "1-")).code, 1);
}
