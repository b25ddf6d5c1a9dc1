//! The body without pages, for screens of any width: prose as words, and each block engraved for
//! three widths.

use super::body_text::numbered;
pub use super::flowing_lists::{ContentsEntry, FlowingIndex};
use super::flowing_places;
use super::pictures;
use super::pictures::PicturesMemo;
use super::sheet::Sheet;
use super::{key, picture, spoken};
use crate::drawing::{Group, GroupKind, Inset, Node, Page, Picture};
use crate::engrave;
use crate::engrave::BlockPlace;
use crate::engrave::{Engraver, Style, System};
use crate::font::Fonts;
use crate::score::settings::NotationKey;
use crate::score::{
    Block, Header, Inline, Item, Level, NamedPlaces, Placed, PlacedBlock, PrintedWords, ProseBlock,
    Score, legend,
};
use crate::source::{Diagnostics, LineTable, Source};
use kurbo::Vec2;
use std::cell::LazyCell;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Widths music is engraved for, in CSS pixels: a phone held upright, a tablet, a desk. A phone of
/// 360 pixels keeps 16 on either side.
pub const WIDTHS: [f64; 3] = [328.0, 640.0, 920.0];

/// CSS pixels for a point of the engraver's, so that counts are 12 pixels high on a screen.
pub const PIXELS_PER_POINT: f64 = 4.0 / 3.0;

/// Room around a picture, in points: ink that hangs over the staff's ends stays inside.
const MARGIN: f64 = 1.5;

/// The place of the notation key.
const KEY: &str = "key";

/// A file without pages.
#[derive(Clone, Debug, Default)]
pub struct Flowing {
    /// What its head says.
    pub header: Header,
    /// Its body in order.
    pub items: Vec<FlowingItem>,
    /// What prose refers to, by the keys of its references.
    pub named: BTreeMap<String, Named>,
    /// The pictures of its prose, by the bytes of the source at which they are named.
    pub figures: BTreeMap<usize, Arc<Picture>>,
    /// Its headings, and its blocks with a number or a title, in order.
    pub outline: Vec<ContentsEntry>,
    /// What the contents list, where there are any.
    pub contents: Vec<ContentsEntry>,
    /// The words it prints of its own.
    pub printed: &'static PrintedWords,
    /// The lists of the index.
    pub index: Vec<FlowingIndex>,
}

/// A block or a heading that prose refers to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Named {
    /// The name other places point at; nothing where it is left out of what is printed.
    pub id: Option<String>,
    /// What is printed of it.
    pub label: String,
}

/// A piece of the body.
#[derive(Clone, Debug)]
pub enum FlowingItem {
    /// A heading.
    Heading {
        /// 0 for a part, 1 or 2.
        level: u8,
        /// Its words.
        text: Vec<Inline>,
        /// The name other places may point at.
        id: String,
    },
    /// Prose.
    Prose(Placed<ProseBlock>),
    /// Music.
    Music(Box<Music>),
}

/// A block, engraved for each of [`WIDTHS`].
#[derive(Clone, Debug)]
pub struct Music {
    /// The block, by its index among the items of the score; nothing for the notation key.
    pub item: Option<usize>,
    /// The block itself; nothing for the notation key.
    pub block: Option<Arc<Block>>,
    /// The name other places may point at.
    pub id: String,
    /// How many may stand side by side.
    pub columns: u32,
    /// Its number.
    pub number: Option<String>,
    /// Its title.
    pub title: Option<String>,
    /// How hard it is.
    pub level: Option<Level>,
    /// It read aloud.
    pub spoken: String,
    /// Its pictures, without its title; lengths in points.
    pub pictures: [Page; 3],
}

