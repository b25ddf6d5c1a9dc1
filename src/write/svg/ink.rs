//! The marks of a page as elements.

use super::markup::{self, Markup};
use super::options::SvgOptions;
use super::picture;
use super::used::{Used, css, depth, family, font_id};
use crate::drawing::{Group, GroupKind, Ink, Mark, Node, Page, PlaceFinder, Shape};
use crate::font::{FaceStyle, Fonts, GlyphRun};
use crate::source::{FileId, Location};
use crate::write::number::{fraction, put_coordinate, put_path};
use kurbo::{Point, Rect};

/// The opacity of grey ink.
const GREY: &str = "0.55";

/// The marks of a page in a group of a class; notes what they use that is defined elsewhere.
pub(super) fn draw(
    page: &Page,
    class: Option<&str>,
    (fonts, options): (&Fonts, SvgOptions),
    used: &mut Used,
) -> String {
    let out = Markup::default();
    let mut writer = SvgWriter { fonts, music: font_id(fonts), options, used, out };
    writer.out.tag("g");
    if let Some(class) = class {
        writer.out.attribute("class", class);
    }
    let content = writer.out.open();
    let places = PlaceFinder::new(&page.lines);
    writer.nodes(&page.nodes, Stand { places, frame: Frame::PAGE });
    writer.out.close("g", &content);
    writer.out.finish()
}

struct SvgWriter<'a> {
    fonts: &'a Fonts,
    /// The name of the music font in ids.
    music: String,
    options: SvgOptions,
    used: &'a mut Used,
    out: Markup,
}

/// Where marks stand: in the text, and on the page.
#[derive(Clone, Copy)]
struct Stand<'a> {
    places: PlaceFinder<'a>,
    frame: Frame,
}

/// The space marks are drawn in.
#[derive(Clone, Copy)]
struct Frame {
    scale: f64,
    at: Point,
}

impl Frame {
    const PAGE: Self = Self { scale: 1.0, at: Point::ZERO };

    /// A point of this space, on the page.
    fn point(self, point: Point) -> Point {
        Point::new(self.scale * point.x + self.at.x, self.scale * point.y + self.at.y)
    }
}

