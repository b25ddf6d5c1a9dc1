//! SVG 1.1 with the `href` of SVG 2.
//!
//! A page is one `<svg role="img">` sized in points, with a `<title>`. Groups of the drawing are
//! `<g>` elements whose class is the group's name: a bar carries `data-bar`, a note `data-bar`
//! and `data-beat` (an exact fraction); every mark carries its kind's name as its class; both
//! carry `data-line` and `data-column` of their source. Ink is `currentColor`, so that a picture
//! inside a web page follows the page's colours.

use super::error::WriteError;
use super::number::{coordinate, fraction, path_data};
use super::webfont;
use crate::drawing::{Group, GroupKind, Ink, Mark, Node, Page, PlaceFinder, Shape};
use crate::font::{FaceId, FaceStyle, Fonts, Glyph, GlyphRun};
use crate::source::{FileId, Location};
use kurbo::Point;
use std::collections::{BTreeMap, BTreeSet};
use svg::node::Node as _;
use svg::node::element as el;

/// How a page is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct SvgOptions {
    /// Words as `<text>` with the letters used embedded as fonts, in place of outlines.
    pub live_text: bool,
}

/// The opacity of grey ink.
const GREY: &str = "0.55";

/// The family name of the embedded text faces.
const FAMILY: &str = "Flamacue Serif";

/// One page as an SVG file, words as outlines.
pub fn write(page: &Page, fonts: &Fonts) -> String {
    // Outlines are the one form that needs nothing that could fail.
    let (body, used) = body(page, fonts, SvgOptions::default());
    document(page, used.definitions(fonts), None, body)
}

/// One page as an SVG file.
///
/// # Errors
/// Says which face could not be embedded.
pub fn write_with(page: &Page, fonts: &Fonts, options: SvgOptions) -> Result<String, WriteError> {
    let (body, used) = body(page, fonts, options);
    let style = used.style_sheet(fonts)?;
    Ok(document(page, used.definitions(fonts), style, body))
}

fn body(page: &Page, fonts: &Fonts, options: SvgOptions) -> (el::Group, Used) {
    let mut writer = SvgWriter { fonts, options, used: Used::default() };
    let mut body = el::Group::new().set("class", "page");
    writer.nodes(&mut body, &page.flat(), PlaceFinder::new(&page.lines));
    (body, writer.used)
}

fn document(
    page: &Page,
    definitions: Option<el::Definitions>,
    style: Option<el::Style>,
    body: el::Group,
) -> String {
    let (width, height) = (coordinate(page.width), coordinate(page.height));
    let mut root = svg::Document::new()
        .set("viewBox", format!("0 0 {width} {height}"))
        .set("width", format!("{width}pt"))
        .set("height", format!("{height}pt"))
        .set("fill", "currentColor")
        .set("role", "img")
        .add(el::Title::new(clean(&page.name)));
    if let Some(style) = style {
        root.append(style);
    }
    if let Some(definitions) = definitions {
        root.append(definitions);
    }
    root.append(body);
    format!("{root}\n")
}

/// Pictures that stand in one web page and share their outlines and faces; words are text.
pub(super) struct SharedPictures<'a> {
    fonts: &'a Fonts,
    used: Used,
}

impl<'a> SharedPictures<'a> {
    pub(super) fn new(fonts: &'a Fonts) -> Self {
        Self { fonts, used: Used::default() }
    }

    /// What stands inside a picture's `<svg>`.
    pub(super) fn draw(&mut self, page: &Page) -> String {
        let used = std::mem::take(&mut self.used);
        let options = SvgOptions { live_text: true };
        let mut writer = SvgWriter { fonts: self.fonts, options, used };
        let mut body = el::Group::new();
        writer.nodes(&mut body, &page.flat(), PlaceFinder::new(&page.lines));
        self.used = writer.used;
        body.to_string()
    }

    /// Takes the letters of words outside of pictures, in every face.
    pub(super) fn letters(&mut self, words: &str) {
        for style in FaceStyle::ALL {
            self.used.say(words, style, self.fonts);
        }
    }

    /// An unseen `<svg>` with the outlines all pictures use.
    pub(super) fn definitions(&self) -> String {
        let definitions = self.used.definitions(self.fonts).map(|d| d.to_string());
        let definitions = definitions.unwrap_or_default();
        format!("<svg class=\"defs\" aria-hidden=\"true\">{definitions}</svg>\n")
    }

    /// The families in use, as a style sheet lists them.
    pub(super) fn families(&self) -> String {
        let deepest = self.used.live.keys().map(|(_, depth)| *depth).max().unwrap_or(0);
        let quoted: Vec<String> = (0..=deepest).map(|d| format!("\"{}\"", family(d))).collect();
        quoted.join(",")
    }

