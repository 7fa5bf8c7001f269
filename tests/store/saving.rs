//! Every call of a save made to fail in every way: afterwards the file is all
//! of the old or all of the new season, and the work is somewhere.

use crate::faulty::{ERRORS, Fault, FaultyDisk};
use crate::problems::GOOD;
use barewood::domain::season::Season;
use barewood::store::disk::RealDisk;
use barewood::store::places::Places;
use barewood::store::save::Step;
use barewood::store::season_file::read;
use barewood::store::session::{Mode, OpenError, Outside, SaveError, Session};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, SystemTime};
use tempfile::TempDir;

pub struct Yard {
    pub folder: TempDir,
    pub file: PathBuf,
    pub disk: FaultyDisk,
}

impl Yard {
    pub fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("s.toml");
        fs::write(&file, GOOD).unwrap();
        Self {
            folder,
            file,
            disk: FaultyDisk::default(),
        }
    }

    pub fn places(&self) -> Places {
        Places::under(&self.folder.path().join("home"))
    }

    pub fn open(&self, mode: Mode) -> Result<Session, OpenError> {
        Session::open(
            Arc::new(self.disk.clone()),
            Some(self.places()),
            &self.file,
            mode,
        )
    }

    pub fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(self.folder.path())
            .unwrap()
            .map(|e| e.unwrap().file_name().into_string().unwrap())
            .filter(|n| n != "home")
            .collect();
        names.sort();
        names
    }
}

fn moved(season: &Season, day: &str) -> Season {
    let mut new = season.clone();
    new.tasks[0].date = day.parse().unwrap();
    new
}

fn on_disk(file: &Path) -> Season {
    read(&fs::read_to_string(file).unwrap(), "x")
        .unwrap()
        .season
}

#[test]
fn a_save_writes_syncs_reads_back_keeps_the_old_renames_and_syncs_the_folder() {
    let yard = Yard::new();
    let mut session = yard.open(Mode::Write).unwrap();
    let new = moved(session.season(), "2027-03-15");
    yard.disk.heal();
    let saved = session.save(&new).unwrap();
    let log = yard.disk.log();
    let place = |name: &str| log.iter().position(|c| c == name).unwrap();
    let last = |name: &str| log.iter().rposition(|c| c == name).unwrap();
    assert!(place("create") < place("write"), "{log:?}");
    assert!(place("write") < place("sync"), "{log:?}");
    assert!(place("sync") < place("link"), "{log:?}");
    assert!(place("link") < place("rename"), "{log:?}");
    assert!(place("rename") < last("sync_folder"), "{log:?}");
    let read_back = log
        .iter()
        .skip(place("sync"))
        .position(|c| c == "read")
        .unwrap();
    assert!(place("sync") + read_back < place("rename"), "{log:?}");
    assert_eq!(on_disk(&yard.file), new);
    assert_eq!(fs::read_to_string(saved.backup.unwrap()).unwrap(), GOOD);
    assert!(!session.save(&new).unwrap().written);
    drop(session);
    assert_eq!(yard.names(), ["s.toml", "s.toml.backups"]);
}

/// One save with one fault; then the machine is well again.
fn with_fault(n: usize, fault: Fault) -> bool {
    let yard = Yard::new();
    let mut session = yard.open(Mode::Write).unwrap();
    let old = session.season().clone();
    let new = moved(&old, "2027-03-15");
    yard.disk.fail_at(n, fault);
    let result = session.save(&new);
    let reached = yard.disk.calls() >= n;
    let now = on_disk(&yard.file);
    assert!(now == old || now == new, "torn at {n} {fault:?}");
    match &result {
        Ok(saved) => {
            assert_eq!(now, new, "said saved at {n} {fault:?}");
            assert_ne!(saved.backup.is_some(), saved.no_backup.is_some());
        }
        Err(SaveError::Failed { failed, recovery }) => {
            // The cause is in the message, and whether the file has the change.
            let (words, state) = match failed.step {
                Step::SyncFolder => ("has the change now", &new),
                _ => ("could not save", &old),
            };
            assert!(failed.to_string().contains(words), "{failed}");
            assert_eq!(now, *state, "{failed}");
            if let Some(path) = recovery {
                assert!(fs::read_to_string(path).unwrap().contains("2027-03-15"));
            } else {
                assert!(
                    matches!(fault, Fault::FromNow(_) | Fault::Kill),
                    "{n} {fault:?}"
                );
            }
        }
        Err(SaveError::Busy(_) | SaveError::ChangedOnDisk(_)) => {}
        Err(other) => panic!("{n} {fault:?}: {other}"),
    }
    if fault == Fault::Kill {
        // The process is gone: no clean-up, a new one opens.
        std::mem::forget(session);
        yard.disk.heal();
        yard.disk.end_all_processes();
        let session = yard.open(Mode::Write).unwrap();
        assert!(*session.season() == old || *session.season() == new);
        if result.is_ok() {
            assert_eq!(*session.season(), new);
        }
        drop(session);
        let left: Vec<String> = yard
            .names()
            .into_iter()
            .filter(|n| n.contains(".tmp") || n.ends_with(".lock"))
            .collect();
        assert_eq!(left, Vec::<String>::new(), "{n}");
        return reached;
    }
    // The same session goes on: what is in memory is saved at the next try.
    yard.disk.heal();
    match session.save(&new) {
        Ok(_) => {}
        Err(SaveError::ChangedOnDisk(outside)) => panic!("{n} {fault:?}: {outside}"),
        Err(other) => panic!("{n} {fault:?}: {other}"),
    }
    assert_eq!(on_disk(&yard.file), new);
    assert!(session.aside().is_none());
    assert!(
        !yard
            .places()
            .state
            .join("recovery")
            .read_dir()
            .is_ok_and(|mut d| d.next().is_some())
    );
    drop(session);
    let mut left = yard.names();
    left.retain(|name| name != "s.toml.backups");
    assert_eq!(left, ["s.toml"], "{n} {fault:?}");
    reached
}

