//! A power cut: what the disk holds at the moment the program says that it has saved.
//!
//! The file system lives in a file; copied while it is mounted, the copy holds what had reached
//! the disk, and mounting it replays the journal as after a crash.

use crate::disks::Disk;
use crate::orchard::{FILE, Orchard, is_root, skipped, words};
use std::fs;
use std::path::Path;
use std::time::Duration;
use tempfile::TempDir;

/// What a disk would hold had the power gone now.
fn after_a_cut(image: &Path, copy: &Path) -> Option<Disk> {
    fs::copy(image, copy).ok()?;
    Disk::in_file(copy)
}

/// A save as a careless program makes it: the new text beside the file, then in its place,
/// nothing put onto the disk.
fn careless(file: &Path, text: &str) {
    let beside = file.with_extension("careless");
    fs::write(&beside, text).unwrap();
    fs::rename(beside, file).unwrap();
}

#[test]
fn what_was_called_saved_survives_a_power_cut() {
    let test = "power cut";
    let holder = TempDir::new().unwrap();
    let image = holder.path().join("image");
    if !is_root() || !Disk::image(&image, 16) {
        return skipped(test, "no root or no mkfs.ext4");
    }
    let Some(disk) = Disk::in_file(&image) else {
        return skipped(test, "no loop device");
    };
    let orchard = Orchard::begin(&disk.folder);
    rustix::fs::sync();
    for day in 5..9 {
        let output = orchard.moved(&[], day);
        assert!(output.status.success(), "{}", words(&output));
        let copy = holder.path().join(format!("copy-{day}"));
        let cut = after_a_cut(&image, &copy).unwrap();
        let after = Orchard {
            folder: cut.folder.clone(),
        };
        assert_eq!(after.copper(), format!("2027-01-{day:02}"));
        // The lock may have come through the cut, empty; nobody holds it any more. A machine
        // takes longer to come back than this.
        std::thread::sleep(Duration::from_millis(2100));
        let again = after.moved(&[], 20);
        assert!(again.status.success(), "{}", words(&again));
    }
    // The same save by a careless program is lost, else this test could not fail.
    let old = orchard.text();
    let careless_text = format!("{old}# a line more\n");
    careless(&disk.folder.join(FILE), &careless_text);
    let cut = after_a_cut(&image, &holder.path().join("copy-careless")).unwrap();
    let after = fs::read_to_string(cut.folder.join(FILE)).unwrap_or_default();
    assert_ne!(
        after, careless_text,
        "this disk loses nothing: nothing was tested"
    );
}
