//! The drawing as JSON, for programs that check or reuse a layout.
//!
//! One object:
//!
//! | key | value |
//! |---|---|
//! | `format` | `"flamacue-drawing"` |
//! | `version` | 1; a change that breaks readers raises it |
//! | `unit` | `"pt"`: all lengths are points of 1/72 inch; x runs right and y down from the upper left corner of the page |
//! | `title`, `author`, `language` | words, or absent |
//! | `pages` | list of pages |
//!
//! A page has `width`, `height`, `name` and `nodes`. A node is a group or a mark:
//!
//! | key of a group | value |
//! |---|---|
//! | `group` | `"block"`, `"system"`, `"bar"` or `"note"` |
//! | `title` | of a block |
//! | `bar` | of a bar and of a note: the bar's number in its block, from 1 |
//! | `beat` | of a note: its place in the bar, an exact fraction as words: `"1"`, `"3/2"` |
//! | `file` | the file it is written in, from 1 in the order they were included; absent for the first |
//! | `line`, `column` | its place in the file, from 1, or absent |
//! | `children` | list of nodes |
//!
//! | key of a mark | value |
//! |---|---|
//! | `mark` | the kind, the same word as in SVG classes: `"notehead"`, `"stem"`, `"count"` |
//! | `ink` | `"black"` or `"grey"` |
//! | `file` | the file it is written in, from 1 in the order they were included; absent for the first |
//! | `line`, `column` | its place in the file, from 1, or absent |
//! | `bounds` | the ink's box: `[left, top, right, bottom]` |
//! | one of `box`, `path`, `glyph`, `text`, `picture` | its form |
//!
//! `box` is `[left, top, right, bottom]`; `path` is SVG path data; `glyph` has `name` (SMuFL),
//! `code` (`"U+E0A4"`), `at` (`[x, y]` of its origin) and `space` (the staff space); `text` has
//! `words`, `style` (`"regular"`, `"semibold"`, `"italic"`, `"semibold-italic"`, `"mono"`), `at` (the left end of the baseline),
//! `size` (the em) and `width` (the advance); `picture` has `form` (`"pixels"` or `"outlines"`), `area`
//! (`[left, top, right, bottom]`) and its natural `width` and `height`.

use super::number::{fraction, path_data, round};
use crate::drawing::{
    Drawing, Group, GroupKind, Ink, Mark, Node, Page, PictureForm, PlaceFinder, Shape,
};
use crate::font::Fonts;
use crate::source::{FileId, Location};
use kurbo::{Point, Rect, Shape as _};
use serde::Serialize;

/// Every mark with its kind, position and source place; the ink's box of boxes and paths only.
pub fn write(drawing: &Drawing) -> String {
    text(drawing, None)
}

/// Every mark with its kind, position, the ink's box and its source place.
pub fn write_measured(drawing: &Drawing, fonts: &Fonts) -> String {
    text(drawing, Some(fonts))
}

fn text(drawing: &Drawing, fonts: Option<&Fonts>) -> String {
    let flat: Vec<Vec<Node>> = drawing.pages.iter().map(Page::flat).collect();
    let document = DocumentDump {
        format: "flamacue-drawing",
        version: 1,
        unit: "pt",
        title: drawing.title.as_deref(),
        author: drawing.author.as_deref(),
        language: drawing.language.as_deref(),
        pages: drawing
            .pages
            .iter()
            .zip(&flat)
            .map(|(page, f)| PageDump::new(page, f, fonts))
            .collect(),
    };
    // Strings, finite numbers and lists of them have no way to fail.
    let mut json = serde_json::to_string(&document).unwrap_or_default();
    json.push('\n');
    json
}

#[derive(Serialize)]
struct DocumentDump<'a> {
    format: &'static str,
    version: u32,
    unit: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    title: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    author: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    language: Option<&'a str>,
    pages: Vec<PageDump<'a>>,
}

#[derive(Serialize)]
struct PageDump<'a> {
    width: f64,
    height: f64,
    name: &'a str,
    nodes: Vec<NodeDump<'a>>,
}

#[derive(Serialize)]
#[serde(untagged)]
enum NodeDump<'a> {
    Group(GroupDump<'a>),
    Mark(MarkDump<'a>),
}

#[derive(Serialize)]
struct GroupDump<'a> {
    group: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    title: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bar: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    beat: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    file: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    line: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    column: Option<usize>,
    children: Vec<NodeDump<'a>>,
}

#[derive(Serialize)]
struct MarkDump<'a> {
    mark: &'static str,
    ink: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    file: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    line: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    column: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bounds: Option<[f64; 4]>,
    #[serde(flatten)]
    form: FormDump<'a>,
}

