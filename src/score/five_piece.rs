//! The built-in five-piece kit.
//!
//! Positions and heads of kick, snare, toms, ride, hi-hat, crash and hi-hat foot after Weinberg,
//! *Guide to Standardized Drumset Notation* (1998), from memory. The second crash, splash, china
//! and cowbell take the nearest free place or head. On one line the snare lies on the line, toms
//! and cymbals over it, floor tom and feet under it. Sounds from the General MIDI level 1
//! percussion map, from memory. Where the drums stand, seen from above, which of them ring and what
//! they are called: common practice, no source. The kit is a right-handed player's.

use super::kit::{Family, Head, Instrument, Kit, Limb, Opening, Spot};

/// A line of the table: letter, row name, other row names, spoken name, family.
type Names = (Option<char>, &'static str, &'static [&'static str], &'static str, Family);
/// Positions on five lines and on one, head, limb, sound.
type Staff = (i32, i32, Head, Limb, u8);
/// Whether it rings and whether it is crashed; centimetres to the right and ahead.
type Body = (bool, bool, i32, i32);

/// Feet stand under what they play, where no hand asks for the way to it.
const FOOT: (i32, i32) = (8, 50);

#[rustfmt::skip]
const INSTRUMENTS: [(Names, Staff, Body); 17] = {
    use Family::{Cymbal, HiHat, Kick, Percussion, Snare, Tom};
    use Head::{CircledX, Diamond, Normal, Triangle, X};
    use Limb::{Feet, Hands};
    [
        ((Some('k'), "kick", &["bass", "bass-drum"], "bass drum", Kick), (-3, -2, Normal, Feet, 36), (false, false, FOOT.0, FOOT.1)),
        ((Some('s'), "snare", &[], "snare drum", Snare), (1, 0, Normal, Hands, 38), (false, false, 0, 30)),
        ((Some('x'), "cross-stick", &[], "cross-stick", Snare), (1, 0, X, Hands, 37), (false, false, 0, 30)),
        ((Some('t'), "tom1", &[], "high tom", Tom), (3, 1, Normal, Hands, 50), (false, false, -12, 62)),
        ((Some('m'), "tom2", &[], "mid tom", Tom), (2, 1, Normal, Hands, 47), (false, false, 26, 62)),
        ((Some('f'), "floor", &["floor-tom", "tom3"], "floor tom", Tom), (-1, -1, Normal, Hands, 43), (false, false, 48, 28)),
        ((Some('h'), "hat", &["hi-hat", "hihat"], "hi-hat", HiHat), (5, 2, X, Hands, 42), (false, false, -36, 40)),
        ((Some('o'), "open-hat", &[], "open hi-hat", HiHat), (5, 2, X, Hands, 46), (true, false, -36, 40)),
        ((None, "half-open-hat", &[], "half-open hi-hat", HiHat), (5, 2, X, Hands, 46), (true, false, -36, 40)),
        ((Some('p'), "foot-hat", &["hat-foot"], "hi-hat with the foot", HiHat), (-5, -3, X, Feet, 44), (false, false, FOOT.0, FOOT.1)),
        ((Some('r'), "ride", &[], "ride cymbal", Cymbal), (4, 2, X, Hands, 51), (true, false, 58, 66)),
        ((Some('b'), "bell", &[], "bell of the ride", Cymbal), (4, 2, Diamond, Hands, 53), (true, false, 64, 74)),
        ((Some('c'), "crash", &["crash1"], "crash cymbal", Cymbal), (6, 2, X, Hands, 49), (true, true, -34, 74)),
        ((Some('d'), "crash2", &[], "second crash", Cymbal), (7, 2, X, Hands, 57), (true, true, 40, 88)),
        ((Some('l'), "splash", &[], "splash cymbal", Cymbal), (7, 2, Diamond, Hands, 55), (true, true, 8, 84)),
        ((Some('n'), "china", &[], "china cymbal", Cymbal), (6, 2, CircledX, Hands, 52), (true, true, 82, 62)),
        ((Some('w'), "cowbell", &[], "cowbell", Percussion), (3, 1, Triangle, Hands, 56), (false, false, 8, 70)),
    ]
};

/// Whether a row of the built-in kit may be called so.
pub fn is_built_in(name: &str) -> bool {
    INSTRUMENTS.iter().any(|((_, own, others, _, _), _, _)| *own == name || others.contains(&name))
}

/// The instruments whose notes bear a sign of how open the hi-hat is.
const OPENINGS: [(&str, Opening); 2] =
    [("open-hat", Opening::Open), ("half-open-hat", Opening::Half)];

impl Kit {
    /// The built-in five-piece kit.
    pub fn five_piece() -> Self {
        let instrument = |(names, staff, body): (Names, Staff, Body)| {
            let (letter, name, aliases, spoken, family) = names;
            let (position, one_line, head, limb, sound) = staff;
            let (rings, crash, right, ahead) = body;
            let opening = OPENINGS.iter().find(|(own, _)| *own == name).map(|(_, sign)| *sign);
            Instrument {
                letter,
                name: name.to_owned(),
                aliases: aliases.iter().map(|&alias| alias.to_owned()).collect(),
                spoken: spoken.to_owned(),
                family,
                position,
                one_line,
                head,
                limb,
                sound,
                opening,
                on_stem: None,
                rings,
                crash,
                spot: Spot { right, ahead },
            }
        };
        Self { instruments: INSTRUMENTS.into_iter().map(instrument).collect() }
    }
}
