//! SVG pictures as filled outlines. What is more than that is refused, so that every format shows the same.

use super::picture::{ColouredOutline, Picture, PictureForm};
use kurbo::{BezPath, Point};
use std::sync::Arc;
use usvg::tiny_skia_path::{Path, PathSegment};
use usvg::{BlendMode, FillRule, Group, ImageHrefResolver, Node, Options, Paint, Tree};

/// The most outlines of a picture.
const MOST_OUTLINES: usize = 20_000;
/// The most bytes of its file.
const MOST_BYTES: usize = 2 * 1024 * 1024;
/// Points of its unit (CSS Values, "Absolute lengths").
const POINTS_PER_UNIT: f64 = 0.75;

/// Reads an SVG file.
///
/// # Errors
/// Says in plain words why it can't be shown.
pub(super) fn read(bytes: &Arc<[u8]>) -> Result<Picture, String> {
    let text = std::str::from_utf8(bytes).ok().filter(|text| text.contains("<svg"));
    let text = text.ok_or("it is neither PNG nor JPEG nor SVG")?;
    if text.len() > MOST_BYTES {
        return Err("as SVG it is larger than 2 megabytes".to_owned());
    }
    let refused = [
        ("<text", "it has words; save them as outlines"),
        ("<image", "it holds another picture"),
        ("<foreignObject", "it holds more than SVG"),
    ];
    if let Some((_, why)) = refused.iter().find(|(tag, _)| text.contains(tag)) {
        return Err((*why).to_owned());
    }
    let options = Options {
        image_href_resolver: ImageHrefResolver {
            resolve_data: Box::new(|_, _, _| None),
            resolve_string: Box::new(|_, _| None),
        },
        ..Options::default()
    };
    let tree =
        Tree::from_str(text, &options).map_err(|e| format!("it is no sound SVG file ({e})"))?;
    let outlines = outlines(tree.root())?;
    Ok(Picture {
        width: f64::from(tree.size().width()) * POINTS_PER_UNIT,
        height: f64::from(tree.size().height()) * POINTS_PER_UNIT,
        form: PictureForm::Outlines(outlines),
    })
}

fn outlines(root: &Group) -> Result<Vec<ColouredOutline>, String> {
    let mut found = Vec::new();
    // What is left to be drawn, the next last, and how opaque it is.
    let mut rest: Vec<(&Node, f32)> =
        root.children().iter().rev().map(|node| (node, 1.0)).collect();
    while let Some((node, opacity)) = rest.pop() {
        if found.len() > MOST_OUTLINES {
            return Err("it has more than 20,000 outlines".to_owned());
        }
        match node {
            Node::Group(group) => {
                let plain = group.clip_path().is_none()
                    && group.mask().is_none()
                    && group.filters().is_empty()
                    && group.blend_mode() == BlendMode::Normal;
                if !plain {
                    return Err(
                        "it has clips, masks or filters, and plain outlines alone are drawn"
                            .to_owned(),
                    );
                }
                let opacity = opacity * group.opacity().get();
                rest.extend(group.children().iter().rev().map(|node| (node, opacity)));
            }
            Node::Path(path) if path.is_visible() => add_path(path, opacity, &mut found)?,
            Node::Path(_) => {}
            Node::Image(_) | Node::Text(_) => return Err("it holds more than outlines".to_owned()),
        }
    }
    Ok(found)
}

/// Adds what a path fills and then what it strokes.
fn add_path(
    path: &usvg::Path,
    opacity: f32,
    found: &mut Vec<ColouredOutline>,
) -> Result<(), String> {
    let transform = path.abs_transform();
    if let Some(fill) = path.fill() {
        let colour = colour(fill.paint(), fill.opacity().get() * opacity)?;
        let even_odd = fill.rule() == FillRule::EvenOdd;
        let own = path.data().clone().transform(transform);
        found.extend(own.map(|own| ColouredOutline { path: curves(&own), even_odd, colour }));
    }
    if let Some(stroke) = path.stroke() {
        let colour = colour(stroke.paint(), stroke.opacity().get() * opacity)?;
        let own = path.data().stroke(&stroke.to_tiny_skia(), 4.0);
        let own = own.and_then(|own| own.transform(transform));
        found.extend(own.map(|own| ColouredOutline {
            path: curves(&own),
            even_odd: false,
            colour,
        }));
    }
    Ok(())
}

/// A colour as it looks on white paper.
fn colour(paint: &Paint, opacity: f32) -> Result<[u8; 3], String> {
    match paint {
        Paint::Color(colour) => {
            let on_white = |part: u8| {
                (255.0 - (255.0 - f32::from(part)) * opacity.clamp(0.0, 1.0)).round() as u8
            };
            Ok([colour.red, colour.green, colour.blue].map(on_white))
        }
        Paint::LinearGradient(_) | Paint::RadialGradient(_) | Paint::Pattern(_) => {
            Err("it has gradients or patterns, and plain colours alone are drawn".to_owned())
        }
    }
}

/// A path in points.
fn curves(path: &Path) -> BezPath {
    let point = |p: usvg::tiny_skia_path::Point| {
        Point::new(f64::from(p.x) * POINTS_PER_UNIT, f64::from(p.y) * POINTS_PER_UNIT)
    };
    let mut out = BezPath::new();
    for segment in path.segments() {
        match segment {
            PathSegment::MoveTo(p) => out.move_to(point(p)),
            PathSegment::LineTo(p) => out.line_to(point(p)),
            PathSegment::QuadTo(p1, p2) => out.quad_to(point(p1), point(p2)),
            PathSegment::CubicTo(p1, p2, p3) => out.curve_to(point(p1), point(p2), point(p3)),
            PathSegment::Close => out.close_path(),
        }
    }
    out
}
