//! Every example and the demo, written out: what is made from other blocks becomes rows that build
//! to the same pages, and a file in which nothing is made stays as it is.

use crate::built::{files, root};
use crate::picture::FONTS;
use crate::{case, read, stem};
use flamacue::source::{Diagnostics, Source};
use flamacue::{compile, syntax, write};
use libtest_mimic::Trial;
use std::path::Path;

pub fn cases() -> Vec<Trial> {
    let paths = files("examples").into_iter().chain(files("demo"));
    paths.map(|path| case(format!("written-out::{}", stem(&path)), move || same(&path))).collect()
}

fn same(path: &Path) {
    let text = read(path);
    let source = source(path, &text);
    let mut diagnostics = Diagnostics::default();
    let plain = flamacue::expand(&source, &mut diagnostics);
    let plain = plain.unwrap_or_else(|| panic!("{}", diagnostics.render(&source, false)));
    assert!(!makes(&plain), "something is left:\n{plain}");
    if makes(&text) || text.contains("stick:") {
        assert!(plain != text, "nothing was written out");
        assert!(pages(path, &text) == pages(path, &plain), "other pages from\n{plain}");
    } else {
        assert_eq!(plain, text);
    }
}

/// Whether a block of a text is made from others.
fn makes(text: &str) -> bool {
    let mut words = text.lines().filter_map(|line| line.split_whitespace().next());
    words.any(|word| ["variation", "context", "series"].contains(&word))
}

/// A text as if it stood in the folder of a file, with what it includes.
fn source(path: &Path, text: &str) -> Source {
    let name = root().join(path.with_file_name("test.flam")).display().to_string();
    let read = |path: &str| std::fs::read_to_string(path).map_err(|error| error.to_string());
    syntax::gather(Source::new(name, text), &read)
}

fn pages(path: &Path, text: &str) -> Vec<u8> {
    let source = source(path, text);
    let mut diagnostics = Diagnostics::default();
    let compiled = compile(&source, &FONTS, &mut diagnostics)
        .unwrap_or_else(|| panic!("{}", diagnostics.render(&source, false)));
    write::pdf::write(&compiled.drawing, &FONTS).expect("a PDF")
}
