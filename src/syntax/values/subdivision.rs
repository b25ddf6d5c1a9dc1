//! Subdivisions of a beat by name.

use crate::score::Time;
use crate::syntax::grammar::{Rule, Token, one_token};

/// In how many parts a beat is divided, by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Subdivision {
    /// 1.
    Quarters,
    /// 2.
    Eighths,
    /// 3.
    Triplets,
    /// 4.
    Sixteenths,
    /// 5.
    Quintuplets,
    /// 6.
    Sextuplets,
    /// 7.
    Septuplets,
    /// 8.
    ThirtySeconds,
}

impl Subdivision {
    /// All, from the coarsest to the finest.
    pub const ALL: [Self; 8] = [
        Self::Quarters,
        Self::Eighths,
        Self::Triplets,
        Self::Sixteenths,
        Self::Quintuplets,
        Self::Sextuplets,
        Self::Septuplets,
        Self::ThirtySeconds,
    ];

    /// Reads `triplets`, `sixteenth`.
    pub fn read(text: &str) -> Option<Self> {
        Self::of_token(&one_token(Rule::subdivision_value, text)?)
    }

    pub(super) fn of_token(token: &Token<'_>) -> Option<Self> {
        Some(match token.as_rule() {
            Rule::quarters => Self::Quarters,
            Rule::eighths => Self::Eighths,
            Rule::triplets => Self::Triplets,
            Rule::sixteenths => Self::Sixteenths,
            Rule::quintuplets => Self::Quintuplets,
            Rule::sextuplets => Self::Sextuplets,
            Rule::septuplets => Self::Septuplets,
            Rule::thirty_seconds => Self::ThirtySeconds,
            _ => return None,
        })
    }

    /// Parts of a beat of a quarter, 1 to 8.
    pub fn parts(self) -> u8 {
        match self {
            Self::Quarters => 1,
            Self::Eighths => 2,
            Self::Triplets => 3,
            Self::Sixteenths => 4,
            Self::Quintuplets => 5,
            Self::Sextuplets => 6,
            Self::Septuplets => 7,
            Self::ThirtySeconds => 8,
        }
    }

    /// The note it names, of a whole note; nothing for tuplets, which are so many to a beat.
    pub fn value(self) -> Option<Time> {
        match self {
            Self::Quarters => Some(Time::new(1, 4)),
            Self::Eighths => Some(Time::new(1, 8)),
            Self::Sixteenths => Some(Time::new(1, 16)),
            Self::ThirtySeconds => Some(Time::new(1, 32)),
            Self::Triplets | Self::Quintuplets | Self::Sextuplets | Self::Septuplets => None,
        }
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Quarters => "quarters",
            Self::Eighths => "eighths",
            Self::Triplets => "triplets",
            Self::Sixteenths => "sixteenths",
            Self::Quintuplets => "quintuplets",
            Self::Sextuplets => "sextuplets",
            Self::Septuplets => "septuplets",
            Self::ThirtySeconds => "thirty-seconds",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Subdivision;

    #[test]
    fn every_name_is_read() {
        for one in Subdivision::ALL {
            assert_eq!(Subdivision::read(one.name()), Some(one));
            assert_eq!(Subdivision::read(one.name().trim_end_matches('s')), Some(one));
        }
        assert_eq!(Subdivision::read("halves"), None);
    }
}
