//! What a film shows, as pixels: pages and what is laid over them, each painted once and kept for a while.

use super::area::Area;
use super::canvas::Layer;
use super::moving::{Tiles, Window};
use super::painter::Painter;
use super::sprite::Sprite;
use crate::drawing::{Ink, Node};
use crate::film::{Film, FilmLayout, Moment, Scene, Strip, cursor_line, cursor_wedge, dots, word};
use crate::font::Fonts;
use std::collections::HashMap;
use std::sync::Arc;

/// How many pages are kept, and how many words and rows of dots: a lesson shows the same again and again.
const PAGES: usize = 4;
const SIGNS: usize = 400;

/// A page that was painted.
struct Painted<'a> {
    strip: Arc<Strip>,
    page: usize,
    form: Form<'a>,
}

/// How a page was painted. Its edge and its ink are apart, as the cursor lies between them: no ink is covered, and
/// no edge cuts the cursor.
enum Form<'a> {
    Still(Still),
    Moving(Box<Moving<'a>>),
}

/// A page that stands still, and its notes that were lit, as they are then.
struct Still {
    edge: Option<Layer>,
    ink: Option<Layer>,
    lit: HashMap<usize, Option<Layer>>,
}

/// A line that moves, its notes that were lit, and how it was shown last.
struct Moving<'a> {
    edge: Option<Tiles<'a>>,
    ink: Tiles<'a>,
    lit: HashMap<usize, Tiles<'a>>,
    shown: Option<(f64, Vec<usize>, Music)>,
}

/// What is seen of a page.
#[derive(Clone, Default)]
struct Music {
    edge: Option<Layer>,
    /// The ink, and over it the notes that are lit.
    ink: Vec<Layer>,
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
    window: Window,
    pages: Vec<Painted<'a>>,
    signs: HashMap<Sign, Option<Layer>>,
    /// The cursor that was painted last, and its place.
    cursor: Option<(f64, Option<Layer>)>,
}

impl<'a> Stage<'a> {
    pub(super) fn of(film: &'a Film, fonts: &'a Fonts) -> Self {
        let size = film.options().size;
        let painter = Painter::of(film, fonts);
        let (layout, frame) = (film.layout(), Area::whole(size.width(), size.height()));
        let (top, bottom) = film.music();
        let music = (top - painter.reach(), bottom + painter.reach());
        Self {
            film,
            painter,
            layout,
            frame,
            window: Window::of(&layout, music, frame),
            pages: Vec::new(),
            signs: HashMap::new(),
            cursor: None,
        }
    }

    /// What is seen of a scene at a second, the lowest first.
    pub(super) fn seen(&mut self, scene: &Scene, second: f64) -> Vec<Layer> {
        let moment = scene.at(second);
        let Music { edge, ink } = self.music(scene, &moment).unwrap_or_default();
        let mut layers: Vec<Layer> = edge.into_iter().collect();
        if let Some(x) = moment.cursor {
            layers.extend(self.cursor(x - moment.shift));
        }
        layers.extend(ink);
        if let Some(beat) = moment.beat {
            layers.extend(self.sign(Sign::Dots(beat.number, beat.of)));
        }
        if let Some(said) = moment.said {
            layers.extend(self.sign(Sign::Word(said.text.clone(), said.sounds)));
        }
        layers
    }

    /// The page of a moment, and the notes of it that are lit.
    fn music(&mut self, scene: &Scene, moment: &Moment<'_>) -> Option<Music> {
        let at = self.page(&scene.strip, moment.page, scene.scroll.is_some())?;
        let paint = Paint { film: self.film, painter: &self.painter, frame: self.frame };
        match &mut self.pages.get_mut(at)?.form {
            Form::Still(still) => Some(still.show(&paint, scene, moment)),
            Form::Moving(moving) => moving.show(&paint, &self.window, scene, moment),
        }
    }

    /// Where a page is among those that were painted.
    fn page(&mut self, strip: &Arc<Strip>, page: usize, moves: bool) -> Option<usize> {
        let is_it = |own: &Painted<'_>| Arc::ptr_eq(&own.strip, strip) && own.page == page;
        if let Some(at) = self.pages.iter().position(is_it) {
            // The last one is the one that was used last.
            let painted = self.pages.remove(at);
            self.pages.push(painted);
        } else {
            let form = self.paint(&strip.pages.get(page)?.picture.nodes, moves);
            if self.pages.len() >= PAGES {
                self.pages.remove(0);
            }
            self.pages.push(Painted { strip: strip.clone(), page, form });
        }
        self.pages.len().checked_sub(1)
    }

