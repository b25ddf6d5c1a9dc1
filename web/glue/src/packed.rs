//! A module as it is sent, packed by Brotli (RFC 7932). A host of files packs worse, or not at all, and so
//! `web/unpack` unpacks it as it comes.

use anyhow::{Result, ensure};
use brotli::enc::BrotliEncoderParams;
use brotli::enc::backward_references::BrotliEncoderMode;
use std::io::Cursor;

/// The best that is known to find, in time that the build of a page has.
const QUALITY: i32 = 11;
/// How far back it looks, as a power of two: as far as the form allows, which is past a whole module.
const WINDOW: i32 = 24;

/// Packs a module, without the dictionary of Brotli, which `web/unpack` has not.
pub fn pack(bytes: &[u8]) -> Result<Vec<u8>> {
    let parameters = BrotliEncoderParams {
        quality: QUALITY,
        lgwin: WINDOW,
        // Faces of letters are a third of a module.
        mode: BrotliEncoderMode::BROTLI_MODE_FONT,
        use_dictionary: false,
        size_hint: bytes.len(),
        ..BrotliEncoderParams::default()
    };
    let mut packed = Vec::new();
    brotli::BrotliCompress(&mut Cursor::new(bytes), &mut packed, &parameters)?;
    let mut unpacked = Vec::new();
    brotli::BrotliDecompress(&mut Cursor::new(&packed), &mut unpacked)?;
    ensure!(unpacked == bytes, "what is packed comes out as something else");
    Ok(packed)
}
