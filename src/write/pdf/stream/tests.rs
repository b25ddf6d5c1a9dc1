//! What a page's content looks like.

use super::super::glyphs::ShownGlyphs;
use super::*;

fn glyphs(array: &str, advance: i64) -> ShownGlyphs {
    ShownGlyphs { array: array.into(), advance, several: false }
}

fn written(write: impl Fn(&mut PageStream)) -> String {
    let content = || {
        let mut stream = PageStream::new(100.0, PageInk::Gray);
        write(&mut stream);
        stream.finish().0
    };
    assert_eq!(content(), content(), "the same content twice");
    String::from_utf8(content()).expect("ASCII")
}

#[test]
fn boxes_share_a_filling() {
    let beam = BezPath::from_svg("M0 0L4 0L4 1L0 1Z").expect("a path");
    let slanted = BezPath::from_svg("M0 0L4 1L4 2L0 1Z").expect("a path");
    let content = written(|stream| {
        stream.rectangle(Rect::new(1.0, 2.0, 3.0, 2.5));
        stream.polygon(&beam);
        stream.set_ink(Ink::Grey);
        stream.polygon(&slanted);
    });
    assert_eq!(
        content,
        "1 97.5 2 .5 re\n0 99 4 1 re\nf\n.45 g\n0 100 m\n4 99 l\n4 98 l\n0 99 l\nh\nf\n"
    );
}

#[test]
fn glyphs_of_a_baseline_share_an_array() {
    let font = FaceKey::Music;
    let head = glyphs("<0004>", 300);
    let content = written(|stream| {
        stream.show(font, 20.0, Point::new(10.0, 50.0), head.shown());
        stream.show(font, 20.0, Point::new(16.0, 50.0), head.shown());
        stream.show(font, 20.0, Point::new(30.0, 50.0), head.shown());
        stream.show(font, 20.0, Point::new(30.0, 45.0), head.shown());
        stream.rectangle(Rect::new(0.0, 0.0, 1.0, 1.0));
        stream.show(font, 20.0, Point::new(1.0, 1.0), head.shown());
    });
    assert_eq!(
        content,
        "BT\n/Music 20 Tf\n10 50 Td[<0004><0004>-400<0004>]TJ\n20 5 Td <0004>Tj\nET\n\
         0 99 1 1 re\nf\nBT\n1 99 Td <0004>Tj\nET\n"
    );
}

#[test]
fn spans_lie_in_text_and_content_around_it() {
    let content = written(|stream| {
        stream.begin_content("P", Some(3));
        stream.begin_text();
        stream.begin_reading("é𝄞");
        stream.show(FaceKey::Music, 1.5, Point::ZERO, glyphs("<0001>", 1).shown());
        stream.end_reading();
        stream.end_content();
    });
    assert_eq!(
        content,
        "/P <</MCID 3>>BDC\nBT\n/Span<</ActualText<FEFF00E9D834DD1E>>>BDC\n/Music 1.5 Tf\n\
         0 100 Td <0001>Tj\nEMC\nET\nEMC\n"
    );
}

#[test]
fn places_off_any_page_do_no_harm() {
    let far = [f64::NAN, f64::INFINITY, -1e300, 1e300];
    let content = written(|stream| {
        for x in far {
            stream.rectangle(Rect::new(x, x, 1.0, x));
            stream.show(FaceKey::Music, x, Point::new(x, 0.0), glyphs("<0001>", 1).shown());
            stream.show(FaceKey::Music, x, Point::new(-x, 0.0), glyphs("<0001>", 1).shown());
        }
    });
    assert!(!content.contains("inf") && !content.contains("NaN"));
}
