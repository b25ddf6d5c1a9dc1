//! The EPUB of a book: its archive, its files, and what leads from one to another.

#![allow(clippy::expect_used, clippy::panic, reason = "a test that fails panics")]

use flamacue::font::Fonts;
use flamacue::source::{Diagnostics, Source};
use resvg::usvg::roxmltree::{Document, Node, ParsingOptions};
use std::collections::{BTreeMap, BTreeSet};
use std::io::Read as _;
use std::sync::LazyLock;

static FONTS: LazyLock<Fonts> = LazyLock::new(|| Fonts::built_in().expect("the built-in faces"));

const BOOK: &str = "title: Doors & Floors
author: Wren Okafor
language: en-GB
copyright: \u{a9} The Flour Loft Drum Room
contents: exercises
index: both
key: first page

part \"Part one\"

# One

See @front on page @front.page, `code`[^a] and *@back*.\\
A line ends.

[^a]: A note.

---

exercise front \"The front door <\"
  tags: hands
  play   s s s s
  stick  R L R L

## Inside

| a | b |
|---|---|
| 1 | 2 |

# Two

exercise back \"A back door\"
  play  s s s s
";

fn epub(text: &str, date: Option<i64>) -> Vec<u8> {
    let source = Source::new("book.flam", text);
    let mut diagnostics = Diagnostics::default();
    let flowing = flamacue::compile_flowing(&source, &FONTS, None, &mut diagnostics);
    let flowing = flowing.unwrap_or_else(|| panic!("{}", diagnostics.render(&source, false)));
    flamacue::write::epub::write(&flowing, &FONTS, date).expect("a book")
}

/// The files of an archive, read by another library, in their order; their sums hold.
fn files(bytes: &[u8]) -> Vec<(String, Vec<u8>)> {
    let archive = rawzip::ZipArchive::from_slice(bytes).expect("an archive");
    let mut entries = archive.entries();
    let mut files = Vec::new();
    while let Some(entry) = entries.next_entry().expect("an entry") {
        let name = entry.file_path().try_normalize().expect("a name").as_ref().to_owned();
        let local = archive.get_entry(entry.wayfinder()).expect("a file");
        let mut plain = Vec::new();
        if entry.compression_method() == rawzip::CompressionMethod::DEFLATE {
            let packed = flate2::bufread::DeflateDecoder::new(local.data());
            local.verifying_reader(packed).read_to_end(&mut plain).expect("its sum");
        } else {
            local.verifying_reader(local.data()).read_to_end(&mut plain).expect("its sum");
        }
        files.push((name, plain));
    }
    files
}

/// The files of words, by their names without a folder.
fn words(files: &[(String, Vec<u8>)]) -> BTreeMap<String, String> {
    let of = |(name, bytes): &(String, Vec<u8>)| {
        let name = name.strip_prefix("EPUB/")?;
        let is_words = name.ends_with(".xhtml") || name.ends_with(".opf");
        is_words.then(|| (name.to_owned(), String::from_utf8(bytes.clone()).expect("UTF-8")))
    };
    files.iter().filter_map(of).collect()
}

fn xml(text: &str) -> Document<'_> {
    let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
    Document::parse_with_options(text, options).unwrap_or_else(|e| panic!("{e}\n{text}"))
}

fn all<'a>(document: &'a Document<'_>, name: &str) -> Vec<Node<'a, 'a>> {
    document.descendants().filter(|node| node.tag_name().name() == name).collect()
}

#[test]
fn a_reader_knows_the_archive_by_its_first_bytes() {
    let bytes = epub(BOOK, None);
    // EPUB 3.3, "The application/epub+zip media type": the name at 30, its words at 38, as they are.
    assert_eq!(&bytes[..4], b"PK\x03\x04");
    assert_eq!(&bytes[30..58], b"mimetypeapplication/epub+zip");
    // Its length stands before it: 20, packed and plain.
    assert_eq!(&bytes[18..26], [20, 0, 0, 0, 20, 0, 0, 0]);
    assert_eq!(bytes, epub(BOOK, None));
    assert_ne!(bytes, epub(&BOOK.replace("ends", "began"), None));
}

#[test]
fn every_file_is_listed_once_and_is_xml() {
    let files = files(&epub(BOOK, None));
    let texts = words(&files);
    let package = xml(&texts["package.opf"]);
    let items = all(&package, "item");
    let listed: BTreeSet<&str> = items.iter().filter_map(|item| item.attribute("href")).collect();
    assert_eq!(listed.len(), items.len());
    let there: BTreeSet<&str> =
        files.iter().filter_map(|(name, _)| name.strip_prefix("EPUB/")).collect();
    assert_eq!(there.len(), listed.len() + 1, "the package lists all but itself");
    assert!(listed.is_subset(&there));
    for text in texts.values() {
        xml(text);
    }
    // The key, a part's page and two chapters; title, contents and index.
    assert_eq!(all(&package, "itemref").len(), 4 + 3);
    let without = files_without_contents();
    assert_eq!(all(&xml(&without["package.opf"]), "itemref").len(), 4 + 2);
}

