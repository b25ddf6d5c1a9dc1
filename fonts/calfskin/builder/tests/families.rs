//! Glyphs of one family agree in weight and size, and mirrored forms are mirror images.

#![allow(clippy::expect_used, clippy::panic)]

mod measure;

use calfskin_builder::defaults::ENGRAVING_DEFAULTS;
use calfskin_builder::outline;
use kurbo::{Affine, BezPath, PathSeg, Shape};
use measure::{bounds, glyph, ink};

/// Half a font unit, in staff spaces.
const EXACT: f64 = 0.001;

fn assert_near(what: &str, value: f64, expected: f64, tolerance: f64) {
    assert!(
        (value - expected).abs() <= tolerance,
        "{what}: {value:.4}, expected {expected:.4} within {tolerance}"
    );
}

/// Within five in a hundred of each other.
fn assert_even(what: &str, weights: &[f64]) {
    let least = weights.iter().copied().fold(f64::INFINITY, f64::min);
    let most = weights.iter().copied().fold(0.0, f64::max);
    assert!(most <= least * 1.05, "{what}: {weights:?}");
}

#[test]
fn heads_of_a_family_share_width_and_extent() {
    for family in [
        ["noteheadBlack", "noteheadHalf"],
        ["noteheadDiamondBlack", "noteheadDiamondHalf"],
        ["noteheadTriangleUpBlack", "noteheadTriangleUpHalf"],
        ["noteheadTriangleDownBlack", "noteheadTriangleDownHalf"],
        ["noteheadSquareBlack", "noteheadSquareWhite"],
        ["noteheadRoundBlack", "noteheadRoundWhite"],
    ] {
        let [a, b] = family.map(|name| bounds(&glyph(name)));
        let name = family[0];
        assert_near(name, a.width(), b.width(), EXACT);
        assert_near(name, a.y0, b.y0, EXACT);
        assert_near(name, a.y1, b.y1, EXACT);
        let [a, b] = family.map(|name| glyph(name).anchors);
        assert_eq!(a["stemUpSE"].x, b["stemUpSE"].x, "{name}");
        assert_eq!(a["stemDownNW"].x, b["stemDownNW"].x, "{name}");
    }
}

#[test]
fn whole_heads_are_as_tall_as_their_family() {
    for (whole, black) in [
        ("noteheadWhole", "noteheadBlack"),
        ("noteheadDiamondWhole", "noteheadDiamondBlack"),
        ("noteheadTriangleUpWhole", "noteheadTriangleUpBlack"),
        ("noteheadTriangleDownWhole", "noteheadTriangleDownBlack"),
    ] {
        let (a, b) = (bounds(&glyph(whole)), bounds(&glyph(black)));
        assert_near(whole, a.y0, b.y0, 0.003);
        assert_near(whole, a.y1, b.y1, 0.003);
        assert!(a.width() > b.width(), "{whole} is no wider than {black}");
    }
}

/// A hollow x of the size of the black one closes to a grey knot on a stand.
#[test]
fn hollow_x_heads_are_large_enough_to_stay_open() {
    let black = bounds(&glyph("noteheadXBlack"));
    let (half, whole) = (bounds(&glyph("noteheadXHalf")), bounds(&glyph("noteheadXWhole")));
    for (name, hollow) in [("half", half), ("whole", whole)] {
        assert!(hollow.height() >= black.height() * 1.2, "{name} {}", hollow.height());
        assert!(hollow.height() <= 1.4, "{name} {}", hollow.height());
        assert_near(name, hollow.center().y, 0.0, EXACT);
    }
    assert!(half.width() > black.width() && whole.width() > half.width());
    for (black, half, whole) in [
        ("noteheadCircleX", "noteheadCircleXHalf", "noteheadCircleXWhole"),
        ("noteheadPlusBlack", "noteheadPlusHalf", "noteheadPlusWhole"),
        ("noteheadSquareBlack", "noteheadSquareWhite", "noteheadSquareBlackWhite"),
    ] {
        let [black, half, whole] = [black, half, whole].map(|name| bounds(&glyph(name)));
        assert!(half.width() >= black.width() && whole.width() > half.width() * 1.15);
        assert!(whole.height() >= black.height() && whole.height() <= 1.4);
        assert_near("centre", half.center().y, 0.0, EXACT);
        assert_near("centre", whole.center().y, 0.0, EXACT);
    }
}

