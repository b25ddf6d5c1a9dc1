//! Files out. What is written is first whole under a temporary name in the same folder and then takes
//! its place, so that a run cut short never harms the last good one.

use super::interrupt;
use super::outcome::Failure;
use super::report::{plain, shown};
use super::temporary;
use super::temporary::Temporary;
use std::collections::BTreeSet;
use std::fs;
use std::fs::{File, Metadata, OpenOptions};
use std::io::{Error, ErrorKind, Result as Done, Seek, Write};
use std::path::{Path, PathBuf};

/// Whether what is written can be made again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Worth {
    /// A text, which somebody wrote: it is on the disk itself before it takes its place, so that it outlasts
    /// a failure of power.
    Written,
    /// Pages, which a text makes again: waiting for the disk would take longer than a handout takes in all
    /// (five milliseconds, and three for each of many pictures).
    Made,
}

/// Files written under temporary names, waiting to take their places. Those that never do are removed.
pub struct Staged {
    worth: Worth,
    files: Vec<(Temporary, PathBuf)>,
    folders: BTreeSet<PathBuf>,
}

impl Staged {
    /// None yet.
    pub fn new(worth: Worth) -> Self {
        Self { worth, files: Vec::new(), folders: BTreeSet::new() }
    }

    /// Writes a file beside its place. A link is followed, and a file that is replaced hands on
    /// its owner and its permissions.
    pub fn add(&mut self, path: &Path, bytes: &[u8]) -> Result<(), Failure> {
        self.add_with(path, |file| file.write_all(bytes).map_err(|e| plain(&e)))
    }

    /// The same of a file that is written step by step; an error says why it can't be.
    pub fn add_with(
        &mut self,
        path: &Path,
        write: impl FnOnce(&mut File) -> Result<(), String>,
    ) -> Result<(), Failure> {
        let place = place(path)?;
        let cannot = |e: Error| cannot(path, &plain(&e));
        let folder = folder_of(&place).to_owned();
        if self.folders.insert(folder.clone()) {
            interrupt::watch();
            temporary::sweep(&folder);
        }
        let old = fs::metadata(&place).ok();
        let (temporary, mut file) = Temporary::create(&folder, old.is_some()).map_err(cannot)?;
        write(&mut file).map_err(|why| self::cannot(path, &why))?;
        if let Some(old) = old {
            hand_on(&old, &file).map_err(cannot)?;
        }
        if self.worth == Worth::Written {
            file.sync_all().map_err(cannot)?;
        }
        self.files.push((temporary, place));
        Ok(())
    }

    /// Puts every file that was added so far in its place, in order; more may be added.
    pub fn settle(&mut self) -> Result<(), Failure> {
        for (temporary, path) in self.files.drain(..) {
            temporary.replace(&path).map_err(|e| cannot(&path, &plain(&e)))?;
        }
        Ok(())
    }

    /// Puts every file in its place, in order.
    pub fn commit(mut self) -> Result<(), Failure> {
        self.settle()?;
        if self.worth == Worth::Written {
            self.folders.iter().for_each(|folder| sync_folder(folder));
        }
        Ok(())
    }
}

/// Writes a text anew that was read from there before. One that has several names keeps them, and is
/// written where it is.
pub fn rewrite(path: &Path, before: &[u8], bytes: &[u8]) -> Result<(), Failure> {
    let place = place(path)?;
    if names(&fs::metadata(&place).map_err(|e| cannot(path, &plain(&e)))?) > 1 {
        interrupt::watch();
        return overwrite(&place, before, bytes).map_err(|e| cannot(path, &plain(&e)));
    }
    let mut staged = Staged::new(Worth::Written);
    staged.add(path, bytes)?;
    staged.commit()
}

/// Writes a file that was read from there before and is gone.
pub fn restore(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    fresh(path, bytes).map_err(|e| cannot(path, &plain(&e)))
}

