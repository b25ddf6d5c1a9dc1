use crate::room::{FAULTY, GOOD, Room};
use resvg::usvg::roxmltree::Document;

const PDF: &[u8] = b"%PDF-1.7";

#[test]
fn a_pdf_beside_the_file() {
    let room = Room::new("beside");
    room.put("tide.flam", GOOD);
    let ended = room.run(&["build", "tide.flam"]);
    assert_eq!((ended.status, ended.err.as_str()), (0, ""));
    assert_eq!(room.names(), ["tide.flam", "tide.pdf"]);
    assert!(room.get("tide.pdf").starts_with(PDF));
}

#[test]
fn the_ending_is_the_format() {
    let room = Room::new("ending");
    room.put("tide.flam", GOOD);
    for out in ["a.pdf", "a.svg", "a.json", "a.mid", "a.wav", "a.flac", "a.cues.json"] {
        assert_eq!(room.run(&["build", "tide.flam", "-o", out]).status, 0, "{out}");
    }
    let names =
        ["a.cues.json", "a.flac", "a.json", "a.mid", "a.pdf", "a.svg", "a.wav", "tide.flam"];
    assert_eq!(room.names(), names);
    assert_eq!(room.get("a.mid").get(..4), Some(&b"MThd"[..]));
    let svg = String::from_utf8(room.get("a.svg")).expect("UTF-8");
    Document::parse(&svg).expect("XML");
    let json: serde_json::Value = serde_json::from_slice(&room.get("a.json")).expect("JSON");
    assert_eq!(json["format"], "flamacue-drawing");
    let ended = room.run(&["build", "tide.flam", "-o", "a.doc"]);
    assert_eq!(ended.status, 2);
    let endings = ".pdf, .svg, .png, .html, .epub, .flac, .wav, .mid, .json or .cues.json";
    assert!(ended.err.contains(endings), "{}", ended.err);
}

#[test]
fn a_picture_of_each_block() {
    let room = Room::new("each");
    room.put("tide.flam", GOOD);
    assert_eq!(room.run(&["build", "tide.flam", "--each", "-o", "web"]).status, 0);
    assert_eq!(room.names(), ["tide.flam", "web"]);
    let pictures = std::fs::read_dir(room.path("web")).expect("a folder").count();
    assert_eq!(pictures, 2);
    let svg = String::from_utf8(room.get("web/tide-slip.svg")).expect("UTF-8");
    let document = Document::parse(&svg).expect("XML");
    let title = document.root_element().first_element_child().and_then(|node| node.text());
    assert_eq!(title.map(|title| title.contains("Off the slip")), Some(true));
}

#[test]
fn pictures_are_named_by_the_printed_numbers() {
    let room = Room::new("numbers");
    let groove = "groove\n  hat x x x x\n\n";
    let fill = "fill\n  play s s s s\n\n";
    room.put("a.flam", format!("{groove}{fill}{groove}{fill}"));
    room.put("b.flam", format!("numbers: by chapter\n\n# One\n\n{fill}# Two\n\n{fill}{fill}"));
    assert_eq!(room.run(&["build", "a.flam", "b.flam", "--each"]).status, 0);
    let pictures: Vec<String> = room.names().into_iter().filter(|n| n.ends_with("svg")).collect();
    assert_eq!(
        pictures,
        [
            "a-1.svg",
            "a-2.svg",
            "a-groove-1.svg",
            "a-groove-3.svg",
            "b-1.1.svg",
            "b-2.1.svg",
            "b-2.2.svg"
        ]
    );
}

#[test]
fn an_unknown_style_says_how_styles_are_chosen() {
    let room = Room::new("styles");
    room.put("tide.flam", GOOD);
    let ended = room.run(&["build", "tide.flam", "--style", "screen"]);
    assert_eq!(ended.status, 2);
    assert!(ended.err.contains("write `style: screen` at the head of tide.flam"), "{}", ended.err);
    let ended = room.run(&["build", "tide.flam", "--style", "poster"]);
    assert_eq!(ended.status, 2);
    for word in ["`handout`", "`stand`", "`book`", "`screen`", "`style: stand`"] {
        assert!(ended.err.contains(word), "{word}: {}", ended.err);
    }
    assert_eq!(room.names(), ["tide.flam"]);
}

