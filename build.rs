//! Copies the text faces the program sets words in out of the asset crate, so that no other
//! face of that crate reaches the binary; and makes tables of what their glyphs read as and of the music
//! font's metadata, so that no run of the program works them out.

#[allow(dead_code, reason = "nobody reads here")]
#[path = "src/font/readings.rs"]
mod readings;

use readings::Readings;
use serde_json::Value;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs};

/// File stem in the output folder, PostScript name in the asset crate.
const FACES: [(&str, &str); 5] = [
    ("serif-regular", "LibertinusSerif-Regular"),
    ("serif-semibold", "LibertinusSerif-Semibold"),
    ("serif-italic", "LibertinusSerif-Italic"),
    ("serif-semibold-italic", "LibertinusSerif-SemiboldItalic"),
    ("mono", "DejaVuSansMono"),
];

/// The music font's metadata (SMuFL 1.4, "Metadata for SMuFL fonts").
const METADATA: &str = "fonts/calfskin/calfskin_metadata.json";

fn main() -> Result<(), String> {
    println!("cargo:rerun-if-changed=build.rs");
    println!("cargo:rerun-if-changed={METADATA}");
    println!("cargo:rerun-if-changed=src/font/readings.rs");
    let out = PathBuf::from(env::var("OUT_DIR").map_err(|e| e.to_string())?);
    let mut read = String::new();
    for (stem, name) in FACES {
        let data = typst_assets::fonts()
            .find(|data| post_script_name(data).as_deref() == Some(name))
            .ok_or_else(|| format!("the asset crate has no face named {name}"))?;
        fs::write(out.join(stem).with_extension("otf"), data).map_err(|e| e.to_string())?;
        let face = ttf_parser::Face::parse(data, 0).map_err(|e| format!("{name}: {e}"))?;
        let constant = stem.replace('-', "_").to_uppercase();
        // A page for the web is waited for until it has come, and asks faces for few files.
        let made_ahead = env::var("CARGO_CFG_TARGET_FAMILY").is_ok_and(|family| family != "wasm");
        if !made_ahead {
            read += &format!("pub const {constant}: Option<&Readings> = None;\n");
            continue;
        }
        let Readings { characters, ligatures, ascii } = Readings::of(&face);
        read += &format!(
            "static {constant}_TABLE: Readings = Readings::made_ahead(&{characters:?}, &{ligatures:?}, {ascii:?});\n\
             pub const {constant}: Option<&Readings> = Some(&{constant}_TABLE);\n"
        );
    }
    fs::write(out.join("readings.rs"), read).map_err(|e| e.to_string())?;
    let tables = tables(Path::new(METADATA)).map_err(|why| format!("{METADATA}: {why}"))?;
    fs::write(out.join("calfskin.rs"), tables).map_err(|e| e.to_string())
}

fn post_script_name(data: &[u8]) -> Option<String> {
    let face = ttf_parser::Face::parse(data, 0).ok()?;
    face.names()
        .into_iter()
        .find(|n| n.name_id == ttf_parser::name_id::POST_SCRIPT_NAME && n.is_unicode())?
        .to_string()
}

/// The metadata as the tables `src/font/metadata.rs` declares the types of; glyphs by their names.
fn tables(file: &Path) -> Result<String, String> {
    let json = fs::read_to_string(file).map_err(|e| e.to_string())?;
    let metadata: Value = serde_json::from_str(&json).map_err(|e| e.to_string())?;
    let part = |key: &str| {
        metadata.get(key).and_then(Value::as_object).ok_or_else(|| format!("there is no {key}"))
    };
    let name = metadata.get("fontName").and_then(Value::as_str).ok_or("there is no fontName")?;
    let mut out = format!("pub const NAME: &str = {name:?};\n");
    let mut put = |line: String| writeln!(out, "{line}").map_err(|e| e.to_string());
    put("pub const DEFAULTS: &[(&str, f64)] = &[".into())?;
    for (key, value) in part("engravingDefaults")? {
        // A default that is no number is none of the engraver's.
        if let Some(number) = value.as_f64() {
            put(format!("    ({key:?}, {number:?}),"))?;
        }
    }
    put("];\npub const GLYPHS: &[(&str, GlyphMetrics)] = &[".into())?;
    let (boxes, anchors) = (part("glyphBBoxes")?, part("glyphsWithAnchors")?);
    for (glyph, advance) in part("glyphAdvanceWidths")? {
        let advance = advance.as_f64().ok_or_else(|| format!("{glyph} has no advance"))?;
        let corners = boxes.get(glyph).ok_or_else(|| format!("{glyph} has no box"))?;
        let (south_west, north_east) = (point(&corners["bBoxSW"])?, point(&corners["bBoxNE"])?);
        put(format!("    ({glyph:?}, GlyphMetrics {{ advance: {advance:?},"))?;
        put(format!("        south_west: {south_west:?}, north_east: {north_east:?},"))?;
        put("        anchors: &[".into())?;
        for (anchor, at) in anchors.get(glyph).and_then(Value::as_object).into_iter().flatten() {
            put(format!("            ({anchor:?}, {:?}),", point(at)?))?;
        }
        put("        ] }),".into())?;
    }
    put("];".into())?;
    Ok(out)
}

fn point(value: &Value) -> Result<[f64; 2], String> {
    let number = |at: usize| value.get(at).and_then(Value::as_f64);
    match (number(0), number(1)) {
        (Some(x), Some(y)) => Ok([x, y]),
        _ => Err(format!("{value} is no point")),
    }
}
