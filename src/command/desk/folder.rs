//! A folder of texts: which there are, and new ones.

use crate::command::new::STARTER;
use crate::command::outcome::Failure;
use crate::command::report::{plain, shown};
use crate::command::writing;
use serde::Serialize;
use std::fs;
use std::io::{BufRead, BufReader, ErrorKind, Read};
use std::path::{Component, Path, PathBuf};
use std::time::UNIX_EPOCH;

/// The end of the names of texts.
const END: &str = "flam";
/// How many folders deep texts are looked for.
const MOST_DEPTH: usize = 4;
/// Most files and folders that are looked at.
const MOST_LOOKED_AT: usize = 20_000;
/// Most texts that are listed: those that were changed last.
const MOST_LISTED: usize = 300;
/// Bytes of a text in which its title is looked for.
const HEAD_BYTES: u64 = 4096;
/// Bytes of a name on the file systems in use.
const MOST_NAME: usize = 200;

/// A folder of texts.
#[derive(Debug)]
pub struct Folder {
    path: PathBuf,
}

/// A text of a folder.
#[derive(Debug, PartialEq, Serialize)]
pub struct Listed {
    /// Its path from the folder, with `/` between folders.
    pub name: String,
    /// Its title, where it has one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub title: Option<String>,
    /// When it was changed, in milliseconds since 1970.
    pub changed: u64,
}

/// What is in a folder.
#[derive(Debug, Serialize)]
pub struct Listing {
    /// The name of the folder.
    pub folder: String,
    /// Its texts, the last changed first.
    pub texts: Vec<Listed>,
    /// Why it can't be read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
}

