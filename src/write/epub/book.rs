//! The files of a book, in the order they are read.

use super::archive::{BookFile, archive};
use super::chapter;
use super::contents::{self, Landmark};
use super::identifier::identifier;
use super::package::{About, CONTAINER, Listed, package};
use super::xhtml;
use crate::font::Fonts;
use crate::pages::flowing::Flowing;
use crate::score::Header;
use crate::score::settings::Contents;
use crate::write::error::WriteError;
use crate::write::html::{
    HtmlWords, dedication, divided, escape, index, leads, plain, title_lines,
};
use crate::write::svg::SharedPictures;

/// What the file of an archive says it is (EPUB 3.3, "The mimetype file").
const MEDIA: &[u8] = b"application/epub+zip";
/// The language of words that name none.
const LANGUAGE: &str = "en";
/// The title of a text that has none.
const NO_TITLE: &str = "Drum-text";

const XHTML: &str = "application/xhtml+xml";
const CONTENTS: &str = "contents.xhtml";
const TITLE: &str = "title.xhtml";
const IMPRINT: &str = "imprint.xhtml";
const DEDICATION: &str = "dedication.xhtml";
const INDEX: &str = "index.xhtml";

/// A text as an EPUB, changed last at a time in seconds since the start of 1970.
///
/// # Errors
/// Says which face could not be embedded, or that the book is too large for its archive.
pub fn write(flowing: &Flowing, fonts: &Fonts, date: Option<i64>) -> Result<Vec<u8>, WriteError> {
    let header = &flowing.header;
    let title = header.title.as_deref().filter(|title| !title.trim().is_empty());
    let title = title.unwrap_or(NO_TITLE);
    let language = header.language.as_deref().unwrap_or(LANGUAGE);
    let mut book = Book { language, letters: String::new(), files: Vec::new() };
    let mut pictures = SharedPictures::new(fonts);
    book.read(flowing, title, &mut pictures);
    pictures.letters(&book.letters);
    book.dress(&pictures)?;
    let isbn = header.front.isbn.as_ref().map(|isbn| format!("urn:isbn:{}", isbn.digits));
    let content = || identifier(book.files.iter().map(|(_, bytes)| bytes.as_slice()));
    let identifier = isbn.unwrap_or_else(content);
    let about = About { header, title, language, identifier: &identifier, date };
    archive(book.packed(&about))
}

/// A book as it grows.
struct Book<'a> {
    language: &'a str,
    /// The words of all files so far.
    letters: String,
    files: Vec<(Listed, Vec<u8>)>,
}

