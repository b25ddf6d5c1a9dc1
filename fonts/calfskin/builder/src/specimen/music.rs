//! Glyphs at reading size on a staff: families side by side, then running music.

use super::{MARGIN, Sheet};
use crate::defaults::ENGRAVING_DEFAULTS;

/// Heads that take a stem, each shown with stems both ways.
const HEADS: [&str; 20] = [
    "noteheadBlack",
    "noteheadHalf",
    "noteheadXBlack",
    "noteheadXHalf",
    "noteheadCircleX",
    "noteheadCircleXHalf",
    "noteheadDiamondBlack",
    "noteheadDiamondHalf",
    "noteheadTriangleUpBlack",
    "noteheadTriangleUpHalf",
    "noteheadTriangleDownBlack",
    "noteheadTriangleDownHalf",
    "noteheadSlashVerticalEnds",
    "noteheadSlashWhiteHalf",
    "noteheadPlusBlack",
    "noteheadPlusHalf",
    "noteheadSquareBlack",
    "noteheadSquareWhite",
    "noteheadRoundBlack",
    "noteheadRoundWhite",
];

const SIGNS: [&str; 35] = [
    "unpitchedPercussionClef1",
    "unpitchedPercussionClef2",
    "timeSigCommon",
    "timeSigCutCommon",
    "timeSig0",
    "timeSig1",
    "timeSig2",
    "timeSig3",
    "timeSig4",
    "timeSig5",
    "timeSig6",
    "timeSig7",
    "timeSig8",
    "timeSig9",
    "restDoubleWhole",
    "restWhole",
    "restHalf",
    "restQuarter",
    "rest8th",
    "rest16th",
    "rest32nd",
    "rest64th",
    "rest128th",
    "rest256th",
    "repeat1Bar",
    "repeat2Bars",
    "repeat4Bars",
    "noteheadWhole",
    "noteheadXWhole",
    "noteheadCircleXWhole",
    "noteheadDiamondWhole",
    "noteheadTriangleUpWhole",
    "noteheadSlashWhiteWhole",
    "noteheadSquareBlackWhite",
    "noteheadPlusWhole",
];

/// Length of a plain stem, in staff spaces. Common practice.
const STEM: f64 = 3.5;

/// A pen that works in staff spaces on one staff: x from the left end, y up from the middle line.
struct Staff<'s, 'a> {
    sheet: &'s mut Sheet<'a>,
    left: f64,
    middle: f64,
    space: f64,
}

impl Staff<'_, '_> {
    fn put(&mut self, name: &str, x: f64, y: f64) {
        let (x, y) = (self.left + x * self.space, self.middle - y * self.space);
        self.sheet.put(name, x, y, self.space);
    }

    fn block(&mut self, x0: f64, y0: f64, x1: f64, y1: f64) {
        let x = |v: f64| self.left + v * self.space;
        let y = |v: f64| self.middle - v * self.space;
        self.sheet.block(x(x0), y(y0), x(x1), y(y1));
    }

    /// A head with its stem up to `tip`; returns the stem's left edge.
    fn up(&mut self, head: &str, x: f64, y: f64, tip: f64) -> f64 {
        self.put(head, x, y);
        let Some(foot) = self.sheet.anchor(head, "stemUpSE") else {
            return x;
        };
        let left = x + foot.x - ENGRAVING_DEFAULTS.stem_thickness;
        self.block(left, y + foot.y, x + foot.x, tip);
        left
    }

    /// A head with its stem down to `tip`; returns the stem's left edge.
    fn down(&mut self, head: &str, x: f64, y: f64, tip: f64) -> f64 {
        self.put(head, x, y);
        let Some(top) = self.sheet.anchor(head, "stemDownNW") else {
            return x;
        };
        let left = x + top.x;
        self.block(left, y + top.y, left + ENGRAVING_DEFAULTS.stem_thickness, tip);
        left
    }

