//! Small disks made for a test: full, out of inodes, read-only, immutable.

use crate::orchard::{FILE, Orchard, can, is_root, skipped, words};
use std::fs;
use std::os::unix::fs::MetadataExt as _;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::Command;
use tempfile::TempDir;

/// A disk that is taken away again whatever happens.
pub struct Disk {
    pub folder: PathBuf,
    _holder: TempDir,
}

impl Disk {
    fn mounted(arguments: &[&str]) -> Option<Self> {
        if !is_root() {
            return None;
        }
        let holder = TempDir::new().unwrap();
        let folder = holder.path().join("disk");
        fs::create_dir(&folder).unwrap();
        let at = folder.display().to_string();
        let mut all = arguments.to_vec();
        all.push(&at);
        can("mount", &all).then_some(Self {
            folder,
            _holder: holder,
        })
    }

    /// A disk in memory.
    pub fn in_memory(options: &str) -> Option<Self> {
        Self::mounted(&["-t", "tmpfs", "-o", options, "none"])
    }

    /// A file system in a file.
    pub fn in_file(image: &Path) -> Option<Self> {
        Self::mounted(&["-o", "loop", &image.display().to_string()])
    }

    /// Makes an empty file system of some MiB in a file.
    pub fn image(file: &Path, mebibytes: u64) -> bool {
        fs::File::create(file)
            .and_then(|f| f.set_len(mebibytes << 20))
            .is_ok()
            && can("mkfs.ext4", &["-q", "-F", &file.display().to_string()])
    }

    fn again(&self, options: &str) -> bool {
        let at = self.folder.display().to_string();
        can("mount", &["-o", &format!("remount,{options}"), &at])
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        // Lazily, so that a test that fails with a file open leaves no disk behind either.
        let _ = Command::new("umount").arg("-l").arg(&self.folder).output();
    }
}

/// A save on this disk fails, says why, and leaves the old season alone.
fn refuses(orchard: &Orchard, why: &str) {
    let old = orchard.text();
    let output = orchard.moved(&[], 5);
    let said = words(&output);
    assert_eq!(output.status.code(), Some(3), "{said}");
    assert!(said.contains(why), "'{why}' in: {said}");
    assert_eq!(orchard.text(), old);
    assert!(orchard.left_over().is_empty(), "{:?}", orchard.left_over());
    orchard.copper();
}

/// Fills what is left of a disk.
fn fill(folder: &Path) {
    let file = folder.join("filler");
    let mut size = 1 << 20;
    let mut filler = fs::File::create(file).unwrap();
    while size > 0 {
        use std::io::Write;
        if filler.write_all(&vec![0; size]).is_err() {
            size /= 2;
        }
    }
}

#[test]
fn a_full_disk_in_memory_keeps_the_old_season() {
    let Some(disk) = Disk::in_memory("size=64k") else {
        return skipped("full disk in memory", "no root or no tmpfs");
    };
    let orchard = Orchard::begin(&disk.folder);
    fill(&disk.folder);
    refuses(&orchard, "No space left");
    fs::remove_file(disk.folder.join("filler")).unwrap();
    assert!(orchard.moved(&[], 6).status.success());
    assert_eq!(orchard.copper(), "2027-01-06");
}

#[test]
fn a_full_disk_in_a_file_keeps_the_old_season() {
    let holder = TempDir::new().unwrap();
    let image = holder.path().join("image");
    if !is_root() || !Disk::image(&image, 2) {
        return skipped("full disk in a file", "no root or no mkfs.ext4");
    }
    let Some(disk) = Disk::in_file(&image) else {
        return skipped("full disk in a file", "no loop device");
    };
    let orchard = Orchard::begin(&disk.folder);
    fill(&disk.folder);
    refuses(&orchard, "No space left");
    fs::remove_file(disk.folder.join("filler")).unwrap();
    assert!(orchard.moved(&[], 6).status.success());
}

#[test]
fn a_disk_without_inodes_keeps_the_old_season() {
    let Some(disk) = Disk::in_memory("size=1m,nr_inodes=4") else {
        return skipped("no inodes", "no root or no tmpfs");
    };
    let orchard = Orchard::begin(&disk.folder);
    for n in 0..4 {
        let _ = fs::write(disk.folder.join(format!("filler-{n}")), "");
    }
    refuses(&orchard, "No space left");
}

