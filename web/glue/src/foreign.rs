//! Functions that a crate the library stands on exports to JavaScript for its own users. Nothing here
//! calls them, yet as exports they would stay in the module, with all they need.

use walrus::{ExportId, Module, RawCustomSection};

/// Such crates. The PDF writer's offers to turn web pages into PDF and to read PDF.
const CRATES: [&str; 1] = ["printpdf"];
/// The section in which wasm-bindgen leaves what each crate exports and imports.
const SECTION: &str = "__wasm_bindgen_unstable";
/// Hexadecimal digits that tell two crates of one name apart.
const DIGITS: usize = 16;

/// Takes the exports of such crates out of a module, and what wasm-bindgen was told of them.
pub fn take_out(module: &mut Module) {
    let mut marks = Vec::new();
    while let Some(section) = module.customs.remove_raw(SECTION) {
        let data = without(&section.data, &mut marks);
        // The one that is kept goes under another name until all are read.
        module.customs.add(RawCustomSection { name: format!("{SECTION}-kept"), data });
    }
    while let Some(section) = module.customs.remove_raw(&format!("{SECTION}-kept")) {
        module.customs.add(RawCustomSection { name: SECTION.to_owned(), data: section.data });
    }
    let foreign = |name: &str| marks.iter().any(|mark| name.ends_with(mark.as_str()));
    let exports: Vec<ExportId> =
        module.exports.iter().filter(|e| foreign(&e.name)).map(|e| e.id()).collect();
    for export in exports {
        module.exports.delete(export);
    }
}

/// The section without what it says of such crates. It is a list of pairs: which version wrote it,
/// and what it says. `marks` gets the endings of the names of their exports.
fn without(section: &[u8], marks: &mut Vec<String>) -> Vec<u8> {
    let mut kept = Vec::new();
    let mut rest = section;
    while let Some((_, after)) = part(rest)
        && let Some((said, next)) = part(after)
    {
        match CRATES.iter().find_map(|name| mark(said, name)) {
            Some(mark) => marks.push(mark),
            None => kept.extend_from_slice(&rest[..rest.len() - next.len()]),
        }
        rest = next;
    }
    // What is no such list is left as it is: wasm-bindgen says what is wrong with it.
    kept.extend_from_slice(rest);
    kept
}

/// The first part of the list, behind its length in four bytes, and what follows it.
fn part(list: &[u8]) -> Option<(&[u8], &[u8])> {
    let (length, rest) = list.split_first_chunk::<4>()?;
    rest.split_at_checked(usize::try_from(u32::from_le_bytes(*length)).ok()?)
}

/// How the names of a crate's exports end, where this part is of that crate: `_` and its digits.
fn mark(said: &[u8], name: &str) -> Option<String> {
    let start = format!("{name}-");
    let at = said.windows(start.len()).position(|bytes| bytes == start.as_bytes())?;
    let digits = said.get(at + start.len()..)?.get(..DIGITS)?;
    let digits = std::str::from_utf8(digits).ok()?;
    digits.bytes().all(|b| b.is_ascii_hexdigit()).then(|| format!("_{digits}"))
}
