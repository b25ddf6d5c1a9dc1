//! One block's marks in staff spaces, y down from the middle line of its staff.

#![allow(dead_code, reason = "each test uses the part it needs")]

use flamacue::drawing::{GroupKind, Ink, Kind, Mark, Node, Shape};
use flamacue::font::Fonts;
use flamacue::score::Time;
use flamacue::source::{Diagnostics, Source};
use kurbo::Rect;
use std::sync::LazyLock;

pub static FONTS: LazyLock<Fonts> = LazyLock::new(|| Fonts::built_in().unwrap());

/// A mark of a block.
#[derive(Clone, Debug)]
pub struct Seen {
    pub kind: Kind,
    /// Its ink.
    pub ink: Rect,
    /// Glyph name, or the words of a text.
    pub name: String,
    /// Left end of the baseline, or the glyph's origin.
    pub origin: (f64, f64),
    /// Width of a text's advance, or of the ink.
    pub width: f64,
    /// Size of a glyph against a full one.
    pub scale: f64,
    /// The bar it stands in, from 1.
    pub bar: usize,
    /// The moment of its note, in beats from 1.
    pub beat: Option<Time>,
    /// The line of music, from 0.
    pub line: usize,
    /// Printed lighter.
    pub grey: bool,
}

impl Seen {
    pub fn centre(&self) -> f64 {
        match self.kind {
            Kind::Count | Kind::Sticking | Kind::Words => self.origin.0 + self.width / 2.0,
            _ => (self.ink.x0 + self.ink.x1) / 2.0,
        }
    }

    pub fn middle(&self) -> f64 {
        (self.ink.y0 + self.ink.y1) / 2.0
    }
}

/// A block as a list of marks.
pub struct Picture {
    pub marks: Vec<Seen>,
}

impl Picture {
    /// Builds a text and looks at its first block.
    pub fn of(text: &str) -> Self {
        Self::all(text).into_iter().next().unwrap()
    }

    /// Every block of a text, which may include files of the examples.
    pub fn all(text: &str) -> Vec<Self> {
        let name = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/test.flam");
        let read = |path: &str| std::fs::read_to_string(path).map_err(|e| e.to_string());
        let source = flamacue::syntax::gather(Source::new(name, text), &read);
        let mut diagnostics = Diagnostics::default();
        let compiled = flamacue::compile(&source, &FONTS, &mut diagnostics);
        let compiled = compiled.unwrap_or_else(|| panic!("{}", diagnostics.render(&source, false)));
        compiled.blocks.iter().map(|(_, page)| Self::read(&page.flat())).collect()
    }

    fn read(nodes: &[Node]) -> Self {
        let mut found = Vec::new();
        walk(nodes, (0, None), &mut found);
        // The lines of each staff, from which its middle and its space are read.
        let staves: Vec<Rect> = found
            .iter()
            .filter(|(mark, ..)| mark.kind == Kind::StaffLine)
            .map(|(mark, ..)| mark.shape.bounds(&FONTS))
            .collect();
        let clefs = found.iter().filter(|(mark, ..)| mark.kind == Kind::Clef);
        let space = clefs.map(|(mark, ..)| size(mark)).next().unwrap_or(1.0);
        let mut middles: Vec<f64> = Vec::new();
        for lines in staves.chunks(if is_five(&staves, space) { 5 } else { 1 }) {
            let y = |r: &Rect| (r.y0 + r.y1) / 2.0;
            middles.push((y(&lines[0]) + y(&lines[lines.len() - 1])) / 2.0);
        }
        let mut line = 0;
        let mut started = false;
        let mut marks = Vec::new();
        for (mark, bar, beat) in &found {
            if mark.kind == Kind::StaffLine && !started {
                started = true;
            } else if mark.kind == Kind::Clef {
                let y = mark.shape.bounds(&FONTS).center().y;
                line = nearest(&middles, y);
            }
            let middle = middles.get(line).copied().unwrap_or(0.0);
            marks.push(seen(mark, *bar, *beat, line, (middle, space)));
        }
        Self { marks }
    }

    pub fn kind(&self, kind: Kind) -> Vec<&Seen> {
        self.marks.iter().filter(|m| m.kind == kind).collect()
    }

    pub fn one(&self, kind: Kind) -> &Seen {
        self.kind(kind)[0]
    }

    /// Noteheads from left to right.
    pub fn heads(&self) -> Vec<&Seen> {
        let mut heads = self.kind(Kind::Notehead);
        heads.sort_by(|a, b| a.ink.x0.total_cmp(&b.ink.x0));
        heads
    }
}

fn nearest(middles: &[f64], y: f64) -> usize {
    let far = |i: &usize| (middles[*i] - y).abs();
    (0..middles.len()).min_by(|a, b| far(a).total_cmp(&far(b))).unwrap_or(0)
}

fn is_five(staves: &[Rect], space: f64) -> bool {
    staves.len() >= 5 && ((staves[1].y0 - staves[0].y0) - space).abs() < 0.01
}

fn size(mark: &Mark) -> f64 {
    match &mark.shape {
        Shape::Glyph { space, .. } => *space,
        _ => 1.0,
    }
}

fn walk<'a>(
    nodes: &'a [Node],
    (bar, beat): (usize, Option<Time>),
    found: &mut Vec<(&'a Mark, usize, Option<Time>)>,
) {
    for node in nodes {
        match node {
            Node::Mark(mark) => found.push((mark, bar, beat)),
            Node::Group(group) => {
                let inner = match &group.kind {
                    GroupKind::Bar { number } => (*number, None),
                    GroupKind::Note { bar, beat } => (*bar, Some(*beat)),
                    _ => (bar, beat),
                };
                walk(&group.children, inner, found);
            }
            Node::Inset(_) => unreachable!("a flat page has none"),
        }
    }
}

fn seen(
    mark: &Mark,
    bar: usize,
    beat: Option<Time>,
    line: usize,
    (middle, space): (f64, f64),
) -> Seen {
    let ink = mark.shape.bounds(&FONTS);
    let map = |x: f64, y: f64| (x / space, (y - middle) / space);
    let (x0, y0) = map(ink.x0, ink.y0);
    let (x1, y1) = map(ink.x1, ink.y1);
    let (name, origin, width, scale) = match &mark.shape {
        Shape::Glyph { glyph, at, space: own } => {
            (glyph.name().to_owned(), map(at.x, at.y), x1 - x0, own / space)
        }
        Shape::Text { run, at, size } => {
            (run.text.clone(), map(at.x, at.y), run.width * size / space, 1.0)
        }
        _ => (String::new(), (x0, y0), x1 - x0, 1.0),
    };
    Seen {
        kind: mark.kind,
        ink: Rect::new(x0, y0, x1, y1),
        name,
        origin,
        width,
        scale,
        bar,
        beat,
        line,
        grey: mark.ink == Ink::Grey,
    }
}
