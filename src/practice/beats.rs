//! The beats of a plan, in seconds.

use super::bend::{Bend, BendError};
use super::plan::{Pass, Plan};
use super::play::PassTimes;
use crate::perform::Timeline;
use crate::score::{Bar, Mark, Meter, Time};

/// A beat of what is played, or of what is counted in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beat {
    /// Its second.
    pub seconds: f64,
    /// Its number in its bar, from 1.
    pub number: u32,
    /// How many beats a full bar has.
    pub of: u32,
}

/// A time that was tapped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tap {
    /// The second of the recording.
    pub second: f64,
    /// The bar that begins there, in the order of playing, from 1; the next beat where none is named.
    pub bar: Option<usize>,
}

/// The beats of a time signature from the start of its full bar.
pub(super) fn of_meter(meter: &Meter) -> Vec<(Time, u32, u32)> {
    let beats = meter.beats();
    let of = u32::try_from(beats.len()).unwrap_or(u32::MAX);
    let mut at = Time::ZERO;
    let start = |(length, number)| {
        let start = at;
        at += length;
        (start, number, of)
    };
    beats.into_iter().zip(1..).map(start).collect()
}

/// The beats that fall in a bar, by written time from its start, each with its number and of how many.
#[must_use]
pub fn beats_of(bar: &Bar) -> Vec<(Time, u32, u32)> {
    let end = bar.offset + bar.length;
    let inside = of_meter(&bar.meter).into_iter().filter(|(at, ..)| (bar.offset..end).contains(at));
    inside.map(|(at, number, of)| (at - bar.offset, number, of)).collect()
}

/// The beats that are counted in before a pass.
#[must_use]
pub fn count_in_of(pass: &Pass, times: PassTimes) -> Vec<Beat> {
    let Some(first) = pass.block.part.bars.first().filter(|_| pass.count_in > 0) else {
        return Vec::new();
    };
    let (bars, bar) = (i64::from(pass.count_in), first.meter.length());
    // A pickup is counted up to.
    let all = bar * bars + first.offset;
    let whole = (times.music - times.start) / all.as_f64().max(f64::MIN_POSITIVE);
    let numbered = (0..=bars).flat_map(|n| {
        let own = of_meter(&first.meter).into_iter();
        own.map(move |(at, number, of)| (bar * n + at, number, of))
    });
    let counted = numbered.filter(|(at, ..)| *at < all);
    let beat = |(at, number, of): (Time, u32, u32)| Beat {
        seconds: times.start + at.as_f64() * whole,
        number,
        of,
    };
    counted.map(beat).collect()
}

/// A moment of a plan that a recording may be tapped at.
struct Moment {
    seconds: f64,
    /// It begins a bar, which has this number in the order of playing, from 1.
    bar: Option<usize>,
    /// It is a beat.
    beat: bool,
    /// The second of the recording that stands over it.
    written: Option<f64>,
}

impl Plan {
    /// A plan laid along taps: each is the next beat of what is played, or the start of the bar it names.
    ///
    /// # Errors
    ///
    /// There are fewer than two, more than there are beats, or they run back.
    pub fn along_taps(&self, taps: &[Tap]) -> Result<Bend, BendError> {
        let moments = self.moments();
        let mut points = Vec::with_capacity(taps.len());
        let mut next = 0;
        for tap in taps {
            let found = match tap.bar {
                Some(bar) => moments.iter().position(|moment| moment.bar == Some(bar)),
                None => (next..moments.len()).find(|at| moments.get(*at).is_some_and(|m| m.beat)),
            };
            let Some((at, moment)) = found.and_then(|at| Some((at, moments.get(at)?))) else {
                let bars = moments.iter().filter_map(|moment| moment.bar).max().unwrap_or(0);
                let beats = moments.iter().filter(|moment| moment.beat).count();
                return Err(match tap.bar {
                    Some(bar) => BendError::NoSuchBar { bar, bars },
                    None => BendError::TooManyBeats { taps: taps.len(), beats },
                });
            };
            points.push((moment.seconds, tap.second));
            next = at + 1;
        }
        Bend::through(points)
    }

