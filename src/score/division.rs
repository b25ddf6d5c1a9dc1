//! Stretches of time divided into equal parts, and how many notes the parts stand for.

use super::Time;
use num_rational::Ratio;

/// The shortest note that is written is one of so many to a whole: a 256th (common practice, no
/// source).
pub const SHORTEST: i64 = 256;

/// A stretch of time divided into equal parts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Division {
    /// Its start in the bar.
    pub start: Time,
    /// How long it is.
    pub length: Time,
    /// Parts, 1 to 512.
    pub parts: u32,
    /// Divisions of single parts.
    pub inner: Vec<Division>,
    /// It is a part of one that goes on over a barline.
    pub across: Option<Across>,
}

/// What is said of a division that goes on over a barline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Across {
    /// Its number, which stands for what is on both sides.
    pub number: u32,
    /// On which side of the barline this part of it lies.
    pub side: BarlineSide,
}

/// A side of a barline.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BarlineSide {
    /// Before it.
    Before,
    /// After it.
    After,
}

impl Division {
    /// The shortest note that its parts, or those of a division inside it, are written as, where
    /// notes around it are written as so many times what they last. `dotted` is the beat of compound
    /// time.
    pub fn shortest(&self, scale: Ratio<i64>, dotted: Option<Time>) -> Time {
        let written = self.length * scale;
        let NoteCount { normal, .. } = NoteCount::of(written, self.parts, dotted);
        let inside = scale * Ratio::new(i64::from(self.parts), i64::from(normal.max(1)));
        let own = written / i64::from(normal.max(1));
        let inner = self.inner.iter().map(|inner| inner.shortest(inside, dotted));
        inner.fold(own, Time::min)
    }
}

/// How many plain notes the parts of a division stand for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NoteCount {
    /// The number, as many as the parts where plain notes say them.
    pub normal: u32,
    /// It is to be printed with the number of the parts.
    pub ratio: bool,
}

impl NoteCount {
    /// How many plain notes `parts` notes stand for in a written stretch: the greatest count of the
    /// form odd·2ⁿ below `parts`, so that three stand for two, five to seven for four, and in a
    /// dotted beat four or five for three (Gould, *Behind Bars*, "Tuplets", from memory). Equal to
    /// `parts` where plain values say it. Fewer notes than there are dotted beats are dotted
    /// themselves. Where the number alone would not tell what it stands for, the ratio is printed.
    pub fn of(written: Time, parts: u32, dotted: Option<Time>) -> Self {
        let normal = normal_count(written.numerator(), parts);
        let one = written / i64::from(parts.max(1));
        if normal == parts || (normal > parts && is_one_note(one)) {
            return Self { normal: parts, ratio: false };
        }
        let beats = dotted.map(|beat| written.ratio(beat)).filter(|beats| beats.is_integer());
        if let Some(beats) = beats.map(|beats| beats.to_integer()).filter(|beats| *beats > 1)
            && normal > parts
        {
            return Self { normal: normal_count(beats, parts), ratio: true };
        }
        let odd = normal % 2 == 1 && normal > 3;
        Self { normal, ratio: odd || normal >= parts.saturating_mul(2) }
    }

    /// Whether plain notes say `parts` parts.
    pub fn is_plain(self, parts: u32) -> bool {
        self.normal == parts
    }
}

/// Whether one plain or dotted note lasts so long.
fn is_one_note(time: Time) -> bool {
    let (over, under) = (time.numerator(), time.denominator());
    (matches!(over, 1 | 3) || time == Time::WHOLE * 2)
        && under <= SHORTEST
        && under & (under - 1) == 0
}

fn normal_count(numerator: i64, parts: u32) -> u32 {
    let odd = u32::try_from(numerator).unwrap_or(1);
    let odd = odd >> odd.trailing_zeros().min(31);
    let mut normal = odd.max(1);
    while normal < parts && normal <= u32::MAX / 2 {
        if normal * 2 > parts {
            return normal;
        }
        normal *= 2;
    }
    normal
}
