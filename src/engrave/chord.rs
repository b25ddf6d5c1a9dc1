//! The shape of one chord: heads, stem, dots and brackets, before it knows its x.
//!
//! x counts from the centre of the column, y from the middle line downwards.

use super::engraver::Engraver;
use super::value::Value;
use crate::drawing::Kind;
use crate::font::{Anchor, Glyph};
use crate::score::Accent;
use crate::score::kit::{Head, Limb, Opening};
use crate::score::settings::Staff;
use crate::score::{Block, Hit};
use crate::source::Span;

/// Which way stems point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stems {
    /// Up: hands, and everything in one voice.
    Up,
    /// Down: feet.
    Down,
}

impl Stems {
    /// -1 for up, 1 for down: the direction of the stem in y.
    pub fn sign(self) -> f64 {
        match self {
            Self::Up => -1.0,
            Self::Down => 1.0,
        }
    }
}

/// One head.
#[derive(Clone, Debug)]
pub struct HeadShape {
    /// Its glyph.
    pub glyph: Glyph,
    /// x of its origin.
    pub x: f64,
    /// Steps up from the middle line.
    pub position: i32,
    /// In brackets.
    pub ghost: bool,
}

impl HeadShape {
    /// y of its centre.
    pub fn y(&self) -> f64 {
        y_of(self.position)
    }
}

/// y of a staff position.
pub fn y_of(position: i32) -> f64 {
    -0.5 * f64::from(position)
}

/// A sign over or under a chord, from the note outwards.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ChordSign {
    /// What it is.
    pub kind: Kind,
    /// Its glyph where the stems point up and so the sign is above.
    pub above: Glyph,
    /// Its glyph below.
    pub below: Glyph,
}

/// A chord.
#[derive(Clone, Debug)]
pub struct ChordShape {
    /// Its heads, lowest first.
    pub heads: Vec<HeadShape>,
    /// Which way its stem points.
    pub stems: Stems,
    /// Left edge of the stem.
    pub stem_x: f64,
    /// y where the stem meets the head at its foot.
    pub stem_foot: f64,
    /// y of the free end of the stem, before any beam moves it.
    pub stem_tip: f64,
    /// Its written value.
    pub value: Value,
    /// Origins of its dots.
    pub dots: Vec<(f64, f64)>,
    /// Grace notes before it.
    pub grace: u8,
    /// Position of the grace notes.
    pub grace_position: i32,
    /// Room between the grace notes and the chord for those of the other voice.
    pub grace_room: f64,
    /// How far it was moved sideways to make room for the other voice.
    pub shift: f64,
    /// Strokes through the stem.
    pub strokes: u8,
    /// Buzzed.
    pub buzz: bool,
    /// Signs from the note outwards.
    pub signs: Vec<ChordSign>,
    /// How many strokes its roll has, printed outside its signs.
    pub roll: Option<u8>,
    /// Ink to the left of the column's centre, grace notes not counted; positive.
    pub left: f64,
    /// Ink to the right of the column's centre.
    pub right: f64,
    /// Where it is written.
    pub span: Span,
}

impl ChordShape {
    /// Whether the head nearest the free end of the stem is in brackets.
    pub fn has_ghost_at_stem(&self) -> bool {
        self.heads.iter().any(|head| head.ghost && head.position == self.outer())
    }

    /// Position of the highest head.
    pub fn highest(&self) -> i32 {
        self.heads.iter().map(|h| h.position).max().unwrap_or(0)
    }

    /// Position of the lowest head.
    pub fn lowest(&self) -> i32 {
        self.heads.iter().map(|h| h.position).min().unwrap_or(0)
    }

    /// Position of the head nearest the free end of the stem.
    pub fn outer(&self) -> i32 {
        match self.stems {
            Stems::Up => self.highest(),
            Stems::Down => self.lowest(),
        }
    }

    /// Moves everything sideways, as a voice makes room for the other.
    pub fn shift(&mut self, dx: f64) {
        for head in &mut self.heads {
            head.x += dx;
        }
        for dot in &mut self.dots {
            dot.0 += dx;
        }
        self.shift += dx;
        self.stem_x += dx;
        self.left -= dx;
        self.right += dx;
    }
}

