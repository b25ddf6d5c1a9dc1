//! A made-up book: its contents name the right pages, every link lands, and nothing leaves its page.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used)]

mod built;

use built::{clean, marks};
use flamacue::drawing::{Kind, Mark, Node, Page, Shape};
use flamacue::font::Fonts;

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
    // 8 mm in points.
    assert!((lefts[0] - lefts[1] - 22.677).abs() < 1.0, "{lefts:?}");
}
