//! Frames, seen as pixels.

use crate::made::{along, column, fonts, plan, score};
use flamacue::film::{Film, FilmColours, FilmOptions, FilmSize, Follow, Rate, Turn};
use flamacue::font::Fonts;
use flamacue::practice::Wanted;
use flamacue::score::{Colour, Time};
use flamacue::write::film::{Frames, Pictures};

const LIT: Colour = Colour { red: 255, green: 0, blue: 255 };

/// Eighths at 120 quarters a minute: a bar is counted in from 0.5 s on, the first note falls at 2.5 s.
const EIGHTHS: &str = "tempo: 120\n\nfill\n  play  s.s. s.k. t.t. m.k.\n";

fn options(rate: &str, paper: Option<Colour>) -> FilmOptions {
    FilmOptions {
        rate: Rate::read(rate).expect("a rate"),
        colours: FilmColours { lit: LIT, ..FilmColours::of(Colour::BLACK, paper) },
        follow: Follow { line: true, wedge: false, notes: false },
        ..FilmOptions::default()
    }
}

fn made(text: &str, fonts: &Fonts, options: FilmOptions) -> Film {
    let score = score(text);
    let plan = plan(&score, &Wanted::default());
    along(&score, fonts, plan, options)
}

/// The middle of the lit columns of the row of a frame.
fn cursor(bytes: &[u8], width: usize, row: usize) -> Option<f64> {
    lit(bytes, width, row).map(|(_, x)| x)
}

/// The same in that of some rows in which most of it is seen: in others it passes behind ink.
fn cursor_in(bytes: &[u8], width: usize, rows: impl Iterator<Item = usize>) -> Option<f64> {
    let seen = rows.filter_map(|row| lit(bytes, width, row));
    seen.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, x)| x)
}

/// How many columns of the row of a frame are lit, and their middle.
fn lit(bytes: &[u8], width: usize, row: usize) -> Option<(f64, f64)> {
    let pixels = bytes[row * width * 4..(row + 1) * width * 4].chunks_exact(4);
    let (mut sum, mut weight) = (0.0, 0.0);
    for (x, pixel) in pixels.enumerate() {
        // Of paper and ink, red and green are alike; of the cursor they are not.
        let own = f64::from(pixel[0].abs_diff(pixel[1])) / 255.0;
        sum += (x as f64 + 0.5) * own;
        weight += own;
    }
    (weight > 0.5).then(|| (weight, sum / weight))
}

#[test]
fn the_line_is_at_the_note_in_the_frame_of_its_stroke() {
    let fonts = fonts();
    for rate in ["24", "23.976", "29.97", "60"] {
        let film = made(EIGHTHS, &fonts, options(rate, Some(Colour::WHITE)));
        let (over, under) = film.options().rate.ratio();
        let page = &film.scenes().next().expect("a scene").strip.pages[0].clone();
        let mut strokes = Vec::new();
        for eighth in 0..8 {
            let x = column(page, &fonts, 1, Time::new(2 + eighth, 2)).expect("a note");
            let second = 2.5 + f64::from(u32::try_from(eighth).expect("small")) * 0.25;
            strokes.push(((second * f64::from(over) / f64::from(under)) as u64, second, x));
        }
        let mut frames = Frames::of(&film, &fonts).expect("frames");
        let width = 1920;
        let rows = film.music().0 as usize..film.music().1 as usize;
        let mut seen = 0;
        let mut before = (f64::NEG_INFINITY, f64::NEG_INFINITY);
        while let Some(frame) = frames.next_frame() {
            let x = cursor_in(frame.bytes, width, rows.clone().step_by(7));
            if let Some((_, second, note)) = strokes.iter().find(|(at, ..)| *at == frame.number) {
                let x = x.expect("a cursor");
                // In half a frame it goes no further than from one frame to the next.
                let step = (x - before.1).abs().max(1.0);
                assert!((x - note).abs() <= step + 0.5, "{rate}, {second} s: {x}, and {note}");
                seen += 1;
            }
            before = (before.1, x.unwrap_or(f64::NEG_INFINITY));
        }
        assert_eq!(seen, 8, "{rate}");
    }
}