    fn beam(&mut self, x0: f64, x1: f64, tip: f64) {
        let thickness = ENGRAVING_DEFAULTS.beam_thickness;
        let at = |x: f64| (self.left + x * self.space, self.middle - tip * self.space);
        let (from, to) = (at(x0), at(x1));
        self.sheet.beam(from, to, thickness * self.space);
    }

    /// Puts a glyph with its ink centred on `x`.
    fn centred(&mut self, name: &str, x: f64, y: f64) {
        let ink = self.sheet.ink(name);
        self.put(name, x - ink.center().x, y);
    }

    /// Draws the staff lines, now that the music has shown how long they must be.
    fn rule(&mut self, length: f64) {
        let right = self.left + length * self.space;
        self.sheet.staff(self.left, right, self.middle, self.space);
    }

    fn barline(&mut self, x: f64) {
        self.block(x, -2.0, x + ENGRAVING_DEFAULTS.thin_barline_thickness, 2.0);
    }
}

fn staff<'s, 'a>(sheet: &'s mut Sheet<'a>, middle: f64, space: f64) -> Staff<'s, 'a> {
    Staff { sheet, left: MARGIN, middle, space }
}

/// Families on a 7 mm staff. Returns the foot of the last row.
pub(super) fn rows(sheet: &mut Sheet<'_>, top: f64) -> f64 {
    let space = 1.75;
    let mut y = top + 12.0;
    let mut row = staff(sheet, y, space);
    let mut x = 2.0;
    for head in HEADS {
        row.up(head, x, -0.5, -0.5 + STEM);
        x += row.sheet.advance(head) + 1.6;
        row.down(head, x, 0.5, 0.5 - STEM);
        x += row.sheet.advance(head) + 2.4;
    }
    for (k, flags) in ["8th", "16th", "32nd", "64th", "128th", "256th"].iter().enumerate() {
        let extra = 0.8 * k.saturating_sub(1) as f64;
        let left = row.up("noteheadBlack", x, -1.0, STEM - 1.0 + extra);
        row.put(&format!("flag{flags}Up"), left, STEM - 1.0);
        x += 3.6;
        let left = row.down("noteheadBlack", x, 1.0, 1.0 - STEM - extra);
        row.put(&format!("flag{flags}Down"), left, 1.0 - STEM);
        x += 3.8;
    }
    row.rule(x);

    y += 19.0;
    let mut row = staff(sheet, y, space);
    let mut x = 2.0;
    for sign in SIGNS {
        let height = if sign == "restWhole" { 1.0 } else { 0.0 };
        row.put(sign, x, height);
        x += row.sheet.advance(sign) + 3.4;
    }
    row.rule(x);
    y + 12.0
}

/// One line of music at the three staff heights in use: 7, 6 and 5 mm.
pub(super) fn running(sheet: &mut Sheet<'_>, top: f64) {
    let mut y = top + 10.0;
    for height in [7.0, 6.0, 5.0] {
        let space = height / 4.0;
        groove(&mut staff(sheet, y, space));
        y += 11.0 * space + 7.0;
    }
}

/// Height of the dynamics' baseline.
const DYNAMICS: f64 = -6.4;

fn groove(row: &mut Staff<'_, '_>) {
    row.put("unpitchedPercussionClef1", 0.8, 0.0);
    row.put("timeSig4", 3.2, 1.0);
    row.put("timeSig4", 3.2, -1.0);
    row.put("metNoteQuarterUp", 2.6, 4.2);
    row.put("dynamicMF", 6.4, DYNAMICS);
    hats_and_kicks(row, 7.0);
    row.barline(30.4);
    fill(row, 32.0);
    row.barline(60.2);
    loose(row, 62.0);
    row.barline(87.0);
    row.put("segno", 87.6, 3.2);
    for (x, tremolo) in [(91.0, "tremolo1"), (96.0, "tremolo3")] {
        row.up("noteheadBlack", x, 0.5, 4.0);
        row.centred(tremolo, x + 1.19, 2.6);
    }
    row.centred("dynamicForte", 91.6, DYNAMICS);
    row.up("noteheadHalf", 101.0, 0.5, 4.0);
    row.centred("buzzRoll", 102.19, 2.3);
    row.centred("fermataAbove", 101.7, 4.6);
    row.centred("dynamicFF", 101.6, DYNAMICS);
    row.barline(107.0);
    row.put("repeat1Bar", 111.0, 0.0);
    row.put("coda", 110.6, 3.2);
    row.barline(116.0);
    row.put("repeat1Bar", 119.6, 0.0);
    row.put("dalSegno", 119.0, 3.2);
    let end = 125.0;
    let (thin, thick) =
        (ENGRAVING_DEFAULTS.thin_barline_thickness, ENGRAVING_DEFAULTS.thick_barline_thickness);
    let gap = ENGRAVING_DEFAULTS.thin_thick_barline_separation;
    row.block(end - thick, -2.0, end, 2.0);
    row.block(end - thick - gap - thin, -2.0, end - thick - gap, 2.0);
    row.rule(end);
}