/// Writes a file where there is none, whole or not at all; says whether there was one.
pub fn fresh(path: &Path, bytes: &[u8]) -> Done<()> {
    interrupt::watch();
    let folder = folder_of(path);
    temporary::sweep(folder);
    // Told before any work is done; what comes in between is told by the last step.
    if fs::symlink_metadata(path).is_ok() {
        return Err(ErrorKind::AlreadyExists.into());
    }
    let (temporary, mut file) = Temporary::create(folder, false)?;
    file.write_all(bytes)?;
    file.sync_all()?;
    temporary.settle(path)?;
    sync_folder(folder);
    Ok(())
}

fn cannot(path: &Path, why: &str) -> Failure {
    Failure(format!("can't write {}: {why}", shown(path)))
}

/// Where a path leads, if a file may be written there.
fn place(path: &Path) -> Result<PathBuf, Failure> {
    let link = fs::symlink_metadata(path);
    let found = match fs::metadata(path) {
        Ok(found) => found,
        Err(_) if link.as_ref().is_ok_and(Metadata::is_symlink) => {
            let to = fs::read_link(path).map(|to| shown(&to)).unwrap_or_default();
            return Err(cannot(
                path,
                &format!(
                    "it is a link to {to}, which is not there; take the link away, or give another name"
                ),
            ));
        }
        Err(e) if e.kind() == ErrorKind::NotFound && path.file_name().is_some() => {
            return Ok(path.to_owned());
        }
        Err(e) => return Err(cannot(path, &plain(&e))),
    };
    if found.is_dir() {
        Err(cannot(path, "it is a folder; give another name"))
    } else if !found.is_file() {
        Err(cannot(
            path,
            "it is a device or a pipe, not a file; give another name, or `-o -` for standard output",
        ))
    } else if found.permissions().readonly() || is_barred(path) {
        Err(cannot(path, "it may only be read; allow writing to it, or give another name"))
    } else {
        fs::canonicalize(path).map_err(|e| cannot(path, &plain(&e)))
    }
}

/// Whether a file that is there may not be written to.
fn is_barred(path: &Path) -> bool {
    let opened = OpenOptions::new().write(true).open(path);
    opened.is_err_and(|e| e.kind() == ErrorKind::PermissionDenied)
}

fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// How many names a file has.
#[cfg(unix)]
fn names(found: &Metadata) -> u64 {
    std::os::unix::fs::MetadataExt::nlink(found)
}

#[cfg(not(unix))]
fn names(_found: &Metadata) -> u64 {
    1
}

/// Gives a new file the owner, the group and the permissions of the one it replaces, as far as that is
/// allowed.
#[cfg(unix)]
fn hand_on(old: &Metadata, file: &File) -> Done<()> {
    use std::os::unix::fs::{MetadataExt, PermissionsExt, fchown};
    let new = file.metadata()?;
    let mut mode = old.mode() & 0o7777;
    if (new.uid(), new.gid()) != (old.uid(), old.gid())
        && fchown(file, Some(old.uid()), Some(old.gid())).is_err()
        && fchown(file, None, Some(old.gid())).is_err()
    {
        // What one group may do is not for another.
        mode &= !0o070;
    }
    file.set_permissions(fs::Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn hand_on(old: &Metadata, file: &File) -> Done<()> {
    file.set_permissions(old.permissions())
}

/// Writes over a file. Where that fails, it is given back what it held, for which there was room.
fn overwrite(path: &Path, before: &[u8], bytes: &[u8]) -> Done<()> {
    // No interrupt comes in between.
    let _held = temporary::hold();
    let mut file = OpenOptions::new().write(true).open(path)?;
    let done = write_over(&mut file, bytes);
    if done.is_err() {
        write_over(&mut file, before)?;
    }
    done
}

fn write_over(file: &mut File, bytes: &[u8]) -> Done<()> {
    file.rewind()?;
    file.write_all(bytes)?;
    file.set_len(bytes.len() as u64)?;
    file.sync_all()
}

/// Makes new names in a folder outlast a failure of power, where the system can.
fn sync_folder(folder: &Path) {
    if cfg!(unix) {
        let _ = File::open(folder).and_then(|folder| folder.sync_all());
    }
}
