//! Editions: the text with other lines, fewer blocks or letters for the other hand, worksheets with their
//! answers, and blocks on pages of their own.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used, clippy::panic)]

mod built;

use built::{marks, number_of};
use flamacue::drawing::{Kind, Page, Shape};
use flamacue::font::Fonts;
use flamacue::pages::Wanted;
use flamacue::score::settings::StickingPlace;
use flamacue::score::{Hand, Item, PlacedBlock, Score};
use flamacue::source::{Diagnostics, Source};
use flamacue::write::pdf::{InkSpace, PdfOptions};

const DOORS: &str = "title: Doors\ntempo: 84\n\n\
    edition student \"For the student\"\n  all: sticking: none\n  tempo: 72\n\n\
    edition soft\n  sticking: none\n\n\
    edition sinister\n  lead: left\n\n\
    edition some\n  only: back, thrice\n\n\
    edition rest\n  without: front\n\n\
    # One\n\nLook at this:\n\n\
    exercise front \"Front\"\n  sticking: show\n  play   'sss ssss s s\n  stick  lRLR LRLR L R\n\n\
    Under the front.\n\n\
    # Two\n\nOver the back.\n\n\
    exercise back \"Back\"\n  stick: alternate\n  play   ssss ssss s s\n\nAs @front, but longer.\n\n\
    variation thrice of front \"Thrice\"\n  taps: diddle\n";

fn in_edition(text: &str, edition: &str) -> Score {
    let source = Source::new("doors.flam", text);
    let mut diagnostics = Diagnostics::default();
    let score = flamacue::read_edition(&source, edition, &mut diagnostics);
    score.unwrap_or_else(|| panic!("{}", diagnostics.render(&source, false)))
}

fn blocks(score: &Score) -> Vec<&PlacedBlock> {
    let mut blocks = Vec::new();
    for item in &score.items {
        match item {
            Item::Block(block) => blocks.push(block),
            Item::Heading { .. } | Item::Prose(_) => {}
        }
    }
    blocks
}

fn names(score: &Score) -> Vec<(String, Option<String>)> {
    let name =
        |block: &PlacedBlock| (block.name.clone().unwrap_or_default(), block.printed_number());
    blocks(score).into_iter().map(name).collect()
}

fn hands(block: &PlacedBlock) -> String {
    let letters = block.part.bars.iter().flat_map(|bar| &bar.sticking);
    let letter = |hand: &Hand| hand.letter();
    letters
        .flat_map(|own| {
            let grace = own.grace.iter().map(letter).map(|c| c.to_ascii_lowercase());
            grace.chain([own.hand.letter()]).collect::<Vec<_>>()
        })
        .collect()
}

/// The pages of an edition, or of the text as it stands.
fn pages(text: &str, edition: Option<&str>) -> Vec<Page> {
    let source = Source::new("doors.flam", text);
    let mut diagnostics = Diagnostics::default();
    let score = match edition {
        Some(edition) => flamacue::read_edition(&source, edition, &mut diagnostics),
        None => flamacue::read(&source, &mut diagnostics),
    };
    let fonts = Fonts::built_in().expect("the built-in faces");
    let set = score.and_then(|score| {
        flamacue::typeset(&source, &score, &fonts, None, Wanted::Pages, &mut diagnostics)
    });
    let set = set.unwrap_or_else(|| panic!("{}", diagnostics.render(&source, false)));
    set.flat().drawing.pages
}

/// All words on a page, in drawing order.
fn words_of(page: &Page) -> String {
    let words = marks(page).into_iter().filter_map(|mark| match &mark.shape {
        Shape::Text { run, .. } => Some(run.text.clone()),
        Shape::Box(_) | Shape::Path(_) | Shape::Glyph { .. } | Shape::Picture { .. } => None,
    });
    words.collect::<Vec<_>>().join(" ")
}

#[test]
fn lines_of_an_edition_hold_over_the_headers_and_all_over_the_blocks() {
    let plain = in_edition(DOORS, "soft");
    let shown: Vec<bool> =
        blocks(&plain).iter().map(|b| b.part.settings.sticking != StickingPlace::Hidden).collect();
    assert_eq!(shown, [true, false, true], "a block's own line stays");
    let student = in_edition(DOORS, "Student");
    assert!(
        blocks(&student).iter().all(|block| block.part.settings.sticking == StickingPlace::Hidden)
    );
    let tempo = |block: &&PlacedBlock| block.settings.tempo.as_ref().map(|tempo| tempo.per_minute);
    assert!(blocks(&student).iter().all(|block| tempo(block) == Some(72.0)));
    assert_eq!(student.header.subtitle.as_deref(), Some("For the student"));
}