#[test]
fn words_stay_words_where_asked() {
    let room = Room::new("words");
    room.put("tide.flam", GOOD);
    assert_eq!(room.run(&["build", "tide.flam", "-o", "a.svg", "--svg-text"]).status, 0);
    let svg = String::from_utf8(room.get("a.svg")).expect("UTF-8");
    assert!(svg.contains("Low Tide</text>") && svg.contains("@font-face"));
    assert_eq!(room.run(&["build", "tide.flam", "--svg-text"]).status, 2);
}

#[test]
fn standard_input_becomes_standard_output() {
    let room = Room::new("standard");
    let ended = room.run_with(&["build", "-"], GOOD.as_bytes());
    assert_eq!((ended.status, ended.err.as_str()), (0, ""));
    assert!(ended.out.starts_with(PDF));
    assert_eq!(room.run_with(&["build", "-", "-o", "a.svg"], GOOD.as_bytes()).status, 0);
    assert_eq!(room.names(), ["a.svg"]);
}

#[test]
fn the_same_file_gives_the_same_bytes() {
    let room = Room::new("same");
    room.put("tide.flam", GOOD);
    for out in ["a.pdf", "b.pdf", "a.svg", "b.svg", "a.json", "b.json"] {
        assert_eq!(room.run(&["build", "tide.flam", "-o", out]).status, 0, "{out}");
    }
    for ending in ["pdf", "svg", "json"] {
        assert!(room.get(&format!("a.{ending}")) == room.get(&format!("b.{ending}")), "{ending}");
    }
}

/// Blocks are engraved and pages compressed on all processors; what comes out does not tell on how
/// many.
#[test]
fn any_number_of_processors_gives_the_same_bytes() {
    let room = Room::new("processors");
    let mut text = String::from("title: Low Tide\npage: A5\ncontents: exercises\n");
    for number in 0..300 {
        let columns = 1 + number % 3;
        let beat = ["S.ss", "t.tt", "m.mm", "C+k"][number % 4];
        text += &format!("\nfill no-{number} \"Wave {number}\"\n  columns: {columns}\n");
        text += &format!("  play   {beat} t.tt {beat} C+k\n");
        if number % 7 == 0 {
            text += &format!("\nA wave like @no-{} comes back.\n", (number * 11) % 300);
        }
    }
    room.put("tide.flam", &text);
    for ending in ["pdf", "svg", "json", "html", "epub"] {
        let name = |threads: &str| format!("{threads}.{ending}");
        for threads in ["1", "2", "7"] {
            let environment = [("RAYON_NUM_THREADS", threads)];
            let out = name(threads);
            let arguments = ["build", "tide.flam", "-o", &out];
            let ended = room.run_in(&environment, &arguments, b"");
            assert_eq!(ended.status, 0, "{}", ended.err);
        }
    }
    let names = room.names();
    assert!(names.len() > 50, "one SVG for each page");
    for name in names.iter().filter(|name| name.starts_with('1')) {
        let bytes = room.get(name);
        for threads in ["2", "7"] {
            let other = name.replacen('1', threads, 1);
            assert!(room.get(&other) == bytes, "{name} and {other}");
        }
    }
}

#[test]
fn a_fault_stops_everything_and_harms_nothing() {
    let room = Room::new("fault");
    room.put("good.flam", GOOD);
    room.put("bad.flam", FAULTY);
    room.put("bad.pdf", "the last good one");
    let ended = room.run(&["build", "good.flam", "bad.flam"]);
    assert_eq!(ended.status, 1, "{}", ended.err);
    assert!(ended.err.contains("[1/2] good.flam") && ended.err.contains("[2/2] bad.flam"));
    assert!(ended.err.contains("nothing was written"), "{}", ended.err);
    assert_eq!(room.names(), ["bad.flam", "bad.pdf", "good.flam"]);
    assert_eq!(room.get("bad.pdf"), b"the last good one");
    assert!(!ended.err.contains('\u{1b}'), "colours only on a terminal");
}

