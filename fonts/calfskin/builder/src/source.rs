//! Glyph sources: one SVG file for each glyph, named after its SMuFL glyph.
//!
//! Units are font units, [`UNITS_PER_SPACE`] to the staff space, y pointing down as SVG has it;
//! the origin of the drawing is the origin of the glyph.
//!
//! - The root carries `data-codepoint="U+E0A4"`.
//! - `<path id="outline">` holds the contours, filled by the nonzero rule.
//! - `<line id="advanceWidth">` is a vertical guide whose `x1` is the advance width.
//! - Each `<circle>` is an anchor: its id is the SMuFL anchor name, its centre the place.
//! - Anything else (staff lines, titles) is there for the eye and is not read.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use kurbo::{Affine, BezPath, Point};

use crate::error::Error;

/// Font units in one em; SMuFL makes the em four staff spaces.
pub const UNITS_PER_EM: u16 = 2000;
/// Font units in one staff space.
pub const UNITS_PER_SPACE: f64 = 500.0;

/// The anchor names of SMuFL 1.4, "glyphsWithAnchors".
pub const ANCHOR_NAMES: [&str; 22] = [
    "cutOutNE",
    "cutOutNW",
    "cutOutSE",
    "cutOutSW",
    "graceNoteSlashNE",
    "graceNoteSlashNW",
    "graceNoteSlashSE",
    "graceNoteSlashSW",
    "nominalWidth",
    "noteheadOrigin",
    "numeralBottom",
    "numeralTop",
    "opticalCenter",
    "repeatOffset",
    "splitStemDownNE",
    "splitStemDownNW",
    "splitStemUpSE",
    "splitStemUpSW",
    "stemDownNW",
    "stemDownSW",
    "stemUpNW",
    "stemUpSE",
];

/// One glyph, in font units with y pointing up.
#[derive(Clone, Debug)]
pub struct Glyph {
    /// The SMuFL glyph name.
    pub name: String,
    /// The SMuFL code point.
    pub code_point: char,
    /// Advance width in font units.
    pub advance: f64,
    /// Closed contours of lines and cubic curves.
    pub outline: BezPath,
    /// SMuFL anchors by name.
    pub anchors: BTreeMap<String, Point>,
    /// The file the glyph came from.
    pub path: PathBuf,
}

/// Reads every SVG file of a folder, ordered by code point.
///
/// # Errors
/// See [`read_file`]; also two glyphs with one code point.
pub fn read_folder(dir: &Path) -> Result<Vec<Glyph>, Error> {
    let listing = |cause| Error::Read { path: dir.to_path_buf(), cause };
    let mut glyphs = Vec::new();
    for entry in std::fs::read_dir(dir).map_err(listing)? {
        let path = entry.map_err(listing)?.path();
        if path.extension().is_some_and(|ext| ext == "svg") {
            glyphs.push(read_file(&path)?);
        }
    }
    glyphs.sort_by(|a, b| (a.code_point, &a.name).cmp(&(b.code_point, &b.name)));
    for pair in glyphs.windows(2) {
        if let [a, b] = pair
            && a.code_point == b.code_point
        {
            return Err(Error::SharedCodePoint {
                code_point: a.code_point,
                first: a.name.clone(),
                second: b.name.clone(),
            });
        }
    }
    Ok(glyphs)
}

/// Reads one glyph source.
///
/// # Errors
/// The file is missing, is not SVG, or lacks its code point, outline or advance width; an
/// anchor has a name outside [`ANCHOR_NAMES`]; a `transform` hides the true coordinates.
pub fn read_file(path: &Path) -> Result<Glyph, Error> {
    let text = std::fs::read_to_string(path)
        .map_err(|cause| Error::Read { path: path.to_path_buf(), cause })?;
    read_glyph(path, &text).map_err(|fault| Error::Source { path: path.to_path_buf(), fault })
}

fn read_glyph(path: &Path, text: &str) -> Result<Glyph, String> {
    let name = path
        .file_stem()
        .and_then(|stem| stem.to_str())
        .ok_or("the file name is not a glyph name")?
        .to_owned();
    let document = roxmltree::Document::parse(text).map_err(|fault| fault.to_string())?;
    let code_point = document
        .root_element()
        .attribute("data-codepoint")
        .and_then(|value| value.strip_prefix("U+"))
        .and_then(|hex| u32::from_str_radix(hex, 16).ok())
        .and_then(char::from_u32)
        .ok_or("the root needs data-codepoint=\"U+....\"")?;

    let mut outline = None;
    let mut advance = None;
    let mut anchors = BTreeMap::new();
    for node in document.descendants().filter(|node| node.is_element()) {
        if node.attribute("transform").is_some() {
            return Err("a transform hides the true coordinates; flatten it".to_owned());
        }
        match (node.tag_name().name(), node.attribute("id")) {
            ("path", Some("outline")) => {
                let data = node.attribute("d").ok_or("the outline has no path data")?;
                let drawn = BezPath::from_svg(data).map_err(|fault| fault.to_string())?;
                outline = Some(Affine::FLIP_Y * drawn);
            }
            ("line", Some("advanceWidth")) => advance = Some(number(node, "x1")?),
            ("circle", Some(id)) => {
                if !ANCHOR_NAMES.contains(&id) {
                    return Err(format!("SMuFL has no anchor called {id}"));
                }
                let place = Point::new(number(node, "cx")?, -number(node, "cy")?);
                anchors.insert(id.to_owned(), place);
            }
            _ => {}
        }
    }
    Ok(Glyph {
        name,
        code_point,
        advance: advance.ok_or("there is no line called advanceWidth")?,
        outline: outline.ok_or("there is no path called outline")?,
        anchors,
        path: path.to_path_buf(),
    })
}

fn number(node: roxmltree::Node<'_, '_>, attribute: &str) -> Result<f64, String> {
    node.attribute(attribute)
        .and_then(|value| value.parse::<f64>().ok())
        .filter(|value| value.is_finite() && value.abs() < 16_000.0)
        .ok_or_else(|| format!("{attribute} is not a number of font units"))
}