#[test]
fn every_call_of_a_save_fails_in_every_way_and_nothing_is_torn() {
    let mut faults: Vec<Fault> = ERRORS
        .iter()
        .flat_map(|e| [Fault::Once(*e), Fault::FromNow(*e)])
        .collect();
    faults.extend([Fault::Short, Fault::Lie, Fault::Kill]);
    let mut runs = 0;
    for fault in faults {
        let mut n = 1;
        while with_fault(n, fault) {
            n += 1;
            runs += 1;
            assert!(n < 200, "a save of so many calls?");
        }
    }
    println!("{runs} faults");
    assert!(runs > 200);
}

#[test]
fn opening_fails_cleanly_at_every_call() {
    for error in ERRORS {
        for n in 1..60 {
            let yard = Yard::new();
            yard.disk.fail_at(n, Fault::Once(error));
            let opened = yard.open(Mode::Write);
            yard.disk.heal();
            drop(opened);
            assert_eq!(fs::read_to_string(&yard.file).unwrap(), GOOD);
            assert!(
                !yard.names().contains(&"s.toml.lock".to_owned()),
                "{n}: {:?}",
                yard.names()
            );
        }
    }
}

#[test]
fn dying_while_opening_leaves_nothing_in_the_way() {
    for n in 1..60 {
        let yard = Yard::new();
        yard.disk.fail_at(n, Fault::Kill);
        std::mem::forget(yard.open(Mode::Write));
        yard.disk.heal();
        yard.disk.end_all_processes();
        let session = yard.open(Mode::Write).unwrap();
        drop(session);
        assert_eq!(yard.names(), ["s.toml"], "{n}");
    }
}

#[test]
fn after_a_failed_sync_the_file_is_made_anew() {
    let yard = Yard::new();
    let mut session = yard.open(Mode::Write).unwrap();
    let new = moved(session.season(), "2027-03-15");
    yard.disk.heal();
    session.save(&new).unwrap();
    let sync = yard.disk.log().iter().position(|c| c == "sync").unwrap() + 1;
    let newer = moved(&new, "2027-03-16");
    yard.disk.fail_at(sync, Fault::Once(5));
    assert!(matches!(
        session.save(&newer),
        Err(SaveError::Failed { .. })
    ));
    let log = yard.disk.log();
    let failed = log.iter().position(|c| c == "sync").unwrap();
    // The next sync is of another file: a create stands between.
    let next = log
        .iter()
        .skip(failed + 1)
        .position(|c| c == "sync")
        .unwrap();
    assert!(
        log[failed + 1..=failed + next].contains(&"create".to_owned()),
        "{log:?}"
    );
    assert_eq!(on_disk(&yard.file), new);
}

