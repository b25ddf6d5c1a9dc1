//! Nothing that should not touch touches: generated bars, engraved, and the true outlines of their
//! ink compared pair by pair. In the style of a handout; in all four styles, with all that a form
//! has; and squeezed into lines of half their natural width.
//!
//! `FLAMACUE_FILES` says how many texts each of these tests makes (1,000 of ten bars; 40 for each of
//! the styles), and `FLAMACUE_FROM` with which seed it begins. Ten thousand:
//!
//!     FLAMACUE_FILES=10000 cargo test --release --test engrave collisions

use crate::generated;
use flamacue::drawing::{Kind, Mark, Node, Shape};
use flamacue::font::Fonts;
use flamacue::source::{Diagnostics, Source};
use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape as _};
use std::collections::BTreeMap;

/// Kinds that may touch each other because they belong together.
const MAY_TOUCH: &[(Kind, Kind)] = &[
    (Kind::Notehead, Kind::Stem),
    (Kind::Notehead, Kind::Ledger),
    (Kind::Notehead, Kind::Notehead),
    (Kind::Stem, Kind::Stem),
    (Kind::Stem, Kind::Beam),
    (Kind::Stem, Kind::Flag),
    (Kind::Stem, Kind::Stroke),
    (Kind::Stem, Kind::Buzz),
    (Kind::Stem, Kind::Ledger),
    (Kind::Beam, Kind::Beam),
    (Kind::Ledger, Kind::Ledger),
    (Kind::Ledger, Kind::Grace),
    (Kind::Ledger, Kind::Slur),
    (Kind::Ledger, Kind::GraceSlash),
    (Kind::Ledger, Kind::GhostBracket),
    (Kind::Grace, Kind::Grace),
    (Kind::Grace, Kind::GraceSlash),
    (Kind::Tuplet, Kind::Tuplet),
    (Kind::Barline, Kind::Barline),
    (Kind::Barline, Kind::BarRepeat),
    (Kind::Hairpin, Kind::Hairpin),
    (Kind::Swing, Kind::Swing),
    (Kind::Section, Kind::Section),
    (Kind::Ending, Kind::Ending),
    (Kind::Phrase, Kind::Phrase),
    (Kind::Title, Kind::Title),
];

/// Kinds the lines of the staff may not cross.
const OFF_STAFF: &[Kind] = &[
    Kind::Count,
    Kind::Sticking,
    Kind::Words,
    Kind::Dynamic,
    Kind::Hairpin,
    Kind::Gradual,
    Kind::Tempo,
    Kind::Swing,
    Kind::Accent,
    Kind::RollNumber,
    Kind::Unclear,
    Kind::Phrase,
    Kind::BarNumber,
    Kind::Tuplet,
];

/// How far ink may overlap before it counts, in points: less than a tenth of a line's thickness.
const SLACK: f64 = 0.05;

struct Ink {
    kind: Kind,
    bounds: Rect,
    path: BezPath,
    place: String,
}

fn may_touch(a: Kind, b: Kind) -> bool {
    if a == Kind::StaffLine || b == Kind::StaffLine {
        return !OFF_STAFF.contains(&a) && !OFF_STAFF.contains(&b);
    }
    MAY_TOUCH.contains(&(a, b)) || MAY_TOUCH.contains(&(b, a))
}

fn collect(fonts: &Fonts, nodes: &[Node], all: &mut Vec<Ink>) {
    for node in nodes {
        match node {
            Node::Group(group) => collect(fonts, &group.children, all),
            Node::Mark(mark) => all.push(ink(fonts, mark)),
            Node::Inset(inset) => collect(fonts, &inset.flat(), all),
        }
    }
}

fn ink(fonts: &Fonts, mark: &Mark) -> Ink {
    let path = match &mark.shape {
        Shape::Box(rect) | Shape::Picture { area: rect, .. } => rect.to_path(0.01),
        Shape::Path(path) => path.clone(),
        Shape::Glyph { glyph, at, space } => {
            let map = Affine::translate(at.to_vec2()) * Affine::scale(*space);
            map * fonts.music.outline(*glyph)
        }
        Shape::Text { run, at, size } => {
            Affine::translate(at.to_vec2()) * Affine::scale(*size) * fonts.text.outline(run)
        }
    };
    let place = mark.place.map_or(String::new(), |span| format!("byte {}", span.start()));
    Ink { kind: mark.kind, bounds: path.bounding_box(), path, place }
}

/// The path as closed polygons.
fn polygons(path: &BezPath) -> Vec<Vec<Point>> {
    let mut all = Vec::new();
    let mut current: Vec<Point> = Vec::new();
    kurbo::flatten(path.elements().iter().copied(), 0.02, |element| match element {
        PathEl::MoveTo(p) => {
            all.push(std::mem::take(&mut current));
            current.push(p);
        }
        PathEl::LineTo(p) => current.push(p),
        _ => {}
    });
    all.push(current);
    all.retain(|polygon| polygon.len() > 2);
    all
}

