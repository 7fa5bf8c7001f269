//! Extended attributes of files: access lists and what their owners keep there.

use std::io;
use std::path::Path;

/// Access lists are attributes of these names.
#[cfg(target_os = "linux")]
const ACCESS: &str = "system.posix_acl_access";
/// The kernel's own: set by its policy, not by us.
#[cfg(target_os = "linux")]
const SECURITY: &str = "security.";
/// No attribute of a file is longer (Linux, xattr(7)).
#[cfg(target_os = "linux")]
const MOST: usize = 65536;

/// Gives `to` the attributes of `from`, and takes away an access list that only `to` has.
#[cfg(target_os = "linux")]
pub(super) fn copy(from: &Path, to: &Path) -> io::Result<()> {
    use rustix::fs::{XattrFlags, removexattr, setxattr};
    let wanted = names(from)?;
    let there = names(to)?;
    if there.iter().any(|n| n == ACCESS) && !wanted.iter().any(|n| n == ACCESS) {
        removexattr(to, ACCESS)?;
    }
    for name in wanted {
        let Some(value) = value(from, &name)? else {
            continue;
        };
        if self::value(to, &name)?.as_ref() == Some(&value) {
            continue;
        }
        match setxattr(to, name.as_str(), &value, XattrFlags::empty()) {
            Ok(()) => {}
            Err(_) if name.starts_with(SECURITY) => {}
            Err(e) => {
                return Err(io::Error::new(
                    io::Error::from(e).kind(),
                    format!("its attribute {name} cannot be kept: {e}"),
                ));
            }
        }
    }
    Ok(())
}

#[cfg(target_os = "linux")]
fn names(path: &Path) -> io::Result<Vec<String>> {
    use rustix::io::Errno;
    let mut names = vec![0; MOST];
    match rustix::fs::listxattr(path, &mut names[..]) {
        Ok(length) => Ok(names
            .get(..length)
            .unwrap_or_default()
            .split(|b| *b == 0)
            .filter(|name| !name.is_empty())
            .map(|name| String::from_utf8_lossy(name).into_owned())
            .collect()),
        // A file that is not there, or a file system that knows none.
        Err(Errno::NOENT | Errno::OPNOTSUPP | Errno::NOSYS) => Ok(Vec::new()),
        Err(e) => Err(e.into()),
    }
}

#[cfg(target_os = "linux")]
fn value(path: &Path, name: &str) -> io::Result<Option<Vec<u8>>> {
    use rustix::io::Errno;
    let mut value = vec![0; MOST];
    match rustix::fs::getxattr(path, name, &mut value[..]) {
        Ok(length) => {
            value.truncate(length);
            Ok(Some(value))
        }
        Err(Errno::NODATA | Errno::NOENT | Errno::OPNOTSUPP) => Ok(None),
        // One that only the kernel may read.
        Err(Errno::PERM | Errno::ACCESS) if !name.starts_with("user.") => Ok(None),
        Err(e) => Err(e.into()),
    }
}

/// Elsewhere attributes are not kept.
#[cfg(not(target_os = "linux"))]
pub(super) fn copy(_from: &Path, _to: &Path) -> io::Result<()> {
    Ok(())
}