/// Composes a score for screens.
pub fn compose(
    fonts: &Fonts,
    style: &Style,
    source: &Source,
    score: &Score,
    diagnostics: &mut Diagnostics,
) -> Flowing {
    let figures = pictures::of(source, score, &mut PicturesMemo::default(), diagnostics);
    let sheet = Sheet::new(&score.header, style);
    let printed = PrintedWords::of(score.header.language.as_deref());
    let context = Engraver { fonts, style, space_pt: sheet.space, printed };
    let key = key_of(&context, &sheet, score, &source.lines());
    let first = score.header.key == NotationKey::FirstPage;
    let keyed = key.is_some();
    let (before, after) = if first { (key, None) } else { (None, key) };
    let places = flowing_places::of(score);
    let body = score.items.iter().enumerate().map(|(index, item)| match item {
        Item::Heading { level, text, number, .. } => FlowingItem::Heading {
            level: *level,
            text: numbered(text, *number).into_owned(),
            id: flowing_places::at(&places, index),
        },
        Item::Prose(prose) => FlowingItem::Prose(prose.clone()),
        Item::Block(block) => FlowingItem::Music(Box::new(Music {
            item: Some(index),
            block: Some(block.block.clone()),
            id: flowing_places::at(&places, index),
            columns: block.settings.columns,
            number: block.printed_number(),
            title: block.title.clone(),
            level: block.settings.level.clone(),
            spoken: spoken::aloud(block),
            pictures: WIDTHS.map(|width| Page {
                lines: source.lines(),
                ..music_picture(&context, &sheet, block, width)
            }),
        })),
    });
    let items = before.into_iter().chain(body).chain(after).collect();
    let index = flowing_places::index(score, &places);
    let mut outline = flowing_places::outline(score, &places);
    if keyed {
        let at = if first { 0 } else { outline.len() };
        outline.insert(at, flowing_places::entry(printed.key, KEY));
    }
    outline.extend(index.iter().map(|list| flowing_places::entry(list.title, &list.id)));
    Flowing {
        header: score.header.clone(),
        items,
        named: named(score, &places),
        figures,
        contents: flowing_places::contents(score, &outline),
        outline,
        printed,
        index,
    }
}

/// What prose refers to, by the keys of its references.
fn named(score: &Score, places: &[String]) -> BTreeMap<String, Named> {
    let references = score.items.iter().flat_map(Item::references);
    let all = LazyCell::new(|| NamedPlaces::of(&score.items, &score.left_out));
    let named = references.filter_map(|reference| {
        let place = all.of_reference(reference).ok()?;
        let id = place.item.map(|item| flowing_places::at(places, item));
        Some((reference.key(), Named { id, label: place.label? }))
    });
    named.collect()
}

/// The notation key, where the score asks for one.
fn key_of(
    context: &Engraver<'_>,
    sheet: &Sheet,
    score: &Score,
    lines: &Arc<LineTable>,
) -> Option<FlowingItem> {
    if score.header.key == NotationKey::None {
        return None;
    }
    let legend = legend::of(score);
    let mut names = Vec::new();
    let pictures = WIDTHS.map(|width| {
        let width = room(width) / sheet.space;
        let set = engrave::key::engrave(context, &legend, score.header.key_span, width);
        names = set.iter().flat_map(|line| line.names.clone()).collect();
        let systems = set.into_iter().map(|line| Arc::new(line.system)).collect();
        let page = stacked(context, sheet, systems, (context.printed.key.to_owned(), 0));
        Page { lines: lines.clone(), ..page }
    });
    (!names.is_empty()).then(|| {
        FlowingItem::Music(Box::new(Music {
            item: None,
            block: None,
            id: KEY.to_owned(),
            columns: 1,
            number: None,
            title: Some(context.printed.key.to_owned()),
            level: None,
            spoken: key::said(context.printed, &names),
            pictures,
        }))
    })
}

fn music_picture(context: &Engraver<'_>, sheet: &Sheet, block: &PlacedBlock, pixels: f64) -> Page {
    let place = BlockPlace::alone(block, room(pixels) / sheet.space);
    let systems = engrave::engrave(context, block, place).systems;
    stacked(context, sheet, systems, (spoken::name(block), block.at))
}

/// The width for music in a picture, in points.
fn room(pixels: f64) -> f64 {
    pixels / PIXELS_PER_POINT - 2.0 * MARGIN
}

/// Lines under each other, cropped.
fn stacked(
    context: &Engraver<'_>,
    sheet: &Sheet,
    systems: Vec<Arc<System>>,
    (name, at): (String, usize),
) -> Page {
    let mut children: Vec<Node> = Vec::new();
    let mut y = 0.0;
    for (line, system) in systems.into_iter().enumerate() {
        let scale = sheet.space * system.scale;
        y += if line > 0 { sheet.between_systems } else { 0.0 };
        let top = y - system.ink.y0 * scale;
        let at = Vec2::new(0.0, top);
        children.push(Node::Inset(Inset { marks: system.marks.clone(), scale, at }));
        y += system.ink.height() * scale;
    }
    let kind = GroupKind::Block { title: name.clone(), spoken: Arc::default(), at };
    let group = Group { kind, place: None, children };
    picture::cropped(context.fonts, group, MARGIN, name)
}
