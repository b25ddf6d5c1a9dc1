//! Bytes of files: of regular files only, and only up to a size, so that no device and no pipe holds a
//! run up.

use super::report::plain;
use flamacue::syntax::limits;
use std::fs;
use std::fs::{File, Metadata, OpenOptions};
use std::io::Read;
use std::path::Path;

/// The largest text read, in megabytes: some hundred times a long method book.
const TEXT_MB: u64 = 64;
/// The largest font: faces of the widest scripts stay under it.
const FONT_MB: u64 = 32;
/// The largest picture, which is what the library takes.
const PICTURE_MB: u64 = (limits::PICTURE_BYTES >> 20) as u64;
/// The largest table of style values: hundreds of times one of the program's own.
const STYLE_MB: u64 = 1;
/// The largest SoundFont: those of whole General MIDI sets are half as large.
const SOUND_FONT_MB: u64 = 512;
/// The longest list of times that were tapped: those of days.
const TAPS_MB: u64 = 1;

/// What a file is read as, which says how large it may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Drum-text.
    Text,
    /// A music or text face, or the metadata of one.
    Font,
    /// A picture in prose.
    Picture,
    /// A table of style values.
    Style,
    /// A SoundFont.
    SoundFont,
    /// A list of times that were tapped.
    Taps,
}

impl Kind {
    fn megabytes(self) -> u64 {
        match self {
            Self::Text => TEXT_MB,
            Self::Font => FONT_MB,
            Self::Picture => PICTURE_MB,
            Self::Style => STYLE_MB,
            Self::SoundFont => SOUND_FONT_MB,
            Self::Taps => TAPS_MB,
        }
    }
}

/// Reads a file whole, or says why it can't be read.
pub fn file(path: &Path, kind: Kind) -> Result<Vec<u8>, String> {
    // Opening some devices does something, so what it is must be known before.
    regular(&fs::metadata(path).map_err(|e| plain(&e))?)?;
    let file = open(path).map_err(|e| plain(&e))?;
    let found = file.metadata().map_err(|e| plain(&e))?;
    regular(&found)?;
    if found.len() > kind.megabytes() << 20 {
        return Err(too_large(kind));
    }
    // The byte more is what tells the end in one step.
    let mut bytes = Vec::with_capacity(found.len() as usize + 1);
    read(file, kind, &mut bytes)?;
    Ok(bytes)
}

/// Reads to the end of a stream that may have none.
pub fn stream(stream: impl Read, kind: Kind) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    read(stream, kind, &mut bytes)?;
    Ok(bytes)
}

fn read(stream: impl Read, kind: Kind, bytes: &mut Vec<u8>) -> Result<(), String> {
    let most = kind.megabytes() << 20;
    stream.take(most + 1).read_to_end(bytes).map_err(|e| plain(&e))?;
    if bytes.len() as u64 > most { Err(too_large(kind)) } else { Ok(()) }
}

fn too_large(kind: Kind) -> String {
    format!("it is larger than {} MB", kind.megabytes())
}

fn regular(found: &Metadata) -> Result<(), String> {
    if found.is_dir() {
        Err("it is a folder".into())
    } else if found.is_file() {
        Ok(())
    } else {
        Err("it is a device or a pipe, and only files are read; `-` reads the text that another program sends".into())
    }
}

/// A pipe put in the place of a file since it was looked at is opened without waiting for a writer.
#[cfg(unix)]
fn open(path: &Path) -> std::io::Result<File> {
    use std::os::unix::fs::OpenOptionsExt;
    OpenOptions::new().read(true).custom_flags(libc::O_NONBLOCK | libc::O_NOCTTY).open(path)
}

#[cfg(not(unix))]
fn open(path: &Path) -> std::io::Result<File> {
    OpenOptions::new().read(true).open(path)
}
