//! Prose seen from its pages: nothing of it is lost, and nothing leaves the paper.

#![allow(clippy::expect_used, clippy::panic, reason = "a test that fails panics")]

use flamacue::drawing::{Drawing, Node, Shape};
use flamacue::font::Fonts;
use flamacue::pages::Wanted;
use flamacue::source::{Diagnostics, Source};
use proptest::prelude::*;
use std::sync::LazyLock;

static FONTS: LazyLock<Fonts> = LazyLock::new(|| Fonts::built_in().expect("the built-in faces"));

/// The pages of a text, whatever is wrong with it.
fn pages(text: &str) -> Drawing {
    let source = Source::new("prose.flam", text);
    let mut diagnostics = Diagnostics::default();
    let score = flamacue::understand(&source, &mut diagnostics);
    let wanted = Wanted::Pages;
    let made = flamacue::typeset(&source, &score, &FONTS, None, wanted, &mut diagnostics);
    made.expect("a style").drawing
}

/// All words of a drawing in reading order, without the white space among them.
fn words(drawing: &Drawing) -> String {
    let mut words = String::new();
    let mut add = |node: &Node| gather(node, &mut words);
    drawing.pages.iter().flat_map(|page| page.flat()).for_each(|node| add(&node));
    words.retain(|c| !c.is_whitespace());
    words
}

fn gather(node: &Node, words: &mut String) {
    match node {
        Node::Group(group) => group.children.iter().for_each(|child| gather(child, words)),
        Node::Mark(mark) => {
            if let Shape::Text { run, .. } = &mark.shape {
                words.push_str(&run.text);
            }
        }
        Node::Inset(inset) => inset.marks.nodes().iter().for_each(|child| gather(child, words)),
    }
}

/// Signs that mean something in prose, but for those whose words are addresses or names.
fn sign() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec![
        " ",
        " ",
        " ",
        "\n",
        "\n",
        "\n\n",
        "*",
        "**",
        "_",
        "`",
        "~",
        "> ",
        "- ",
        "+ ",
        "1. ",
        "12) ",
        "    ",
        "  \n",
        "\\",
        "---\n",
        "===\n",
        "#",
        "&amp;",
        "|",
        "'",
        "\"",
        "(",
        ")",
        "!",
        "\t",
        "| a | b |\n|---|:-:|\n",
        "\n```\n",
        "\n~~~~\n",
        "-- ",
        "...",
        "\u{a0}",
        "é",
        "\u{301}",
    ])
}

fn prose() -> impl Strategy<Value = (String, Vec<String>)> {
    prop::collection::vec((sign(), sign(), any::<bool>()), 1..40).prop_map(|parts| {
        let mut text = String::new();
        let mut words = Vec::new();
        for (nth, (before, after, has_word)) in parts.into_iter().enumerate() {
            text.push_str(before);
            if has_word {
                let word = format!("q{nth}z");
                text.push_str(&word);
                words.push(word);
            }
            text.push_str(after);
        }
        (text, words)
    })
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 400, failure_persistence: None, ..ProptestConfig::default()
    })]

    /// Rows of a table that are longer than its head are told of, and so are lines that are no prose.
    #[test]
    fn no_word_of_prose_is_lost((text, words) in prose()) {
        let text = format!("\nStart\n{text}");
        let source = Source::new("prose.flam", text.as_str());
        let mut diagnostics = Diagnostics::default();
        flamacue::understand(&source, &mut diagnostics);
        let told = diagnostics.render(&source, false);
        let printed = self::words(&pages(&text));
        for word in words {
            let lost = !printed.contains(&word);
            let excused = told.contains("are not printed") || told.contains("belong to a block");
            // What follows a fence on its line says what language the code is in.
            let line = text.lines().find(|line| line.contains(&word)).unwrap_or("");
            let fence = line.contains("```") || line.contains("~~~");
            prop_assert!(!lost || excused || fence, "{word} of\n{text}\nin {printed}\n{told}");
        }
    }

    #[test]
    fn any_text_is_set(text in "[ -~\n\u{e9}\u{3000}\u{200d}]{0,300}") {
        pages(&format!("\n{text}"));
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 40, failure_persistence: None, ..ProptestConfig::default()
    })]

    #[test]
    fn a_table_stays_on_the_paper(
        columns in 1_usize..24,
        cells in prop::collection::vec("[a-z]{1,30}( [a-z]{1,60}){0,6}", 1..60),
        quoted in any::<bool>(),
    ) {
        let quote = if quoted { "> > - " } else { "" };
        let rest = if quoted { "> >   " } else { "" };
        let mut text = format!("page: a5\n\n{quote}|{}\n{rest}|{}\n", " h |".repeat(columns), "---|".repeat(columns));
        for row in cells.chunks(columns) {
            text.push_str(&format!("{rest}| {} |\n", row.join(" | ")));
        }
        let drawing = pages(&text);
        for page in &drawing.pages {
            for node in page.flat() {
                let Some(ink) = node.bounds(&FONTS) else { continue };
                prop_assert!(ink.x0 >= 0.0 && ink.x1 <= page.width, "{ink:?} in\n{text}");
                prop_assert!(ink.y1 <= page.height, "{ink:?} in\n{text}");
            }
        }
    }
}

