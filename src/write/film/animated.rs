//! A film as one animated SVG (SVG 1.1, chapter 19, with the `href` of SVG 2): it plays in a browser without
//! any program, and stays sharp at any size.
//!
//! Every page is a `<g class="page">` with its ink in it, and with its notes once more in the colour of what is
//! played now, each a `<g class="lit">` with the note's bar and beat as on pages; what lies around its ink is a
//! `<g class="edge">`. Words and dots are `<g class="said">` and `<g class="beats">`, which say what they show. The
//! cursor, `<g class="cursor">`, lies over the edges and under all ink, so that what it passes can be read. All
//! animations begin together and take as long as the film.

use super::outlines::outlines;
use super::track::{Clock, Track};
use crate::drawing::{Ink, Node};
use crate::film::{
    Film, FilmLayout, GREY, Scene, Strip, StripNote, cursor_line, cursor_wedge, dots, word,
};
use crate::font::Fonts;
use crate::write::html::escape;
use crate::write::number::{coordinate, fraction, put_coordinate, put_path};
use kurbo::BezPath;
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;
use svg::node::element as el;
use svg::node::{Blob, Node as _};

/// A page of a film, and when it and its notes are seen.
struct PageTrack {
    strip: Arc<Strip>,
    page: usize,
    seen: Track,
    lit: BTreeMap<usize, Track>,
}

/// When everything of a film is seen.
#[derive(Default)]
struct Tracks {
    pages: Vec<PageTrack>,
    /// Pages by where their strip lies in memory, and their number.
    numbers: HashMap<(usize, usize), usize>,
    /// By the syllable, and whether it sounds.
    said: BTreeMap<(Arc<str>, bool), Track>,
    /// By the number of the beat, and of how many.
    beats: BTreeMap<(u32, u32), Track>,
    cursor: Track,
    /// The way of the cursor: seconds and places.
    way: Vec<(f64, f64)>,
}

impl Tracks {
    fn of(film: &Film, clock: &Clock) -> Self {
        let mut tracks = Self::default();
        for scene in film.scenes() {
            tracks.add(&scene, clock);
        }
        tracks
    }

    fn add(&mut self, scene: &Scene, clock: &Clock) {
        let end = scene.seconds.1.min(clock.seconds);
        let mut shown = scene.seconds.0.max(0.0);
        let mut page = scene.path.first().map_or(0, |point| point.page);
        for point in &scene.path {
            if point.page != page {
                self.show(scene, page, (shown, point.seconds));
                (page, shown) = (point.page, point.seconds);
            }
            if (0.0..=clock.seconds).contains(&point.seconds) {
                self.way.push((point.seconds, point.x));
            }
        }
        self.show(scene, page, (shown, end));
        if let (Some(first), Some(last)) = (scene.path.first(), scene.path.last()) {
            self.cursor.add(first.seconds, last.seconds.min(end));
        }
        for lit in &scene.lit {
            let number = self.number(scene, lit.page);
            if let Some(page) = self.pages.get_mut(number) {
                page.lit.entry(lit.note).or_default().add(lit.from, lit.to.min(end));
            }
        }
        for said in &scene.said {
            let track = self.said.entry((said.text.clone(), said.sounds)).or_default();
            track.add(said.from, said.to.min(end));
        }
        for beat in &scene.beats {
            let track = self.beats.entry((beat.number, beat.of)).or_default();
            track.add(beat.from, beat.to.min(end));
        }
    }

    fn show(&mut self, scene: &Scene, page: usize, (from, to): (f64, f64)) {
        let number = self.number(scene, page);
        if let Some(page) = self.pages.get_mut(number) {
            page.seen.add(from, to);
        }
    }

    fn number(&mut self, scene: &Scene, page: usize) -> usize {
        let next = self.pages.len();
        let key = (Arc::as_ptr(&scene.strip) as usize, page);
        let number = *self.numbers.entry(key).or_insert(next);
        if number == next {
            let (seen, lit) = (Track::default(), BTreeMap::new());
            self.pages.push(PageTrack { strip: scene.strip.clone(), page, seen, lit });
        }
        number
    }
}

