//! What files become, and how that comes to its place.

use super::args::Build;
use super::outcome::Failure;
use super::recording::Recording;
use super::report::{plain, shown};
use super::writing::{Staged, Worth};
use std::path::{Path, PathBuf};

/// What a file becomes.
pub enum Output {
    /// A file.
    File {
        path: PathBuf,
        bytes: Vec<u8>,
        /// A number for how each of its pages looks, where that was asked for and it has pages.
        pages: Vec<u64>,
    },
    /// It is written sample by sample, for it can be longer than memory is large.
    Sound {
        path: PathBuf,
        recording: Box<Recording>,
    },
    Standard(Vec<u8>),
}

/// The files that are to be written.
pub fn paths(outputs: &[Output]) -> impl Iterator<Item = PathBuf> {
    let path = |output: &Output| match output {
        Output::File { path, .. } | Output::Sound { path, .. } => Some(path.clone()),
        Output::Standard(_) => None,
    };
    outputs.iter().filter_map(path)
}

/// Writes all files, none in its place before the last is whole; what is for standard output.
pub fn put<'a>(wanted: &Build, outputs: &'a mut [Output]) -> Result<&'a [u8], Failure> {
    let mut staged = Staged::new(Worth::Made);
    let mut streamed: &[u8] = &[];
    for output in outputs {
        match output {
            Output::File { path, bytes, .. } => {
                make_folder(wanted, path)?;
                staged.add(path, bytes)?;
            }
            Output::Sound { path, recording } => {
                make_folder(wanted, path)?;
                staged.add_with(path, |file| recording.write(file))?;
            }
            Output::Standard(bytes) => streamed = bytes,
        }
    }
    staged.commit()?;
    Ok(streamed)
}

/// One line that tells which files were written.
pub fn written(paths: &[PathBuf]) -> Option<String> {
    let name = |path: &PathBuf| shown(path);
    match paths {
        [] => None,
        [one] => Some(format!("wrote {}", name(one))),
        [first, .., last] => {
            Some(format!("wrote {} files, {} to {}", paths.len(), name(first), name(last)))
        }
    }
}

/// Makes the folder -o names, or that of a web book; a folder inside a file's own path is never made up.
fn make_folder(wanted: &Build, path: &Path) -> Result<(), Failure> {
    let Some(folder) = path.parent() else { return Ok(()) };
    let is_named = wanted.output.as_deref() == Some(folder);
    if (is_named || wanted.web) && !folder.as_os_str().is_empty() && !folder.is_dir() {
        std::fs::create_dir_all(folder).map_err(|e| {
            Failure(format!("can't make the folder {}: {}", shown(folder), plain(&e)))
        })?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_line_tells_what_was_written() {
        let paths = |names: &[&str]| names.iter().map(PathBuf::from).collect::<Vec<_>>();
        assert_eq!(written(&paths(&[])), None);
        assert_eq!(written(&paths(&["a.pdf"])).as_deref(), Some("wrote a.pdf"));
        let many = written(&paths(&["a-1.svg", "a-2.svg", "a-3.svg"]));
        assert_eq!(many.as_deref(), Some("wrote 3 files, a-1.svg to a-3.svg"));
    }
}
