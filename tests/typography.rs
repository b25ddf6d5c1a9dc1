//! The page as a typographer sees it: sizes, what stands near what, and what is said once.

// Helpers outside of test functions may stop the test too.
#![allow(clippy::expect_used, clippy::unwrap_used, clippy::panic)]

mod built;

use built::{clean, marks, number_of, words_of};
use flamacue::drawing::{GroupKind, Kind, Page, Prose, Shape};
use flamacue::font::{FaceStyle, Fonts};

const MM: f64 = 72.0 / 25.4;

/// Words where they stand.
struct Words {
    said: String,
    kind: Kind,
    x: f64,
    y: f64,
    size: f64,
    face: FaceStyle,
}

struct Set {
    fonts: Fonts,
    pages: Vec<Page>,
}

fn set(text: &str) -> Set {
    let fonts = Fonts::built_in().expect("the built-in faces");
    let compiled = clean(&fonts, "typography", text).unwrap_or_else(|said| panic!("{said}"));
    Set { fonts, pages: compiled.drawing.pages }
}

impl Set {
    fn all(&self) -> Vec<Words> {
        let marks = self.pages.iter().flat_map(marks);
        marks
            .filter_map(|mark| match &mark.shape {
                Shape::Text { run, at, size } => Some(Words {
                    said: run.text.clone(),
                    kind: mark.kind,
                    x: at.x,
                    y: at.y,
                    size: *size,
                    face: run.style,
                }),
                _ => None,
            })
            .collect()
    }

    fn words(&self, said: &str) -> Words {
        let found = self.all().into_iter().find(|words| words.said == said);
        found.unwrap_or_else(|| panic!("there is no {said:?}"))
    }

    fn of(&self, kind: Kind) -> Vec<Words> {
        self.all().into_iter().filter(|words| words.kind == kind).collect()
    }

    /// The y of the top line of each staff.
    fn staves(&self) -> Vec<f64> {
        let lines: Vec<f64> = self
            .pages
            .iter()
            .flat_map(marks)
            .filter(|mark| mark.kind == Kind::StaffLine)
            .map(|mark| mark.shape.bounds(&self.fonts).y0)
            .collect();
        lines.chunks(5).map(|staff| staff.iter().copied().fold(f64::INFINITY, f64::min)).collect()
    }
}

const BAR: &str = "  play  ssss ssss ssss ssss\n";

#[test]
fn on_a_stand_prose_is_read_at_two_metres() {
    // Normal sight tells letters five minutes of arc high (ISO 8596, "Visual acuity testing", from
    // memory).
    let set = set("style: stand\n\nLook up.\n");
    let prose = set.words("Look up.");
    let high = set.fonts.text.x_height(FaceStyle::Regular) * prose.size / MM;
    assert!(high >= 2000.0 * (5.0_f64 / 60.0).to_radians().tan(), "{high} mm");
}

#[test]
fn words_grow_with_the_staff() {
    let sizes = |staff: &str| {
        let set = set(&format!(
            "staff-height: {staff} mm\n\nLook up.\n\nfill \"A\"\n{BAR}  stick RLRL RLRL RLRL RLRL\n"
        ));
        let size = |said: &str| set.words(said).size;
        (size("R"), size("Look up."))
    };
    let ((letter, prose), (larger, taller)) = (sizes("7"), sizes("14"));
    assert!((larger / letter - 2.0).abs() < 0.01, "letters at the staff: {letter} {larger}");
    assert!((taller / prose - 2.0_f64.sqrt()).abs() < 0.01, "prose: {prose} {taller}");
    // Neither vanishes on a small staff.
    let (letter, prose) = sizes("3");
    assert!(letter >= 8.0 && prose >= 9.0, "{letter} {prose}");
}

#[test]
fn margins_are_those_of_a_printer() {
    let set = set(&format!("columns: 1\n\n# A\n\n{}", format!("fill \"A\"\n{BAR}\n").repeat(24)));
    assert!(set.pages.len() > 1);
    for page in &set.pages {
        for mark in marks(page) {
            let ink = mark.shape.bounds(&set.fonts);
            assert!(ink.x0 >= 18.0 * MM && ink.x1 <= page.width - 18.0 * MM, "{ink:?}");
            assert!(ink.y0 >= 18.0 * MM && ink.y1 <= page.height - 12.0 * MM, "{ink:?}");
        }
    }
}

