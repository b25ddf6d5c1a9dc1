//! What prose refers to: headings, parts, and the exercises of a series, printed as numbers and pages, and led
//! to.

#![allow(clippy::expect_used, clippy::panic, reason = "a test that fails panics")]

mod built;

use built::{clean, marks, words_of};
use flamacue::drawing::{Kind, Mark, Page, Shape};
use flamacue::font::Fonts;
use flamacue::source::{Diagnostics, Source};
use flamacue::syntax;
use std::sync::LazyLock;

static FONTS: LazyLock<Fonts> = LazyLock::new(|| Fonts::built_in().expect("the built-in faces"));

/// A book whose series goes on over several small pages, and words at its end that refer back.
const BOOK: &str = "title: Long walks
page: a5
chapters: new-page
numbers: by chapter

part \"The street\" {#street}

# Doubles {#doubles}

exercise \"First\"
  play  s s s s

series sticks \"All the ways\"
  notes: 4 of 8 sixteenths on snare

## By hand {#by-hand}

series apart \"Two in four\"
  columns: 2
  accents: 2 of ssss

# Looking back

Twenty: @sticks.20! Thirty: @sticks.30! Apart: @apart.4! Chapter: @doubles! Street: @street! \
Hand: @by-hand.number and no page!
";

fn words(mark: &Mark) -> Option<(&str, f64)> {
    match &mark.shape {
        Shape::Text { run, at, .. } => Some((run.text.as_str(), at.y)),
        _ => None,
    }
}

/// The words of the prose on a page, with one blank between its pieces.
fn prose(page: &Page) -> String {
    let words = words_of(page, Kind::Text).join(" ").replace('\u{a0}', " ");
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What is printed from a word up to the next sign that ends it.
fn said<'a>(prose: &'a str, after: &str) -> &'a str {
    let (_, rest) = prose.split_once(&format!("{after}: ")).expect(after);
    rest.split('!').next().expect("the rest").trim()
}

#[test]
fn exercises_of_a_series_and_headings_are_told_by_number_and_page() {
    let drawing = clean(&FONTS, "walks.flam", BOOK).expect("a clean book").drawing;
    let last = drawing.pages.last().expect("a page");
    let prose = prose(last);
    // The page on which a number stands over the staff, and where.
    let numbered = |number: &str| {
        let mut on = drawing.pages.iter().enumerate().filter_map(|(page, own)| {
            let is_it = |mark: &&Mark| words(mark).is_some_and(|(text, _)| text == number);
            let mut over = marks(own).into_iter().filter(|mark| mark.kind == Kind::Words);
            Some((page, words(over.rfind(is_it)?)?.1))
        });
        on.next().expect(number)
    };
    let (twenty, thirty) = (numbered("20"), numbered("30"));
    assert!(twenty.0 < thirty.0, "the series is too short for this test");
    assert_eq!(said(&prose, "Twenty"), format!("1.2.20 on page {}", twenty.0 + 1));
    assert_eq!(said(&prose, "Thirty"), format!("1.2.30 on page {}", thirty.0 + 1));
    let chapter = drawing.outline.iter().find(|entry| entry.title.contains("Doubles"));
    let chapter = chapter.expect("the chapter");
    assert_eq!(said(&prose, "Chapter"), format!("1 on page {}", chapter.page + 1));
    let street = drawing.outline.iter().find(|entry| &*entry.title == "The street");
    let street = street.expect("the part").page + 1;
    assert_eq!(said(&prose, "Street"), format!("\u{201c}The street\u{201d} on page {street}"));
    assert_eq!(said(&prose, "Hand"), "\u{201c}By hand\u{201d} and no page");
    let apart = drawing.outline.iter().find(|entry| &*entry.title == "1.6").expect("the fourth");
    assert_eq!(said(&prose, "Apart"), format!("1.6 on page {}", apart.page + 1));

    // Each leads where it says; an exercise inside a block to its line.
    let page = drawing.pages.len() - 1;
    let links: Vec<_> = drawing.links.iter().filter(|link| link.page == page).collect();
    let lines: Vec<_> = links.iter().filter_map(|link| link.line).collect();
    for (page, y) in [twenty, thirty] {
        let near = |line: &&flamacue::drawing::LinkedLine| line.page == page && line.y <= y;
        assert!(lines.iter().any(|line| near(&line) && y - line.y < 40.0), "{lines:?}");
    }
    let to = |words: &str| links.iter().any(|link| drawing.outline[link.to].title.contains(words));
    assert!(to("Doubles") && to("The street") && to("By hand") && to("1.6"));
}

