//! A block as pages of a film: lines of whole bars, as large as a frame has room for.

use super::layout::FilmLayout;
use super::line::Line;
use super::places::{NoteKey, PlacedNote, Places, marks};
use super::wanted::{FilmOptions, Turn};
use crate::drawing::{Colours, Kind, Node, Page};
use crate::engrave::{BlockPlace, Edges, Engraved, Engraver, Style, System, engrave};
use crate::font::Fonts;
use crate::score::printing::BlankNotes;
use crate::score::settings::{CountDisplay, StickingPlace};
use crate::score::{Block, PlacedBlock, Time};
use kurbo::Rect;
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

/// The least width of a page in staff spaces: a bar of sixteen sixteenths has room on it (no source).
const LEAST_WIDTH: f64 = 44.0;
/// How often a size is looked for at which the lines are as high as their room: what stands over and under
/// the staff changes with where lines break.
const ROUNDS: usize = 4;
/// The least size of syllables as a share of a frame's width: 14 pixels at a quarter of 1920.
const LEAST_COUNT: f64 = 14.0 * 4.0 / 1920.0;
/// How much more than that is tried, since what is larger leaves less room; and the most, in staff spaces.
const GROWTH: f64 = 1.04;
const MOST_COUNT: f64 = 6.0;
/// How much smaller than the others a bar may be for which all syllables become larger (no source).
const SMALLER: f64 = 0.8;
/// The room of each bar of a block in one line, in staff spaces: more than any takes, so that the line ends where
/// it will.
const BAR_ROOM: f64 = 300.0;

/// A note of a page, apart from what it stands among; or the sign that stands for the notes of a bar.
#[derive(Clone, Debug)]
pub struct StripNote {
    /// Its marks.
    pub nodes: Vec<Node>,
    /// The box of its heads, or of the sign.
    pub heads: Rect,
    /// Who plays it, where players are told apart.
    pub player: Option<String>,
    /// The number of its bar, from 1.
    pub bar: usize,
    /// Its place in the bar in beats, from 1; nothing for a sign.
    pub beat: Option<Time>,
}

/// A page of a film: a line of whole bars.
#[derive(Clone, Debug)]
pub struct StripPage {
    /// All that stands still on it, as large as a frame.
    pub picture: Page,
    /// Its notes.
    pub notes: Vec<StripNote>,
    /// Where all its notes and bars stand.
    pub line: Line,
    keys: HashMap<NoteKey, usize>,
    signs: HashMap<(Option<String>, usize), usize>,
    /// The left and the right end of what stands at each time, in order, where all of it is in one line.
    cells: Vec<(f64, f64)>,
}

/// A block as pages.
#[derive(Clone, Debug)]
pub struct Strip {
    /// Its pages, in order.
    pub pages: Vec<StripPage>,
    /// The bars that are drawn smaller since a page is too narrow for them, by index, and their scale.
    pub smaller: Vec<(usize, f64)>,
    /// That syllables have no room under its notes; nothing where they have.
    pub small_counts: Option<SmallCounts>,
}

/// Syllables that would be too small under notes, but on pages that are drawn smaller.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SmallCounts {
    /// How large they would be, in pixels.
    pub size: f64,
    /// How large they are to be at least.
    pub least: f64,
    /// Whether they are left out, as the large one beside the music says them; they stay where there is nothing else.
    pub left_out: bool,
}

/// A block as large as its room lets it be.
struct Fitted {
    shown: Block,
    style: Style,
    systems: Vec<Arc<System>>,
    scale: f64,
    small_counts: Option<SmallCounts>,
}

impl Fitted {
    fn of(engraver: &Engraver<'_>, block: &Block, options: &FilmOptions, room: &Room<'_>) -> Self {
        let shown = for_film(block, options);
        let style = with_legible_counts(engraver, &shown, room);
        let (systems, scale) = fitted(&Engraver { style: &style, ..*engraver }, &shown, room);
        let (size, least) = (style.count * scale, room.least_count());
        let small = size < least && has_counts(&shown);
        let left_out = small && !options.hides_notes;
        let small_counts = small.then_some(SmallCounts { size, least, left_out });
        if !left_out {
            return Self { shown, style, systems, scale, small_counts };
        }
        let mut shown = shown;
        for part in shown.parts_mut() {
            part.settings.counts = CountDisplay::None;
        }
        let (systems, scale) = fitted(engraver, &shown, room);
        Self { shown, style: engraver.style.clone(), systems, scale, small_counts }
    }
}

/// Whether a block has syllables under its notes.
fn has_counts(block: &Block) -> bool {
    let mut parts = block.parts();
    parts.any(|part| {
        part.settings.counts != CountDisplay::None
            && part.bars.iter().any(|bar| !bar.counts.is_empty())
    })
}

