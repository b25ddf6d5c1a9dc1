//! The file: objects packed together, streams, and the table of where each lies (ISO 32000-1, 7.5).

use super::compress::deflate;
use super::object;
use super::operand::put_integer;
use super::pack::PackedObjects;
use super::written::WrittenObjects;
use lopdf::{Document, Object, Stream, dictionary};

/// The version of PDF that all of it is of (ISO 32000-1).
pub(super) const VERSION: &str = "1.7";

/// About how many bytes stand around the content of a stream.
const AROUND: usize = 128;

/// What comes after the contents of pages in a long book takes a fifth of their bytes, and is given a fourth.
const BESIDE_PAGES: usize = 4;

/// Room in bytes that is made at most for what is to come: what a book of two thousand pages takes.
const MOST_AHEAD: usize = 8 << 20;

/// The number of the predictor that compares each row with the one above (7.4.4.4), and its mark in
/// the rows.
const UP: (i64, u8) = (12, 2);

/// Where an object lies (7.5.8.3).
#[derive(Clone, Copy)]
enum CrossReference {
    Free,
    /// At a byte of the file.
    At(usize),
    /// In the pack of a number, at an index.
    Packed(u32, usize),
}

/// The file as it grows: first the contents of the pages, each as soon as it is packed, then all else.
pub(super) struct PdfFile {
    bytes: Vec<u8>,
    /// By the objects' numbers.
    entries: Vec<CrossReference>,
}

impl PdfFile {
    /// The head of one.
    pub(super) fn new() -> Self {
        // A line of bytes that are no text tells programs that the file isn't (7.5.2).
        let mut bytes = format!("%PDF-{VERSION}\n%").into_bytes();
        bytes.extend_from_slice(&[0xBB, 0xAD, 0xC0, 0xDE, b'\n']);
        Self { bytes, entries: vec![CrossReference::Free] }
    }

    /// Adds the contents of the next pages: the number of each is that of its page, from 1. So many times more such a
    /// list is to come.
    pub(super) fn add_pages(&mut self, contents: Vec<Stream>, times: usize) {
        let bytes: usize = contents.iter().map(|stream| stream.content.len() + AROUND).sum();
        // It is not to be copied as it grows, which takes twice its room. Room that isn't used takes no memory.
        let of_pages = bytes.saturating_mul(times + 1);
        let beside_pages = self.bytes.len().saturating_add(of_pages) / BESIDE_PAGES;
        self.bytes.reserve(bytes.max(of_pages.saturating_add(beside_pages).min(MOST_AHEAD)));
        for content in contents {
            let number = self.next();
            self.put(number, &content);
        }
    }

    /// The whole file, of a document whose numbers follow those of the pages' contents and whose streams are compressed
    /// as they are to be, with the objects that were written beside it.
    ///
    /// # Errors
    /// Passes on what the compressor says.
    pub(super) fn finish(
        mut self,
        document: &Document,
        mut written: WrittenObjects,
    ) -> std::io::Result<Vec<u8>> {
        let mut streams = Vec::new();
        for (id, object) in &document.objects {
            match object {
                Object::Stream(stream) => streams.push((id.0, stream)),
                _ => written.put(*id, object),
            }
        }
        let packs = written.packed()?;
        let all =
            streams.iter().map(|(_, stream)| *stream).chain(packs.iter().map(|pack| &pack.stream));
        self.bytes.reserve(all.map(|stream| stream.content.len() + AROUND).sum());
        self.entries.resize(document.max_id as usize + 1, CrossReference::Free);
        for (number, stream) in streams {
            self.put(number, stream);
        }
        for PackedObjects { numbers, stream } in &packs {
            let pack = self.next();
            self.put(pack, stream);
            for (index, held) in numbers.iter().enumerate() {
                self.set(*held, CrossReference::Packed(pack, index));
            }
        }
        self.end(document)
    }

    /// A number that no object has.
    fn next(&mut self) -> u32 {
        let number = self.entries.len();
        self.entries.push(CrossReference::Free);
        u32::try_from(number).unwrap_or_default()
    }

    fn set(&mut self, number: u32, entry: CrossReference) {
        if let Some(place) = self.entries.get_mut(number as usize) {
            *place = entry;
        }
    }

    fn put(&mut self, number: u32, stream: &Stream) {
        self.set(number, CrossReference::At(self.bytes.len()));
        put_integer(&mut self.bytes, number.into());
        self.bytes.extend_from_slice(b" 0 obj\n");
        object::put_stream(&mut self.bytes, stream);
        self.bytes.extend_from_slice(b"\nendobj\n");
    }

    /// The table of the objects, in place of a trailer (7.5.8), and where it lies.
    fn end(mut self, document: &Document) -> std::io::Result<Vec<u8>> {
        let number = self.next();
        let start = self.bytes.len();
        self.set(number, CrossReference::At(start));
        let dict = dictionary! {
            "Type" => "XRef",
            "Size" => self.entries.len() as i64,
            "W" => WIDTHS.map(|width| Object::from(width as i64)).to_vec(),
            "Filter" => "FlateDecode",
            "DecodeParms" => dictionary! {
                "Predictor" => UP.0,
                "Columns" => WIDTHS.iter().sum::<usize>() as i64,
            },
        };
        let mut stream = Stream::new(dict, deflate(&rows(&self.entries))?);
        for key in [&b"Root"[..], b"Info"] {
            if let Ok(value) = document.trailer.get(key) {
                stream.dict.set(key, value.clone());
            }
        }
        self.put(number, &stream);
        self.bytes.extend_from_slice(format!("startxref\n{start}\n%%EOF\n").as_bytes());
        Ok(self.bytes)
    }
}

/// Bytes of the columns of the table.
const WIDTHS: [usize; 3] = [1, 4, 2];

/// The table, each row as what it differs by from the one above.
fn rows(entries: &[CrossReference]) -> Vec<u8> {
    let mut above = [0_u8; 7];
    let mut rows = Vec::with_capacity(entries.len() * 8);
    for entry in entries {
        let (kind, place, index) = match *entry {
            CrossReference::Free => (0, 0, 0),
            CrossReference::At(place) => (1, u32::try_from(place).unwrap_or_default(), 0),
            CrossReference::Packed(pack, index) => {
                (2, pack, u16::try_from(index).unwrap_or_default())
            }
        };
        let mut row = [kind; 7];
        row[1..5].copy_from_slice(&place.to_be_bytes());
        row[5..].copy_from_slice(&index.to_be_bytes());
        rows.push(UP.1);
        rows.extend(row.iter().zip(&above).map(|(byte, above)| byte.wrapping_sub(*above)));
        above = row;
    }
    rows
}
