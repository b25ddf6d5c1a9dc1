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
    /// Its letter in `play` rows, lower case; [`NO_LETTER`] where it can only be named by its row.
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

/// Stands for the letter of an instrument that has none: the half-open hi-hat, written `h` in a
/// `hat` row.
pub const NO_LETTER: char = ' ';

/// The index of an instrument in its kit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct InstrumentId(pub usize);

/// A kit.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Kit {
    /// Its instruments.
    pub instruments: Vec<Instrument>,
}

/// Keys of crash, china and splash cymbals in the General MIDI level 1 percussion map, from memory.
const CRASHES: [u8; 4] = [49, 52, 55, 57];

impl Kit {
    /// Whether an instrument is a cymbal that is crashed, with the kick under it as a rule.
    #[must_use]
    pub fn is_crash(&self, id: InstrumentId) -> bool {
        self.get(id).is_some_and(|i| CRASHES.contains(&i.key))
    }

    /// The instrument of an index.
    pub fn get(&self, id: InstrumentId) -> Option<&Instrument> {
        self.instruments.get(id.0)
    }
}

/// One line of the built-in kit: letter, name, positions on five lines and on one, head, limb, key,
/// opening.
type Line = (char, &'static str, i32, i32, Head, Limb, u8, Option<Opening>);

/// The built-in five-piece kit.
///
/// Positions and heads of kick, snare, toms, ride, hi-hat, crash and hi-hat foot after Weinberg,
/// *Guide to Standardized Drumset Notation* (1998), from memory. The second crash, splash, china
/// and cowbell take the nearest free place or head. On one line the snare lies on the line, toms
/// and cymbals over it, floor tom and feet under it. Keys from the General MIDI level 1
/// percussion map, from memory.
const FIVE_PIECE: [Line; 17] = [
    ('k', "kick", -3, -2, Head::Normal, Limb::Feet, 36, None),
    ('s', "snare", 1, 0, Head::Normal, Limb::Hands, 38, None),
    ('x', "cross-stick", 1, 0, Head::X, Limb::Hands, 37, None),
    ('t', "tom1", 3, 1, Head::Normal, Limb::Hands, 50, None),
    ('m', "tom2", 2, 1, Head::Normal, Limb::Hands, 47, None),
    ('f', "floor", -1, -1, Head::Normal, Limb::Hands, 43, None),
    ('h', "hat", 5, 2, Head::X, Limb::Hands, 42, None),
    ('o', "open-hat", 5, 2, Head::X, Limb::Hands, 46, Some(Opening::Open)),
    (NO_LETTER, "half-open-hat", 5, 2, Head::X, Limb::Hands, 46, Some(Opening::Half)),
    ('p', "foot-hat", -5, -3, Head::X, Limb::Feet, 44, None),
    ('r', "ride", 4, 2, Head::X, Limb::Hands, 51, None),
    ('b', "bell", 4, 2, Head::Diamond, Limb::Hands, 53, None),
    ('c', "crash", 6, 2, Head::X, Limb::Hands, 49, None),
    ('d', "crash2", 7, 2, Head::X, Limb::Hands, 57, None),
    ('l', "splash", 7, 2, Head::Diamond, Limb::Hands, 55, None),
    ('n', "china", 6, 2, Head::CircledX, Limb::Hands, 52, None),
    ('w', "cowbell", 3, 1, Head::Triangle, Limb::Hands, 56, None),
];

/// Other names drummers give to instruments of the built-in kit.
const ALIASES: [(&str, &str); 8] = [
    ("floor-tom", "floor"),
    ("tom3", "floor"),
    ("hi-hat", "hat"),
    ("hihat", "hat"),
    ("bass", "kick"),
    ("bass-drum", "kick"),
    ("hat-foot", "foot-hat"),
    ("crash1", "crash"),
];

impl Kit {
    /// The built-in five-piece kit.
    pub fn five_piece() -> Self {
        let instruments = FIVE_PIECE
            .into_iter()
            .map(|(letter, name, position, one_line, head, limb, key, opening)| Instrument {
                letter,
                name: name.to_owned(),
                position,
                one_line,
                head,
                limb,
                key,
                opening,
            })
            .collect();
        Self { instruments }
    }

    /// The instrument of a letter, capital or not.
    pub fn by_letter(&self, letter: char) -> Option<InstrumentId> {
        let letter = letter.to_ascii_lowercase();
        self.instruments
            .iter()
            .position(|i| i.letter == letter && letter != NO_LETTER)
            .map(InstrumentId)
    }

    /// The instrument of a row name or of one of its other names.
    pub fn by_name(&self, name: &str) -> Option<InstrumentId> {
        let name = name.to_lowercase();
        let find = |name: &str| {
            self.instruments.iter().position(|i| i.name.to_lowercase() == name).map(InstrumentId)
        };
        find(&name).or_else(|| {
            ALIASES.iter().find(|(alias, _)| *alias == name).and_then(|(_, own)| find(own))
        })
    }

    /// The limb that plays an instrument; hands where the kit does not have it.
    pub fn limb(&self, id: InstrumentId) -> Limb {
        self.get(id).map_or(Limb::Hands, |i| i.limb)
    }
}