/// Whether two outlines share ink deeper than the slack: a point of one lies inside the other, or
/// their edges cross, after the second is pulled a little out of the way on its nearer side.
fn overlap(a: &Ink, b: &Ink) -> bool {
    let shared = a.bounds.intersect(b.bounds);
    if shared.width() <= SLACK || shared.height() <= SLACK {
        return false;
    }
    let (pa, pb) = (polygons(&a.path), polygons(&b.path));
    let crossing = pa.iter().any(|x| pb.iter().any(|y| edges_cross(x, y)));
    let inside = |path: &BezPath, polygons: &[Vec<Point>]| {
        polygons.iter().flatten().any(|p| path.winding(*p) != 0)
    };
    if !(crossing || inside(&a.path, &pb) || inside(&b.path, &pa)) {
        return false;
    }
    // A touch that a nudge of the slack undoes is none.
    [(SLACK, 0.0), (-SLACK, 0.0), (0.0, SLACK), (0.0, -SLACK)].iter().all(|(dx, dy)| {
        let moved = Affine::translate((*dx, *dy)) * b.path.clone();
        let pm = polygons(&moved);
        pa.iter().any(|x| pm.iter().any(|y| edges_cross(x, y)))
            || inside(&a.path, &pm)
            || inside(&moved, &pa)
    })
}

fn edges_cross(a: &[Point], b: &[Point]) -> bool {
    let edges = |polygon: &[Point]| {
        let mut edges: Vec<(Point, Point)> = polygon.windows(2).map(|w| (w[0], w[1])).collect();
        edges.push((polygon[polygon.len() - 1], polygon[0]));
        edges
    };
    let side = |a: Point, b: Point, p: Point| (b - a).cross(p - a);
    let (ea, eb) = (edges(a), edges(b));
    ea.iter().any(|(p, q)| {
        eb.iter().any(|(r, s)| {
            side(*p, *q, *r) * side(*p, *q, *s) < 0.0 && side(*r, *s, *p) * side(*r, *s, *q) < 0.0
        })
    })
}

/// Pairs of kinds that touch, with where and how often.
fn touches(fonts: &Fonts, text: &str) -> Result<BTreeMap<(Kind, Kind), Vec<String>>, String> {
    let source = Source::new("generated.flam", text);
    let mut diagnostics = Diagnostics::default();
    let compiled = flamacue::compile(&source, fonts, &mut diagnostics)
        .ok_or_else(|| diagnostics.render(&source, false))?;
    let mut found: BTreeMap<(Kind, Kind), Vec<String>> = BTreeMap::new();
    for (name, page) in &compiled.blocks {
        let mut all = Vec::new();
        collect(fonts, &page.nodes, &mut all);
        all.sort_by(|a, b| a.bounds.x0.total_cmp(&b.bounds.x0));
        for (index, a) in all.iter().enumerate() {
            for b in all[index + 1..].iter().take_while(|b| b.bounds.x0 < a.bounds.x1) {
                if !may_touch(a.kind, b.kind) && overlap(a, b) {
                    let pair = (a.kind.min(b.kind), a.kind.max(b.kind));
                    found.entry(pair).or_default().push(format!("{name} {} {}", a.place, b.place));
                }
            }
        }
    }
    Ok(found)
}

/// The comparison itself: it sees what overlaps, and nothing else.
#[test]
fn an_overlap_is_seen() {
    let ink = |path: BezPath| Ink {
        kind: Kind::Stem,
        bounds: path.bounding_box(),
        path,
        place: String::new(),
    };
    let boxed = |x0: f64, y0: f64, x1: f64, y1: f64| ink(Rect::new(x0, y0, x1, y1).to_path(0.01));
    let one = boxed(0.0, 0.0, 10.0, 10.0);
    assert!(overlap(&one, &boxed(9.0, 9.0, 20.0, 20.0)), "corners");
    assert!(overlap(&one, &boxed(-5.0, 4.0, 15.0, 6.0)), "a line across");
    assert!(overlap(&one, &boxed(4.0, 4.0, 6.0, 6.0)), "one inside the other");
    assert!(!overlap(&one, &boxed(10.0 - SLACK / 2.0, 0.0, 20.0, 10.0)), "within the slack");
    assert!(!overlap(&one, &boxed(11.0, 0.0, 20.0, 10.0)), "apart");
    // Their boxes overlap, their ink does not.
    let corner = ink(BezPath::from_svg("M8 14L14 8L14 14Z").unwrap());
    assert!(!overlap(&one, &corner) && overlap(&boxed(0.0, 0.0, 12.0, 12.0), &corner));
    assert!(!may_touch(Kind::Count, Kind::StaffLine) && may_touch(Kind::Beam, Kind::Stem));
}

