//! What a film shows, as pixels: pages and what is laid over them, each painted once and kept for a while.

use super::area::Area;
use super::canvas::Overlay;
use super::moving::{Tiles, Window};
use super::painter::Painter;
use super::sprite::Sprite;
use crate::drawing::{Ink, Node};
use crate::film::{Film, FilmLayout, Moment, Scene, Strip, cursor_line, cursor_wedge, dots, word};
use crate::font::Fonts;
use crate::score::Colour;
use kurbo::{BezPath, Shape as _, Vec2};
use resvg::tiny_skia::{Color, Pixmap};
use std::collections::HashMap;
use std::sync::Arc;

/// How many pages are kept, and how many words and rows of dots: a lesson shows the same again and again.
const PAGES: usize = 4;
const SIGNS: usize = 400;

/// A page that was painted.
struct Painted {
    strip: Arc<Strip>,
    page: usize,
    ink: Form,
}

/// How a page was painted.
enum Form {
    /// It stands still: its pixels, and its notes that were lit, as they are then.
    Still(Arc<Pixmap>, HashMap<usize, Option<Overlay>>),
    /// It moves: its ink, and its notes that were lit.
    Moving(Box<Tiles>, HashMap<usize, Tiles>),
}

/// A sign beside the music.
#[derive(Clone, PartialEq, Eq, Hash)]
enum Sign {
    Word(Arc<str>, bool),
    Dots(u32, u32),
}

/// What was painted of a film.
pub(super) struct Stage<'a> {
    film: &'a Film,
    painter: Painter<'a>,
    layout: FilmLayout,
    frame: Area,
    pages: Vec<Painted>,
    signs: HashMap<Sign, Option<Overlay>>,
    /// The cursor that was painted last, and its place.
    cursor: Option<(f64, Vec<Overlay>)>,
}

/// A page, and what lies over it.
pub(super) type Seen = (Arc<Pixmap>, Vec<Overlay>);

impl<'a> Stage<'a> {
    pub(super) fn of(film: &'a Film, fonts: &'a Fonts) -> Self {
        let size = film.options().size;
        Self {
            film,
            painter: Painter::of(film, fonts),
            layout: film.layout(),
            frame: Area::whole(size.width(), size.height()),
            pages: Vec::new(),
            signs: HashMap::new(),
            cursor: None,
        }
    }

    /// What is seen of a scene at a second.
    pub(super) fn seen(&mut self, scene: &Scene, second: f64) -> Option<Seen> {
        let moment = scene.at(second);
        let mut overlays = Vec::new();
        if let Some(beat) = moment.beat {
            overlays.extend(self.sign(Sign::Dots(beat.number, beat.of)));
        }
        if let Some(said) = moment.said {
            overlays.extend(self.sign(Sign::Word(said.text.clone(), said.sounds)));
        }
        if let Some(x) = moment.cursor {
            overlays.extend(self.cursor(x - moment.shift));
        }
        let (pixels, lit) = self.music(scene, &moment)?;
        overlays.extend(lit);
        Some((pixels, overlays))
    }

    /// The page of a moment, and the notes of it that are lit.
    fn music(&mut self, scene: &Scene, moment: &Moment<'_>) -> Option<Seen> {
        let at = self.page(&scene.strip, moment.page, scene.scroll.is_some())?;
        let follow = self.film.options().follow;
        let lit: &[usize] = if follow.notes { &moment.lit } else { &[] };
        let colour = self.film.options().colours.lit;
        let (painter, frame) = (self.painter.without_edge(), self.frame);
        let blank = if scene.scroll.is_some() { self.blank() } else { None };
        let page = self.pages.get_mut(at)?;
        let nodes = |note: usize| note_nodes(&scene.strip, moment.page, note);
        match &mut page.ink {
            Form::Still(pixels, notes) => {
                let lit = lit.iter().filter_map(|note| {
                    let made = || overlay(Sprite::of(&painter, nodes(*note), colour, frame));
                    notes.entry(*note).or_insert_with(made).clone()
                });
                Some((pixels.clone(), lit.collect()))
            }
            Form::Moving(tiles, notes) => {
                let window = Window::of(&self.layout, self.frame);
                let mask = window.mask(&scene.strip, moment.page, moment.shift);
                let place = (moment.shift, &mask[..]);
                let mut moved = blank?;
                window.lay(tiles, &self.painter, place, &mut moved);
                notes.retain(|note, _| lit.contains(note));
                for note in lit {
                    let made = || Tiles::of(nodes(*note), &painter, colour);
                    window.lay(
                        notes.entry(*note).or_insert_with(made),
                        &painter,
                        place,
                        &mut moved,
                    );
                }
                Some((Arc::new(moved), Vec::new()))
            }
        }
    }