    /// A plan laid along the times that stand in its `mark` rows, as `"0:42"`.
    ///
    /// # Errors
    ///
    /// There are fewer than two, or they run back.
    pub fn along_marks(&self) -> Result<Bend, BendError> {
        let moments = self.moments();
        let timed = moments.iter().filter_map(|moment| Some((moment.seconds, moment.written?)));
        Bend::through(timed.collect())
    }

    /// Bars, beats and words over the staff, of all that is played.
    fn moments(&self) -> Vec<Moment> {
        let mut moments = Vec::new();
        let mut bars = 0;
        for (pass, times) in self.passes.iter().zip(self.times()) {
            let timeline = Timeline::of(&pass.block);
            for time in 0..pass.times {
                let start = times.music + times.once * f64::from(time);
                for (index, played) in timeline.bars.iter().enumerate() {
                    let Some(bar) = pass.block.part.bars.get(played.bar) else { continue };
                    bars += 1;
                    let at = |time| start + timeline.second_in(index, time) / pass.factor;
                    moments.extend(of_bar(bar, bars, at));
                }
            }
        }
        moments
    }
}

fn of_bar(bar: &Bar, number: usize, at: impl Fn(Time) -> f64) -> Vec<Moment> {
    let mut times: Vec<Time> = beats_of(bar).into_iter().map(|(time, ..)| time).collect();
    let beats = times.clone();
    times.push(Time::ZERO);
    let words = |mark: &Mark| mark.kind.words().and_then(clock_time).is_some();
    times.extend(bar.marks.iter().filter(|mark| words(mark)).map(|mark| mark.at));
    times.sort();
    times.dedup();
    let over = |time: Time| {
        let mut here = bar.marks.iter().filter(|mark| mark.at == time);
        here.find_map(|mark| mark.kind.words().and_then(clock_time))
    };
    let moment = |time: Time| Moment {
        seconds: at(time),
        bar: (time == Time::ZERO).then_some(number),
        beat: beats.contains(&time),
        written: over(time),
    };
    times.into_iter().map(moment).collect()
}

/// Seconds of a time as a clock shows it: `12.4`, `0:42`, `1:02:03.5`.
#[must_use]
pub fn clock_seconds(words: &str) -> Option<f64> {
    let parts: Vec<&str> = words.trim().split(':').collect();
    if parts.len() > 3 {
        return None;
    }
    let (last, before) = parts.split_last()?;
    let whole = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    let (seconds, fraction) = last.split_once('.').unwrap_or((last, "0"));
    if !(whole(seconds) && whole(fraction) && before.iter().all(|part| whole(part))) {
        return None;
    }
    let seconds = last.parse::<f64>().ok().filter(|own| before.is_empty() || *own < 60.0)?;
    let larger =
        before.iter().try_fold(0.0, |sum, part| Some(sum * 60.0 + part.parse::<f64>().ok()?))?;
    Some(larger * 60.0 + seconds).filter(|seconds| seconds.is_finite())
}

/// The same, where it can't be taken for anything else: it has minutes.
fn clock_time(words: &str) -> Option<f64> {
    words.contains(':').then(|| clock_seconds(words)).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_read_as_a_clock_shows_them() {
        assert_eq!(clock_seconds("12.40"), Some(12.4));
        assert_eq!(clock_seconds("0:42"), Some(42.0));
        assert_eq!(clock_seconds("1:02:03.5"), Some(3723.5));
        for wrong in ["", "1:", ":5", "1:60", "-3", "1e3", "inf", "1:2:3:4", "1.2.3"] {
            assert_eq!(clock_seconds(wrong), None, "{wrong}");
        }
        assert_eq!(clock_time("12"), None);
    }
}
