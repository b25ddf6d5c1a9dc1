//! Books from several files, without a disk: what is joined, what holds where, and what is said of
//! files that can't be joined.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used)]

mod built;

use flamacue::drawing::Kind;
use flamacue::font::Fonts;
use flamacue::score::{Item, Score};
use flamacue::source::{Diagnostics, Source};
use flamacue::syntax;

/// A source of these files, of which the first is `book/book.flam`.
fn source(files: &[(&str, &str)]) -> Source {
    let read = |path: &str| {
        let found = files.iter().find(|(name, _)| *name == path);
        found.map(|(_, text)| (*text).to_owned()).ok_or_else(|| "there is no such file".to_owned())
    };
    let (name, text) = files.first().expect("a file");
    syntax::gather(Source::new(*name, *text), &read)
}

fn read(files: &[(&str, &str)]) -> (Option<Score>, String) {
    let source = source(files);
    let mut diagnostics = Diagnostics::default();
    let score = flamacue::read(&source, &mut diagnostics);
    (score, diagnostics.render(&source, false))
}

fn titles(score: &Score) -> Vec<String> {
    let words = score.items.iter().filter_map(|item| match item {
        Item::Block(block) => block.title.clone(),
        Item::Heading { text, .. } => Some(format!("{text:?}")),
        _ => None,
    });
    words.collect()
}

const FILL: &str = "  play  s s s s\n";

#[test]
fn files_nest_and_stand_where_they_are_named() {
    let (score, said) = read(&[
        (
            "book/book.flam",
            &format!(
                "title: B\n\nfill \"1\"\n{FILL}\ninclude parts/two.flam\n\nfill \"4\"\n{FILL}"
            ),
        ),
        (
            "book/parts/two.flam",
            &format!("fill \"2\"\n{FILL}include \"more/three.flam\" // here\n"),
        ),
        ("book/parts/more/three.flam", &format!("fill \"3\"\n{FILL}")),
    ]);
    assert_eq!(said, "");
    let score = score.expect("a score");
    assert_eq!(titles(&score), ["1", "2", "3", "4"]);
    let numbers = score.items.iter().filter_map(|item| match item {
        Item::Block(block) => block.number.map(|number| number.number),
        _ => None,
    });
    assert_eq!(numbers.collect::<Vec<_>>(), [1, 2, 3, 4]);
}

#[test]
fn a_header_holds_for_its_own_file() {
    let (score, said) = read(&[
        (
            "book/book.flam",
            "title: B\ntime: 3/4\nauthor: Isolde Quarrier\n\ninclude two.flam\n\nfill after\n  play s s s\n",
        ),
        (
            "book/two.flam",
            "title: Slow ones\ntime: 2/4\ntempo: 50\nauthor: Isolde Quarrier\n\nfill\n  play s s\n\ninclude three.flam\n",
        ),
        ("book/three.flam", "tempo: 60\n\nfill\n  play s s\n"),
    ]);
    assert_eq!(said, "");
    let score = score.expect("a score");
    let feels: Vec<_> = score
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Block(b) => Some((
                b.part.bars[0].meter.upper.clone(),
                b.settings.tempo.as_ref().map(|t| t.per_minute),
            )),
            _ => None,
        })
        .collect();
    assert_eq!(feels, [(vec![2], Some(50.0)), (vec![2], Some(60.0)), (vec![3], None)]);
    assert!(matches!(score.items.first(), Some(Item::Heading { level: 1, .. })));
    // What concerns the whole document is not taken from it.
    let (_, said) = read(&[
        ("book/book.flam", "title: B\npage: a5\n\ninclude two.flam\n"),
        ("book/two.flam", "page: a4\nauthor: Someone Else\n\nfill\n  play s s s s\n"),
    ]);
    assert!(said.contains("book/two.flam:1:1"), "{said}");
    assert!(said.contains("`page` and `author`"), "{said}");
}

#[test]
fn blocks_are_known_across_files() {
    let (score, said) = read(&[
        (
            "book/book.flam",
            "include one.flam\ninclude two.flam\n\ncontext \"All\"\n  play: gallop, far\n",
        ),
        ("book/one.flam", "fill gallop \"Gallop\"\n  play   s s s s\n  stick  R L R L\n"),
        (
            "book/two.flam",
            "variation far of gallop \"Far\"\n  lead: left\n\nseries of gallop\n  turns: yes\n",
        ),
    ]);
    assert_eq!(said, "");
    assert!(score.expect("a score").items.len() > 3);
}

#[test]
fn faults_name_their_own_file() {
    let (score, said) = read(&[
        ("book/book.flam", "title: B\n\ninclude two.flam\n\nfill\n  play s s s\n"),
        ("book/two.flam", "// a\n\nfill \"é\"\n  play  s s s s s\n"),
    ]);
    assert!(score.is_none());
    assert!(said.contains("book/book.flam:6:12"), "{said}");
    assert!(said.contains("book/two.flam:4:"), "{said}");
    assert!(said.contains("4 │   play  s s s s s"), "{said}");
}

