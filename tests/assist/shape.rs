use crate::texts::Asked;
use flamacue::assist::{Symbol, TokenKind, folds, inlays, symbols, tokens};
use flamacue::source::FileId;

const BOOK: &str = "title: A book\ntempo: 90\n\npart \"Hands\"\n\n# Singles\n\n## Slow\n\n\
    fill gate \"The gate\"\n  play s s s s\n\nSome words.\n\n# Doubles\n\n\
    series \"Twos\"\n  columns: 2\n  notes: 1 of 2\n\ngroove loft\n  play s s s s\n";

fn drawn(symbols: &[Symbol], depth: usize, out: &mut String) {
    for symbol in symbols {
        let indent = "  ".repeat(depth);
        out.push_str(&format!("{indent}{} ({})\n", symbol.name, symbol.detail));
        drawn(&symbol.children, depth + 1, out);
    }
}

#[test]
fn the_shape_of_a_file() {
    let asked = Asked::new(BOOK, &[]);
    let mut out = String::new();
    drawn(&symbols(&asked.view(), FileId::MAIN), 0, &mut out);
    assert_eq!(
        out,
        "Hands ()\n  Singles ()\n    Slow ()\n      fill 1: The gate (gate)\n  Doubles ()\n    \
         series 2 to 3: Twos ()\n    groove loft (loft)\n"
    );
}

#[test]
fn heads_lie_in_what_they_are_the_heads_of() {
    fn check(symbols: &[Symbol]) {
        for symbol in symbols {
            let (span, head) = (symbol.span, symbol.head);
            assert!(span.start() <= head.start() && head.end() <= span.end(), "{symbol:?}");
            for child in &symbol.children {
                assert!(
                    span.start() <= child.span.start() && child.span.end() <= span.end(),
                    "{symbol:?}"
                );
            }
            check(&symbol.children);
        }
    }
    let asked = Asked::new(BOOK, &[]);
    check(&symbols(&asked.view(), FileId::MAIN));
}

#[test]
fn what_can_be_folded_away() {
    let asked = Asked::new(BOOK, &[]);
    let source = asked.session.source();
    let line = |byte| source.location(byte).line;
    let found: Vec<(usize, usize)> = folds(&asked.view(), FileId::MAIN)
        .iter()
        .map(|fold| (line(fold.span.start()), line(fold.span.end())))
        .collect();
    assert_eq!(found, [(1, 2), (4, 22), (6, 13), (8, 13), (10, 11), (15, 22), (17, 19), (21, 22)]);
}

#[test]
fn words_and_signs_are_told_apart() {
    let text = "title: A // why\n\n# Head\n\nfill gate \"T\" // c\n  play  S(s). [-k]:2 | %\n  stick R.. L\n\n\
        See @gate.\n\n```\n// code\n```\n";
    let asked = Asked::new(text, &[]);
    let source = asked.session.source();
    let found: Vec<(TokenKind, &str)> =
        tokens(&asked.view(), FileId::MAIN, source.span_of(FileId::MAIN))
            .iter()
            .map(|token| (token.kind, source.slice(token.span)))
            .collect();
    use TokenKind::*;
    assert_eq!(
        found,
        [
            (Key, "title"),
            (Value, "A"),
            (Comment, "// why"),
            (Heading, "# Head"),
            (BlockWord, "fill"),
            (NameGiven, "gate"),
            (Words, "\"T\""),
            (Comment, "// c"),
            (RowWord, "play"),
            (AccentedLetter, "S"),
            (GhostedLetter, "(s)"),
            (Rest, "."),
            (Hold, "-"),
            (Letter, "k"),
            (Number, ":2"),
            (Barline, "|"),
            (Barline, "%"),
            (RowWord, "stick"),
            (Letter, "R"),
            (Rest, "."),
            (Rest, "."),
            (Letter, "L"),
            (NameUsed, "@gate"),
        ]
    );
}

#[test]
fn tokens_of_a_range_are_those_of_the_file_in_it() {
    let asked = Asked::new(BOOK, &[]);
    let whole = asked.session.source().span_of(FileId::MAIN);
    let all = tokens(&asked.view(), FileId::MAIN, whole);
    let range = flamacue::source::Span::new(60, 120);
    let some = tokens(&asked.view(), FileId::MAIN, range);
    let within: Vec<_> = all
        .into_iter()
        .filter(|t| t.span.end() > range.start() && t.span.start() < range.end())
        .collect();
    assert_eq!(some, within);
    assert!(!some.is_empty());
}

#[test]
fn code_has_no_comments_wherever_it_stands() {
    let text = "Words. // one\n\n```\nplay s // none\n```\n\n- An entry // two\n\n  ```\n  play s // none\n  ```\n\n\
        - Another // three\n";
    let asked = Asked::new(text, &[]);
    let whole = asked.session.source().span_of(FileId::MAIN);
    let found = tokens(&asked.view(), FileId::MAIN, whole);
    let words: Vec<_> = found.iter().map(|t| asked.session.source().slice(t.span)).collect();
    assert_eq!(words, ["// one", "// two", "// three"]);
}

#[test]
fn the_count_of_a_bar_stands_at_the_end_of_its_line() {
    let text = "fill\n  play  s.ss s s s | s sss s s\n  stick R.RL R R R | R RLR L R\n\n\
        fill\n  count 1 & 2\n  play s s s\n\nfill\n  counts: none\n  play s s s s\n";
    let asked = Asked::new(text, &[]);
    let whole = asked.session.source().span_of(FileId::MAIN);
    let found = inlays(&asked.view(), whole);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].text, "1 & a 2 3 4 | 1 2 trip let 3 4");
    assert_eq!(found[0].at, text.find("\n  stick").unwrap());
}