/// Writes a film.
pub fn write_svg(film: &Film, fonts: &Fonts) -> String {
    let clock = Clock { seconds: film.seconds(), repeats: film.options().repeats };
    let tracks = Tracks::of(film, &clock);
    let mut drawn = Drawn { film, fonts, layout: film.layout(), clock, out: String::new() };
    for (number, page) in tracks.pages.iter().enumerate() {
        drawn.edge(number, page);
    }
    drawn.cursor(&tracks);
    for (number, page) in tracks.pages.iter().enumerate() {
        drawn.page(number, page);
    }
    for ((text, sounds), track) in &tracks.said {
        let nodes = word(fonts, &drawn.layout, text, *sounds).nodes;
        let told = format!("data-text=\"{}\"", escape(text));
        drawn.sign(("said", &told), &nodes, track);
    }
    for ((number, of), track) in &tracks.beats {
        let nodes = dots(&drawn.layout, *of, *number).nodes;
        let told = format!("data-beat=\"{number}\" data-of=\"{of}\"");
        drawn.sign(("beats", &told), &nodes, track);
    }
    document(film, &tracks, drawn.out)
}

fn document(film: &Film, tracks: &Tracks, body: String) -> String {
    let size = film.options().size;
    let title = tracks.pages.first().and_then(|page| page.strip.pages.get(page.page));
    let title = title.map_or_else(String::new, |page| page.picture.name.clone());
    let colours = film.options().colours;
    let mut root = svg::Document::new()
        .set("viewBox", format!("0 0 {} {}", size.width(), size.height()))
        .set("fill", colours.ink.to_string())
        .set("role", "img")
        .add(el::Title::new(title));
    if let Some(paper) = colours.paper {
        let whole = el::Rectangle::new().set("width", "100%").set("height", "100%");
        root.append(whole.set("class", "background").set("fill", paper.to_string()));
    }
    root.append(Blob::new(body));
    format!("{root}\n")
}

/// The body of a drawing as it grows.
struct Drawn<'a> {
    film: &'a Film,
    fonts: &'a Fonts,
    layout: FilmLayout,
    clock: Clock,
    out: String,
}