#[test]
fn an_edition_is_not_printed_and_changes_nothing_of_the_text_as_it_stands() {
    let bare: Vec<&str> =
        DOORS.split("\n\n").filter(|stretch| !stretch.starts_with("edition")).collect();
    let (with, without) = (pages(DOORS, None), pages(&bare.join("\n\n"), None));
    let words = |pages: &[Page]| pages.iter().map(words_of).collect::<Vec<_>>();
    assert_eq!(words(&with), words(&without));
}

#[test]
fn blocks_keep_their_numbers_and_words_go_with_their_music() {
    let some = in_edition(DOORS, "some");
    let number = |n: &str| Some(n.to_owned());
    assert_eq!(names(&some), [("back".into(), number("2")), ("thrice".into(), number("3"))]);
    // The first heading and all under it are gone.
    assert_eq!(some.items.len(), 5, "{:?}", some.items);
    let rest = in_edition(DOORS, "rest");
    assert_eq!(names(&rest), names(&some));
    let words = pages(DOORS, Some("some")).iter().map(words_of).collect::<String>();
    assert!(!words.contains("Under the front"), "{words}");
    assert!(words.contains("Over the back"), "{words}");
    assert!(words.contains("As 1, but longer"), "{words}");
}

#[test]
fn every_letter_is_turned_for_the_left_hand() {
    let source = Source::new("doors.flam", DOORS);
    let as_it_stands = flamacue::understand(&source, &mut Diagnostics::default());
    let turned = in_edition(DOORS, "sinister");
    let other = |letters: &str| -> String {
        let turn = |c| match c {
            'R' => 'L',
            'L' => 'R',
            'r' => 'l',
            'l' => 'r',
            other => other,
        };
        letters.chars().map(turn).collect()
    };
    for (then, now) in blocks(&as_it_stands).iter().zip(blocks(&turned)) {
        assert!(!hands(then).is_empty());
        assert_eq!(other(&hands(then)), hands(now));
    }
}

#[test]
fn an_edition_that_there_is_not_is_a_fault() {
    let source = Source::new("doors.flam", DOORS);
    let mut found = Diagnostics::default();
    assert!(flamacue::read_edition(&source, "nobody", &mut found).is_none());
    assert!(found.render(&source, false).contains("`sinister`"));
    let names = ["student", "soft", "sinister", "some", "rest"];
    assert_eq!(flamacue::editions(&source), names);
}

const SHEET: &str = "answers: last page\n\n\
    exercise front \"Front\"\n  blank: counts, sticking\n  play   'sss ssss s s\n  stick  lRLR LRLR L R\n\n\
    exercise \"Middle\"\n  play  ssss s s s\n\n\
    exercise \"Back\"\n  blank: every second bar\n  counts: none\n  play  ssss s s s | tt mm ff k\n";

#[test]
fn a_rule_stands_where_an_answer_goes_and_the_answers_follow_on_a_page_of_their_own() {
    let pages = pages(SHEET, None);
    assert_eq!(pages.len(), 2);
    let [sheet, answers] = pages.as_slice() else { return };
    // Nine strokes are counted, and as many have a letter.
    assert_eq!(number_of(sheet, Kind::Blank), 18);
    assert_eq!(number_of(sheet, Kind::Sticking), 0);
    assert_eq!(number_of(answers, Kind::Blank), 0);
    // A flam's letter for its grace note is one more.
    assert_eq!(number_of(answers, Kind::Sticking), 10);
    assert_eq!(number_of(answers, Kind::Count), 9);
    let notes = |page| number_of(page, Kind::Notehead);
    assert_eq!(notes(sheet), 9 + 7 + 7, "the second bar of the last is blank");
    assert_eq!(notes(answers), 9 + 7 + 7, "and the whole one is among the answers");
    let words = words_of(answers);
    assert!(words.contains("Answers") && words.contains("Front") && words.contains("Back"));
    assert!(!words.contains("Middle"), "nothing is blank in it: {words}");
    assert!(words.contains('3'), "it keeps its number: {words}");
}

