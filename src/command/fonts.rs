//! The faces a file is set with: those of the program, those of the command line, and those its
//! header asks for.

use super::common::FontFiles;
use super::files::{Reader, Text};
use super::outcome::Failure;
use super::reading::Kind;
use super::report::shown;
use super::standard::is_standard;
use flamacue::font::{Fonts, MusicFont};
use flamacue::score::Header;
use flamacue::source::Diagnostics;
use std::path::{Path, PathBuf};

/// Faces for one file after another; those of the program and of the command line are read once.
pub struct FaceBox<'a> {
    reader: &'a Reader<'a>,
    usual: Fonts,
    music: Option<MusicFiles>,
    /// The faces of the last file that asked for its own, and what it asked for.
    own: Option<(Vec<PathBuf>, Fonts)>,
    /// The command line names the faces of words: headers are not asked.
    given: bool,
}

impl<'a> FaceBox<'a> {
    /// The faces of the program and of the command line.
    pub fn new(wanted: &FontFiles, reader: &'a Reader<'a>) -> Result<Self, Failure> {
        let music = match (&wanted.music_font, &wanted.music_metadata) {
            (Some(font), Some(metadata)) => Some(MusicFiles::read(font, metadata, reader)?),
            (_, None) | (None, _) => None,
        };
        let mut usual = built_in(music.as_ref())?;
        let given = !wanted.text_font.is_empty();
        if given {
            prefer(&mut usual, &wanted.text_font, |path| reader.named(path, Kind::Font))?;
        }
        Ok(Self { reader, usual, music, own: None, given })
    }

    /// The faces of the program and of the command line.
    pub fn usual(&self) -> &Fonts {
        &self.usual
    }

    /// What is read. Meanwhile another thread makes the usual faces ready, where there is one.
    pub fn meanwhile<T: Send>(&self, read: impl FnOnce() -> T + Send) -> T {
        let usual = &self.usual;
        flamacue::meanwhile(|stop| usual.make_ready(stop), read)
    }

    /// The faces of a file. One that cannot be read is a fault of its header.
    pub fn of(
        &mut self,
        text: &Text,
        header: &Header,
        file: &Path,
        diagnostics: &mut Diagnostics,
    ) -> &Fonts {
        let Some(asked) = header.text_fonts.as_ref().filter(|_| !self.given) else {
            return &self.usual;
        };
        let folder = file.parent().filter(|_| !is_standard(file));
        let beside = |name: &String| folder.map_or_else(|| name.into(), |folder| folder.join(name));
        let paths: Vec<PathBuf> = asked.value.iter().map(beside).collect();
        if self.own.as_ref().is_none_or(|(before, _)| *before != paths) {
            match self.with(text, &paths) {
                Ok(fonts) => self.own = Some((paths, fonts)),
                Err(Failure(why)) => {
                    diagnostics
                        .error(asked.span, why)
                        .mend("write where the font file is, seen from the folder of this text");
                    return &self.usual;
                }
            }
        }
        self.own.as_ref().map_or(&self.usual, |(_, fonts)| fonts)
    }

    /// The faces of the last file that asked for its own.
    pub fn into_own(self) -> Option<Fonts> {
        self.own.map(|(_, fonts)| fonts)
    }

    /// The usual faces, and before them those a text names.
    fn with(&self, text: &Text, paths: &[PathBuf]) -> Result<Fonts, Failure> {
        let mut fonts = built_in(self.music.as_ref())?;
        prefer(&mut fonts, paths, |path| self.reader.font_of(text, path))?;
        Ok(fonts)
    }
}

/// A music font of the command line, as it was read.
struct MusicFiles {
    name: String,
    font: Vec<u8>,
    metadata: String,
}

impl MusicFiles {
    fn read(font: &Path, metadata: &Path, reader: &Reader<'_>) -> Result<Self, Failure> {
        let name = shown(font);
        let font = reader.named(font, Kind::Font)?;
        let metadata = String::from_utf8(reader.named(metadata, Kind::Font)?)
            .map_err(|_| Failure(format!("can't read {}: it is not text", shown(metadata))))?;
        Ok(Self { name, font, metadata })
    }
}

/// The faces of the program, with the music font of the command line.
fn built_in(music: Option<&MusicFiles>) -> Result<Fonts, Failure> {
    let mut fonts = Fonts::built_in().map_err(Failure::new)?;
    if let Some(MusicFiles { name, font, metadata }) = music {
        fonts.music = MusicFont::from_files(font.clone(), metadata)
            .map_err(|e| Failure(format!("{name}: {e}")))?;
    }
    Ok(fonts)
}

/// Reads faces of words and sets them before the usual ones.
fn prefer(
    fonts: &mut Fonts,
    paths: &[PathBuf],
    read: impl Fn(&Path) -> Result<Vec<u8>, Failure>,
) -> Result<(), Failure> {
    let face = |path: &PathBuf| Ok((path.display().to_string(), read(path)?));
    let faces: Vec<_> = paths.iter().map(face).collect::<Result<_, Failure>>()?;
    fonts.text.prefer(&faces).map_err(Failure::new)
}