/// The outer line of a staff, in steps from its middle.
pub fn outer_line(staff: Staff) -> i32 {
    match staff {
        Staff::FiveLines => 4,
        Staff::OneLine | Staff::NoLine => 0,
    }
}

/// Shapes a hit. `continued` notes carry no signs, no grace notes and no brackets.
pub fn shape(
    engraver: &Engraver<'_>,
    block: &Block,
    hit: &Hit,
    value: Value,
    stems: Stems,
    continued: bool,
) -> ChordShape {
    let music = &engraver.fonts.music;
    let staff = block.settings.staff;
    let mut heads = Vec::new();
    let mut grace_position = None;
    for strike in &hit.strikes {
        let Some(instrument) = block.kit.get(strike.instrument) else { continue };
        let position = match staff {
            Staff::FiveLines => instrument.position,
            Staff::OneLine => instrument.one_line,
            Staff::NoLine => 0,
        };
        let glyph = head_glyph(instrument.head, value);
        let bounds = music.bounds(glyph);
        let x = -(bounds.x0 + bounds.x1) / 2.0;
        // Hands before feet, drums before cymbals: that is where the small notes are played.
        let rank = (instrument.limb == Limb::Hands, instrument.head == Head::Normal);
        if grace_position.is_none_or(|(best, _)| rank > best) {
            grace_position = Some((rank, position));
        }
        if heads.iter().any(|h: &HeadShape| h.position == position && h.glyph == glyph) {
            continue;
        }
        heads.push(HeadShape { glyph, x, position, ghost: strike.ghost && !continued });
    }
    heads.sort_by_key(|h| h.position);
    displace_seconds(engraver, &mut heads, stems);

    let anchor = match stems {
        Stems::Up => Anchor::StemUpSE,
        Stems::Down => Anchor::StemDownNW,
    };
    let thickness = music.defaults().stem_thickness;
    let edge = |head: &HeadShape| {
        let bounds = music.bounds(head.glyph);
        let fallback = match stems {
            Stems::Up => kurbo::Point::new(bounds.x1, 0.0),
            Stems::Down => kurbo::Point::new(bounds.x0, 0.0),
        };
        music.anchor(head.glyph, anchor).unwrap_or(fallback)
    };
    let centred: Vec<&HeadShape> = heads.iter().filter(|h| !displaced(engraver, h)).collect();
    let foot_head = match stems {
        Stems::Up => heads.first(),
        Stems::Down => heads.last(),
    };
    let stem_x = match stems {
        Stems::Up => {
            centred.iter().map(|h| h.x + edge(h).x).fold(f64::NEG_INFINITY, f64::max) - thickness
        }
        Stems::Down => centred.iter().map(|h| h.x + edge(h).x).fold(f64::INFINITY, f64::min),
    };
    let stem_x = if stem_x.is_finite() { stem_x } else { 0.0 };
    let stem_foot = foot_head.map_or(0.0, |h| h.y() + edge(h).y);

    let (mut left, mut right) = (0.0_f64, 0.0_f64);
    for head in &heads {
        let bounds = music.bounds(head.glyph);
        let (open, close) = ghost_edges(engraver, &heads, head)
            .map_or((0.0, 0.0), |(open, close)| {
                (head.x + bounds.x0 - open, close - head.x - bounds.x1)
            });
        let on_ledger = staff == Staff::FiveLines && head.position.abs() > outer_line(staff) + 1;
        let ledger = if on_ledger { music.defaults().leger_line_extension } else { 0.0 };
        left = left.max(-(head.x + bounds.x0 - open.max(ledger)));
        right = right.max(head.x + bounds.x1 + close.max(ledger));
    }
    let dots = dots(&heads, value, right + engraver.style.dot_gap, staff);
    if let Some((x, _)) = dots.last() {
        right = x + music.bounds(Glyph::AUGMENTATION_DOT).x1;
    }

    let mut chord = ChordShape {
        heads,
        stems,
        stem_x,
        stem_foot,
        stem_tip: 0.0,
        value,
        dots,
        grace: if continued { 0 } else { hit.grace },
        grace_position: grace_position.map_or(0, |(_, position)| position),
        grace_room: 0.0,
        shift: 0.0,
        strokes: hit.strokes,
        buzz: hit.buzz,
        signs: if continued { Vec::new() } else { signs(block, hit) },
        roll: hit.touch.roll.filter(|_| !continued),
        left,
        right,
        span: hit.span,
    };
    chord.stem_tip = y_of(chord.outer()) + stems.sign() * stem_length(engraver, &chord, staff);
    chord
}