#[test]
fn a_heading_is_nearer_to_what_it_heads() {
    let text = format!(
        "Before.\n\n# One\n\nUnder one.\n\n## Two\n\nUnder two.\n\n## Three\n\nfill \"A\"\n{BAR}"
    );
    let set = set(&text);
    let y = |said: &str| set.words(said).y;
    for (over, heading, under) in [
        ("Before.", "One", "Under one."),
        ("Under one.", "Two", "Under two."),
        ("Under two.", "Three", "A"),
    ] {
        let (before, after) = (y(heading) - y(over), y(under) - y(heading));
        assert!(before > 1.4 * after, "{heading}: {before} over it, {after} under it");
    }
    let faces = ["One", "Two", "A"].map(|said| (set.words(said).face, set.words(said).size));
    assert_eq!(faces[0].0, FaceStyle::Semibold);
    assert_eq!(faces[1].0, FaceStyle::SemiboldItalic);
    assert_eq!(faces[2].0, FaceStyle::Semibold);
    assert!(faces[0].1 > faces[1].1 && faces[1].1 > faces[2].1, "{faces:?}");
}

#[test]
fn hands_feet_counts_and_words_are_told_apart() {
    let set =
        set("language: nl\n\ngroove\n  hat    x x x x\n  kick   xx . x .\n  stick  R R R R\n  \
                   pedal  RR . R .\n  say    | a b c d\n");
    let face = |kind: Kind, said: &str| {
        set.of(kind).iter().find(|words| words.said == said).map(|words| words.face)
    };
    assert_eq!(face(Kind::Sticking, "R"), Some(FaceStyle::Semibold));
    assert_eq!(face(Kind::Pedalling, "R"), Some(FaceStyle::SemiboldItalic));
    assert_eq!(face(Kind::Count, "1"), Some(FaceStyle::Semibold));
    assert_eq!(face(Kind::Count, "&"), Some(FaceStyle::Regular));
    // Each of the two rows of letters says whose they are, at the left.
    for (kind, label) in [(Kind::Sticking, "handen"), (Kind::Pedalling, "voeten")] {
        let row = set.of(kind);
        let label = row.iter().find(|words| words.said == label).expect(label);
        assert!(row.iter().all(|words| words.x >= label.x && words.y == label.y));
    }
    let alone = self::set("groove\n  hat    x x x x\n  stick  R R R R\n");
    assert!(alone.of(Kind::Sticking).iter().all(|words| words.said == "R"));
}

#[test]
fn the_beats_of_a_meter_are_heavier_and_nothing_else() {
    for (time, play, beats) in [
        ("6/8", "ssssss ssssss", vec!["1", "4"]),
        ("7/8", "s s s s s s s", vec!["1", "3", "5"]),
        ("4/4", "sssss s s s", vec!["1", "2", "3", "4"]),
    ] {
        let set = set(&format!("exercise\n  time: {time}\n  play  {play}\n"));
        let heavy = set.of(Kind::Count).into_iter();
        let heavy = heavy.filter(|words| words.face == FaceStyle::Semibold);
        let heavy: Vec<String> = heavy.map(|words| words.said).collect();
        assert_eq!(heavy, beats, "{time}");
    }
}

#[test]
fn titles_stand_under_each_other_whatever_their_numbers() {
    let set = set(&format!("counts: none\n\n{}", format!("fill \"A\"\n{BAR}\n").repeat(12)));
    let titles = set.of(Kind::Title);
    assert_eq!(titles.len(), 12);
    assert!(titles.iter().all(|title| title.x == titles[0].x));
    assert!(set.of(Kind::Number).iter().all(|number| number.face == FaceStyle::Regular));
}

