//! A made-up book: its contents name the right pages, every link lands, and nothing leaves its page.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used)]

mod built;

use built::{clean, marks, words_of};
use flamacue::drawing::{Kind, Mark, Node, Page, Shape};
use flamacue::font::Fonts;
use flamacue::source::{Diagnostics, Source};
use flamacue::{Compiled, compile, syntax};

/// The same numbers every time (a linear congruential generator).
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % sides
    }
}

fn book(chapters: usize, exercises: usize) -> String {
    let mut dice = Dice(7);
    let mut text = String::from(
        "title: The Long Way Round\nauthor: Isolde Quarrier\npage: 6 x 9 in\nstaff-height: 6 mm\n\
         binding: 8 mm\ncontents: exercises\nchapters: right-page\n\n",
    );
    let beats = ["s.ss", "ssss", "sss", "t.tt", "m", "ff", "S.s.", "kk"];
    for chapter in 1..=chapters {
        text.push_str(&format!("# Street {chapter}\n\nWalk down it *slowly*, then walk back.\n\n"));
        for exercise in 1..=exercises {
            let columns = if dice.roll(3) == 0 { "  columns: 2\n  time: 2/4\n" } else { "" };
            let count = if columns.is_empty() { 4 * (1 + dice.roll(3)) } else { 2 };
            let play: Vec<String> = (0..count)
                .map(|nth| {
                    let bar = if nth > 0 && nth % 4 == 0 { "| " } else { "" };
                    format!("{bar}{}", beats[dice.roll(beats.len())])
                })
                .collect();
            text.push_str(&format!(
                "exercise \"House {chapter}.{exercise}\"\n{columns}  play  {}\n\n",
                play.join(" ")
            ));
        }
    }
    text
}

fn words(mark: &Mark) -> Option<(&str, f64, f64)> {
    match &mark.shape {
        Shape::Text { run, at, .. } => Some((run.text.as_str(), at.x, at.y)),
        _ => None,
    }
}

/// The number at the right end of the line that says `title`, on a page of the contents.
fn number_beside(page: &Page, title: &str) -> Option<usize> {
    let all: Vec<_> = marks(page).into_iter().filter_map(words).collect();
    let (_, _, y) = all.iter().find(|(text, ..)| *text == title)?;
    let line = all.iter().filter(|(_, _, other)| (other - y).abs() < 0.01);
    line.max_by(|a, b| a.1.total_cmp(&b.1))?.0.parse().ok()
}

/// The same book from a file for each chapter, in parts, with references, tags and all that stands
/// around the music.
fn large_book(chapters: usize, exercises: usize) -> Vec<(String, String)> {
    let mut dice = Dice(11);
    let mut main = String::from(
        "title: The Long Way Round\nauthor: Isolde Quarrier\ncopyright: Copy it.\npage: 6 x 9 in\n\
         staff-height: 6 mm\nbinding: 8 mm\ntitle-page: on\nfront-matter: roman\n\
         contents: exercises\nchapters: right-page\nrunning-heads: on\nnumbers: by chapter\n\
         index: both\n\n",
    );
    let mut files = Vec::new();
    let beats = ["s.ss", "ssss", "sss", "t.tt", "m", "ff", "S.s.", "kk"];
    let tags = ["hands", "feet", "toms", "flams"];
    for chapter in 1..=chapters {
        if chapter % 3 == 1 {
            main.push_str(&format!("part \"Part {}\"\n\n", chapter / 3 + 1));
        }
        main.push_str(&format!("include chapters/{chapter}.flam\n\n"));
        let mut text = format!("title: Street {chapter}\ntags: {}\n\n", tags[chapter % 4]);
        for exercise in 1..=exercises {
            let other = (1 + dice.roll(chapters), 1 + dice.roll(exercises));
            text.push_str(&format!(
                "Before this one, see *@house-{}-{}* or number @house-{}-{}.number, and then go on \
                 as it is written here until you know it by heart.\n\n",
                other.0, other.1, other.0, other.1
            ));
            let bars: Vec<String> = (0..1 + dice.roll(3))
                .map(|_| {
                    let four = [0; 4].map(|_| beats[dice.roll(beats.len())]);
                    four.join(" ")
                })
                .collect();
            let tag = if dice.roll(4) == 0 { "  tags: rare\n" } else { "" };
            text.push_str(&format!(
                "exercise house-{chapter}-{exercise} \"House {chapter}-{exercise}\"\n{tag}  play  {}\n\n",
                bars.join(" | ")
            ));
        }
        files.push((format!("chapters/{chapter}.flam"), text));
    }
    files.insert(0, ("book.flam".to_owned(), main));
    files
}