impl Strip {
    /// A block of a film.
    pub(super) fn of(engraver: &Engraver<'_>, block: &PlacedBlock, options: &FilmOptions) -> Self {
        let layout = FilmLayout::of(options.size, options.follow);
        let room = Room { layout: &layout, turn: options.turn };
        let Fitted { shown, style, systems, scale, small_counts } =
            Fitted::of(engraver, block, options, &room);
        let engraver = &Engraver { style: &style, ..*engraver };
        let blank = blank(block, &shown, options);
        let drawn = match &blank {
            None => systems.clone(),
            Some(blank) => engrave(engraver, blank, place(blank, &room, scale)).systems,
        };
        let range = ink(&systems);
        let mut strip = Self { pages: Vec::new(), smaller: Vec::new(), small_counts };
        let mut bar = 0;
        for (system, drawn) in systems.iter().zip(&drawn) {
            let to_page = |system: &System| on_frame(system, range, (&layout, scale));
            let page = StripPage::of(engraver, (bar, to_page(system)), &layout);
            let first = bar;
            bar += system.bars;
            let Some(mut page) = page else { continue };
            if blank.is_some() {
                page.picture.nodes = to_page(drawn);
                page.hide_unseen(engraver.fonts);
            }
            page.picture.name = block.title.clone().unwrap_or_default();
            if system.scale < 1.0 {
                strip.smaller.push((first, system.scale));
            }
            strip.pages.push(page);
        }
        strip
    }

    /// The left and the right end of what stands at each time of a page, in order.
    #[must_use]
    pub fn cells(&self, page: usize) -> &[(f64, f64)] {
        self.pages.get(page).map(|page| &page.cells[..]).unwrap_or_default()
    }

    /// Whether a page is drawn smaller than the others, since a bar is too wide for it.
    #[must_use]
    pub fn is_smaller(&self, page: usize) -> bool {
        let first = self.pages.get(page).map(|page| page.line.first);
        self.smaller.iter().any(|(bar, _)| Some(*bar) == first)
    }

    /// The page a bar stands on, by the indexes of both.
    pub(super) fn page_of(&self, bar: usize) -> usize {
        self.pages.partition_point(|page| page.line.first <= bar).saturating_sub(1)
    }

    /// The lines of its pages.
    pub(super) fn lines(&self) -> Vec<&Line> {
        self.pages.iter().map(|page| &page.line).collect()
    }
}

/// A block without what asks for bars on a line, as pages are as wide as they are, and with all its notes, which
/// say where the cursor goes.
fn for_film(block: &Block, options: &FilmOptions) -> Block {
    let mut shown = block.clone();
    shown.settings.bars_per_line = None;
    for part in shown.parts_mut() {
        part.settings.blank.notes = BlankNotes::None;
        // Letters for hands say when there is a note.
        if options.hides_notes {
            part.settings.sticking = StickingPlace::Hidden;
        }
    }
    shown
}

/// The same without the notes that are not to be seen: all of them, or those the text leaves blank; nothing
/// where all are seen.
fn blank(block: &Block, shown: &Block, options: &FilmOptions) -> Option<Block> {
    let own: Vec<BlankNotes> = block.parts().map(|part| part.settings.blank.notes).collect();
    if !options.hides_notes && own.iter().all(|notes| *notes == BlankNotes::None) {
        return None;
    }
    let mut blank = shown.clone();
    for (part, own) in blank.parts_mut().zip(own) {
        part.settings.blank.notes = if options.hides_notes { BlankNotes::All } else { own };
    }
    Some(blank)
}

/// The room of lines.
struct Room<'a> {
    layout: &'a FilmLayout,
    turn: Turn,
}

impl Room<'_> {
    /// The least size of syllables, in pixels.
    fn least_count(&self) -> f64 {
        self.layout.frame.width() * LEAST_COUNT
    }
}

fn place(block: &Block, room: &Room<'_>, scale: f64) -> BlockPlace {
    let bars = block.part.bars.len();
    let edges = Edges { heading: false, ..Edges::alone(bars) };
    let width = match room.turn {
        Turn::Pages => room.layout.strip.width() / scale,
        Turn::Scroll => BAR_ROOM * bars as f64,
    };
    BlockPlace { width, headed: 0.0, column: false, edges }
}

/// From the highest to the lowest ink of lines, in staff spaces from the middle of the staff.
fn ink(systems: &[Arc<System>]) -> (f64, f64) {
    let range = |system: &Arc<System>| (system.ink.y0 * system.scale, system.ink.y1 * system.scale);
    let widest = |a: (f64, f64), b: (f64, f64)| (a.0.min(b.0), a.1.max(b.1));
    systems.iter().map(range).reduce(widest).unwrap_or((0.0, 1.0))
}

/// A style with syllables under the notes that are as large as they must be in pixels: where there is much over
/// and under each other, the rest becomes smaller.
fn with_legible_counts(engraver: &Engraver<'_>, block: &Block, room: &Room<'_>) -> Style {
    let least = room.least_count();
    let mut style = engraver.style.clone();
    for _ in 0..ROUNDS {
        let (systems, scale) = fitted(&Engraver { style: &style, ..*engraver }, block, room);
        // A bar that is drawn a little smaller has its syllables as large.
        let smallest = systems.iter().map(|system| system.scale).fold(1.0, f64::min);
        let scale = scale * smallest.max(SMALLER);
        if style.count * scale >= least || style.count >= MOST_COUNT {
            break;
        }
        style.count = (least / scale * GROWTH).min(MOST_COUNT);
    }
    style
}

