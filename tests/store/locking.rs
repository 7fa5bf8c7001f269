//! Two sessions, links, permissions, odd files: what the second one is told
//! and what stays as it was.

use crate::problems::GOOD;
use crate::saving::Yard;
use barewood::store::disk::RealDisk;
use barewood::store::lock::Standing;
use barewood::store::places::{PathError, Places};
use barewood::store::session::{Mode, OpenError, ReadOnly, SaveError, Session};
use std::fs;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::path::Path;
use std::sync::Arc;

#[test]
fn the_second_session_is_told_and_may_look_or_take_over() {
    let yard = Yard::new();
    let mut first = yard.open(Mode::Write).unwrap();
    let Err(OpenError::Locked(Standing::Running(holder))) = yard.open(Mode::Write) else {
        panic!("two writers")
    };
    assert_eq!(holder.pid, std::process::id());
    let mut reader = yard.open(Mode::ReadOnly).unwrap();
    assert_eq!(reader.read_only(), Some(&ReadOnly::Asked));
    let season = reader.season().clone();
    assert!(matches!(reader.save(&season), Err(SaveError::ReadOnly(_))));
    drop(reader);
    let second = yard.open(Mode::TakeOver).unwrap();
    assert!(matches!(second.was_locked(), Some(Standing::Running(_))));
    // The first one knows that it lost it, and does not take it away.
    assert!(matches!(
        first.save(&season),
        Err(SaveError::LostLock(Some(_)))
    ));
    drop(first);
    assert!(matches!(yard.open(Mode::Write), Err(OpenError::Locked(_))));
    drop(second);
    assert!(yard.open(Mode::Write).is_ok());
    assert_eq!(yard.names(), ["s.toml"]);
}

fn lock_text(pid: u32, started: u64, host: &str) -> String {
    format!(
        "pid = {pid}\nstarted = {started}\nhost = \"{host}\"\nsince = \"2026-11-25T06:00:00Z\"\nsession = 1\n"
    )
}

#[test]
fn a_lock_left_behind_is_replaced_any_other_is_explained() {
    let yard = Yard::new();
    let lock = yard.folder.path().join("s.toml.lock");
    let host = rustix_host();
    // A process id that cannot run: beyond the kernel's limit of 2^22.
    fs::write(&lock, lock_text(4_194_304, 1, &host)).unwrap();
    let session = yard.open(Mode::Write).unwrap();
    assert!(matches!(session.was_locked(), Some(Standing::Stale(_))));
    drop(session);
    // This process's id, but a process that started at another time.
    fs::write(&lock, lock_text(std::process::id(), 1, &host)).unwrap();
    assert!(yard.open(Mode::Write).is_ok());
    fs::write(&lock, lock_text(1, 1, "barn\\u001b[2J")).unwrap();
    let Err(OpenError::Locked(standing)) = yard.open(Mode::Write) else {
        panic!()
    };
    let words = standing.to_string();
    assert!(
        words.contains("another machine, barn") && words.contains("2026-11-25"),
        "{words}"
    );
    assert!(!words.contains('\u{1b}'));
    for odd in ["", "pid = -1", "\u{0}\u{1}"] {
        fs::write(&lock, odd).unwrap();
        assert!(matches!(
            yard.open(Mode::Write),
            Err(OpenError::Locked(Standing::Unclear))
        ));
    }
    assert!(yard.open(Mode::TakeOver).is_ok());
}

#[test]
fn a_lock_cut_short_by_a_power_cut_is_replaced_once_it_is_old() {
    let yard = Yard::new();
    let lock = yard.folder.path().join("s.toml.lock");
    let before = std::time::SystemTime::now() - std::time::Duration::from_secs(60);
    let head = "# This season is open. The file goes away when it is closed.\npid = 7";
    for cut in ["", "\0\0\0\0", "# This season is open.", head] {
        fs::write(&lock, cut).unwrap();
        // It may be being written just now.
        assert!(matches!(
            yard.open(Mode::Write),
            Err(OpenError::Locked(Standing::Unclear))
        ));
        let file = fs::File::options().write(true).open(&lock).unwrap();
        file.set_modified(before).unwrap();
        let session = yard.open(Mode::Write).unwrap();
        assert_eq!(session.was_locked(), Some(&Standing::CutShort), "{cut:?}");
    }
    // Words that are not ours stay somebody's, however old.
    fs::write(&lock, "mine").unwrap();
    let file = fs::File::options().write(true).open(&lock).unwrap();
    file.set_modified(before).unwrap();
    assert!(yard.open(Mode::Write).is_err());
}

fn rustix_host() -> String {
    use barewood::store::disk::Disk;
    RealDisk.host()
}