    /// The style sheet of the faces in use.
    pub(super) fn faces(&self) -> Result<String, WriteError> {
        self.used.face_rules(self.fonts)
    }
}

/// What the page draws that is defined once.
#[derive(Default)]
struct Used {
    music: BTreeSet<Glyph>,
    letters: BTreeSet<(FaceId, u16)>,
    /// By style and by place in its chain of faces.
    live: BTreeMap<(FaceStyle, usize), BTreeSet<char>>,
}

struct SvgWriter<'a> {
    fonts: &'a Fonts,
    options: SvgOptions,
    used: Used,
}

impl SvgWriter<'_> {
    fn nodes(&mut self, parent: &mut el::Group, nodes: &[Node], places: PlaceFinder<'_>) {
        for node in nodes {
            match node {
                Node::Group(group) => {
                    let element = self.group(group, places.inside(group));
                    parent.append(element);
                }
                Node::Mark(mark) => self.mark(parent, mark, places),
                Node::Inset(inset) => self.nodes(parent, &inset.flat(), places),
            }
        }
    }

    fn group(&mut self, group: &Group, places: PlaceFinder<'_>) -> el::Group {
        let mut element = el::Group::new().set("class", group.kind.name());
        match &group.kind {
            GroupKind::Block { title, .. } => element.assign("aria-label", clean(title)),
            GroupKind::System | GroupKind::Prose(_) => {}
            GroupKind::Bar { number } => element.assign("data-bar", *number),
            GroupKind::Note { bar, beat } => {
                element.assign("data-bar", *bar);
                element.assign("data-beat", fraction(*beat));
            }
        }
        place(&mut element, places.location(group.place));
        self.nodes(&mut element, &group.children, places);
        element
    }

    fn mark(&mut self, parent: &mut el::Group, mark: &Mark, places: PlaceFinder<'_>) {
        match &mark.shape {
            Shape::Box(rect) => {
                let rect = rect.abs();
                let element = el::Rectangle::new()
                    .set("x", coordinate(rect.x0))
                    .set("y", coordinate(rect.y0))
                    .set("width", coordinate(rect.width()))
                    .set("height", coordinate(rect.height()));
                finish(parent, element, mark, places);
            }
            Shape::Path(path) => {
                finish(parent, el::Path::new().set("d", path_data(path)), mark, places)
            }
            Shape::Glyph { glyph, at, space } => {
                if !self.fonts.music.has(*glyph) {
                    return;
                }
                self.used.music.insert(*glyph);
                let element = el::Use::new()
                    .set("href", format!("#{}", music_id(self.fonts, *glyph)))
                    .set("transform", placed(*at, *space));
                finish(parent, element, mark, places);
            }
            Shape::Text { run, at, size } if self.options.live_text => {
                self.used.say(&run.text, run.style, self.fonts);
                finish(parent, live_text(self.fonts, run, *at, *size), mark, places);
            }
            Shape::Text { run, at, size } => {
                let element = self.outlined_text(run).set("transform", placed(*at, *size));
                finish(parent, element, mark, places);
            }
        }
    }

    fn outlined_text(&mut self, run: &GlyphRun) -> el::Group {
        let mut words = el::Group::new().set("aria-label", clean(&run.text));
        for glyph in &run.glyphs {
            if !self.fonts.text.has_ink(glyph.face, glyph.id) {
                continue;
            }
            self.used.letters.insert((glyph.face, glyph.id));
            let mut letter =
                el::Use::new().set("href", format!("#{}", letter_id(glyph.face, glyph.id)));
            for (axis, value) in [("x", glyph.x), ("y", glyph.y)] {
                if value != 0.0 {
                    letter.assign(axis, coordinate(value));
                }
            }
            words.append(letter);
        }
        words
    }
}

impl Used {
    /// Takes the letters of words, each from the face that has it.
    fn say(&mut self, words: &str, style: FaceStyle, fonts: &Fonts) {
        for c in words.chars() {
            let depth = depth(fonts, c, style);
            self.live.entry((style, depth)).or_default().insert(c);
        }
    }

    fn definitions(&self, fonts: &Fonts) -> Option<el::Definitions> {
        if self.music.is_empty() && self.letters.is_empty() {
            return None;
        }
        let mut definitions = el::Definitions::new();
        for glyph in &self.music {
            let outline = el::Path::new()
                .set("id", music_id(fonts, *glyph))
                .set("d", path_data(&fonts.music.outline(*glyph)));
            definitions.append(outline);
        }
        for (face, id) in &self.letters {
            let outline = el::Path::new()
                .set("id", letter_id(*face, *id))
                .set("d", path_data(&fonts.text.glyph_outline(*face, *id)));
            definitions.append(outline);
        }
        Some(definitions)
    }

