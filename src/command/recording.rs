//! Sound that is written to its file while it is made.

use super::fingerprint::fingerprint;
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
    /// A number for the drums it is played on.
    pub drums: u64,
}

impl Recording {
    /// A number for how it sounds, which is another where it sounds otherwise.
    pub fn fingerprint(&self) -> u64 {
        let mut sounds = self.drums.to_le_bytes().to_vec();
        for event in self.plan.events() {
            sounds.extend(fingerprint(format!("{event:?}").as_bytes()).to_le_bytes());
        }
        fingerprint(&sounds)
    }

    /// Writes all of it; an error says why it can't.
    pub fn write(&mut self, file: &mut File) -> Result<(), String> {
        let Self { plan, kit, tags, writer, drums: _ } = self;
        writer(plan, kit, tags, file).map_err(|e| e.to_string())
    }
}
