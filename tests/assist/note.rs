use crate::texts::Asked;
use flamacue::assist::{CellNote, byte_of, note};
use flamacue::source::{FileId, Location};

#[track_caller]
fn found(text: &str) -> (Asked, Option<CellNote>) {
    let asked = Asked::new(text, &[]);
    let found = note(&asked.view(), asked.offset);
    (asked, found)
}

/// The bar, the beat and the cell at the cursor; and the note is on the page where it is said to be.
#[track_caller]
fn is(text: &str, bar: usize, beat: &str, cell: &str) {
    let (asked, found) = found(text);
    let found = found.unwrap_or_else(|| panic!("{text}: no note"));
    let source = asked.session.source();
    assert_eq!((found.bar, source.slice(found.span)), (bar, cell), "{text}");
    let Location { line, column, .. } = found.written;
    let group = format!(
        "<g class=\"note\" data-bar=\"{bar}\" data-beat=\"{beat}\" data-column=\"{column}\" data-line=\"{line}\">"
    );
    let svg = asked.session.svg(0).expect("a page");
    assert!(svg.contains(&group), "{text}\n{group}\n{svg}");
    let byte = byte_of(&asked.view(), found.written).expect("a byte");
    assert_eq!(source.location(byte), found.written);
}

#[test]
fn the_note_of_a_cell_is_on_the_page() {
    is("fill\n  play  s‸s s s s\n", 1, "3/2", "s");
    is("fill\n  play  ss‸ s s s\n", 1, "3/2", "s");
    is("fill\n  play  s s s s | s s 'S‸ s\n", 2, "3", "'S");
    is("fill\n  play  s s s s | s s ‸'S s\n", 2, "3", "'S");
    is("fill\n  play  c+‸k s s s\n", 1, "1", "c+k");
    is("groove\n  hat  xx xx xx xx\n  snare  . x . ‸x\n", 1, "4", "x");
    is("groove\n  hands  xx xx xx xx\n  feet  k . k‸ .\n", 1, "3", "k");
    is("fill\n  play  s s s s\n  stick  R L ‸R L\n", 1, "3", "R");
    is("# Größe 🥁\n\nfill \"🥁\"\n  play  s s s s‸\n", 1, "4", "s");
}

#[test]
fn what_is_no_hit_has_no_note() {
    for text in [
        "fill\n  play  s ‸. s s\n",
        "fill\n  pl‸ay  s s s s\n",
        "fill\n  play  s s s s\n  say \"o‸ne\"\n",
        "Words.‸\n",
        "‸",
    ] {
        assert_eq!(found(text).1, None, "{text}");
    }
}

#[test]
fn a_place_that_is_not_there_is_the_nearest_before_it() {
    let (asked, _) = found("ab\r\nß🥁\n");
    let byte =
        |file, line, column| byte_of(&asked.view(), Location { file: FileId(file), line, column });
    assert_eq!(byte(0, 1, 1), Some(0));
    assert_eq!(byte(0, 1, 9), Some(2));
    assert_eq!(byte(0, 2, 2), Some(6));
    assert_eq!(byte(0, 2, 3), Some(10));
    assert_eq!(byte(0, 99, 1), Some(11));
    assert_eq!(byte(0, 0, 0), Some(0));
    assert_eq!(byte(1, 1, 1), None);
}
