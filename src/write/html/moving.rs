//! What moves on a web page that makes no sound: each block has a button that shows how it goes, in tempo.

use super::additions::Additions;
use super::escape::escape;
use super::figure::called;
use crate::film::Line;
use crate::font::Fonts;
use crate::pages::flowing::{FlowingItem, Music};
use crate::parallel::{Each, map_in_order};
use crate::perform::played;
use crate::practice::{Pass, Plan};
use crate::score::practice::{Click, Heard};
use crate::score::{Block, LessonWords};
use crate::write::motion::MotionDump;
use crate::write::script::{MOTION, MOTION_STYLE, SHOW, SHOW_STYLE};
use serde::Serialize;
use std::sync::Arc;

/// Nothing is loaded, whatever a page with a script holds.
pub(in crate::write) const POLICY: &str = "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; \
    script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src data:; font-src data:; base-uri 'none'; \
    form-action 'none'\">\n";

/// Full bars that are counted in. Common practice, no source.
const COUNT_IN: u32 = 1;
/// How many times as many bars as it has may be played of a block that is shown, so that no short text makes a long
/// page.
const MOST_PLAYED: usize = 16;

/// How a block goes.
#[derive(Debug, Serialize)]
struct ShownBlock {
    /// How long it is, in seconds from its first beat.
    seconds: f64,
    /// What moves, in the same.
    motion: MotionDump,
}

/// What a page with some items has beside them, where any of its blocks can be shown.
pub(super) fn additions(items: &[FlowingItem], language: Option<&str>, fonts: &Fonts) -> Additions {
    let music = items.iter().filter_map(|item| match item {
        FlowingItem::Music(music) => Some((music.item?, &**music, shown(music)?)),
        FlowingItem::Heading { .. } | FlowingItem::Prose(_) => None,
    });
    let music: Vec<(usize, &Music, &Arc<Block>)> = music.collect();
    if music.is_empty() {
        return Additions::default();
    }
    let words = LessonWords::of(language);
    let in_figures = music.iter().enumerate();
    let in_figures = in_figures.map(|(nth, (item, music, _))| (*item, button(nth, music, words)));
    let in_figures = in_figures.collect();
    let blocks = map_in_order(Each::Large, music, |(item, music, block)| {
        ShownBlock::of((item, block.clone()), music, fonts)
    });
    // Strings, finite numbers and lists of them have no way to fail.
    let data = serde_json::to_string(&blocks).unwrap_or_default();
    // What is in strings can't end the element it stands in.
    let data = data.replace('<', "\\u003c");
    Additions {
        head: POLICY.to_owned(),
        style: [MOTION_STYLE, SHOW_STYLE].concat(),
        in_figures,
        script: format!(
            "<script type=\"application/json\" id=\"motion-data\">{data}</script>\n\
             <script>\n\"use strict\";\n{MOTION}\n{SHOW}</script>\n"
        ),
        ..Additions::default()
    }
}

/// The block of music that can be shown: one that has bars and is printed as it is, with nothing left blank for a
/// reader to find out.
fn shown(music: &Music) -> Option<&Arc<Block>> {
    let block = music.block.as_ref()?;
    let bars = block.part.bars.len();
    let is_whole = block.parts().all(|part| part.settings.blank.is_nothing());
    let is_shown = bars > 0 && is_whole && played(&block.part.bars).len() <= MOST_PLAYED * bars;
    is_shown.then_some(block)
}

/// The button of a block, which its script brings to sight.
fn button(nth: usize, music: &Music, words: &LessonWords) -> String {
    let label = escape(&words.show.replace("{}", &called(music)));
    format!(
        "<span class=\"show\" data-block=\"{nth}\" hidden><span class=\"counted\" aria-hidden=\"true\"></span>\
         <button type=\"button\" aria-pressed=\"false\" aria-label=\"{label}\" title=\"{label}\"></button></span>\n"
    )
}

impl ShownBlock {
    fn of((item, block): (usize, Arc<Block>), music: &Music, fonts: &Fonts) -> Self {
        let pass = Pass {
            item,
            heard_item: item,
            block,
            heard: Heard::Alone,
            factor: 1.0,
            times: 1,
            click: Click::default(),
            count_in: COUNT_IN,
            looseness: 0.0,
            without: Vec::new(),
        };
        // Each picture is a page of its own.
        let lines = |lines: Vec<Line>| lines.into_iter().map(|line| (0, line)).collect();
        let drawn = music.pictures.iter().map(|own| lines(Line::all(&own.flat(), fonts))).collect();
        let motion = MotionDump::of(&pass, drawn, 1.0);
        let plan = Plan { passes: vec![pass], ..Plan::default() };
        let seconds = plan.times().first().map_or(0.0, |times| times.once);
        Self { seconds: (seconds * 1e5).round() / 1e5, motion }
    }
}