#[test]
fn the_black_head_is_broad_and_centred() {
    let b = bounds(&glyph("noteheadBlack"));
    assert_near("width", b.width(), 1.25, EXACT);
    assert_near("centre", b.center().y, 0.0, EXACT);
    assert!(b.height() >= 1.0 && b.height() <= 1.06, "{}", b.height());
}

#[test]
fn stems_meet_the_heads_at_their_sides() {
    for glyph in measure::glyphs() {
        if let Some(place) = glyph.anchors.get("stemUpSE") {
            let b = bounds(&glyph);
            assert_near(&glyph.name, place.x / 500.0, b.x1, 0.003);
            assert!(glyph.anchors.contains_key("stemDownNW"), "{}", glyph.name);
        }
        if let Some(place) = glyph.anchors.get("stemDownNW") {
            assert_near(&glyph.name, place.x / 500.0, bounds(&glyph).x0, 0.003);
        }
    }
}

#[test]
fn time_digits_are_two_spaces_tall_on_one_baseline() {
    for digit in 0..=9 {
        let name = format!("timeSig{digit}");
        let b = bounds(&glyph(&name));
        assert_near(&name, b.y0, -1.0, 0.01);
        assert_near(&name, b.y1, 1.0, 0.01);
    }
}

#[test]
fn tuplet_digits_are_of_one_height_on_the_baseline() {
    for digit in 0..=9 {
        let name = format!("tuplet{digit}");
        let b = bounds(&glyph(&name));
        assert_near(&name, b.y0, 0.0, 0.01);
        assert_near(&name, b.y1, 1.48, 0.012);
    }
}

#[test]
fn main_strokes_of_the_digits_are_of_one_weight() {
    let strokes = |digit: u8, y: f64| ink(&glyph(&format!("timeSig{digit}")), (-1.0, y), (3.0, y));
    let first = |digit, y| strokes(digit, y)[0];
    let last = |digit, y| strokes(digit, y).last().copied().unwrap_or(0.0);
    assert_even(
        "time digits",
        &[
            first(0, 0.013),
            last(0, 0.013),
            first(1, 0.2),
            last(2, 0.453),
            last(3, 0.513),
            last(3, -0.453),
            first(4, -0.71),
            last(5, -0.341),
            first(6, -0.363),
            last(6, -0.363),
            first(9, 0.363),
            last(9, 0.363),
        ],
    );
}

#[test]
fn below_mirrors_above() {
    let mut pairs = 0;
    for below in measure::glyphs() {
        let Some(stem) = below.name.strip_suffix("Below") else {
            continue;
        };
        let above = glyph(&format!("{stem}Above"));
        assert_mirrored(&below.name, &below.outline, Affine::FLIP_Y * above.outline);
        assert_near(&below.name, bounds(&below).y1, 0.0, EXACT);
        pairs += 1;
    }
    assert!(pairs >= 9, "only {pairs} pairs");
}

#[test]
fn brackets_and_grace_slashes_mirror_each_other() {
    let left = glyph("noteheadParenthesisLeft");
    let right = glyph("noteheadParenthesisRight");
    let mirror = Affine::translate((left.advance, 0.0)) * Affine::FLIP_X;
    assert_mirrored("parentheses", &right.outline, mirror * left.outline);
    let up = glyph("graceNoteSlashStemUp");
    let down = glyph("graceNoteSlashStemDown");
    let height = up.outline.bounding_box();
    let mirror = Affine::translate((0.0, height.y0 + height.y1)) * Affine::FLIP_Y;
    assert_mirrored("grace slashes", &down.outline, mirror * up.outline);
}