#[test]
fn what_cant_be_joined_is_said_at_its_line() {
    let music = "fill\n  play s s s s\n";
    let faults = |files: &[(&str, &str)]| {
        let (score, said) = read(files);
        assert!(score.is_none(), "{said}");
        said
    };
    let said = faults(&[("book/book.flam", "include two.flam\n")]);
    assert!(said.contains("book/book.flam:1:9"), "{said}");
    assert!(said.contains("can't read book/two.flam: there is no such file"), "{said}");
    let said = faults(&[("book/book.flam", "include ../book/book.flam\n")]);
    assert!(said.contains("this file includes itself"), "{said}");
    let said = faults(&[
        ("book/book.flam", "include a.flam\n"),
        ("book/a.flam", "include b.flam\n"),
        ("book/b.flam", &format!("{music}\ninclude a.flam\n")),
    ]);
    assert!(said.contains("book/b.flam:4:9"), "{said}");
    assert!(said.contains("a.flam includes this file"), "{said}");
    let said =
        faults(&[("book/book.flam", "include a.flam\ninclude a.flam\n"), ("book/a.flam", music)]);
    assert!(said.contains("book/book.flam:2:9"), "{said}");
    assert!(said.contains("a.flam is included already, at book/book.flam:1:9"), "{said}");
    let deep: Vec<(String, String)> =
        (0..12).map(|n| (format!("{n}.flam"), format!("include {}.flam\n", n + 1))).collect();
    let deep: Vec<_> = deep.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    let said = faults(&deep);
    assert!(said.contains("8.flam:1:9") && said.contains("more than 8 files"), "{said}");
    // A source that never looked for files says so.
    let source = Source::new("a", "include two.flam\n");
    let mut diagnostics = Diagnostics::default();
    assert!(flamacue::read(&source, &mut diagnostics).is_none());
}

#[test]
fn a_line_that_all_but_includes_is_warned_of() {
    for line in ["include two", "inclde two.flam"] {
        let (_, said) = read(&[("a.flam", line)]);
        assert!(said.contains("warning: this line is printed as prose"), "{line}: {said}");
    }
    let (_, said) = read(&[("a.flam", "include the bass drum when you are ready.\n")]);
    assert_eq!(said, "");
}

#[test]
fn only_the_given_file_is_formatted_and_expanded() {
    let source = source(&[
        ("book.flam", "include   two.flam\n\nvariation of gallop \"V\"\n   lead: left\n"),
        (
            "two.flam",
            "fill gallop \"G\"\n   play   ssss s s s\n   stick RLRL R L R\n\nvariation of gallop \"W\"\n  lead: left\n",
        ),
    ]);
    let mut found = Diagnostics::default();
    let document = syntax::parse(&source, &mut found);
    let formatted = syntax::format(&source, &document);
    assert_eq!(formatted, "include   two.flam\n\nvariation of gallop \"V\"\n  lead: left\n");
    let expanded = flamacue::expand(&source, &mut found).expect("no faults");
    assert!(expanded.starts_with("include   two.flam\n\nfill \"V\"\n"), "{expanded}");
    assert!(!expanded.contains("\"W\""), "{expanded}");
    let told = flamacue::explain(&source, &mut found).expect("no faults");
    assert!(told.contains("\"W\"    (two.flam, line 5)"), "{told}");
    assert!(told.contains("\"V\"    (line 3)"), "{told}");
}

#[test]
fn marks_say_their_file() {
    let source = source(&[
        ("book.flam", "include two.flam\n\nfill\n  play s s s s\n"),
        ("two.flam", "fill\n  play s s s s\n"),
    ]);
    let fonts = Fonts::built_in().expect("the built-in faces");
    let compiled =
        flamacue::compile(&source, &fonts, &mut Diagnostics::default()).expect("no faults").flat();
    let heads = built::locations(&compiled.drawing.pages[0], Kind::Notehead)
        .into_iter()
        .map(|place| (place.file.0, place.line));
    let heads: Vec<_> = heads.collect();
    assert_eq!(heads, [[(1, 2); 4], [(0, 4); 4]].concat());
}

#[test]
fn a_missing_file_is_one_fault() {
    let book = "counting: kettle\n\ninclude kit.flam\n\ngroove \"G\"\n  vibes x x x x\n\nfill \"A\"\n  play j s s s\n\n\
         variation of gone\n  taps: ghost\n\nSee @gone.\n\nkit\n  q quinto, above 2\n";
    let (score, said) = read(&[("book/book.flam", book)]);
    assert!(score.is_none());
    assert!(said.contains("can't read book/kit.flam"), "{said}");
    assert_eq!(said.matches("error:").count() + said.matches("warning:").count(), 1, "{said}");
}

#[test]
fn a_name_taken_in_another_file_is_told_with_its_place() {
    let one = format!("title: One\n\nfill five\n{FILL}");
    let (_, said) = read(&[
        ("book/book.flam", &format!("include one.flam\n\nfill five\n{FILL}")),
        ("book/one.flam", &one),
    ]);
    assert!(said.contains("the other is in book/one.flam, line 3"), "{said}");
}
