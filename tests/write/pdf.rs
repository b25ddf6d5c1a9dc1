use crate::fixture::{drawing, fonts, page, words};
use flamacue::drawing::{
    Drawing, Kind, Mark, Node, Page, Picture, PictureForm, PixelFormat, Shape,
};
use flamacue::font::FaceStyle;
use flamacue::write::{pdf, svg};
use kurbo::Rect;
use lopdf::{Document, Object};
use std::sync::Arc;

fn written() -> Vec<u8> {
    let fonts = fonts();
    pdf::write(&drawing(&fonts), &fonts).expect("a PDF")
}

fn text_of(entry: &Object) -> String {
    let bytes = entry.as_str().expect("a string");
    let units: Vec<u16> =
        bytes[2..].chunks(2).map(|pair| u16::from_be_bytes([pair[0], pair[1]])).collect();
    String::from_utf16(&units).expect("UTF-16")
}

#[test]
fn the_file_says_what_it_is_and_not_when() {
    let bytes = written();
    let document = Document::load_mem(&bytes).expect("a PDF lopdf reads");
    let info = document.trailer.get(b"Info").and_then(Object::as_reference).expect("information");
    let info = document.get_dictionary(info).expect("information");
    assert_eq!(text_of(info.get(b"Title").expect("a title")), "Fiddle & “flam”");
    assert_eq!(text_of(info.get(b"Author").expect("an author")), "Tamsin Orrery");
    let mut keys: Vec<_> = info.iter().map(|(key, _)| String::from_utf8_lossy(key)).collect();
    keys.sort();
    assert_eq!(keys, ["Author", "Producer", "Title"]);
    assert!(document.trailer.get(b"ID").is_err());
    let catalog = document.catalog().expect("a catalogue");
    assert_eq!(catalog.get(b"Lang").and_then(Object::as_str).expect("a language"), b"en");
}

#[test]
fn every_face_is_an_embedded_subset() {
    let bytes = written();
    let document = Document::load_mem(&bytes).expect("a PDF lopdf reads");
    let mut names = Vec::new();
    for object in document.objects.values() {
        let Ok(descriptor) = object.as_dict() else { continue };
        if descriptor.get(b"Type").and_then(Object::as_name).ok() != Some(b"FontDescriptor") {
            continue;
        }
        let name = descriptor.get(b"FontName").and_then(Object::as_name).expect("a name");
        let name = String::from_utf8_lossy(name).into_owned();
        let (tag, face) = name.split_once('+').expect("a subset tag");
        assert!(tag.len() == 6 && tag.chars().all(|c| c.is_ascii_uppercase()), "{name}");
        names.push(face.to_owned());
        assert!(
            descriptor.get(b"FontFile2").is_ok() || descriptor.get(b"FontFile3").is_ok(),
            "{name} is not embedded"
        );
    }
    names.sort();
    assert_eq!(
        names,
        [
            "Calfskin-Regular",
            "LibertinusSerif-Italic",
            "LibertinusSerif-Regular",
            "LibertinusSerif-Semibold"
        ]
    );
    assert!(bytes.len() < 30_000, "{} bytes", bytes.len());
}

/// Counts and stickings stand note by note in the drawing.
#[test]
fn rows_of_a_line_of_music_are_read_one_after_the_other() {
    let bytes = written();
    let document = Document::load_mem(&bytes).expect("a PDF lopdf reads");
    let id = document.page_iter().next().expect("a page");
    let content = document.get_and_decode_page_content(id).expect("content");
    // Baselines of words in the order written: title, counts, stickings, prose.
    let (mut y, mut baselines) = (0.0, Vec::new());
    for op in content.operations.iter().skip_while(|op| op.operator != "EMC") {
        match op.operator.as_str() {
            "BT" => y = 0.0,
            "Td" => {
                y += op.operands[1].as_float().expect("a number");
                baselines.push(y);
            }
            _ => {}
        }
    }
    let mut falling = baselines.clone();
    falling.sort_by(|a, b| b.total_cmp(a));
    falling.dedup();
    assert_eq!(falling, [65.0, 50.0, 25.0, 10.0]);
    assert!(baselines.is_sorted_by(|a, b| a >= b), "{baselines:?}");
}

#[test]
fn a_row_is_said_as_one_and_ink_is_not_said() {
    let bytes = written();
    let document = Document::load_mem(&bytes).expect("a PDF lopdf reads");
    let id = document.page_iter().next().expect("a page");
    let content = document.get_and_decode_page_content(id).expect("content");
    let said: Vec<String> = content
        .operations
        .iter()
        .filter(|op| op.operator == "BDC")
        .filter_map(|op| {
            let span = op.operands[1].as_dict().expect("properties");
            span.get(b"ActualText").ok().map(text_of)
        })
        .collect();
    // Ink of the system; counts; stickings.
    assert_eq!(said, ["", "1 & 2", "R L R"]);
}

