//! Tuplet numbers and brackets: the number alone where a beam shows the group, a bracket
//! otherwise, on the side of the stems (Gould, *Behind Bars*, "Tuplets", from memory).

use super::canvas::Canvas;
use super::chord::Stems;
use super::context::Context;
use crate::drawing::{Kind, Mark, Shape};
use crate::font::Glyph;
use kurbo::Rect;

/// A tuplet that knows where its notes are.
#[derive(Clone, Copy, Debug)]
pub struct PlacedTuplet {
    /// Left edge of its first note's ink.
    pub left: f64,
    /// Right edge of its last note's ink.
    pub right: f64,
    /// Its number.
    pub number: u32,
    /// The middle of the beam that shows exactly its notes, where one does.
    pub beam: Option<f64>,
    /// The side of the stems.
    pub stems: Stems,
}

const HOOK: f64 = 0.7;

/// Draws a tuplet outside everything drawn so far.
pub fn draw(
    canvas: &mut Canvas<'_>,
    context: &Context<'_>,
    tuplet: &PlacedTuplet,
    staff: (f64, f64),
) {
    let music = &context.fonts.music;
    let gap = context.style.stack_gap;
    let digits: Vec<Glyph> = tuplet
        .number
        .to_string()
        .chars()
        .filter_map(|c| c.to_digit(10))
        .map(Glyph::tuplet_digit)
        .collect();
    let width: f64 = digits.iter().map(|g| music.advance(*g)).sum();
    let height = digits.iter().map(|g| music.bounds(*g).height()).fold(0.0, f64::max);
    let centre = tuplet.beam.unwrap_or((tuplet.left + tuplet.right) / 2.0);
    let (x0, x1) = match tuplet.beam {
        Some(_) => (centre - width / 2.0, centre + width / 2.0),
        None => (tuplet.left, tuplet.right),
    };
    let middle = match tuplet.stems {
        Stems::Up => canvas.skyline.top(x0, x1, staff.0) - gap - height / 2.0,
        Stems::Down => canvas.skyline.bottom(x0, x1, staff.1) + gap + height / 2.0,
    };
    let mut x = centre - width / 2.0;
    for digit in digits {
        let bounds = music.bounds(digit);
        let y = middle - (bounds.y0 + bounds.y1) / 2.0;
        canvas.push(context.glyph(Kind::Tuplet, digit, x, y));
        x += music.advance(digit);
    }
    if tuplet.beam.is_some() {
        return;
    }
    let thickness = music.defaults().tuplet_bracket_thickness;
    let half = thickness / 2.0;
    let hook = -tuplet.stems.sign() * HOOK;
    let mut line = |x0: f64, y0: f64, x1: f64, y1: f64| {
        if x1 > x0 && y1 > y0 {
            canvas.push(Mark::new(Kind::Tuplet, Shape::Box(Rect::new(x0, y0, x1, y1))));
        }
    };
    line(tuplet.left, middle - half, centre - width / 2.0 - 0.3, middle + half);
    line(centre + width / 2.0 + 0.3, middle - half, tuplet.right, middle + half);
    let (top, bottom) = (middle.min(middle + hook) - half, middle.max(middle + hook) + half);
    line(tuplet.left, top, tuplet.left + thickness, bottom);
    line(tuplet.right - thickness, top, tuplet.right, bottom);
}
