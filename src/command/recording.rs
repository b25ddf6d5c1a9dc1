//! Sound that is written to its file while it is made.

use flamacue::practice::Plan;
use flamacue::sound::Kit;
use flamacue::write::flac::Tags;
use flamacue::write::format::SoundWriter;
use std::fs::File;

/// What is heard, and what writes it.
pub struct Recording {
    pub plan: Plan,
    pub kit: Kit,
    pub tags: Tags,
    pub writer: SoundWriter,
}

impl Recording {
    /// Writes all of it; an error says why it can't.
    pub fn write(mut self, file: &mut File) -> Result<(), String> {
        let Self { plan, kit, tags, writer } = &mut self;
        writer(plan, kit, tags, file).map_err(|e| e.to_string())
    }
}
