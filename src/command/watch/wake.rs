//! Waiting for a file to be saved.

use notify::{RecommendedWatcher, RecursiveMode, Watcher};
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

/// How long it is quiet after a save before anything is made: editors write a file in several steps.
const QUIET: Duration = Duration::from_millis(60);
/// How long a burst of saves may hold up the pages.
const LONGEST: Duration = Duration::from_millis(600);
/// How long a file is given to be written whole, after it was seen to be another.
const WRITTEN: Duration = Duration::from_millis(20);
/// How often files are looked at where nobody tells of their changes: on disks of other machines, and in
/// folders that were gone or could not be read.
const LOOK: Duration = Duration::from_secs(1);

/// Waits until what is being written is likely to be whole.
pub fn settle() {
    std::thread::sleep(WRITTEN);
}

/// Waits for changes in folders.
pub struct Wake {
    told: Receiver<()>,
    watcher: RefCell<Option<RecommendedWatcher>>,
    watched: RefCell<BTreeSet<PathBuf>>,
}

impl Wake {
    pub fn new() -> Self {
        let (tell, told) = channel();
        // Reading what is watched is no change of it, and is told all the same by some systems.
        let hear = move |event: notify::Result<notify::Event>| {
            if event.is_ok_and(|event| !event.kind.is_access()) {
                let _ = tell.send(());
            }
        };
        // Where the system can't tell of changes, files are looked at now and then.
        let watcher = notify::recommended_watcher(hear).ok();
        Self { told, watcher: RefCell::new(watcher), watched: RefCell::default() }
    }

    /// Waits for changes in these folders and no others. One that was replaced is watched anew.
    pub fn watch(&self, folders: &BTreeSet<PathBuf>) {
        let mut watcher = self.watcher.borrow_mut();
        let Some(watcher) = watcher.as_mut() else { return };
        let mut watched = self.watched.borrow_mut();
        for folder in watched.iter() {
            // One that is gone is watched no more.
            let _ = watcher.unwatch(folder);
        }
        watched.clear();
        for folder in folders {
            if watcher.watch(folder, RecursiveMode::NonRecursive).is_ok() {
                watched.insert(folder.clone());
            }
        }
    }

    /// Waits until something may have changed and it is quiet again.
    pub fn wait(&self) {
        if self.told.recv_timeout(LOOK).is_err() {
            // Without a watcher nothing is ever told, and that comes back at once.
            if self.watcher.borrow().is_none() {
                std::thread::sleep(LOOK);
            }
            return;
        }
        let begun = Instant::now();
        while begun.elapsed() < LONGEST && self.told.recv_timeout(QUIET).is_ok() {}
    }
}
