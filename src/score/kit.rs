//! The instruments of a kit: their letters, names, places on the staff, heads, limbs and sounds.

use std::num::NonZeroU32;

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

impl Head {
    /// Every form.
    pub const ALL: [Self; 8] = [
        Self::Normal,
        Self::X,
        Self::CircledX,
        Self::Diamond,
        Self::Triangle,
        Self::Slash,
        Self::Square,
        Self::Plus,
    ];
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

/// What stands on the stem of a note to say how a stick or a brush meets the head (SMuFL 1.4, "Pictograms:
/// signs on stems").
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum StemSign {
    /// Rim and head at once.
    RimShot,
    /// The stick stays on the head.
    DeadStroke,
    /// A brush is swept over the head.
    Sweep,
}

/// What kind of instrument it is, for those rules that hold for a kind: what a hand can do on it,
/// and which other instruments are the same one struck in another way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Family {
    /// The bass drum, which a foot plays with a pedal.
    Kick,
    /// The snare drum, in every way of striking it.
    Snare,
    /// A tom.
    Tom,
    /// The hi-hat, however open, by hand or foot.
    HiHat,
    /// Any other cymbal.
    Cymbal,
    /// Anything else.
    Percussion,
}

/// A place on the floor in centimetres, seen from above.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Spot {
    /// To the right of the player's middle; below zero to the left.
    pub right: i32,
    /// Away from the player.
    pub ahead: i32,
}

impl Spot {
    /// How far two places lie apart, in whole centimetres.
    #[must_use]
    pub fn distance(self, other: Self) -> u64 {
        let x = i64::from(self.right) - i64::from(other.right);
        let y = i64::from(self.ahead) - i64::from(other.ahead);
        u64::try_from(x * x + y * y).unwrap_or(0).isqrt()
    }
}

/// One instrument, with every fact of it that any stage asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Instrument {
    /// Its letter in `play` rows, lower case; nothing where only a row can name it, as the half-open
    /// hi-hat, written `h` in a `hat` row.
    pub letter: Option<char>,
    /// Its row name, such as `snare` or `tom1`.
    pub name: String,
    /// Other row names it goes by.
    pub aliases: Vec<String>,
    /// What it is called in print and aloud, such as `high tom`.
    pub spoken: String,
    /// Its kind.
    pub family: Family,
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
    pub sound: u8,
    /// The sign over its notes, where it has one.
    pub opening: Option<Opening>,
    /// The sign on the stems of its notes, where it has one.
    pub on_stem: Option<StemSign>,
    /// Whether it goes on sounding after the stroke, so that a hand can choke it.
    pub rings: bool,
    /// Whether it is a cymbal that is crashed, with the kick under it as a rule.
    pub crash: bool,
    /// Where it stands: the middle of a head, or where a cymbal is struck.
    pub spot: Spot,
}

/// The index of an instrument in its kit. It is kept from one on, so that an instrument that may be missing takes no more
/// room: every hit has several.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct InstrumentId(NonZeroU32);

impl InstrumentId {
    /// The first of its kit.
    pub const FIRST: Self = Self(NonZeroU32::MIN);

    /// That of an index; no kit has as many as it can't tell.
    #[must_use]
    pub fn new(index: usize) -> Self {
        Self(NonZeroU32::MIN.saturating_add(u32::try_from(index).unwrap_or(u32::MAX)))
    }

    /// The index.
    #[must_use]
    pub fn index(self) -> usize {
        self.0.get() as usize - 1
    }
}

/// A kit.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Kit {
    /// Its instruments.
    pub instruments: Vec<Instrument>,
}

/// The place of an instrument that says none: right in front of the player. Common practice, no
/// source.
const ELSEWHERE: Spot = Spot { right: 8, ahead: 50 };