fn build(fonts: &Fonts, files: &[(String, String)]) -> Compiled {
    let read = |path: &str| {
        let found = files.iter().find(|(name, _)| name == path);
        found.map(|(_, text)| text.clone()).ok_or_else(|| "there is no such file".to_owned())
    };
    let (name, text) = files.first().expect("a file");
    let source = syntax::gather(Source::new(name, text), &read);
    let mut found = Diagnostics::default();
    let compiled = compile(&source, fonts, &mut found);
    assert!(found.sorted().is_empty(), "{}", found.render(&source, false));
    compiled.expect("a clean book").flat()
}

/// The words of a page's foot.
fn foot(page: &Page) -> Vec<String> {
    words_of(page, Kind::Foot)
}

#[test]
fn everything_around_the_music_is_true() {
    let fonts = Fonts::built_in().expect("the built-in faces");
    let drawing = build(&fonts, &large_book(7, 9)).drawing;
    let pages = &drawing.pages;
    assert!(drawing.front > 2 && drawing.front.is_multiple_of(2), "{} in front", drawing.front);
    let label = |page: usize| match page.checked_sub(drawing.front) {
        Some(after) => (after + 1).to_string(),
        None => ["i", "ii", "iii", "iv", "v", "vi", "vii", "viii"][page].to_owned(),
    };
    // The title page stands alone and has no number; the next page is blank.
    assert_eq!(foot(&pages[0]), ["Copy it."]);
    assert!(pages[1].nodes.is_empty());
    assert_eq!(foot(&pages[2]), ["iii"]);
    let has =
        |page: &Page, kind: Kind, words: &str| words_of(page, kind).iter().any(|w| w == words);
    for entry in &drawing.outline {
        let page = &pages[entry.page];
        match entry.level {
            // A part is alone on a right-hand page.
            0 => {
                assert!(has(page, Kind::Heading, &entry.title));
                assert!(entry.page % 2 == 0 && foot(page).is_empty());
            }
            1 => {
                assert!(has(page, Kind::Heading, &entry.title), "{}", entry.title);
                assert!(entry.page % 2 == 0);
                assert!(words_of(page, Kind::RunningHead).is_empty(), "{}", entry.title);
                assert_eq!(foot(page), [label(entry.page)]);
            }
            _ => {
                let (number, title) = entry.title.split_once("  ").expect("a number");
                assert!(has(page, Kind::Title, title) && has(page, Kind::Number, number));
                // House 3-7 is the seventh of the third chapter.
                assert_eq!(title.replace('-', "."), format!("House {number}"));
            }
        }
    }
    let index_from =
        drawing.outline.iter().find(|e| e.title.starts_with("Index")).expect("an index");
    // Over pages: the chapter on the right, the part on the left, and the book over the index.
    let mut heads = 0;
    for (index, page) in pages.iter().enumerate() {
        for head in words_of(page, Kind::RunningHead) {
            heads += 1;
            let before = drawing.outline.iter().filter(|entry| entry.page <= index);
            let level = if index % 2 == 0 { 1 } else { 0 };
            let last = before.rev().find(|entry| entry.level == level).expect("an entry");
            let over_index = level == 0 && index >= index_from.page;
            let wanted = if over_index { "The Long Way Round" } else { &last.title };
            assert_eq!(head, wanted, "page {}", index + 1);
        }
    }
    assert!(heads > pages.len() / 4, "{heads} heads on {} pages", pages.len());
    // Every link lands, and the number under it is that of the page it lands on.
    let listed = drawing.outline.len();
    let (mut to_pages, mut to_numbers, mut index) = (0, 0, 0);
    for link in &drawing.links {
        let entry = &drawing.outline[link.to];
        let inside = |mark: &&Mark| {
            let center = mark.shape.bounds(&fonts).center();
            link.area.inflate(0.5, 3.0).contains(center)
        };
        let page = &pages[link.page];
        let text: String =
            marks(page).into_iter().filter(inside).filter_map(|m| Some(words(m)?.0)).collect();
        let number = label(entry.page);
        if link.page < drawing.front {
            assert!(text.ends_with(&format!(".{number}")) || text.ends_with(&number), "{text}");
        } else if link.page >= index_from.page {
            index += 1;
            assert_eq!(text, number, "index");
        } else if let Some((exercise, on)) = text.split_once(" on page\u{a0}") {
            to_pages += 1;
            assert_eq!(on, number, "{text}");
            assert!(entry.title.starts_with(&format!("{exercise}  ")), "{text}");
        } else {
            to_numbers += 1;
            assert!(entry.title.starts_with(&format!("{text}  ")), "{text} {}", entry.title);
        }
    }
    // A reference may be parted between two lines, and then is two links.
    assert!(to_pages > 50 && to_numbers >= 63, "{to_pages} {to_numbers}");
    assert!(index > 63, "{index} in the index");
    assert_eq!(drawing.links.iter().filter(|l| l.page < drawing.front).count(), listed);
    // The index has every exercise and every tag, in the order of their letters.
    let text: Vec<String> =
        pages[index_from.page..].iter().flat_map(|p| words_of(p, Kind::Text)).collect();
    for chapter in 1..=7 {
        for exercise in 1..=9 {
            let start = format!("House {chapter}-{exercise}\u{2002}");
            assert!(text.contains(&start), "{start:?}");
        }
    }
    let tags: Vec<&String> = text
        .iter()
        .filter(|t| ["feet", "flams", "hands", "rare", "toms"].contains(&t.trim()))
        .collect();
    assert_eq!(
        tags,
        ["feet\u{2002}", "flams\u{2002}", "hands\u{2002}", "rare\u{2002}", "toms\u{2002}"]
    );
}