#[test]
fn screens_lead_to_headings_and_exercises() {
    let source = Source::new("walks.flam", BOOK);
    let mut found = Diagnostics::default();
    let flowing = flamacue::compile_flowing(&source, &FONTS, None, &mut found);
    let flowing = flowing.unwrap_or_else(|| panic!("{}", found.render(&source, false)));
    let page = flamacue::write::html::write(&flowing, &FONTS).expect("a page");
    assert!(page.contains("Chapter: <a href=\"#doubles\">1</a>"));
    assert!(
        page.contains("<h2 id=\"doubles\">1  Doubles</h2>"),
        "the name is no part of the words"
    );
    assert!(page.contains("Hand: <a href=\"#by-hand\">\u{201c}By hand\u{201d}</a>"));
    assert!(page.contains("Twenty: <a href=\"#sticks\">1.2.20</a>"));
    let apart = page.split("Apart: <a href=\"#").nth(1).expect("a link");
    let (place, rest) = apart.split_once('"').expect("its place");
    assert!(rest.starts_with(">1.6</a>"));
    assert!(page.contains(&format!("<figure id=\"{place}\">")));
}

/// A file of this text, in which `two.flam` can be included, with what it includes.
fn beside(text: &str, two: &'static str) -> Source {
    let read =
        |path: &str| path.ends_with("two.flam").then(|| two.to_owned()).ok_or_else(String::new);
    syntax::gather(Source::new("one.flam", text), &read)
}

/// What a file is when it is written out, which builds to the same pages.
fn written_out(text: &str, two: &'static str) -> String {
    let pages = |text: &str| {
        let source = beside(text, two);
        let mut found = Diagnostics::default();
        let compiled = flamacue::compile(&source, &FONTS, &mut found);
        let compiled =
            compiled.unwrap_or_else(|| panic!("{}\n{text}", found.render(&source, false)));
        flamacue::write::pdf::write(&compiled.drawing, &FONTS).expect("a PDF")
    };
    let plain =
        flamacue::expand(&beside(text, two), &mut Diagnostics::default()).expect("no fault");
    assert!(pages(text) == pages(&plain), "other pages from\n{plain}");
    plain
}

/// A series of six blocks beside one another.
const APART: &str = "series Apart \"Two in four\"\n  columns: 2\n  accents: 2 of ssss\n";

#[test]
fn exercises_that_are_written_out_get_the_names_words_refer_to() {
    let text = format!(
        "{APART}\n# Second {{#apart-2}}\n\nNext *@apart.2* (@apart.2.number), @Apart.1.page, then @apart.6.page, \
         as in @apart-2.\n"
    );
    let plain = written_out(&text, "");
    let heads: Vec<_> = plain.lines().filter(|line| line.starts_with("exercise")).collect();
    let names = ["Apart \"Two in four\"", "apart-2-2", "", "", "", "apart-6"];
    assert_eq!(heads, names.map(|name| format!("exercise {name}").trim_end().to_owned()));
    let words =
        "Next *@apart-2-2* (@apart-2-2.number), @Apart.page, then @apart-6.page, as in @apart-2.\n";
    assert!(plain.ends_with(words), "{plain}");
}

#[test]
fn a_series_stays_where_another_file_refers_to_its_exercises() {
    let include = "include two.flam\n";
    let text = format!("{APART}\nSee @apart.3.\n\n{include}");
    assert_eq!(written_out(&text, "And @apart.4.\n"), text);
    // A series of that file is not written out either.
    let text = format!("{include}\nSee @apart.3.\n");
    assert_eq!(written_out(&text, APART), text);
}