/// The lines of a block, and the pixels of a staff space at which they fit their room.
fn fitted(
    engraver: &Engraver<'_>,
    block: &Block,
    place_room: &Room<'_>,
) -> (Vec<Arc<System>>, f64) {
    let room = place_room.layout.strip;
    let largest = room.width() / LEAST_WIDTH;
    let mut scale = largest;
    let mut systems = Vec::new();
    for _ in 0..ROUNDS {
        Engraved { systems, .. } = engrave(engraver, block, place(block, place_room, scale));
        let (top, bottom) = ink(&systems);
        let fits = room.height() / (bottom - top).max(f64::MIN_POSITIVE);
        if scale <= fits {
            return (systems, scale);
        }
        scale = fits.min(largest);
    }
    (systems, scale)
}

/// The left and the right end of the ink of notes, and of the syllables and letters under them; those that overlap are one.
fn cells(notes: &BTreeMap<NoteKey, PlacedNote>, nodes: &[Node], fonts: &Fonts) -> Vec<(f64, f64)> {
    let ink = |note: &PlacedNote| {
        let inks = note.nodes.iter().filter_map(|node| node.bounds(fonts));
        inks.reduce(|a, b| a.union(b)).map(|ink| (ink.x0, ink.x1))
    };
    let under =
        marks(nodes).into_iter().filter(|mark| matches!(mark.kind, Kind::Count | Kind::Sticking));
    let under = under.map(|mark| mark.shape.bounds(fonts)).map(|ink| (ink.x0, ink.x1));
    let mut all: Vec<(f64, f64)> = notes.values().filter_map(ink).chain(under).collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all.dedup_by(|next, kept| {
        let overlaps = next.0 <= kept.1;
        if overlaps {
            kept.1 = kept.1.max(next.1);
        }
        overlaps
    });
    all
}

/// The nodes of a line where they stand on a frame, flat: lines of one block have their staff at one height.
fn on_frame(
    system: &System,
    (top, bottom): (f64, f64),
    (layout, scale): (&FilmLayout, f64),
) -> Vec<Node> {
    let room = layout.strip;
    let y = room.center().y - (top + bottom) / 2.0 * scale;
    let size = scale * system.scale;
    let flat = system.marks.nodes().iter().flat_map(Node::flat);
    flat.map(|node| node.transform(size, room.x0, y)).collect()
}

impl StripPage {
    /// A line that begins with a bar; nothing where it has no ink.
    fn of(
        engraver: &Engraver<'_>,
        (first, nodes): (usize, Vec<Node>),
        layout: &FilmLayout,
    ) -> Option<Self> {
        let fonts = engraver.fonts;
        let places = Places::of(&nodes, fonts);
        let line = Line::of(first, &places, &nodes, fonts)?;
        let cells = cells(&places.notes, &nodes, fonts);
        let mut notes = Vec::new();
        let mut keys = HashMap::new();
        for (key, note) in places.notes {
            let Some(heads) = note.heads else { continue };
            let (player, bar, beat) = key.clone();
            keys.insert(key, notes.len());
            notes.push(StripNote { nodes: note.nodes, heads, player, bar, beat: Some(beat) });
        }
        let mut signs = HashMap::new();
        for ((player, bar), sign) in places.signs {
            let Some(heads) = sign.heads else { continue };
            signs.insert((player.clone(), bar), notes.len());
            notes.push(StripNote { nodes: sign.nodes, heads, player, bar, beat: None });
        }
        let picture = Page {
            width: layout.frame.width(),
            height: layout.frame.height(),
            name: String::new(),
            colours: Colours::default(),
            nodes,
            lines: Arc::default(),
        };
        Some(Self { picture, notes, line, keys, signs, cells })
    }

    /// Takes the marks of notes away that the picture does not have.
    fn hide_unseen(&mut self, fonts: &Fonts) {
        let seen = Places::of(&self.picture.nodes, fonts).notes;
        for (key, note) in &self.keys {
            let is_seen = seen.get(key).is_some_and(|own| own.heads.is_some());
            if let Some(note) = self.notes.get_mut(*note).filter(|_| !is_seen) {
                note.nodes.clear();
            }
        }
    }

    /// A note by who plays it, the number of its bar from 1 and its beat; where the bar is written as a sign, that.
    pub(super) fn note(&self, player: Option<&str>, bar: usize, beat: Time) -> Option<usize> {
        // An only player may have a name and is drawn without one.
        let named = player.map(|name| Some(name.to_owned()));
        let who = || named.iter().cloned().chain([None]);
        let note = who().find_map(|who| self.keys.get(&(who, bar, beat)));
        note.or_else(|| who().find_map(|who| self.signs.get(&(who, bar)))).copied()
    }
}
