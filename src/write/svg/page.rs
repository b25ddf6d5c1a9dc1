//! A page as a file.

use super::ink;
use super::markup;
use super::options::SvgOptions;
use super::used::Used;
use crate::drawing::Page;
use crate::font::Fonts;
use crate::score::printing::Background;
use crate::write::error::WriteError;
use crate::write::number::coordinate;
use svg::node::Blob;
use svg::node::Node as _;
use svg::node::element as el;

/// One page as an SVG file, words as outlines.
pub fn write(page: &Page, fonts: &Fonts) -> String {
    // Outlines are the one form that needs nothing that could fail.
    let (body, used) = body(page, fonts, SvgOptions::default());
    document(page, used.definitions(fonts), None, body)
}

/// One page as an SVG file.
///
/// # Errors
/// Says which face could not be embedded.
pub fn write_with(page: &Page, fonts: &Fonts, options: SvgOptions) -> Result<String, WriteError> {
    let (body, used) = body(page, fonts, options);
    let style = used.style_sheet(fonts)?;
    Ok(document(page, used.definitions(fonts), style, body))
}

fn body(page: &Page, fonts: &Fonts, options: SvgOptions) -> (String, Used) {
    let mut used = Used::default();
    let body = ink::draw(page, Some("page"), (fonts, options), &mut used);
    (body, used)
}

fn document(
    page: &Page,
    definitions: Option<el::Definitions>,
    style: Option<el::Style>,
    body: String,
) -> String {
    let (width, height) = (coordinate(page.width), coordinate(page.height));
    let mut root = svg::Document::new()
        .set("viewBox", format!("0 0 {width} {height}"))
        .set("width", format!("{width}pt"))
        .set("height", format!("{height}pt"))
        .set("fill", page.colours.ink.map_or("currentColor".to_owned(), |ink| ink.to_string()))
        .set("role", "img")
        .add(el::Title::new(markup::clean(&page.name)));
    if let Some(style) = style {
        root.append(style);
    }
    if let Some(definitions) = definitions {
        root.append(definitions);
    }
    match page.colours.background {
        Background::Paper | Background::None => {}
        Background::Colour(colour) => {
            let whole = el::Rectangle::new().set("width", "100%").set("height", "100%");
            root.append(whole.set("class", "background").set("fill", colour.to_string()));
        }
    }
    root.append(Blob::new(body));
    format!("{root}\n")
}