#[test]
fn a_disk_that_becomes_read_only_is_told() {
    let holder = TempDir::new().unwrap();
    let image = holder.path().join("image");
    if !is_root() || !Disk::image(&image, 4) {
        return skipped("read-only disk", "no root or no mkfs.ext4");
    }
    let Some(disk) = Disk::in_file(&image) else {
        return skipped("read-only disk", "no loop device");
    };
    let orchard = Orchard::begin(&disk.folder);
    assert!(disk.again("ro"));
    refuses(&orchard, "read-only");
    assert!(disk.again("rw"));
    assert!(orchard.moved(&[], 6).status.success());
}

#[test]
fn an_immutable_file_is_told() {
    let holder = TempDir::new().unwrap();
    let image = holder.path().join("image");
    if !is_root() || !Disk::image(&image, 4) {
        return skipped("immutable file", "no root or no mkfs.ext4");
    }
    let Some(disk) = Disk::in_file(&image) else {
        return skipped("immutable file", "no loop device");
    };
    let orchard = Orchard::begin(&disk.folder);
    let file = orchard.file().display().to_string();
    if !can("chattr", &["+i", &file]) {
        return skipped("immutable file", "chattr does not run here");
    }
    refuses(&orchard, "read-only");
    assert!(can("chattr", &["-i", &file]));
    assert!(orchard.moved(&[], 6).status.success());
}

#[test]
fn a_folder_of_somebody_elses_is_told() {
    let nobody = [
        "setpriv",
        "--reuid=65534",
        "--regid=65534",
        "--clear-groups",
    ];
    if !is_root() || !can(nobody[0], &["--reuid=65534", "--clear-groups", "true"]) {
        return skipped("somebody else's folder", "no root or no setpriv");
    }
    let holder = TempDir::new().unwrap();
    fs::set_permissions(holder.path(), fs::Permissions::from_mode(0o755)).unwrap();
    // Nobody may not look into the folder the program was built in.
    let program = holder.path().join("program");
    fs::copy(crate::orchard::PROGRAM, &program).unwrap();
    let orchard = Orchard::begin(holder.path());
    let old = orchard.text();
    let output = Command::new(nobody[0])
        .args(&nobody[1..])
        .arg(&program)
        .args([
            "move",
            "first-copper",
            "2027-01-05",
            "--on",
            "2026-11-25",
            "--season",
        ])
        .arg(holder.path().join(FILE))
        .env_clear()
        .env("HOME", holder.path())
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(3), "{}", words(&output));
    assert!(words(&output).contains("read-only"), "{}", words(&output));
    assert_eq!(orchard.text(), old);
}

#[test]
fn a_shared_file_keeps_its_group_or_the_save_is_refused() {
    // Somebody else, in the group that the file is shared with, or in another one.
    let as_group = |group: &'static str| ["setpriv", "--reuid=65534", "--regid=65534", group];
    let member = as_group("--groups=100");
    if !is_root() || !can(member[0], &["--reuid=65534", "--groups=100", "true"]) {
        return skipped("a shared file", "no root or no setpriv");
    }
    let holder = TempDir::new().unwrap();
    fs::set_permissions(holder.path(), fs::Permissions::from_mode(0o777)).unwrap();
    let program = holder.path().join("program");
    fs::copy(crate::orchard::PROGRAM, &program).unwrap();
    let orchard = Orchard::begin(holder.path());
    let file = holder.path().join(FILE);
    let share = |group: u32| {
        std::os::unix::fs::chown(&file, Some(0), Some(group)).unwrap();
        fs::set_permissions(&file, fs::Permissions::from_mode(0o666)).unwrap();
    };
    let moved = |who: &[&str], day: &str| {
        Command::new(who[0])
            .args(&who[1..])
            .arg(&program)
            .args([
                "move",
                "first-copper",
                day,
                "--on",
                "2026-11-25",
                "--season",
            ])
            .arg(&file)
            .env_clear()
            .env("HOME", holder.path())
            .output()
            .unwrap()
    };
    share(100);
    let output = moved(&member, "2027-01-05");
    assert!(output.status.success(), "{}", words(&output));
    let meta = fs::metadata(&file).unwrap();
    assert_eq!((meta.gid(), meta.mode() & 0o777), (100, 0o666));
    // Whoever is not in the group cannot keep it for the others.
    share(101);
    let old = orchard.text();
    let output = moved(&member, "2027-01-06");
    assert_eq!(output.status.code(), Some(3), "{}", words(&output));
    assert!(words(&output).contains("group"), "{}", words(&output));
    assert_eq!(orchard.text(), old);
}