#[test]
fn frames_are_as_many_as_the_seconds_have() {
    let fonts = fonts();
    for (rate, count) in [("30", 225), ("60", 450), ("29.97", 225), ("23.976", 180)] {
        // 0.5 s, a bar of 2 s, a bar of 2 s, and 3 s in which all rings out.
        let film = made(EIGHTHS, &fonts, options(rate, None));
        assert_eq!((film.seconds(), film.frames()), (7.5, count), "{rate}");
    }
}

/// Every frame drawn anew is as it is when only what is different is drawn.
#[test]
fn what_is_not_different_stays_as_it_was() {
    let fonts = fonts();
    let text = "tempo: 200\n\nfill\n  play  ssss tttt s s | t+k . m . | s . . .\n";
    let size = FilmSize::read("640x100").expect("a size");
    for paper in [None, Some(Colour::WHITE)] {
        let film = made(
            text,
            &fonts,
            FilmOptions { follow: Follow::default(), size, ..options("12", paper) },
        );
        let mut frames = Frames::of(&film, &fonts).expect("frames");
        let mut before: Option<Vec<u8>> = None;
        while let Some(frame) = frames.next_frame() {
            if let Some(before) = &before {
                let area = frame.changed;
                for (nth, (old, new)) in before.iter().zip(frame.bytes).enumerate() {
                    let (x, y) = ((nth / 4) % 640, nth / 4 / 640);
                    let inside = area.is_some_and(|area| {
                        let (left, top) = (area.x as usize, area.y as usize);
                        (left..left + area.width as usize).contains(&x)
                            && (top..top + area.height as usize).contains(&y)
                    });
                    assert!(old == new || inside, "frame {}: {x}, {y}", frame.number);
                }
            }
            before = Some(frame.bytes.to_vec());
        }
    }
}

#[test]
fn pictures_hold_their_frames() {
    let fonts = fonts();
    for paper in [None, Some(Colour::WHITE)] {
        let film = made(EIGHTHS, &fonts, options("4", paper));
        let mut frames = Frames::of(&film, &fonts).expect("frames");
        let mut pictures = Pictures::of(film.options());
        while let Some(frame) = frames.next_frame() {
            let bytes = frame.bytes.to_vec();
            let file = pictures.write(frame).expect("a picture");
            let mut reader =
                png::Decoder::new(std::io::Cursor::new(file)).read_info().expect("PNG");
            let mut read = vec![0; reader.output_buffer_size().expect("a size")];
            reader.next_frame(&mut read).expect("pixels");
            let plain: Vec<u8> = match paper {
                None => bytes,
                Some(_) => bytes.chunks_exact(4).flat_map(|pixel| pixel[..3].to_vec()).collect(),
            };
            assert!(read == plain);
        }
    }
}

/// What a rounded share of a hundredth leaves of paper.
const NEARLY_WHITE: u8 = 252;

/// Music that scrolls fades note by note before it reaches an edge of its room, and the line stays near its place.
#[test]
fn a_scroll_shows_no_half_notes() {
    let fonts = fonts();
    let text = "tempo: 160\n\nfill\n  play  s.ss t.tt m.mm k | ssss tttt s k | s.ss t.tt m.mm k | s . . .\n";
    let size = FilmSize::read("640x100").expect("a size");
    let options = FilmOptions { size, turn: Turn::Scroll, ..options("20", Some(Colour::WHITE)) };
    let film = made(text, &fonts, options);
    let room = film.layout().strip;
    let mut frames = Frames::of(&film, &fonts).expect("frames");
    let row = film.music().0 as usize + 2;
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    while let Some(frame) = frames.next_frame() {
        for edge in [room.x0 as usize, room.x1 as usize - 1] {
            let column = frame.bytes.chunks_exact(4).skip(edge).step_by(640);
            assert!(
                column.into_iter().all(|pixel| pixel.iter().all(|own| *own >= NEARLY_WHITE)),
                "frame {}",
                frame.number
            );
        }
        if let Some(x) = cursor(frame.bytes, 640, row) {
            (least, most) = (least.min(x), most.max(x));
        }
    }
    assert!(room.x0 < least && most < room.center().x, "the line goes from {least} to {most}");
}