#[test]
fn title_tempo_and_feel_have_one_order_on_one_line() {
    let head = "  tempo: 97 \"Loose\"\n  swing: eighths\n";
    let set = set(&format!("columns: 2\n\nfill \"Tall\"\n{head}{BAR}\nfill \"Low\"\n{BAR}"));
    let (title, loose, tempo) = (set.words("Tall"), set.words("Loose"), set.words("= 97"));
    assert!(title.x < loose.x && loose.x < tempo.x);
    assert!(title.y == loose.y && title.y == tempo.y && title.y == set.words("Low").y);
    let swing = set.pages.iter().flat_map(marks).filter(|mark| mark.kind == Kind::Swing);
    assert!(swing.map(|mark| mark.shape.bounds(&set.fonts).x0).all(|x| x > tempo.x));
    // Without a title it stands over the music.
    let bare = self::set(&format!("groove\n  tempo: 97 \"Loose\"\n{BAR}"));
    assert!(bare.words("Loose").y < bare.staves()[0]);
}

#[test]
fn a_grid_says_clef_time_and_tempo_once() {
    let bar = format!("exercise\n{BAR}\n");
    let grid = set(&format!("columns: 3\nstaff-height: 5 mm\ntempo: 80\n\n{}", bar.repeat(6)));
    let page = &grid.pages[0];
    assert_eq!(number_of(page, Kind::Clef), 2, "one for each row");
    assert_eq!(number_of(page, Kind::TimeSignature), 2, "the two figures of one");
    assert_eq!(words_of(page, Kind::Tempo), ["= 80"]);
    // A single bar in a grid ends with one thin line.
    assert_eq!(number_of(page, Kind::Barline), 6);
    // What changes is said.
    let other = "exercise\n  time: 3/4\n  tempo: 90\n  play  ssss ssss ssss\n\n";
    let changing = set(&format!("columns: 3\nstaff-height: 5 mm\ntempo: 80\n\n{bar}{other}{bar}"));
    let page = &changing.pages[0];
    assert_eq!(number_of(page, Kind::TimeSignature), 6);
    assert_eq!(words_of(page, Kind::Tempo), ["= 80", "= 90", "= 80"]);
    // Blocks that stand alone begin with everything.
    let alone = set(&format!("tempo: 80\n\n{}", bar.repeat(3)));
    let page = &alone.pages[0];
    assert_eq!((number_of(page, Kind::Clef), number_of(page, Kind::TimeSignature)), (3, 6));
    assert_eq!(words_of(page, Kind::Tempo).len(), 3);
}

#[test]
fn a_picture_of_a_block_begins_with_everything() {
    let bar = format!("exercise\n{BAR}\n");
    let fonts = Fonts::built_in().expect("the built-in faces");
    let text = format!("columns: 2\n\n{}", bar.repeat(2));
    let pictures = clean(&fonts, "grid", &text).expect("a clean file").blocks;
    assert_eq!(pictures.len(), 2);
    for (_, picture) in &pictures {
        assert_eq!(number_of(picture, Kind::Clef), 1);
        assert_eq!(number_of(picture, Kind::TimeSignature), 2);
    }
}

#[test]
fn the_title_of_a_series_runs_over_its_row() {
    let series =
        "series \"All the ways two accents can stand among four notes\"\n  accents: 2 of ssss\n\n";
    let set = set(&format!("columns: 3\nstaff-height: 5 mm\n\nexercise\n{BAR}\n{series}"));
    let titles = set.of(Kind::Title);
    assert_eq!(titles.len(), 1, "in one line");
    let numbers = set.of(Kind::Number);
    let staves = set.staves();
    assert!(titles[0].y > staves[0], "the series begins a row");
    let under: Vec<&Words> = numbers.iter().filter(|number| number.y > titles[0].y).collect();
    assert_eq!(under.len(), numbers.len() - 1);
    assert!(titles[0].x < under[1].x);
}

