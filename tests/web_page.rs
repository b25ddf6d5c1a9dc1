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

/// What stands in a page as JSON for what moves; nothing where nothing does.
fn motion(page: &str) -> Option<Vec<serde_json::Value>> {
    let data = page.split("id=\"motion-data\">").nth(1)?;
    serde_json::from_str(data.split("</script>").next()?).ok()
}

/// How often a page has some words.
fn count(page: &str, words: &str) -> usize {
    page.matches(words).count()
}

#[test]
fn each_block_has_a_button_that_shows_how_it_goes() {
    let text = BOOK.replace("index: both\n", "index: both\ntempo: 120\nkey: first page\n");
    let page = html(&text);
    let moved = motion(&page).expect("what moves");
    // The key is a figure too and does not go.
    assert_eq!((count(&page, "<figure"), moved.len()), (4, 3));
    for (nth, name) in ["1 The front door", "2 A back door", "3 Alone"].iter().enumerate() {
        let button = format!(
            "<span class=\"show\" data-block=\"{nth}\" hidden><span class=\"counted\" aria-hidden=\"true\"></span>\
             <button type=\"button\" aria-pressed=\"false\" aria-label=\"Show how “{name}” goes, without sound\""
        );
        assert_eq!(count(&page, &button), 1, "{name}");
    }
    // Four quarters at 120, after a bar that is counted in.
    let [first, ..] = moved.as_slice() else { panic!("{moved:?}") };
    assert_eq!(first["seconds"], 2.0);
    let lights = first["motion"]["lights"].as_array().expect("lights");
    let onsets: Vec<f64> = lights.iter().filter_map(|light| light[0].as_f64()).collect();
    assert_eq!(onsets, [0.0, 0.5, 1.0, 1.5]);
    assert_eq!(first["motion"]["beats"][0][0], -2.0);
    // A drawing for each width.
    assert_eq!(first["motion"]["ways"].as_array().map(Vec::len), Some(3));
    // Nothing is loaded, and the same text is the same page.
    assert_eq!(count(&page, "content=\"default-src 'none';"), 1);
    assert_eq!(page, html(&text));
    // What moves is a small part of a page.
    let data = serde_json::to_string(&moved).expect("JSON");
    assert!(data.len() * 3 < page.len(), "{} of {}", data.len(), page.len());
}

#[test]
fn what_is_to_be_found_out_and_what_hardly_ends_does_not_go() {
    let none = html("title: Words\n\nNothing to play.\n");
    assert!(motion(&none).is_none() && count(&none, "<script") == 0);
    let block = "fill \"One\"\n  play  s s s s\n";
    assert_eq!(motion(&html(block)).map(|own| own.len()), Some(1));
    for way in ["counts", "sticking", "notes", "every second bar"] {
        let blank = html(&block.replace("  play", &format!("  blank: {way}\n  play")));
        assert!(motion(&blank).is_none() && count(&blank, "<script") == 0, "{way}");
    }
    let again = |times: u32| {
        motion(&html(&format!("fill \"Again\"\n  play   |: s s s s :| x{times}\n"))).is_some()
    };
    assert_eq!((again(16), again(17)), (true, false));
}

#[test]
fn what_a_button_says_is_in_the_language_of_the_page_and_no_markup() {
    let page = html("language: de\n\nfill \"Eins <b>\"\n  play  s s s s\n");
    assert_eq!(count(&page, "aria-label=\"Zeigen, wie „1 Eins &lt;b&gt;“ geht, ohne Ton\""), 1);
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
