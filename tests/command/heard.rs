//! What is heard, as files: how long they are, when something sounds in them, and what is refused.

use crate::room::Room;

/// Four beats of half a second each are counted in from 0.5 s on; strokes at 2.5 and 3.5 s; the music ends at
/// 4.5 s and rings for 3 s.
const TWO: &str = "title: Two\nauthor: Ines\ntempo: 120\n\nfill two \"Two\"\n  play  s . k .\n";
const SECONDS: f64 = 7.5;
const FRAMES_PER_SECOND: f64 = 48_000.0;

/// The samples of both sides of a WAV file as Microsoft's and IBM's *Multimedia Programming Interface and Data
/// Specifications 1.0* (1991) has it: little-endian, here of 24 bits.
fn samples(wav: &[u8]) -> Vec<[i32; 2]> {
    assert_eq!((&wav[..4], &wav[8..12]), (&b"RIFF"[..], &b"WAVE"[..]));
    let data = wav.windows(4).position(|four| four == b"data").expect("a data chunk");
    let sample = |bytes: &[u8]| i32::from_le_bytes([0, bytes[0], bytes[1], bytes[2]]) >> 8;
    wav[data + 8..].chunks_exact(6).map(|frame| [sample(frame), sample(&frame[3..])]).collect()
}

/// The first second from some second on at which it is louder than a thousandth of full scale.
fn onset(samples: &[[i32; 2]], from: f64) -> f64 {
    let from = (from * FRAMES_PER_SECOND) as usize;
    let loud = |frame: &[i32; 2]| frame.iter().any(|sample| sample.abs() > 8_389);
    let found = samples[from..].iter().position(loud).expect("something is heard");
    (from + found) as f64 / FRAMES_PER_SECOND
}

#[test]
fn a_text_is_heard_when_it_should_be() {
    let room = Room::new("heard");
    room.put("two.flam", TWO);
    let ended = room.run(&["build", "two.flam", "-o", "two.wav"]);
    assert_eq!((ended.status, ended.err.as_str()), (0, ""));
    let heard = samples(&room.get("two.wav"));
    assert_eq!(heard.len(), (SECONDS * FRAMES_PER_SECOND) as usize);
    for second in [0.5, 1.0, 1.5, 2.0, 2.5, 3.5] {
        let found = onset(&heard, second - 0.01);
        assert!((found - second).abs() < 0.003, "{second}: {found}");
    }
    // Nothing before the count-in, and nothing that was left out.
    assert!(heard[..(0.49 * FRAMES_PER_SECOND) as usize].iter().all(|frame| *frame == [0, 0]));
    let quiet =
        room.run(&["build", "two.flam", "-o", "feet.wav", "--without", "hands", "--count-in", "0"]);
    assert_eq!((quiet.status, quiet.err.as_str()), (0, ""));
    let feet = samples(&room.get("feet.wav"));
    assert!((onset(&feet, 0.0) - 1.5).abs() < 0.003);
    // The same bytes again.
    let again = room.run(&["build", "two.flam", "-o", "again.wav"]);
    assert_eq!(again.status, 0);
    assert_eq!(room.get("two.wav"), room.get("again.wav"));
}

#[test]
fn options_change_what_is_heard() {
    let room = Room::new("heard-options");
    room.put("two.flam", TWO);
    let seconds = |options: &[&str]| {
        let all = [&["build", "two.flam", "-o", "x.cues.json"], options].concat();
        let ended = room.run(&all);
        assert_eq!((ended.status, ended.err.as_str()), (0, ""), "{options:?}");
        let cues = String::from_utf8(room.get("x.cues.json")).expect("UTF-8");
        let (_, rest) = cues.split_once("\"seconds\":").expect("a length");
        rest.split(',').next().expect("a number").parse::<f64>().expect("a number")
    };
    assert_eq!(seconds(&[]), 7.5);
    assert_eq!(seconds(&["--count-in", "0"]), 5.5);
    assert_eq!(seconds(&["--count-in", "0", "--tempo", "60"]), 7.5);
    // Two at 120 take 4 s, one at 80 takes 3 s, and 1.5 s lie between.
    assert_eq!(
        seconds(&["--count-in", "0", "--practice", "alone x2, slow"]),
        0.5 + 4.0 + 1.5 + 3.0 + 3.0
    );
    assert_eq!(seconds(&["--block", "TWO", "--click", "beats 2 4"]), 7.5);
}

