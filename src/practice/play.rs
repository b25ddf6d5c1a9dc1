//! Passes, played: every sound in the order in which it is heard.

use super::click::{self, clicks, counted};
use super::error::PlanError;
use super::event::{Event, Sound, StrokeOrigin};
use super::loose::StrokeNumber;
use super::plan::{Pass, Plan};
use crate::perform::{Stroke, StrokeKind, Timeline};
use crate::score::kit::Limb;
use crate::score::practice::{Heard, Silent};
use crate::score::{Block, Meter, PlayerPart, Time};
use crate::sound::ClickKind;
use std::collections::VecDeque;
use std::sync::Arc;

/// Seconds before the first sound, for what comes before a beat. Common practice, no source.
const LEAD: f64 = 0.5;
/// Seconds between the end of one pass and the next one's count-in. Common practice, no source.
const PAUSE: f64 = 1.5;
/// Seconds after the end of the last pass, in which all rings out. Common practice, no source.
const RING: f64 = 3.0;
/// The longest that is made at once, in seconds.
pub(super) const MOST_SECONDS: f64 = 12.0 * 3600.0;
/// Sounds come at most so many seconds before the time they are written at: three grace notes 0.1 s apart,
/// and what strays.
const EARLY: f64 = 0.4;

/// Where a pass lies in what is heard.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PassTimes {
    /// The second its count-in starts at.
    pub start: f64,
    /// The second its music starts at.
    pub music: f64,
    /// The seconds its block takes once.
    pub once: f64,
    /// The second its music ends at.
    pub end: f64,
}

/// A block in time, at the tempo it is written in.
struct Timed {
    block: Arc<Block>,
    players: Vec<Timeline>,
}

impl Timed {
    fn of(block: &Arc<Block>) -> Self {
        Self { block: block.clone(), players: Timeline::each(block).collect() }
    }

    /// The timeline by which bars go: all players have the same.
    fn lead(&self) -> Option<&Timeline> {
        self.players.first()
    }

    /// What is counted in: the time signature of the first bar, and where the bar starts in it.
    fn counted(&self) -> Option<(&Arc<Meter>, Time)> {
        self.block.part.bars.first().map(|bar| (&bar.meter, bar.offset))
    }
}

/// Seconds of a whole note at the start of a block, at the tempo it is written in.
fn first_whole(timeline: &Timeline) -> f64 {
    timeline.tempo.first().map_or(2.0, |step| step.whole)
}

impl Plan {
    /// The same, where it is not too long.
    pub(super) fn of_fit_length(self) -> Result<Self, PlanError> {
        let seconds = self.seconds();
        match seconds <= MOST_SECONDS {
            true => Ok(self),
            false => Err(PlanError::TooLong { hours: seconds / 3600.0 }),
        }
    }

    /// Where each pass lies, in seconds of the plan itself: [`Plan::bend`] says where they fall in a recording.
    #[must_use]
    pub fn times(&self) -> Vec<PassTimes> {
        let mut timed: Option<Timed> = None;
        let mut start = LEAD;
        let mut times = Vec::with_capacity(self.passes.len());
        for pass in &self.passes {
            let own = take_timed(&mut timed, pass);
            let place = place(pass, own, start);
            start = place.end + PAUSE;
            times.push(place);
        }
        times
    }

    /// How long all of it is, in seconds, with what rings out; with what comes before it in a recording.
    #[must_use]
    pub fn seconds(&self) -> f64 {
        self.times().last().map_or(0.0, |last| self.bend.second(last.end + RING).max(0.0))
    }

    /// Every sound, in order, at the second of the recording where the plan goes along with one; what would come
    /// before the start of that is left out. No more is kept in memory than two passes of one block.
    #[must_use]
    pub fn events(&self) -> Events<'_> {
        Events {
            plan: self,
            times: self.times(),
            timed: None,
            next: (0, 0),
            bars: 0,
            waiting: VecDeque::new(),
        }
    }
}

fn take_timed<'a>(timed: &'a mut Option<Timed>, pass: &Pass) -> &'a Timed {
    if timed.as_ref().is_some_and(|own| !Arc::ptr_eq(&own.block, &pass.block)) {
        *timed = None;
    }
    timed.get_or_insert_with(|| Timed::of(&pass.block))
}

fn place(pass: &Pass, timed: &Timed, start: f64) -> PassTimes {
    let Some((lead, (meter, offset))) = timed.lead().zip(timed.counted()) else {
        return PassTimes { start, music: start, once: 0.0, end: start };
    };
    let whole = first_whole(lead) / pass.factor;
    let bars = match pass.count_in {
        0 => 0.0,
        bars => f64::from(bars) * meter.length().as_f64() + offset.as_f64(),
    };
    let music = start + bars * whole;
    let once = lead.seconds / pass.factor;
    PassTimes { start, music, once, end: music + once * f64::from(pass.times) }
}

/// Every sound of a plan, in order.
pub struct Events<'a> {
    plan: &'a Plan,
    times: Vec<PassTimes>,
    timed: Option<Timed>,
    /// The pass that comes next, and which of its times.
    next: (usize, u32),
    /// Bars of the pass that went by.
    bars: usize,
    /// What is ready, by time.
    waiting: VecDeque<Event>,
}

impl Iterator for Events<'_> {
    type Item = Event;

    fn next(&mut self) -> Option<Event> {
        loop {
            let event = self.next_of_plan()?.along(&self.plan.bend);
            if event.seconds >= 0.0 {
                return Some(event);
            }
        }
    }
}

