use crate::fixture::{fonts, page, words};
use flamacue::drawing::{Kind, Node, Page};
use flamacue::font::{FaceStyle, Fonts};
use flamacue::write::svg::{SvgOptions, write, write_with};
use resvg::usvg::roxmltree::{self, Document};

const LIVE: SvgOptions = SvgOptions { live_text: true };

fn parse(text: &str) -> Document<'_> {
    Document::parse(text).expect("well-formed XML")
}

fn classed<'a>(document: &'a Document<'a>, class: &str) -> Vec<roxmltree::Node<'a, 'a>> {
    document.descendants().filter(|node| node.attribute("class") == Some(class)).collect()
}

#[test]
fn the_whole_page() {
    let fonts = fonts();
    let svg = write(&page(&fonts), &fonts);
    let shown: String = svg.lines().filter(|line| !line.contains("<path d=")).fold(
        String::new(),
        |mut shown, line| {
            let line = line.split(" d=").next().unwrap_or(line);
            shown.push_str(line);
            shown.push('\n');
            shown
        },
    );
    insta::assert_snapshot!(shown);
}

#[test]
fn the_root_says_what_it_is() {
    let fonts = fonts();
    let svg = write(&page(&fonts), &fonts);
    let document = parse(&svg);
    let root = document.root_element();
    assert_eq!(root.attribute("role"), Some("img"));
    assert_eq!(root.attribute("viewBox"), Some("0 0 200 160"));
    assert_eq!(root.attribute("width"), Some("200pt"));
    assert_eq!(root.attribute("fill"), Some("currentColor"));
    let title = root.first_element_child().expect("a title");
    assert_eq!(title.tag_name().name(), "title");
    assert_eq!(title.text(), Some("Fiddle & “flam” <1>"));
}

#[test]
fn bars_and_notes_are_groups_with_their_places() {
    let fonts = fonts();
    let svg = write(&page(&fonts), &fonts);
    let document = parse(&svg);
    let bars = classed(&document, "bar");
    assert_eq!(bars.len(), 1);
    assert_eq!(bars[0].attribute("data-bar"), Some("1"));
    let beats: Vec<_> =
        classed(&document, "note").iter().filter_map(|n| n.attribute("data-beat")).collect();
    assert_eq!(beats, ["1", "3/2", "2"]);
    let second = classed(&document, "note")[1];
    assert_eq!(second.attribute("data-line"), Some("4"));
    assert_eq!(second.attribute("data-column"), Some("10"));
    for class in ["notehead", "stem", "beam", "tie", "staff-line", "clef", "time", "barline"] {
        assert!(!classed(&document, class).is_empty(), "no {class}");
    }
    let greys = classed(&document, "count")
        .iter()
        .filter(|n| n.attribute("fill-opacity") == Some("0.55"))
        .count();
    assert_eq!(greys, 1);
}

#[test]
fn each_glyph_is_defined_once_and_every_use_finds_its_definition() {
    let fonts = fonts();
    let svg = write(&page(&fonts), &fonts);
    let document = parse(&svg);
    let mut ids: Vec<_> = document.descendants().filter_map(|n| n.attribute("id")).collect();
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count, "an id twice");
    let uses: Vec<_> = document.descendants().filter(|n| n.tag_name().name() == "use").collect();
    assert!(uses.len() > count);
    for used in uses {
        let href = used.attribute("href").and_then(|h| h.strip_prefix('#')).expect("a href");
        assert!(ids.binary_search(&href).is_ok(), "{href}");
    }
}

#[test]
fn outlined_words_keep_their_words() {
    let fonts = fonts();
    let svg = write(&page(&fonts), &fonts);
    let document = parse(&svg);
    let title = classed(&document, "title")[0];
    assert_eq!(title.attribute("aria-label"), Some("Fiddle & “flam” AV"));
    assert!(!svg.contains("<text"));
}

#[test]
fn live_words_are_text_with_a_font() {
    let fonts = fonts();
    let svg = write_with(&page(&fonts), &fonts, LIVE).expect("an SVG");
    let document = parse(&svg);
    let title = classed(&document, "title")[0];
    assert_eq!(title.text(), Some("Fiddle & “flam” AV"));
    let xs = title.attribute("x").expect("places").split(' ').count();
    assert_eq!(xs, title.text().map_or(0, |t| t.chars().count()));
    assert_eq!(svg.matches("@font-face").count(), 3);
    assert!(svg.contains("url(data:font/otf;base64,T1RUT"));
}

#[test]
fn a_renderer_finds_the_ink() {
    let fonts = fonts();
    let outlines = raster(&write(&page(&fonts), &fonts));
    let ink = outlines.iter().filter(|alpha| **alpha > 128).count();
    assert!(ink > 4000, "{ink} dark pixels");
}

/// Alpha of each pixel at four pixels to the point.
fn raster(svg: &str) -> Vec<u8> {
    use resvg::{tiny_skia, usvg};
    let tree = usvg::Tree::from_str(svg, &usvg::Options::default()).expect("an SVG resvg reads");
    let mut pixels = tiny_skia::Pixmap::new(800, 640).expect("a picture");
    let scale = 800.0 / tree.size().width();
    resvg::render(&tree, tiny_skia::Transform::from_scale(scale, scale), &mut pixels.as_mut());
    pixels.pixels().iter().map(|p| p.alpha()).collect()
}

/// The fixture's page, black on white, as a portable grey map (PGM).
pub fn grey_map(page: &Page, fonts: &Fonts) -> Vec<u8> {
    let mut map = b"P5 800 640 255\n".to_vec();
    map.extend(raster(&write(page, fonts)).into_iter().map(|alpha| 255 - alpha));
    map
}

#[test]
fn the_same_page_gives_the_same_bytes() {
    let (one, two) = (fonts(), fonts());
    assert_eq!(write(&page(&one), &one), write(&page(&two), &two));
    assert_eq!(
        write_with(&page(&one), &one, LIVE).expect("an SVG"),
        write_with(&page(&two), &two, LIVE).expect("an SVG")
    );
}

#[test]
fn words_no_picture_can_hold_do_no_harm() {
    let fonts = fonts();
    let nasty = "]]> \u{0}\u{1b}\"'<&>\u{fffe} -->";
    let hostile = Page {
        width: 50.0,
        height: 20.0,
        name: nasty.into(),
        colours: Default::default(),
        lines: Default::default(),
        nodes: vec![Node::Mark(words(&fonts, Kind::Text, nasty, FaceStyle::Semibold, 0.0, 10.0))],
    };
    parse(&write(&hostile, &fonts));
    parse(&write_with(&hostile, &fonts, LIVE).expect("an SVG"));
}
