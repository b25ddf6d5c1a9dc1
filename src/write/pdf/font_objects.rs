//! A face as objects of the document: a composite font of two-byte codes (ISO 32000-1, 9.7).

use super::face::{Coded, Description, Face};
use super::to_unicode::to_unicode;
use lopdf::{Dictionary, Document, Object, ObjectId, Stream, dictionary};
use ttf_parser::{RawFace, Tag};

/// The width of codes that have none of their own, in thousandths of the em; all that are shown have one.
const OTHER_WIDTH: i64 = 1000;

/// Flags of a face (ISO 32000-1, table 123): its letters are Latin, and it is italic.
const NON_SYMBOLIC: i64 = 1 << 5;
const ITALIC: i64 = 1 << 6;

impl Description {
    /// The descriptor (ISO 32000-1, 9.8), which is told where the font file lies.
    fn descriptor(&self, (key, file): (&str, ObjectId)) -> Dictionary {
        let ascent = self.thousandths(self.ascent);
        let frame: Vec<Object> = self.frame.map(|x| self.thousandths(x).into()).to_vec();
        dictionary! {
            "Type" => "FontDescriptor",
            "FontName" => name(&self.name),
            "Ascent" => ascent,
            "Descent" => self.thousandths(self.descent),
            "CapHeight" => ascent,
            "ItalicAngle" => self.angle,
            "Flags" => if self.angle == 0 { NON_SYMBOLIC } else { NON_SYMBOLIC | ITALIC },
            "StemV" => self.stem(),
            "FontBBox" => frame,
            key => file,
        }
    }

    /// The width of upright stems, which no font file tells: by the weight (common practice, no source).
    fn stem(&self) -> i64 {
        let share = f32::from(self.weight) / 65.0;
        50 + (share * share).round() as i64
    }

    fn thousandths(&self, units: i16) -> i64 {
        (f32::from(units) * (1000.0 / f32::from(self.em.max(1)))).round() as i64
    }
}

/// Adds a face to a document.
pub(super) fn add(document: &mut Document, face: &Face) -> ObjectId {
    let glyphs = face.by_code();
    let (kind, file) = program(document, &face.program);
    let table = Stream::new(Dictionary::new(), to_unicode(&face.resource, &glyphs));
    let table = document.add_object(table);
    let mut descendant = dictionary! {
        "Type" => "Font",
        "BaseFont" => name(&face.description.name),
        "Subtype" => kind,
        "CIDSystemInfo" => dictionary! {
            "Registry" => Object::string_literal("Adobe"),
            "Ordering" => Object::string_literal("Identity"),
            "Supplement" => 0,
        },
        "W" => widths(&glyphs),
        "DW" => OTHER_WIDTH,
        "FontDescriptor" => document.add_object(face.description.descriptor(file)),
    };
    if kind == TRUE_TYPE {
        descendant.set("CIDToGIDMap", "Identity");
    }
    document.add_object(dictionary! {
        "Type" => "Font",
        "Subtype" => "Type0",
        "BaseFont" => name(&face.description.name),
        "Encoding" => "Identity-H",
        "ToUnicode" => table,
        "DescendantFonts" => vec![descendant.into()],
    })
}

/// The kinds of descendant: of cubic and of quadratic outlines.
const COMPACT: &str = "CIDFontType0";
const TRUE_TYPE: &str = "CIDFontType2";

/// Adds a font file: of which kind it is, and where it lies.
fn program(document: &mut Document, program: &[u8]) -> (&'static str, (&'static str, ObjectId)) {
    let table = RawFace::parse(program, 0).ok().and_then(|raw| raw.table(Tag::from_bytes(b"CFF ")));
    match table {
        // Alone, the table is taken for what it is by readers that pass over the file around it.
        Some(table) => {
            let dict = dictionary! { "Subtype" => "CIDFontType0C" };
            let id = document.add_object(Stream::new(dict, table.to_vec()));
            (COMPACT, ("FontFile3", id))
        }
        None => {
            let dict = dictionary! { "Length1" => program.len() as i64 };
            let id = document.add_object(Stream::new(dict, program.to_vec()));
            (TRUE_TYPE, ("FontFile2", id))
        }
    }
}

/// The widths, in runs of codes without a gap (ISO 32000-1, 9.7.4.3).
fn widths(glyphs: &[&Coded]) -> Vec<Object> {
    let runs = glyphs.chunk_by(|one, next| one.code.checked_add(1) == Some(next.code));
    let run = |run: &[&Coded]| -> [Object; 2] {
        let first = run.first().map_or(0, |glyph| glyph.code);
        let widths: Vec<Object> = run.iter().map(|glyph| glyph.width.into()).collect();
        [i64::from(first).into(), widths.into()]
    };
    runs.flat_map(run).collect()
}

fn name(name: &str) -> Object {
    Object::Name(name.as_bytes().to_vec())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_are_in_runs() {
        let coded = |code: u16| Coded { code, width: i64::from(code) * 100, reads: String::new() };
        let glyphs = [0, 1, 4].map(coded);
        let list = |widths: &[i64]| Object::Array(widths.iter().map(|w| (*w).into()).collect());
        let expected = [Object::Integer(0), list(&[0, 100]), 4.into(), list(&[400])];
        assert_eq!(widths(&glyphs.iter().collect::<Vec<_>>()), expected);
        assert!(widths(&[]).is_empty());
    }
}
