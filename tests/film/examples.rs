//! What holds for the film of every example.

use crate::made::{at_rate, column, examples, film, fonts, marks, plan};
use flamacue::drawing::{GroupKind, Kind, Node, Shape};
use flamacue::film::{FilmOptions, FilmSize, Scene, word};
use flamacue::pages::Wanted as Made;
use flamacue::practice::Wanted;
use flamacue::score::Time;
use flamacue::source::{Diagnostics, Source};
use flamacue::write::cues;

/// How far the cursor may be from the middle of a note's heads when it is struck, in pixels.
const SLACK: f64 = 0.01;

fn scene_at(scenes: &[Scene], second: f64) -> &Scene {
    let inside = |scene: &&Scene| (scene.seconds.0..scene.seconds.1).contains(&second);
    scenes.iter().find(inside).expect("a scene at every second")
}

/// A beat of the cue sheet: `1`, `3/2`.
fn beat(words: &str) -> Time {
    let (over, under) = words.split_once('/').unwrap_or((words, "1"));
    Time::new(over.parse().expect("a number"), under.parse().expect("a number"))
}

/// How many heads stand in a bar of a player; of all players where none is named.
fn heads(nodes: &[Node], player: Option<&str>, bar: usize) -> usize {
    let mut count = 0;
    for node in nodes {
        let Node::Group(group) = node else { continue };
        count += match &group.kind {
            GroupKind::Player(name) if player.is_some_and(|own| own != name) => 0,
            GroupKind::Bar { number } if *number == bar => {
                let mut own = 0;
                marks(&group.children, &mut |mark| own += usize::from(mark.kind == Kind::Notehead));
                own
            }
            _ => heads(&group.children, player, bar),
        };
    }
    count
}

/// The seconds of strokes come from the cue sheet, and the places of notes from the drawing.
#[test]
fn the_cursor_is_at_every_note_when_it_is_struck() {
    let fonts = fonts();
    let (mut at_notes, mut in_signs) = (0, 0);
    for (name, score) in examples() {
        // The cursor goes by the times that are written, from which strokes may stray.
        let practised = plan(&score, &Wanted { looseness: Some(0.0), ..Wanted::default() });
        if practised.passes.is_empty() {
            continue;
        }
        let source = Source::new(name.clone(), "");
        let mut found = Diagnostics::default();
        let made = flamacue::typeset(&source, &score, &fonts, None, Made::Pages, &mut found);
        let drawing = made.map(|made| made.drawing).unwrap_or_default();
        let sheet: serde_json::Value =
            serde_json::from_str(&cues::write(&score, &practised, &drawing, &fonts)).expect("JSON");
        let film = film(&score, &fonts, at_rate("29.97"));
        let scenes: Vec<Scene> = film.scenes().collect();
        for stroke in sheet["strokes"].as_array().expect("strokes") {
            if stroke["is"] != "main" {
                continue;
            }
            let second = stroke["seconds"].as_f64().expect("a number");
            let bar = usize::try_from(stroke["bar"].as_u64().expect("a bar")).expect("small");
            let beat = beat(stroke["beat"].as_str().expect("a beat"));
            let told = format!("{name}: bar {bar}, beat {beat}, {second} s");
            // The cue sheet has millionths: a little after the stroke.
            let moment = scene_at(&scenes, second + 2e-6).at(second + 2e-6);
            let cursor = moment.cursor.unwrap_or_else(|| panic!("{told}: no cursor"));
            let strip = &scene_at(&scenes, second + 2e-6).strip;
            let page = &strip.pages[moment.page];
            let Some(x) = column(page, &fonts, bar, beat) else {
                // A bar that is written as a sign, or as a part of one.
                let player = stroke["player"].as_str();
                let drawn = heads(&page.picture.nodes, player, bar);
                assert_eq!(drawn, 0, "{told}: it is not drawn, and others are");
                in_signs += 1;
                continue;
            };
            assert!(
                (cursor - x).abs() < SLACK,
                "{told}: the cursor is at {cursor}, the note at {x}"
            );
            let lit = moment.lit.iter().map(|note| strip.pages[moment.page].notes[*note].heads);
            let lit: Vec<_> = lit.collect();
            let is_lit = lit.iter().any(|heads| (heads.x0..heads.x1).contains(&x));
            assert!(is_lit, "{told}: not lit; lit are {lit:?}");
            // The frame that is on at that time shows a moment no more than half a frame away.
            let rate = film.options().rate;
            let (frames, seconds) = rate.ratio();
            let half = 0.5 * f64::from(seconds) / f64::from(frames);
            let frame = (second / half / 2.0) as u64;
            assert!((rate.middle(frame) - second).abs() <= half + 1e-9, "{told}");
            at_notes += 1;
        }
    }
    assert!(at_notes > 3000 && in_signs < at_notes / 4, "{at_notes} notes, {in_signs} in signs");
}

/// No page has ink outside of the room of the music, so that nothing is cut off at the edge of a frame.
#[test]
fn nothing_is_cut_off() {
    let fonts = fonts();
    let sizes = ["1920x300", "1080x1080", "1080x1920", "640x120"];
    for (name, score) in examples() {
        if plan(&score, &Wanted::default()).passes.is_empty() {
            continue;
        }
        for size in sizes {
            let size = FilmSize::read(size).expect("a size");
            let film = film(&score, &fonts, FilmOptions { size, ..FilmOptions::default() });
            // Numbers of bars and names of parts may stand a little over the margin.
            let layout = film.layout();
            let room = layout.strip.inflate(layout.frame.x1 - layout.strip.x1, 0.5);
            for scene in film.scenes() {
                for page in &scene.strip.pages {
                    marks(&page.picture.nodes, &mut |mark| {
                        let ink = mark.shape.bounds(&fonts);
                        let fits = room.union(ink) == room;
                        let what = mark.kind;
                        assert!(
                            fits,
                            "{name}, {size:?}: {what:?} at {ink:?}, and {room:?} is there"
                        );
                    });
                }
            }
        }
    }
}

/// On a phone a frame is shown at a quarter of its size: a syllable has 14 pixels there, the large one as well as those
/// under the notes. Where these have no room they are left out, which is told.
#[test]
fn syllables_can_be_read_on_a_phone() {
    let fonts = fonts();
    let mut left_out = 0;
    let least = 4.0 * 14.0;
    for (name, score) in examples() {
        if plan(&score, &Wanted::default()).passes.is_empty() {
            continue;
        }
        let film = film(&score, &fonts, FilmOptions::default());
        let mut told = film.warnings().iter();
        left_out += usize::from(told.any(|told| told.contains("they are left away")));
        let large = |nodes: &[Node]| {
            marks(nodes, &mut |mark| {
                if let (Kind::Count, Shape::Text { size, run, .. }) = (mark.kind, &mark.shape) {
                    assert!(*size >= least, "{name}: {} has {size} pixels", run.text);
                }
            });
        };
        for scene in film.scenes() {
            scene.strip.pages.iter().for_each(|page| large(&page.picture.nodes));
            for said in &scene.said {
                large(&word(&fonts, &film.layout(), &said.text, said.sounds).nodes);
            }
        }
    }
    assert!(left_out < 8, "of {left_out} examples syllables are left out");
}
