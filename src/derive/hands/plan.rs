//! Where the drums and cymbals stand, seen from above.

use crate::score::Kit;
use crate::score::kit::InstrumentId;

/// A place on the floor in centimetres: to the right of the player's middle, and away from the
/// player.
pub(crate) type Spot = (i32, i32);

/// A right-handed five-piece kit from above: the middle of each head, and of each cymbal the place
/// where it is struck. Common practice, no source.
const SPOTS: [(&str, Spot); 16] = [
    ("snare", (0, 30)),
    ("cross-stick", (0, 30)),
    ("tom1", (-12, 62)),
    ("tom2", (26, 62)),
    ("floor", (48, 28)),
    ("hat", (-36, 40)),
    ("open-hat", (-36, 40)),
    ("half-open-hat", (-36, 40)),
    ("ride", (58, 66)),
    ("bell", (64, 74)),
    ("crash", (-34, 74)),
    ("crash2", (40, 88)),
    ("splash", (8, 84)),
    ("china", (82, 62)),
    ("cowbell", (8, 70)),
    ("tambourine", (-36, 52)),
];

/// The place of an instrument of another kit: right in front of the player.
const ELSEWHERE: Spot = (8, 50);

/// Where an instrument stands.
pub(crate) fn spot(kit: &Kit, id: InstrumentId) -> Spot {
    let name = kit.get(id).map_or("", |i| i.name.as_str());
    SPOTS.iter().find(|(own, _)| name.eq_ignore_ascii_case(own)).map_or(ELSEWHERE, |(_, at)| *at)
}

/// How far two places lie apart, in whole centimetres.
pub(crate) fn distance(a: Spot, b: Spot) -> u64 {
    let (x, y) = (i64::from(a.0) - i64::from(b.0), i64::from(a.1) - i64::from(b.1));
    u64::try_from(x * x + y * y).unwrap_or(0).isqrt()
}