/// A long word has no place to break and is parted, and an address too.
#[test]
fn a_word_wider_than_its_line_is_parted() {
    let word = "x".repeat(700);
    let drawing = pages(&format!("\n{word} https://loft.example/{word}\n\n> - {word}\n"));
    let printed = words(&drawing);
    assert_eq!(printed.matches('x').count(), 3 * 700 + 1);
    for node in drawing.pages.iter().flat_map(|page| page.flat()) {
        assert!(node.bounds(&FONTS).is_none_or(|ink| ink.x1 < drawing.pages[0].width));
    }
}

/// Quotes, lists and tables that a hostile text makes endless cost no more than others.
#[test]
fn hostile_prose_is_read_in_time() {
    let deep = format!("\n{}deep\n", "> ".repeat(40_000));
    let lists = format!("\n{}deep\n", "- ".repeat(40_000));
    let stars = format!("\n{}\n", "*a **b ".repeat(12_000));
    let open = format!("\n{}\n", "[".repeat(80_000));
    let marks = format!("\n{}\n", "[^a] ".repeat(10_000));
    let table =
        format!("\n|{}\n|{}\n{}", "a|".repeat(40_000), "-|".repeat(40_000), "|b\n".repeat(10_000));
    for text in [deep, lists, stars, open, marks, table] {
        let start = std::time::Instant::now();
        let source = Source::new("prose.flam", text);
        flamacue::understand(&source, &mut Diagnostics::default());
        assert!(start.elapsed().as_secs() < 20, "{:?}", start.elapsed());
    }
}

/// A PNG file of two by one pixels: one of half transparent red, one of blue.
const PNG: &[u8] = &[
    137, 80, 78, 71, 13, 10, 26, 10, 0, 0, 0, 13, 73, 72, 68, 82, 0, 0, 0, 2, 0, 0, 0, 1, 8, 6, 0,
    0, 0, 244, 34, 127, 138, 0, 0, 0, 17, 73, 68, 65, 84, 120, 156, 99, 248, 207, 192, 208, 192,
    192, 240, 255, 63, 0, 13, 126, 3, 126, 234, 30, 23, 33, 0, 0, 0, 0, 73, 69, 78, 68, 174, 66,
    96, 130,
];

const SVG: &str = "<svg xmlns='http://www.w3.org/2000/svg' width='40' height='20'>\
    <rect width='40' height='20' fill='#102030' stroke='#ff0000' stroke-width='2'/></svg>";

/// A JPEG file as far as its frame header, of 40 by 20 pixels in so many components.
fn jpeg(components: u8) -> Vec<u8> {
    let mut file = vec![0xFF, 0xD8, 0xFF, 0xE0, 0, 4, 0, 0, 0xFF, 0xC0, 0, 17, 8, 0, 20, 0, 40];
    file.push(components);
    file
}

/// A text that shows files, and what is found wrong with it.
fn shown(text: &str, files: &[(&str, &[u8])]) -> (Source, Diagnostics, Option<Drawing>) {
    let mut source = Source::new("book/prose.flam", text);
    let mut diagnostics = Diagnostics::default();
    let score = flamacue::understand(&source, &mut diagnostics);
    flamacue::syntax::gather_pictures(&mut source, &score, &|path| {
        let file = files.iter().find(|(name, _)| *name == path);
        file.map(|(_, bytes)| bytes.to_vec()).ok_or("there is no such file or folder".into())
    });
    let wanted = Wanted::Pages;
    let made = flamacue::typeset(&source, &score, &FONTS, None, wanted, &mut diagnostics);
    (source, diagnostics, made.map(|made| made.drawing))
}

