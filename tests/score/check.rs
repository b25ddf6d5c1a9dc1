//! What holds of every bar, whatever was written.

use flamacue::score::{Bar, Score, Time, Touch};
use flamacue::score::{Division, Voice};

/// Sees that every bar of a score keeps the promises of its types. In a faulty score a bar that
/// does not add up may end off every plain note.
pub fn score(score: &Score, faulty: bool) {
    for item in &score.items {
        let flamacue::score::Item::Block(block) = item else { continue };
        for (index, bar) in block.part.bars.iter().enumerate() {
            self::bar(bar, faulty);
            let next = block.part.bars.get(index + 1);
            for (voice, next) in
                [(&bar.upper, next.map(|b| &b.upper)), (&bar.lower, next.map(|b| &b.lower))]
            {
                let first = next.and_then(|v| v.hits.first());
                let leads =
                    voice.hits.last().is_some_and(|h| h.tied && h.until == Some(bar.length));
                if leads {
                    assert!(first.is_some_and(|h| h.at == Time::ZERO), "a tie into nothing");
                }
                assert!(leads || !first.is_some_and(|h| h.continued), "goes on from nothing");
            }
        }
    }
}

/// Sees that a bar keeps the promises of its types.
fn bar(bar: &Bar, faulty: bool) {
    assert!(bar.length > Time::ZERO && bar.length <= bar.meter.length());
    assert!(bar.offset + bar.length <= bar.meter.length());
    for voice in [&bar.upper, &bar.lower] {
        self::voice(voice, bar.length, faulty);
    }
    let sorted = |times: Vec<Time>| {
        assert!(times.windows(2).all(|w| w[0] <= w[1]));
        assert!(times.iter().all(|t| *t >= Time::ZERO && *t < bar.length));
    };
    sorted(bar.counts.iter().map(|s| s.at).collect());
    sorted(bar.sticking.iter().map(|s| s.at).collect());
    sorted(bar.pedalling.iter().map(|s| s.at).collect());
    sorted(bar.words.iter().map(|s| s.at).collect());
    sorted(bar.dynamics.iter().map(|s| s.at).collect());
    sorted(bar.marks.iter().map(|s| s.at).collect());
}

fn voice(voice: &Voice, length: Time, faulty: bool) {
    let mut points = Vec::new();
    for (index, hit) in voice.hits.iter().enumerate() {
        assert!(hit.at >= Time::ZERO && hit.at < length);
        // A beat slash is nothing else besides.
        let bare = hit.grace.is_none() && !hit.is_roll() && !hit.tied && !hit.continued;
        assert!(!hit.is_slash() || bare && hit.touch == Touch::default());
        points.push(hit.at);
        let next = voice.hits.get(index + 1).map(|h| h.at);
        assert!(next.is_none_or(|next| next > hit.at), "two hits at once");
        if let Some(until) = hit.until {
            assert!(until > hit.at && until <= next.unwrap_or(length));
            points.push(until);
        }
        if hit.tied {
            assert_eq!(hit.until, Some(next.unwrap_or(length)));
        }
        assert!(!hit.continued || (index == 0 && hit.at == Time::ZERO));
    }
    let mut end = Time::ZERO;
    for division in &voice.divisions {
        assert!(division.start >= end);
        end = division.start + division.length;
        assert!(end <= length);
        self::division(division, &points);
    }
    for point in points {
        let covered = voice.divisions.iter().any(|d| point > d.start && point < d.start + d.length);
        assert!(
            faulty || covered || point.denominator().count_ones() == 1,
            "{point} lies on no plain note and in no division: {voice:?}"
        );
    }
}

/// A division is on its points and no coarser one is.
fn division(division: &Division, points: &[Time]) {
    let Division { start, length, parts, inner, across } = division;
    assert!((1..=512).contains(parts));
    let end = *start + *length;
    let in_inner = |p: Time| inner.iter().any(|d| p > d.start && p < d.start + d.length);
    let mut own: Vec<Time> =
        points.iter().copied().filter(|p| p > start && *p < end && !in_inner(*p)).collect();
    for inner in inner {
        let part = *length / i64::from(*parts);
        // Cells of a group over a barline may each be several parts of what is left in its bar.
        let fills = inner.length == part || across.is_some() && inner.length.is_multiple_of(part);
        assert!(fills, "an inner division fills one part or one cell: {division:?}");
        assert!((inner.start - *start).is_multiple_of(part));
        self::division(inner, points);
        own.extend([inner.start, inner.start + inner.length]);
    }
    let fits = |n: u32| own.iter().all(|p| (*p - *start).is_multiple_of(*length / i64::from(n)));
    assert!(fits(*parts), "{division:?} misses a point of {own:?}");
    // A part of a group over a barline has its cells whatever sounds in it.
    let coarser = (1..*parts).any(fits);
    assert!(across.is_some() || !coarser, "{division:?} could be coarser");
}