/// ISO 32000-1, 14.7: a figure says what it shows, and its marked content leads back to it.
#[test]
fn a_block_is_a_figure_that_says_its_music() {
    let document = Document::load_mem(&written()).expect("a PDF lopdf reads");
    let catalog = document.catalog().expect("a catalogue");
    let marked = catalog.get(b"MarkInfo").and_then(Object::as_dict).expect("marks");
    assert!(marked.get(b"Marked").and_then(Object::as_bool).expect("whether"));
    let kinds: Vec<(String, Option<String>)> = document
        .objects
        .values()
        .filter_map(|object| object.as_dict().ok())
        // The type of an element need not be said.
        .filter(|dict| [&b"S"[..], b"P", b"K"].iter().all(|key| dict.has(key)))
        .map(|dict| {
            let kind = dict.get(b"S").and_then(Object::as_name).expect("a kind");
            let said = dict.get(b"Alt").ok().map(text_of);
            (String::from_utf8_lossy(kind).into_owned(), said)
        })
        .collect();
    let said = Some("Fiddle & “flam”. Count 1 and 2.".to_owned());
    assert!(kinds.contains(&("Figure".into(), said)), "{kinds:?}");
    assert_eq!(kinds.iter().filter(|(kind, _)| kind == "P").count(), 2);
}

#[test]
fn the_same_drawing_gives_the_same_bytes() {
    assert!(written() == written());
}

#[test]
fn a_drawing_without_pages_or_ink_is_still_a_file() {
    let fonts = fonts();
    for pages in [
        vec![],
        vec![Page {
            width: 10.0,
            height: 10.0,
            name: "".into(),
            colours: Default::default(),
            nodes: vec![],
            lines: Default::default(),
        }],
    ] {
        let drawing = Drawing { pages, ..Drawing::default() };
        let bytes = pdf::write(&drawing, &fonts).expect("a PDF");
        let document = Document::load_mem(&bytes).expect("a PDF lopdf reads");
        assert_eq!(document.get_pages().len(), drawing.pages.len());
    }
}

#[test]
fn every_page_has_its_own_content_and_size_and_all_share_their_faces() {
    let fonts = fonts();
    let sized = |nth: u32| {
        let own = words(&fonts, Kind::Text, "own", FaceStyle::Regular, f64::from(nth), 50.0);
        Page { width: 200.0 + f64::from(nth), nodes: vec![Node::Mark(own)], ..page(&fonts) }
    };
    let drawing = Drawing { pages: (1..=3).map(sized).collect(), ..Drawing::default() };
    let bytes = pdf::write(&drawing, &fonts).expect("a PDF");
    let document = Document::load_mem(&bytes).expect("a PDF lopdf reads");
    let pages = document.get_pages();
    assert_eq!(pages.keys().copied().collect::<Vec<u32>>(), [1, 2, 3]);
    let mut faces = Vec::new();
    for (number, id) in pages {
        let page = document.get_dictionary(id).expect("a page");
        let sheet = page.get(b"MediaBox").and_then(Object::as_array).expect("its size");
        assert_eq!(sheet[2].as_float().expect("its width"), 200.0 + number as f32);
        let content = document.get_and_decode_page_content(id).expect("content lopdf reads");
        let placed = content.operations.iter().find(|own| own.operator == "Td").expect("words");
        assert_eq!(placed.operands[0].as_float().expect("their place"), number as f32);
        faces.push(page.get(b"Resources").and_then(Object::as_reference).expect("its faces"));
        // It is in the file before anything is known that stands beside pages.
        let content = page.get(b"Contents").and_then(Object::as_reference);
        assert_eq!(content.expect("its content"), (number, 0));
    }
    faces.dedup();
    assert_eq!(faces.len(), 1);
    let file = String::from_utf8_lossy(&bytes);
    let begun: Vec<&str> =
        file.split(" 0 obj\n").map(|own| own.lines().last().unwrap_or("")).collect();
    assert!(begun.starts_with(&["1", "2", "3"]), "in their order");
}

#[test]
fn a_page_with_a_picture_names_it_and_has_the_faces_of_all() {
    let fonts = fonts();
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, 1, 1);
    encoder.set_color(png::ColorType::Grayscale);
    let mut writer = encoder.write_header().expect("a PNG");
    writer.write_image_data(&[128]).expect("a PNG");
    writer.finish().expect("a PNG");
    let form =
        PictureForm::Pixels { format: PixelFormat::Png, pixels: (1, 1), bytes: bytes.into() };
    let picture = Arc::new(Picture { width: 20.0, height: 20.0, form });
    let shape = Shape::Picture { picture, area: Rect::new(10.0, 10.0, 30.0, 30.0) };
    let word = words(&fonts, Kind::Text, "own", FaceStyle::Regular, 5.0, 50.0);
    let shown = Mark { shape, ..word.clone() };
    let of = |nodes: Vec<Node>| Page { nodes, ..page(&fonts) };
    let pages =
        vec![of(vec![Node::Mark(word.clone())]), of(vec![Node::Mark(word), Node::Mark(shown)])];
    let drawing = Drawing { pages, ..Drawing::default() };
    let bytes = pdf::write(&drawing, &fonts).expect("a PDF");
    let document = Document::load_mem(&bytes).expect("a PDF lopdf reads");
    let resources = document.get_pages().into_values().map(|id| {
        let page = document.get_dictionary(id).expect("a page");
        let (_, own) =
            document.dereference(page.get(b"Resources").expect("resources")).expect("them");
        own.as_dict().expect("resources").clone()
    });
    let resources: Vec<lopdf::Dictionary> = resources.collect();
    let pictures = |own: &lopdf::Dictionary| {
        let (_, named) =
            document.dereference(own.get(b"XObject").expect("pictures")).expect("them");
        named.as_dict().expect("pictures").len()
    };
    assert_eq!(resources.iter().map(pictures).collect::<Vec<_>>(), [0, 1]);
    assert_eq!(
        resources[0].get(b"Font").expect("faces"),
        resources[1].get(b"Font").expect("faces")
    );
}

