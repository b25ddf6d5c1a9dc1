//! An animated PNG, read back by the library that wrote it; `tests/outside/film.py` reads it with another.

use crate::made::{film, fonts, score};
use flamacue::film::{FilmColours, FilmOptions, FilmSize, Rate};
use flamacue::score::Colour;
use flamacue::write::film::{Frames, write_apng};

/// Each frame, laid over the one before, is the frame of the film; and it lasts as long as the rate says.
#[test]
fn it_holds_every_frame() {
    let fonts = fonts();
    let score = score("tempo: 180\n\nfill\n  play  s.s. s k t\n");
    let size = FilmSize::read("480x96").expect("a size");
    let rate = Rate::read("23.976").expect("a rate");
    let colours = FilmColours::of(Colour::BLACK, None);
    let options = FilmOptions { size, rate, colours, ..FilmOptions::default() };
    let film = film(&score, &fonts, options);
    let mut file = Vec::new();
    write_apng(&film, &fonts, &mut file).expect("a film");
    let mut reader = png::Decoder::new(std::io::Cursor::new(&file)).read_info().expect("PNG");
    let animation = reader.info().animation_control().expect("an animation");
    assert_eq!((u64::from(animation.num_frames), animation.num_plays), (film.frames(), 1));
    let mut shown = vec![0; 480 * 96 * 4];
    let mut frames = Frames::of(&film, &fonts).expect("frames");
    while let Some(frame) = frames.next_frame() {
        let mut part = vec![0; 480 * 96 * 4];
        reader.next_frame(&mut part).expect("a frame");
        let control = reader.info().frame_control().expect("its place");
        assert_eq!((control.delay_num, control.delay_den), (1001, 24_000));
        let row = control.width as usize * 4;
        for y in 0..control.height as usize {
            let at = ((control.y_offset as usize + y) * 480 + control.x_offset as usize) * 4;
            shown[at..at + row].copy_from_slice(&part[y * row..(y + 1) * row]);
        }
        assert!(shown == frame.bytes, "frame {}", frame.number);
    }
}