#[test]
fn pictures_are_in_every_format() {
    let text =
        "\n![red and blue](a.png \"Under it\")\n\n![grey](../b.jpg)\n\n> ![outlines](c.svg)\n";
    let jpeg = jpeg(1);
    let files = [("book/a.png", PNG), ("b.jpg", &jpeg), ("book/c.svg", SVG.as_bytes())];
    let (source, diagnostics, drawing) = shown(text, &files);
    let drawing = drawing.unwrap_or_else(|| panic!("{}", diagnostics.render(&source, false)));
    assert!(words(&drawing).contains("Underit") && !words(&drawing).contains("outlines"));
    let pdf = flamacue::write::pdf::write(&drawing, &FONTS).expect("a PDF");
    let pdf = String::from_utf8_lossy(&pdf);
    assert_eq!(pdf.matches("/Subtype/Image").count(), 3, "two pictures and the opacity of one");
    assert!(pdf.contains("/DCTDecode") && pdf.contains("/SMask"));
    let svg = flamacue::write::svg::write(&drawing.pages[0], &FONTS);
    assert!(svg.contains("data:image/png;base64,") && svg.contains("data:image/jpeg;base64,"));
    assert!(svg.contains("fill=\"#102030\"") && svg.contains("fill=\"#ff0000\""));
    let json = flamacue::write::json::write(&drawing);
    assert!(json.contains("\"form\":\"pixels\"") && json.contains("\"form\":\"outlines\""));
}

#[test]
fn what_is_no_picture_is_refused_at_its_place() {
    let large = vec![0x89; 17 << 20];
    let jpeg = jpeg(4);
    let words = SVG.replace("</svg>", "<text>a</text></svg>");
    let huge = SVG.replace("</svg>", "<g filter='url(#a)'><rect width='1' height='1'/></g><filter id='a'><feFlood/></filter></svg>");
    for (file, bytes, why) in [
        ("gone.png", None, "there is no such file or folder"),
        ("large.png", Some(large.as_slice()), "larger than 16 megabytes"),
        ("cut.png", Some(&PNG[..40]), "no whole PNG file"),
        ("press.jpg", Some(&jpeg), "for a press"),
        ("text.txt", Some(b"text"), "neither PNG nor JPEG nor SVG"),
        ("words.svg", Some(words.as_bytes()), "it has words"),
        ("filter.svg", Some(huge.as_bytes()), "clips, masks or filters"),
    ] {
        let path = format!("book/{file}");
        let files: Vec<(&str, &[u8])> = bytes.into_iter().map(|b| (path.as_str(), b)).collect();
        let (source, diagnostics, drawing) = shown(&format!("\nA\n\n![x]({file})\n"), &files);
        let told = diagnostics.render(&source, false);
        assert!(drawing.is_none() && told.contains(why) && told.contains(":4:1"), "{told}");
    }
}

/// Where nobody looks for files, what a picture shows is said in its place.
#[test]
fn a_picture_that_nobody_reads_is_said() {
    assert!(words(&pages("\n![a wide drum](drum.png)\n")).contains("awidedrum"));
}

#[test]
fn a_session_sets_a_picture_again_when_it_changes() {
    let fonts = std::sync::Arc::new(Fonts::built_in().expect("the built-in faces"));
    let mut session = flamacue::session::Session::new("a.flam", "\n![x](b.svg)\n", fonts);
    session.set_picture("b.svg", SVG.as_bytes());
    assert!(session.update(&|| false).expect("no newer edit").current);
    assert!(session.svg(0).is_some_and(|svg| svg.contains("#102030")));
    session.set_picture("b.svg", SVG.replace("102030", "405060").into_bytes());
    let update = session.update(&|| false).expect("no newer edit");
    assert_eq!(update.changed, [0]);
    assert!(session.svg(0).is_some_and(|svg| svg.contains("#405060")));
}

#[test]
fn words_are_typographic_and_hyphenated_by_language() {
    let text = "title: The \"loft\" -- it's here\nlanguage: LANGUAGE\n\n# \"One\"\n\nSay \"so\", `\"code\" --`, isn't it?\n\nfill \"Don't\"\n  play s s s s\n";
    let set = |language: &str| words(&pages(&text.replace("LANGUAGE", language)));
    let english = set("en");
    for printed in ["The“loft”–it’shere", "“One”", "Say“so”,\"code\"--,isn’tit?", "Don’t"]
    {
        assert!(english.contains(printed), "{printed} in {english}");
    }
    assert!(set("de").contains("Say„so“,\"code\"--,isn’tit?"));
    let long =
        "Wettbewerbsverzerrungen Rechtsschutzversicherung Geschwindigkeitsbegrenzung ".repeat(9);
    let hyphens = |language: &str| {
        words(&pages(&format!("language: {language}\npage: a5\n\n{long}"))).matches('-').count()
    };
    assert!(hyphens("de") > 0);
    assert_eq!(hyphens("ja"), 0);
}
