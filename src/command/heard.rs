//! What is heard as it is asked for, and the drums it is played on.

use super::files::Reader;
use super::outcome::Failure;
use super::practising::Practising;
use super::reading::Kind;
use super::recording::Recording;
use super::report::shown;
use flamacue::practice::Plan;
use flamacue::score::{Header, Score};
use flamacue::sound::Kit;
use flamacue::write::flac::Tags;
use flamacue::write::format::{ScoreWriter, SoundWriter, Written};

/// What is heard, and the drums it is played on.
pub struct Heard<'a> {
    asked: &'a Practising,
    kit: Kit,
}

impl<'a> Heard<'a> {
    /// Reads the SoundFont that is asked for.
    pub fn new(asked: &'a Practising, reader: &Reader<'_>) -> Result<Self, Failure> {
        let kit = match &asked.soundfont {
            None => Kit::own(),
            Some(file) => {
                let bytes = reader.named(file, Kind::SoundFont)?;
                Kit::sound_font(&bytes).map_err(|e| Failure(format!("{}: {e}", shown(file))))?
            }
        };
        Ok(Self { asked, kit })
    }

    /// What is heard of a score; a text without a block is told of.
    pub fn plan(&self, score: &Score, name: &str) -> Result<Plan, Failure> {
        self.asked.plan(score, name)
    }

    /// All of it as one file.
    pub fn recording(
        &self,
        score: &Score,
        name: &str,
        writer: SoundWriter,
    ) -> Result<Recording, Failure> {
        let Header { title, author, .. } = &score.header;
        let tags = Tags { title: title.clone(), artist: author.clone(), ..Tags::default() };
        Ok(Recording { plan: self.plan(score, name)?, kit: self.kit.clone(), tags, writer })
    }
}

/// All blocks of a score as they are written, each once, as one file; a text without a block is told of.
pub fn played(score: &Score, name: &str, writer: ScoreWriter) -> Result<Written, Failure> {
    match score.blocks_once().next() {
        None => Err(Failure(format!("{name}: there is no block to play"))),
        Some(_) => Ok(writer(score)),
    }
}