#[test]
fn many_files_go_into_a_folder() {
    let room = Room::new("many");
    room.put("one.flam", GOOD);
    room.put("two.flam", GOOD);
    let ended = room.run(&["build", "one.flam", "two.flam", "-o", "printed/"]);
    assert_eq!(ended.status, 0, "{}", ended.err);
    assert!(ended.err.ends_with("2 files written\n"), "{}", ended.err);
    assert!(room.get("printed/one.pdf").starts_with(PDF));
    assert!(room.get("printed/two.pdf").starts_with(PDF));
    assert_eq!(room.run(&["build", "one.flam", "two.flam", "-o", "all.pdf"]).status, 2);
}

#[test]
fn what_cannot_be_read_or_written_is_status_2() {
    let room = Room::new("unreadable");
    room.put("tide.flam", GOOD);
    room.put("latin.flam", b"title: Caf\xe9\n");
    std::fs::create_dir(room.path("folder.pdf")).expect("a folder");
    for (arguments, says) in [
        (&["build", "none.flam"][..], "can't read none.flam"),
        (&["build", "latin.flam"], "line 1 is not UTF-8"),
        (&["build", "tide.flam", "-o", "no/such/a.pdf"], "can't write no/such/a.pdf"),
        (&["build", "tide.flam", "-o", "tide.flam"], "does not say what to write"),
        (&["build"], "Usage"),
        (&["build", "tide.flam", "--music-font", "a.otf"], "--music-metadata"),
        (&["press", "tide.flam"], "press"),
    ] {
        let ended = room.run(arguments);
        assert_eq!(ended.status, 2, "{arguments:?}: {}", ended.err);
        assert!(ended.err.contains(says), "{arguments:?}: {}", ended.err);
    }
    assert_eq!(room.names(), ["folder.pdf", "latin.flam", "tide.flam"]);
}

#[cfg(unix)]
#[test]
fn links_and_permissions_outlive_a_build() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let room = Room::new("links");
    room.put("tide.flam", GOOD);
    room.put("real.pdf", "old");
    let mode = std::fs::Permissions::from_mode(0o640);
    std::fs::set_permissions(room.path("real.pdf"), mode).expect("a mode");
    symlink("real.pdf", room.path("link.pdf")).expect("a link");
    assert_eq!(room.run(&["build", "tide.flam", "-o", "link.pdf"]).status, 0);
    assert!(room.path("link.pdf").is_symlink());
    assert!(room.get("real.pdf").starts_with(PDF));
    let mode = std::fs::metadata(room.path("real.pdf")).expect("a file").permissions().mode();
    assert_eq!(mode & 0o777, 0o640);
}

