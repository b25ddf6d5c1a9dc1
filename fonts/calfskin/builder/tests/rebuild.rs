//! The committed font is what the sources build, and other readers agree on what it holds.

#![allow(clippy::expect_used, clippy::panic)]

mod measure;

use measure::home;
use ttf_parser::OutlineBuilder;

fn committed(name: &str) -> Vec<u8> {
    std::fs::read(home().join(name)).expect(name)
}

fn build() -> calfskin_builder::Built {
    calfskin_builder::build(&home().join("glyphs")).expect("the sources build")
}

#[test]
fn building_twice_gives_the_committed_bytes() {
    let (first, second) = (build(), build());
    assert!(first.font == second.font, "two builds differ");
    assert!(
        first.font == committed("Calfskin.ttf"),
        "Calfskin.ttf is stale: run cargo run -p calfskin-builder"
    );
    assert!(first.metadata.as_bytes() == committed("calfskin_metadata.json"));
    assert!(first.specimen.as_bytes() == committed("specimen.svg"));
}

/// Every glyph the project promises (names of SMuFL 1.4).
fn promised() -> Vec<String> {
    let mut names: Vec<String> =
        include_str!("promised.txt").split_whitespace().map(str::to_owned).collect();
    for digit in 0..=9 {
        names.push(format!("timeSig{digit}"));
        names.push(format!("tuplet{digit}"));
    }
    names
}

#[test]
fn every_promised_glyph_is_there() {
    let have: Vec<String> = measure::glyphs().into_iter().map(|g| g.name).collect();
    let missing: Vec<String> = promised().into_iter().filter(|name| !have.contains(name)).collect();
    assert!(missing.is_empty(), "{missing:?}");
}

#[derive(Default)]
struct Extent(Option<(f32, f32, f32, f32)>);

impl Extent {
    fn add(&mut self, x: f32, y: f32) {
        let (x0, y0, x1, y1) = self.0.unwrap_or((x, y, x, y));
        self.0 = Some((x0.min(x), y0.min(y), x1.max(x), y1.max(y)));
    }
}

impl OutlineBuilder for Extent {
    fn move_to(&mut self, x: f32, y: f32) {
        self.add(x, y);
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.add(x, y);
    }
    fn quad_to(&mut self, _: f32, _: f32, x: f32, y: f32) {
        self.add(x, y);
    }
    fn curve_to(&mut self, _: f32, _: f32, _: f32, _: f32, x: f32, y: f32) {
        self.add(x, y);
    }
    fn close(&mut self) {}
}

#[test]
fn another_reader_finds_the_same_glyphs() {
    let bytes = build().font;
    let face = ttf_parser::Face::parse(&bytes, 0).expect("ttf-parser opens the font");
    assert_eq!(face.units_per_em(), calfskin_builder::UNITS_PER_EM);
    let metadata: serde_json::Value = serde_json::from_str(&build().metadata).expect("JSON");
    for glyph in measure::glyphs() {
        let id = face.glyph_index(glyph.code_point).expect(&glyph.name);
        assert_eq!(face.glyph_name(id), Some(glyph.name.as_str()));
        let width = f64::from(face.glyph_hor_advance(id).unwrap_or(0)) / 500.0;
        let told = metadata["glyphAdvanceWidths"][&glyph.name].as_f64();
        assert_eq!(told, Some(width), "{}", glyph.name);

        let mut extent = Extent::default();
        face.outline_glyph(id, &mut extent).expect(&glyph.name);
        let (x0, y0, x1, y1) = extent.0.expect(&glyph.name);
        let b = &metadata["glyphBBoxes"][&glyph.name];
        for (corner, x, y) in [("bBoxSW", x0, y0), ("bBoxNE", x1, y1)] {
            for (axis, value) in [(0, x), (1, y)] {
                let told = b[corner][axis].as_f64().expect("a number");
                let seen = f64::from(value) / 500.0;
                assert!((told - seen).abs() < 0.006, "{} {corner}: {told} {seen}", glyph.name);
            }
        }
    }
}

#[test]
fn curves_keep_to_their_sources() {
    // A compiled curve may stray by the tolerance plus the rounding of its points.
    let bytes = build().font;
    let face = ttf_parser::Face::parse(&bytes, 0).expect("ttf-parser opens the font");
    for glyph in measure::glyphs() {
        let id = face.glyph_index(glyph.code_point).expect(&glyph.name);
        let mut pen = Area::default();
        face.outline_glyph(id, &mut pen).expect(&glyph.name);
        let drawn = kurbo::Shape::area(&glyph.outline);
        let perimeter = kurbo::Shape::perimeter(&glyph.outline, 0.1);
        // TrueType contours run the other way round.
        let off = (kurbo::Shape::area(&pen.0) + drawn).abs() / perimeter;
        assert!(off < 0.6, "{}: off by {off:.2} units on average", glyph.name);
    }
}

#[derive(Default)]
struct Area(kurbo::BezPath);

impl OutlineBuilder for Area {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.move_to((f64::from(x), f64::from(y)));
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line_to((f64::from(x), f64::from(y)));
    }
    fn quad_to(&mut self, cx: f32, cy: f32, x: f32, y: f32) {
        self.0.quad_to((f64::from(cx), f64::from(cy)), (f64::from(x), f64::from(y)));
    }
    fn curve_to(&mut self, _: f32, _: f32, _: f32, _: f32, x: f32, y: f32) {
        self.line_to(x, y);
    }
    fn close(&mut self) {
        self.0.close_path();
    }
}

#[test]
fn faulty_sources_are_named() {
    let folder = std::env::temp_dir().join(format!("calfskin-faults-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a temporary folder");
    let good = std::fs::read_to_string(home().join("glyphs/augmentationDot.svg")).expect("source");
    for (fault, text) in [
        (
            "transform",
            good.replace("<path id=\"outline\"", "<path transform=\"scale(2)\" id=\"outline\""),
        ),
        ("data-codepoint", good.replace("data-codepoint", "data-other")),
        ("advanceWidth", good.replace("advanceWidth", "other")),
        ("outline", good.replace("\"outline\"", "\"drawing\"")),
        (
            "anchor",
            good.replace("</svg>", "<circle id=\"nowhere\" cx=\"0\" cy=\"0\" r=\"1\"/></svg>"),
        ),
    ] {
        std::fs::write(folder.join("augmentationDot.svg"), text).expect("written");
        let told = match calfskin_builder::build(&folder) {
            Ok(_) => panic!("{fault} went unnoticed"),
            Err(told) => told.to_string(),
        };
        assert!(told.contains("augmentationDot.svg") && told.contains(fault), "{told}");
    }
    std::fs::write(folder.join("augmentationDot.svg"), &good).expect("written");
    std::fs::write(folder.join("repeatDot.svg"), &good).expect("written");
    let told = calfskin_builder::build(&folder).err().map(|told| told.to_string());
    assert_eq!(told.as_deref(), Some("augmentationDot and repeatDot both claim U+E1E7"));
    std::fs::remove_dir_all(&folder).expect("removed");
}