#[test]
fn nothing_of_a_large_book_leaves_its_page() {
    let fonts = Fonts::built_in().expect("the built-in faces");
    let files = large_book(4, 7);
    let drawing = build(&fonts, &files).drawing;
    for (index, page) in drawing.pages.iter().enumerate() {
        for bounds in page.nodes.iter().filter_map(|node: &Node| node.bounds(&fonts)) {
            assert!(bounds.x0 >= 0.0 && bounds.x1 <= page.width, "page {}: {bounds:?}", index + 1);
            assert!(bounds.y0 >= 0.0 && bounds.y1 <= page.height, "page {}: {bounds:?}", index + 1);
        }
    }
    // Pictures are filed under names; a book without names files them under chapter and number.
    let unnamed: Vec<(String, String)> = files
        .iter()
        .map(|(name, text)| {
            let lines = text.lines().filter(|line| !line.starts_with("Before"));
            let lines = lines.map(|line| match line.strip_prefix("exercise house") {
                Some(rest) => {
                    format!("exercise {}", rest.split_once(' ').map_or("", |(_, title)| title))
                }
                None => line.to_owned(),
            });
            (name.clone(), lines.collect::<Vec<_>>().join("\n"))
        })
        .collect();
    let blocks = build(&fonts, &unnamed).blocks;
    assert_eq!((blocks[0].0.as_str(), blocks[13].0.as_str()), ("1.1", "2.7"));
}

#[test]
fn contents_and_links_are_true() {
    let fonts = Fonts::built_in().expect("the built-in faces");
    let compiled = clean(&fonts, "book", &book(6, 14)).expect("a clean book");
    let drawing = &compiled.drawing;
    assert!(drawing.pages.len() > 20, "{} pages", drawing.pages.len());
    assert_eq!(drawing.outline.len(), 6 * 15);
    assert_eq!(drawing.links.len(), drawing.outline.len());
    for link in &drawing.links {
        let entry = &drawing.outline[link.to];
        let stated = number_beside(&drawing.pages[link.page], &entry.title);
        assert_eq!(stated, Some(entry.page + 1), "{}", entry.title);
        // The page itself says the heading, and prints that number at its foot.
        let page = &drawing.pages[entry.page];
        let said = |kind: Kind| -> Vec<&str> {
            marks(page)
                .into_iter()
                .filter(|m| m.kind == kind)
                .filter_map(|m| Some(words(m)?.0))
                .collect()
        };
        let bare = entry.title.split("  ").last().expect("a title");
        assert!(said(Kind::Heading).contains(&bare) || said(Kind::Title).contains(&bare), "{bare}");
        assert_eq!(said(Kind::Foot), [(entry.page + 1).to_string()]);
        if entry.level == 1 {
            assert_eq!(entry.page % 2, 0, "{} opens on a left-hand page", entry.title);
        }
    }
}

#[test]
fn nothing_leaves_its_page_and_margins_are_mirrored() {
    let fonts = Fonts::built_in().expect("the built-in faces");
    let compiled = clean(&fonts, "book", &book(3, 14)).expect("a clean book");
    let mut lefts = [f64::INFINITY; 2];
    for (index, page) in compiled.drawing.pages.iter().enumerate() {
        for bounds in page.nodes.iter().filter_map(|node: &Node| node.bounds(&fonts)) {
            assert!(bounds.x0 >= 0.0 && bounds.x1 <= page.width, "page {}: {bounds:?}", index + 1);
            assert!(bounds.y0 >= 0.0 && bounds.y1 <= page.height, "page {}: {bounds:?}", index + 1);
            lefts[index % 2] = lefts[index % 2].min(bounds.x0);
        }
    }
    // The inner margin has 8 mm of binding, and without it 18 mm for 24 outside on a page 210 mm wide.
    let mm = 72.0 / 25.4;
    let inside_less = (24.0 - 18.0) * compiled.drawing.pages[0].width / 210.0;
    assert!((lefts[0] - lefts[1] - (8.0 * mm - inside_less)).abs() < 1.0, "{lefts:?}");
}