#[test]
fn a_block_alone_in_its_row_has_its_prose_beside_it() {
    let set = set(&format!(
        "columns: 2\n\nfill \"Alone\"\n{BAR}\nIt speaks of what is on its left.\n\n# Next\n"
    ));
    let (title, prose) = (set.words("Alone"), set.words("It speaks of what is on its left."));
    assert!(prose.x > set.pages[0].width / 2.0 && (prose.y - title.y).abs() < 0.01);
    // It is told after the music, as the item it is.
    let groups = built::groups(&set.pages[0]);
    let at =
        |wanted: &dyn Fn(&GroupKind) -> bool| groups.iter().position(|g| wanted(&g.kind)).unwrap();
    let block = at(&|kind| matches!(kind, GroupKind::Block { .. }));
    let words = at(&|kind| matches!(kind, GroupKind::Prose(Prose::Body(body)) if body.item == 1));
    assert!(block < words);
    // Prose that leads on to what follows stays over it.
    let leads = self::set(&format!(
        "columns: 2\n\nfill \"Alone\"\n{BAR}\nNow the next:\n\nfill \"B\"\n{BAR}"
    ));
    assert!(leads.words("Now the next:").x < leads.pages[0].width / 2.0);
    // What would be much taller than its block stands under it.
    let long = "It goes on and on about what is on its left. ".repeat(20);
    let long = self::set(&format!("columns: 2\n\nfill \"Alone\"\n{BAR}\n{long}\n"));
    let prose = long.of(Kind::Text);
    assert!(prose.iter().all(|words| words.y > long.staves()[0]));
}

#[test]
fn a_swing_of_another_ratio_is_an_equation() {
    let swing = |ratio: &str| set(&format!("fill \"A\"\n  swing: eighths {ratio}\n{BAR}"));
    // Three parts and two: the notes of a quintuplet.
    let five = swing("3:2");
    assert_eq!(five.of(Kind::Swing).into_iter().map(|w| w.said).collect::<Vec<_>>(), ["="]);
    let digit = flamacue::font::Glyph::tuplet_digit(5);
    let digits = five.pages.iter().flat_map(marks).filter(|mark| {
        matches!(mark.shape, Shape::Glyph { glyph, .. } if glyph == digit)
            && mark.kind == Kind::Swing
    });
    assert_eq!(digits.count(), 1);
    let said = swing("5:4").of(Kind::Swing).into_iter().map(|w| w.said).collect::<Vec<_>>();
    assert_eq!(said, ["=", "5 + 4"]);
}

#[test]
fn what_is_printed_of_itself_is_in_the_language_of_the_file() {
    let text = format!(
        "language: de\ncontents: exercises\nindex: exercises\nkey: last page\n\n\
                        # Eins\n\nfill a \"Anfang\"\n{BAR}\nMehr in @a.\n"
    );
    let set = set(&text);
    let headings: Vec<String> = set.of(Kind::Heading).into_iter().map(|w| w.said).collect();
    assert_eq!(headings, ["Inhalt", "Eins", "Zeichenerklärung", "Verzeichnis der Übungen"]);
    let prose: Vec<String> = set.of(Kind::Text).into_iter().map(|w| w.said).collect();
    assert!(prose.iter().any(|words| words.contains("auf Seite")), "{prose:?}");
}

#[test]
fn words_under_music_are_no_row_of_its_counting_and_nearer_to_it_than_the_next_block() {
    let music = "  count  1 e & a 2 & 3 & 4 &\n  play   ssss ss ss ss\n";
    let prose = "Walk down it slowly and look at every door, and then walk down it once more and look \
        at every door again.";
    for style in ["handout", "stand", "book"] {
        let text = format!(
            "style: {style}\n\nexercise \"First\"\n{music}\n{prose}\n\nexercise \"Then\"\n{music}"
        );
        let set = set(&text);
        let lines: Vec<f64> = set.of(Kind::Text).iter().map(|words| words.y).collect();
        let (first, last) = (lines[0], lines[lines.len() - 1]);
        let second = lines.iter().copied().find(|y| *y > first).expect("more than one line");
        let counting = set.of(Kind::Count).into_iter().map(|words| words.y).filter(|y| *y < first);
        let counting = counting.fold(f64::MIN, f64::max);
        let next = set.words("Then").y;
        let (line, over, under) = (second - first, first - counting, next - last);
        assert!(over > 1.15 * line, "{style}: {over} over lines of {line}");
        assert!(over < 0.9 * under, "{style}: {over} over and {under} under");
    }
}
