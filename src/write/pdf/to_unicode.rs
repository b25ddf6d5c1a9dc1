//! What the codes of a face read as, for whoever searches or copies (ISO 32000-1, 9.10.3).

use super::face::Coded;
use super::object::put_code;

/// The most entries of a section (Adobe Technical Note 5014, 1.4.1).
const SECTION: usize = 100;

/// The table of a face: its name, and its glyphs in the order of their codes.
pub(super) fn to_unicode(name: &str, glyphs: &[&Coded]) -> Vec<u8> {
    let mut table = head(name).into_bytes();
    let read: Vec<&Coded> =
        glyphs.iter().copied().filter(|glyph| !glyph.reads.is_empty()).collect();
    // No section goes over from one first byte of a code to another.
    for page in read.chunk_by(|one, next| one.code >> 8 == next.code >> 8) {
        for section in page.chunks(SECTION) {
            table.extend_from_slice(format!("{} beginbfchar\n", section.len()).as_bytes());
            for glyph in section {
                entry(&mut table, glyph);
            }
            table.extend_from_slice(b"endbfchar\n");
        }
    }
    table.extend_from_slice(b"endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n");
    table
}

fn head(name: &str) -> String {
    format!(
        "/CIDInit /ProcSet findresource begin\n\n12 dict begin\n\nbegincmap\n\n%!PS-Adobe-3.0 Resource-CMap\n\
         %%DocumentNeededResources: procset CIDInit\n%%IncludeResource: procset CIDInit\n\n\
         /CIDSystemInfo 3 dict dup begin\n/Registry (FontSpecific) def\n/Ordering ({name}) def\n\
         /Supplement 0 def\nend def\n\n/CMapName /FontSpecific-{name} def\n/CMapVersion 1 def\n\
         /CMapType 2 def\n/WMode 0 def\n\n1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n"
    )
}

fn entry(table: &mut Vec<u8>, glyph: &Coded) {
    table.push(b'<');
    put_code(table, glyph.code);
    table.extend_from_slice(b"> <");
    for unit in glyph.reads.encode_utf16() {
        put_code(table, unit);
    }
    table.extend_from_slice(b">\n");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sections_are_short_and_of_one_first_byte() {
        let coded = |code| Coded { code, width: 0, reads: "ffi".to_owned() };
        let glyphs: Vec<Coded> = (150..=256).map(coded).collect();
        let mut glyphs: Vec<&Coded> = glyphs.iter().collect();
        let silent = Coded { code: 257, width: 0, reads: String::new() };
        glyphs.push(&silent);
        let table = String::from_utf8(to_unicode("Own", &glyphs)).expect("text");
        let counts = table.lines().filter_map(|line| line.strip_suffix(" beginbfchar"));
        assert_eq!(counts.collect::<Vec<_>>(), ["100", "6", "1"]);
        assert!(table.contains("/Ordering (Own)") && table.contains("<0096> <006600660069>\n"));
    }
}
