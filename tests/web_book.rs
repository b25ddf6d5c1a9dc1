//! A web book: its pages, and what leads from one to another.

#![allow(clippy::expect_used, clippy::panic, reason = "a test that fails panics")]

use flamacue::font::Fonts;
use flamacue::source::{Diagnostics, Source};
use flamacue::write::html::{WebPage, write_book};
use std::collections::BTreeSet;
use std::sync::LazyLock;

static FONTS: LazyLock<Fonts> = LazyLock::new(|| Fonts::built_in().expect("the built-in faces"));

const BOOK: &str = "title: Doors & Floors
author: Wren Okafor
dedication: For Imke
copyright: All of it
title-page: off
index: both

Read this first, then @back.

part \"Part one\" {#all}

# One {#one}

See @front on page @front.page, `code`[^a], *@back* and @one.

[^a]: A note.

exercise front \"The front door <\"
  tags: hands
  play   s s s s

## Inside

# Two

exercise back \"A back door\"
  tags: hands
  play  s s s s

See @front and @all.
";

fn book(text: &str) -> Vec<WebPage> {
    let source = Source::new("book.flam", text);
    let mut diagnostics = Diagnostics::default();
    let flowing = flamacue::compile_flowing(&source, &FONTS, None, &mut diagnostics);
    let flowing = flowing.unwrap_or_else(|| panic!("{}", diagnostics.render(&source, false)));
    write_book(&flowing, &FONTS).expect("a book")
}

/// What stands between two signs, wherever they stand.
fn between<'a>(text: &'a str, before: &str, after: char) -> Vec<&'a str> {
    text.split(before).skip(1).filter_map(|rest| rest.split(after).next()).collect()
}

#[test]
fn each_page_shows_how_its_own_blocks_go() {
    let pages = book(BOOK);
    for page in &pages {
        let blocks = between(&page.html, "<figure id=\"", '"').len();
        let buttons = between(&page.html, "<span class=\"show\" data-block=\"", '"');
        let numbers: Vec<String> = (0..blocks).map(|nth| nth.to_string()).collect();
        assert_eq!(buttons, numbers, "{}", page.name);
        let data = page.html.split("id=\"motion-data\">").nth(1);
        let data = data.and_then(|data| data.split("</script>").next());
        let moved = data.map(|data| serde_json::from_str(data).expect("JSON"));
        let moved: Vec<serde_json::Value> = moved.unwrap_or_default();
        assert_eq!(moved.len(), blocks, "{}", page.name);
    }
    let all: usize = pages.iter().map(|page| page.html.matches("class=\"show\"").count()).sum();
    assert_eq!(all, 2);
}

fn names(pages: &[WebPage]) -> Vec<&str> {
    pages.iter().map(|page| page.name.as_str()).collect()
}

#[test]
fn each_chapter_has_a_page_and_the_first_has_the_contents() {
    let pages = book(BOOK);
    assert_eq!(
        names(&pages),
        ["index.html", "chapter-1.html", "chapter-2.html", "chapter-3.html", "book-index.html"]
    );
    let first = &pages[0].html;
    let order: Vec<usize> =
        ["<h1>Doors &amp; Floors", "For Imke", "<nav aria-label=\"Contents\">", "Read this"]
            .iter()
            .filter_map(|words| first.find(words))
            .collect();
    assert!(order.len() == 4 && order.is_sorted(), "{order:?}");
    let listed = first.split("</nav>").next().unwrap_or("");
    assert_eq!(
        between(listed, "<a href=\"", '"'),
        [
            "chapter-1.html#all",
            "chapter-2.html#one",
            "chapter-2.html#place-7",
            "chapter-3.html#place-8",
            "book-index.html#index-1",
            "book-index.html#index-2",
        ]
    );
    for (page, title) in pages.iter().zip(["", "Part one", "One", "Two", "Index of"]) {
        assert!(page.html.contains(&format!("<title>{title}")), "{}", page.name);
        assert!(page.html.contains("<footer>All of it</footer>"), "{}", page.name);
        // A page has one heading above all others.
        assert!(page.html.matches("<h1").count() <= 1, "{}", page.name);
    }
    assert!(pages[2].html.contains("<h1 id=\"one\">One</h1>"));
    assert!(pages[2].html.contains("<title>One \u{2013} Doors &amp; Floors</title>"));
}

#[test]
fn what_leads_somewhere_finds_its_place_in_its_page() {
    let pages = book(BOOK);
    let mut places = BTreeSet::new();
    for page in &pages {
        for id in between(&page.html, " id=\"", '"') {
            assert!(places.insert((page.name.as_str(), id)), "{}: {id} twice", page.name);
        }
    }
    let all = names(&pages);
    let mut followed = 0;
    for page in &pages {
        for to in between(&page.html, "href=\"", '"').into_iter().filter(|to| *to != "data:,") {
            let (file, place) = to.split_once('#').unwrap_or((to, ""));
            let file = if file.is_empty() { page.name.as_str() } else { file };
            assert!(all.contains(&file), "{}: {to}", page.name);
            assert!(place.is_empty() || places.contains(&(file, place)), "{}: {to}", page.name);
            followed += 1;
        }
    }
    assert!(followed > 50, "{followed}");
    assert!(pages[2].html.contains("<em><a href=\"chapter-3.html#back\">2</a></em>"));
    assert!(pages[0].html.contains("then <a href=\"chapter-3.html#back\">2</a>."));
}

#[test]
fn a_reader_turns_from_page_to_page() {
    let pages = book(BOOK);
    let of = |page: &WebPage, rel: &str| -> BTreeSet<String> {
        let all = between(&page.html, &format!("rel=\"{rel}\" href=\""), '"');
        all.into_iter().map(str::to_owned).collect()
    };
    let only = |name: Option<&WebPage>| name.map(|page| page.name.clone()).into_iter().collect();
    for (at, page) in pages.iter().enumerate() {
        let before = at.checked_sub(1).and_then(|at| pages.get(at));
        assert_eq!(of(page, "prev"), only(before), "{}", page.name);
        assert_eq!(of(page, "next"), only(pages.get(at + 1)), "{}", page.name);
        let contents = page.html.matches("<a href=\"index.html\">Contents</a>").count();
        assert_eq!(contents, if at == 0 { 0 } else { 2 }, "over the page and under it");
    }
}

/// A page is read from a disk, and goes to a friend alone: all but the other pages is in it.
#[test]
fn a_page_needs_nothing_but_itself() {
    for page in book(BOOK) {
        assert!(!page.html.contains(" src=\"") && !page.html.contains("@import"), "{}", page.name);
        for from in between(&page.html, "url(", ')') {
            assert!(from.starts_with("data:"), "{from}");
        }
        // Outlines are those of its own pictures.
        let places: BTreeSet<&str> = between(&page.html, " id=\"", '"').into_iter().collect();
        for drawn in between(&page.html, "<use href=\"#", '"') {
            assert!(places.contains(drawn), "{}: {drawn}", page.name);
        }
    }
}

#[test]
fn a_text_without_headings_is_a_book_of_one_page() {
    let pages = book("title: Doors\n\nfill front \"Front\"\n  play  s s s s\n");
    assert_eq!(names(&pages), ["index.html"]);
    assert!(pages[0].html.contains("<figure id=\"front\">"));
    assert!(!pages[0].html.contains("class=\"turn"), "there is nothing to turn to");
}
