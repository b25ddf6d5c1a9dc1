//! Chapters as XHTML.

use crate::write::html::{BodyForm, Chapter, ChapterKind, HtmlWords, body as html_body};
use crate::write::svg::SharedPictures;
use std::collections::BTreeMap;

/// The widths of a book's music, from the narrowest; what is wider than a page of a book is left out.
const FORM: BodyForm = BodyForm { chapter: 1, widths: 2 };

/// How a picture begins in XML, which has to say what its elements are.
const SVG: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" ";

/// The name of the file of a chapter, by its index.
pub(super) fn file(index: usize) -> String {
    format!("chapter-{}.xhtml", index + 1)
}

/// What stands in the body of a chapter's file.
pub(super) fn body(
    chapter: &Chapter<'_>,
    words: &mut HtmlWords<'_>,
    pictures: &mut SharedPictures<'_>,
) -> String {
    pictures.next_file();
    let body = html_body(chapter.items, (FORM, &BTreeMap::new()), words, pictures);
    // What it is to a reader (EPUB 3 Structural Semantics Vocabulary), where it is something.
    let kind = match chapter.kind {
        ChapterKind::Opening => "",
        ChapterKind::Part => " epub:type=\"part\"",
        ChapterKind::Chapter => " epub:type=\"chapter\"",
    };
    let body = format!("{}<section{kind}>\n{body}</section>\n", pictures.definitions());
    // A web page knows pictures by their name alone. Words hold no `<`, so that it is no word of theirs.
    body.replace("<svg ", SVG)
}
