//! Files that a text is made of, as they lie on the disk.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// When a file was written and how long it is; nothing where there is none.
type State = Option<(SystemTime, u64)>;

/// Files, as they were when they were looked at last. They are looked at again and again, as folders that
/// other machines write to send no word of it.
#[derive(Debug, Default)]
pub struct Outside(BTreeMap<PathBuf, State>);

impl Outside {
    /// The files that were changed since they were looked at; those that were never looked at are not.
    pub fn changed(&mut self, files: impl IntoIterator<Item = PathBuf>) -> Vec<PathBuf> {
        let now: BTreeMap<PathBuf, State> =
            files.into_iter().map(|file| (file.clone(), state(&file))).collect();
        let changed = now
            .iter()
            .filter(|(file, state)| self.0.get(*file).is_some_and(|before| before != *state));
        let changed = changed.map(|(file, _)| file.clone()).collect();
        self.0 = now;
        changed
    }

    /// Looks at a file, so that what it is now is no change.
    pub fn look_at(&mut self, file: &Path) {
        self.0.insert(file.to_path_buf(), state(file));
    }
}

fn state(file: &Path) -> State {
    let found = fs::metadata(file).ok()?;
    Some((found.modified().ok()?, found.len()))
}