/// What is found in a text, in one line each.
fn found(text: &str) -> Vec<String> {
    let source = Source::new("walks.flam", text);
    let mut found = Diagnostics::default();
    flamacue::understand(&source, &mut found);
    found.sorted().iter().map(|fault| fault.message.clone()).collect()
}

#[test]
fn a_heading_over_a_line_of_signs_has_a_name_too() {
    let text = "Long\nDoubles {#doubles}\n=====\n\nSee @doubles.\n\nfill\n  play  s s s s\n";
    assert_eq!(found(text), [""; 0]);
    let drawing = clean(&FONTS, "a.flam", text).expect("a clean text").drawing;
    assert_eq!(&*drawing.outline[0].title, "Long Doubles");
    // A stroke makes brackets ordinary signs.
    let text = "# Sets \\{a\\}\n\nfill\n  play  s s s s\n";
    let drawing = clean(&FONTS, "a.flam", text).expect("a clean text").drawing;
    assert_eq!(&*drawing.outline[0].title, "Sets {a}");
}

#[test]
fn an_address_is_no_reference_with_whatever_letter_it_begins() {
    // A letter with its accent is one character or two; both look the same.
    for address in ["jose@example", "jos\u{e9}@example", "jose\u{301}@example", "r2@example"] {
        let text = format!("Write to {address}.\n\nfill\n  play  s s s s\n");
        assert_eq!(found(&text), [""; 0], "{address}");
    }
}

#[test]
fn what_an_edition_leaves_out_is_told_without_a_page() {
    let text = format!(
        "{BOOK}\nfill \"Home\"\n  play  s s s s\n\nedition short\n  without: first, sticks, apart\n"
    );
    let text = text.replace("exercise \"First\"", "exercise first \"First\"");
    let source = Source::new("walks.flam", text.as_str());
    let mut found = Diagnostics::default();
    let score = flamacue::read_edition(&source, "short", &mut found);
    let score = score.unwrap_or_else(|| panic!("{}", found.render(&source, false)));
    let wanted = flamacue::pages::Wanted::Pages;
    let set = flamacue::typeset(&source, &score, &FONTS, None, wanted, &mut found);
    let drawing = set.expect("pages").flat().drawing;
    let prose = prose(drawing.pages.last().expect("a page"));
    assert_eq!(said(&prose, "Twenty"), "1.2.20");
    assert_eq!(said(&prose, "Chapter"), "1");
}

#[test]
fn words_that_refer_follow_a_heading_as_others_do() {
    let gap = |prose: &str| {
        let text = format!("# Doubles {{#doubles}}\n\n{prose}\n\nexercise\n  play  s s s s\n");
        let drawing = clean(&FONTS, "doubles.flam", &text).expect("clean").drawing;
        let of = |kind| {
            let mut all = marks(&drawing.pages[0]).into_iter().filter(|mark| mark.kind == kind);
            words(all.next().expect("words")).expect("words").1
        };
        of(Kind::Text) - of(Kind::Heading)
    };
    assert_eq!(gap("All of @doubles is slow."), gap("All of this is slow."));
}

#[test]
fn a_page_number_wider_than_its_column_goes_on_in_the_next_line() {
    const COLUMNS: usize = 24;
    let row = |cell: &str| format!("|{}\n", format!("{cell}|").repeat(COLUMNS));
    let chapters: String =
        (1..=123).map(|n| format!("# Day {n} {{#day-{n}}}\n\nWalk.\n\n")).collect();
    let table = [row(" a "), row("---"), row(" @day-123.page ")].concat();
    let text = format!("page: a5\nchapters: new-page\n\n{chapters}{table}");
    let drawing = clean(&FONTS, "days.flam", &text).expect("clean").drawing;
    let last = words_of(drawing.pages.last().expect("a page"), Kind::Text);
    let wanted = ["Walk."].into_iter().chain(["a"; COLUMNS]);
    let wanted = wanted.chain(["12"; COLUMNS]).chain(["3"; COLUMNS]);
    assert_eq!(last, wanted.collect::<Vec<_>>());
}