    /// Where a page is among those that were painted.
    fn page(&mut self, strip: &Arc<Strip>, page: usize, moves: bool) -> Option<usize> {
        let is_it = |own: &Painted| Arc::ptr_eq(&own.strip, strip) && own.page == page;
        if let Some(at) = self.pages.iter().position(is_it) {
            // The last one is the one that was used last.
            let painted = self.pages.remove(at);
            self.pages.push(painted);
        } else {
            let ink = self.paint(&strip.pages.get(page)?.picture.nodes, moves)?;
            if self.pages.len() >= PAGES {
                self.pages.remove(0);
            }
            self.pages.push(Painted { strip: strip.clone(), page, ink });
        }
        self.pages.len().checked_sub(1)
    }

    fn paint(&self, nodes: &[Node], moves: bool) -> Option<Form> {
        let ink = self.film.options().colours.ink;
        if moves {
            let tiles = Tiles::of(nodes, &self.painter, ink);
            return Some(Form::Moving(Box::new(tiles), HashMap::new()));
        }
        let mut pixels = self.blank()?;
        self.painter.put(&mut pixels, Vec2::ZERO, nodes, ink);
        Some(Form::Still(Arc::new(pixels), HashMap::new()))
    }

    /// A frame without ink.
    fn blank(&self) -> Option<Pixmap> {
        let mut pixels = Pixmap::new(self.frame.width, self.frame.height)?;
        if let Some(paper) = self.film.options().colours.paper {
            let [red, green, blue] = paper.parts();
            pixels.fill(Color::from_rgba8(red, green, blue, u8::MAX));
        }
        Some(pixels)
    }

    fn sign(&mut self, sign: Sign) -> Option<Overlay> {
        if self.signs.len() >= SIGNS {
            self.signs.clear();
        }
        if let Some(known) = self.signs.get(&sign) {
            return known.clone();
        }
        let (fonts, layout) = (self.painter.fonts(), &self.layout);
        let page = match &sign {
            Sign::Word(text, sounds) => word(fonts, layout, text, *sounds),
            Sign::Dots(number, of) => dots(layout, *of, *number),
        };
        let ink = self.film.options().colours.ink;
        let made = overlay(Sprite::of(&self.painter, &page.nodes, ink, self.frame));
        self.signs.insert(sign, made.clone());
        made
    }

    fn cursor(&mut self, x: f64) -> Vec<Overlay> {
        if let Some((_, known)) = self.cursor.as_ref().filter(|(own, _)| *own == x) {
            return known.clone();
        }
        let follow = self.film.options().follow;
        let line = follow.line.then(|| cursor_line(&self.layout, self.film.music(), x));
        let wedge = follow.wedge.then(|| cursor_wedge(&self.layout, self.film.music(), x));
        let paths = line.into_iter().chain(wedge);
        let lit = self.film.options().colours.lit;
        let overlays: Vec<Overlay> = paths.filter_map(|path| self.path(path, lit)).collect();
        self.cursor = Some((x, overlays.clone()));
        overlays
    }

    fn path(&self, path: BezPath, ink: Colour) -> Option<Overlay> {
        let reach = self.painter.reach();
        let ink_box = path.bounding_box().inflate(reach, reach);
        let area = Area::around(ink_box).within(self.frame)?;
        let mut pixels = Pixmap::new(area.width, area.height)?;
        let corner = Vec2::new(f64::from(area.x), f64::from(area.y));
        self.painter.put_outlines(&mut pixels, corner, &[(path, Ink::Black)], ink);
        overlay(Some(Sprite { area, pixels }))
    }
}

fn note_nodes(strip: &Strip, page: usize, note: usize) -> &[Node] {
    let note = strip.pages.get(page).and_then(|page| page.notes.get(note));
    note.map(|note| &note.nodes[..]).unwrap_or_default()
}

fn overlay(sprite: Option<Sprite>) -> Option<Overlay> {
    sprite.map(|sprite| Overlay { sprite: Arc::new(sprite) })
}
