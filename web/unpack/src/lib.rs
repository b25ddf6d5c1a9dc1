//! Unpacks what `web/glue` packs by Brotli (RFC 7932), as it comes.
//!
//! A host of files packs worse, or not at all. What is packed must not use the dictionary of Brotli: it is not
//! sent with this module.

use brotli_decompressor::DecompressorWriter;
use std::io::Write;
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

/// Bytes that are unpacked at a time.
const ROOM: usize = 1 << 16;

/// Takes what is packed in parts of any length.
#[wasm_bindgen]
pub struct Unpacker {
    writer: DecompressorWriter<Vec<u8>>,
}

#[wasm_bindgen]
impl Unpacker {
    /// Before the first part.
    #[wasm_bindgen(constructor)]
    #[allow(clippy::new_without_default, reason = "only JavaScript makes one")]
    pub fn new() -> Self {
        Self { writer: DecompressorWriter::new(Vec::new(), ROOM) }
    }

    /// What another part comes to.
    ///
    /// # Errors
    /// Where this is no Brotli.
    pub fn push(&mut self, part: &[u8]) -> Result<Vec<u8>, JsError> {
        self.writer.write_all(part)?;
        Ok(std::mem::take(self.writer.get_mut()))
    }

    /// What is left after the last part.
    ///
    /// # Errors
    /// Where what was packed is not whole.
    pub fn end(&mut self) -> Result<Vec<u8>, JsError> {
        self.writer.close()?;
        Ok(std::mem::take(self.writer.get_mut()))
    }
}
