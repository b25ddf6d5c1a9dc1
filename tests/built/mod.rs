//! Texts compiled as the command does, and the marks on their pages.

#![allow(dead_code, reason = "each test uses the part it needs")]

use flamacue::drawing::{Group, GroupKind, Kind, Mark, Node, Page, PlaceFinder, Shape};
use flamacue::font::Fonts;
use flamacue::source::{Diagnostics, Location, Source};
use flamacue::{Compiled, compile};
use std::path::{Path, PathBuf};

/// The folder of the crate.
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The drum-text files of a folder of the crate, by name.
pub fn files(folder: &str) -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(root().join(folder))
        .expect("the folder")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|e| e == "flam"))
        .collect();
    files.sort();
    files
}

/// Compiles a text that must have neither faults nor warnings, with the files it includes; what was
/// found otherwise.
pub fn clean(fonts: &Fonts, name: &str, text: &str) -> Result<Compiled, String> {
    let read = |path: &str| std::fs::read_to_string(path).map_err(|error| error.to_string());
    let source = flamacue::syntax::gather(Source::new(name, text), &read);
    let mut diagnostics = Diagnostics::default();
    let compiled = compile(&source, fonts, &mut diagnostics);
    if !diagnostics.sorted().is_empty() {
        return Err(diagnostics.render(&source, false));
    }
    compiled
        .map(Compiled::flat)
        .ok_or_else(|| format!("{name}: nothing came of it, and nothing was said"))
}

/// All marks of a page, in drawing order.
pub fn marks(page: &Page) -> Vec<&Mark> {
    let mut found = Vec::new();
    let mut waiting: Vec<&Node> = page.nodes.iter().rev().collect();
    while let Some(node) = waiting.pop() {
        match node {
            Node::Mark(mark) => found.push(mark),
            Node::Group(group) => waiting.extend(group.children.iter().rev()),
            Node::Inset(_) => unreachable!("a flat page has none"),
        }
    }
    found
}

/// The file, line and column of all marks of a kind on a page that have a place, in drawing order.
pub fn locations(page: &Page, kind: Kind) -> Vec<Location> {
    let mut found = Vec::new();
    let start = PlaceFinder::new(&page.lines);
    let mut waiting: Vec<(&Node, PlaceFinder<'_>)> =
        page.nodes.iter().rev().map(|node| (node, start)).collect();
    while let Some((node, places)) = waiting.pop() {
        match node {
            Node::Mark(mark) if mark.kind == kind => found.extend(places.location(mark.place)),
            Node::Mark(_) => {}
            Node::Group(group) => {
                let inside = places.inside(group);
                waiting.extend(group.children.iter().rev().map(|node| (node, inside)));
            }
            Node::Inset(_) => unreachable!("a flat page has none"),
        }
    }
    found
}

/// All groups of a page, outer before inner.
pub fn groups(page: &Page) -> Vec<&Group> {
    let mut found: Vec<&Group> = Vec::new();
    let mut waiting: Vec<&Node> = page.nodes.iter().rev().collect();
    while let Some(node) = waiting.pop() {
        if let Node::Group(group) = node {
            found.push(group);
            waiting.extend(group.children.iter().rev());
        }
    }
    found
}

/// How many marks of a kind stand on a page.
pub fn number_of(page: &Page, kind: Kind) -> usize {
    marks(page).into_iter().filter(|mark| mark.kind == kind).count()
}

/// The words of all marks of a kind on a page, in drawing order.
pub fn words_of(page: &Page, kind: Kind) -> Vec<String> {
    let of_kind = marks(page).into_iter().filter(|mark| mark.kind == kind);
    of_kind
        .filter_map(|mark| match &mark.shape {
            Shape::Text { run, .. } => Some(run.text.clone()),
            _ => None,
        })
        .collect()
}

/// The numbers of the bars on a page.
pub fn bars(page: &Page) -> Vec<usize> {
    let bars = groups(page).into_iter().filter_map(|group| match group.kind {
        GroupKind::Bar { number } => Some(number),
        _ => None,
    });
    bars.collect()
}