/// Eight beamed cymbal strokes over kick and snare.
fn hats_and_kicks(row: &mut Staff<'_, '_>, left: f64) {
    let tip = 5.6;
    for group in 0..2 {
        let first = left + f64::from(group) * 11.6;
        for k in 0..4 {
            let x = first + f64::from(k) * 2.9;
            row.up("noteheadXBlack", x, 2.5, tip);
            match k {
                0 => {
                    row.down("noteheadBlack", x, -1.5, -4.2);
                }
                2 => {
                    row.put("noteheadBlack", x - 0.05, 0.5);
                    row.block(x + 1.03, 0.6, x + 1.15, 2.9);
                    row.centred("articAccentAbove", x + 0.6, 5.9);
                }
                _ => {}
            }
        }
        row.beam(first + 1.03, first + 1.15 + 3.0 * 2.9, tip);
        row.centred("brassMuteOpen", first + 3.0 * 2.9 + 0.6, 6.0);
    }
}

/// Two eighth-note sextuplets round the drums, each two beats long.
fn fill(row: &mut Staff<'_, '_>, left: f64) {
    let heights = [[0.5, 0.5, 0.5, 1.0, 1.0, 1.0], [1.5, 1.0, 1.5, -0.5, -0.5, -1.5]];
    let (tip, step) = (4.6, 2.35);
    for (group, notes) in heights.iter().enumerate() {
        let first = left + group as f64 * 14.0;
        for (k, y) in notes.iter().enumerate() {
            row.up("noteheadBlack", first + k as f64 * step, *y, tip);
        }
        let (from, to) = (first + 1.13, first + 1.25 + 5.0 * step);
        row.beam(from, to, tip);
        row.centred("tuplet6", (from + to) / 2.0, 5.1);
        row.centred("articMarcatoAbove", first + 0.6, 5.0);
    }
    row.centred("dynamicSforzato", left + 0.6, DYNAMICS);
}

/// Four beats of flagged notes and rests.
fn loose(row: &mut Staff<'_, '_>, left: f64) {
    let mut x = left;
    for (flag, rests) in [("flag8thUp", &["rest8th"][..]), ("flag16thUp", &["rest16th", "rest8th"])]
    {
        let stem = row.up("noteheadBlack", x, 0.5, 4.0);
        row.put(flag, stem, 4.0);
        row.centred("articStaccatoBelow", x + 0.6, -0.4);
        x += 3.4;
        for rest in rests {
            row.put(rest, x, 0.0);
            x += 2.5;
        }
    }
    row.put("noteheadParenthesisLeft", x - 0.55, 0.5);
    let stem = row.up("noteheadBlack", x, 0.5, 4.0);
    row.put("noteheadParenthesisRight", x + 1.37, 0.5);
    row.put("flag8thUp", stem, 4.0);
    row.put("augmentationDot", x + 2.3, 0.5);
    row.centred("dynamicPP", x + 0.6, DYNAMICS);
    row.put("rest16th", x + 4.2, 0.0);
    row.put("restQuarter", x + 7.2, 0.0);
}
