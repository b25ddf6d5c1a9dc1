//! Which files a text may name: those in the folder of the file a book starts with, and in the folders
//! that `--root` names. A text from elsewhere can so not show what else is on the disk.

use super::outcome::Failure;
use super::report::{plain, shown};
use super::standard::is_standard;
use std::fs;
use std::path::{Path, PathBuf};

/// The folders files may lie in, without links.
pub struct Reach {
    folders: Vec<PathBuf>,
    /// How the folder of the first file is called in messages.
    first: String,
}

impl Reach {
    /// From a first file, and more folders.
    pub fn new(first: &Path, roots: &[PathBuf]) -> Result<Self, Failure> {
        let folder = |root: &PathBuf| {
            let found = fs::canonicalize(root).map_err(|e| plain(&e));
            let found = found.and_then(|path| {
                if path.is_dir() { Ok(path) } else { Err("it is not a folder".into()) }
            });
            found.map_err(|why| Failure(format!("can't use --root {}: {why}", shown(root))))
        };
        let mut folders = roots.iter().map(folder).collect::<Result<Vec<_>, Failure>>()?;
        let beside = first.parent().filter(|path| !path.as_os_str().is_empty());
        let beside = beside.filter(|_| !is_standard(first)).unwrap_or(Path::new("."));
        // A folder that can't be found holds no file that could be read.
        folders.extend(fs::canonicalize(beside));
        let first = if is_standard(first) {
            "the folder you are in".into()
        } else {
            format!("the folder of {}", shown(first))
        };
        Ok(Self { folders, first })
    }

    /// Where a file named in a text lies, its links followed; or why it can't be read.
    pub fn find(&self, path: &Path) -> Result<PathBuf, String> {
        let found = fs::canonicalize(path);
        // Of what is not there only the folder is known; whether something is there is not told of
        // folders out of reach.
        let known = match &found {
            Ok(file) => Some(file.clone()),
            Err(_) => path
                .ancestors()
                .skip(1)
                .map(|folder| if folder.as_os_str().is_empty() { Path::new(".") } else { folder })
                .find_map(|folder| fs::canonicalize(folder).ok()),
        };
        match known {
            Some(known) if !self.folders.iter().any(|folder| known.starts_with(folder)) => {
                let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
                // A link hides where it leads.
                let folder = match fs::symlink_metadata(path) {
                    Ok(link) if link.is_symlink() => known.parent(),
                    _ => folder,
                };
                Err(format!(
                    "it lies outside of {}; `--root {}` allows it",
                    self.first,
                    shown(folder.unwrap_or(Path::new(".")))
                ))
            }
            _ => found.map_err(|e| plain(&e)),
        }
    }
}