/// Of a frame only what is different is drawn, and a picture tells pixels by what is left of them: so much of both holds
/// how long a film takes, without a clock.
#[test]
fn a_frame_costs_what_is_new_in_it() {
    let fonts = fonts();
    let text = "tempo: 100\n\nfill\n  play  s.ss t.tt m.mm k | ssss tttt s k | s.ss t.tt m.mm k | s . . .\n";
    // A hundredth of the pixels of a frame, and of its bytes.
    let hundredth =
        |own: u64, whole: u64, frames: u64| own as f64 * 100.0 / (whole * frames) as f64;
    for (turn, paper, drawn, written) in [
        (Turn::Pages, Some(Colour::WHITE), 30.0, 4.0),
        (Turn::Pages, None, 30.0, 5.0),
        (Turn::Scroll, Some(Colour::WHITE), 92.0, 6.0),
        (Turn::Scroll, None, 92.0, 8.0),
    ] {
        let follow = Follow::default();
        let film = made(text, &fonts, FilmOptions { turn, follow, ..options("10", paper) });
        let mut frames = Frames::of(&film, &fonts).expect("frames");
        let mut pictures = Pictures::of(film.options());
        let (mut pixels, mut bytes) = (0, 0);
        while let Some(frame) = frames.next_frame() {
            pixels += frame.drawn;
            bytes += pictures.write(frame).expect("a picture").len() as u64;
        }
        let whole = 1920 * 300;
        let (pixels, bytes) = (
            hundredth(pixels, whole, film.frames()),
            hundredth(bytes, whole * if paper.is_some() { 3 } else { 4 }, film.frames()),
        );
        assert!(pixels < drawn, "{turn:?}, {paper:?}: {pixels:.1} % of the pixels are drawn");
        assert!(bytes < written, "{turn:?}, {paper:?}: {bytes:.2} % of the bytes are written");
    }
}

/// The cursor lies under all ink: what is black without it is black with it, and it passes behind letters.
#[test]
fn the_cursor_covers_no_ink() {
    let fonts = fonts();
    let size = FilmSize::read("960x150").expect("a size");
    for (turn, paper) in [
        (Turn::Pages, Some(Colour::WHITE)),
        (Turn::Pages, None),
        (Turn::Scroll, Some(Colour::WHITE)),
        (Turn::Scroll, None),
    ] {
        let of = |line| {
            let follow = Follow { line, wedge: false, notes: false };
            made(EIGHTHS, &fonts, FilmOptions { size, turn, follow, ..options("20", paper) })
        };
        let (with, without) = (of(true), of(false));
        let mut frames = Frames::of(&with, &fonts).expect("frames");
        let mut plain = Frames::of(&without, &fonts).expect("frames");
        let mut passed = 0;
        while let (Some(own), Some(plain)) = (frames.next_frame(), plain.next_frame()) {
            let pixels = own.bytes.chunks_exact(4).zip(plain.bytes.chunks_exact(4));
            let row = 960;
            // Rows since the line, for each column.
            let mut since = vec![u8::MAX; row];
            for (nth, (own, plain)) in pixels.enumerate() {
                if plain == [0, 0, 0, 255] {
                    assert_eq!(own, plain, "{turn:?}, {paper:?}: frame pixel {nth}");
                    passed += usize::from(since[nth % row] < 3);
                }
                let is_line = own[..3] == [LIT.red, LIT.green, LIT.blue];
                since[nth % row] = if is_line { 0 } else { since[nth % row].saturating_add(1) };
            }
        }
        assert!(passed > 100, "{turn:?}, {paper:?}: {passed}");
    }
}
