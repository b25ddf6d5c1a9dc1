//! The OpenType file: TrueType outlines under SMuFL names and code points.

use write_fonts::tables::cmap::Cmap;
use write_fonts::tables::glyf::{Bbox, GlyfLocaBuilder, SimpleGlyph};
use write_fonts::tables::head::{Flags, Head};
use write_fonts::tables::hhea::Hhea;
use write_fonts::tables::hmtx::{Hmtx, LongMetric};
use write_fonts::tables::loca::LocaFormat;
use write_fonts::tables::maxp::Maxp;
use write_fonts::tables::name::{Name, NameRecord};
use write_fonts::tables::os2::{Os2, SelectionFlags};
use write_fonts::tables::post::Post;
use write_fonts::types::{FWord, Fixed, GlyphId, LongDateTime, NameId, Tag, UfWord};
use write_fonts::{FontBuilder, OffsetMarker};

use crate::error::Error;
use crate::outline;
use crate::source::{Glyph, UNITS_PER_EM};

/// The family name.
pub(crate) const FAMILY: &str = "Calfskin";
/// The font version, as `fontVersion` and the name table give it.
pub(crate) const VERSION: f64 = 2.0;

const COPYRIGHT: &str =
    "Copyright 2026 The Calfskin Project Authors, with Reserved Font Name Calfskin";
const LICENCE: &str = "This Font Software is licensed under the SIL Open Font License, Version \
                       1.1. This license is available with a FAQ at https://openfontlicense.org";
const LICENCE_URL: &str = "https://openfontlicense.org";
const DESCRIPTION: &str =
    "A music font for percussion, encoded after SMuFL 1.4: drawn for loud rooms and bad light.";

/// 2026-01-01 00:00 UTC in seconds since 1904-01-01. Fixed, so that builds repeat.
const EPOCH_DATE: i64 = 3_850_070_400;

/// One glyph ready for the `glyf` table.
pub(crate) struct Compiled<'a> {
    pub(crate) source: &'a Glyph,
    pub(crate) simple: SimpleGlyph,
    pub(crate) advance: u16,
}

impl<'a> Compiled<'a> {
    pub(crate) fn new(source: &'a Glyph) -> Result<Self, Error> {
        let fault = |fault: String| Error::Source { path: source.path.clone(), fault };
        let contours = outline::contours(&source.outline)
            .iter()
            .map(|contour| outline::to_spline(contour, true))
            .collect::<Result<Vec<_>, String>>()
            .map_err(fault)?;
        let mut simple = SimpleGlyph { contours, ..SimpleGlyph::default() };
        simple.bbox = outline::bounds(&simple.contours);
        Ok(Self {
            source,
            simple,
            advance: source.advance.round().clamp(0.0, f64::from(u16::MAX)) as u16,
        })
    }

    pub(crate) fn name(&self) -> &str {
        &self.source.name
    }
}

/// A glyph slot of the finished font: `.notdef`, `space`, then the sources by code point.
struct Slot<'a> {
    name: &'a str,
    code_point: Option<char>,
    outline: &'a SimpleGlyph,
    advance: u16,
}