#[test]
fn words_of_any_script_are_written() {
    let fonts = fonts();
    for text in ["", "שלום", "日本", "e\u{301}\u{302}", "\u{0}\u{1b}()\\", "𝄞"] {
        let mark = words(&fonts, Kind::Text, text, FaceStyle::Regular, f64::NAN, 1e12);
        let nodes = vec![Node::Mark(mark)];
        let page = Page {
            width: 10.0,
            height: 10.0,
            name: "".into(),
            colours: Default::default(),
            nodes,
            lines: Default::default(),
        };
        let drawing = Drawing { pages: vec![page], ..Drawing::default() };
        let bytes = pdf::write(&drawing, &fonts).expect("a PDF");
        let document = Document::load_mem(&bytes).expect("a PDF lopdf reads");
        let id = document.page_iter().next().expect("a page");
        document.get_and_decode_page_content(id).expect("content lopdf reads");
    }
}

/// Leaves the drawing as files for `tests/outside/pdf_check.py`.
#[test]
fn files_for_the_outside_check() {
    let fonts = fonts();
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"));
    std::fs::write(folder.join("drawing.pdf"), written()).expect("a file");
    std::fs::write(folder.join("drawing.svg"), svg::write(&page(&fonts), &fonts)).expect("a file");
    let live = svg::SvgOptions { live_text: true };
    let live = svg::write_with(&page(&fonts), &fonts, live).expect("an SVG");
    std::fs::write(folder.join("drawing-live.svg"), live).expect("a file");
    let map = crate::svg::grey_map(&page(&fonts), &fonts);
    // Four pixels to the point of the PDF, which is compared with it.
    let head = b"P5 800 640 255\n";
    assert!(map.starts_with(head) && map.len() == head.len() + 800 * 640);
    assert!(map[head.len()..].contains(&0), "no black pixel");
    std::fs::write(folder.join("drawing.pgm"), map).expect("a file");
}

#[test]
fn outline_links_and_metadata() {
    let document = Document::load_mem(&written()).expect("a PDF");
    let catalog = document.catalog().expect("a catalog");
    let outlines = catalog.get_deref(b"Outlines", &document).and_then(Object::as_dict);
    let first = outlines.and_then(|o| o.get_deref(b"First", &document)).and_then(Object::as_dict);
    let first = first.expect("an entry");
    assert_eq!(
        lopdf::decode_text_string(first.get(b"Title").expect("words")).ok().as_deref(),
        Some("Häuser")
    );
    let (_, page) = document.get_pages().into_iter().next().expect("a page");
    let target = first.get(b"Dest").and_then(Object::as_array).expect("a place");
    assert_eq!(target[0].as_reference().ok(), Some(page));
    let links =
        document.get_dictionary(page).and_then(|p| p.get(b"Annots")).and_then(Object::as_array);
    assert_eq!(links.map(Vec::len).ok(), Some(1));
    let xmp = catalog.get_deref(b"Metadata", &document).and_then(Object::as_stream).expect("XMP");
    let xmp = String::from_utf8(xmp.content.clone()).expect("UTF-8, not compressed");
    let tree = resvg::usvg::roxmltree::Document::parse(&xmp).expect("XML");
    let said = |name: &str| {
        let node = tree.descendants().find(|n| n.tag_name().name() == name)?;
        let words = node.descendants().filter(|n| n.is_text()).filter_map(|n| n.text());
        Some(words.collect::<String>().trim().to_owned())
    };
    assert_eq!(said("title").as_deref(), Some("Fiddle & “flam”"));
    assert_eq!(said("creator").as_deref(), Some("Tamsin Orrery"));
    assert_eq!(said("CreateDate"), None);
    let fonts = fonts();
    let options = pdf::PdfOptions { date: Some(951_782_400), ..pdf::PdfOptions::default() };
    let dated = pdf::write_with(&drawing(&fonts), &fonts, &options).expect("a PDF");
    let dated = Document::load_mem(&dated).expect("a PDF");
    let info =
        dated.trailer.get_deref(b"Info", &dated).and_then(Object::as_dict).expect("its info");
    let made = info.get(b"CreationDate").and_then(Object::as_str).expect("a date");
    assert_eq!(made, b"D:20000229000000Z");
}