impl SvgWriter<'_> {
    fn nodes(&mut self, nodes: &[Node], stand: Stand<'_>) {
        for node in nodes {
            match node {
                Node::Group(group) => self.group(group, stand),
                Node::Mark(mark) => self.mark(mark, stand),
                Node::Inset(inset) => {
                    let at = stand.frame.point(inset.at.to_point());
                    let frame = Frame { scale: stand.frame.scale * inset.scale, at };
                    self.nodes(inset.marks.nodes(), Stand { frame, ..stand });
                }
            }
        }
    }

    fn group(&mut self, group: &Group, stand: Stand<'_>) {
        let stand = Stand { places: stand.places.inside(group), ..stand };
        self.out.tag("g");
        if let GroupKind::Block { title, .. } = &group.kind {
            self.out.attribute("aria-label", &markup::clean(title));
        }
        self.out.attribute("class", group.kind.name());
        match &group.kind {
            GroupKind::Block { .. }
            | GroupKind::System
            | GroupKind::SmallNotes
            | GroupKind::Prose(_) => {}
            GroupKind::Player(name) => self.out.attribute("data-player", &markup::clean(name)),
            GroupKind::Bar { number } => self.out.number("data-bar", *number),
            GroupKind::Note { bar, beat } => {
                self.out.number("data-bar", *bar);
                self.out.attribute("data-beat", &fraction(*beat));
            }
        }
        self.place(stand.places.location(group.place));
        let content = self.out.open();
        self.nodes(&group.children, stand);
        self.out.close("g", &content);
    }

    fn mark(&mut self, mark: &Mark, stand: Stand<'_>) {
        match &mark.shape {
            Shape::Box(rect) => {
                let corner = |x, y| stand.frame.point(Point::new(x, y));
                let rect = Rect::from_points(corner(rect.x0, rect.y0), corner(rect.x1, rect.y1));
                self.begin("rect", mark, stand);
                self.ink(mark);
                self.out.coordinate("height", rect.height());
                self.out.coordinate("width", rect.width());
                self.out.coordinate("x", rect.x0);
                self.out.coordinate("y", rect.y0);
                self.out.close_empty();
            }
            Shape::Picture { picture, area } => {
                let corner = |x, y| stand.frame.point(Point::new(x, y));
                let area = Rect::from_points(corner(area.x0, area.y0), corner(area.x1, area.y1));
                picture::put(&mut self.out, mark.kind.name(), picture, area);
            }
            Shape::Path(path) => {
                self.out.tag("path");
                self.out.attribute("class", mark.kind.name());
                let map = |point| stand.frame.point(point);
                self.out.attribute_of("d", |text| put_path(text, path, map));
                self.place(stand.places.location(mark.place));
                self.ink(mark);
                self.out.close_empty();
            }
            Shape::Glyph { glyph, at, space } => {
                if !self.fonts.music.has(*glyph) {
                    return;
                }
                self.used.music.insert(*glyph);
                self.begin("use", mark, stand);
                self.ink(mark);
                let font = &self.music;
                self.out.attribute_of("href", |text| {
                    text.extend(["#", font, "-", glyph.name()]);
                });
                self.transform(stand.frame, *at, *space);
                self.out.close_empty();
            }
            Shape::Text { run, at, size } if self.options.live_text => {
                self.used.say(&run.text, run.style, self.fonts);
                let at = stand.frame.point(*at);
                self.live_text(mark, run, (at, size * stand.frame.scale), stand);
            }
            Shape::Text { run, at, size } => {
                self.out.tag("g");
                self.out.attribute("aria-label", &markup::clean(&run.text));
                self.out.attribute("class", mark.kind.name());
                self.place(stand.places.location(mark.place));
                self.ink(mark);
                self.transform(stand.frame, *at, *size);
                let content = self.out.open();
                self.letters(run);
                self.out.close("g", &content);
            }
        }
    }

    /// Opens the tag of a mark, with its class and its place.
    fn begin(&mut self, name: &str, mark: &Mark, stand: Stand<'_>) {
        self.out.tag(name);
        self.out.attribute("class", mark.kind.name());
        self.place(stand.places.location(mark.place));
    }

    fn place(&mut self, place: Option<Location>) {
        let Some(place) = place else { return };
        self.out.number("data-column", place.column);
        if place.file != FileId::MAIN {
            self.out.number("data-file", place.file.0);
        }
        self.out.number("data-line", place.line);
    }

    fn ink(&mut self, mark: &Mark) {
        match mark.ink {
            Ink::Black => {}
            Ink::Grey => self.out.attribute("fill-opacity", GREY),
        }
    }

    fn transform(&mut self, frame: Frame, at: Point, scale: f64) {
        let at = frame.point(at);
        self.out.attribute_of("transform", |text| {
            text.push_str("translate(");
            put_coordinate(text, at.x);
            text.push(' ');
            put_coordinate(text, at.y);
            text.push_str(") scale(");
            put_coordinate(text, scale * frame.scale);
            text.push(')');
        });
    }

    /// The outlines of words.
    fn letters(&mut self, run: &GlyphRun) {
        for glyph in run.glyphs() {
            if !self.fonts.text.has_ink(glyph.face, glyph.id) {
                continue;
            }
            self.used.letters.insert((glyph.face, glyph.id));
            self.out.tag("use");
            self.out.attribute_of("href", |text| {
                text.push('#');
                text.push_str(&super::used::letter_id(glyph.face, glyph.id));
            });
            for (axis, value) in [("x", glyph.x), ("y", glyph.y.into())] {
                if value != 0.0 {
                    self.out.coordinate(axis, value);
                }
            }
            self.out.close_empty();
        }
    }

    /// The words as text. Every letter has its place, so that kerning does not rest on the reader's
    /// own shaping; the letters of a ligature share its width.
    fn live_text(
        &mut self,
        mark: &Mark,
        run: &GlyphRun,
        (at, size): (Point, f64),
        stand: Stand<'_>,
    ) {
        let (weight, slant) = css(run.style);
        self.begin("text", mark, stand);
        self.ink(mark);
        let families = families(self.fonts, run);
        self.out.attribute("font-family", &families);
        self.out.coordinate("font-size", size);
        if slant != "normal" {
            self.out.attribute("font-style", slant);
        }
        if weight != "400" {
            self.out.attribute("font-weight", weight);
        }
        self.out.attribute_of("x", |text| {
            let mut first = true;
            for (glyph, words) in run.glyph_words() {
                let count = markup::clean(words).chars().count();
                for nth in 0..count {
                    if !std::mem::take(&mut first) {
                        text.push(' ');
                    }
                    let share = glyph.advance * nth as f64 / count as f64;
                    put_coordinate(text, at.x + (glyph.x + share) * size);
                }
            }
        });
        self.out.attribute("xml:space", "preserve");
        self.out.coordinate("y", at.y);
        self.out.words("text", &markup::clean(&run.text));
    }
}

/// The families that have the letters of a run, in the order they are looked through.
fn families(fonts: &Fonts, run: &GlyphRun) -> String {
    let depth = |c| depth(fonts, c, run.style);
    let deepest = run.text.chars().map(depth).max().unwrap_or(0);
    let families: Vec<String> = (0..=deepest).map(|depth| family(run.style, depth)).collect();
    let plain = if run.style == FaceStyle::Mono { "monospace" } else { "serif" };
    format!("{}, {plain}", families.join(", "))
}
