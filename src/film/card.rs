//! Cards: pictures that stand before and after a film, and the small ones by which it is found.

use super::error::FilmError;
use super::made::{FilmSet, style};
use super::wanted::{FilmColours, FilmSize, Turn};
use crate::drawing::{Colours, Kind, Mark, Node, Page, Shape};
use crate::engrave::{BlockPlace, Edges, Engraver, engrave};
use crate::font::{FaceStyle, Fonts};
use crate::score::printing::Background;
use crate::score::{Header, PlacedBlock, PrintedWords};
use kurbo::{Point, Rect};
use std::sync::Arc;

/// Points of a pixel: pages are measured in points, and screens have 96 pixels an inch (CSS Values 3).
const POINTS: f64 = 72.0 / 96.0;
/// What is left free at the edges, as a share of the shorter side (no source; looked at).
const MARGIN: f64 = 0.08;
/// The largest type of words, as shares of the shorter side: of what is most important, of what goes with it.
const LARGE: f64 = 0.17;
const SMALL: f64 = 0.08;
/// From one line to the next, in type sizes.
const LEADING: f64 = 1.25;
/// Most lines that words are broken into.
const MOST_LINES: usize = 4;
/// The share of a thumbnail's height that its words have.
const WORDS: f64 = 0.4;
/// How often the size of a bar is looked for at which it fits.
const ROUNDS: usize = 3;
/// Points of a staff space, by which the sizes of words are bounded.
const SPACE_PT: f64 = 8.0;
/// The largest a staff space is, as a share of the shorter side.
const LARGEST_SPACE: f64 = 0.06;

/// What is on a card.
#[derive(Clone, Copy, Debug)]
pub enum Card<'a> {
    /// The title of a text, what stands under it, and its author.
    Title(&'a Header),
    /// The address where more is to be had, under the title of a text.
    End {
        /// The text's header.
        header: &'a Header,
        /// The address, as it is to be read.
        address: &'a str,
    },
    /// Number and title of a block, and its first bar, large.
    Thumbnail(&'a PlacedBlock),
}

/// Words, and their largest size as a share of the shorter side.
type Line<'a> = (&'a str, FaceStyle, f64);

/// A card of a size.
///
/// # Errors
///
/// The table of its style can't be read.
pub fn card(
    set: FilmSet<'_>,
    card: Card<'_>,
    size: FilmSize,
    colours: FilmColours,
) -> Result<Page, FilmError> {
    let frame = Rect::new(0.0, 0.0, f64::from(size.width()), f64::from(size.height()));
    let short = frame.width().min(frame.height());
    let room = frame.inset(-(short * MARGIN).round());
    let fonts = set.fonts;
    let (name, nodes) = match card {
        Card::Title(header) => {
            let title = header.title.as_deref().unwrap_or_default();
            let mut lines = vec![(title, FaceStyle::Semibold, LARGE)];
            lines.extend(header.subtitle.as_deref().map(|own| (own, FaceStyle::Regular, SMALL)));
            lines.extend(header.author.as_deref().map(|own| (own, FaceStyle::Italic, SMALL)));
            (title.to_owned(), words(fonts, room, short, &lines))
        }
        Card::End { header, address } => {
            let title = header.title.as_deref().unwrap_or_default();
            let lines = [(title, FaceStyle::Regular, SMALL), (address, FaceStyle::Semibold, LARGE)];
            (address.to_owned(), words(fonts, room, short, &lines))
        }
        Card::Thumbnail(block) => {
            let title = block.title.clone().or_else(|| block.name.clone()).unwrap_or_default();
            let number = block.printed_number().unwrap_or_default();
            let said = format!("{number} {title}").trim().to_owned();
            let split = room.y0 + (room.height() * WORDS).round();
            let top = Rect { y1: split, ..room };
            let mut nodes = words(fonts, top, short, &[(&said, FaceStyle::Semibold, LARGE)]);
            let under = Rect { y0: split, ..room };
            nodes.extend(first_bar(set, block, under, short)?);
            (said, nodes)
        }
    };
    Ok(Page {
        width: frame.width() * POINTS,
        height: frame.height() * POINTS,
        name,
        colours: Colours {
            ink: Some(colours.ink),
            background: colours.paper.map_or(Background::None, Background::Colour),
        },
        nodes: nodes.into_iter().map(|node| node.transform(POINTS, 0.0, 0.0)).collect(),
        lines: Arc::default(),
    })
}