#[test]
fn blank_rules_are_longer_than_what_they_are_for_and_never_touch() {
    let page = pages(SHEET, None).into_iter().next().expect("a page");
    let all = marks(&page);
    let rules =
        all.iter().filter(|mark| mark.kind == Kind::Blank).filter_map(|mark| match &mark.shape {
            Shape::Box(rect) => Some(*rect),
            Shape::Path(_) | Shape::Glyph { .. } | Shape::Picture { .. } | Shape::Text { .. } => {
                None
            }
        });
    let mut rules: Vec<_> = rules.collect();
    rules.sort_by(|a, b| a.y0.total_cmp(&b.y0).then(a.x0.total_cmp(&b.x0)));
    for pair in rules.windows(2) {
        let apart = pair[1].x0 - pair[0].x1;
        assert!((pair[1].y0 - pair[0].y0).abs() > 1.0 || apart > 1.0, "{pair:?}");
    }
    // A staff space of a seven-millimetre staff is almost five points.
    assert!(rules.iter().all(|rule| rule.width() > 9.0), "{rules:?}");
}

#[test]
fn a_listener_is_not_told_what_is_blank() {
    let source = Source::new("sheet.flam", SHEET);
    let fonts = Fonts::built_in().expect("the built-in faces");
    let flowing = flamacue::compile_flowing(&source, &fonts, None, &mut Diagnostics::default());
    let page = flamacue::write::html::write(&flowing.expect("a page"), &fonts).expect("a page");
    let said = |title: &str| {
        let start = format!("aria-label=\"{title}.");
        page.split(&start).nth(1).and_then(|rest| rest.split('"').next()).map(str::to_owned)
    };
    assert_eq!(said("Front").as_deref(), Some(" Bar 1."));
    assert!(page.contains("Front. Bar 1: count 1 "), "the answers say it");
}

#[test]
fn each_block_begins_a_page_with_the_words_that_lead_to_it() {
    let text = "title: Cards\npage: a6 landscape\nblocks: one a page, centred\ncolumns: 2\n\n\
        fill \"One\"\n  play  s s s s\n\nUnder one.\n\n# Over two\n\nfill \"Two\"\n  play  s s s s\n\n\
        Leads to three:\n\nfill \"Three\"\n  play  s s s s\n";
    let pages = pages(text, None);
    let words: Vec<String> = pages.iter().map(words_of).collect();
    assert_eq!(pages.len(), 3, "{words:?}");
    assert!(words[0].contains("Cards") && words[0].contains("Under one."), "{words:?}");
    assert!(words[1].contains("Over two") && words[1].contains("Two"), "{words:?}");
    assert!(words[2].contains("Leads to three:") && words[2].contains("Three"), "{words:?}");
    let text = "page: 16:9\nblocks: one a page, centred\ncounts: none\n\n\
        fill\n  play  s s s s\n\nfill\n  play  s s s s\n";
    for page in self::pages(text, None) {
        let fonts = Fonts::built_in().expect("the built-in faces");
        let own = marks(&page).into_iter().filter(|mark| mark.kind != Kind::Foot);
        let inks = own.map(|mark| mark.shape.bounds(&fonts));
        let ink = inks.reduce(|a, b| a.union(b)).expect("ink");
        assert!((ink.center().x - page.width / 2.0).abs() < 2.0, "{ink:?}");
        // The foot has more room than the head.
        assert!((ink.center().y - page.height / 2.0).abs() < page.height / 20.0, "{ink:?}");
    }
}

#[test]
fn words_on_centred_pages_stand_in_the_middle() {
    let fonts = Fonts::built_in().expect("the built-in faces");
    let text = "page: 16:9\nblocks: one a page, centred\n\n# Feet first\n\nSee https://example.org and @one.\n\n\
        - Once\n- Twice\n\nfill one \"One\"\n  play  s s s s\n";
    let drawing = built::clean(&fonts, "slides.flam", text).expect("clean slides").drawing;
    assert_eq!(drawing.pages.len(), 1);
    for page in &drawing.pages {
        let middle = page.width / 2.0;
        for words in ["Feet first", "example.org"] {
            let mut lines: Vec<f64> = Vec::new();
            let own = marks(page).into_iter().filter(|mark| match &mark.shape {
                Shape::Text { run, at, .. } if run.text.contains(words) => {
                    lines.push(at.y);
                    true
                }
                _ => false,
            });
            assert!(own.count() > 0, "{words}");
            let line = marks(page).into_iter().filter(|mark| match &mark.shape {
                Shape::Text { at, .. } => lines.iter().any(|y| (at.y - y).abs() < 0.1),
                _ => false,
            });
            let ink = line.map(|mark| mark.shape.bounds(&fonts)).reduce(|a, b| a.union(b));
            let ink = ink.expect("ink");
            assert!((ink.center().x - middle).abs() < 2.0, "{words}: {ink:?}");
        }
        // What leads away moves with its words.
        let address = drawing.addresses.first().expect("an address").area;
        assert!(address.x0 > page.width / 5.0, "{address:?}");
    }
}

