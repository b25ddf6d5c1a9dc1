//! What is written takes the place of nothing that is read and of nothing else that is written.

use super::outcome::Failure;
use super::report::shown;
use std::collections::HashMap;
use std::fs;
use std::path::{Component, Path, PathBuf};

/// A file that is to be written, and what it is made from.
#[derive(Clone, Debug)]
pub struct Planned {
    /// Where it goes.
    pub path: PathBuf,
    /// The text, as it is called in a message.
    pub of: String,
}

/// What two names of one file have in common.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
enum Identity {
    /// Its place without links, in small letters: some disks tell `A` from `a` and others do not, and what
    /// is written is often copied from one to the other.
    Place(String),
    /// The number of its disk, and its own there.
    #[cfg(unix)]
    Number(u64, u64),
}

/// Refuses to write over what is read, and to write two things to one place.
pub fn refuse(planned: &[Planned], read: &[PathBuf]) -> Result<(), Failure> {
    let mut sources: HashMap<Identity, &Path> = HashMap::new();
    for path in read {
        for identity in identities(path) {
            sources.entry(identity).or_insert(path);
        }
    }
    let mut taken: HashMap<Identity, &Planned> = HashMap::new();
    for output in planned {
        for identity in identities(&output.path) {
            if let Some(source) = sources.get(&identity) {
                return Err(over_a_source(output, source));
            }
            if let Some(other) = taken.insert(identity, output)
                && !std::ptr::eq(other, output)
            {
                return Err(two_in_one(other, output));
            }
        }
    }
    Ok(())
}

fn over_a_source(output: &Planned, source: &Path) -> Failure {
    Failure(format!(
        "{} would be written over {}, which is read for it; nothing was written. Give another name with -o",
        shown(&output.path),
        shown(source)
    ))
}

fn two_in_one(one: &Planned, other: &Planned) -> Failure {
    if one.of == other.of {
        return Failure(format!(
            "{} is named twice, and nothing was written; name it once",
            one.of
        ));
    }
    let (first, second) = (shown(&one.path), shown(&other.path));
    let names = if first == second { first } else { format!("{first} and {second}") };
    Failure(format!(
        "{} and {} would be written under one name, {names}; nothing was written. Build them one by one, each with a name or a folder of its own after -o",
        one.of, other.of
    ))
}

fn identities(path: &Path) -> Vec<Identity> {
    let place = fs::canonicalize(path).unwrap_or_else(|_| missing(path));
    let place = Identity::Place(place.to_string_lossy().to_lowercase());
    #[cfg(unix)]
    if let Ok(found) = fs::metadata(path) {
        use std::os::unix::fs::MetadataExt;
        return vec![place, Identity::Number(found.dev(), found.ino())];
    }
    vec![place]
}

/// Where a file will be that is not there yet: in its folder without links, as far as there is one.
fn missing(path: &Path) -> PathBuf {
    let path = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
    let known = path.ancestors().find_map(|above| Some((above, fs::canonicalize(above).ok()?)));
    let Some((above, mut place)) = known else { return path };
    for part in path.strip_prefix(above).unwrap_or(Path::new("")).components() {
        match part {
            Component::ParentDir => {
                place.pop();
            }
            Component::Normal(name) => place.push(name),
            Component::CurDir | Component::RootDir | Component::Prefix(_) => {}
        }
    }
    place
}
