//! Where a film goes.

use super::arguments::FilmArguments;
use super::names::with_word;
use crate::command::outcome::Failure;
use crate::command::report::shown;
use crate::command::standard::is_standard;
use std::path::{Path, PathBuf};

/// What a film becomes, and where it goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FilmTarget {
    /// One animated PNG.
    Animated(PathBuf),
    /// One animated SVG.
    Drawn(PathBuf),
    /// A folder of numbered PNG pictures.
    Frames(PathBuf),
    /// The bytes of its frames on standard output.
    Bytes,
}

impl FilmTarget {
    /// What the command line asks for.
    pub fn of(wanted: &FilmArguments) -> Result<Self, Failure> {
        let Some(out) = &wanted.output else {
            return match is_standard(&wanted.file) {
                true => Err(Failure::new("say where to write with -o, as -o film.apng")),
                false => Ok(Self::Animated(wanted.file.with_extension("apng"))),
            };
        };
        if is_standard(out) {
            return match wanted.each {
                true => Err(Failure::new(
                    "--each makes many films, and standard output takes one; give -o a folder",
                )),
                false => Ok(Self::Bytes),
            };
        }
        let slashed = out.as_os_str().to_string_lossy().ends_with(std::path::is_separator);
        if slashed || out.is_dir() {
            return Ok(Self::Frames(out.clone()));
        }
        let ending = out.extension().unwrap_or_default().to_string_lossy().to_lowercase();
        match ending.as_str() {
            "apng" => Ok(Self::Animated(out.clone())),
            "svg" => Ok(Self::Drawn(out.clone())),
            "png" => Err(Failure(format!(
                "{} would be one picture: end it in .apng for an animated PNG, or in a slash for a folder of numbered pictures",
                shown(out)
            ))),
            _ => Err(Failure(format!(
                "{} does not say what to write: end it in .apng or .svg, or in a slash for a folder of numbered pictures; `-` is standard output",
                shown(out)
            ))),
        }
    }

    /// Where the film of a block goes: its name stands before the ending, or is a folder in the folder.
    pub fn of_block(&self, word: &str) -> Self {
        match self {
            Self::Animated(path) => Self::Animated(with_word(path, word)),
            Self::Drawn(path) => Self::Drawn(with_word(path, word)),
            Self::Frames(folder) => Self::Frames(folder.join(word)),
            Self::Bytes => Self::Bytes,
        }
    }

    /// The file it is; nothing where it is none or many.
    pub fn file(&self) -> Option<&Path> {
        match self {
            Self::Animated(path) | Self::Drawn(path) => Some(path),
            Self::Frames(_) | Self::Bytes => None,
        }
    }
}
