//! The faces a file is set with: those of the program, those of the command line, and those its
//! header asks for.

use super::args::FontFiles;
use super::files;
use super::outcome::Failure;
use flamacue::font::{Fonts, MusicFont};
use flamacue::score::Header;
use flamacue::source::Diagnostics;
use std::path::{Path, PathBuf};

/// Faces for one file after another; faces of the program are read once.
pub struct FaceBox {
    usual: Fonts,
    /// The faces of the last file that asked for its own, and what it asked for.
    own: Option<(Vec<PathBuf>, Fonts)>,
    /// The command line names the faces of words: headers are not asked.
    given: bool,
}

impl FaceBox {
    /// The faces of the program and of the command line.
    pub fn new(wanted: &FontFiles) -> Result<Self, Failure> {
        let given = !wanted.text_font.is_empty();
        Ok(Self { usual: fonts(wanted, &wanted.text_font)?, own: None, given })
    }

    /// The faces of a file. One that cannot be read is a fault of its header.
    pub fn of(
        &mut self,
        wanted: &FontFiles,
        header: &Header,
        file: &Path,
        diagnostics: &mut Diagnostics,
    ) -> &Fonts {
        let Some(asked) = header.text_fonts.as_ref().filter(|_| !self.given) else {
            return &self.usual;
        };
        let folder = file.parent().filter(|_| !files::is_standard(file));
        let beside = |name: &String| folder.map_or_else(|| name.into(), |folder| folder.join(name));
        let paths: Vec<PathBuf> = asked.value.iter().map(beside).collect();
        if self.own.as_ref().is_none_or(|(before, _)| *before != paths) {
            match fonts(wanted, &paths) {
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
}

fn fonts(wanted: &FontFiles, text: &[PathBuf]) -> Result<Fonts, Failure> {
    let mut fonts = Fonts::built_in().map_err(Failure::new)?;
    if let (Some(font), Some(metadata)) = (&wanted.music_font, &wanted.music_metadata) {
        let data = files::read_bytes(font)?;
        let json = String::from_utf8(files::read_bytes(metadata)?)
            .map_err(|_| Failure(format!("can't read {}: it is not text", metadata.display())))?;
        fonts.music = MusicFont::from_files(data, &json)
            .map_err(|e| Failure(format!("{}: {e}", font.display())))?;
    }
    if !text.is_empty() {
        let read = |path: &PathBuf| Ok((path.display().to_string(), files::read_bytes(path)?));
        let faces: Vec<_> = text.iter().map(read).collect::<Result<_, Failure>>()?;
        fonts.text.prefer(&faces).map_err(Failure::new)?;
    }
    Ok(fonts)
}
