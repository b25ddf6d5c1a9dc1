//! Music and text faces.

#![allow(clippy::expect_used, reason = "a test stops at the first surprise")]

use flamacue::font::{Anchor, FaceStyle, Fonts, Glyph, GlyphRun, MusicFont, TextFonts};
use kurbo::Shape;

const CALFSKIN: &[u8] = include_bytes!("../fonts/calfskin/Calfskin.ttf");

#[test]
fn calfskin_has_every_glyph_with_ink_in_its_box() {
    let font = MusicFont::calfskin().expect("the built-in font reads");
    for glyph in Glyph::ALL.iter().copied() {
        assert!(font.has(glyph), "no {}", glyph.name());
        let ink = font.outline(glyph).bounding_box();
        let stated = font.bounds(glyph);
        for (side, a, b) in [
            ("left", ink.x0, stated.x0),
            ("top", ink.y0, stated.y0),
            ("right", ink.x1, stated.x1),
            ("bottom", ink.y1, stated.y1),
        ] {
            assert!((a - b).abs() < 0.02, "{} {side}: ink {a}, stated {b}", glyph.name());
        }
    }
}

/// SMuFL 1.4, "noteheads": the vertical centre lies on the baseline, stemUpSE is on the right
/// side above it and stemDownNW on the left side below it.
#[test]
fn anchors_are_turned_to_y_down() {
    let font = MusicFont::calfskin().expect("the built-in font reads");
    let up = font.anchor(Glyph::NOTEHEAD_BLACK, Anchor::StemUpSE).expect("an anchor");
    let down = font.anchor(Glyph::NOTEHEAD_BLACK, Anchor::StemDownNW).expect("an anchor");
    assert!(up.x > 1.0 && up.y < 0.0, "{up:?}");
    assert!(down.x < 0.2 && down.y > 0.0, "{down:?}");
    let flag = font.bounds(Glyph::FLAG_8TH_UP);
    assert!(flag.y1 > 1.0, "an upward stem's flag hangs down: {flag:?}");
}

#[test]
fn a_foreign_font_is_measured_from_its_outlines_and_completed_from_calfskin() {
    let own = MusicFont::calfskin().expect("the built-in font reads");
    let metadata = r#"{"fontName": "Bare", "engravingDefaults":
        {"staffLineThickness": 0.2, "textFontFamily": ["serif"]}}"#;
    let bare = MusicFont::from_files(CALFSKIN.to_vec(), metadata).expect("a font");
    assert_eq!(bare.name(), "Bare");
    assert_eq!(bare.defaults().staff_line_thickness, 0.2);
    assert_eq!(bare.defaults().beam_thickness, own.defaults().beam_thickness);
    for glyph in [Glyph::NOTEHEAD_BLACK, Glyph::REST_QUARTER, Glyph::TIME_SIG_4] {
        let apart = (bare.bounds(glyph).center() - own.bounds(glyph).center()).hypot();
        assert!(apart < 0.02, "{}", glyph.name());
        assert!((bare.advance(glyph) - own.advance(glyph)).abs() < 0.01, "{}", glyph.name());
    }
    assert_eq!(bare.anchor(Glyph::NOTEHEAD_BLACK, Anchor::StemUpSE), None);
}

#[test]
fn damaged_fonts_are_refused_with_a_sentence() {
    let error = MusicFont::from_files(b"no font".to_vec(), "{}").expect_err("not a font");
    assert!(error.to_string().starts_with("the music font cannot be read"), "{error}");
    let error = MusicFont::from_files(CALFSKIN.to_vec(), "{").expect_err("not JSON");
    assert!(error.to_string().contains("metadata"), "{error}");
    let mad = r#"{"engravingDefaults": {"stemThickness": -3}}"#;
    let error = MusicFont::from_files(CALFSKIN.to_vec(), mad).expect_err("a negative stem");
    assert!(error.to_string().contains("stemThickness"), "{error}");
}

fn text() -> TextFonts {
    TextFonts::built_in().expect("the built-in faces read")
}

#[test]
fn faces_are_shared_between_threads() {
    fn is_shared<T: Send + Sync>() {}
    is_shared::<Fonts>();
}

#[test]
fn kerning_draws_letters_together() {
    let fonts = text();
    let apart =
        fonts.shape("A", FaceStyle::Regular).width + fonts.shape("V", FaceStyle::Regular).width;
    assert!(fonts.shape("AV", FaceStyle::Regular).width < apart - 0.02);
}

#[test]
fn ligatures_keep_their_letters() {
    let run = text().shape("a fiddle", FaceStyle::Regular);
    let words: Vec<&str> = run.glyph_words().map(|(_, words)| words).collect();
    assert_eq!(words, ["a", " ", "fi", "d", "d", "l", "e"]);
}