/// Lines of words in the middle of their room, each broken where it becomes largest so.
fn words(fonts: &Fonts, room: Rect, short: f64, lines: &[Line<'_>]) -> Vec<Node> {
    let share = room.height() / lines.len().max(1) as f64;
    let broken =
        lines.iter().filter(|(words, ..)| !words.is_empty()).map(|(words, style, most)| {
            let (parts, size) =
                largest(fonts, (*words, *style), (room.width(), share), short * *most);
            (parts, *style, size)
        });
    let broken: Vec<(Vec<String>, FaceStyle, f64)> = broken.collect();
    let height =
        |(parts, _, size): &(Vec<String>, FaceStyle, f64)| parts.len() as f64 * size * LEADING;
    let whole: f64 = broken.iter().map(height).sum();
    let mut top = room.center().y - whole / 2.0;
    let mut nodes = Vec::new();
    for (parts, style, size) in broken {
        for part in parts {
            let run = fonts.text.shape(&part, style);
            // Capitals stand in the middle of their line.
            let rise = fonts.text.cap_height(style) * size;
            let base = top + (size * LEADING + rise) / 2.0;
            let at = Point::new(room.center().x - run.width * size / 2.0, base);
            nodes.push(Node::Mark(Mark::new(Kind::Title, Shape::Text { run, at, size })));
            top += size * LEADING;
        }
    }
    nodes
}

/// Words in so many lines that they are as large as they can be, and their size.
fn largest(
    fonts: &Fonts,
    (words, style): (&str, FaceStyle),
    (width, height): (f64, f64),
    most: f64,
) -> (Vec<String>, f64) {
    let mut best = (vec![words.to_owned()], 0.0);
    for count in 1..=MOST_LINES {
        let lines = broken(words, count);
        let widths = lines.iter().map(|line| fonts.text.shape(line, style).width);
        let widest = widths.fold(f64::MIN_POSITIVE, f64::max);
        let size = (width / widest).min(height / (lines.len() as f64 * LEADING)).min(most);
        if size > best.1 {
            best = (lines, size);
        }
    }
    best
}

/// Words in at most so many lines of about as many letters.
fn broken(words: &str, count: usize) -> Vec<String> {
    let letters = words.chars().count().div_ceil(count.max(1));
    let mut lines: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        let full = lines.len() >= count;
        match lines.last_mut() {
            Some(line) if full || line.chars().count() + word.chars().count() / 2 < letters => {
                line.push(' ');
                line.push_str(word);
            }
            Some(_) | None => lines.push(word.to_owned()),
        }
    }
    lines
}

/// The first bar of a block, as large as its room lets it be.
fn first_bar(
    set: FilmSet<'_>,
    block: &PlacedBlock,
    room: Rect,
    short: f64,
) -> Result<Vec<Node>, FilmError> {
    let style = style(Turn::Pages)?;
    let printed = PrintedWords::of(set.score.header.language.as_deref());
    let engraver = Engraver { fonts: set.fonts, style: &style, space_pt: SPACE_PT, printed };
    let mut shown = block.block.as_ref().clone();
    shown.settings.bars_per_line = Some(1);
    let edges = Edges { heading: false, ..Edges::alone(shown.part.bars.len()) };
    let mut scale = short * LARGEST_SPACE;
    let mut nodes = Vec::new();
    for _ in 0..ROUNDS {
        let place = BlockPlace { width: room.width() / scale, headed: 0.0, column: false, edges };
        let Some(system) = engrave(&engraver, &shown, place).systems.into_iter().next() else {
            return Ok(Vec::new());
        };
        let own = scale * system.scale;
        let height = (system.ink.y1 - system.ink.y0).max(f64::MIN_POSITIVE);
        let fits = own.min(room.height() / height);
        let x = room.center().x - system.width * fits / 2.0;
        let y = room.center().y - (system.ink.y0 + system.ink.y1) / 2.0 * fits;
        let flat = system.marks.nodes().iter().flat_map(Node::flat);
        nodes = flat.map(|node| node.transform(fits, x, y)).collect();
        if own <= fits {
            break;
        }
        scale = fits / system.scale;
    }
    Ok(nodes)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_broken_evenly() {
        assert_eq!(broken("Through the gate", 1), ["Through the gate"]);
        assert_eq!(broken("Through the gate", 2), ["Through", "the gate"]);
        assert_eq!(broken("Gate", 3), ["Gate"]);
        assert_eq!(broken("one two three four", 9), ["one", "two", "three", "four"]);
    }
}
