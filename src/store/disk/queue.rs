//! Waiting in turn for a lock of the operating system.
//!
//! The system keeps whoever waits in a queue, in the order of their coming; who looks again and
//! again instead is served by chance, and beside three others may come last many times. The
//! system's wait has no end of its own, so that it is waited on a thread. Where patience ends
//! first, the thread keeps its place, the next try goes on waiting there, and a lock that comes
//! when nobody wants it any more is let go at once.

use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// One place in the queue.
#[derive(Debug)]
struct Place {
    path: PathBuf,
    /// Which file of that name: it may have been taken away meanwhile.
    inode: (u64, u64),
    turn: Mutex<Turn>,
    came: Condvar,
}

#[derive(Debug)]
enum Turn {
    /// Not yet; does somebody here still want it?
    Waits { wanted: bool },
    /// The file is locked, or cannot be.
    Came(io::Result<File>),
    /// It came when nobody wanted it, or was taken over.
    Over,
}

/// Places of this process that nobody waits at just now.
static LEFT: Mutex<Vec<Arc<Place>>> = Mutex::new(Vec::new());

/// What is behind a mutex; no holder of one panics.
fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Locks the file, which another has locked, and waits for it up to so long; `None` where it was
/// not its turn by then.
pub(super) fn wait(
    path: &Path,
    file: File,
    inode: (u64, u64),
    patience: Duration,
) -> io::Result<Option<File>> {
    let place = match left(path, inode) {
        Some(place) => place,
        None => begun(path, file, inode)?,
    };
    let turn = held(&place.turn);
    let (mut turn, _) = place
        .came
        .wait_timeout_while(turn, patience, |turn| matches!(turn, Turn::Waits { .. }))
        .unwrap_or_else(PoisonError::into_inner);
    match std::mem::replace(&mut *turn, Turn::Over) {
        Turn::Came(locked) => locked.map(Some),
        Turn::Over => Ok(None),
        Turn::Waits { .. } => {
            *turn = Turn::Waits { wanted: false };
            drop(turn);
            held(&LEFT).push(place);
            Ok(None)
        }
    }
}

/// A place that was left and still waits.
fn left(path: &Path, inode: (u64, u64)) -> Option<Arc<Place>> {
    let mut places = held(&LEFT);
    places.retain(|place| matches!(*held(&place.turn), Turn::Waits { .. }));
    let at = places
        .iter()
        .position(|place| place.path == path && place.inode == inode)?;
    let place = places.swap_remove(at);
    let mut turn = held(&place.turn);
    if !matches!(*turn, Turn::Waits { .. }) {
        return None;
    }
    *turn = Turn::Waits { wanted: true };
    drop(turn);
    Some(place)
}

fn begun(path: &Path, file: File, inode: (u64, u64)) -> io::Result<Arc<Place>> {
    let place = Arc::new(Place {
        path: path.to_owned(),
        inode,
        turn: Mutex::new(Turn::Waits { wanted: true }),
        came: Condvar::new(),
    });
    let here = Arc::clone(&place);
    std::thread::Builder::new()
        .name("lock".to_owned())
        // It does nothing but wait.
        .stack_size(64 * 1024)
        .spawn(move || {
            let locked = loop {
                match file.lock() {
                    Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
                    locked => break locked.map(|()| file),
                }
            };
            let mut turn = held(&here.turn);
            *turn = match &*turn {
                Turn::Waits { wanted: true } => Turn::Came(locked),
                _ => Turn::Over,
            };
            here.came.notify_all();
        })?;
    Ok(place)
}
