//! What is heard as it is asked for, and the drums it is played on.

use super::files::Reader;
use super::fingerprint::fingerprint;
use super::outcome::Failure;
use super::practising::Practising;
use super::reading::Kind;
use super::recording::Recording;
use super::report::shown;
use flamacue::practice::{Lesson, Plan};
use flamacue::score::{Header, Score};
use flamacue::sound::Kit;
use flamacue::write::flac::Tags;
use flamacue::write::format::{ScoreWriter, SoundWriter, Written};

/// What is heard, and the drums it is played on.
pub struct Heard<'a> {
    asked: &'a Practising,
    kit: Kit,
    /// A number for the drums.
    drums: u64,
    reader: &'a Reader<'a>,
}

impl<'a> Heard<'a> {
    /// Reads the SoundFont that is asked for.
    pub fn new(asked: &'a Practising, reader: &'a Reader<'a>) -> Result<Self, Failure> {
        let Some(file) = &asked.soundfont else {
            return Ok(Self { asked, kit: Kit::own(), drums: 0, reader });
        };
        let bytes = reader.named(file, Kind::SoundFont)?;
        let kit = Kit::sound_font(&bytes).map_err(|e| Failure(format!("{}: {e}", shown(file))))?;
        Ok(Self { asked, kit, drums: fingerprint(&bytes), reader })
    }

    /// What is heard of a score; a text without a block is told of.
    pub fn plan(&self, score: &Score, name: &str) -> Result<Plan, Failure> {
        self.asked.along.lay(self.asked.plan(score, name)?, self.reader, name)
    }

    /// A lesson of a score; a text without a block is told of.
    pub fn lesson(&self, score: &Score, name: &str, seed: u64) -> Result<Lesson, Failure> {
        if !self.asked.along.is_idle() {
            let why = "a lesson goes at tempos of its own, and not along a recording";
            return Err(Failure(format!("{name}: {why}; leave out --at, --taps and --marks")));
        }
        let lesson = Lesson::of(score, &self.asked.wanted(), seed)
            .map_err(|why| Failure(format!("{name}: {why}")))?;
        match lesson.tracks.is_empty() {
            true => Err(Failure(format!("{name}: there is no block to hear"))),
            false => Ok(lesson),
        }
    }

    /// The drums it is played on.
    pub fn into_kit(self) -> Kit {
        self.kit
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
        let (plan, kit) = (self.plan(score, name)?, self.kit.clone());
        Ok(Recording { plan, kit, tags, writer, drums: self.drums })
    }
}

/// All blocks of a score as they are written, each once, as one file; a text without a block is told of.
pub fn played(score: &Score, name: &str, writer: ScoreWriter) -> Result<Written, Failure> {
    match score.blocks_once().next() {
        None => Err(Failure(format!("{name}: there is no block to play"))),
        Some(_) => Ok(writer(score)),
    }
}
