//! Sizes of paper.

use super::length::to_millimetres;
use super::number::figures;
use crate::score::settings::Paper;
use crate::syntax::grammar::{Rule, Token, value_tokens};
use std::ops::RangeInclusive;

/// Shortest and longest side of a page, in millimetres.
const SIDES: RangeInclusive<f64> = 50.0..=1200.0;

/// The longer side of a page of which only the ratio is said, in millimetres: ten inches, or 960 px, so
/// that a staff is large enough to be read on a screen (common practice, no source).
const LONGER_SIDE: f64 = 254.0;
/// Between which ratios of its sides a page lies.
const RATIOS: RangeInclusive<f64> = 0.25..=4.0;

/// Page sizes by name in millimetres: ISO 216, and ANSI letter and legal.
const NAMED: [(&str, f64, f64); 7] = [
    ("a3", 297.0, 420.0),
    ("a4", 210.0, 297.0),
    ("a5", 148.0, 210.0),
    ("a6", 105.0, 148.0),
    ("b5", 176.0, 250.0),
    ("letter", 215.9, 279.4),
    ("legal", 215.9, 355.6),
];

/// Reads `a4`, `letter`, `a5 landscape`, `9 x 12 in`, `210 x 297 mm`, `16:9`, `1080 x 1920 px`.
pub fn paper(text: &str) -> Option<Paper> {
    let mut tokens = value_tokens(Rule::paper_value, text)?;
    let size = tokens.next()?;
    let (width, height) = match size.as_rule() {
        Rule::paper_name => named(size.as_str())?,
        Rule::paper_ratio => of_ratio(size)?,
        _ => measured(size)?,
    };
    let on_its_side = tokens.next().is_some_and(|token| token.as_rule() == Rule::landscape);
    let (width, height) = if on_its_side { (height, width) } else { (width, height) };
    Some(Paper { width, height })
}

fn named(word: &str) -> Option<(f64, f64)> {
    let size = NAMED.iter().find(|(name, ..)| name.eq_ignore_ascii_case(word));
    size.map(|(_, width, height)| (*width, *height))
}

fn of_ratio(ratio: Token<'_>) -> Option<(f64, f64)> {
    let mut parts = ratio.into_inner();
    let (width, height): (f64, f64) = (figures(&parts.next()?)?, figures(&parts.next()?)?);
    let ratio = width / height;
    if !RATIOS.contains(&ratio) {
        return None;
    }
    let shorter = |share: f64| (LONGER_SIDE * share * 1000.0).round() / 1000.0;
    Some(match ratio >= 1.0 {
        true => (LONGER_SIDE, shorter(1.0 / ratio)),
        false => (shorter(ratio), LONGER_SIDE),
    })
}

fn measured(size: Token<'_>) -> Option<(f64, f64)> {
    let mut parts = size.into_inner();
    let (width, height) = (figures(&parts.next()?)?, figures(&parts.next()?)?);
    let unit = parts.next().map_or(Rule::millimetre, |unit| unit.as_rule());
    let side = |length: f64| {
        // To the micrometre, so that 12 inches are 304.8 mm.
        let side = (to_millimetres(length, unit) * 1000.0).round() / 1000.0;
        SIDES.contains(&side).then_some(side)
    };
    Some((side(width)?, side(height)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_of_the_guide() {
        let size = |text| paper(text).map(|p| (p.width, p.height));
        assert_eq!(size("9 x 12 in"), Some((228.6, 304.8)));
        assert_eq!(size("210x297 mm"), Some((210.0, 297.0)));
        assert_eq!(size("21 × 29.7cm landscape"), Some((297.0, 210.0)));
        assert_eq!(size("A5 Landscape"), Some((210.0, 148.0)));
        assert_eq!(size("letter portrait"), Some((215.9, 279.4)));
        assert_eq!(size("16:9"), Some((254.0, 142.875)));
        assert_eq!(size("9 : 16"), Some((142.875, 254.0)));
        assert_eq!(size("1920 x 1080 px"), Some((508.0, 285.75)));
        for text in [
            "5:1",
            "1:0",
            "0:0",
            "16:9 landscape",
            "100 x 100 px",
            "",
            "a7",
            "10 x 10 mm",
            "9 x 12 ft",
            "9 x",
            "landscape",
            "a4 a4",
        ] {
            assert_eq!(size(text), None, "{text}");
        }
    }

    #[test]
    fn every_name_has_a_size() {
        for (name, width, height) in NAMED {
            assert_eq!(paper(name), Some(Paper { width, height }), "{name}");
        }
    }
}
