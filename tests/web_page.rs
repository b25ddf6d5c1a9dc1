//! The web page of a book: its lists, its columns, and what it says where there are no pages; and what a
//! PDF says of itself.

#![allow(clippy::expect_used, clippy::panic, reason = "a test that fails panics")]

use flamacue::font::Fonts;
use flamacue::source::{Diagnostics, Source};
use std::sync::LazyLock;

static FONTS: LazyLock<Fonts> = LazyLock::new(|| Fonts::built_in().expect("the built-in faces"));

const BOOK: &str = "title: Doors
contents: exercises
index: both
columns: 2

# One

See @front.number on page @front.page, and `code`.

exercise front \"The front door\"
  tags: hands
  play  s s s s

exercise \"A back door\"
  tags: hands
  play  s s s s

## Two

Words[^a].

[^a]: A note.

exercise \"Alone\"
  columns: 1
  play  s s s s
";

fn html(text: &str) -> String {
    let source = Source::new("book.flam", text);
    let mut diagnostics = Diagnostics::default();
    let flowing = flamacue::compile_flowing(&source, &FONTS, None, &mut diagnostics);
    let flowing = flowing.unwrap_or_else(|| panic!("{}", diagnostics.render(&source, false)));
    flamacue::write::html::write(&flowing, &FONTS).expect("a page")
}

fn pdf(text: &str) -> Vec<u8> {
    let source = Source::new("book.flam", text);
    let mut diagnostics = Diagnostics::default();
    let drawing = flamacue::compile_pages(&source, &FONTS, None, &mut diagnostics);
    flamacue::write::pdf::write(&drawing.expect("pages"), &FONTS).expect("a PDF")
}

/// Every place something leads to is there, once.
#[test]
fn contents_and_index_lead_to_their_places() {
    let page = html(BOOK);
    let parts = |before: &str| -> Vec<&str> {
        page.split(before).skip(1).filter_map(|rest| rest.split('"').next()).collect()
    };
    let places = parts(" id=\"");
    let leads = parts("<a href=\"#");
    // Two headings, three exercises and two lists of the index in the contents; three and two in the index; one reference, and a
    // footnote there and back.
    assert_eq!(leads.len(), 7 + 3 + 2 + 1 + 2, "{leads:?}");
    for to in leads {
        assert_eq!(places.iter().filter(|place| **place == to).count(), 1, "{to}");
    }
    assert!(page.contains("<nav aria-label=\"Contents\">"));
    let index = page.split("<nav class=\"index\"").nth(1).expect("the index");
    let order: Vec<usize> =
        ["Alone", "A back door", "The front door"].iter().filter_map(|t| index.find(t)).collect();
    assert!(order.len() == 3 && order.is_sorted(), "articles are passed over: {order:?}");
}

#[test]
fn blocks_stand_side_by_side_where_they_ask_for_it() {
    let page = html(BOOK);
    let row = page.split("<div class=\"row\">").nth(1).expect("a row");
    let row = row.split("</div>").next().unwrap_or("");
    assert_eq!(row.matches("<figure").count(), 2);
    assert_eq!(page.matches("<figure").count(), 3);
}

#[test]
fn a_page_without_pages_names_none() {
    let page = html(BOOK);
    assert!(page.contains("See <a href=\"#front\">1</a>, and"));
    let page = html(&BOOK.replace("@front.number on page", "what is on page"));
    assert!(page.contains("See what is <a href=\"#front\">1</a>, and"));
}

#[test]
fn pages_that_follow_each_other_are_joined_in_the_index() {
    let mut text =
        "title: Doors\nindex: techniques\ntags: hands\nchapters: new-page\n\n".to_owned();
    for page in [1, 2, 3, 5, 6] {
        text.push_str(&format!("# {page}\n\nexercise \"E{page}\"\n  play s s s s\n\n"));
        if page == 3 {
            text.push_str("# 4\n\nWords.\n\n");
        }
    }
    let source = Source::new("book.flam", text);
    let pages = flamacue::compile_pages(&source, &FONTS, None, &mut Diagnostics::default());
    let json = flamacue::write::json::write(&pages.expect("pages"));
    let index = json.split("Index of techniques").last().expect("the index");
    let words: String =
        index.split("\"words\":\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    assert!(words.starts_with("hands\u{2002}1–3, 5, 6"), "{words}");
}

#[test]
fn a_pdf_says_its_language_and_that_all_can_use_it() {
    let made = |header: &str| {
        let bytes = pdf(&format!("{header}\n\nWords\n\nfill\n  play s s s s\n"));
        String::from_utf8_lossy(&bytes).into_owned()
    };
    let plain = made("tempo: 60");
    assert!(plain.contains("<rdf:li>en</rdf:li>") && !plain.contains("pdfuaid:part"));
    let titled = made("title: A\nlanguage: de-CH");
    assert!(titled.contains("<rdf:li>de-CH</rdf:li>"));
    assert!(titled.contains("<pdfuaid:part>1</pdfuaid:part>"));
    // The table of the objects is a stream, and compressed.
    let start = titled.rsplit("startxref").next().and_then(|rest| rest.split_whitespace().next());
    let start: usize = start.and_then(|at| at.parse().ok()).expect("a place");
    let bytes = pdf("title: A\nlanguage: de-CH\n\nWords\n\nfill\n  play s s s s\n");
    let head = String::from_utf8_lossy(&bytes[start..start + 200]).into_owned();
    assert!(head.contains("/XRef") && head.contains("/FlateDecode"), "{head}");
}
