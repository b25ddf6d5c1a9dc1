//! A block is the same wherever it stands: what is typed in one leaves every other equal.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used, clippy::panic)]

mod built;

use flamacue::drawing::Kind;
use flamacue::engrave::{BlockPlace, Engraver, Style, engrave};
use flamacue::font::Fonts;
use flamacue::score::settings::Look;
use flamacue::score::{Block, Item, PlacedBlock, PrintedWords};
use flamacue::source::{Diagnostics, Source};
use std::path::Path;

fn blocks(path: &Path, text: &str) -> Vec<PlacedBlock> {
    let read = |path: &str| std::fs::read_to_string(path).map_err(|error| error.to_string());
    let name = built::root().join(path.with_file_name("test.flam")).display().to_string();
    let source = flamacue::syntax::gather(Source::new(name, text), &read);
    let mut diagnostics = Diagnostics::default();
    let score = flamacue::read(&source, &mut diagnostics)
        .unwrap_or_else(|| panic!("{}", diagnostics.render(&source, false)));
    let block = |item| match item {
        Item::Block(block) => Some(block),
        _ => None,
    };
    score.items.into_iter().filter_map(block).collect()
}

/// Lines put in before everything else move every block and change none.
#[test]
fn blocks_do_not_know_where_they_stand() {
    let mut compared = 0;
    for path in built::files("examples").into_iter().chain(built::files("demo")) {
        let text = std::fs::read_to_string(&path).expect("a file");
        let moved = format!("// A comment of thirty bytes.\n\n\n{text}");
        let (old, new) = (blocks(&path, &text), blocks(&path, &moved));
        assert_eq!(old.len(), new.len(), "{}", path.display());
        for (old, new) in old.iter().zip(&new) {
            assert!(old.block == new.block, "{}: {:?}", path.display(), old.title);
        }
        compared += old.len();
    }
    assert!(compared > 300, "only {compared} blocks were compared");
}

#[test]
fn a_letter_typed_in_one_block_leaves_the_others_equal() {
    let text = "tempo: 90\n\nfill one\n  play s s s s\n\nfill two \"Two\"\n  play S.ss t t t\n  stick R.RL R L R\n\nvariation of two\n  gaps: k\n";
    let old = blocks(Path::new("test.flam"), text);
    let new = blocks(Path::new("test.flam"), &text.replacen("s s s s", "ss s s s", 1));
    let equal = |a: &PlacedBlock, b: &PlacedBlock| Block::clone(a) == Block::clone(b);
    let same: Vec<bool> = old.iter().zip(&new).map(|(a, b)| equal(a, b)).collect();
    assert_eq!(same, [false, true, true]);
    let moved: Vec<usize> = old.iter().zip(&new).map(|(a, b)| b.at - a.at).collect();
    assert_eq!(moved, [0, 1, 1]);
}

/// A line of music that was engraved for a block serves for every block that is equal to it.
#[test]
fn lines_of_equal_blocks_are_equal() {
    let fonts = Fonts::built_in().expect("the built-in faces");
    let style = Style::built_in(Look::Handout).expect("a style");
    let engraver =
        Engraver { fonts: &fonts, style: &style, space_pt: 5.0, printed: PrintedWords::of(None) };
    let lines = |block: &Block| engrave(&engraver, block, BlockPlace::alone(block, 90.0)).systems;
    let path = built::root().join("demo/over-the-bakery.flam");
    let text = std::fs::read_to_string(&path).expect("a file");
    let moved = format!("// A comment of thirty bytes.\n\n\n{text}");
    let (old, new) = (blocks(&path, &text), blocks(&path, &moved));
    assert!(old.len() > 5);
    for (old, new) in old.iter().zip(&new) {
        assert!(lines(old) == lines(new), "{:?}", old.title);
    }
    let other = |(a, b): &(&PlacedBlock, &PlacedBlock)| lines(a) != lines(b);
    let typed = text.replacen("hat    x.x.", "hat    x.xx", 1);
    assert_ne!(typed, text);
    let typed = blocks(&path, &typed);
    assert_eq!(old.iter().zip(&typed).filter(other).count(), 1);
}

/// The marks of a block that was moved stand in the lines it was moved to.
#[test]
fn places_are_told_where_they_are() {
    let fonts = Fonts::built_in().expect("the built-in faces");
    let heads = |text: &str| {
        let source = Source::new("test.flam", text);
        let mut diagnostics = Diagnostics::default();
        let compiled = flamacue::compile(&source, &fonts, &mut diagnostics);
        let compiled = compiled.expect("no faults").flat();
        let heads = built::locations(&compiled.drawing.pages[0], Kind::Notehead);
        heads.iter().map(|head| (head.line, head.column)).collect::<Vec<_>>()
    };
    assert_eq!(heads("fill\n  play s s s s\n"), [(2, 8), (2, 10), (2, 12), (2, 14)]);
    assert_eq!(heads("# One\n\nfill\n  play s s s s\n"), [(4, 8), (4, 10), (4, 12), (4, 14)]);
}

/// What a header says holds for blocks elsewhere; a fault of it is told at the block.
#[test]
fn a_pickup_of_the_header_is_told_at_its_block() {
    let source = Source::new("test.flam", "pickup: 4/4\n\nfill \"One\"\n  play s s s s\n");
    let mut diagnostics = Diagnostics::default();
    flamacue::read(&source, &mut diagnostics);
    let found = diagnostics.sorted();
    assert!(found.len() == 1 && found[0].message.contains("no shorter than a bar"), "{found:?}");
    assert_eq!(source.slice(found[0].span), "fill \"One\"");
}
