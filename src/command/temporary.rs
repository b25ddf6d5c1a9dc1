//! Files under temporary names: they go when they are dropped, when a run is interrupted, and, where a run
//! could do neither, when another run meets them an hour later.

use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::fs;
use std::fs::{File, OpenOptions};
use std::io::{Error, ErrorKind, Result};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Duration;

/// How their names start and end. The name of the file they become is not in it, as that may be as long
/// as a name can be.
const HEAD: &str = ".flamacue-";
const TAIL: &str = ".tmp";
/// Names tried before a folder is given up.
const ATTEMPTS: usize = 1000;
/// How old one is that no run can be writing any more: a run holds one for moments.
const STALE: Duration = Duration::from_secs(60 * 60);

/// The temporary files there are.
static LIVE: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

/// The temporary files there are, and nobody else makes or moves one meanwhile.
pub fn hold() -> MutexGuard<'static, BTreeSet<PathBuf>> {
    LIVE.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A file under a temporary name.
pub struct Temporary(PathBuf);

impl Temporary {
    /// Makes one in a folder; `private` where nobody else may read it before it takes its place.
    pub fn create(folder: &Path, private: bool) -> Result<(Self, File)> {
        let mut live = hold();
        for attempt in 0..ATTEMPTS {
            let path = folder.join(format!("{HEAD}{}-{attempt}{TAIL}", std::process::id()));
            match options(private).open(&path) {
                Err(e) if e.kind() == ErrorKind::AlreadyExists => {}
                Err(e) => return Err(e),
                Ok(file) => {
                    live.insert(path.clone());
                    return Ok((Self(path), file));
                }
            }
        }
        Err(Error::other("its folder is full of unfinished files"))
    }

    /// Takes the place of another file, or of none.
    pub fn replace(self, path: &Path) -> Result<()> {
        let mut live = hold();
        fs::rename(&self.0, path)?;
        live.remove(&self.0);
        Ok(())
    }

    /// Takes a place where there is no file; where there is one, it stays.
    pub fn settle(self, path: &Path) -> Result<()> {
        let held = hold();
        match fs::hard_link(&self.0, path) {
            // A disk that knows no second names for a file.
            Err(e) if e.kind() != ErrorKind::AlreadyExists && is_free(path) => {
                fs::rename(&self.0, path)?;
            }
            done => done?,
        }
        drop(held);
        Ok(())
    }
}

impl Drop for Temporary {
    fn drop(&mut self) {
        let mut live = hold();
        if live.remove(&self.0) {
            // Nothing better can be done for a file that will not go.
            let _ = fs::remove_file(&self.0);
        }
    }
}

/// Whether not even a link that leads nowhere stands there.
fn is_free(path: &Path) -> bool {
    fs::symlink_metadata(path).is_err_and(|e| e.kind() == ErrorKind::NotFound)
}

#[cfg(unix)]
fn options(private: bool) -> OpenOptions {
    use std::os::unix::fs::OpenOptionsExt;
    let mut options = OpenOptions::new();
    options.write(true).create_new(true).mode(if private { 0o600 } else { 0o666 });
    options
}

#[cfg(not(unix))]
fn options(_private: bool) -> OpenOptions {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    options
}

/// Takes away what runs that were killed have left in a folder.
pub fn sweep(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten().filter(|entry| is_ours(&entry.file_name())) {
        // What is gone by now, or will not go, is left as it is.
        let Ok(found) = entry.metadata() else { continue };
        let age = found.modified().ok().and_then(|time| time.elapsed().ok());
        if found.is_file() && age.is_some_and(|age| age > STALE) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

fn is_ours(name: &OsStr) -> bool {
    let numbers = name.to_str().and_then(|name| name.strip_prefix(HEAD)?.strip_suffix(TAIL));
    let is_number = |word: &str| !word.is_empty() && word.bytes().all(|b| b.is_ascii_digit());
    numbers.and_then(|n| n.split_once('-')).is_some_and(|(a, b)| is_number(a) && is_number(b))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_our_own_are_swept() {
        for (name, ours) in [
            (".flamacue-12-0.tmp", true),
            (".flamacue-12-.tmp", false),
            (".flamacue-a-0.tmp", false),
            ("flamacue-12-0.tmp", false),
            (".flamacue-12-0.tmp.flam", false),
        ] {
            assert_eq!(is_ours(OsStr::new(name)), ours, "{name}");
        }
    }
}
