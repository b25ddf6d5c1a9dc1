//! Colour profiles that a crate the library stands on carries for PDF files of a kind that is never written
//! here. The linker can't know that, so they would be sent to every page: more than all hyphenation.

use walrus::{DataId, Module};

/// Where the sign of a profile stands in it, and the sign (ICC.1:2010, 7.2.11).
const SIGN_AT: usize = 36;
const SIGN: &[u8] = b"acsp";
/// Where its kind stands, and that of printing presses (the same, 7.2.5).
const KIND_AT: usize = 12;
const PRINTER: &[u8] = b"prtr";

/// Puts zeros in the place of such profiles, which pack to nothing.
pub fn blank(module: &mut Module) {
    let all: Vec<DataId> = module.data.iter().map(|data| data.id()).collect();
    for data in all {
        blank_in(&mut module.data.get_mut(data).value);
    }
}

fn blank_in(bytes: &mut [u8]) {
    let mut from = 0;
    while let Some(start) = next(bytes, from) {
        // A profile begins with its length (the same, 7.2.2).
        let length = bytes[start..].first_chunk::<4>().copied().map_or(0, u32::from_be_bytes);
        let length = usize::try_from(length).unwrap_or(usize::MAX);
        let end = start.saturating_add(length).min(bytes.len());
        bytes[start..end].fill(0);
        from = (start + SIGN_AT + SIGN.len()).max(end);
    }
}

/// Where the next profile starts, from a byte on.
fn next(bytes: &[u8], from: usize) -> Option<usize> {
    let signs = bytes.get(from..)?.windows(SIGN.len()).enumerate();
    let mut starts = signs
        .filter(|(_, sign)| *sign == SIGN)
        .filter_map(|(at, _)| (from + at).checked_sub(SIGN_AT));
    starts.find(|start| bytes.get(start + KIND_AT..start + KIND_AT + 4) == Some(PRINTER))
}