/// Two outlines cover the same ink: equal boxes and areas, and equal areas of the halves.
fn assert_mirrored(what: &str, one: &BezPath, other: BezPath) {
    let (a, b) = (one.bounding_box(), other.bounding_box());
    for (p, q) in [(a.x0, b.x0), (a.y0, b.y0), (a.x1, b.x1), (a.y1, b.y1)] {
        assert!((p - q).abs() <= 1.0, "{what}: {a:?} against {b:?}");
    }
    let points = |path: &BezPath| {
        let mut all: Vec<(i64, i64)> = path
            .segments()
            .map(|s| s.to_cubic().p3)
            .map(|p| (p.x.round() as i64, p.y.round() as i64))
            .collect();
        all.sort_unstable();
        all
    };
    let (mine, theirs) = (points(one), points(&other));
    assert_eq!(mine.len(), theirs.len(), "{what}");
    for (p, q) in mine.iter().zip(&theirs) {
        assert!((p.0 - q.0).abs() <= 2 && (p.1 - q.1).abs() <= 2, "{what}: {p:?} {q:?}");
    }
}

#[test]
fn thicknesses_agree_with_the_engraving_defaults() {
    let stem = ink(&glyph("metNoteQuarterUp"), (-1.0, 2.0), (3.0, 2.0));
    assert_near("stem", stem[0], ENGRAVING_DEFAULTS.stem_thickness, EXACT);
    let stem = ink(&glyph("metNoteHalfUp"), (-1.0, 2.0), (3.0, 2.0));
    assert_near("stem", stem[0], ENGRAVING_DEFAULTS.stem_thickness, EXACT);
    for name in ["restWholeLegerLine", "restHalfLegerLine"] {
        let leger = ink(&glyph(name), (-0.2, -1.0), (-0.2, 1.0));
        assert_near(name, leger[0], ENGRAVING_DEFAULTS.leger_line_thickness, EXACT);
        let reach = -bounds(&glyph(name)).x0;
        assert_near(name, reach, ENGRAVING_DEFAULTS.leger_line_extension, EXACT);
    }
    for name in ["restHBarLeft", "restHBarMiddle", "restHBarRight"] {
        let bar = ink(&glyph(name), (0.5, -2.0), (0.5, 2.0));
        assert_near(name, bar[0], ENGRAVING_DEFAULTS.h_bar_thickness, EXACT);
    }
}

#[test]
fn stacked_slashes_are_of_one_weight_and_evenly_spaced() {
    let mut weights = Vec::new();
    for count in 1..=5_usize {
        let slashes = glyph(&format!("tremolo{count}"));
        let cut = ink(&slashes, (0.0, -4.0), (0.0, 4.0));
        assert_eq!(cut.len(), count);
        weights.extend(cut);
        assert_near(&slashes.name, bounds(&slashes).center().y, 0.0, EXACT);
        assert_near(&slashes.name, bounds(&slashes).center().x, 0.0, EXACT);
    }
    assert_even("tremolo", &weights);
}

#[test]
fn flags_grow_from_roots_of_the_stems_width() {
    for (k, flag) in ["8th", "16th", "32nd", "64th", "128th"].iter().enumerate() {
        let (up, down) = (glyph(&format!("flag{flag}Up")), glyph(&format!("flag{flag}Down")));
        let x = ENGRAVING_DEFAULTS.stem_thickness / 2.0;
        let roots = ink(&up, (x, -8.0), (x, 8.0));
        assert_eq!(roots.len(), k + 1, "{flag}");
        assert_even("roots", &[roots.iter().sum(), ink(&down, (x, -8.0), (x, 8.0)).iter().sum()]);
        assert_near(flag, up.anchors["stemUpNW"].y / 500.0, bounds(&up).y1, EXACT);
        assert_near(flag, down.anchors["stemDownSW"].y / 500.0, bounds(&down).y0, EXACT);
    }
}

/// Flags grow: the outermost is the smallest, and no two of a stack are one drawing.
#[test]
fn flags_of_a_stack_differ() {
    for count in ["16th", "32nd", "64th", "128th"] {
        for name in [format!("flag{count}Up"), format!("flag{count}Down")] {
            let outwards = if name.ends_with("Up") { 1.0 } else { -1.0 };
            let place = |flag: &BezPath| flag.bounding_box().center().y * outwards;
            let mut drawn = outline::contours(&glyph(&name).outline);
            drawn.sort_by(|a, b| place(b).total_cmp(&place(a)));
            let flags: Vec<(f64, f64)> =
                drawn.iter().map(|flag| (flag.bounding_box().width(), flag.area())).collect();
            for pair in flags.windows(2) {
                assert!(pair[1].0 > pair[0].0 + 3.0, "{name}: widths {flags:?}");
                assert!(pair[1].1 > pair[0].1 * 1.02, "{name}: ink {flags:?}");
            }
        }
    }
}

