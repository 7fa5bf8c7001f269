//! Files of ours that are no season: put in place whole or not at all.

use super::disk;
use std::fs;
use std::io::{self, Read as _, Write};
use std::path::Path;
use std::time::Duration;

/// Writes a file beside its place, puts it on the disk and into its place in one step. Its mode
/// is what the owner's mask says, so that a folder shared by a group stays one.
///
/// # Errors
/// Where it cannot be written; what stood in its place is then as it was.
pub fn put(path: &Path, bytes: &[u8]) -> io::Result<()> {
    put_with(path, bytes, 0o666, 0o777)
}

/// The same for its owner alone: what tells where the orchard is.
///
/// # Errors
/// As [`put`].
pub fn put_private(path: &Path, bytes: &[u8]) -> io::Result<()> {
    put_with(path, bytes, 0o600, 0o700)
}

/// Opens a plain file to read; never waits on a pipe.
///
/// # Errors
/// Where it cannot be opened, or is a pipe, socket or device.
pub fn open_plain(path: &Path) -> io::Result<fs::File> {
    let mut options = fs::File::options();
    options.read(true);
    disk::never_waiting(&mut options);
    let file = options.open(path)?;
    if file.metadata()?.is_file() {
        Ok(file)
    } else {
        Err(io::Error::new(
            io::ErrorKind::InvalidInput,
            "it is no plain file",
        ))
    }
}

/// Reads a plain file whole; never waits on a pipe.
///
/// # Errors
/// As [`open_plain`].
pub fn read_plain(path: &Path) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    open_plain(path)?.read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn folders(folder: &Path, mode: u32) -> io::Result<()> {
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    disk::folder_of_mode(&mut builder, mode);
    builder.create(folder)
}

fn put_with(path: &Path, bytes: &[u8], mode: u32, folder_mode: u32) -> io::Result<()> {
    let folder = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    folders(folder, folder_mode)?;
    sweep(path, folder);
    let prefix = prefix(path);
    let mut builder = tempfile::Builder::new();
    builder.prefix(&prefix).suffix(END);
    disk::new_of_mode(&mut builder, mode);
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    file.persist(path).map_err(|e| e.error)?;
    Ok(())
}

/// How files that are being written begin and end.
const END: &str = ".tmp";

fn prefix(path: &Path) -> String {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    format!(".{name}.barewood-")
}

/// Files of earlier writes that were killed go once they are older than any write takes.
const LEFT_BEHIND: Duration = Duration::from_secs(3600);

fn sweep(path: &Path, folder: &Path) {
    let prefix = prefix(path);
    let left = fs::read_dir(folder).into_iter().flatten().flatten();
    for entry in left {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        let old = || {
            let modified = entry.metadata().and_then(|m| m.modified()).ok()?;
            modified.elapsed().ok()
        };
        if name.starts_with(&prefix)
            && name.ends_with(END)
            && old().is_some_and(|age| age > LEFT_BEHIND)
        {
            let _ = fs::remove_file(entry.path());
        }
    }
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;
    use std::os::unix::fs::PermissionsExt;

    #[test]
    fn what_is_private_is_its_owners_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("cache/a.json");
        put_private(&path, b"place").unwrap();
        let mode = |p: &Path| fs::metadata(p).unwrap().permissions().mode() & 0o777;
        assert_eq!(
            (mode(&path), mode(&folder.path().join("cache"))),
            (0o600, 0o700)
        );
    }

    #[test]
    fn what_a_killed_write_left_goes_once_it_is_old() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.csv");
        let (old, new, other) = (
            ".a.csv.barewood-x.tmp",
            ".a.csv.barewood-y.tmp",
            ".b.csv.barewood-x.tmp",
        );
        for name in [old, new, other] {
            fs::write(folder.path().join(name), "half").unwrap();
        }
        let file = fs::File::options()
            .write(true)
            .open(folder.path().join(old))
            .unwrap();
        file.set_modified(std::time::SystemTime::now() - 2 * LEFT_BEHIND)
            .unwrap();
        put(&path, b"new").unwrap();
        let there = |name: &str| folder.path().join(name).exists();
        assert!(!there(old) && there(new) && there(other));
    }

    #[test]
    fn a_file_put_whole_replaces_the_old_one_and_is_readable_as_the_mask_says() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.csv");
        fs::write(&path, "old").unwrap();
        let plain = fs::metadata(&path).unwrap().permissions().mode() & 0o777;
        put(&path, b"new").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"new");
        let mode = fs::metadata(&path).unwrap().permissions().mode() & 0o777;
        assert_eq!(mode, plain, "as a plain write would make it");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }
}