#[test]
fn a_link_stays_a_link_and_the_file_keeps_its_mode() {
    let yard = Yard::new();
    let inner = yard.folder.path().join("inner");
    fs::create_dir(&inner).unwrap();
    let real = inner.join("real.toml");
    fs::rename(&yard.file, &real).unwrap();
    symlink("inner/real.toml", &yard.file).unwrap();
    fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).unwrap();
    let mut session = yard.open(Mode::Write).unwrap();
    let mut new = session.season().clone();
    new.orchard.guard_days = 9;
    session.save(&new).unwrap();
    assert!(fs::symlink_metadata(&yard.file).unwrap().is_symlink());
    assert_eq!(
        fs::metadata(&real).unwrap().permissions().mode() & 0o777,
        0o640
    );
    assert!(
        fs::read_to_string(&real)
            .unwrap()
            .contains("guard_days = 9")
    );
    let backups = fs::metadata(inner.join("real.toml.backups")).unwrap();
    assert_eq!(backups.permissions().mode() & 0o777, 0o750);
    drop(session);
    assert_eq!(yard.names(), ["inner", "s.toml"]);
}

#[test]
fn what_is_no_plain_file_is_refused_at_once() {
    let yard = Yard::new();
    let told = |path: &Path| {
        let error = Session::open(Arc::new(RealDisk), None, path, Mode::Write).unwrap_err();
        error.to_string()
    };
    let at = |name: &str| yard.folder.path().join(name);
    assert!(told(&at("none.toml")).contains("barewood start"));
    assert!(told(yard.folder.path()).contains("it is a folder"));
    symlink("nowhere", at("dangling")).unwrap();
    assert!(told(&at("dangling")).contains("leads nowhere"));
    symlink("loop", at("loop")).unwrap();
    assert!(told(&at("loop")).contains("cannot open"));
    let made = std::process::Command::new("mkfifo")
        .arg(at("pipe"))
        .status();
    if made.is_ok_and(|s| s.success()) {
        assert!(told(&at("pipe")).contains("pipe, socket or device"));
    } else {
        println!("SKIPPED: no mkfifo here");
    }
    assert!(told(Path::new("/dev/null")).contains("pipe, socket or device"));
    fs::write(at("bad.toml"), "format = 1").unwrap();
    assert!(told(&at("bad.toml")).contains("bad.toml:1:1 orchard: missing"));
    assert!(!at("bad.toml.lock").exists());
}

#[test]
fn a_new_season_never_replaces_a_file() {
    let yard = Yard::new();
    let create = |name: &str, text: &str| {
        let path = yard.folder.path().join(name);
        Session::create(Arc::new(RealDisk), None, &path, text)
    };
    assert!(matches!(create("s.toml", GOOD), Err(OpenError::Exists(_))));
    assert!(matches!(
        create("x.toml", "format = 1"),
        Err(OpenError::Problems(_))
    ));
    let session = create("deep/er/new.toml", GOOD).unwrap();
    assert_eq!(session.season().blocks.len(), 1);
    drop(session);
    let folder = fs::metadata(yard.folder.path().join("deep")).unwrap();
    assert_eq!(folder.permissions().mode() & 0o777, 0o700);
    assert_eq!(yard.names(), ["deep", "s.toml"]);
}

#[test]
fn paths_in_a_season_stay_in_its_folder_without_its_owners_word() {
    let yard = Yard::new();
    let outer = tempfile::tempdir().unwrap();
    fs::write(outer.path().join("w.csv"), "").unwrap();
    symlink(outer.path(), yard.folder.path().join("away")).unwrap();
    let session = yard.open(Mode::ReadOnly).unwrap();
    let real = fs::canonicalize(yard.folder.path()).unwrap();
    assert_eq!(
        session.resolve("weather/w.csv").unwrap(),
        real.join("weather/w.csv")
    );
    assert_eq!(session.resolve("./w.csv").unwrap(), real.join("./w.csv"));
    for path in ["../w.csv", "a/../../w.csv", "/etc/passwd", "away/w.csv"] {
        assert!(
            matches!(session.resolve(path), Err(PathError::Outside(_))),
            "{path}"
        );
    }
    assert_eq!(session.resolve(""), Err(PathError::Empty));
    let allowed = format!("{GOOD}\n[weather]\nallow_outside = true\n");
    fs::write(&yard.file, allowed).unwrap();
    assert!(
        yard.open(Mode::ReadOnly)
            .unwrap()
            .resolve("../w.csv")
            .is_ok()
    );
}

#[test]
fn the_latest_season_is_the_one_written_last() {
    let yard = Yard::new();
    let places = Places::under(yard.folder.path());
    assert_eq!(places.latest_season(&RealDisk), None);
    fs::create_dir(&places.seasons).unwrap();
    for (name, second) in [
        ("a.toml", 100),
        ("b.toml", 300),
        ("c.toml", 200),
        ("d.csv", 400),
        (".e.toml", 500),
    ] {
        let file = fs::File::create(places.seasons.join(name)).unwrap();
        let time = std::time::SystemTime::UNIX_EPOCH + std::time::Duration::from_secs(second);
        file.set_modified(time).unwrap();
    }
    assert_eq!(
        places.latest_season(&RealDisk),
        Some(places.seasons.join("b.toml"))
    );
}