#[test]
fn unsaved_work_is_kept_until_its_owner_decides_whatever_is_saved_meanwhile() {
    let yard = Yard::new();
    let mut session = yard.open(Mode::Write).unwrap();
    let new = moved(session.season(), "2027-03-15");
    session.keep_aside(&new).unwrap();
    drop(session);
    let mut session = yard.open(Mode::Write).unwrap();
    let kept = session.recovered()[0].clone();
    assert_eq!(read(&kept.text, "x").unwrap().season, new);
    assert_eq!(kept.base.as_deref(), Some(GOOD));
    // Others save, another piece of work is kept: both stay.
    let mut other = session.season().clone();
    other.orchard.guard_days = 9;
    session.save(&other).unwrap();
    session.keep_aside(&moved(&other, "2027-03-16")).unwrap();
    drop(session);
    let mut session = yard.open(Mode::Write).unwrap();
    assert_eq!(session.recovered().len(), 2);
    let joined = session.join_recovered(&kept, session.season()).unwrap();
    assert_eq!(joined.collisions, []);
    assert_eq!(joined.season.orchard.guard_days, 9);
    assert_eq!(joined.season.tasks[0].date, new.tasks[0].date);
    session.discard_recovered(&kept.path);
    drop(session);
    assert_eq!(yard.open(Mode::Write).unwrap().recovered().len(), 1);
}

#[test]
fn a_change_outside_is_noticed_joined_and_never_overwritten() {
    let yard = Yard::new();
    let mut session = yard.open(Mode::Write).unwrap();
    let ours = moved(session.season(), "2027-03-15");
    assert_eq!(session.changed_outside(&ours).unwrap(), None);
    // Touched without a change: no alarm.
    let later = SystemTime::now() + Duration::from_secs(5);
    fs::File::options()
        .write(true)
        .open(&yard.file)
        .unwrap()
        .set_modified(later)
        .unwrap();
    assert_eq!(session.changed_outside(&ours).unwrap(), None);
    let edited = GOOD.replace("trees = 12", "trees = 13 # counted");
    fs::write(&yard.file, &edited).unwrap();
    assert!(matches!(
        session.changed_outside(&ours).unwrap(),
        Some(Outside::Changed { .. })
    ));
    let saved = session.save(&ours).unwrap();
    assert_eq!(
        fs::read_to_string(&yard.file).unwrap(),
        edited.replace("2027-03-10", "2027-03-15")
    );
    assert_eq!(fs::read_to_string(saved.backup.unwrap()).unwrap(), edited);
    assert_eq!(saved.joined.unwrap().season.blocks[0].trees, 13);
    // Both changed one thing: nothing is written.
    let edited = fs::read_to_string(&yard.file)
        .unwrap()
        .replace("2027-03-15", "2027-03-20");
    fs::write(&yard.file, &edited).unwrap();
    let ours = moved(session.season(), "2027-03-16");
    let Err(SaveError::ChangedOnDisk(outside)) = session.save(&ours) else {
        panic!("overwritten")
    };
    assert_eq!(fs::read_to_string(&yard.file).unwrap(), edited);
    assert!(
        outside
            .to_string()
            .contains("here 2027-03-16, there 2027-03-20"),
        "{outside}"
    );
}

/// Any call of a save that joins may fail, the last sync among them, when the file with the edits
/// of both has taken its place already: what somebody else wrote is still there after the next
/// save, and the board is told of it.
#[test]
fn whatever_call_of_a_joining_save_fails_the_next_one_keeps_the_edits_of_both() {
    let mut placed = 0;
    for n in 1..60 {
        let yard = Yard::new();
        let mut session = yard.open(Mode::Write).unwrap();
        let ours = moved(session.season(), "2027-03-15");
        fs::write(&yard.file, GOOD.replace("trees = 12", "trees = 13")).unwrap();
        yard.disk.fail_at(n, Fault::Once(5));
        if let Ok(saved) = session.save(&ours) {
            assert_eq!(saved.joined.unwrap().season.blocks[0].trees, 13);
            continue;
        }
        placed += usize::from(on_disk(&yard.file).tasks == ours.tasks);
        yard.disk.heal();
        let mut more = ours.clone();
        more.tasks[0].notes = Some("more".to_owned());
        let saved = session.save(&more).unwrap();
        let now = on_disk(&yard.file);
        assert_eq!(now.blocks[0].trees, 13, "call {n}");
        assert_eq!(now.tasks, more.tasks, "call {n}");
        let joined = saved.joined.unwrap();
        assert_eq!(*joined.season, now, "call {n}");
        assert!(joined.words.contains("trees"), "{}", joined.words);
        assert!(!joined.words.contains("date"), "{}", joined.words);
        assert_eq!(session.recovered().len(), 0);
    }
    assert!(placed > 0, "the last sync never failed");
}