impl Events<'_> {
    /// The next sound, in seconds of the plan.
    fn next_of_plan(&mut self) -> Option<Event> {
        loop {
            // What comes next may begin a little before its time.
            let safe = self.start_of_next().map_or(f64::INFINITY, |start| start - EARLY);
            if self.waiting.front().is_some_and(|event| event.seconds < safe) {
                return self.waiting.pop_front();
            }
            self.fill()?;
        }
    }

    /// The second at which what is not ready yet begins.
    fn start_of_next(&self) -> Option<f64> {
        let (index, time) = self.next;
        let place = self.times.get(index)?;
        Some(match time {
            0 => place.start,
            _ => place.music + place.once * f64::from(time),
        })
    }

    /// Makes what comes next ready; nothing where there is no more.
    fn fill(&mut self) -> Option<()> {
        let (index, time) = self.next;
        let (pass, place) = self.plan.passes.get(index).zip(self.times.get(index).copied())?;
        let timed = take_timed(&mut self.timed, pass);
        let mut made = Vec::new();
        if time == 0 {
            self.bars = 0;
            count_in(pass, timed, place, &mut made);
        }
        let start = place.music + place.once * f64::from(time);
        self.bars = add_clicks(pass, timed, (start, self.bars), &mut made);
        match pass.heard {
            Heard::Alone | Heard::InContext => {
                add_strokes((index, pass), timed, (start, time), &mut made)
            }
            Heard::Silence => {}
        }
        self.next = if time + 1 < pass.times { (index, time + 1) } else { (index + 1, 0) };
        self.waiting.extend(made);
        let all = self.waiting.make_contiguous();
        all.sort_by(|a, b| a.seconds.total_cmp(&b.seconds));
        Some(())
    }
}

fn count_in(pass: &Pass, timed: &Timed, place: PassTimes, made: &mut Vec<Event>) {
    let Some((lead, (meter, offset))) = timed.lead().zip(timed.counted()) else { return };
    let whole = first_whole(lead) / pass.factor;
    let bar = meter.length();
    for number in 0..=i64::from(pass.count_in) {
        let last = number == i64::from(pass.count_in);
        for (at, kind) in counted(meter) {
            if pass.count_in > 0 && (!last || at < offset) {
                let seconds = place.start + (bar * number + at).as_f64() * whole;
                made.push(Event { seconds, sound: Sound::Click(kind) });
            }
        }
    }
}

/// Adds the clicks of a block that is played once from a second on, after so many bars of its pass; so many
/// bars went by at its end.
fn add_clicks(
    pass: &Pass,
    timed: &Timed,
    (start, before): (f64, usize),
    made: &mut Vec<Event>,
) -> usize {
    let Some(lead) = timed.lead() else { return before };
    for (number, played) in lead.bars.iter().enumerate() {
        let Some(bar) = timed.block.part.bars.get(played.bar) else { continue };
        if !click::is_heard(&pass.click, before + number) {
            continue;
        }
        let click = |(at, kind): (Time, ClickKind)| {
            let seconds = start + lead.second_in(number, at) / pass.factor;
            Event { seconds, sound: Sound::Click(kind) }
        };
        made.extend(clicks(bar, &pass.click.on).into_iter().map(click));
    }
    before + lead.bars.len()
}

fn is_silent(pass: &Pass, part: &PlayerPart, limb: Limb) -> bool {
    pass.without.iter().any(|silent| match silent {
        Silent::Hands => limb == Limb::Hands,
        Silent::Feet => limb == Limb::Feet,
        Silent::Player(name) => {
            part.player.as_ref().is_some_and(|own| own.name.to_lowercase() == name.to_lowercase())
        }
    })
}

fn add_strokes(
    (index, pass): (usize, &Pass),
    timed: &Timed,
    (start, time): (f64, u32),
    made: &mut Vec<Event>,
) {
    for (player, (part, timeline)) in timed.block.parts().zip(&timed.players).enumerate() {
        for (stroke, own) in timeline.strokes.iter().enumerate() {
            let Some(note) = timeline.notes.get(own.note) else { continue };
            if is_silent(pass, part, own.limb) {
                continue;
            }
            let origin =
                StrokeOrigin { pass: index, player, note: note.id, played: note.played, stroke };
            let number = StrokeNumber { pass: index, time, player, stroke };
            let main = match own.kind {
                StrokeKind::Grace => note.seconds,
                StrokeKind::Main | StrokeKind::Roll | StrokeKind::Buzz => own.seconds,
            };
            made.extend(event((pass, part), (own, main), start, (origin, number)));
        }
    }
}

/// A stroke that is heard; what it leads to, or itself, sounds at a second of its block.
fn event(
    (pass, part): (&Pass, &PlayerPart),
    (stroke, main): (&Stroke, f64),
    start: f64,
    (origin, number): (StrokeOrigin, StrokeNumber),
) -> Option<Event> {
    let instrument = part.kit.get(stroke.instrument)?;
    let (late, loudness) = number.stray(pass.looseness, stroke.loudness);
    // What comes before a note comes as long before it however fast that is.
    let early = stroke.seconds - main;
    let at = |seconds: f64| start + seconds / pass.factor;
    let seconds = (at(main) + early + late).max(0.0);
    Some(Event {
        seconds,
        sound: Sound::Stroke {
            instrument: stroke.instrument,
            key: instrument.sound,
            opening: instrument.opening,
            sign: instrument.on_stem,
            kind: stroke.kind,
            loudness,
            hand: stroke.hand,
            early: main - stroke.seconds,
            time: stroke.sounds.0,
            end: at(stroke.end_seconds).max(seconds),
            silenced: stroke.silenced.map(|end| at(end).max(seconds)),
            origin,
        },
    })
}
