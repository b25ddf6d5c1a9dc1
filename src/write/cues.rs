//! What is heard, as JSON: for programs that light up notes, turn pages or move a picture along with the
//! sound that is made of the same text.
//!
//! One object:
//!
//! | key | value |
//! |---|---|
//! | `format` | `"flamacue-cues"` |
//! | `version` | 1; a change that breaks readers raises it |
//! | `unit` | `"pt"`: boxes are in points of 1/72 inch from the upper left corner of the page, y down |
//! | `seconds` | how long all of it is |
//! | `pages` | list of the pages' `[width, height]` |
//! | `passes` | list of what is played one after another |
//! | `strokes` | list of strokes, by time |
//! | `clicks` | list of clicks, by time |
//!
//! | key of a pass | value |
//! |---|---|
//! | `block` | `{name, number, title}` of the block that is practised, what is not there absent |
//! | `heard` | the same of what is heard: the block itself, or a context |
//! | `is` | `"alone"`, `"in context"` or `"silence"` |
//! | `start`, `music`, `end` | the seconds its count-in and its music start at, and its music ends at |
//! | `once`, `times` | the seconds its music takes once, and how often it is played |
//! | `length` | its music's length once in whole notes, an exact fraction |
//! | `speed` | how many times as fast as it is written |
//! | `bars` | the bars in the order in which they are played: `{bar, seconds, time}`, the bar's number in what is heard from 1, and its start from the start of the music, once, in seconds and in whole notes, an exact fraction |
//!
//! | key of a stroke | value |
//! |---|---|
//! | `seconds`, `end` | when it begins, and when its written value ends |
//! | `silenced` | when it is silenced, or absent |
//! | `pass` | its pass, from 0 |
//! | `time` | its musical time in whole notes from the start of the music, once, as it sounds, an exact fraction: swung notes lie where they are swung to, grace notes where their note is |
//! | `player` | the name of its player, or absent |
//! | `bar`, `beat` | the bar's number in what is heard, and its place in the bar as an exact fraction: `"1"`, `"3/2"`; as in the drawing |
//! | `is` | `"main"`, `"grace"`, `"roll"` or `"buzz"` |
//! | `instrument`, `key` | its row's name, and its General MIDI percussion key |
//! | `loudness` | from 0 to 1 |
//! | `hand` | `"R"`, `"L"`, `"B"`, or absent |
//! | `page`, `box` | the page from 1 and the box of the note's ink; that of its bar's where the bar is written as a sign; absent where it is not printed |
//!
//! A click has `seconds` and `is`: `"accent"`, `"beat"` or `"subdivision"`.
//!
//! Where all goes along with a recording, `once` and the seconds of `bars` are those before that; all others are
//! those of the recording.

use super::cue_places::CuePlaces;
use super::number::{fraction, round};
use crate::drawing::Drawing;
use crate::font::Fonts;
use crate::perform::{StrokeKind, Timeline};
use crate::practice::{Pass, PassTimes, Plan, Sound, StrokeOrigin};
use crate::score::practice::Heard;
use crate::score::{Hit, PlacedBlock, PlayerPart, Score, Time};
use crate::sound::ClickKind;
use serde::Serialize;

/// Everything that is heard of a score, with its places on the pages that were made of it.
pub fn write(score: &Score, plan: &Plan, drawing: &Drawing, fonts: &Fonts) -> String {
    let places = CuePlaces::of(drawing, fonts);
    let times = plan.times();
    let mut timelines: Option<(usize, Timeline)> = None;
    let passes = plan.passes.iter().zip(&times);
    let passes = passes.filter_map(|(pass, times)| {
        if timelines.as_ref().is_none_or(|(item, _)| *item != pass.heard_item) {
            timelines = Some((pass.heard_item, Timeline::of(&pass.block)));
        }
        let (_, timeline) = timelines.as_ref()?;
        PassDump::new(score, (plan, pass), *times, timeline)
    });
    let mut dump = CuesDump {
        format: "flamacue-cues",
        version: 1,
        unit: "pt",
        seconds: millionths(plan.seconds()),
        pages: drawing.pages.iter().map(|page| [round(page.width), round(page.height)]).collect(),
        passes: passes.collect(),
        strokes: Vec::new(),
        clicks: Vec::new(),
    };
    for event in plan.events() {
        let seconds = millionths(event.seconds);
        match event.sound {
            Sound::Click(kind) => dump.clicks.push(ClickDump { seconds, is: click(kind) }),
            Sound::Stroke { .. } => {
                dump.strokes.extend(stroke(score, plan, &places, (seconds, event.sound)));
            }
        }
    }
    // Strings, finite numbers and lists of them have no way to fail.
    let mut json = serde_json::to_string(&dump).unwrap_or_default();
    json.push('\n');
    json
}

#[derive(Serialize)]
struct CuesDump<'a> {
    format: &'static str,
    version: u32,
    unit: &'static str,
    seconds: f64,
    pages: Vec<[f64; 2]>,
    passes: Vec<PassDump<'a>>,
    strokes: Vec<StrokeDump<'a>>,
    clicks: Vec<ClickDump>,
}