impl Drawn<'_> {
    /// What lies around the ink of a page.
    fn edge(&mut self, number: usize, track: &PageTrack) {
        let Some(edge) = self.edge_of(&page_id(number)) else { return };
        if track.seen.is_empty() {
            return;
        }
        self.out.push_str("<g class=\"edge\" display=\"none\">");
        track.seen.animate(&mut self.out, &self.clock);
        self.out.extend([&edge, "</g>\n"]);
    }

    fn page(&mut self, number: usize, track: &PageTrack) {
        let Some(page) = track.strip.pages.get(track.page) else { return };
        if track.seen.is_empty() {
            return;
        }
        self.out.push_str("<g class=\"page\" display=\"none\">");
        track.seen.animate(&mut self.out, &self.clock);
        self.out.push_str(&format!("<g id=\"{}\">", page_id(number)));
        self.paths(&outlines(&page.picture.nodes, self.fonts));
        self.out.push_str("</g>");
        let lit = self.film.options().colours.lit;
        for (note, track) in &track.lit {
            let Some(note) = page.notes.get(*note) else { continue };
            if note.nodes.is_empty() || track.is_empty() || !self.film.options().follow.notes {
                continue;
            }
            let told = note_told(note);
            self.out
                .push_str(&format!("\n<g class=\"lit\" display=\"none\" fill=\"{lit}\"{told}>"));
            track.animate(&mut self.out, &self.clock);
            self.paths(&outlines(&note.nodes, self.fonts));
            self.out.push_str("</g>");
        }
        self.out.push_str("</g>\n");
    }

    fn sign(&mut self, (class, told): (&str, &str), nodes: &[Node], track: &Track) {
        if track.is_empty() {
            return;
        }
        let id = format!("sign-{}", self.out.len());
        self.out.push_str(&format!("<g class=\"{class}\" display=\"none\" {told}>"));
        track.animate(&mut self.out, &self.clock);
        self.ink(&id, &outlines(nodes, self.fonts));
        self.out.push_str("</g>\n");
    }

    fn cursor(&mut self, tracks: &Tracks) {
        let follow = self.film.options().follow;
        if tracks.cursor.is_empty() || !(follow.line || follow.wedge) {
            return;
        }
        let line = follow.line.then(|| cursor_line(&self.layout, self.film.music(), 0.0));
        let wedge = follow.wedge.then(|| cursor_wedge(&self.layout, self.film.music(), 0.0));
        let paths: Vec<(BezPath, Ink)> =
            line.into_iter().chain(wedge).map(|path| (path, Ink::Black)).collect();
        let lit = self.film.options().colours.lit;
        self.out.push_str(&format!("<g class=\"cursor\" display=\"none\" fill=\"{lit}\">"));
        tracks.cursor.animate(&mut self.out, &self.clock);
        self.way(&tracks.way);
        self.ink("cursor", &paths);
        self.out.push_str("</g>\n");
    }

    /// The animation that moves the cursor. Its first and its last place last from the start and up to the end.
    fn way(&mut self, way: &[(f64, f64)]) {
        let (Some(first), Some(last)) = (way.first(), way.last()) else { return };
        let whole = [(0.0, first.1)].into_iter().chain(way.iter().copied());
        let whole: Vec<(f64, f64)> = whole.chain([(self.clock.seconds, last.1)]).collect();
        self.out
            .push_str("<animateTransform attributeName=\"transform\" type=\"translate\" values=\"");
        for (nth, (_, x)) in whole.iter().enumerate() {
            if nth > 0 {
                self.out.push(';');
            }
            put_coordinate(&mut self.out, *x);
        }
        self.out.push_str("\" keyTimes=\"");
        self.out.push_str(&self.clock.shares(whole.iter().map(|(second, _)| *second)));
        self.clock.end(&mut self.out);
    }

    /// Ink, and under it its edge.
    fn ink(&mut self, id: &str, paths: &[(BezPath, Ink)]) {
        let Some(edge) = self.edge_of(id) else { return self.paths(paths) };
        self.out.push_str(&format!("{edge}\n<g id=\"{id}\">"));
        self.paths(paths);
        self.out.push_str("</g>");
    }

    /// What lies around the ink of an element, where ink has an edge.
    fn edge_of(&self, id: &str) -> Option<String> {
        let (edge, reach) = self.film.edge()?;
        let width = coordinate(reach * 2.0);
        Some(format!(
            "<use href=\"#{id}\" fill=\"{edge}\" stroke=\"{edge}\" stroke-linejoin=\"round\" stroke-width=\"{width}\"/>"
        ))
    }

    fn paths(&mut self, paths: &[(BezPath, Ink)]) {
        for (path, ink) in paths {
            self.out.push_str("\n<path d=\"");
            put_path(&mut self.out, path, |point| point);
            match ink {
                Ink::Black => self.out.push_str("\"/>"),
                Ink::Grey => self.out.push_str(&format!("\" fill-opacity=\"{GREY}\"/>")),
            }
        }
    }
}

fn page_id(number: usize) -> String {
    format!("page-{number}")
}

/// What a page tells of a note: its bar, its place in it unless it is a sign for a whole bar, and its player.
fn note_told(note: &StripNote) -> String {
    let mut told = format!(" data-bar=\"{}\"", note.bar);
    if let Some(beat) = note.beat {
        told.push_str(&format!(" data-beat=\"{}\"", fraction(beat)));
    }
    if let Some(player) = &note.player {
        told.push_str(&format!(" data-player=\"{}\"", escape(player)));
    }
    told
}