#[test]
fn a_save_keeps_the_attributes_of_the_file() {
    let yard = Yard::new();
    let named = std::process::Command::new("setfattr")
        .args(["-n", "user.note", "-v", "mine"])
        .arg(&yard.file)
        .status();
    if !named.is_ok_and(|s| s.success()) {
        // Without the tool the library is asked itself.
        let set = rustix::fs::setxattr(
            &yard.file,
            "user.note",
            b"mine",
            rustix::fs::XattrFlags::empty(),
        );
        if set.is_err() {
            println!("SKIPPED: this file system keeps no attributes");
            return;
        }
    }
    let mut session = Session::open(Arc::new(RealDisk), None, &yard.file, Mode::Write).unwrap();
    let new = moved(session.season(), "2027-03-15");
    session.save(&new).unwrap();
    let mut value = [0; 16];
    let length = rustix::fs::getxattr(&yard.file, "user.note", &mut value[..]).unwrap();
    assert_eq!(&value[..length], b"mine");
}

/// As for somebody who may not give files away, and is in the file's group or not.
#[test]
fn a_save_keeps_the_group_of_somebody_elses_file_or_is_refused() {
    let yard = Yard::new();
    let mut session = yard.open(Mode::Write).unwrap();
    let old = session.season().clone();
    yard.disk.heal();
    session.save(&moved(&old, "2027-03-15")).unwrap();
    let owner = yard.disk.log().iter().position(|c| c == "owner").unwrap() + 1;
    // Its owner cannot be kept, its group can.
    let new = moved(&old, "2027-03-16");
    yard.disk.fail_at(owner, Fault::Once(13));
    session.save(&new).unwrap();
    let asked = yard.disk.log().iter().filter(|c| *c == "owner").count();
    assert_eq!(asked, 2, "{:?}", yard.disk.log());
    // Neither can.
    yard.disk.fail_at(owner, Fault::FromNow(13));
    let refused = session.save(&moved(&old, "2027-03-17")).unwrap_err();
    let words = refused.to_string();
    assert!(words.contains("a group that you are not in"), "{words}");
    assert_eq!(on_disk(&yard.file), new);
}

#[test]
fn a_version_broken_outside_is_kept_as_a_backup_when_the_owner_goes_on() {
    let yard = Yard::new();
    let mut session = yard.open(Mode::Write).unwrap();
    let ours = moved(session.season(), "2027-03-15");
    fs::write(&yard.file, "format = 1\n[orchard").unwrap();
    let Err(SaveError::ChangedOnDisk(outside)) = session.save(&ours) else {
        panic!()
    };
    assert!(matches!(*outside, Outside::Broken { .. }));
    session.adopt(*outside);
    let saved = session.save(&ours).unwrap();
    assert_eq!(
        fs::read_to_string(saved.backup.unwrap()).unwrap(),
        "format = 1\n[orchard"
    );
    assert_eq!(on_disk(&yard.file), ours);
}

#[test]
fn a_file_that_is_gone_is_told_and_made_again_only_on_word() {
    let yard = Yard::new();
    let mut session = yard.open(Mode::Write).unwrap();
    let ours = moved(session.season(), "2027-03-15");
    fs::remove_file(&yard.file).unwrap();
    assert_eq!(session.changed_outside(&ours).unwrap(), Some(Outside::Gone));
    let Err(SaveError::ChangedOnDisk(outside)) = session.save(&ours) else {
        panic!()
    };
    assert!(!yard.file.exists());
    session.adopt(*outside);
    session.save(&ours).unwrap();
    assert_eq!(on_disk(&yard.file), ours);
}

#[test]
fn many_saves_keep_the_last_ten_and_one_of_every_five_minutes() {
    let yard = Yard::new();
    let mut session = yard.open(Mode::Write).unwrap();
    let start = SystemTime::UNIX_EPOCH + Duration::from_secs(1_800_000_000);
    for i in 0..40 {
        yard.disk.set_now(start + Duration::from_secs(60 * i));
        let new = moved(session.season(), &format!("2027-03-{:02}", 1 + i % 28));
        session.save(&new).unwrap();
    }
    assert_eq!(session.backups().len(), 10 + 6);
    assert!(session.backups().is_sorted_by(|a, b| a >= b));
    let first = session.backups().pop().unwrap();
    assert_eq!(fs::read_to_string(first.path).unwrap(), GOOD);
}

#[test]
fn a_real_disk_works_too() {
    let yard = Yard::new();
    let mut session = Session::open(Arc::new(RealDisk), None, &yard.file, Mode::Write).unwrap();
    let new = moved(session.season(), "2027-03-15");
    session.save(&new).unwrap();
    assert_eq!(on_disk(&yard.file), new);
}