pub(crate) fn write(glyphs: &[Compiled<'_>]) -> Result<Vec<u8>, Error> {
    let table = |fault: &dyn std::fmt::Display| Error::Table(fault.to_string());
    let missing = missing_box();
    let blank = SimpleGlyph::default();
    let mut slots = vec![
        Slot { name: ".notdef", code_point: None, outline: &missing, advance: 500 },
        Slot { name: "space", code_point: Some(' '), outline: &blank, advance: 500 },
    ];
    slots.extend(glyphs.iter().map(|glyph| Slot {
        name: glyph.name(),
        code_point: Some(glyph.source.code_point),
        outline: &glyph.simple,
        advance: glyph.advance,
    }));

    let mut outlines = GlyfLocaBuilder::new();
    for slot in &slots {
        outlines.add_glyph(slot.outline).map_err(|fault| table(&fault))?;
    }
    let (glyf, loca, loca_format) = outlines.build();
    let mappings = slots
        .iter()
        .zip(0u32..)
        .filter_map(|(slot, id)| slot.code_point.map(|code_point| (code_point, GlyphId::new(id))));
    let cmap = Cmap::from_mappings(mappings).map_err(|fault| table(&fault))?;

    let extent = Extent::of(&slots);
    let mut builder = FontBuilder::new();
    builder
        .add_table(&head(&extent, loca_format))
        .and_then(|b| b.add_table(&hhea(&extent, slots.len())))
        .and_then(|b| b.add_table(&maxp(&slots)))
        .and_then(|b| b.add_table(&os2(&extent, &slots)))
        .and_then(|b| b.add_table(&hmtx(&slots)))
        .and_then(|b| b.add_table(&cmap))
        .and_then(|b| b.add_table(&loca))
        .and_then(|b| b.add_table(&glyf))
        .and_then(|b| b.add_table(&names()))
        .and_then(|b| b.add_table(&post(&slots)))
        .map_err(|fault| table(&fault))?;
    Ok(builder.build())
}

/// The box shown for a character the font lacks: a hollow upright frame.
fn missing_box() -> SimpleGlyph {
    let frame = |x0: i16, y0: i16, x1: i16, y1: i16| {
        [(x0, y0), (x0, y1), (x1, y1), (x1, y0)]
            .map(|(x, y)| write_fonts::read::tables::glyf::CurvePoint::on_curve(x, y))
            .to_vec()
    };
    let mut inner = frame(110, 60, 390, 940);
    inner.reverse();
    let mut glyph = SimpleGlyph {
        contours: vec![frame(50, 0, 450, 1000).into(), inner.into()],
        ..SimpleGlyph::default()
    };
    glyph.recompute_bounding_box();
    glyph
}

/// Extremes over all glyphs, in font units.
struct Extent {
    bbox: Bbox,
    advance_max: u16,
    advance_sum: u32,
    min_left: i16,
    min_right: i16,
}

impl Extent {
    fn of(slots: &[Slot<'_>]) -> Self {
        let mut extent = Extent {
            bbox: Bbox::default(),
            advance_max: 0,
            advance_sum: 0,
            min_left: i16::MAX,
            min_right: i16::MAX,
        };
        for slot in slots {
            extent.advance_max = extent.advance_max.max(slot.advance);
            extent.advance_sum += u32::from(slot.advance);
            if slot.outline.contours.is_empty() {
                continue;
            }
            let bbox = slot.outline.bbox;
            extent.bbox = extent.bbox.union(bbox);
            extent.min_left = extent.min_left.min(bbox.x_min);
            let right = i32::from(slot.advance) - i32::from(bbox.x_max);
            extent.min_right = extent.min_right.min(clamped(right));
        }
        extent
    }
}

fn clamped(value: i32) -> i16 {
    value.clamp(i32::from(i16::MIN), i32::from(i16::MAX)) as i16
}

fn head(extent: &Extent, loca_format: LocaFormat) -> Head {
    let mut head = Head {
        font_revision: Fixed::from_f64(VERSION),
        flags: Flags::from_bits_truncate(0b11),
        units_per_em: UNITS_PER_EM,
        created: LongDateTime::new(EPOCH_DATE),
        modified: LongDateTime::new(EPOCH_DATE),
        lowest_rec_ppem: 12,
        index_to_loc_format: loca_format as i16,
        ..Head::default()
    };
    head.x_min = extent.bbox.x_min;
    head.y_min = extent.bbox.y_min;
    head.x_max = extent.bbox.x_max;
    head.y_max = extent.bbox.y_max;
    head
}

fn hhea(extent: &Extent, glyph_count: usize) -> Hhea {
    Hhea {
        ascender: FWord::new(extent.bbox.y_max),
        descender: FWord::new(extent.bbox.y_min),
        line_gap: FWord::new(0),
        advance_width_max: UfWord::new(extent.advance_max),
        min_left_side_bearing: FWord::new(extent.min_left),
        min_right_side_bearing: FWord::new(extent.min_right),
        x_max_extent: FWord::new(extent.bbox.x_max),
        caret_slope_rise: 1,
        number_of_h_metrics: count(glyph_count),
        ..Hhea::default()
    }
}

fn count(items: usize) -> u16 {
    u16::try_from(items).unwrap_or(u16::MAX)
}

fn maxp(slots: &[Slot<'_>]) -> Maxp {
    let points = |slot: &Slot<'_>| slot.outline.contours.iter().map(|c| c.len()).sum::<usize>();
    Maxp {
        num_glyphs: count(slots.len()),
        max_points: Some(count(slots.iter().map(points).max().unwrap_or(0))),
        max_contours: Some(count(
            slots.iter().map(|slot| slot.outline.contours.len()).max().unwrap_or(0),
        )),
        max_composite_points: Some(0),
        max_composite_contours: Some(0),
        max_zones: Some(1),
        max_twilight_points: Some(0),
        max_storage: Some(0),
        max_function_defs: Some(0),
        max_instruction_defs: Some(0),
        max_stack_elements: Some(0),
        max_size_of_instructions: Some(0),
        max_component_elements: Some(0),
        max_component_depth: Some(0),
    }
}

fn os2(extent: &Extent, slots: &[Slot<'_>]) -> Os2 {
    let code = |c: char| u16::try_from(u32::from(c)).unwrap_or(u16::MAX);
    let codes = || slots.iter().filter_map(|slot| slot.code_point);
    Os2 {
        x_avg_char_width: (extent.advance_sum / u32::from(count(slots.len()))) as i16,
        us_weight_class: 400,
        us_width_class: 5,
        fs_type: 0,
        y_subscript_x_size: 1300,
        y_subscript_y_size: 1200,
        y_subscript_y_offset: 150,
        y_superscript_x_size: 1300,
        y_superscript_y_size: 1200,
        y_superscript_y_offset: 700,
        y_strikeout_size: 100,
        y_strikeout_position: 600,
        // Bit 60: the Private Use Area, where SMuFL lives.
        ul_unicode_range_2: 1 << 28,
        ach_vend_id: Tag::new(b"CALF"),
        fs_selection: SelectionFlags::REGULAR | SelectionFlags::USE_TYPO_METRICS,
        us_first_char_index: codes().min().map_or(0, code),
        us_last_char_index: codes().max().map_or(0, code),
        s_typo_ascender: extent.bbox.y_max,
        s_typo_descender: extent.bbox.y_min,
        us_win_ascent: extent.bbox.y_max.unsigned_abs(),
        us_win_descent: extent.bbox.y_min.unsigned_abs(),
        // Bit 31: symbol characters.
        ul_code_page_range_1: Some(1 << 31),
        ul_code_page_range_2: Some(0),
        sx_height: Some(500),
        s_cap_height: Some(1000),
        us_default_char: Some(0),
        us_break_char: Some(32),
        us_max_context: Some(0),
        ..Os2::default()
    }
}

fn hmtx(slots: &[Slot<'_>]) -> Hmtx {
    let metric = |slot: &Slot<'_>| LongMetric::new(slot.advance, slot.outline.bbox.x_min);
    Hmtx::new(slots.iter().map(metric).collect(), Vec::new())
}

fn post(slots: &[Slot<'_>]) -> Post {
    let mut post = Post::new_v2(slots.iter().map(|slot| slot.name));
    post.underline_position = FWord::new(-150);
    post.underline_thickness = FWord::new(60);
    post
}

/// Windows, Unicode BMP, US English.
fn names() -> Name {
    let version = format!("Version {VERSION:.3}");
    let unique = format!("{VERSION:.3};{FAMILY}-Regular");
    let texts: [(u16, &str); 11] = [
        (0, COPYRIGHT),
        (1, FAMILY),
        (2, "Regular"),
        (3, &unique),
        (4, FAMILY),
        (5, &version),
        (6, "Calfskin-Regular"),
        (8, "The Calfskin Project Authors"),
        (10, DESCRIPTION),
        (13, LICENCE),
        (14, LICENCE_URL),
    ];
    let record = |(id, text): (u16, &str)| NameRecord {
        platform_id: 3,
        encoding_id: 1,
        language_id: 0x0409,
        name_id: NameId::new(id),
        string: OffsetMarker::new(text.to_owned()),
    };
    Name::new(texts.map(record).to_vec())
}