/// Blocks from the easiest on, with the words that lead to them and stand under them.
#[test]
fn an_edition_has_the_blocks_under_each_heading_in_the_order_of_their_levels() {
    let text = "title: Steps\n\nedition steps\n  order: by level\n\nedition kept\n  order: as written\n\n\
        # One\n\nAbove all.\n\n\
        exercise hard\n  level: 4\n  play  ssss ssss s s\n\nUnder hard.\n\n\
        exercise plain\n  play  s s s s\n\n\
        exercise words\n  level: for later\n  play  s s s s\n\n\
        Leads to easy:\n\nexercise easy\n  level: 1\n  play  s s s s\n\n\
        exercise middling\n  level: 4\n  play  s s s s\n\n\
        # Two\n\nexercise last\n  level: 1\n  play  s s s s\n";
    let names = |edition: &str| -> Vec<String> {
        let score = in_edition(text, edition);
        blocks(&score).iter().filter_map(|block| block.name.clone()).collect()
    };
    let written = ["hard", "plain", "words", "easy", "middling", "last"];
    assert_eq!(names("steps"), ["easy", "plain", "hard", "middling", "words", "last"]);
    assert_eq!(names("kept"), written);
    // Numbers are those of the text as it stands.
    let numbers: Vec<_> = self::names(&in_edition(text, "steps"));
    assert_eq!(numbers.first().and_then(|(_, number)| number.as_deref()), Some("4"));
    let page = pages(text, Some("steps")).into_iter().next().expect("a page");
    let words = words_of(&page);
    let order: Vec<usize> = ["Above all.", "Leads to easy:", "Under hard."]
        .iter()
        .filter_map(|own| words.find(own))
        .collect();
    assert!(order.len() == 3 && order.is_sorted(), "{words}");
}

const NIGHT: &str = "ink: white\nbackground: #204060\npage: 16:9\ncounts: all\n\nfill \"Late\"\n  play  s. .s s s\n";

#[test]
fn ink_and_background_have_their_colours_in_every_form() {
    let page = pages(NIGHT, None).into_iter().next().expect("a page");
    assert_eq!((page.width.round(), page.height.round()), (720.0, 405.0));
    let fonts = Fonts::built_in().expect("the built-in faces");
    let svg = flamacue::write::svg::write(&page, &fonts);
    assert!(svg.contains("fill=\"#ffffff\"") && svg.contains("fill=\"#204060\""), "{svg:.600}");
    let source = Source::new("night.flam", NIGHT);
    let flowing = flamacue::compile_flowing(&source, &fonts, None, &mut Diagnostics::default());
    let html = flamacue::write::html::write(&flowing.expect("a page"), &fonts).expect("a page");
    assert!(html.contains("@media screen{body{color:#ffffff;background:#204060}}"));
    let bytes = |options: &PdfOptions| {
        let drawing = flamacue::compile_pages(&source, &fonts, None, &mut Diagnostics::default());
        flamacue::write::pdf::write_with(&drawing.expect("pages"), &fonts, options)
    };
    let pdf = bytes(&PdfOptions::default()).expect("a PDF");
    let document = lopdf::Document::load_mem(&pdf).expect("a PDF");
    let id = document.page_iter().next().expect("a page");
    let content = document.get_page_content(id);
    let content = String::from_utf8_lossy(&content);
    assert!(
        content.contains(".125 .251 .376 rg") || content.contains("0.125 0.251 0.376 rg"),
        "{content:.300}"
    );
    assert!(content.contains("1 1 1 rg"), "{content:.300}");
    assert!(!content.contains(" g\n"), "no ink is left in gray");
    let refused = bytes(&PdfOptions { ink: InkSpace::Cmyk, ..PdfOptions::default() });
    assert!(refused.expect_err("no black alone").to_string().contains("without --cmyk"));
}