/// The seeds of a test: as many as the environment asks for.
fn seeds(usual: u64) -> std::ops::Range<u64> {
    let asked = |name: &str| std::env::var(name).ok().and_then(|n| n.parse::<u64>().ok());
    let from = asked("FLAMACUE_FROM").unwrap_or(0);
    from..from.saturating_add(asked("FLAMACUE_FILES").unwrap_or(usual))
}

/// Fails where anything touches in the texts, each with the seed it is made of.
fn nothing_touches(texts: impl Iterator<Item = (u64, String)>) {
    let fonts = &*crate::picture::FONTS;
    let mut report = String::new();
    let mut total: BTreeMap<(Kind, Kind), usize> = BTreeMap::new();
    for (seed, text) in texts {
        let found = touches(fonts, &text).unwrap();
        if !found.is_empty() {
            report.push_str(&text);
        }
        for (pair, places) in found {
            *total.entry(pair).or_default() += places.len();
            report.push_str(&format!(
                "seed {seed}: {pair:?} at {:?}\n",
                &places[..places.len().min(3)]
            ));
        }
    }
    assert!(total.is_empty(), "{total:#?}\n{}", report.chars().take(60000).collect::<String>());
}

const STYLES: [&str; 4] = ["handout", "book", "stand", "screen"];

#[test]
fn no_two_marks_of_different_kinds_overlap() {
    nothing_touches(seeds(400).map(|seed| (seed, generated::file(seed, 5, 2))));
}

#[test]
fn nothing_overlaps_in_any_style() {
    nothing_touches(in_styles(40, |seed, style| generated::rich(seed, 6, style)));
}

#[test]
fn nothing_overlaps_in_lines_of_half_the_natural_width() {
    nothing_touches(in_styles(40, |seed, style| {
        // One bar can't be broken, and is as narrow as its ink; of three, two may share a line.
        let bars = if seed % 2 == 0 { 1 } else { 3 };
        let text = |width: f64| {
            generated::rich(seed, bars, &format!("{style}page: {width:.1} x 400 mm\n"))
        };
        text(page_for(natural_width(&text(WIDEST)) / 2.0))
    }));
}

/// Texts of as many seeds as are asked for in every style, whose line of the header is given.
fn in_styles(
    usual: u64,
    text: impl Fn(u64, &str) -> String,
) -> impl Iterator<Item = (u64, String)> {
    let styles = STYLES.map(|style| format!("style: {style}\n"));
    seeds(usual).flat_map(move |seed| styles.each_ref().map(|style| (seed, text(seed, style))))
}

/// The widest page there may be, in millimetres; no bar fills its line, so that it has its natural
/// width there.
const WIDEST: f64 = 1200.0;

/// The width of a text's block in millimetres.
fn natural_width(text: &str) -> f64 {
    let source = Source::new("generated.flam", text);
    let mut diagnostics = Diagnostics::default();
    let compiled = flamacue::compile(&source, &crate::picture::FONTS, &mut diagnostics);
    let compiled = compiled.unwrap_or_else(|| panic!("{}", diagnostics.render(&source, false)));
    let mut ink = Vec::new();
    for (_, page) in &compiled.blocks {
        collect(&crate::picture::FONTS, &page.nodes, &mut ink);
    }
    let left = ink.iter().map(|ink| ink.bounds.x0).fold(f64::INFINITY, f64::min);
    let right = ink.iter().map(|ink| ink.bounds.x1).fold(0.0, f64::max);
    (right - left) * 25.4 / 72.0
}

/// How wide a page is whose lines have a width, in millimetres: its margins are a tenth of it, or 16
/// millimetres; and it is no narrower than 50.
fn page_for(line: f64) -> f64 {
    (line / 0.8).min(line + 32.0).max(50.0)
}

/// Texts in which something touched: letters that lean under a beam, a tie next to a ledger line, the
/// tie of a ghost, words that reach over a barline, dynamics under the sign of bars played again.
const ONCE_TOUCHED: [&str; 5] = [
    "page: 57.5 x 400 mm\n\ngroove\n  time: 7/8\n  counts: none\n  \
     hands  '''(m)(o) o///'R ^chcm+c= . l . X,=.s//.\n  feet  . . .. . . .k k\n  \
     dyn  < p ff f . f .\n",
    "style: stand\npage: 225.7 x 400 mm\n\nfill\n  time: 7/8\n  \
     play  x .[osl]-. ^h+s. m,h.M 'x mm ''(x)+lt\n  \
     say  \"and land\" strawberry strawberry . strawberry strawberry low . \"and land\"\n",
    "fill\n  time: 6/8\n  play  (f)(f)--.l .cff\n",
    "fill\n  time: 1/4\n  counts: none\n  play  ssssssss | ssssssss\n  \
     say  . . . . . . . \"and land\" | . \"strawberry jam\"\n",
    "fill\n  counts: none\n  play  ssss s s s | s s s s | %2\n  \
     dyn  . | . | sfz ff . . | . > . p\n",
];

#[test]
fn what_once_touched_does_not() {
    nothing_touches((0..).zip(ONCE_TOUCHED.map(str::to_owned)));
}