    fn style_sheet(&self, fonts: &Fonts) -> Result<Option<el::Style>, WriteError> {
        if self.live.is_empty() {
            return Ok(None);
        }
        Ok(Some(el::Style::new(self.face_rules(fonts)?)))
    }

    fn face_rules(&self, fonts: &Fonts) -> Result<String, WriteError> {
        let mut sheet = String::new();
        for ((style, depth), letters) in &self.live {
            let Some(face) = fonts.text.chain(*style).get(*depth) else { continue };
            let url = webfont::data_url(fonts.text.data(*face), letters)?;
            let (weight, slant) = css(*style);
            let family = family(*depth);
            sheet.push_str(&format!(
                "@font-face{{font-family:\"{family}\";font-weight:{weight};font-style:{slant};\
                 src:url({url})}}\n"
            ));
        }
        Ok(sheet)
    }
}

/// How far down its style's chain of faces a character is found.
fn depth(fonts: &Fonts, c: char, style: FaceStyle) -> usize {
    let face = fonts.text.face_of(c, style);
    fonts.text.chain(style).iter().position(|id| *id == face).unwrap_or(0)
}

/// The embedded family of a place in the chain.
fn family(depth: usize) -> String {
    if depth == 0 { FAMILY.to_owned() } else { format!("{FAMILY} {}", depth + 1) }
}

/// The words as text. Every letter has its place, so that kerning does not rest on the reader's
/// own shaping; the letters of a ligature share its width.
fn live_text(fonts: &Fonts, run: &GlyphRun, at: Point, size: f64) -> el::Element {
    let mut xs = Vec::new();
    for (glyph, words) in run.glyph_words() {
        let count = clean(words).chars().count();
        for nth in 0..count {
            let share = glyph.advance * nth as f64 / count as f64;
            xs.push(coordinate(at.x + (glyph.x + share) * size));
        }
    }
    let (weight, slant) = css(run.style);
    // The crate's own text element puts line ends around its words, and each would print as a space.
    let mut text = el::Element::new("text");
    text.append(svg::node::Text::new(clean(&run.text)));
    text.assign("x", xs.join(" "));
    text.assign("y", coordinate(at.y));
    let deepest = run.text.chars().map(|c| depth(fonts, c, run.style)).max().unwrap_or(0);
    let families: Vec<String> = (0..=deepest).map(family).collect();
    text.assign("font-family", format!("{}, serif", families.join(", ")));
    text.assign("font-size", coordinate(size));
    text.assign("xml:space", "preserve");
    if weight != "400" {
        text.assign("font-weight", weight);
    }
    if slant != "normal" {
        text.assign("font-style", slant);
    }
    text
}

fn css(style: FaceStyle) -> (&'static str, &'static str) {
    match style {
        FaceStyle::Regular => ("400", "normal"),
        FaceStyle::Bold => ("700", "normal"),
        FaceStyle::Italic => ("400", "italic"),
    }
}

/// Class, ink and place of a mark, and the mark into its group.
fn finish<E>(parent: &mut el::Group, mut element: E, mark: &Mark, places: PlaceFinder<'_>)
where
    E: svg::Node + Into<Box<dyn svg::Node>>,
{
    element.assign("class", mark.kind.name());
    if mark.ink == Ink::Grey {
        element.assign("fill-opacity", GREY);
    }
    place(&mut element, places.location(mark.place));
    parent.append(element);
}

fn place(element: &mut impl svg::Node, place: Option<Location>) {
    if let Some(place) = place {
        if place.file != FileId::MAIN {
            element.assign("data-file", place.file.0);
        }
        element.assign("data-line", place.line);
        element.assign("data-column", place.column);
    }
}

fn placed(at: Point, scale: f64) -> String {
    format!("translate({} {}) scale({})", coordinate(at.x), coordinate(at.y), coordinate(scale))
}

/// Ids name their font, so that pictures set with different fonts can stand in one web page.
fn music_id(fonts: &Fonts, glyph: Glyph) -> String {
    let font: String = fonts.music.name().chars().filter(char::is_ascii_alphanumeric).collect();
    format!("{}-{}", font.to_ascii_lowercase(), glyph.name())
}

fn letter_id(face: FaceId, id: u16) -> String {
    match FaceStyle::ALL.get(usize::from(face.0)) {
        Some(style) => format!("serif-{}-{id}", style.name()),
        None => format!("text{}-{id}", face.0),
    }
}

/// Words without the characters XML 1.0 cannot hold (section 2.2, "Characters").
fn clean(words: &str) -> String {
    words.chars().filter(|c| !c.is_control() && !matches!(c, '\u{FFFE}' | '\u{FFFF}')).collect()
}