/// How long a chord's stem is beyond its outermost head when it stands alone.
pub fn stem_length(engraver: &Engraver<'_>, chord: &ChordShape, staff: Staff) -> f64 {
    let style = engraver.style;
    let beyond = match chord.stems {
        Stems::Up => chord.outer() - outer_line(staff),
        Stems::Down => -chord.outer() - outer_line(staff),
    };
    let shortened = style.stem - style.stem_shortening * f64::from(beyond.max(0));
    let extra_flags = chord.value.flags().saturating_sub(2) as f64 * style.stem_per_extra_beam;
    let mut length = shortened.max(style.stem_min) + extra_flags;
    if let Some(flag) = super::symbol::flag_glyph(chord.value, chord.stems) {
        // A flag must not reach ink on its side of the stem: heads under a stem that points down,
        // dots and displaced heads beside one that points up.
        let bounds = engraver.fonts.music.bounds(flag);
        let beside = chord.stems == Stems::Down
            || !chord.dots.is_empty()
            || chord.heads.iter().any(|head| displaced(engraver, head));
        if beside {
            length = length.max(bounds.y1.max(-bounds.y0) + 0.8);
        }
    }
    if chord.strokes > 0 || chord.buzz {
        let strokes = f64::from(chord.strokes.max(1));
        let beyond = flag_depth(engraver, chord).max(0.75);
        length = length.max(style.stem_under_beam + strokes * style.stroke_pitch + beyond);
    }
    length
}

/// How far an unbeamed chord's flag keeps strokes away from the free end of the stem.
pub fn flag_depth(engraver: &Engraver<'_>, chord: &ChordShape) -> f64 {
    super::symbol::flag_glyph(chord.value, chord.stems)
        .map_or(0.0, |flag| engraver.fonts.music.bounds(flag).height() * 0.8)
}

fn displaced(engraver: &Engraver<'_>, head: &HeadShape) -> bool {
    let bounds = engraver.fonts.music.bounds(head.glyph);
    (head.x + (bounds.x0 + bounds.x1) / 2.0).abs() > 0.2
}

/// Heads a step apart stand on both sides of the stem (Gould, *Behind Bars*, "Seconds", from
/// memory): the lower one left, the upper one right, starting from the foot of the stem.
fn displace_seconds(engraver: &Engraver<'_>, heads: &mut [HeadShape], stems: Stems) {
    let music = &engraver.fonts.music;
    let thickness = music.defaults().stem_thickness;
    let mut order: Vec<usize> = (0..heads.len()).collect();
    if stems == Stems::Down {
        order.reverse();
    }
    let mut last: Option<(i32, bool)> = None;
    for index in order {
        let Some(head) = heads.get_mut(index) else { continue };
        let close =
            last.is_some_and(|(position, moved)| !moved && (position - head.position).abs() <= 1);
        if close {
            let width = music.bounds(head.glyph).width() - thickness;
            head.x -= stems.sign() * width;
        }
        last = Some((head.position, close));
    }
}

/// Left and right edges of the ink of a ghost head's brackets, which stand outside every head of
/// the chord that is near enough to meet them. Nothing for a head without brackets.
pub fn ghost_edges(
    engraver: &Engraver<'_>,
    heads: &[HeadShape],
    head: &HeadShape,
) -> Option<(f64, f64)> {
    if !head.ghost {
        return None;
    }
    let music = &engraver.fonts.music;
    let gap = engraver.style.bracket_gap;
    let near = heads.iter().filter(|h| (h.position - head.position).abs() <= 4);
    let (left, right) = near.fold((f64::INFINITY, f64::NEG_INFINITY), |(left, right), h| {
        let bounds = music.bounds(h.glyph);
        (left.min(h.x + bounds.x0), right.max(h.x + bounds.x1))
    });
    Some((
        left - gap - music.bounds(Glyph::NOTEHEAD_PARENTHESIS_LEFT).width(),
        right + gap + music.bounds(Glyph::NOTEHEAD_PARENTHESIS_RIGHT).width(),
    ))
}

