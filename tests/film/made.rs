//! Films made of texts, and where notes stand on their pages, found by a walk over the drawing.

use flamacue::drawing::{GroupKind, Kind, Mark, Node};
use flamacue::film::{Film, FilmOptions, FilmSet, Rate, StripPage};
use flamacue::font::Fonts;
use flamacue::practice::{Plan, Wanted};
use flamacue::score::{Score, Time};
use flamacue::source::{Diagnostics, Source};
use flamacue::syntax;
use kurbo::Rect;
use std::path::Path;

pub fn fonts() -> Fonts {
    Fonts::built_in().expect("the built-in faces")
}

pub fn score(text: &str) -> Score {
    score_of(&Source::new("test.flam", text))
}

fn score_of(source: &Source) -> Score {
    let mut diagnostics = Diagnostics::default();
    flamacue::read(source, &mut diagnostics)
        .unwrap_or_else(|| panic!("{}", diagnostics.render(source, false)))
}

/// Every example, with what it includes: its name and what it means.
pub fn examples() -> Vec<(String, Score)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut files: Vec<_> = std::fs::read_dir(&folder)
        .expect("the examples")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "flam"))
        .collect();
    files.sort();
    let read = |path: &std::path::PathBuf| {
        let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
        let text = std::fs::read_to_string(path).expect("a readable file");
        let beside =
            |file: &str| std::fs::read_to_string(folder.join(file)).map_err(|e| e.to_string());
        let source = syntax::gather(Source::new(name.clone(), text), &beside);
        (name, score_of(&source))
    };
    files.iter().map(read).collect()
}

pub fn plan(score: &Score, wanted: &Wanted) -> Plan {
    Plan::of(score, wanted).expect("a plan")
}

pub fn film(score: &Score, fonts: &Fonts, options: FilmOptions) -> Film {
    along(score, fonts, plan(score, &Wanted::default()), options)
}

pub fn along(score: &Score, fonts: &Fonts, plan: Plan, options: FilmOptions) -> Film {
    Film::of(FilmSet { fonts, score }, plan, options).expect("a film")
}

pub fn at_rate(words: &str) -> FilmOptions {
    FilmOptions { rate: Rate::read(words).expect("a rate"), ..FilmOptions::default() }
}

/// The middle of the heads that stand at a beat of a bar, of whoever plays them.
pub fn column(page: &StripPage, fonts: &Fonts, bar: usize, beat: Time) -> Option<f64> {
    let mut heads: Option<Rect> = None;
    walk(&page.picture.nodes, &mut |kind, children| {
        if *kind == (GroupKind::Note { bar, beat }) {
            marks(children, &mut |mark| {
                if mark.kind == Kind::Notehead {
                    let own = mark.shape.bounds(fonts);
                    heads = Some(heads.map_or(own, |all| all.union(own)));
                }
            });
        }
    });
    heads.map(|heads| heads.center().x)
}

/// Calls a function for every group of nodes.
pub fn walk(nodes: &[Node], tell: &mut impl FnMut(&GroupKind, &[Node])) {
    for node in nodes {
        if let Node::Group(group) = node {
            tell(&group.kind, &group.children);
            walk(&group.children, tell);
        }
    }
}

/// Calls a function for every mark of nodes.
pub fn marks(nodes: &[Node], tell: &mut impl FnMut(&Mark)) {
    for node in nodes {
        match node {
            Node::Group(group) => marks(&group.children, tell),
            Node::Mark(mark) => tell(mark),
            Node::Inset(inset) => marks(&inset.flat(), tell),
        }
    }
}