#[derive(Serialize)]
#[serde(rename_all = "lowercase")]
enum FormDump<'a> {
    Box([f64; 4]),
    Path(String),
    Glyph { name: &'static str, code: String, at: [f64; 2], space: f64 },
    Text { words: &'a str, style: &'static str, at: [f64; 2], size: f64, width: f64 },
    Picture { form: &'static str, area: [f64; 4], width: f64, height: f64 },
}

impl<'a> PageDump<'a> {
    fn new(page: &'a Page, flat: &'a [Node], fonts: Option<&Fonts>) -> Self {
        Self {
            width: round(page.width),
            height: round(page.height),
            name: &page.name,
            nodes: nodes(flat, fonts, PlaceFinder::new(&page.lines)),
        }
    }
}

fn nodes<'a>(
    nodes: &'a [Node],
    fonts: Option<&Fonts>,
    places: PlaceFinder<'_>,
) -> Vec<NodeDump<'a>> {
    let dump = |node: &'a Node| match node {
        Node::Group(group) => {
            Some(NodeDump::Group(GroupDump::new(group, fonts, places.inside(group))))
        }
        Node::Mark(mark) => Some(NodeDump::Mark(MarkDump::new(mark, fonts, places))),
        // A flat page has none.
        Node::Inset(_) => None,
    };
    nodes.iter().filter_map(dump).collect()
}

impl<'a> GroupDump<'a> {
    fn new(group: &'a Group, fonts: Option<&Fonts>, places: PlaceFinder<'_>) -> Self {
        let place = places.location(group.place);
        let (title, bar, beat) = match &group.kind {
            GroupKind::Block { title, .. } => (Some(title.as_str()), None, None),
            GroupKind::Player(name) => (Some(name.as_str()), None, None),
            GroupKind::System | GroupKind::SmallNotes | GroupKind::Prose(_) => (None, None, None),
            GroupKind::Bar { number } => (None, Some(*number), None),
            GroupKind::Note { bar, beat } => (None, Some(*bar), Some(fraction(*beat))),
        };
        Self {
            group: group.kind.name(),
            title,
            bar,
            beat,
            file: other_file(place),
            line: place.map(|place| place.line),
            column: place.map(|place| place.column),
            children: nodes(&group.children, fonts, places),
        }
    }
}

/// The number of the file a place lies in, but of the first.
fn other_file(place: Option<Location>) -> Option<usize> {
    place.map(|place| place.file).filter(|file| *file != FileId::MAIN).map(|file| file.0)
}

impl<'a> MarkDump<'a> {
    fn new(mark: &'a Mark, fonts: Option<&Fonts>, places: PlaceFinder<'_>) -> Self {
        let place = places.location(mark.place);
        Self {
            mark: mark.kind.name(),
            ink: match mark.ink {
                Ink::Black => "black",
                Ink::Grey => "grey",
            },
            file: other_file(place),
            line: place.map(|place| place.line),
            column: place.map(|place| place.column),
            bounds: bounds(&mark.shape, fonts).map(corners),
            form: FormDump::new(&mark.shape),
        }
    }
}

impl<'a> FormDump<'a> {
    fn new(shape: &'a Shape) -> Self {
        let point = |at: &Point| [round(at.x), round(at.y)];
        match shape {
            Shape::Box(rect) => Self::Box(corners(*rect)),
            Shape::Picture { picture, area } => Self::Picture {
                form: match picture.form {
                    PictureForm::Pixels { .. } => "pixels",
                    PictureForm::Outlines(_) => "outlines",
                },
                area: corners(*area),
                width: round(picture.width),
                height: round(picture.height),
            },
            Shape::Path(path) => Self::Path(path_data(path)),
            Shape::Glyph { glyph, at, space } => Self::Glyph {
                name: glyph.name(),
                code: format!("U+{:04X}", u32::from(glyph.code())),
                at: point(at),
                space: round(*space),
            },
            Shape::Text { run, at, size } => Self::Text {
                words: &run.text,
                style: run.style.name(),
                at: point(at),
                size: round(*size),
                width: round(run.width * size),
            },
        }
    }
}

fn bounds(shape: &Shape, fonts: Option<&Fonts>) -> Option<Rect> {
    let grown = |ink: Rect, scale: f64, at: Point| ink.scale_from_origin(scale) + at.to_vec2();
    match shape {
        Shape::Box(rect) => Some(rect.abs()),
        Shape::Picture { area, .. } => Some(area.abs()),
        Shape::Path(path) => Some(path.bounding_box()),
        Shape::Glyph { glyph, at, space } => Some(grown(fonts?.music.bounds(*glyph), *space, *at)),
        Shape::Text { run, at, size } => Some(grown(fonts?.text.bounds(run), *size, *at)),
    }
}

fn corners(rect: Rect) -> [f64; 4] {
    [rect.x0, rect.y0, rect.x1, rect.y1].map(round)
}
