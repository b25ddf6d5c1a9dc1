//! Files that are made of a text.

use super::answers::Desk;
use crate::practice::{Plan, Wanted};
use crate::sound::Kit;
use crate::write::flac::{self, Tags};
use crate::write::midi;
use crate::write::strikes::mixer;
use std::fmt;
use std::io::Cursor;

/// Why a file is not made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FileError {
    /// The text was never without a fault.
    NoPages,
    /// It has no block with music.
    NoMusic,
    /// What it has can't be practised, heard or written; why, in words.
    Refused(String),
}

impl fmt::Display for FileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoPages => "Mend the faults first; there are no pages yet.",
            Self::NoMusic => "There is no block to hear.",
            Self::Refused(why) => why,
        })
    }
}

impl std::error::Error for FileError {}

/// A failure in words.
fn refused(why: impl fmt::Display) -> FileError {
    FileError::Refused(why.to_string())
}

impl Desk<'_> {
    /// The pages as a PDF file.
    ///
    /// # Errors
    /// Where there are no pages, or a face can't be embedded.
    pub fn pdf(&self) -> Result<Vec<u8>, FileError> {
        self.session.pdf().map_err(refused)?.ok_or(FileError::NoPages)
    }

    /// What is played, as a MIDI file.
    ///
    /// # Errors
    /// Where there is no music, or more of it than a MIDI file can tell.
    pub fn midi(&self) -> Result<Vec<u8>, FileError> {
        if self.view.score.blocks_once().next().is_none() {
            return Err(FileError::NoMusic);
        }
        midi::write(self.view.score).map_err(refused)
    }

    /// What the text has to be heard, as its keys say, as a FLAC file.
    ///
    /// # Errors
    /// Where there is no music, or it can't be practised as the keys say.
    pub fn flac(&self, kit: &mut Kit) -> Result<Vec<u8>, FileError> {
        let score = self.view.score;
        let plan = Plan::of(score, &Wanted::default()).map_err(refused)?;
        if plan.passes.is_empty() {
            return Err(FileError::NoMusic);
        }
        let (title, artist) = (score.header.title.clone(), score.header.author.clone());
        let tags = Tags { title, artist, ..Tags::default() };
        let mut bytes = Cursor::new(Vec::new());
        flac::write(&mut mixer(&plan, kit), &tags, &mut bytes).map_err(refused)?;
        Ok(bytes.into_inner())
    }
}