    fn paint(&self, nodes: &[Node], moves: bool) -> Form<'a> {
        let ink = self.film.options().colours.ink;
        let (painter, edge) = (self.painter.without_edge(), self.painter.edge_alone());
        if moves {
            return Form::Moving(Box::new(Moving {
                edge: edge.map(|edge| Tiles::of(nodes, edge, ink)),
                ink: Tiles::of(nodes, painter, ink),
                lit: HashMap::new(),
                shown: None,
            }));
        }
        let sprite = |painter: &Painter<'_>| layer(Sprite::of(painter, nodes, ink, self.frame));
        Form::Still(Still {
            edge: edge.and_then(|edge| sprite(&edge)),
            ink: sprite(&painter),
            lit: HashMap::new(),
        })
    }

    fn sign(&mut self, sign: Sign) -> Option<Layer> {
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
        let made = layer(Sprite::of(&self.painter, &page.nodes, ink, self.frame));
        self.signs.insert(sign, made.clone());
        made
    }

    fn cursor(&mut self, x: f64) -> Option<Layer> {
        if let Some((_, known)) = self.cursor.as_ref().filter(|(own, _)| *own == x) {
            return known.clone();
        }
        let follow = self.film.options().follow;
        let line = follow.line.then(|| cursor_line(&self.layout, self.film.music(), x));
        let wedge = follow.wedge.then(|| cursor_wedge(&self.layout, self.film.music(), x));
        let paths = line.into_iter().chain(wedge).map(|path| (path, Ink::Black));
        let lit = self.film.options().colours.lit;
        let paths: Vec<_> = paths.collect();
        let made = layer(Sprite::of_paths(&self.painter, &paths, lit, self.frame));
        self.cursor = Some((x, made.clone()));
        made
    }
}

/// What a page is shown with.
struct Paint<'a, 'b> {
    film: &'a Film,
    painter: &'b Painter<'a>,
    frame: Area,
}

impl Paint<'_, '_> {
    /// The notes that are lit, where they are to be.
    fn lit<'m>(&self, moment: &'m Moment<'_>) -> &'m [usize] {
        if self.film.options().follow.notes { &moment.lit } else { &[] }
    }
}

impl Still {
    fn show(&mut self, paint: &Paint<'_, '_>, scene: &Scene, moment: &Moment<'_>) -> Music {
        let colour = paint.film.options().colours.lit;
        let painter = paint.painter.without_edge();
        let lit = paint.lit(moment).iter().filter_map(|note| {
            let nodes = note_nodes(&scene.strip, moment.page, *note);
            let made = || layer(Sprite::of(&painter, nodes, colour, paint.frame));
            self.lit.entry(*note).or_insert_with(made).clone()
        });
        let ink = self.ink.iter().cloned().chain(lit).collect();
        Music { edge: self.edge.clone(), ink }
    }
}

impl<'a> Moving<'a> {
    fn show(
        &mut self,
        paint: &Paint<'a, '_>,
        window: &Window,
        scene: &Scene,
        moment: &Moment<'_>,
    ) -> Option<Music> {
        let lit = paint.lit(moment);
        let is_same =
            |(shift, notes, _): &&(f64, Vec<usize>, Music)| *shift == moment.shift && notes == lit;
        if let Some((.., shown)) = self.shown.as_ref().filter(is_same) {
            return Some(shown.clone());
        }
        let moved = window.moved(&scene.strip, moment.page, moment.shift);
        let mut edge = None;
        if let Some(tiles) = &mut self.edge {
            let mut onto = window.clear()?;
            window.lay(tiles, &moved, &mut onto);
            edge = Some(Arc::new(onto));
        }
        let mut onto = window.clear()?;
        window.lay(&mut self.ink, &moved, &mut onto);
        self.lit.retain(|note, _| lit.contains(note));
        let (painter, colour) = (paint.painter.without_edge(), paint.film.options().colours.lit);
        for note in lit {
            let nodes = note_nodes(&scene.strip, moment.page, *note);
            let made = || Tiles::of(nodes, painter, colour);
            window.lay(self.lit.entry(*note).or_insert_with(made), &moved, &mut onto);
        }
        let music = Music { edge, ink: vec![Arc::new(onto)] };
        self.shown = Some((moment.shift, lit.to_vec(), music.clone()));
        Some(music)
    }
}

fn note_nodes(strip: &Strip, page: usize, note: usize) -> &[Node] {
    let note = strip.pages.get(page).and_then(|page| page.notes.get(note));
    note.map(|note| &note.nodes[..]).unwrap_or_default()
}

fn layer(sprite: Option<Sprite>) -> Option<Layer> {
    sprite.map(Arc::new)
}
