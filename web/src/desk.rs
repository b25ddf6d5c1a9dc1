//! The desk without a server: a text that a worker of the page holds.

use crate::memory_text::MemoryText;
use flamacue::desk::{FileError, Hear, Holder};
use wasm_bindgen::prelude::{JsError, wasm_bindgen};

/// Sound, and what is heard in it when.
#[wasm_bindgen(getter_with_clone)]
pub struct BlockSound {
    /// What is heard, or why nothing is, as JSON.
    pub told: String,
    /// A WAV file; empty where nothing is heard.
    pub wav: Vec<u8>,
}

/// A text that is written on a page, and what the page asks of it. It includes no other files.
#[wasm_bindgen]
pub struct Desk(Holder<MemoryText>);

#[wasm_bindgen]
impl Desk {
    /// Takes a text, whose lines all end in a line feed, and the name of its file.
    ///
    /// # Errors
    /// Says which face is broken.
    #[wasm_bindgen(constructor)]
    pub fn new(name: &str, text: &str) -> Result<Self, JsError> {
        Ok(Self(Holder::new(MemoryText::new(name, text)?)))
    }

    /// Answers what the page asks; both are JSON, as the program's own desk has them.
    ///
    /// # Errors
    /// Where nothing of that kind can be asked.
    pub fn ask(&mut self, ask: &str) -> Result<String, JsError> {
        Ok(self.0.answer(serde_json::from_str(ask)?))
    }

    /// The block that holds a place, to be heard; what is wanted is JSON.
    ///
    /// # Errors
    /// Where nothing of that kind can be wanted.
    pub fn hear(&mut self, wanted: &str) -> Result<BlockSound, JsError> {
        let wanted: Hear = serde_json::from_str(wanted)?;
        let (told, wav) = self.0.hear(&wanted);
        Ok(BlockSound { told, wav })
    }

    /// The pages as a PDF file.
    ///
    /// # Errors
    /// Says in words why there is none.
    pub fn pdf(&self) -> Result<Vec<u8>, JsError> {
        made(self.0.pdf())
    }

    /// What is played, as a MIDI file.
    ///
    /// # Errors
    /// Says in words why there is none.
    pub fn midi(&self) -> Result<Vec<u8>, JsError> {
        made(self.0.midi())
    }

    /// What the text has to be heard, as its keys say, as a FLAC file.
    ///
    /// # Errors
    /// Says in words why there is none.
    pub fn flac(&mut self) -> Result<Vec<u8>, JsError> {
        made(self.0.flac())
    }
}

/// A file, or in words why there is none.
fn made(file: Result<Vec<u8>, FileError>) -> Result<Vec<u8>, JsError> {
    file.map_err(|why| JsError::new(&why.to_string()))
}
