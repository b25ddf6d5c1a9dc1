//! The instruments of a kit: their letters, names, places on the staff, heads, limbs and sounds.

/// Which limbs play an instrument; also its voice where hands and feet are set apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Limb {
    /// Upper voice.
    Hands,
    /// Lower voice.
    Feet,
}

/// The form of a notehead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Head {
    /// Round: black, half or whole by value.
    Normal,
    /// x.
    X,
    /// x in a circle.
    CircledX,
    /// Diamond.
    Diamond,
    /// Triangle.
    Triangle,
    /// Slash.
    Slash,
    /// Square.
    Square,
    /// Plus.
    Plus,
}

/// What stands over a note to say how open the hi-hat is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Opening {
    /// `o`
    Open,
    /// `o` with a stroke.
    Half,
    /// `+`
    Closed,
}

/// One instrument.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Instrument {
    /// Its letter in `play` rows, lower case.
    pub letter: char,
    /// Its row name and its name in the notation key, such as `snare` or `tom1`.
    pub name: String,
    /// Place on the five-line staff in half spaces (steps) up from the middle line: 0 is the
    /// middle line, 1 the space above it, 4 the top line, -4 the bottom line.
    pub position: i32,
    /// Place on a one-line staff, in steps up from the line.
    pub one_line: i32,
    /// The form of its head.
    pub head: Head,
    /// The limbs that play it.
    pub limb: Limb,
    /// General MIDI percussion key, 27 to 87.
    pub key: u8,
    /// The sign over its notes, where it has one.
    pub opening: Option<Opening>,
}

/// The index of an instrument in its kit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct InstrumentId(pub usize);

/// A kit.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Kit {
    /// Its instruments.
    pub instruments: Vec<Instrument>,
}

impl Kit {
    /// The instrument of an index.
    pub fn get(&self, id: InstrumentId) -> Option<&Instrument> {
        self.instruments.get(id.0)
    }
}