/// Dots stand in spaces: a head on a line has its dot in the space above (Gould, *Behind Bars*,
/// "Dots", from memory).
fn dots(heads: &[HeadShape], value: Value, x: f64, staff: Staff) -> Vec<(f64, f64)> {
    if value.dots == 0 {
        return Vec::new();
    }
    let mut positions: Vec<i32> = heads
        .iter()
        .map(|h| match staff {
            Staff::FiveLines if h.position % 2 == 0 => h.position + 1,
            Staff::OneLine if h.position == 0 => 1,
            _ => h.position,
        })
        .collect();
    positions.sort_unstable();
    positions.dedup();
    positions.into_iter().map(|position| (x, y_of(position))).collect()
}

fn head_glyph(head: Head, value: Value) -> Glyph {
    let [whole, half, black] = match head {
        Head::Normal => [Glyph::NOTEHEAD_WHOLE, Glyph::NOTEHEAD_HALF, Glyph::NOTEHEAD_BLACK],
        Head::X => [Glyph::NOTEHEAD_X_WHOLE, Glyph::NOTEHEAD_X_HALF, Glyph::NOTEHEAD_X_BLACK],
        Head::CircledX => [Glyph::NOTEHEAD_CIRCLE_X; 3],
        Head::Diamond => [
            Glyph::NOTEHEAD_DIAMOND_WHOLE,
            Glyph::NOTEHEAD_DIAMOND_HALF,
            Glyph::NOTEHEAD_DIAMOND_BLACK,
        ],
        Head::Triangle => [
            Glyph::NOTEHEAD_TRIANGLE_UP_WHOLE,
            Glyph::NOTEHEAD_TRIANGLE_UP_HALF,
            Glyph::NOTEHEAD_TRIANGLE_UP_BLACK,
        ],
        Head::Slash => [
            Glyph::NOTEHEAD_SLASH_WHITE_WHOLE,
            Glyph::NOTEHEAD_SLASH_WHITE_HALF,
            Glyph::NOTEHEAD_SLASH_VERTICAL_ENDS,
        ],
        Head::Square => [Glyph::NOTEHEAD_SQUARE_BLACK; 3],
        Head::Plus => [Glyph::NOTEHEAD_PLUS_BLACK; 3],
    };
    match value.halvings {
        ..=0 => whole,
        1 => half,
        _ => black,
    }
}

fn signs(block: &Block, hit: &Hit) -> Vec<ChordSign> {
    let mut signs = Vec::new();
    if hit.touch.staccato {
        signs.push(ChordSign {
            kind: Kind::Articulation,
            above: Glyph::ARTIC_STACCATO_ABOVE,
            below: Glyph::ARTIC_STACCATO_BELOW,
        });
    }
    if hit.touch.tenuto {
        signs.push(ChordSign {
            kind: Kind::Articulation,
            above: Glyph::ARTIC_TENUTO_ABOVE,
            below: Glyph::ARTIC_TENUTO_BELOW,
        });
    }
    let accent = hit.strikes.iter().map(|s| s.accent).max().unwrap_or_default();
    match accent {
        Accent::None => {}
        Accent::Accent => signs.push(ChordSign {
            kind: Kind::Accent,
            above: Glyph::ARTIC_ACCENT_ABOVE,
            below: Glyph::ARTIC_ACCENT_BELOW,
        }),
        Accent::Marcato => signs.push(ChordSign {
            kind: Kind::Accent,
            above: Glyph::ARTIC_MARCATO_ABOVE,
            below: Glyph::ARTIC_MARCATO_BELOW,
        }),
    }
    let opening = hit.strikes.iter().filter_map(|s| block.kit.get(s.instrument)?.opening).next();
    if let Some(opening) = opening {
        let glyph = match opening {
            Opening::Open => Glyph::BRASS_MUTE_OPEN,
            Opening::Half => Glyph::PICT_HALF_OPEN_1,
            Opening::Closed => Glyph::BRASS_MUTE_CLOSED,
        };
        signs.push(ChordSign { kind: Kind::Opening, above: glyph, below: glyph });
    }
    if hit.strikes.iter().any(|s| s.choked) {
        let glyph = Glyph::PICT_CHOKE_CYMBAL;
        signs.push(ChordSign { kind: Kind::Choke, above: glyph, below: glyph });
    }
    signs
}