impl Folder {
    /// A folder that is there.
    pub fn open(path: &Path) -> Result<Self, Failure> {
        let cannot = |e| Failure(format!("can't open the folder {}: {}", shown(path), plain(&e)));
        let path = fs::canonicalize(path).map_err(cannot)?;
        fs::read_dir(&path).map_err(cannot)?;
        Ok(Self { path })
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The texts in it and in the folders within it, but those whose name begins with a dot.
    pub fn list(&self) -> Listing {
        let mut found = Vec::new();
        let mut looked_at = 0;
        let mut folders = vec![(self.path.clone(), 0)];
        let mut why = None;
        while let Some((folder, depth)) = folders.pop() {
            let entries = match fs::read_dir(&folder) {
                Ok(entries) => entries,
                Err(e) => {
                    // One within it may be closed to who runs the desk.
                    let name = shown(&folder);
                    why = (depth == 0)
                        .then(|| format!("can't read the folder {name}: {}", plain(&e)));
                    continue;
                }
            };
            for entry in entries.flatten() {
                looked_at += 1;
                if looked_at > MOST_LOOKED_AT {
                    break;
                }
                let path = entry.path();
                let Ok(kind) = entry.file_type() else { continue };
                if entry.file_name().to_string_lossy().starts_with('.') {
                    continue;
                }
                if kind.is_dir() && depth < MOST_DEPTH {
                    folders.push((path, depth + 1));
                } else if kind.is_file() && is_text(&path) {
                    found.extend(self.listed(&path));
                }
            }
        }
        found.sort_by(|a, b| b.changed.cmp(&a.changed).then_with(|| a.name.cmp(&b.name)));
        found.truncate(MOST_LISTED);
        for text in &mut found {
            text.title = title(&self.path.join(&text.name));
        }
        Listing { folder: name_of(&self.path), texts: found, why }
    }

    fn listed(&self, path: &Path) -> Option<Listed> {
        let inner = path.strip_prefix(&self.path).ok()?;
        let parts = inner.components().map(|part| part.as_os_str().to_str());
        let name = parts.collect::<Option<Vec<_>>>()?.join("/");
        let changed = fs::metadata(path).and_then(|data| data.modified()).ok()?;
        let since = changed.duration_since(UNIX_EPOCH).unwrap_or_default();
        let changed = u64::try_from(since.as_millis()).unwrap_or_default();
        Some(Listed { name, title: None, changed })
    }

    /// The file of a name that was listed; nothing outside the folder.
    pub fn file(&self, name: &str) -> Result<PathBuf, Failure> {
        let inner = Path::new(name);
        let is_plain = inner.components().all(|part| matches!(part, Component::Normal(_)));
        let whole = self.path.join(inner);
        let found = fs::canonicalize(&whole).ok().filter(|real| real.starts_with(&self.path));
        match found.filter(|real| is_plain && real.is_file() && is_text(real)) {
            Some(real) => Ok(real),
            None => Err(Failure(format!("there is no text {} in this folder", shown(inner)))),
        }
    }

    /// Writes a new text to begin with.
    pub fn begin(&self, name: &str) -> Result<PathBuf, Failure> {
        let name = name.trim();
        let stem = name.strip_suffix(".flam").unwrap_or(name);
        let is_bad = |c: char| c.is_control() || "/\\:*?\"<>|".contains(c);
        if stem.is_empty() || stem.starts_with('.') || stem.contains(is_bad) {
            let why =
                "a name has letters, figures, blanks and hyphens, and none of / \\ : * ? \" < > |";
            return Err(Failure(why.to_owned()));
        }
        if stem.len() > MOST_NAME {
            return Err(Failure("that name is too long".to_owned()));
        }
        let file = self.path.join(format!("{stem}.{END}"));
        writing::fresh(&file, STARTER.as_bytes()).map_err(|e| match e.kind() {
            ErrorKind::AlreadyExists => {
                Failure(format!("there is already a text {stem}.{END}; give another name"))
            }
            _ => Failure(format!("can't write {stem}.{END}: {}", plain(&e))),
        })?;
        Ok(file)
    }
}

fn is_text(path: &Path) -> bool {
    path.extension().is_some_and(|end| end.eq_ignore_ascii_case(END))
}

fn name_of(path: &Path) -> String {
    path.file_name().map_or_else(|| shown(path), |name| name.to_string_lossy().into_owned())
}

/// What the header of a text says it is called.
fn title(path: &Path) -> Option<String> {
    let file = fs::File::open(path).ok()?;
    let lines = BufReader::new(file.take(HEAD_BYTES)).lines();
    let header = lines.map_while(Result::ok).take_while(|line| !line.trim().is_empty());
    let mut titles = header.filter_map(|line| Some(line.strip_prefix("title:")?.trim().to_owned()));
    titles.find(|title| !title.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder(name: &str) -> (PathBuf, Folder) {
        let path =
            std::env::temp_dir().join(format!("flamacue-folder-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        fs::create_dir_all(path.join("lessons/.hidden")).expect("a folder");
        let folder = Folder::open(&path).expect("it is there");
        (path, folder)
    }

    #[test]
    fn texts_are_listed_with_their_titles_and_nothing_else_is() {
        let (path, folder) = folder("list");
        fs::write(path.join("lessons/first.flam"), "title: First\n\n").expect("a file");
        fs::write(path.join("lessons/.hidden/second.flam"), "").expect("a file");
        fs::write(path.join("notes.txt"), "").expect("a file");
        let texts = folder.list().texts;
        let told: Vec<_> =
            texts.iter().map(|own| (own.name.as_str(), own.title.as_deref())).collect();
        assert_eq!(told, [("lessons/first.flam", Some("First"))]);
        assert!(texts[0].changed > 0);
        fs::remove_dir_all(path).expect("it was there");
    }

    #[test]
    fn a_folder_that_cannot_be_read_says_so_until_it_can() {
        let (path, folder) = folder("closed");
        let away = path.with_extension("away");
        fs::rename(&path, &away).expect("it was there");
        for stand_in in [None, Some("a file of its name")] {
            if let Some(words) = stand_in {
                fs::write(&path, words).expect("a file");
            }
            let Listing { texts, why, .. } = folder.list();
            assert!(texts.is_empty() && why.is_some_and(|why| why.contains("can't read")));
            assert!(folder.begin("Monday").is_err());
        }
        fs::remove_file(&path).expect("it was written");
        fs::rename(&away, &path).expect("it was put there");
        assert_eq!(folder.list().why, None);
        fs::remove_dir_all(path).expect("it was there");
    }

    #[test]
    fn no_file_is_opened_outside() {
        let (path, folder) = folder("outside");
        let other = path.with_extension("flam");
        fs::write(&other, "").expect("a file");
        fs::write(path.join("own.flam"), "").expect("a file");
        #[cfg(unix)]
        std::os::unix::fs::symlink(&other, path.join("led.flam")).expect("a link");
        let outside = format!("../{}", other.file_name().expect("a name").to_string_lossy());
        for name in
            [outside.as_str(), &other.to_string_lossy(), "led.flam", "none.flam", "lessons", ""]
        {
            assert!(folder.file(name).is_err(), "{name} is opened");
        }
        assert!(folder.file("own.flam").is_ok());
        fs::remove_file(other).expect("it was there");
        fs::remove_dir_all(path).expect("it was there");
    }

    #[test]
    fn a_new_text_takes_no_place_of_another() {
        let (path, folder) = folder("new");
        let file = folder.begin(" Monday ").expect("it is new");
        assert_eq!(file.file_name().and_then(|name| name.to_str()), Some("Monday.flam"));
        assert_eq!(fs::read(&file).expect("a file"), STARTER.as_bytes());
        fs::write(&file, "mine").expect("a file");
        for name in ["Monday", "Monday.flam", "", " ", "../up", "a/b", ".hidden", "a\nb"] {
            assert!(folder.begin(name).is_err(), "{name:?} is written");
        }
        assert_eq!(fs::read(&file).expect("a file"), b"mine");
        fs::remove_dir_all(path).expect("it was there");
    }
}
