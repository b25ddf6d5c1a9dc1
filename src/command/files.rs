//! Files in and out. Output is written whole to a temporary file in the same folder and renamed,
//! so that a build cut short never harms the last good one.

use super::outcome::{Failure, Outcome};
use flamacue::score::Score;
use flamacue::source::Source;
use flamacue::syntax;
use std::fs;
use std::fs::{File, OpenOptions};
use std::io::{ErrorKind, Read, Write};
use std::path::{Path, PathBuf};

/// The largest file read, in bytes: some hundred times a long method book.
const LARGEST: u64 = 64 << 20;

/// Whether a path stands for standard input or output.
pub fn is_standard(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// Reads a file of drum-text, or standard input for `-`, with the files it includes.
pub fn read(path: &Path) -> Result<Source, Failure> {
    let source = read_one(path)?;
    Ok(syntax::gather(source, &|path| included(Path::new(path))))
}

/// Adds the pictures that prose shows.
pub fn add_pictures(source: &mut Source, score: &Score) {
    syntax::gather_pictures(source, score, &|path| {
        let mut bytes = Vec::new();
        let most = syntax::limits::PICTURE_BYTES as u64 + 1;
        let file = File::open(path).map_err(|e| plain(&e))?;
        file.take(most).read_to_end(&mut bytes).map_err(|e| plain(&e))?;
        Ok(bytes)
    });
}

/// The text of a file that another includes, or why it can't be read.
fn included(path: &Path) -> Result<String, String> {
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(LARGEST + 1).read_to_end(&mut bytes))
        .map_err(|e| plain(&e))?;
    if bytes.len() as u64 > LARGEST {
        return Err("it is larger than 64 MB".into());
    }
    let text = String::from_utf8(bytes);
    text.map_err(|_| "it is not UTF-8 text; save it as UTF-8 in your editor".into())
}

fn read_one(path: &Path) -> Result<Source, Failure> {
    let name = if is_standard(path) { "standard input".into() } else { path.display().to_string() };
    let cannot = |why: &dyn std::fmt::Display| Failure(format!("can't read {name}: {why}"));
    let mut bytes = Vec::new();
    if is_standard(path) {
        std::io::stdin().take(LARGEST + 1).read_to_end(&mut bytes)
    } else {
        File::open(path).and_then(|file| file.take(LARGEST + 1).read_to_end(&mut bytes))
    }
    .map_err(|e| cannot(&plain(&e)))?;
    if bytes.len() as u64 > LARGEST {
        return Err(cannot(&"it is larger than 64 MB"));
    }
    let text = String::from_utf8(bytes).map_err(|e| {
        let line = e.as_bytes()[..e.utf8_error().valid_up_to()]
            .iter()
            .filter(|byte| **byte == b'\n')
            .count()
            + 1;
        cannot(&format!("line {line} is not UTF-8 text; save it as UTF-8 in your editor"))
    })?;
    let text = text.strip_prefix('\u{FEFF}').map(str::to_owned).unwrap_or(text);
    Ok(Source::new(name, text))
}

/// Reads any file whole.
pub fn read_bytes(path: &Path) -> Result<Vec<u8>, Failure> {
    fs::read(path).map_err(|e| Failure(format!("can't read {}: {}", path.display(), plain(&e))))
}

/// Writes to standard output. A reader that has seen enough is no fault.
pub fn print(bytes: &[u8]) -> Result<Outcome, Failure> {
    let mut out = std::io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Err(e) if e.kind() != ErrorKind::BrokenPipe => {
            Err(Failure(format!("can't write to standard output: {}", plain(&e))))
        }
        _ => Ok(Outcome::Clean),
    }
}

/// Files written under temporary names, waiting to take their places together. Those that never
/// do are removed.
#[derive(Default)]
pub struct Staged(Vec<(PathBuf, PathBuf)>);

impl Staged {
    /// Writes a file beside its place. A link is followed, and a file that is replaced hands on
    /// its permissions.
    pub fn add(&mut self, path: &Path, bytes: &[u8]) -> Result<(), Failure> {
        let cannot = |why: String| Failure(format!("can't write {}: {why}", path.display()));
        let path = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        if path.is_dir() {
            return Err(cannot("it is a folder".into()));
        }
        let name = path.file_name().ok_or_else(|| cannot("it has no name".into()))?;
        for attempt in 0..100 {
            let mut temporary = std::ffi::OsString::from(".");
            temporary.push(name);
            temporary.push(format!(".{}-{attempt}.tmp", std::process::id()));
            let temporary = path.with_file_name(temporary);
            match OpenOptions::new().write(true).create_new(true).open(&temporary) {
                Err(e) if e.kind() == ErrorKind::AlreadyExists => continue,
                Err(e) => return Err(cannot(plain(&e))),
                Ok(mut file) => {
                    self.0.push((temporary, path.clone()));
                    file.write_all(bytes).map_err(|e| cannot(plain(&e)))?;
                    if let Ok(old) = fs::metadata(&path) {
                        file.set_permissions(old.permissions()).map_err(|e| cannot(plain(&e)))?;
                    }
                    return Ok(());
                }
            }
        }
        Err(cannot("its folder is full of unfinished files".into()))
    }

    /// Puts every file in its place.
    pub fn commit(mut self) -> Result<(), Failure> {
        while let Some((temporary, path)) = self.0.pop() {
            if let Err(e) = fs::rename(&temporary, &path) {
                let message = format!("can't write {}: {}", path.display(), plain(&e));
                self.0.push((temporary, path));
                return Err(Failure(message));
            }
        }
        Ok(())
    }
}

impl Drop for Staged {
    fn drop(&mut self) {
        for (temporary, _) in &self.0 {
            // Nothing better can be done for a file that will not go.
            let _ = fs::remove_file(temporary);
        }
    }
}

/// The reason in plain words.
pub fn plain(error: &std::io::Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder".into(),
        ErrorKind::PermissionDenied => "it is not allowed".into(),
        ErrorKind::IsADirectory => "it is a folder".into(),
        ErrorKind::StorageFull => "the disk is full".into(),
        _ => error.to_string(),
    }
}