fn files_without_contents() -> BTreeMap<String, String> {
    words(&files(&epub(&BOOK.replace("contents: exercises\n", ""), None)))
}

#[test]
fn what_leads_somewhere_finds_its_place_in_its_file() {
    let texts = words(&files(&epub(BOOK, None)));
    let mut places: BTreeSet<(String, String)> = BTreeSet::new();
    for (file, text) in &texts {
        for node in xml(text).descendants() {
            if let Some(id) = node.attribute("id") {
                assert!(places.insert((file.clone(), id.to_owned())), "{file}: {id} twice");
            }
        }
    }
    let mut followed = 0;
    for (file, text) in texts.iter().filter(|(name, _)| name.ends_with(".xhtml")) {
        let document = xml(text);
        let named = document.descendants().filter(|n| matches!(n.tag_name().name(), "a" | "use"));
        for to in named.filter_map(|node| node.attribute("href")) {
            let (other, place) = to.split_once('#').unwrap_or((to, ""));
            let other = if other.is_empty() { file } else { other };
            assert!(texts.contains_key(other), "{file}: {to}");
            let found = place.is_empty() || places.contains(&(other.to_owned(), place.to_owned()));
            assert!(found, "{file}: {to}");
            followed += 1;
        }
    }
    assert!(followed > 30, "{followed}");
    assert!(texts["chapter-3.xhtml"].contains("<a href=\"chapter-4.xhtml#back\">2</a>"));
}

#[test]
fn music_is_read_aloud() {
    let texts = words(&files(&epub(BOOK, None)));
    let document = xml(&texts["chapter-3.xhtml"]);
    let figures = all(&document, "figure");
    let music = figures[0].descendants().filter(|node| node.tag_name().name() == "svg");
    let said: Vec<_> =
        music.map(|svg| (svg.attribute("role"), svg.attribute("aria-label"))).collect();
    let aloud = "The front door <. Bar 1: count 1 2 3 4; sticking right left right left.";
    assert_eq!(said, [(Some("img"), Some(aloud)), (Some("img"), Some(aloud))]);
}

#[test]
fn a_book_says_what_it_is() {
    let said =
        |text: &str, date| words(&files(&epub(text, date))).remove("package.opf").expect("it");
    let package = said(BOOK, None);
    for words in [
        "<dc:title>Doors &amp; Floors</dc:title>",
        "<dc:creator>Wren Okafor</dc:creator>",
        "<dc:language>en-GB</dc:language>",
        "<dc:rights>\u{a9} The Flour Loft Drum Room</dc:rights>",
        "<meta property=\"dcterms:modified\">1980-01-01T00:00:00Z</meta>",
    ] {
        assert!(package.contains(words), "{words}\n{package}");
    }
    assert!(said(BOOK, Some(951_782_400)).contains(">2000-02-29T00:00:00Z<"));
    let identifier = |package: &str| {
        let rest = package.split("urn:uuid:").nth(1).and_then(|rest| rest.split('<').next());
        rest.expect("an identifier").to_owned()
    };
    // The date is not part of what the book is; its words are.
    assert_eq!(identifier(&package), identifier(&said(BOOK, Some(951_782_400))));
    assert_ne!(identifier(&package), identifier(&said(&BOOK.replace("ends", "began"), None)));
}

/// Exercises that ask for columns stand in a row, which a wide screen shows two by two.
#[test]
fn blocks_stand_side_by_side_where_a_screen_is_wide() {
    let text = BOOK.replace("index: both", "columns: 2");
    let files = files(&epub(&text, None));
    let texts = words(&files);
    let document = xml(&texts["chapter-3.xhtml"]);
    let figure = all(&document, "figure")[0];
    assert_eq!(figure.parent().and_then(|row| row.attribute("class")), Some("row"));
    let (_, sheet) = files.iter().find(|(name, _)| name == "EPUB/book.css").expect("a sheet");
    let sheet = String::from_utf8_lossy(sheet);
    assert!(sheet.contains(".row{display:grid;grid-template-columns:1fr 1fr"), "{sheet}");
    let plain = words(&self::files(&epub(BOOK, None)));
    assert!(!plain["chapter-3.xhtml"].contains("class=\"row\""));
}

/// A handout without a heading, and one without music, are books too.
#[test]
fn the_contents_are_never_empty() {
    for text in [
        "fill\n  play s s s s\n",
        "Words alone.\n",
        "title: A title\n\nfill \"One\"\n  play s s s s\n",
    ] {
        let texts = words(&files(&epub(text, None)));
        let document = xml(&texts["contents.xhtml"]);
        let nav = all(&document, "nav");
        let first = nav[0].descendants().find(|node| node.tag_name().name() == "a");
        assert!(first.is_some_and(|a| a.text().is_some_and(|words| !words.is_empty())), "{text}");
    }
}
