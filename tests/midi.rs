//! MIDI files read back: every onset, tempo and time signature against the score.

#![allow(
    clippy::expect_used,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test stops at the first surprise"
)]

mod built;

use built::files;
use flamacue::perform::{StrokeKind, Timeline};
use flamacue::score::{PlacedBlock, Score, Time};
use flamacue::source::{Diagnostics, Source};
use flamacue::write::midi;
use midly::{Format, MetaMessage, MidiMessage, Smf, Timing, TrackEventKind};
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

/// A file as it was read.
#[derive(Debug, Default)]
struct Read {
    pulses: u32,
    /// Pulse and microseconds of a quarter.
    tempo: Vec<(u32, u32)>,
    /// Pulse, upper and lower number.
    signatures: Vec<(u32, u32, u32)>,
    markers: Vec<(u32, String)>,
    title: Option<String>,
    copyright: Option<String>,
    tracks: Vec<ReadTrack>,
}

#[derive(Debug, Default)]
struct ReadTrack {
    name: String,
    words: Vec<(u32, String)>,
    /// Pulse, key, velocity.
    on: Vec<(u32, u8, u8)>,
    off: Vec<(u32, u8)>,
    pressure: Vec<(u32, u8, u8)>,
    end: u32,
}

fn words(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

/// Reads bytes, and holds that they are a file of type 1 with drums on channel 10 only.
fn read_back(bytes: &[u8]) -> Read {
    let file = Smf::parse(bytes).expect("a MIDI file");
    assert_eq!(file.header.format, Format::Parallel);
    let Timing::Metrical(pulses) = file.header.timing else { panic!("no pulses of quarters") };
    let mut read = Read { pulses: u32::from(pulses.as_int()), ..Read::default() };
    for (number, track) in file.tracks.iter().enumerate() {
        let mut now = 0;
        let mut own = ReadTrack::default();
        for event in track {
            now += event.delta.as_int();
            match event.kind {
                TrackEventKind::Meta(message) if number == 0 => match message {
                    MetaMessage::TrackName(name) => read.title = Some(words(name)),
                    MetaMessage::Copyright(line) => read.copyright = Some(words(line)),
                    MetaMessage::Marker(marker) => read.markers.push((now, words(marker))),
                    MetaMessage::Text(text) => own.words.push((now, words(text))),
                    MetaMessage::Tempo(tempo) => read.tempo.push((now, tempo.as_int())),
                    MetaMessage::TimeSignature(upper, power, _, thirty_seconds) => {
                        assert_eq!(thirty_seconds, 8);
                        read.signatures.push((now, u32::from(upper), 1 << power));
                    }
                    MetaMessage::EndOfTrack => own.end = now,
                    other => panic!("{other:?}"),
                },
                TrackEventKind::Meta(message) => match message {
                    MetaMessage::TrackName(name) => own.name = words(name),
                    MetaMessage::Text(text) => own.words.push((now, words(text))),
                    MetaMessage::EndOfTrack => own.end = now,
                    other => panic!("{other:?}"),
                },
                TrackEventKind::Midi { channel, message } => {
                    assert_eq!(channel.as_int(), 9);
                    match message {
                        MidiMessage::NoteOn { key, vel } => {
                            assert!(vel.as_int() > 0);
                            own.on.push((now, key.as_int(), vel.as_int()));
                        }
                        MidiMessage::NoteOff { key, .. } => own.off.push((now, key.as_int())),
                        MidiMessage::Aftertouch { key, vel } => {
                            own.pressure.push((now, key.as_int(), vel.as_int()));
                        }
                        other => panic!("{other:?}"),
                    }
                }
                other => panic!("{other:?}"),
            }
        }
        read.tracks.push(own);
    }
    read
}

fn score_of(name: &str, text: &str) -> Score {
    let files = |path: &str| std::fs::read_to_string(path).map_err(|error| error.to_string());
    let source = flamacue::syntax::gather(Source::new(name, text), &files);
    let mut diagnostics = Diagnostics::default();
    flamacue::read(&source, &mut diagnostics)
        .unwrap_or_else(|| panic!("{}", diagnostics.render(&source, false)))
}

fn written(text: &str) -> Read {
    read_back(&midi::write(&score_of("test.flam", text)).expect("a file"))
}

/// Every example and every text of the demo.
fn all_examples() -> Vec<(String, Score)> {
    let paths = ["examples", "demo"].iter().flat_map(|folder| files(folder));
    let read = |path: PathBuf| {
        let text = std::fs::read_to_string(&path).expect("a text");
        let name = path.display().to_string();
        let score = score_of(&name, &text);
        (name, score)
    };
    paths.map(read).collect()
}

/// A time in pulses, which it must be a whole number of.
fn pulse(time: Time, pulses: u32) -> u32 {
    let over = i128::from(time.numerator()) * 4 * i128::from(pulses);
    assert_eq!(over % i128::from(time.denominator()), 0, "{time} is not a whole pulse");
    u32::try_from(over / i128::from(time.denominator())).expect("a pulse")
}

/// Where each block begins: those markers that are not section letters, in order.
fn starts(read: &Read, blocks: &[&PlacedBlock]) -> Vec<u32> {
    let mut at = read.markers.first().map_or(0, |(at, _)| *at);
    let mut starts = Vec::new();
    for block in blocks {
        starts.push(at);
        assert!(read.markers.iter().any(|(pulse, _)| *pulse == at), "no marker at {at}");
        at += pulse(Timeline::of(block).length, read.pulses);
    }
    starts
}

/// Every stroke of every example but grace notes begins exactly on its pulse, and there is no other; grace
/// notes and the strokes of a buzz are as many as there should be, and each in its place to half a pulse.
#[test]
fn every_onset_of_every_example_is_that_of_the_score() {
    for (name, score) in all_examples() {
        let blocks: Vec<&PlacedBlock> = score.blocks_once().collect();
        if blocks.is_empty() {
            continue;
        }
        let read = read_back(&midi::write(&score).expect("a file"));
        let mut wanted: BTreeMap<String, BTreeSet<(u32, u8)>> = BTreeMap::new();
        let mut free: BTreeMap<String, usize> = BTreeMap::new();
        for (block, start) in blocks.iter().zip(starts(&read, &blocks)) {
            for (part, timeline) in block.parts().zip(Timeline::each(block)) {
                let player = part.player.as_ref().map_or("Drums", |player| &player.name).to_owned();
                let own = wanted.entry(player.clone()).or_default();
                for stroke in &timeline.strokes {
                    let key = part.kit.get(stroke.instrument).expect("an instrument").sound;
                    let seconds = stroke.end_seconds - stroke.seconds;
                    match stroke.kind {
                        StrokeKind::Grace => *free.entry(player.clone()).or_default() += 1,
                        StrokeKind::Buzz => {
                            own.insert((start + pulse(stroke.sounds.0, read.pulses), key));
                            let more = ((seconds * 25.0).round() as usize).max(1) - 1;
                            *free.entry(player.clone()).or_default() += more;
                        }
                        StrokeKind::Main | StrokeKind::Roll => {
                            own.insert((start + pulse(stroke.sounds.0, read.pulses), key));
                        }
                    }
                }
            }
        }
        assert_eq!(read.tracks.len(), wanted.len() + 1, "{name}");
        for track in &read.tracks[1..] {
            let wanted = &wanted[&track.name];
            let found: BTreeSet<(u32, u8)> =
                track.on.iter().map(|(at, key, _)| (*at, *key)).collect();
            assert_eq!(found.len(), track.on.len(), "{name}: two notes at one time on one key");
            let missing: Vec<_> = wanted.difference(&found).collect();
            assert!(missing.is_empty(), "{name}: {missing:?}");
            let more = found.difference(wanted).count();
            assert_eq!(more, free.get(&track.name).copied().unwrap_or(0), "{name}: {}", track.name);
        }
    }
}

/// A tempo is off by half a microsecond a quarter at most, so what is heard of Q quarters is off by Q / 2
/// microseconds: the longest example has far fewer than the 2000 quarters of a millisecond.
#[test]
fn the_tempo_map_keeps_the_seconds_of_every_example() {
    for (name, score) in all_examples() {
        let blocks: Vec<&PlacedBlock> = score.blocks_once().collect();
        if blocks.is_empty() {
            continue;
        }
        let read = read_back(&midi::write(&score).expect("a file"));
        let second = |at: u32| {
            let mut seconds = 0.0;
            let next = read.tempo.iter().map(|(at, _)| *at).skip(1).chain([u32::MAX]);
            for ((from, tempo), next) in read.tempo.iter().zip(next) {
                if at > *from {
                    let pulses = f64::from(next.min(at) - from);
                    seconds += pulses / f64::from(read.pulses) * f64::from(*tempo) / 1e6;
                }
            }
            seconds
        };
        let starts = starts(&read, &blocks);
        let mut before = second(starts[0]);
        for (block, start) in blocks.iter().zip(starts) {
            let timeline = Timeline::of(block);
            let quarters = f64::from(start) / f64::from(read.pulses);
            for (at, seconds) in timeline.bar_times.iter().zip(&timeline.bar_seconds) {
                let heard = second(start + pulse(*at, read.pulses));
                let quarters = quarters + at.as_f64() * 4.0;
                let bound = (quarters * 0.5e-6 + 1e-9).min(0.001);
                let off = (heard - before - seconds).abs();
                assert!(off <= bound, "{name}: {off} s after {quarters} quarters");
            }
            before += timeline.seconds;
        }
    }
}

/// No note ends after the next begins on its key, on whatever track; each has one end.
#[test]
fn notes_of_one_key_never_overlap() {
    for (name, score) in all_examples() {
        if score.blocks_once().next().is_none() {
            continue;
        }
        let read = read_back(&midi::write(&score).expect("a file"));
        let mut on: BTreeMap<u8, BTreeSet<u32>> = BTreeMap::new();
        let tracks = &read.tracks[1..];
        for (at, key, _) in tracks.iter().flat_map(|track| &track.on) {
            on.entry(*key).or_default().insert(*at);
        }
        for track in tracks {
            let mut ends = track.off.clone();
            assert_eq!(ends.len(), track.on.len(), "{name}");
            ends.sort_unstable();
            for (at, key, _) in &track.on {
                let end = ends.iter().find(|(end, own)| own == key && end > at).expect("an end").0;
                let next = on[key].range(at + 1..).next();
                assert!(next.is_none_or(|next| end <= *next), "{name}: {key} at {at} to {end}");
            }
        }
    }
}

#[test]
fn the_same_text_is_the_same_bytes() {
    for (name, score) in all_examples().into_iter().take(20) {
        assert_eq!(midi::write(&score), midi::write(&score), "{name}");
    }
}

/// What a text begins with; four quarters at 120 without a pickup.
fn bars(rows: &str) -> Read {
    written(&format!("exercise\n{rows}"))
}

#[test]
fn title_copyright_markers_and_words() {
    let read = written(
        "title: Größe\ncopyright: © 2026 A\n\nexercise a \"First\"\n  tempo: 60 Slowly\n  mark  A . . . | B [. rit] . .\n  \
         play  s s s s | s ss s s\n  say   . \"hey\" . . | . . . .\n\ngroove\n  play  h h h h\n",
    );
    assert_eq!(read.title.as_deref(), Some("Größe"));
    assert_eq!(read.copyright.as_deref(), Some("© 2026 A"));
    let markers: Vec<(u32, &str)> = read.markers.iter().map(|(at, m)| (*at, m.as_str())).collect();
    assert_eq!(
        markers,
        [(0, "1 First"), (0, "A"), (3840, "B"), (7680, "groove")],
        "a bar is 4 * 960 pulses"
    );
    assert_eq!(read.tracks[0].words, [(0, "Slowly".to_owned()), (5280, "rit.".to_owned())]);
    assert_eq!(read.tracks[1].words, [(960, "hey".to_owned())]);
    assert_eq!(read.tracks[1].name, "Drums");
    assert_eq!(read.tracks[1].end, 11520);
}

/// 960 pulses a quarter: a bar of 7/8 has 3360, of 2+2+3/8 as many; a pickup of one quarter 960.
#[test]
fn time_signatures_are_those_of_the_bars() {
    let read = bars("  time: 7/8\n  play s s s s s s s\n");
    assert_eq!(read.signatures, [(0, 7, 8)]);
    let read = bars("  time: 2+2+3/8\n  play s s s | s s s\n");
    assert_eq!(read.signatures, [(0, 7, 8)]);
    let read = bars("  pickup: 1/4\n  play s | s s s s\n");
    assert_eq!(read.signatures, [(0, 1, 4), (960, 4, 4)]);
    let read = bars("  time: 2/1\n  play s s\n");
    assert_eq!(read.signatures, [(0, 2, 1)]);
    let read = bars("  time: 3/64\n  play s s s\n");
    assert_eq!(read.signatures, [(0, 3, 64)]);
}

/// Bars without a time signature have one of their length; where there is none, as a bar of two thirds of a
/// whole note, they are counted in quarters, and the next bar says its own again.
#[test]
fn bars_without_a_time_signature_are_as_long_as_they_are() {
    let read = bars("  time: none\n  play s s s | s s s s s\n");
    assert_eq!(read.signatures, [(0, 3, 4), (2880, 5, 4)]);
    // A third of a half note and two quarters: 2/12 + 6/12 of a whole note is 2/3. After 1/6 it is 2/4.
    let read = bars("  time: none\n  play s:2/3 s s | s s | s s\n");
    assert_eq!(read.signatures, [(0, 1, 4), (2560, 2, 4)]);
}

/// Long to short as two to one: the second eighth is at two thirds of 960, and the sixteenth before it at a
/// third.
#[test]
fn swung_notes_are_exact() {
    let read = bars("  swing: eighths\n  play ss s s ss\n");
    let on: Vec<u32> = read.tracks[1].on.iter().map(|(at, _, _)| *at).collect();
    assert_eq!(on, [0, 640, 960, 1920, 2880, 3520]);
    assert_eq!(read.pulses, 960);
    // Sevenths of a quarter ask for seven times as many pulses: 6720.
    let read = bars("  play sssssss s s s\n");
    let on: Vec<u32> = read.tracks[1].on.iter().map(|(at, _, _)| *at).take(3).collect();
    assert_eq!((read.pulses, on), (6720, vec![0, 960, 1920]));
}

/// At 120 a pulse is 0.5 / 960 s, so 0.03 s are 57.6 pulses. The first beat has no room for a grace note, and a
/// silent bar comes first; the tempo of the bar before counts.
#[test]
fn grace_notes_come_before_the_beat() {
    let read = bars("  tempo: 120\n  play 's s s 's\n");
    let on: Vec<u32> = read.tracks[1].on.iter().map(|(at, _, _)| *at).collect();
    let bar = 3840;
    assert_eq!(on, [bar - 58, bar, bar + 960, bar + 1920, bar + 2880 - 58, bar + 2880]);
    assert_eq!((read.markers[0].0, read.tracks[1].end), (bar, 2 * bar));
    assert_eq!(read.signatures, [(0, 4, 4)]);
    // From 60 to 120 at the barline: 28.8 pulses of the slower tempo.
    let read = bars("  tempo: 60\n  mark . | tempo=120\n  play s s s s | 's s s s\n");
    let on: Vec<u32> = read.tracks[1].on.iter().map(|(at, _, _)| *at).collect();
    assert_eq!(on[4..6], [bar - 29, bar]);
}

/// A buzz of a quarter at 60 lasts a second: 25 strokes, each 38.4 pulses after the other, and those after the
/// first half as loud: 76 and 38.
#[test]
fn a_buzz_is_many_soft_strokes() {
    let read = bars("  tempo: 60\n  play s~ s s s\n");
    let on = &read.tracks[1].on;
    assert_eq!(on.len(), 25 + 3);
    assert_eq!(on[..4], [(0, 38, 76), (38, 38, 38), (76, 38, 38), (115, 38, 38)]);
    assert_eq!((on[24].0, on[25].0), (921, 960));
}

/// A choked crash is held and let go where its note ends; no other note is.
#[test]
fn a_choke_ends_the_note_and_holds_the_cymbal() {
    let read = bars("  play c! s s c\n");
    let track = &read.tracks[1];
    assert_eq!(track.off.first(), Some(&(960, 49)));
    assert_eq!(track.pressure, [(960, 49, 127), (960, 49, 0)]);
}

/// A ritardando from 120 to 60 over a bar: steps of a sixteenth, each of which lasts -4 ln(v1 / v0) seconds
/// with v = 1/2 - x/4. The first: 4 ln((1/2) / (1/2 - 1/64)) = 0.1269948 s, times four a quarter: 507,979 µs;
/// the last: 4 ln((1/4 + 1/64) / (1/4)) = 0.242498 s: 969,994 µs.
#[test]
fn a_ramp_is_told_in_steps() {
    let read = bars("  tempo: 120\n  mark rit . . . | tempo=60\n  play s s s s | s s s s\n");
    assert_eq!(read.tempo.len(), 17);
    assert_eq!(read.tempo[..2].iter().map(|t| t.0).collect::<Vec<_>>(), [0, 240]);
    assert_eq!(
        (read.tempo[0].1, read.tempo[15], read.tempo[16]),
        (507_979, (3600, 969_994), (3840, 1_000_000))
    );
}

/// Repeats are played out, and blocks one after the other; an example with answers plays nothing twice.
#[test]
fn repeats_are_played_and_answers_are_not() {
    let read = bars("  play |: s s s s :| x3\n");
    assert_eq!((read.tracks[1].on.len(), read.tracks[1].end), (12, 3 * 3840));
    let worksheet = "answers: last page\n\nexercise \"A\"\n  blank: sticking\n  play  s s s s\n  stick R L R L\n";
    let score = score_of("test.flam", worksheet);
    assert!(score.answers.is_some(), "the answers stand once more");
    assert_eq!(written(worksheet).tracks[1].on.len(), 4);
}

/// Each player has a track; both are on one channel, so the note of the one ends where the other's begins.
#[test]
fn players_have_tracks_of_their_own() {
    let text = "exercise\n  player \"One\"\n    play s - s s\n  player \"Two\"\n    play . s s .\n";
    let read = written(text);
    let names: Vec<&str> = read.tracks.iter().map(|track| track.name.as_str()).collect();
    assert_eq!(names, ["", "One", "Two"]);
    assert_eq!(read.tracks[1].off[0], (960, 38));
    let part = score_of("test.flam", text).part_of("Two").expect("a player");
    let read = read_back(&midi::write(&part).expect("a file"));
    assert_eq!((read.tracks.len(), read.tracks[1].name.as_str()), (2, "Two"));
}

/// Two kinds of stroke on one key at one time are one note, the louder.
#[test]
fn one_key_sounds_once_at_a_time() {
    let text = "kit\n  x side, sound 38\n\nexercise\n  play s+X s s s\n";
    let read = written(text);
    assert_eq!(read.tracks[1].on.len(), 4);
}

/// Beats of eleven, thirteen, seventeen and nineteen need 46,189 times 960 pulses: what is nearest is taken, and
/// is off by half a pulse at most.
#[test]
fn what_no_number_of_pulses_makes_whole_is_off_by_half_a_pulse() {
    let group = |n: usize| "s".repeat(n);
    let rows = format!("  play {} {} {} {}\n", group(11), group(13), group(17), group(19));
    let read = bars(&rows);
    assert!(read.pulses >= 17_280 && read.pulses <= 32_767, "{}", read.pulses);
    let timeline = Timeline::of(
        score_of("test.flam", &format!("exercise\n{rows}")).blocks_once().next().expect("a block"),
    );
    for (stroke, (at, _, _)) in timeline.strokes.iter().zip(&read.tracks[1].on) {
        let exact = stroke.sounds.0.as_f64() * 4.0 * f64::from(read.pulses);
        assert!((exact - f64::from(*at)).abs() <= 0.5 + 1e-6, "{exact} {at}");
    }
}

/// Ninety-nine times a bar of full groups, in some hundred blocks, is over a million strokes: a sentence says so.
#[test]
fn too_many_strokes_are_an_error() {
    let group = "s".repeat(32);
    let block = format!("exercise\n  play |: {group} {group} {group} {group} :| x99\n\n");
    let score = score_of("test.flam", &block.repeat(80));
    let error = midi::write(&score).expect_err("1,013,760 strokes");
    assert!(error.to_string().contains("1,000,000"), "{error}");
}

/// A quarter of twenty seconds is more than 24 bits of microseconds.
#[test]
fn a_tempo_no_file_can_tell_is_an_error() {
    let score = score_of("test.flam", "exercise\n  tempo: sixteenth=10\n  play s s s s\n");
    let error = midi::write(&score).expect_err("24 seconds a quarter");
    assert!(error.to_string().contains("16.7"), "{error}");
}