/// In whole notes: swung two to one, the second of two eighths is a sixth after the first; a grace note has the
/// time of its note, and bars are counted as they are played.
#[test]
fn cues_say_exact_times() {
    let room = Room::new("heard-exact");
    room.put("swung.flam", "exercise\n  swing: eighths\n  play |: ss 's s - :| s - - -\n");
    assert_eq!(room.run(&["build", "swung.flam", "-o", "x.cues.json"]).status, 0);
    let cues: serde_json::Value = serde_json::from_slice(&room.get("x.cues.json")).expect("JSON");
    let times = |list: &serde_json::Value| -> Vec<String> {
        let list = list.as_array().expect("a list");
        list.iter().map(|own| own["time"].as_str().expect("a time").to_owned()).collect()
    };
    let once = ["0", "1/6", "1/4", "1/4", "1/2"];
    let again = ["1", "7/6", "5/4", "5/4", "3/2", "2"];
    assert_eq!(times(&cues["strokes"]), [&once[..], &again].concat());
    assert_eq!(times(&cues["passes"][0]["bars"]), ["0", "1", "2"]);
    assert_eq!(cues["passes"][0]["length"], "3");
}

#[test]
fn what_can_not_be_heard_is_refused() {
    let room = Room::new("heard-refused");
    room.put("two.flam", TWO);
    room.put("none.flam", "# Words\n\nNothing to play.\n");
    room.put("noise.sf2", "RIFF");
    for (options, told) in [
        (&["two.flam", "-o", "x.wav", "--block", "three"][..], "no block called `three`"),
        (&["two.flam", "-o", "x.wav", "--without", "Cy"], "no player is called \"Cy\""),
        (&["two.flam", "-o", "x.wav", "--practice", "loudly"], "write steps"),
        (&["two.flam", "-o", "x.wav", "--click", "often"], "write none, bars"),
        (&["two.flam", "-o", "x.wav", "--tempo", "5"], "from 10 to 400"),
        (&["two.flam", "-o", "x.wav", "--soundfont", "noise.sf2"], "noise.sf2"),
        (&["two.flam", "-o", "x.wav", "--soundfont", "none.sf2"], "none.sf2"),
        (&["two.flam", "--tempo", "90"], "for what is heard"),
        (&["none.flam", "-o", "x.flac"], "no block to hear"),
        (&["none.flam", "-o", "x.mid"], "no block to play"),
        (
            &[
                "two.flam",
                "-o",
                "x.wav",
                "--practice",
                "at 10 x99, at 10 x99, at 10 x99, at 10 x99, at 10 x99, at 10 x99, at 10 x99, at 10 x99, at 10 x99, at 10 x99, at 10 x99, at 10 x99, at 10 x99, at 10 x99, at 10 x99, at 10 x99, at 10 x99, at 10 x99, at 10 x99, at 10 x99",
            ],
            "hours",
        ),
    ] {
        let ended = room.run(&[&["build"], options].concat());
        assert_eq!(ended.status, 2, "{options:?}");
        assert!(ended.err.contains(told), "{options:?}: {}", ended.err);
    }
    assert_eq!(room.names(), ["noise.sf2", "none.flam", "two.flam"]);
}

/// The width and the height of the first note, in points, from the cues of a text.
fn first_box(row: &str) -> [f64; 2] {
    let room = Room::new("heard-small");
    room.put("band.flam", format!("exercise\n{row}  play  S s s s\n"));
    let ended = room.run(&["build", "band.flam", "-o", "x.cues.json"]);
    assert_eq!((ended.status, ended.err.as_str()), (0, ""));
    let cues: serde_json::Value = serde_json::from_slice(&room.get("x.cues.json")).expect("JSON");
    let side = |index: usize| cues["strokes"][0]["box"][index].as_f64().expect("a number");
    [side(2) - side(0), side(3) - side(1)]
}

#[test]
fn a_stroke_has_no_place_in_what_the_band_plays() {
    let (with, without) = (first_box("  band  x x x x\n"), first_box(""));
    let apart = with.iter().zip(&without).map(|(a, b)| (a - b).abs());
    assert!(apart.into_iter().all(|apart| apart < 0.1), "{with:?}, {without:?}");
}