#[test]
fn another_music_font() {
    let room = Room::new("music");
    room.put("tide.flam", GOOD);
    let root = env!("CARGO_MANIFEST_DIR");
    let font = format!("{root}/fonts/calfskin/Calfskin.ttf");
    room.put("bare.json", r#"{"fontName": "Bare"}"#);
    let with = |font: &str, metadata: &str| {
        room.run(&[
            "build",
            "tide.flam",
            "--music-font",
            font,
            "--music-metadata",
            metadata,
            "-o",
            "a.svg",
        ])
    };
    let ended = with(&font, "bare.json");
    assert_eq!(ended.status, 0, "{}", ended.err);
    let ended = with("tide.flam", "bare.json");
    assert_eq!(ended.status, 2);
    assert!(ended.err.contains("the music font cannot be read"), "{}", ended.err);
}

/// Width and height from the header of a PNG (ISO/IEC 15948, 11.2.2), and the upper left pixel.
fn png_size(png: &[u8]) -> (u32, u32) {
    assert_eq!(&png[..8], b"\x89PNG\r\n\x1a\n");
    let number = |at: usize| u32::from_be_bytes(png[at..at + 4].try_into().expect("four bytes"));
    (number(16), number(20))
}

#[test]
fn pictures_of_any_size() {
    let room = Room::new("png");
    room.put("tide.flam", GOOD);
    // A4 is 793.7 by 1122.5 at 96 pixels an inch.
    for (scale, size) in [("1", (794, 1123)), ("0.5", (397, 562))] {
        let ended = room.run(&["build", "tide.flam", "-o", "a.png", "--scale", scale]);
        assert_eq!((ended.status, ended.err.as_str()), (0, ""));
        assert_eq!(png_size(&room.get("a.png")), size);
    }
    for transparent in [false, true] {
        let mut words = vec!["build", "tide.flam", "-o", "b.png"];
        words.extend(transparent.then_some("--transparent"));
        assert_eq!(room.run(&words).status, 0);
        let pixels = resvg::tiny_skia::Pixmap::decode_png(&room.get("b.png")).expect("a picture");
        let corner = pixels.pixel(0, 0).expect("a corner");
        assert_eq!(corner.alpha(), if transparent { 0 } else { 255 });
        let black = pixels.pixels().iter().filter(|p| p.alpha() == 255 && p.red() == 0).count();
        assert!(black > 1000, "{black} black pixels");
    }
    assert_eq!(room.run(&["build", "tide.flam", "--each", "--png", "-o", "web"]).status, 0);
    assert!(png_size(&room.get("web/tide-slip.png")).0 > 100);
    assert_eq!(room.run(&["build", "tide.flam", "--scale", "3"]).status, 2);
    assert_eq!(room.run(&["build", "tide.flam", "-o", "a.png", "--scale", "0"]).status, 2);
}

#[test]
fn a_web_page_that_needs_nothing_else() {
    let room = Room::new("html");
    room.put("tide.flam", GOOD);
    assert_eq!(room.run(&["build", "tide.flam", "-o", "a.html"]).status, 0);
    let page = String::from_utf8(room.get("a.html")).expect("UTF-8");
    assert!(page.contains("<h1>Low Tide</h1>") && page.contains("<p>Play softly.</p>"));
    assert!(page.contains("Off the slip. Bar 1: count 1 and a 2"), "the text alternative");
    assert_eq!(page.matches("<figure").count(), 2);
    for width in ["w1", "w2", "w3"] {
        assert_eq!(page.matches(&format!("<svg class=\"{width}\"")).count(), 2);
    }
    // By the name of SVG's namespace the page's own script makes elements; it is no address.
    let own = page.replace("'http://www.w3.org/2000/svg'", "");
    assert!(!own.contains("http:") && !own.contains("https:"));
    // What moves and what moves it stand in the page, and nothing may be loaded.
    let scripts: Vec<&str> = page.split("<script").skip(1).collect();
    assert_eq!(scripts.len(), 2);
    assert!(scripts.iter().all(|own| !own.split('>').next().unwrap_or("").contains("src")));
    let policy = "http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; ";
    assert!(page.contains(policy));
    room.put("high.flam", FAULTY);
    assert_eq!(room.run(&["build", "high.flam", "-o", "b.html"]).status, 1);
    assert!(!room.names().contains(&"b.html".to_owned()));
}

#[test]
fn a_pdf_for_the_printer() {
    let room = Room::new("printer");
    room.put("tide.flam", format!("{GOOD}\n# Deep water\n\nMore.\n"));
    let words = ["build", "tide.flam", "-o", "a.pdf", "--bleed", "3", "--crop-marks", "--cmyk"];
    let ended = room.run(&words);
    assert_eq!((ended.status, ended.err.as_str()), (0, ""));
    let document = lopdf::Document::load_mem(&room.get("a.pdf")).expect("a PDF");
    let (_, id) = document.get_pages().into_iter().next().expect("a page");
    let page = document.get_dictionary(id).expect("its dictionary");
    let edges = |name: &str| -> Vec<f32> {
        let sides = page.get(name.as_bytes()).and_then(lopdf::Object::as_array).expect("a box");
        sides.iter().map(|side| side.as_float().expect("a number")).collect()
    };
    // A4 trimmed; 3 mm are 8.504 points, and marks of 5 mm begin outside of them.
    let near = |a: &[f32], b: [f32; 4]| a.iter().zip(b).all(|(a, b)| (a - b).abs() < 0.01);
    assert!(near(&edges("TrimBox"), [0.0, 0.0, 595.276, 841.89]));
    assert!(near(&edges("BleedBox"), [-8.504, -8.504, 603.78, 850.394]));
    assert!(near(&edges("MediaBox"), [-22.677, -22.677, 617.953, 864.567]));
    let ink = document.get_page_content(id);
    let ink = lopdf::content::Content::decode(&ink).expect("operators");
    let colours: Vec<&str> = ink.operations.iter().map(|o| o.operator.as_str()).collect();
    assert!(colours.contains(&"k"));
    assert!(!colours.iter().any(|o| ["g", "G", "rg", "RG", "K", "gs"].contains(o)));
    for operation in ink.operations.iter().filter(|o| o.operator == "k") {
        let colour: Vec<f32> =
            operation.operands.iter().map(|c| c.as_float().expect("a number")).collect();
        assert_eq!(colour[..3], [0.0; 3]);
    }
    assert_eq!(room.run(&["build", "tide.flam", "-o", "a.svg", "--cmyk"]).status, 2);
}

#[test]
fn a_booklet_has_two_pages_on_a_side() {
    let room = Room::new("booklet");
    let blocks = "fill\n  play s s s s\n\n".repeat(30);
    room.put("b.flam", format!("page: a5\n\n{blocks}"));
    assert_eq!(room.run(&["build", "b.flam", "-o", "flat.pdf"]).status, 0);
    assert_eq!(room.run(&["build", "b.flam", "-o", "folded.pdf", "--booklet"]).status, 0);
    let pages = |name: &str| lopdf::Document::load_mem(&room.get(name)).expect("a PDF").get_pages();
    let (flat, folded) = (pages("flat.pdf").len(), pages("folded.pdf").len());
    assert!(flat > 4);
    assert_eq!(folded, flat.next_multiple_of(4) / 2);
}

#[test]
fn a_font_of_the_file_mends_a_missing_character() {
    let room = Room::new("own-font");
    let text = "title: A head \u{E0A4} of its own // \u{E0A5}\n\nfill\n  play  s s s s\n";
    room.put("a.flam", text);
    let told = room.run(&["build", "a.flam"]);
    let errors = &told.err;
    assert!(errors.contains("U+E0A4") && errors.contains("a.flam:1:15"), "{errors}");
    assert!(errors.contains("Libertinus Serif") && !errors.contains("U+E0A5"), "{errors}");
    room.put("own.ttf", include_bytes!("../../fonts/calfskin/Calfskin.ttf"));
    room.put("b.flam", format!("text-font: \"own.ttf\"\n{text}"));
    for output in ["b.pdf", "b.svg", "b.html"] {
        let told = room.run(&["build", "b.flam", "-o", output]);
        assert!(told.err.is_empty(), "{}", told.err);
    }
    assert!(room.run(&["check", "b.flam"]).err.lines().all(|line| !line.contains("U+")));
    // Blank lines and capitals before the key change nothing.
    room.put("d.flam", format!("\n\nText-Font: own.ttf\n{text}"));
    let told = room.run(&["build", "d.flam", "-o", "d.svg"]);
    assert!(told.err.is_empty(), "{}", told.err);
    room.put("c.flam", format!("\ntext-font: nowhere.otf\n{text}  right  q\n"));
    let told = room.run(&["build", "c.flam"]);
    let both = told.err.contains("c.flam:2:12") && told.err.contains("c.flam:7:");
    assert!(both && !room.path("c.pdf").exists(), "{}", told.err);
}
