//! A page with one mark of every form.

use flamacue::drawing::{
    Drawing, Group, GroupKind, Ink, Kind, Link, Mark, Node, OutlineEntry, Page, Prose, Shape,
};
use flamacue::font::{FaceStyle, Fonts, Glyph};
use flamacue::score::Time;
use flamacue::source::{Source, Span};
use kurbo::{BezPath, Point, Rect};

pub fn fonts() -> Fonts {
    Fonts::built_in().expect("the built-in faces read")
}

/// The text the drawing is said to be written in, and where its block starts.
const TEXT: &str = "\n\nfill\n  play  sss";
const BLOCK: usize = 2;

/// The cell of a note, counted from the start of the block.
fn cell(nth: usize) -> Span {
    let first = TEXT.find("sss").expect("cells") - BLOCK;
    Span::new(first + nth, first + nth + 1)
}

/// Staff space of the drawing, in points.
const SPACE: f64 = 5.0;

pub fn words(fonts: &Fonts, kind: Kind, text: &str, style: FaceStyle, x: f64, y: f64) -> Mark {
    let run = fonts.text.shape(text, style);
    Mark::new(kind, Shape::Text { run, at: Point::new(x, y), size: 11.0 })
}

fn glyph(kind: Kind, glyph: Glyph, x: f64, y: f64) -> Node {
    Node::Mark(Mark::new(kind, Shape::Glyph { glyph, at: Point::new(x, y), space: SPACE }))
}

fn filled(kind: Kind, x0: f64, y0: f64, x1: f64, y1: f64) -> Node {
    Node::Mark(Mark::new(kind, Shape::Box(Rect::new(x0, y0, x1, y1))))
}

fn note(fonts: &Fonts, nth: usize, count: &str, hand: &str) -> Node {
    let x = 60.0 + 30.0 * nth as f64;
    let place = Some(cell(nth));
    let mut spoken = words(fonts, Kind::Count, count, FaceStyle::Regular, x, 95.0);
    if nth == 1 {
        spoken.ink = Ink::Grey;
    }
    Node::from(Group {
        kind: GroupKind::Note { bar: 1, beat: Time::new(2 + nth as i64, 2) },
        place,
        children: vec![
            glyph(Kind::Notehead, Glyph::NOTEHEAD_BLACK, x, 57.5),
            filled(Kind::Stem, x + 5.6, 40.0, x + 6.2, 57.0),
            Node::Mark(spoken.at_place(place)),
            Node::Mark(words(fonts, Kind::Sticking, hand, FaceStyle::Semibold, x, 110.0)),
        ],
    })
}

pub fn page(fonts: &Fonts) -> Page {
    let beam = BezPath::from_svg("M65.6 40L96.2 38L96.2 40.5L65.6 42.5Z").expect("a path");
    let tie = BezPath::from_svg("M70 66Q80 72 90 66Q80 74 70 66Z").expect("a path");
    let mut staff: Vec<Node> = (0..5)
        .map(|line| 40.0 + SPACE * f64::from(line))
        .map(|y| filled(Kind::StaffLine, 20.0, y - 0.3, 180.0, y + 0.3))
        .collect();
    staff.push(glyph(Kind::Clef, Glyph::UNPITCHED_PERCUSSION_CLEF_1, 22.0, 50.0));
    staff.push(glyph(Kind::TimeSignature, Glyph::TIME_SIG_4, 40.0, 45.0));
    staff.push(glyph(Kind::TimeSignature, Glyph::TIME_SIG_4, 40.0, 55.0));
    let bar = Group {
        kind: GroupKind::Bar { number: 1 },
        place: Some(cell(0)),
        children: vec![
            note(fonts, 0, "1", "R"),
            note(fonts, 1, "&", "L"),
            note(fonts, 2, "2", "R"),
            Node::Mark(Mark::new(Kind::Beam, Shape::Path(beam))),
            Node::Mark(Mark::new(Kind::Tie, Shape::Path(tie))),
            filled(Kind::Barline, 179.2, 40.0, 180.0, 60.0),
        ],
    };
    staff.push(Node::from(bar));
    let system = Node::from(Group { kind: GroupKind::System, place: None, children: staff });
    let block = Node::from(Group {
        kind: GroupKind::Block {
            title: "Fiddle & “flam”".into(),
            spoken: "Fiddle & “flam”. Count 1 and 2.".into(),
            at: BLOCK,
        },
        place: Some(Span::new(0, 4)),
        children: vec![
            Node::Mark(words(
                fonts,
                Kind::Title,
                "Fiddle & “flam” AV",
                FaceStyle::Semibold,
                20.0,
                25.0,
            )),
            system,
        ],
    });
    let prose = "An official café <waffle> & é";
    Page {
        lines: Source::new("fixture.flam", TEXT).lines(),
        width: 200.0,
        height: 160.0,
        name: "Fiddle & “flam” <1>".into(),
        colours: Default::default(),
        nodes: vec![
            block,
            Node::Mark(words(fonts, Kind::Text, prose, FaceStyle::Regular, 20.0, 135.0)),
            Node::Mark(words(fonts, Kind::Text, "to fly softly", FaceStyle::Italic, 20.0, 150.0)),
        ],
    }
}

pub fn drawing(fonts: &Fonts) -> Drawing {
    Drawing {
        front: 0,
        title: Some("Fiddle & “flam”".into()),
        author: Some("Tamsin Orrery".into()),
        language: Some("en".into()),
        publisher: None,
        isbn: None,
        outline: vec![OutlineEntry { level: 1, title: "Häuser".into(), page: 0, y: 12.0 }],
        addresses: Vec::new(),
        links: vec![Link {
            page: 0,
            area: Rect::new(10.0, 10.0, 60.0, 20.0),
            to: 0,
            line: None,
            said: Some(Prose::Contents { entry: 0 }),
        }],
        imposed: false,
        pages: vec![page(fonts)],
    }
}
