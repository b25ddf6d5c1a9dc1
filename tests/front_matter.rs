//! The pages after a title page: what stands where, in which order, and what files say of themselves.

#![allow(clippy::expect_used, clippy::panic, reason = "a test that fails panics")]

mod built;

use built::{clean, words_of};
use flamacue::drawing::{Drawing, Kind};
use flamacue::font::Fonts;
use flamacue::source::{Diagnostics, Source};
use std::sync::LazyLock;

static FONTS: LazyLock<Fonts> = LazyLock::new(|| Fonts::built_in().expect("the built-in faces"));

const HEAD: &str = "title: The Long Way Round
author: Isolde Quarrier
copyright: All of it
page: a6
title-page: on
contents: headings
";
const FRONT: &str = "dedication: For Wren
publisher: Flour Loft Press
year: 2026
printing: Second edition
thanks: Thanks to \"all\"
isbn: 0-306-40615-2
";
const BODY: &str = "\n# One\n\nexercise\n  play  s s s s\n";

fn drawing(head: &str) -> Drawing {
    clean(&FONTS, "book.flam", &format!("{head}{BODY}")).expect("a clean book").drawing
}

/// On which page, from 1, words of a kind stand.
fn page_of(drawing: &Drawing, kind: Kind, words: &str) -> Option<usize> {
    let has = |page| words_of(page, kind).iter().any(|own| own == words);
    drawing.pages.iter().position(has).map(|page| page + 1)
}

#[test]
fn the_imprint_is_on_the_back_of_the_title_page_and_the_dedication_on_the_right() {
    let book = drawing(&format!("{HEAD}{FRONT}"));
    let imprint: Vec<String> = words_of(&book.pages[1], Kind::Foot);
    assert_eq!(
        imprint,
        [
            "Flour Loft Press, 2026",
            "All of it",
            "Second edition",
            "Thanks to \u{201c}all\u{201d}",
            "ISBN\u{a0}0-306-40615-2",
        ]
    );
    assert!(words_of(&book.pages[0], Kind::Foot).is_empty(), "the copyright stands once");
    assert_eq!(page_of(&book, Kind::Subtitle, "For Wren"), Some(3));
    assert_eq!(page_of(&book, Kind::Heading, "Contents"), Some(4));
    // Lines of the imprint are all in sight.
    let height = book.pages[1].height;
    let lowest = built::marks(&book.pages[1]).into_iter().map(|mark| mark.shape.bounds(&FONTS).y1);
    assert!(lowest.fold(0.0, f64::max) < height);
}

#[test]
fn a_book_has_the_pages_it_asks_for() {
    let plain = drawing(HEAD);
    assert_eq!(page_of(&plain, Kind::Foot, "All of it"), Some(1));
    assert_eq!(page_of(&plain, Kind::Heading, "Contents"), Some(2));
    let dedicated = drawing(&format!("{HEAD}dedication: For Wren\n"));
    assert!(dedicated.pages[1].nodes.is_empty());
    assert_eq!(page_of(&dedicated, Kind::Subtitle, "For Wren"), Some(3));
    assert_eq!(page_of(&dedicated, Kind::Foot, "All of it"), Some(1));
    let numbered = drawing(&format!("{HEAD}isbn: 978-0-11-000222-4\n"));
    assert_eq!(page_of(&numbered, Kind::Foot, "ISBN\u{a0}978-0-11-000222-4"), Some(2));
    assert_eq!(page_of(&numbered, Kind::Foot, "All of it"), Some(2));
}

#[test]
fn files_name_the_number_and_the_publisher() {
    let book = drawing(&format!("{HEAD}{FRONT}"));
    let pdf = flamacue::write::pdf::write(&book, &FONTS).expect("a PDF");
    let pdf = String::from_utf8_lossy(&pdf);
    assert!(pdf.contains("<dc:identifier>urn:isbn:9780306406157</dc:identifier>"));
    assert!(pdf.contains("<rdf:li>Flour Loft Press</rdf:li></rdf:Bag></dc:publisher>"));

    let text = format!("{HEAD}{FRONT}{BODY}");
    let source = Source::new("book.flam", text.as_str());
    let mut found = Diagnostics::default();
    let flowing = flamacue::compile_flowing(&source, &FONTS, None, &mut found);
    let flowing = flowing.unwrap_or_else(|| panic!("{}", found.render(&source, false)));
    let page = flamacue::write::html::write(&flowing, &FONTS).expect("a page");
    assert!(page.contains("<p class=\"dedication\">For Wren</p>"));
    assert!(page.contains("<footer>Flour Loft Press, 2026<br>\nAll of it<br>\n"));
}