#[derive(Serialize)]
struct BlockDump<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    name: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    number: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    title: Option<&'a str>,
}

#[derive(Serialize)]
struct BarDump {
    bar: usize,
    seconds: f64,
    time: String,
}

#[derive(Serialize)]
struct PassDump<'a> {
    block: BlockDump<'a>,
    heard: BlockDump<'a>,
    is: &'static str,
    start: f64,
    music: f64,
    end: f64,
    once: f64,
    length: String,
    times: u32,
    speed: f64,
    bars: Vec<BarDump>,
}

#[derive(Serialize)]
struct StrokeDump<'a> {
    seconds: f64,
    end: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    silenced: Option<f64>,
    pass: usize,
    time: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    player: Option<&'a str>,
    bar: usize,
    beat: String,
    is: &'static str,
    instrument: &'a str,
    key: u8,
    loudness: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    hand: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    page: Option<usize>,
    #[serde(rename = "box", skip_serializing_if = "Option::is_none")]
    area: Option<[f64; 4]>,
}

#[derive(Serialize)]
struct ClickDump {
    seconds: f64,
    is: &'static str,
}

/// Seconds to the millionth.
fn millionths(seconds: f64) -> f64 {
    (seconds * 1e6).round() / 1e6
}

fn click(kind: ClickKind) -> &'static str {
    match kind {
        ClickKind::Accent => "accent",
        ClickKind::Beat => "beat",
        ClickKind::Subdivision => "subdivision",
    }
}

fn block_of(score: &Score, item: usize) -> Option<&PlacedBlock> {
    score.items.get(item)?.block()
}

impl<'a> BlockDump<'a> {
    fn new(block: &'a PlacedBlock) -> Self {
        Self {
            name: block.name.as_deref(),
            number: block.printed_number(),
            title: block.title.as_deref(),
        }
    }
}

impl<'a> PassDump<'a> {
    fn new(
        score: &'a Score,
        (plan, pass): (&Plan, &Pass),
        times: PassTimes,
        timeline: &Timeline,
    ) -> Option<Self> {
        let fallen = |seconds: f64| millionths(plan.bend.second(seconds));
        let timed = timeline.bar_seconds.iter().zip(&timeline.bar_times);
        let bars = timeline.bars.iter().zip(timed).map(|(played, (seconds, time))| BarDump {
            bar: played.bar + 1,
            seconds: millionths(seconds / pass.factor),
            time: fraction(*time),
        });
        Some(Self {
            block: BlockDump::new(block_of(score, pass.item)?),
            heard: BlockDump::new(block_of(score, pass.heard_item)?),
            is: match pass.heard {
                Heard::Alone => "alone",
                Heard::InContext => "in context",
                Heard::Silence => "silence",
            },
            start: fallen(times.start),
            music: fallen(times.music),
            end: fallen(times.end),
            once: millionths(times.once),
            length: fraction(timeline.length),
            times: pass.times,
            speed: millionths(pass.factor),
            bars: bars.collect(),
        })
    }
}

/// A stroke, where all of it is found.
fn stroke<'a>(
    score: &'a Score,
    plan: &'a Plan,
    places: &CuePlaces,
    (seconds, sound): (f64, Sound),
) -> Option<StrokeDump<'a>> {
    let Sound::Stroke {
        key, kind, loudness, hand, end, silenced, origin, instrument, time, ..
    } = sound
    else {
        return None;
    };
    let pass = plan.passes.get(origin.pass)?;
    let part = pass.block.parts().nth(origin.player)?;
    let player = part.player.as_ref().map(|player| player.name.as_str());
    let beat = beat(part, origin)?;
    let at = block_of(score, pass.heard_item)?.at;
    let place = places.find((at, player), origin.note.bar + 1, beat);
    Some(StrokeDump {
        seconds,
        end: millionths(end),
        silenced: silenced.map(millionths),
        pass: origin.pass,
        time: fraction(time),
        player,
        bar: origin.note.bar + 1,
        beat: fraction(beat),
        is: match kind {
            StrokeKind::Main => "main",
            StrokeKind::Grace => "grace",
            StrokeKind::Roll => "roll",
            StrokeKind::Buzz => "buzz",
        },
        instrument: &part.kit.get(instrument)?.name,
        key,
        loudness: millionths(loudness.value()),
        hand: hand.map(|hand| hand.letter().to_string()),
        page: place.map(|place| place.page + 1),
        area: place.map(|place| {
            let area = place.area;
            [area.x0, area.y0, area.x1, area.y1].map(round)
        }),
    })
}

/// Where the note of a stroke stands in its bar, as a drawing has it.
pub(crate) fn place_in_bar(part: &PlayerPart, origin: StrokeOrigin) -> Option<String> {
    Some(fraction(beat(part, origin)?))
}

/// The hit a stroke belongs to, and where it stands in its bar, as groups of notes in a drawing have it.
pub(super) fn beat(part: &PlayerPart, origin: StrokeOrigin) -> Option<Time> {
    let bar = part.bars.get(origin.note.bar)?;
    let hit: &Hit = origin.note.voice.of(bar).hits.get(origin.note.hit)?;
    Some(bar.beat(hit.at))
}