impl Book<'_> {
    /// Takes all that is read.
    fn read(&mut self, flowing: &Flowing, title: &str, pictures: &mut SharedPictures<'_>) {
        let chapters = divided(flowing);
        let files: Vec<String> = (0..chapters.len()).map(chapter::file).collect();
        let filed = files.iter().map(String::as_str).zip(chapters.iter().copied());
        let leads = leads(filed.clone(), &flowing.index, INDEX);
        let is_listed = match flowing.header.contents {
            Contents::None => false,
            Contents::Headings | Contents::Exercises => true,
        };
        let mark = |kind, file: &str, words: &str| Landmark {
            kind,
            file: file.to_owned(),
            words: words.to_owned(),
        };
        let first = filed.clone().next();
        let first = first.map(|(file, own)| mark("bodymatter", file, own.title.unwrap_or(title)));
        let toc = is_listed.then(|| mark("toc", CONTENTS, flowing.printed.contents));
        let last = flowing.index.first().map(|list| mark("index", INDEX, list.title));
        let marks = [Some(mark("titlepage", TITLE, title)), toc, first, last];
        let marks: Vec<Landmark> = marks.into_iter().flatten().collect();

        let header = &flowing.header;
        self.page(TITLE, title, title_page(header, title), None, true);
        let imprint = header.front.imprint(header.copyright.as_deref());
        if !imprint.is_empty() {
            self.page(IMPRINT, title, section("copyright-page", &lines(&imprint)), None, true);
        }
        let dedicated = dedication(header);
        if !dedicated.is_empty() {
            self.page(DEDICATION, title, section("dedication", &dedicated), None, true);
        }
        let listed = contents::body(flowing, &leads, &marks);
        self.page(CONTENTS, flowing.printed.contents, listed, Some("nav"), is_listed);
        let mut words = HtmlWords::new(&flowing.named, &flowing.figures, &leads);
        for (file, own) in filed {
            let body = chapter::body(&own, &mut words, pictures);
            self.page(file, own.title.unwrap_or(title), body, Some("svg"), true);
        }
        pictures.code_letters(&words.code);
        if let Some(list) = flowing.index.first() {
            self.page(INDEX, list.title, index(&flowing.index, &leads), None, true);
        }
    }

    fn page(
        &mut self,
        name: &str,
        title: &str,
        body: String,
        properties: Option<&'static str>,
        read: bool,
    ) {
        self.letters.push_str(&plain(&body));
        let bytes = xhtml::file(self.language, title, &body);
        self.files.push((Listed { name: name.to_owned(), media: XHTML, properties, read }, bytes));
    }

    /// Takes the style sheet and the fonts it names.
    fn dress(&mut self, pictures: &SharedPictures<'_>) -> Result<(), WriteError> {
        let mut rules = String::new();
        for (index, face) in pictures.face_files()?.into_iter().enumerate() {
            // The signature of a font with PostScript outlines (OpenType 1.9, "Organization of an OpenType
            // Font").
            let (ending, media) = if face.bytes.starts_with(b"OTTO") {
                ("otf", "font/otf")
            } else {
                ("ttf", "font/ttf")
            };
            let name = format!("font-{}.{ending}", index + 1);
            rules.push_str(&face.rule(&name));
            self.files.push((Listed { name, media, properties: None, read: false }, face.bytes));
        }
        let sheet = xhtml::style(&rules, pictures);
        let name = "book.css".to_owned();
        self.files.push((Listed { name, media: "text/css", properties: None, read: false }, sheet));
        Ok(())
    }

    /// All files of the archive. What says what it is stands first and is not packed.
    fn packed(self, about: &About<'_>) -> Vec<BookFile> {
        let (listed, bytes): (Vec<Listed>, Vec<Vec<u8>>) = self.files.into_iter().unzip();
        let file =
            |name: &str, bytes: Vec<u8>, packed| BookFile { name: name.to_owned(), bytes, packed };
        let mut files = vec![
            file("mimetype", MEDIA.to_vec(), false),
            file("META-INF/container.xml", CONTAINER.as_bytes().to_vec(), true),
            file("EPUB/package.opf", package(about, &listed).into_bytes(), true),
        ];
        let named = listed.iter().zip(bytes);
        files.extend(named.map(|(own, bytes)| file(&format!("EPUB/{}", own.name), bytes, true)));
        files
    }
}

/// Title, subtitle, author and level, and the copyright, where no imprint has it.
fn title_page(header: &Header, title: &str) -> String {
    let mut page = title_lines(header);
    if header.title.is_none() {
        page = format!("<h1>{}</h1>\n{page}", escape(title));
    }
    let copyright = header.copyright.clone().filter(|_| !header.front.has_imprint());
    page.push_str(&lines(copyright.as_slice()));
    section("titlepage", &page)
}

/// Lines of words, a paragraph each.
fn lines(lines: &[String]) -> String {
    lines.iter().map(|line| format!("<p>{}</p>\n", escape(line))).collect()
}

/// A part of a book of a kind (EPUB 3 Structural Semantics Vocabulary).
fn section(kind: &str, body: &str) -> String {
    format!("<section epub:type=\"{kind}\">\n{body}</section>\n")
}
