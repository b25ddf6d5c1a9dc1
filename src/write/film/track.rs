//! When things of an animated drawing are seen.

use crate::write::number::put_coordinate;

/// Figures after the point of a share of the whole length: a tenth of a millisecond in ten hours.
const FIGURES: usize = 9;

/// The seconds in which something is seen, in order and apart.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Track(Vec<(f64, f64)>);

impl Track {
    /// Seen from one second to another; what goes on without a gap is one time.
    pub(super) fn add(&mut self, from: f64, to: f64) {
        let from = from.max(0.0);
        match self.0.last_mut() {
            Some(last) if from <= last.1 => last.1 = last.1.max(to),
            Some(_) | None if to > from => self.0.push((from, to)),
            Some(_) | None => {}
        }
    }

    /// Whether it is never seen.
    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The animation that shows it.
    pub(super) fn animate(&self, out: &mut String, clock: &Clock) {
        let mut steps = vec![(0.0, "none")];
        for (from, to) in &self.0 {
            if *from <= 0.0 {
                steps.clear();
            }
            steps.push((from.max(0.0), "inline"));
            if *to < clock.seconds {
                steps.push((*to, "none"));
            }
        }
        out.push_str("<animate attributeName=\"display\" calcMode=\"discrete\" values=\"");
        out.push_str(&steps.iter().map(|(_, value)| *value).collect::<Vec<_>>().join(";"));
        out.push_str("\" keyTimes=\"");
        out.push_str(&clock.shares(steps.iter().map(|(second, _)| *second)));
        clock.end(out);
    }
}

/// How long a drawing moves, and whether it begins again.
#[derive(Clone, Copy, Debug)]
pub(super) struct Clock {
    pub(super) seconds: f64,
    pub(super) repeats: bool,
}

impl Clock {
    /// Seconds as shares of the whole length.
    pub(super) fn shares(&self, seconds: impl Iterator<Item = f64>) -> String {
        let share = |second: f64| {
            let share = (second / self.seconds.max(f64::MIN_POSITIVE)).clamp(0.0, 1.0);
            let written = format!("{share:.FIGURES$}");
            let short = written.trim_end_matches('0').trim_end_matches('.');
            short.to_owned()
        };
        seconds.map(share).collect::<Vec<_>>().join(";")
    }

    /// What ends every animation: they all take as long.
    pub(super) fn end(&self, out: &mut String) {
        out.push_str("\" dur=\"");
        put_coordinate(out, self.seconds);
        let last = if self.repeats { "repeatCount=\"indefinite\"" } else { "fill=\"freeze\"" };
        out.extend(["s\" ", last, "/>"]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_seen_comes_and_goes() {
        let mut track = Track::default();
        for (from, to) in [(-1.0, 1.0), (1.0, 2.0), (3.0, 3.0), (4.0, 8.0)] {
            track.add(from, to);
        }
        assert_eq!(track, Track(vec![(0.0, 2.0), (4.0, 8.0)]));
        let mut out = String::new();
        track.animate(&mut out, &Clock { seconds: 8.0, repeats: false });
        assert_eq!(
            out,
            "<animate attributeName=\"display\" calcMode=\"discrete\" values=\"inline;none;inline\" \
             keyTimes=\"0;0.25;0.5\" dur=\"8s\" fill=\"freeze\"/>"
        );
    }
}