/// The outer edge of a flag begins along the stem, so that the two are one stroke.
#[test]
fn flags_leave_the_stem_along_it() {
    let edge = ENGRAVING_DEFAULTS.stem_thickness * 500.0;
    for count in ["8th", "16th", "32nd", "64th", "128th"] {
        for name in [format!("flag{count}Up"), format!("flag{count}Down")] {
            for flag in outline::contours(&glyph(&name).outline) {
                let curves = flag.segments().filter(|s| matches!(s, PathSeg::Cubic(_)));
                let mut steep = 0;
                for curve in curves.map(|s| s.to_cubic()) {
                    for (end, handle) in [(curve.p0, curve.p1), (curve.p3, curve.p2)] {
                        if end.x == edge {
                            assert_eq!(handle.x, edge, "{name}: {end:?} heads for {handle:?}");
                            steep += 1;
                        }
                    }
                }
                assert_eq!(steep, 2, "{name}: both edges of a flag meet the stem");
            }
        }
    }
}

/// Mean thickness of a glyph's strokes, in staff spaces: twice its ink over its outline's length.
fn mean_stroke(name: &str) -> f64 {
    let outline = glyph(name).outline;
    2.0 * outline.area() / outline.perimeter(0.1) / 500.0
}

/// A line of music has one colour: short rests are no greyer than the crossed heads beside them, nor
/// much blacker.
#[test]
fn rests_have_the_weight_of_heads() {
    let head = mean_stroke("noteheadXBlack");
    for name in ["rest8th", "rest16th", "rest32nd", "rest64th", "rest128th"] {
        let ratio = mean_stroke(name) / head;
        assert!((1.0..1.2).contains(&ratio), "{name}: {ratio:.2} of a crossed head");
    }
    let ratio = mean_stroke("restQuarter") / head;
    assert!((1.2..1.5).contains(&ratio), "restQuarter: {ratio:.2} of a crossed head");
}

#[test]
fn the_figures_of_tuplets_are_of_one_colour() {
    let all: Vec<f64> = (0..=9).map(|digit| mean_stroke(&format!("tuplet{digit}"))).collect();
    let mean = all.iter().sum::<f64>() / 10.0;
    assert!(all.iter().all(|one| (one / mean - 1.0).abs() < 0.2), "{all:.3?}");
}

/// Open heads are seen as open on a music stand: as much white as black, or nearly.
#[test]
fn the_half_note_is_wide_open() {
    let (black, half) =
        (glyph("noteheadBlack").outline.area(), glyph("noteheadHalf").outline.area());
    let white = 1.0 - half / black;
    assert!((0.46..0.54).contains(&white), "{white:.2} of the head is white");
}

#[test]
fn round_things_are_equally_round() {
    let ring = |name: &str| {
        let b = bounds(&glyph(name));
        let middle = b.center();
        ink(&glyph(name), (b.x0 - 1.0, middle.y + 0.05), (b.x1 + 1.0, middle.y + 0.05))[0]
    };
    assert_even("rings", &[ring("pictOpen"), ring("brassMuteOpen")]);
    let dot = |name: &str| bounds(&glyph(name)).width();
    assert_even(
        "dots",
        &[dot("augmentationDot"), dot("metAugmentationDot"), dot("articStaccatoAbove")],
    );
}

#[test]
fn rests_sit_where_smufl_registers_them() {
    // SMuFL 1.4, "Rests": whole rests hang from y = 0, half rests stand on it, and the others
    // are placed for a five-line staff whose middle line is y = 0.
    assert_near("whole", bounds(&glyph("restWhole")).y1, 0.0, EXACT);
    assert_near("half", bounds(&glyph("restHalf")).y0, 0.0, EXACT);
    for name in ["restQuarter", "rest8th", "rest16th", "rest32nd"] {
        let b = bounds(&glyph(name));
        assert!(b.y0 < -0.9 && b.y1 > 0.6, "{name}: {b:?}");
        assert!(b.y0 >= -2.1 && b.y1 <= 2.1, "{name}: {b:?}");
    }
}
