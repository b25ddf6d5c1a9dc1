//! The files that pages are made from, and whether they are as they were.

use crate::command::fingerprint::fingerprint;
use crate::command::reading::{self, Kind};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// The files that pages are made from.
#[derive(Default)]
pub struct Inputs(BTreeMap<PathBuf, Look>);

/// How a file looked.
struct Look {
    /// As it was when its bytes were found to be those that were read.
    stamp: Option<Stamp>,
    /// A number of the bytes that were read; nothing where it could not be read.
    content: Option<u64>,
    /// A number of its bytes when it was looked at last.
    seen: Option<u64>,
}

/// What tells without reading a file that it is not as it was.
#[derive(Clone, Debug, PartialEq)]
struct Stamp {
    bytes: u64,
    modified: Option<SystemTime>,
    #[cfg(unix)]
    number: u64,
}

fn stamp(path: &Path) -> Option<Stamp> {
    let found = fs::metadata(path).ok()?;
    Some(Stamp {
        bytes: found.len(),
        modified: found.modified().ok(),
        #[cfg(unix)]
        number: std::os::unix::fs::MetadataExt::ino(&found),
    })
}

fn content(path: &Path) -> Option<u64> {
    // The largest of what is read; what is larger is refused in any case.
    reading::file(path, Kind::SoundFont).ok().map(|bytes| fingerprint(&bytes))
}

impl Inputs {
    /// From now on it is these, each with a number of the bytes that were read of it. One that may not be read, for
    /// its size or its place, has changed no further until it is another than it was.
    pub fn set(&mut self, read: Vec<(PathBuf, Option<u64>)>) {
        let before = std::mem::take(&mut self.0);
        let look = |(path, content): (PathBuf, Option<u64>)| {
            let seen = before.get(&path).and_then(|look| look.seen);
            (path, Look { stamp: None, content: content.or(seen), seen })
        };
        self.0 = read.into_iter().map(look).collect();
    }

    /// Whether one of them says something else than it did, or came, or went. One that was only touched is as
    /// it was.
    pub fn have_changed(&mut self) -> bool {
        let mut changed = false;
        for (path, look) in &mut self.0 {
            let stamp = stamp(path);
            if stamp == look.stamp && stamp.is_some() == look.content.is_some() {
                continue;
            }
            look.seen = content(path);
            if look.seen == look.content {
                look.stamp = stamp;
            } else {
                changed = true;
            }
        }
        changed
    }

    /// The folders they lie in; where one is gone, the nearest above it.
    pub fn folders(&self) -> BTreeSet<PathBuf> {
        let here = |path: &Path| match path.as_os_str().is_empty() {
            true => PathBuf::from("."),
            false => path.to_owned(),
        };
        let mut folders = BTreeSet::new();
        for path in self.0.keys() {
            // A link is watched where it stands and where it leads.
            for path in [Some(path.clone()), fs::canonicalize(path).ok()].into_iter().flatten() {
                let above = path.ancestors().skip(1).map(here);
                folders.extend(above.into_iter().find(|folder| folder.is_dir()));
            }
        }
        folders
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_touched_is_as_it_was() {
        let folder = std::env::temp_dir().join(format!("flamacue-inputs-{}", std::process::id()));
        fs::create_dir_all(&folder).expect("a folder");
        let file = folder.join("a.flam");
        fs::write(&file, "a").expect("a file");
        let mut inputs = Inputs::default();
        let paths = [file.clone(), folder.join("none/b.flam")];
        let look = |inputs: &mut Inputs| {
            inputs.set(paths.iter().map(|path| (path.clone(), content(path))).collect());
        };
        // What was saved after it was read is new.
        inputs.set(vec![(file.clone(), Some(fingerprint(b"before")))]);
        assert!(inputs.have_changed());
        look(&mut inputs);
        assert!(!inputs.have_changed());
        assert_eq!(
            inputs.folders().len(),
            1 + usize::from(folder.canonicalize().ok() != Some(folder.clone()))
        );
        fs::write(&file, "a").expect("a file");
        assert!(!inputs.have_changed());
        fs::write(&file, "b").expect("a file");
        assert!(inputs.have_changed());
        // It stays so until it is looked at, unless it is taken back.
        assert!(inputs.have_changed());
        fs::write(&file, "a").expect("a file");
        assert!(!inputs.have_changed());
        fs::write(&file, "b").expect("a file");
        look(&mut inputs);
        assert!(!inputs.have_changed());
        fs::remove_file(&file).expect("no file");
        assert!(inputs.have_changed());
        look(&mut inputs);
        assert!(!inputs.have_changed());
        fs::write(&file, "b").expect("a file");
        assert!(inputs.have_changed());
        // What is there and may not be read is tried once.
        inputs.set(Vec::new());
        inputs.set(vec![(file.clone(), None)]);
        assert!(inputs.have_changed());
        inputs.set(vec![(file.clone(), None)]);
        assert!(!inputs.have_changed());
        fs::remove_dir_all(&folder).expect("no folder");
    }
}
