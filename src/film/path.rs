//! The way of the cursor over the lines of a block that is played once.

use super::line::{Line, line_of};
use crate::perform::Timeline;
use crate::score::{Bar, Block, Time};

/// Where the cursor is at a second. Between two points it goes in a straight line; where it jumps there are
/// two of one second.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PathPoint {
    /// The second.
    pub seconds: f64,
    /// The page of the strip: the line it is on.
    pub page: usize,
    /// The place on it.
    pub x: f64,
}

/// The written time of a beat in a bar.
fn time_of(bar: &Bar, beat: Time) -> Time {
    bar.meter.unit() * (beat.ratio(Time::WHOLE) - 1) - bar.offset
}

/// The way through a block that is played once; its seconds are those of its timeline, moved by a function.
pub(super) fn path(
    (block, timeline): (&Block, &Timeline),
    lines: &[&Line],
    moved: impl Fn(f64) -> f64,
) -> Vec<PathPoint> {
    let mut points = Vec::new();
    let all = || timeline.bars.iter().map(|played| played.bar);
    let ends = timeline.bar_seconds.iter().skip(1).copied().chain([timeline.seconds]);
    let next = all().skip(1).map(Some).chain([None]);
    for (index, ((bar, end), next)) in all().zip(ends).zip(next).enumerate() {
        let Some(own) = block.part.bars.get(bar) else { continue };
        let page = line_of(lines, bar);
        let Some(drawn) = lines.get(page) else { continue };
        // A bar that others share a sign with is passed on the way to the next.
        if let Some(place) = drawn.bar(bar + 1) {
            let start = timeline.bar_seconds.get(index).copied().unwrap_or_default();
            let columns = drawn.columns(bar + 1).map(|(beat, x)| (time_of(own, beat), x));
            let mut columns: Vec<(Time, f64)> = columns.collect();
            if columns.first().is_none_or(|(at, _)| *at > Time::ZERO) {
                columns.insert(0, (Time::ZERO, place.left));
            }
            for (at, x) in columns {
                let second = if at > Time::ZERO { timeline.second_in(index, at) } else { start };
                points.push(PathPoint { seconds: moved(second), page, x });
            }
        }
        let goes_on = next.is_some_and(|next| next == bar + 1 && line_of(lines, next) == page);
        if !goes_on {
            let sign = (0..=bar).rev().find_map(|bar| drawn.bar(bar + 1));
            if let Some(sign) = sign {
                points.push(PathPoint { seconds: moved(end), page, x: sign.right });
            }
        }
    }
    points
}

/// The place at a second: that of the last point before it, or on the way to the next; nothing before the
/// first and after the last.
pub(super) fn place(points: &[PathPoint], second: f64) -> Option<(usize, f64)> {
    let next = points.partition_point(|point| point.seconds <= second);
    let last = points.get(next.checked_sub(1)?)?;
    let next = points.get(next)?;
    let share = (second - last.seconds) / (next.seconds - last.seconds);
    Some((last.page, last.x + (next.x - last.x) * share))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_straight_and_jumps_are_jumps() {
        let point = |seconds, page, x| PathPoint { seconds, page, x };
        let points =
            [point(1.0, 0, 10.0), point(2.0, 0, 30.0), point(2.0, 1, 5.0), point(3.0, 1, 6.0)];
        assert_eq!(place(&points, 0.9), None);
        assert_eq!(place(&points, 1.5), Some((0, 20.0)));
        assert_eq!(place(&points, 2.0), Some((1, 5.0)));
        assert_eq!(place(&points, 3.0), None);
    }
}