#[test]
fn accents_compose_and_keep_their_letters() {
    let run = text().shape("e\u{301}!", FaceStyle::Italic);
    let words: String = run.glyph_words().map(|(_, words)| words).collect();
    assert_eq!(words, "e\u{301}!");
    assert_eq!(run.glyphs().count(), 2, "the accent is part of the letter");
}

#[test]
fn words_of_any_script_come_back_whole() {
    let fonts = text();
    for words in ["", " ", "1 e & a", "שלום", "Ωδή", "flam → drag", "\u{200d}\u{fe0f}", "日本"]
    {
        for style in FaceStyle::ALL {
            let run = fonts.shape(words, style);
            let mut pieces: Vec<(usize, &str)> =
                run.glyph_words().map(|(glyph, words)| (glyph.cluster as usize, words)).collect();
            pieces.sort_by_key(|(cluster, _)| *cluster);
            let whole: String = pieces.into_iter().map(|(_, words)| words).collect();
            assert_eq!(whole, words);
        }
    }
}

#[test]
fn missing_characters_are_named_once() {
    let fonts = text();
    assert_eq!(fonts.missing("Flâm 日 and 日 or 𝄞"), ['日', '𝄞']);
    assert_eq!(fonts.missing("1 e & a — “quoted” ½ \u{ad}\t"), []);
}

/// Sentences with the letters that are rare elsewhere: Czech, Greek with accents, Vietnamese with two
/// marks on a letter, German quotes and sharp s.
const SENTENCES: [&str; 4] = [
    "Příliš žluťoučký kůň úpěl ďábelské ódy",
    "Ο καλύμνιος σφουγγαράς ψιθύρισε ΐ ΰ",
    "Đường phố vắng, trẻ thổi kèn, bữa tối nguội",
    "„Größer“ ‚süß‘ »Öl« ẞ",
];

#[test]
fn languages_of_europe_and_vietnamese_have_all_their_letters() {
    let fonts = text();
    for words in SENTENCES {
        assert_eq!(fonts.missing(words), []);
        for style in FaceStyle::ALL {
            let run = fonts.shape(words, style);
            assert!(run.glyphs().all(|glyph| glyph.id != 0), "{words} in {style:?}");
        }
    }
}

/// A face of one's own comes first; what it lacks is taken from the program's. The music font serves as
/// a face that has what no text face has, and lacks all letters.
#[test]
fn a_face_of_ones_own_mends_what_is_missing() {
    let head = '\u{E0A4}';
    let mut fonts = text();
    assert_eq!(fonts.missing("a \u{E0A4}"), [head]);
    fonts.prefer(&[("Calfskin.ttf".into(), CALFSKIN.to_vec())]).expect("a font");
    assert_eq!(fonts.missing("a \u{E0A4}"), []);
    let names = fonts.names();
    assert_eq!(names.first().map(String::as_str), Some("Calfskin"), "{names:?}");
    for style in FaceStyle::ALL {
        let run = fonts.shape("ab \u{E0A4}\u{301} c", style);
        assert!(run.glyphs().all(|glyph| glyph.id != 0), "{run:?}");
        let own: Vec<_> = run.glyphs().filter(|glyph| fonts.data(glyph.face) == CALFSKIN).collect();
        assert!(own.iter().any(|glyph| glyph.cluster == 3) && own.len() < run.glyphs().count());
        assert!(run.glyphs().is_sorted_by(|a, b| a.x <= b.x));
        let words: String = run.glyph_words().map(|(_, words)| words).collect();
        assert_eq!(words, "ab \u{E0A4}\u{301} c");
    }
    let error = fonts.prefer(&[("notes.txt".into(), b"no font".to_vec())]).expect_err("no font");
    assert_eq!(error.to_string(), "notes.txt cannot be read as a font");
}

/// Small letters are a little over two fifths of the em in book faces and capitals about two
/// thirds (common practice, no source).
#[test]
fn heights_are_those_of_a_book_face() {
    let fonts = text();
    for style in [FaceStyle::Regular, FaceStyle::Semibold, FaceStyle::Italic] {
        assert!((0.6..0.72).contains(&fonts.cap_height(style)), "{style:?}");
        assert!((0.4..0.5).contains(&fonts.x_height(style)), "{style:?}");
    }
}

#[test]
fn a_run_without_ink_has_an_empty_box() {
    let fonts = text();
    let run: &GlyphRun = &fonts.shape("   ", FaceStyle::Semibold);
    assert!(run.width > 0.5);
    assert!(fonts.outline(run).is_empty() || fonts.bounds(run).area() == 0.0);
}
