//! Files of ours that are no season: put in place whole or not at all.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

/// Writes a file beside its place, puts it on the disk and into its place in one step. Its mode
/// is what the owner's mask says, so that a folder shared by a group stays one.
///
/// # Errors
/// Where it cannot be written; what stood in its place is then as it was.
pub fn put(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let folder = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    fs::create_dir_all(folder)?;
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    file.persist(path).map_err(|e| e.error)?;
    Ok(())
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;
    use std::os::unix::fs::PermissionsExt;

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