impl Instrument {
    /// An instrument of which only letter and row name are known: third space, round head, hands, in
    /// front of the player, and the high wood block of the General MIDI percussion map (key 76, from
    /// memory), which no built-in letter has.
    #[must_use]
    pub fn unknown(letter: char, name: &str) -> Self {
        Self {
            letter: Some(letter),
            name: name.to_owned(),
            aliases: Vec::new(),
            spoken: in_words(name),
            family: Family::Percussion,
            position: 1,
            one_line: 0,
            head: Head::Normal,
            limb: Limb::Hands,
            sound: 76,
            opening: None,
            on_stem: None,
            rings: false,
            crash: false,
            spot: ELSEWHERE,
        }
    }

    /// Gives it another row name; it goes by no other, and is called by it.
    pub fn rename(&mut self, name: &str) {
        if self.name != name {
            name.clone_into(&mut self.name);
            self.aliases.clear();
            self.spoken = in_words(name);
        }
    }

    /// Whether it is the hi-hat played by hand whose row also says how open it is.
    #[must_use]
    pub fn is_closed_hat(&self) -> bool {
        self.family == Family::HiHat && self.limb == Limb::Hands && self.opening.is_none()
    }
}

/// A row name as words.
fn in_words(name: &str) -> String {
    name.replace(['-', '_'], " ")
}

impl Kit {
    /// The instrument of an index.
    pub fn get(&self, id: InstrumentId) -> Option<&Instrument> {
        self.instruments.get(id.index())
    }

    /// The first instrument that a test finds.
    fn find(&self, test: impl Fn(&Instrument) -> bool) -> Option<InstrumentId> {
        self.instruments.iter().position(test).map(InstrumentId::new)
    }

    /// The instrument of a letter, capital or not.
    pub fn by_letter(&self, letter: char) -> Option<InstrumentId> {
        let letter = letter.to_ascii_lowercase();
        self.find(|i| i.letter == Some(letter))
    }

    /// The instrument of a row name or of one of its other names, capitals or not.
    pub fn by_name(&self, name: &str) -> Option<InstrumentId> {
        let name = name.to_lowercase();
        self.find(|i| i.name.to_lowercase() == name)
            .or_else(|| self.find(|i| i.aliases.iter().any(|alias| alias.to_lowercase() == name)))
    }

    /// All toms, as the kit has them: from high to low in the built-in one.
    pub fn toms(&self) -> impl Iterator<Item = InstrumentId> {
        let all = self.instruments.iter().enumerate();
        all.filter(|(_, i)| i.family == Family::Tom).map(|(at, _)| InstrumentId::new(at))
    }

    /// The drum that is struck where a text names none: the first snare, else the first instrument.
    #[must_use]
    pub fn snare(&self) -> InstrumentId {
        self.find(|i| i.family == Family::Snare).unwrap_or(InstrumentId::FIRST)
    }

    /// The hi-hat played by hand with an opening.
    #[must_use]
    pub fn hat(&self, opening: Opening) -> Option<InstrumentId> {
        self.find(|i| {
            i.family == Family::HiHat && i.limb == Limb::Hands && i.opening == Some(opening)
        })
    }

    /// The limb that plays an instrument; hands where the kit does not have it.
    pub fn limb(&self, id: InstrumentId) -> Limb {
        self.get(id).map_or(Limb::Hands, |i| i.limb)
    }

    /// Whether an instrument is a cymbal that is crashed.
    #[must_use]
    pub fn is_crash(&self, id: InstrumentId) -> bool {
        self.get(id).is_some_and(|i| i.crash)
    }

    /// Whether an instrument is a bass drum.
    #[must_use]
    pub fn is_kick(&self, id: InstrumentId) -> bool {
        self.get(id).is_some_and(|i| i.family == Family::Kick)
    }

    /// Where an instrument stands.
    #[must_use]
    pub fn spot(&self, id: InstrumentId) -> Spot {
        self.get(id).map_or(ELSEWHERE, |i| i.spot)
    }
}
