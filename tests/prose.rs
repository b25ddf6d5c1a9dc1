//! Prose seen from its pages: nothing of it is lost, and nothing leaves the paper.

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
        Node::Inset(inset) => inset.nodes.iter().for_each(|child| gather(child, words)),
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
