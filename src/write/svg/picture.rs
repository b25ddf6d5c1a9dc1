//! Pictures that prose shows.

use super::markup::Markup;
use crate::drawing::{ColouredOutline, Picture, PictureForm, PixelFormat};
use crate::write::number::{coordinate, put_path};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use kurbo::{Affine, Rect};

/// CSS pixels for a point.
const PIXELS_PER_POINT: f64 = 4.0 / 3.0;

/// Adds a picture that fills a part of the page.
pub(super) fn put(out: &mut Markup, class: &str, picture: &Picture, area: Rect) {
    match &picture.form {
        PictureForm::Pixels { format, bytes, .. } => {
            out.tag("image");
            out.attribute("class", class);
            out.coordinate("height", area.height());
            out.attribute_of("href", |text| text.push_str(&data_url(*format, bytes)));
            out.attribute("preserveAspectRatio", "none");
            out.coordinate("width", area.width());
            out.coordinate("x", area.x0);
            out.coordinate("y", area.y0);
            out.close_empty();
        }
        PictureForm::Outlines(outlines) => {
            let map = Affine::translate(area.origin().to_vec2())
                * Affine::scale_non_uniform(
                    area.width() / picture.width,
                    area.height() / picture.height,
                );
            out.tag("g");
            out.attribute("class", class);
            let content = out.open();
            put_outlines(out, outlines, map);
            out.close("g", &content);
        }
    }
}

fn put_outlines(out: &mut Markup, outlines: &[ColouredOutline], map: Affine) {
    for outline in outlines {
        let [red, green, blue] = outline.colour;
        out.tag("path");
        out.attribute_of("d", |text| put_path(text, &outline.path, |point| map * point));
        out.attribute("fill", &format!("#{red:02x}{green:02x}{blue:02x}"));
        if outline.even_odd {
            out.attribute("fill-rule", "evenodd");
        }
        out.close_empty();
    }
}

/// A picture as an element of a web page; `said` can't leave its attribute.
pub(in crate::write) fn picture_element(picture: &Picture, said: &str) -> String {
    let (width, height) = (picture.width * PIXELS_PER_POINT, picture.height * PIXELS_PER_POINT);
    let size = format!("width=\"{}\" height=\"{}\"", coordinate(width), coordinate(height));
    match &picture.form {
        PictureForm::Pixels { format, bytes, .. } => {
            format!("<img alt=\"{said}\" {size} src=\"{}\"/>", data_url(*format, bytes))
        }
        PictureForm::Outlines(outlines) => {
            let mut out = Markup::default();
            put_outlines(&mut out, outlines, Affine::IDENTITY);
            format!(
                "<svg role=\"img\" aria-label=\"{said}\" {size} \
                 viewBox=\"0 0 {} {}\">{}</svg>",
                coordinate(picture.width),
                coordinate(picture.height),
                out.finish()
            )
        }
    }
}

fn data_url(format: PixelFormat, bytes: &[u8]) -> String {
    format!("data:{};base64,{}", format.media_type(), STANDARD.encode(bytes))
}
